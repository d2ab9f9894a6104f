"""Clashes read for people: with their two acts."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime

from model.entered import ClashKind
from model.facts import Act, ActKind
from model.store import reading
from model.store.database import Rows
from model.store.reading import EntryRow
from model.store.set_aside import ClashRow, aside


@dataclass(frozen=True, slots=True)
class OpenClash:
    """Two acts at odds that nobody has decided between."""

    id: int
    what: ClashKind
    tray_id: int
    number: int
    """The number that the tray had when it was made."""
    now: int
    """The number that the tray has."""
    first: Act | None
    later: Act | None

    @property
    def acts(self) -> tuple[Act | None, Act | None]:
        return self.first, self.later


@dataclass(frozen=True, slots=True)
class SettledClash:
    """A clash and the entry by which somebody decided it."""

    clash: OpenClash
    entry: EntryRow


def open_clashes(rows: Rows) -> list[OpenClash]:
    """What waits for somebody to decide, in the order in which it was found."""
    return _read(rows, aside(rows).open)


def settled_clashes(rows: Rows, since: datetime | None = None) -> list[SettledClash]:
    """What was decided since an instant and isn't open again, in the order in which it was found."""
    found, entries = aside(rows).settled, {entry.id: entry for entry in reading.entries(rows, since)}
    by_clash = {row.id: entries[row.settled_in] for row in found if row.settled_in in entries}
    return [
        SettledClash(clash, by_clash[clash.id])
        for clash in _read(rows, [row for row in found if row.id in by_clash])
    ]


def names(rows: Rows) -> tuple[dict[int, str], dict[int, int], str]:
    """What clashes are told with: names of places and numbers of trays by their ids, and the farm's zone."""
    return (
        {place.id: place.name for place in reading.places(rows)},
        dict(_numbers(rows)),
        reading.settings(rows).get("zone", "UTC"),
    )


def _numbers(rows: Rows) -> list[tuple[int, int]]:
    return rows(
        "SELECT tray.id, coalesce(tray_now.number, tray.number) FROM tray "
        "LEFT JOIN tray_now ON tray_id = tray.id"
    )


def _read(rows: Rows, found: Iterable[ClashRow]) -> list[OpenClash]:
    known = [row for row in found if row.tray_id is not None and row.what in set(ClashKind)]
    if not known:
        return []
    acts = acts_by_id(rows, (i for row in known for i in (row.first_id, row.later_id) if i))
    dead, numbers = reading.dead_entries(rows), dict(_numbers(rows))
    for of_act, entry, count in reading.rows_in(rows, _COUNTS_PUT_RIGHT, acts):
        if entry not in dead:
            acts[of_act] = replace(acts[of_act], count=int(count))
    return [_clash(row, acts, numbers[row.tray_id or 0]) for row in known]


_COUNTS_PUT_RIGHT = (
    "SELECT of_act_id, entry_id, new FROM act WHERE field = 'count' AND of_act_id IN ({}) ORDER BY id"
)


def _clash(row: ClashRow, acts: dict[int, Act], now: int) -> OpenClash:
    first, later = acts.get(row.first_id or 0), acts.get(row.later_id or 0)
    number = int(later.old) if row.what == ClashKind.NUMBER and later and later.old else now
    return OpenClash(row.id, ClashKind(row.what), row.tray_id or 0, number, now, first, later)


def acts_by_id(rows: Rows, ids: Iterable[int]) -> dict[int, Act]:
    """Some acts by their ids; of a potting up with the plants of all its new trays."""
    acts = {act.id: act for act in reading.acts_of_ids(rows, ids)}
    for act in acts.values():
        if act.kind is ActKind.POTTED_UP:
            together = [
                other.count or 0
                for other in reading.acts_in(rows, act.entry_id)
                if (other.kind, other.sowing_id) == (act.kind, act.sowing_id)
            ]
            acts[act.id] = replace(act, count=sum(together))
    return acts
