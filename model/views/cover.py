"""The sheet for a helper: day by day and place by place what an absence asks for, and what to do before leaving."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from model.asof import standing_on
from model.crops import crop_name
from model.errors import BadInput
from model.facts import Tray
from model.rules.away import Absence, AwayNight, Move, away_night, ends_meanwhile, move_of
from model.rules.gate import Outdoors
from model.rules.grounds import Grounds
from model.rules.nights import OLD_FORECAST_H
from model.rules.outlook import Outlooks
from model.rules.tonight import Outside, night_case
from model.rules.verdict import Due, Task
from model.store import reading_ahead
from model.store.database import Rows, Store
from model.units import Temperature
from model.views.grounds import grounds
from model.views.lines import TrayLine
from model.views.outdoors import outdoors
from model.views.round import line_of
from model.views.tonight import OPEN_AIR, RoomInside, outside_of, room_inside

MOST_AHEAD = 60
"""Days ahead for which an absence can be laid out [d]. Ours: by then other trays stand there."""


@dataclass(frozen=True, slots=True)
class ToDo:
    """One thing that opens on a day, and the trays it is for."""

    task: Task
    trays: tuple[str, ...]
    """Crop and label of each."""


@dataclass(frozen=True, slots=True)
class NightHere:
    """What is told of one place outside for one night."""

    word: AwayNight
    labels: tuple[str, ...]
    every: bool
    """Whether these are all the trays that stand there."""
    low_c: float | None
    line_c: float
    """The highest line of these trays [°C]."""


@dataclass(frozen=True, slots=True)
class PlaceThatDay:
    """One place on one day."""

    name: str
    trays: int
    to_do: tuple[ToDo, ...]
    nights: tuple[NightHere, ...]
    """For the night that begins that evening; empty where nothing stands outside."""
    unseen: tuple[str, ...] | None
    """Trays that nobody marked, on a day gone by; None on any other day."""


@dataclass(frozen=True, slots=True)
class CoverDay:
    """One day of the sheet; on the day of leaving its evening only."""

    day: date
    low_c: float | None
    """Forecast low of the night that begins then, where the farm lies [°C]."""
    no_forecast: str
    """Why there is none; "" where there is one."""
    places: tuple[PlaceThatDay, ...]


@dataclass(frozen=True, slots=True)
class EndsMeanwhile:
    """A tray whose room ends before anybody is back."""

    label: str
    what: str
    place: str
    task: Task
    day_number: int
    """Days since sowing, today."""
    last_number: int
    """Days since sowing on the last day of its window."""
    until: date


@dataclass(frozen=True, slots=True)
class SowingMeanwhile:
    """A planned sowing that falls into the absence."""

    what: str
    trays: int
    start: date
    end: date | None
    pinned: date | None
    move: Move


@dataclass(frozen=True, slots=True)
class CoverView:
    """The whole sheet."""

    on: date
    leaves: date
    back: date
    helper: str
    days: tuple[CoverDay, ...]
    before: tuple[EndsMeanwhile, ...]
    sowings: tuple[SowingMeanwhile, ...]
    open_already: int
    """Other windows that are open today: the round lists them."""
    room: tuple[RoomInside, ...]
    """Free slots indoors today, for what comes in."""
    scale: Temperature


def read(
    store: Store,
    today: date,
    now: datetime,
    away: Absence,
    helper: str = "",
    outlooks: Outlooks | None = None,
) -> CoverView:
    """The sheet for an absence, as trays stand today; an absence that is over tells what nobody marked."""
    from model.views.outlook import reckon

    if (away.leaves - today).days > MOST_AHEAD:
        raise BadInput(
            "That is too far ahead to know what stands where.",
            f"Ask at most {MOST_AHEAD} days before you leave.",
        )
    known = outlooks if outlooks is not None else reckon(store, today).outlooks
    with store.reading() as rows:
        trays = {tray.id: tray for tray in standing_on(rows, today)}
        on = grounds(rows, trays.values(), known)
        lines = [line_of(tray, on, today) for tray in trays.values()]
        out = outdoors(rows, today, now)
        marked = reading_ahead.marked_days(rows, trays, today) if away.leaves < today else {}
        sowings = tuple(_sowings(rows, today, away))
    sheet = _Sheet(today, away, on, out, trays, lines, marked)
    before = tuple(sorted(_ending(lines, away, today), key=lambda one: (one.until, one.label)))
    shown = {one.label for one in before}
    return CoverView(
        on=today,
        leaves=away.leaves,
        back=away.back,
        helper=helper,
        days=tuple(sheet.day(day) for day in (away.leaves, *away.days)),
        before=before,
        sowings=sowings,
        open_already=sum(line.due_now and line.label not in shown for line in lines),
        room=tuple(room_inside(on.places, list(trays.values()))),
        scale=out.scale,
    )


@dataclass(frozen=True, slots=True)
class _Sheet:
    """What the days of a sheet are made of."""

    today: date
    away: Absence
    on: Grounds
    out: Outdoors
    trays: Mapping[int, Tray]
    lines: Sequence[TrayLine]
    marked: Mapping[int, frozenset[date]]

    def day(self, day: date) -> CoverDay:
        told = next((night for night in self.out.nights if night.night == day), None)
        evening = day in self.away.nights and day >= self.today
        why = "" if not evening else "no forecast" if told is None else ""
        if told is not None and told.age_h > OLD_FORECAST_H:
            why = f"forecast {told.age_h:.0f} h old"
        return CoverDay(
            day=day,
            low_c=told.low_c - self.out.offset_c if told and evening and not why else None,
            no_forecast=why,
            places=tuple(self._places(day, evening=evening)),
        )

    def _places(self, day: date, *, evening: bool) -> Iterator[PlaceThatDay]:
        for place in sorted(self.on.places.values(), key=lambda place: place.walk):
            here = [line for line in self.lines if line.place_id == place.id]
            if not here:
                continue
            outside = evening and place.kind in OPEN_AIR
            yield PlaceThatDay(
                name=place.name,
                trays=len(here),
                to_do=_opening(here, day) if day > max(self.away.leaves, self.today) else (),
                nights=tuple(self._nights(here, day)) if outside else (),
                unseen=self._unseen(here, day),
            )

    def _unseen(self, here: Iterable[TrayLine], day: date) -> tuple[str, ...] | None:
        if not self.away.leaves < day < self.today:
            return None
        return tuple(line.label for line in here if day not in self.marked.get(line.tray_id, frozenset()))

    def _nights(self, here: Sequence[TrayLine], day: date) -> Iterator[NightHere]:
        told = next((night for night in self.out.nights if night.night == day), None)
        cases = [
            (line.label, night_case(self._outside(line), told, self.today, self.out.offset_c))
            for line in here
        ]
        for word in AwayNight:
            alike = [(label, case) for label, case in cases if away_night(case) is word]
            if alike:
                yield NightHere(
                    word,
                    tuple(label for label, _ in alike),
                    len(alike) == len(here),
                    alike[0][1].low_c,
                    max(case.line_c for _, case in alike),
                )

    def _outside(self, line: TrayLine) -> Outside:
        return outside_of(self.trays[line.tray_id], self.on, self.today)


def _opening(here: Iterable[TrayLine], day: date) -> tuple[ToDo, ...]:
    """What opens on a day, each thing once with its trays."""
    found: dict[Task, list[str]] = {}
    for line in here:
        for task in dict.fromkeys(due.task for due in line.due if due.window.start == day):
            found.setdefault(task, []).append(f"{line.crop} {line.label}")
    return tuple(ToDo(task, tuple(trays)) for task, trays in found.items())


def _ending(lines: Iterable[TrayLine], away: Absence, today: date) -> Iterator[EndsMeanwhile]:
    for line in lines:
        ending = [due for due in line.due if ends_meanwhile(due, away)]
        if not ending:
            continue
        due = min(ending, key=_until)
        yield EndsMeanwhile(
            label=line.label,
            what=f"{line.crop} {line.variety}",
            place=line.place,
            task=due.task,
            day_number=(today - line.sown_on).days,
            last_number=(_until(due) - line.sown_on).days,
            until=_until(due),
        )


def _until(due: Due) -> date:
    return due.window.end or due.window.start


def _sowings(rows: Rows, today: date, away: Absence) -> Iterator[SowingMeanwhile]:
    from model.views.plan import planned

    pins = reading_ahead.pins(rows)
    for one in planned(rows, today):
        pin = pins.get(one.target.id)
        pinned = pin.day if pin else None
        move = move_of(one.sow, pinned, away) if one.left else None
        if move is not None:
            what = f"{crop_name(one.target.crop)} {one.target.variety}"
            yield SowingMeanwhile(what, one.left, one.sow.start, one.sow.end, pinned, move)
