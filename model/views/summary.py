"""The farm on one page of text, to be sent to somebody: where things stand, what is ready, wanted, sown and lost.

Nobody is named on it unless that is asked for, and notes aren't shown: they may name somebody too.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta

from model.ahead import Purpose, Target
from model.asof import acts_that_count
from model.crops import variety_name
from model.days import farm_day, say_day, short_day
from model.facts import ActKind
from model.rules.outlook import Outlooks
from model.rules.verdict import Stage, Task
from model.store import reading, reading_ahead, reading_owed
from model.store.database import Rows, Store
from model.text import clean, cut, fit, several
from model.views.answer import WIDTH, in_ascii
from model.views.lines import RoundView, TrayLine
from model.views.outlook import or_reckoned
from model.views.plan import planned
from model.views.round import read_round
from model.views.setting_out import let_by_gate

WEEK = timedelta(days=6)
"""Before today: seven days in all."""
SOON = timedelta(days=7)
"""Within which a window that begins is going out."""
NAME, PLACE = 24, 14
"""Columns of a crop and its variety, and of a place."""
NOTHING = "nothing"


@dataclass(frozen=True, slots=True)
class Section:
    """One question of the page and its answer, line by line."""

    heading: str
    rows: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Summary:
    """The page."""

    on: date
    farm: str
    trays: int
    plants: int
    unseen: int
    sections: tuple[Section, ...]


def read(
    store: Store, today: date, now: datetime, outlooks: Outlooks | None = None, *, names: bool = False
) -> Summary:
    """The page of a day; with `names`, who was at work too."""
    outlooks = or_reckoned(store, today, outlooks)
    view, since = let_by_gate(store, read_round(store, today, outlooks), now, outlooks), today - WEEK
    with store.reading() as rows:
        ones = {one.target.id: len(one.sown) for one in planned(rows, today)}
        targets = [target for target in reading_ahead.targets(rows) if target.last_day >= today]
        sown, losses = list(_sown(rows, since, today)), _losses(rows, date(today.year, 1, 1), today)
        promised = list(_promised(rows, names=names))
        people = _people(rows, since, today) if names else None
    week = sum(count for day, _, count in losses if day >= since)
    year = Counter[str]()
    for _, cause, count in losses:
        year[cause] += count
    sections = [
        _section("WHERE THINGS STAND", list(_places(view)), 10),
        _section("READY", list(_ready(view)), 6),
        _section(f"GOING OUT BY {_day(today + SOON)}", list(_going(view, today)), 6),
        _section("WANTED", [_wanted(target, ones.get(target.id)) for target in targets], 5),
        _section("PROMISED", promised, 4),
        _section(f"SOWN SINCE {_day(since)}", sown, 5),
        _section(
            f"LOST THIS YEAR ({week} since {say_day(since)})",
            [f"{cause:<{NAME}}{several(count, 'plant')}" for cause, count in year.most_common()],
            4,
        ),
    ]
    if people is not None:
        sections.append(_section(f"AT WORK SINCE {_day(since)}", people, 2))
    return Summary(
        on=today,
        farm=view.farm,
        trays=len(view.lines),
        plants=sum(line.plants for line in view.lines),
        unseen=view.unseen,
        sections=tuple(sections),
    )


def _day(day: date) -> str:
    return say_day(day).upper()


def _section(heading: str, rows: Sequence[str], most: int) -> Section:
    """A section of at most so many lines; what is left out is counted."""
    kept = [*rows] if len(rows) <= most else [*rows[: most - 1], f"and {len(rows) - most + 1} more"]
    return Section(heading, tuple(kept or [NOTHING]))


def _places(view: RoundView) -> Iterator[str]:
    """Each place with what stands there, the crops with most trays first."""
    for place in view.places:
        here = [line for line in view.lines if line.place_id == place.place_id]
        if here:
            counts = sorted(Counter(line.crop for line in here).items(), key=lambda pair: (-pair[1], pair[0]))
            crops = [f"{crop} {count}" for crop, count in counts]
            head = f"{_fit(place.name, PLACE)}{f'{place.trays} of {place.slots}':<11}"
            yield head + _listed(crops, WIDTH - len(head) - 2)


def _listed(words: Sequence[str], width: int) -> str:
    """As many words as fit; the others are counted."""
    for kept in range(len(words), 0, -1):
        rest = f", {len(words) - kept} more" if kept < len(words) else ""
        row = ", ".join(words[:kept]) + rest
        if len(row) <= width:
            return row
    return f"{len(words)} crops"


def _fit(name: str, width: int = NAME) -> str:
    """A name in its column."""
    return fit(clean(name), width - 1, "…") + " "


def _by_variety(lines: Iterable[TrayLine]) -> dict[str, list[TrayLine]]:
    found: dict[str, list[TrayLine]] = {}
    for line in lines:
        found.setdefault(f"{line.crop} {line.variety}", []).append(line)
    return found


def _ready(view: RoundView) -> Iterator[str]:
    """Plants whose plug holds together, by variety, most first."""
    ready = {Stage.READY, Stage.HARDENING, Stage.PAST}
    found = _by_variety(line for line in view.lines if line.stage in ready)
    for name, lines in sorted(found.items(), key=lambda pair: (-sum(x.plants for x in pair[1]), pair[0])):
        where = ", ".join(dict.fromkeys(clean(line.place) for line in lines))
        plants = sum(line.plants for line in lines)
        yield f"{_fit(name)}{several(plants, 'plant'):<14}{several(len(lines), 'tray')}, {where}"


def _going(view: RoundView, today: date) -> Iterator[str]:
    """Trays whose window to be set out has begun or begins within a week, the soonest first."""
    found = [
        (due, line)
        for line in view.lines
        for due in line.due
        if due.task is Task.SET_OUT and due.window.start <= today + SOON
    ]
    for due, line in sorted(found, key=lambda one: (one[0].window.start, one[1].number)):
        start, end = due.window.start, due.window.end
        when = "now" if start <= today else f"from {say_day(start)}"
        until = f", to {say_day(end)}" if end and end >= today and end > start else ""
        if due.shut:
            when, until = "gate: WAIT", ", no day known yet"
        yield f"{line.label:<7}{_fit(f'{line.crop} {line.variety}')}{several(line.plants, 'plant'):<14}{when}{until}"


def _wanted(target: Target, sown: int | None) -> str:
    days = short_day(target.first_day)
    if target.last_day != target.first_day:
        days += f" to {short_day(target.last_day)}"
    purpose = (
        target.purpose.value if target.purpose is not Purpose.CLASS else f"class, {target.stage or 'ready'}"
    )
    trays = f"; {several(sown, 'tray')} sown" if sown else ""
    name = _fit(variety_name(target.crop, target.variety))
    return f"{name}{several(target.plants, 'plant'):<14}{purpose} {days}{trays}"


def _promised(rows: Rows, *, names: bool) -> Iterator[str]:
    """What is still to be given of promises, the soonest first; to whom only where names are asked for."""
    given = reading_owed.given(rows)
    for promise in reading_owed.promises(rows):
        left = promise.plants - given.get(promise.id, 0)
        if left > 0:
            whose = f"   {clean(promise.to_whom)}" if names else ""
            name = _fit(variety_name(promise.crop, promise.variety))
            yield f"{name}{several(left, 'plant'):<14}{short_day(promise.due_on)}{whose}"


def _sown(rows: Rows, since: date, today: date) -> Iterator[str]:
    """What was sown and stands, by variety, in the order of sowing."""
    found: dict[tuple[str, str], list[int]] = {}
    for tray in reading.standing_trays(rows):
        for sowing in tray.sowings:
            if since <= sowing.sown_on <= today and not sowing.from_parent:
                found.setdefault((sowing.crop, sowing.variety), []).append(sowing.cells)
    for (crop, variety), cells in found.items():
        yield f"{_fit(variety_name(crop, variety))}{sum(cells):,} cells in {several(len(cells), 'tray')}"


def _losses(rows: Rows, since: date, today: date) -> list[tuple[date, str, int]]:
    """Every loss of some days as it stands after corrections: day, cause, plants."""
    ids = [
        tray
        for (tray,) in rows("SELECT DISTINCT tray_id FROM act WHERE kind = ?", ActKind.LOST.value)
        if tray is not None
    ]
    trays = reading.trays(rows, ids)
    acts = acts_that_count(rows, reading.dead_entries(rows), trays.values(), since)
    return [
        (act.day, act.cause or "", act.count or 0)
        for of_tray in acts.values()
        for act in of_tray
        if act.kind is ActKind.LOST and since <= act.day <= today
    ]


def _people(rows: Rows, since: date, today: date) -> list[str]:
    """Who entered how much, by the days of the farm."""
    zone = reading.settings(rows).get("zone", "UTC")
    # Nowhere does a day begin more than a day before it begins in Greenwich.
    early = datetime.combine(since - timedelta(days=1), time.min, UTC)
    found = Counter(
        row.who for row in reading.entries(rows, early) if since <= farm_day(row.at, zone) <= today
    )
    return [", ".join(f"{clean(who)} ({count})" for who, count in found.most_common())] if found else []


def text(page: Summary, *, ascii_only: bool = False) -> str:
    """The page as it is printed: at most 60 lines of 78 columns."""
    seen = f"{page.unseen} not seen today" if page.unseen else "all seen today"
    rows = [
        f"{cut(clean(page.farm), 30, '.')}, {say_day(page.on)} {page.on.year}: "
        f"{several(page.trays, 'tray')}, {several(page.plants, 'plant')}, {seen}"
    ]
    for section in page.sections:
        rows += ["", section.heading, *(f"  {row}" for row in section.rows)]
    found = "\n".join(cut(clean(row).rstrip(), WIDTH) for row in rows)
    return in_ascii(found) if ascii_only else found
