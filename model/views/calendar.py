"""What is to come as a calendar file, a line on one day each: sow, pot up, set out, classes, sales, promises (RFC 5545).

A sowing, a class and a promise are named by the entry that put them on record; pot up and set out by the crop and the
week in which it was sown, since those stay while the forecast moves the days. So a second import changes what the first
one brought, and what somebody dropped, did, lost or keeps apart goes out once more as cancelled, for eight weeks once
it is gone. Which of two files is newer follows RFC 5546, section 2.1.5: the higher SEQUENCE, then the later DTSTAMP.
SEQUENCE is the number of entries on record, which falls only with a restore; what only the forecast moved has the
later DTSTAMP. LAST-MODIFIED is left out: what an event says is reckoned from many entries, and which of them changed
it last isn't on record (RFC 5545, section 3.8.7.3; it may be absent).
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from model.ahead import Purpose, Target
from model.asof import standing_on
from model.crops import crop_name, load_crops, variety_name
from model.days import say_day, short_day
from model.errors import BadInput
from model.facts import PlaceKind, Sowing, Tray
from model.labels import label
from model.rules.due import POTS_FROM_ML
from model.rules.gate import Outdoors
from model.rules.grounds import Grounds
from model.rules.outlook import Outlooks
from model.rules.planning import Planned
from model.rules.readiness import case, judge
from model.rules.verdict import Due, Task
from model.store import reading, reading_ahead
from model.store.database import Store
from model.store.reading_calendar import Batch, Line, Part, plan_lines, promise_lines, revision, sown_parts
from model.text import clean, cut, several
from model.views.gate import gate_of
from model.views.grounds import grounds
from model.views.outdoors import outdoors
from model.views.outlook import or_reckoned
from model.views.plan import planned
from model.views.promises import PromiseLine
from model.views.promises import read as read_promises
from model.views.setting_out import at_gate

STEPS = (Task.POT_UP, Task.SET_OUT)
"""What a batch is moved on by; looks, lamps and the mat are the round's own work and belong in no calendar."""
SOW, CLASS, PROMISE = "sow", "wanted", "promise"
PEOPLE = {Purpose.CLASS: "class", Purpose.SALE: "sale"}
"""What others wait for; when a bed is wanted stands with the sowing."""
GONE_WITHIN = timedelta(weeks=8)
"""What went longer ago isn't named any more."""
TITLE = 50
"""Columns that a phone shows of a title, about. Common practice, no source."""
PRODUCT = "-//trayround//days to come//EN"
A_DAY = timedelta(days=1)

Key = tuple[Task, Batch]


@dataclass(frozen=True, slots=True)
class DayEvent:
    """One thing to do on a day."""

    uid: str
    kind: str
    """What it is, in a word: "sow", "pot up", "promise"."""
    day: date
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
    revision: int
    events: tuple[DayEvent, ...]

    @property
    def said(self) -> str:
        """What is written, in words."""
        over = sum(event.cancelled for event in self.events)
        rest = f", and {over} struck out," if over else ""
        return f"Wrote {several(len(self.events) - over, 'event')}{rest}"


@dataclass(frozen=True, slots=True)
class Step:
    """What one sowing of a tray is moved on by."""

    tray: Tray
    sowing: Sowing
    due: Due
    harden: Due | None
    """When it starts to harden, where that comes before."""


def read(
    store: Store, today: date, now: datetime, outlooks: Outlooks | None = None, *, names: bool = False
) -> CalendarView:
    """Everything with a day to come; with `names`, to whom plants are promised too."""
    outlooks = or_reckoned(store, today, outlooks)
    owed = read_promises(store, today, now, outlooks).lines
    since = today - GONE_WITHIN
    with store.reading() as rows:
        trays = standing_on(rows, today)
        on, out = grounds(rows, trays, outlooks), outdoors(rows, today, now)
        ones = {one.target.id: one for one in planned(rows, today)}
        targets = reading_ahead.targets(rows)
        lines, promised = plan_lines(rows), promise_lines(rows)
        parts = dict(sown_parts(rows, since, [tray.id for tray in trays]))
        farm, count = reading.settings(rows).get("farm", ""), revision(rows)
    found = [
        *(event for line in lines if line.day >= since for event in _line(line, targets, ones, on, today)),
        *(event for line in promised for event in _promise(line, owed, today, names=names)),
        *_steps(trays, parts, on, out, today),
    ]
    return CalendarView(today, farm, count, tuple(sorted(found, key=lambda e: (e.day, e.title, e.uid))))


def _uid(kind: str, name: str) -> str:
    return f"{kind}-{name}@trayround".replace(" ", "-")


def _title(head: str, name: str, tail: str = "") -> str:
    """A title that a phone shows whole; what is cut is the name alone."""
    return head + cut(clean(name), TITLE - len(head) - len(tail)) + tail


# Sowings, classes, sales.


def _line(
    line: Line, targets: Iterable[Target], ones: Mapping[int, Planned], on: Grounds, today: date
) -> Iterator[DayEvent]:
    """A line of the plan: its sowing, of two sets the second one too, and the day on which people wait for it."""
    target = next((target for target in targets if target.id in line.forms), None)
    if target is not None and target.last_day < today:
        return
    one = ones.get(target.id) if target else None
    if one is not None or target is None:
        for nth in range(1 + line.in_sets):
            yield _sowing(line, one, on, today, nth)
    if line.for_people:
        waits = target is not None and target.purpose in PEOPLE
        yield _waited_for(line, target) if target and waits else _struck(_uid(CLASS, line.name), CLASS, line)


def _struck(uid: str, kind: str, line: Line) -> DayEvent:
    title = _title("not wanted any more: ", variety_name(line.crop, line.variety))
    return DayEvent(uid, kind, line.day, title, cancelled=True)


def _sowing(line: Line, one: Planned | None, on: Grounds, today: date, nth: int) -> DayEvent:
    """The day from which a line is sown, or one of its two sets; nobody has to once all of it is sown."""
    uid = _uid(SOW, f"{line.name}-second" if nth else line.name)
    if one is None or (nth and not one.spare):
        return _struck(uid, SOW, line)
    target, sets = one.target, max(1, len(one.spare))
    first, last = (one.spare[nth], one.spare[nth]) if one.spare else (one.sow.start, one.sow.end)
    done = not one.left or sets * one.sown_cells >= one.cells * (nth + 1)
    trays = one.trays // sets if one.spare else one.left or one.trays
    if last is not None and last < today:
        when = ", late"
    elif one.spare:
        when = f" for {target.purpose} {short_day(target.first_day)}"
    else:
        when = f" by {say_day(last)}" if last else ""
    return DayEvent(
        uid=uid,
        kind=SOW,
        day=first if done else max(first, today),
        title=_title(f"sow {several(trays, 'tray')} ", _what(target), when),
        told=tuple(_sowing_words(one, on)),
        place=_place(target, on),
        cancelled=done,
    )


def _sowing_words(one: Planned, on: Grounds) -> Iterator[str]:
    target, container = one.target, on.containers[one.target.container_id].name
    seeds = f"{several(one.seeds_per_cell, 'seed')} a cell"
    yield f"{_what(target)}: {one.left or one.trays} x {container}, {one.cells} cells, {seeds}"
    days = say_day(target.first_day)
    if target.last_day != target.first_day:
        days += f" to {say_day(target.last_day)}"
    bed = f", {target.bed}" if target.bed else ""
    yield f"for {several(target.plants, 'plant')}, {target.purpose} {days}{bed}"
    if one.spare:
        yield f"half on {' and '.join(say_day(day) for day in one.spare)}"
    elif one.sow.end:
        yield f"sow from {say_day(one.sow.start)} to {say_day(one.sow.end)}"


def _waited_for(line: Line, target: Target) -> DayEvent:
    stage = f", {target.stage}" if target.stage else ""
    return DayEvent(
        uid=_uid(CLASS, line.name),
        kind=CLASS,
        day=target.first_day,
        title=_title(f"{PEOPLE[target.purpose]}: {target.plants} ", _what(target), stage),
        told=(f"{several(target.plants, 'plant')} of {_what(target)}{stage}",),
        place=target.bed,
    )


def _what(target: Target) -> str:
    return variety_name(target.crop, target.variety)


def _place(target: Target, on: Grounds) -> str:
    place = on.places.get(target.place_id) if target.place_id is not None else None
    return place.name if place else ""


# Promises.


def _promise(line: Line, owed: Sequence[PromiseLine], today: date, *, names: bool) -> Iterator[DayEvent]:
    """The day on which plants are fetched; once given, or dropped, nobody comes."""
    one = next((one for one in owed if one.owed.promise.id in line.forms), None)
    uid = _uid(PROMISE, line.name)
    if one is not None and one.owed.left:
        yield _to_fetch(uid, one, today, names=names)
    elif line.day >= today - GONE_WITHIN:
        title = _title("nothing more to give: ", variety_name(line.crop, line.variety or "any"))
        yield DayEvent(uid, PROMISE, line.day, title, cancelled=True)


def _to_fetch(uid: str, line: PromiseLine, today: date, *, names: bool) -> DayEvent:
    one, due = line.owed, line.owed.promise.due_on
    stands = f", {one.short} short" if one.short else ", enough"
    told = [f"{one.left} of {line.what} still to be given on {say_day(due, today)}{stands}"]
    if line.container:
        told.append(f"in {line.container}")
    if names:
        # A note may name somebody too.
        told += [f"to {one.promise.to_whom}", *([one.promise.note] if one.promise.note else [])]
    late = f", due {short_day(due)}" if due < today else ""
    return DayEvent(
        uid=uid,
        kind=PROMISE,
        day=max(due, today),
        title=_title(f"to fetch: {one.left} ", line.what, f"{late}{stands}"),
        told=tuple(told),
    )


# Pot up, set out.


def _steps(
    trays: Sequence[Tray], parts: Mapping[int, Part], on: Grounds, out: Outdoors, today: date
) -> Iterator[DayEvent]:
    """One for all of a crop that was sown in one week; what none of it can need any more is cancelled."""
    steps: dict[Key, list[Step]] = defaultdict(list)
    for tray in trays:
        for step in _moves(tray, on, out, today):
            if (part := parts.get(step.sowing.id)) is not None:
                steps[step.due.task, part.batch].append(step)
    for (task, batch), together in steps.items():
        yield _step(task, batch, together, on, today)
    yield from _over(steps.keys(), parts.values(), {tray.id: tray for tray in trays}, on)


def _moves(tray: Tray, on: Grounds, out: Outdoors, today: date) -> Iterator[Step]:
    sowings = {sowing.id: sowing for sowing in tray.sowings}
    found = judge(tray, on, today).due
    harden = {due.sowing_id: due for due in found if due.task is Task.HARDEN}
    for due in found:
        if due.task in STEPS and (sowing := sowings.get(due.sowing_id or 0)) is not None:
            if due.task is Task.SET_OUT:
                due = at_gate(due, gate_of(case(sowing, tray, on, today), out, today))
            yield Step(tray, sowing, due, harden.get(due.sowing_id))


def _step(task: Task, batch: Batch, together: Sequence[Step], on: Grounds, today: date) -> DayEvent:
    first = min(together, key=lambda step: step.due.window.start)
    day = max(first.due.window.start, today)
    numbers = sorted({step.tray.number for step in together})
    trays = label(numbers[0]) if len(numbers) == 1 else several(len(numbers), "tray")
    name = _named({(step.sowing.crop, step.sowing.variety) for step in together})
    starts = [step.harden.window.start for step in together if step.harden]
    harden = f" (harden {short_day(max(min(starts), today))})" if starts else ""
    head = f"{task} {trays} "
    return DayEvent(
        uid=_uid(task, batch.name),
        kind=task,
        day=day,
        title=_title(head, name, harden if len(head) + len(name) + len(harden) <= TITLE else ""),
        told=tuple(_step_words(step, on) for step in sorted(together, key=lambda step: step.tray.number)),
        place=", ".join(sorted({on.places[step.tray.place_id].name for step in together})),
    )


def _named(what: set[tuple[str, str]]) -> str:
    """Crop and variety, as far as they are the same; sowings of one week may have been put right since."""
    if len(what) == 1:
        return variety_name(*next(iter(what)))
    crops = {crop for crop, _ in what}
    return crop_name(crops.pop()) if len(crops) == 1 else "mixed plants"


def _step_words(step: Step, on: Grounds) -> str:
    """One tray: what it is, when, and why then."""
    tray, window, sowing = step.tray, step.due.window, step.sowing
    first, last = say_day(window.start), say_day(window.end) if window.end else ""
    days = f"{first} to {last}" if last and last != first else first if last else f"from {first}"
    harden = f"start hardening {say_day(step.harden.window.start)}; " if step.harden else ""
    where = f"{on.containers[tray.container_id].name}, {on.places[tray.place_id].name}"
    return (
        f"{label(tray.number)} {variety_name(sowing.crop, sowing.variety)}, {several(sowing.have, 'plant')} in {where}: "
        f"{harden}{step.due.task} {days} ({step.due.why})"
    )


def _over(
    due: Iterable[Key], parts: Iterable[Part], standing: Mapping[int, Tray], on: Grounds
) -> Iterator[DayEvent]:
    """Steps that an earlier file may have held and that no tray of the batch can need again, or none while it stands
    apart: nothing in quarantine is potted up or set out."""
    batches: dict[Batch, list[Part]] = defaultdict(list)
    for part in parts:
        batches[part.batch].append(part)
    living = set(due)
    for batch, members in batches.items():
        here = [standing[part.tray_id] for part in members if part.tray_id in standing]
        free = [tray for tray in here if on.places[tray.place_id].kind is not PlaceKind.QUARANTINE]
        small = any(on.containers[tray.container_id].volume_ml < POTS_FROM_ML for tray in free)
        crop = load_crops().get(batch.crop)
        over = {Task.SET_OUT: not free, Task.POT_UP: crop is not None and crop.pots_up and not small}
        why = "kept apart" if here and not free else "done or gone"
        name = _named({(batch.crop, part.variety) for part in members})
        for task in STEPS:
            if over[task] and (task, batch) not in living:
                title = _title(f"{why}: {task} ", name)
                day = max(part.last_act for part in members)
                yield DayEvent(_uid(task, batch.name), task, day, title, cancelled=True)


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
    for part in _events(view, at):
        calendar.add_component(part)
    return bytes(calendar.to_ical())


def _events(view: CalendarView, at: datetime) -> Iterator[Any]:
    from icalendar import Event

    for event in view.events:
        made = Event()
        made.add("uid", clean(event.uid))
        made.add("dtstamp", at)
        made.add("sequence", view.revision)
        made.add("dtstart", event.day)
        made.add("dtend", event.day + A_DAY)
        made.add("summary", clean(event.title))
        if event.told:
            made.add("description", "\n".join(clean(row) for row in event.told))
        if event.place:
            made.add("location", clean(event.place))
        made.add("categories", [event.kind])
        # A job on some day leaves nobody busy.
        made.add("transp", "TRANSPARENT")
        made.add("status", "CANCELLED" if event.cancelled else "CONFIRMED")
        yield made
