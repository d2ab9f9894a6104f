"""The sheet for whoever covers an absence: before leaving, then day by day and place by place, then the nights."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from model.ahead import NightTold
from model.asof import standing_on
from model.days import short_day
from model.facts import Place, PlaceKind, Tray
from model.labels import label
from model.rules.absence import A_DAY, Evening, Fits, check_days, enough_c, evening, fits, must_move
from model.rules.careful import careful, together
from model.rules.cold import CORN, CORN_DAYS
from model.rules.grounds import Grounds
from model.rules.mat import told_names
from model.rules.outlook import Outlooks
from model.rules.planning import Planned
from model.rules.readiness import judge
from model.rules.tonight import NightCase, Outside
from model.rules.verdict import Due, Task
from model.science.frost import cover_credit
from model.store import reading
from model.store.database import Store
from model.units import Temperature
from model.views.answer import Answer
from model.views.calling import number_of
from model.views.cover_jobs import (
    Job,
    Nights,
    Opening,
    due_up,
    hardening_held,
    jobs,
    living,
    openings,
    shut_out,
)
from model.views.grounds import grounds
from model.views.outdoors import cover_of, outdoors
from model.views.outlook import or_reckoned
from model.views.plan import crop_of, planned
from model.views.setting_out import gates_of
from model.views.tonight import OPEN_AIR, RoomInside, outside_of, rooms_inside

CIRCLE, IN_PLUG = "roots circle", " in plug"
"""Words for what is no job: roots that run round, and days that sweet corn has spent in its cell."""
PRESSING_ROOM = 2
"""Days of room up to which a tray without a task of its own is named before leaving [d]. Ours."""
STEPS = (Task.FIRST_UP, Task.HALF_UP, Task.PAST)
"""What nobody can do before it is there to be seen, and what is no job."""


@dataclass(frozen=True, slots=True)
class BeforeLeaving:
    """One tray that runs out of time while nobody is there to decide."""

    tray_id: int
    number: int
    label: str
    what: str
    place: str
    by: date
    """The last day for it, or the day on which it runs out of room."""
    words: str
    """What it is about, at most 35 characters with its day."""
    why: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SowingToMove:
    """A planned sowing of whose window the days away leave little."""

    target_id: int
    what: str
    start: date
    end: date | None
    fits: Fits
    missed: bool = False
    """Whether its last day has gone by with nothing sown."""


@dataclass(frozen=True, slots=True)
class NightWork:
    """What a night asks for at one place that stands in the open."""

    place: str
    word: Evening
    labels: tuple[str, ...]
    line_c: float
    line_source: str
    low_c: float | None
    """Told for the place [°C]; None without a forecast."""
    enough_c: float
    """The evening's own forecast from which they may stay out [°C]."""


@dataclass(frozen=True, slots=True)
class CoverDay:
    """One day of the sheet; the last one has no night."""

    day: date
    told_c: float | None
    jobs: tuple[Job, ...]
    nights: tuple[NightWork, ...]


@dataclass(frozen=True, slots=True)
class CoverSheet:
    """Everything that a helper needs while the grower is away."""

    on: date
    first: date
    last: date
    for_whom: str
    places: tuple[str, ...]
    """Where trays stand, in walking order."""
    usual: Mapping[str, float]
    """Usual night of each place indoors that isn't a mat [°C]."""
    careful: tuple[str, ...]
    """What hands have to know of trays before they touch them."""
    before: tuple[BeforeLeaving, ...]
    sowings: tuple[SowingToMove, ...]
    coming_up: Mapping[str, tuple[str, ...]]
    """By mat, the trays on it that are due up while nobody is there to take them off."""
    waiting: tuple[str, ...]
    """Trays whose hardening waits: no run of nights that they could stay out for is told."""
    shut_out: tuple[str, ...]
    """Trays that the gate keeps in without telling a day."""
    not_told: tuple[date, ...]
    """Nights without a forecast that counts, where something stands outside."""
    days: tuple[CoverDay, ...]
    room: tuple[RoomInside, ...]
    phone: str
    """The number to call, or a line to write it on."""
    scale: Temperature


def read(
    store: Store,
    first: date,
    last: date,
    today: date,
    now: datetime,
    outlooks: Outlooks | None = None,
    for_whom: str = "",
) -> CoverSheet:
    """The sheet for the days from leaving to coming back, on the trays as they stand.

    Raises BadInput for days that can't be.
    """
    check_days(first, last, today)
    reckoned = or_reckoned(store, today, outlooks)
    with store.reading() as rows:
        standing = standing_on(rows, today)
        on = grounds(rows, standing, reckoned)
        settings = reading.settings(rows)
        out, cover_c = outdoors(rows, today, now), cover_credit(cover_of(settings))
        sowings = planned(rows, today)
    walk = sorted(on.places.values(), key=lambda place: (place.walk, place.id))
    outside = [(tray, outside_of(tray, on, today)) for tray in standing if _outside(tray, on)]
    told = {night.night: night for night in out.nights}
    days, helps = _days(first, last), (out.offset_c, cover_c)
    gates = gates_of(standing, on, out, today)
    away = Nights(told, today, days[:-1], helps)
    found, waiting = hardening_held(openings(standing, on, gates, first, last, today), on, away)
    works = {day: tuple(_night(outside, walk, told.get(day), today, helps)) for day in days[:-1]}
    return CoverSheet(
        *(today, first, last, for_whom),
        places=tuple(place.name for place in walk if any(tray.place_id == place.id for tray in standing)),
        usual={place.name: place.low_c for place in walk if _watched(place, standing)},
        careful=tuple(_careful(standing, on, today)),
        before=tuple(_before(standing, found, on, first, last)),
        sowings=tuple(_to_move(sowings, first, last, today)),
        coming_up=due_up(found, walk),
        waiting=waiting,
        shut_out=shut_out(standing, on, gates, first, last),
        not_told=tuple(day for day, night in works.items() if any(w.word is Evening.UNKNOWN for w in night)),
        days=tuple(
            CoverDay(
                day,
                _told(told.get(day), works.get(day, ()), out.offset_c),
                tuple(jobs(_on_day(found, day, first, last), walk, last, on)),
                works.get(day, ()),
            )
            for day in days
        ),
        room=tuple(rooms_inside(on.places, standing)),
        phone=number_of(settings),
        scale=out.scale,
    )


def _on_day(openings: Iterable[Opening], day: date, first: date, last: date) -> list[Opening]:
    """What opens on a day, but for what is done before leaving."""
    return [o for o in openings if o.day == day and not _ends_away(o.due, first, last)]


def _days(first: date, last: date) -> list[date]:
    """Every day from the first to the last."""
    return [first + timedelta(days=ahead) for ahead in range((last - first).days + 1)]


def _told(night: NightTold | None, works: Iterable[NightWork], offset_c: float) -> float | None:
    """The low that is told for the farm [°C]; None where nothing stands out for it, or it doesn't count."""
    counts = any(work.word is not Evening.UNKNOWN for work in works)
    return night.low_c - offset_c if night is not None and counts else None


def _outside(tray: Tray, on: Grounds) -> bool:
    return on.places[tray.place_id].kind in OPEN_AIR and tray.have > 0


def _watched(place: Place, standing: Iterable[Tray]) -> bool:
    """Whether a thermometer tells of trouble there: indoors, off the mats, with trays."""
    indoors = place.kind in {PlaceKind.LIT_SHELF, PlaceKind.SLATTED_BENCH, PlaceKind.CORNER}
    return indoors and any(tray.place_id == place.id for tray in standing)


def _before(
    standing: Iterable[Tray], openings: Iterable[Opening], on: Grounds, first: date, last: date
) -> Iterator[BeforeLeaving]:
    """Trays that run out of time by the day of coming back, the soonest first, each once with all its reasons."""
    ends: dict[int, list[tuple[date, str, str]]] = {}
    for found in openings:
        due, end = found.due, found.due.window.end
        if due.task is Task.PAST:
            ends.setdefault(found.tray.id, []).append((due.window.start, CIRCLE, _circling(due, first)))
        elif end is not None and _ends_away(due, first, last):
            ends.setdefault(found.tray.id, []).append((end, due.task.value, f"{due.task.value}: {due.why}"))
    lines = []
    for tray in standing:
        reasons = sorted([*ends.get(tray.id, ()), *_corn(tray, first, last), *_pressing(tray, on, first)])
        if reasons:
            by, words, _ = next((one for one in reasons if one[1].endswith(IN_PLUG)), reasons[0])
            why = tuple(dict.fromkeys(why for _, _, why in reasons))
            lines.append(_line(tray, on, by, words, why))
    yield from sorted(lines, key=lambda line: (line.by, line.number))


def _careful(standing: Sequence[Tray], on: Grounds, today: date) -> Iterator[str]:
    for place in on.places.values():
        here = sorted((tray for tray in standing if _at(tray, place)), key=lambda tray: tray.number)
        told = ((label(tray.number), careful(tray, today, on.zone)) for tray in here)
        yield from (f"{place.name}, {words}" for words in together(told))


def _ends_away(due: Due, first: date, last: date) -> bool:
    """Whether it can be done before leaving, and not after coming back."""
    end = due.window.end
    return due.task not in STEPS and due.window.start <= first and end is not None and end <= last


def _pressing(tray: Tray, on: Grounds, first: date) -> Iterator[tuple[date, str, str]]:
    """What leaves a tray hardly any room and is no task with an end: seed that is late, a tray that is dry."""
    leading = judge(tray, on, first).leading
    dues = {due.why for due in leading.due}
    if leading.room_days <= PRESSING_ROOM and leading.why_now not in dues and "root" not in leading.why_now:
        yield first - A_DAY, leading.why_now.split(";")[0], leading.why_now


def _circling(due: Due, first: date) -> str:
    """Since when roots circle, or from when they are reckoned to."""
    ahead = due.window.start > first
    return f"roots circle from about {short_day(due.window.start)}" if ahead else due.why


def _corn(tray: Tray, first: date, last: date) -> Iterator[tuple[date, str, str]]:
    for sowing in living(tray):
        ends = sowing.sown_on + timedelta(days=CORN_DAYS)
        if sowing.crop == CORN and ends <= last:
            day = (first - sowing.sown_on).days
            yield (
                ends,
                f"day {day} of {CORN_DAYS}{IN_PLUG}",
                f"sweet corn bears {CORN_DAYS} days in the plug: set it out by then",
            )


def _line(tray: Tray, on: Grounds, by: date, words: str, why: tuple[str, ...]) -> BeforeLeaving:
    names = dict.fromkeys(f"{on.crops[sowing.crop].name} {sowing.variety}" for sowing in living(tray))
    return BeforeLeaving(
        tray_id=tray.id,
        number=tray.number,
        label=label(tray.number),
        what=" / ".join(names),
        place=on.places[tray.place_id].name,
        by=by,
        words=words,
        why=why,
    )


def _to_move(sowings: Iterable[Planned], first: date, last: date, today: date) -> Iterator[SowingToMove]:
    due = [
        one for one in sowings if one.left and (one.missed(today) or must_move(one.sow, first, last, today))
    ]
    names = told_names(
        {
            one.target.id: (
                f"{crop_of(one.target).name} {one.target.variety}",
                f"for {short_day(one.target.first_day)}",
            )
            for one in due
        }
    )
    for one in due:
        yield SowingToMove(
            target_id=one.target.id,
            what=names[one.target.id],
            start=one.sow.start,
            end=one.sow.end,
            fits=fits(one.sow, first, last, today),
            missed=one.missed(today),
        )


def _night(
    outside: Sequence[tuple[Tray, Outside]],
    walk: Sequence[Place],
    told: NightTold | None,
    today: date,
    help_c: tuple[float, float],
) -> Iterator[NightWork]:
    """The night, place by place: trays that it asks the same of share a line, the most tender names its figures."""
    for place in walk:
        here = [(tray, out, *evening(out, told, today, *help_c)) for tray, out in outside if _at(tray, place)]
        for word in Evening:
            same = [(tray, out, case) for tray, out, asked, case in here if asked is word]
            if same:
                yield _work(place, word, same, help_c[0])


def _at(tray: Tray, place: Place) -> bool:
    return tray.place_id == place.id


def _work(
    place: Place, word: Evening, trays: Sequence[tuple[Tray, Outside, NightCase]], offset_c: float
) -> NightWork:
    _, out, case = max(trays, key=lambda found: found[2].line_c)
    return NightWork(
        place=place.name,
        word=word,
        labels=tuple(label(number) for number in sorted(tray.number for tray, _, _ in trays)),
        line_c=case.line_c,
        line_source=case.line_source,
        low_c=case.low_c,
        enough_c=enough_c(out, case.line_c, offset_c),
    )


def answer(sheet: CoverSheet) -> Answer:
    """The sheet in words."""
    from model.views.cover_words import cover_answer

    return cover_answer(sheet)


def text(sheet: CoverSheet, *, ascii_only: bool = False) -> str:
    """The sheet as it is printed."""
    from model.views.cover_words import cover_text

    return cover_text(sheet, ascii_only=ascii_only)
