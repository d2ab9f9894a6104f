"""The days to come as a calendar file: sowings, steps of the trays, days on which plants are wanted (RFC 5545).

Every event has the id of the entry that put its tray or target on record, so a second import changes what the first
one brought. Which of two files is newer follows RFC 5546, section 2.1.5: the higher SEQUENCE, then the later DTSTAMP.
SEQUENCE counts the entries that touched a thing and never falls; a window that only the forecast moved has the later
DTSTAMP.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from model.ahead import Purpose, Target
from model.asof import standing_on
from model.crops import variety_name
from model.days import say_day
from model.errors import BadInput
from model.facts import Tray
from model.labels import label
from model.rules.grounds import Grounds
from model.rules.outlook import Outlooks
from model.rules.planning import Planned
from model.rules.readiness import judge
from model.rules.verdict import Due, Task
from model.store import reading, reading_ahead
from model.store.database import Store
from model.store.reading_origins import Dropped, Origin, dropped_targets, target_origins, tray_origins
from model.text import clean, several
from model.views.grounds import grounds
from model.views.plan import planned
from model.views.round import WORDS

STEPS = (Task.OFF_MAT, Task.POT_UP, Task.HARDEN, Task.SET_OUT)
"""What a tray is moved on by; looks and counts are the round's own work and belong in no calendar."""
SOW, WANTED = "sow", "wanted"
PRODUCT = "-//trayround//days to come//EN"
WANTED_WORDS = {
    Purpose.SET_OUT: "set out",
    Purpose.CLASS: "class:",
    Purpose.SALE: "sale:",
    Purpose.CUT: "cut",
}
A_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class DayEvent:
    """One thing that lasts whole days."""

    uid: str
    sequence: int
    kind: str
    """What it is, in a word: "sow", "pot up", "wanted"."""
    first: date
    last: date
    """The last of its days, itself counted."""
    title: str
    told: tuple[str, ...] = ()
    place: str = ""
    cancelled: bool = False
    """Whether nobody has to do it any more; an import then strikes out what an earlier one brought."""


@dataclass(frozen=True, slots=True)
class CalendarView:
    """All that is to come, by day."""

    on: date
    farm: str
    events: tuple[DayEvent, ...]

    @property
    def to_come(self) -> int:
        """Events that stand."""
        return sum(not event.cancelled for event in self.events)


def read(store: Store, today: date, now: datetime, outlooks: Outlooks | None = None) -> CalendarView:
    """Everything with days to come. `now` isn't needed here; every page is read alike."""
    if outlooks is None:
        from model.views.outlook import reckon

        outlooks = reckon(store, today).outlooks
    with store.reading() as rows:
        trays = standing_on(rows, today)
        on = grounds(rows, trays, outlooks)
        ones = planned(rows, today)
        held = reading_ahead.targets(rows)
        targets, _ = target_origins(rows)
        gone = dropped_targets(rows, (target.id for target in held), today)
        origins = tray_origins(rows, [tray.id for tray in trays])
        farm = reading.settings(rows).get("farm", "")
    found = [
        *(_sowing(one, targets[one.target.id], on, today) for one in ones),
        *(_wanted(target, targets[target.id], on) for target in held if target.last_day >= today),
        *(event for one in gone for event in _dropped(one)),
        *(event for tray in trays for event in _steps(tray, origins[tray.id], on, today)),
    ]
    return CalendarView(today, farm, tuple(sorted(found, key=lambda e: (e.first, e.last, e.title, e.uid))))


def _uid(kind: str, name: str) -> str:
    return f"{kind.replace(' ', '-')}-{name}@trayround"


def _sowing(one: Planned, origin: Origin, on: Grounds, today: date) -> DayEvent:
    """The days on which a line of the plan is sown; nobody has to once all of it is sown."""
    target, container = one.target, on.containers[one.target.container_id].name
    seeds = f"{several(one.seeds_per_cell, 'seed')} a cell"
    told = [f"{one.left or one.trays} x {container}, {one.cells} cells, {seeds}", _for(target)]
    if one.spare:
        told.append(f"half on {' and '.join(say_day(day) for day in one.spare)}")
    if one.missed(today) and one.sow.end:
        told.append(f"planned until {say_day(one.sow.end)} and not sown")
    return DayEvent(
        uid=_uid(SOW, origin.name),
        sequence=origin.revisions,
        kind=SOW,
        first=one.sow.start,
        last=_open_until(one.sow.start, one.sow.end, today),
        title=f"sow {_what(target)}",
        told=tuple(told),
        place=_place(target, on),
        cancelled=not one.left,
    )


def _open_until(start: date, end: date | None, today: date) -> date:
    """The last day of a window; what is still to be done is to be done today at the earliest."""
    return max(end or start, today if start <= today else start)


def _wanted(target: Target, origin: Origin, on: Grounds) -> DayEvent:
    stage = f", {target.stage}" if target.stage else ""
    return DayEvent(
        uid=_uid(WANTED, origin.name),
        sequence=origin.revisions,
        kind=WANTED,
        first=target.first_day,
        last=target.last_day,
        title=f"{WANTED_WORDS[target.purpose]} {target.plants} {_what(target)}{stage}",
        told=("from the plan",),
        place=target.bed,
    )


def _dropped(one: Dropped) -> Iterator[DayEvent]:
    for kind in (SOW, WANTED):
        yield DayEvent(
            uid=_uid(kind, one.origin.name),
            sequence=one.origin.revisions,
            kind=kind,
            first=one.first_day,
            last=one.first_day,
            title=f"not wanted any more: {variety_name(one.crop, one.variety)}",
            cancelled=True,
        )


def _steps(tray: Tray, origin: Origin, on: Grounds, today: date) -> Iterator[DayEvent]:
    """What is due in a tray, now or later, once for each of its sowings."""
    sowings = {sowing.id: sowing for sowing in tray.sowings}
    for due in judge(tray, on, today).due:
        sowing = sowings.get(due.sowing_id or 0)
        if due.task in STEPS and sowing is not None:
            what = f"{on.crops[sowing.crop].name} {sowing.variety}"
            yield _step(tray, due, what, f"{origin.name}-{sowing.part}", origin.revisions, on, today)


def _step(tray: Tray, due: Due, what: str, name: str, sequence: int, on: Grounds, today: date) -> DayEvent:
    words, place = WORDS[due.task][0], on.places[tray.place_id].name
    open_end = ("from this day on",) if due.window.end is None else ()
    return DayEvent(
        uid=_uid(words, name),
        sequence=sequence,
        kind=words,
        first=due.window.start,
        last=_open_until(due.window.start, due.window.end, today),
        title=f"{words} {label(tray.number)} {what}",
        told=(f"{tray.have} plants in {on.containers[tray.container_id].name}", due.why, *open_end),
        place=place,
    )


def _what(target: Target) -> str:
    return variety_name(target.crop, target.variety)


def _for(target: Target) -> str:
    days = say_day(target.first_day)
    if target.last_day != target.first_day:
        days += f" to {say_day(target.last_day)}"
    return f"for {target.plants} plants, {target.purpose} {days}"


def _place(target: Target, on: Grounds) -> str:
    place = on.places.get(target.place_id) if target.place_id is not None else None
    return place.name if place else ""


def as_ical(view: CalendarView, at: datetime) -> bytes:
    """The calendar as a file; `at` is the instant at which it is made.

    Raises BadInput where there is nothing to write: a calendar without an event is none (RFC 5545, section 3.6).
    """
    from icalendar import Calendar

    if not view.events:
        raise BadInput("Nothing is to come.", "Plan a sowing (A, then a) or sow a tray first.")
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("name", clean(f"trayround {view.farm}"))
    for part in _events(view.events, at):
        calendar.add_component(part)
    return bytes(calendar.to_ical())


def _events(events: Iterable[DayEvent], at: datetime) -> Iterator[Any]:
    from icalendar import Event

    for event in events:
        made = Event()
        made.add("uid", clean(event.uid))
        made.add("dtstamp", at)
        # What is reckoned anew with each day's forecast was revised when it was reckoned.
        made.add("last-modified", at)
        made.add("sequence", event.sequence)
        made.add("dtstart", event.first)
        made.add("dtend", event.last + A_DAY)
        made.add("summary", clean(event.title))
        if event.told:
            made.add("description", "\n".join(clean(row) for row in event.told))
        if event.place:
            made.add("location", clean(event.place))
        made.add("categories", [event.kind])
        # A window of days leaves nobody busy.
        made.add("transp", "TRANSPARENT")
        made.add("status", "CANCELLED" if event.cancelled else "CONFIRMED")
        yield made
