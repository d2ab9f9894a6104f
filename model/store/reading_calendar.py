"""What a calendar has to know: lines by the entry that put them down, sowings by the week in which they were, and how
often anything was entered. All of it stays the same wherever the record goes.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from urllib.parse import quote

from model.ahead import Purpose
from model.store.database import Rows
from model.store.reading import rows_in


@dataclass(frozen=True, slots=True)
class Line:
    """A line of the plan, or a promise, through all its forms."""

    name: str
    """The uid of the entry that first put it on record, and which one of that entry it was."""
    forms: frozenset[int]
    """The ids of all its forms."""
    crop: str
    variety: str
    day: date
    """The last of its days, in its last form that wanted any plants."""
    for_people: bool = False
    """Whether any of its forms was for a class or a sale."""
    in_sets: bool = False
    """Whether any of its forms was to be sown in two sets."""


@dataclass(frozen=True, slots=True)
class Batch:
    """What was sown of a crop in one week, as it was put down then."""

    crop: str
    year: int
    week: int

    @property
    def name(self) -> str:
        """One name for it, the same in every copy of the record."""
        return f"{quote(self.crop, safe='')}-{self.year}-w{self.week:02}"


@dataclass(frozen=True, slots=True)
class Part:
    """A sowing of a tray, standing or gone."""

    batch: Batch
    tray_id: int
    variety: str
    last_act: date


def revision(rows: Rows) -> int:
    """How many entries were made, those that take back among them: it falls only with a restore."""
    ((count,),) = rows("SELECT count(*) FROM entry")
    return int(count)


def plan_lines(rows: Rows) -> list[Line]:
    """Every line of the plan that there ever was."""
    return _lines(
        rows(
            "SELECT target.id, entry_id, uid, replaces, crop, variety.name, plants, last_day, purpose, stage FROM target "
            "JOIN entry ON entry.id = entry_id JOIN variety ON variety.id = variety_id ORDER BY target.id"
        )
    )


def promise_lines(rows: Rows) -> list[Line]:
    """Every promise that there ever was."""
    return _lines(
        rows(
            "SELECT promise.id, entry_id, uid, replaces, promise.crop, coalesce(variety.name, ''), plants, due_on, '', '' "
            "FROM promise JOIN entry ON entry.id = entry_id LEFT JOIN variety ON variety.id = variety_id "
            "ORDER BY promise.id"
        )
    )


def _lines(found: list[tuple[int, int, str, int | None, str, str, int, str, str, str]]) -> list[Line]:
    nth: dict[int, int] = defaultdict(int)
    lines: dict[int, Line] = {}
    first: dict[int, int] = {}
    for i, entry_id, uid, replaces, crop, variety, plants, day, purpose, stage in found:
        nth[entry_id] += 1
        root = first[i] = first.get(replaces or i, i)
        old = lines.get(root)
        lines[root] = Line(
            name=old.name if old else f"{uid}-{nth[entry_id]}",
            forms=(old.forms if old else frozenset()) | {i},
            crop=crop,
            variety=variety,
            day=old.day if old and not plants else date.fromisoformat(day),
            for_people=(old is not None and old.for_people) or purpose in {Purpose.CLASS, Purpose.SALE},
            in_sets=(old is not None and old.in_sets) or bool(stage),
        )
    return list(lines.values())


def sown_parts(rows: Rows, since: date, standing: Iterable[int]) -> Iterator[tuple[int, Part]]:
    """Sowings, by id, of some trays and of all to which something was done since a day, whether or not they are gone."""
    last = dict.fromkeys(standing, since.isoformat())
    last |= dict(
        rows(
            "SELECT tray_id, max(day) FROM act WHERE day >= ? AND tray_id IS NOT NULL GROUP BY tray_id",
            since.isoformat(),
        )
    )
    found = rows_in(
        rows,
        "SELECT sowing.id, tray_id, crop, name, sown_on FROM sowing JOIN variety ON variety.id = variety_id "
        "WHERE tray_id IN ({}) ORDER BY sowing.id",
        last,
    )
    for sowing_id, tray_id, crop, variety, sown_on in found:
        year, week, _ = date.fromisoformat(sown_on).isocalendar()
        yield sowing_id, Part(Batch(crop, year, week), tray_id, variety, date.fromisoformat(last[tray_id]))
