"""What a helper does day by day while the grower is away: tasks as they open, and hardening only where nights allow."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import groupby

from model.ahead import NightTold
from model.facts import Place, PlaceKind, Sowing, Tray
from model.labels import label
from model.rules.absence import A_DAY, Evening, evening
from model.rules.grounds import Grounds
from model.rules.outlook import KEPT_DAYS
from model.rules.readiness import judge
from model.rules.verdict import Due, Task
from model.views.setting_out import Gates, as_let
from model.views.tonight import outside_of


@dataclass(frozen=True, slots=True)
class Job:
    """One task that opens on a day at a place."""

    place: str
    task: Task
    then: str
    """What follows at once; "" for nothing."""
    labels: tuple[str, ...]
    by: date | None
    """Its last day where that comes before anyone is back; None where it can wait."""


@dataclass(frozen=True, slots=True)
class Opening:
    """A task that begins on a day for one tray."""

    day: date
    tray: Tray
    due: Due


@dataclass(frozen=True, slots=True)
class Nights:
    """The nights away, and what the forecast tells of them."""

    told: Mapping[date, NightTold]
    today: date
    nights: Sequence[date]
    help_c: tuple[float, float]
    """How much colder the farm is than the forecast, and what a cover is good for [°C]."""


def openings(
    standing: Iterable[Tray], on: Grounds, gates: Gates, first: date, last: date, today: date
) -> Iterator[Opening]:
    """What is open at leaving, on the day it opened, and what opens while away: each task of a tray once.

    Setting out opens as the gate lets it, by what is known of the ground and the nights today.
    """
    far = max(first, today + timedelta(days=KEPT_DAYS - 1))
    for tray in standing:
        seen: set[Task] = set()
        day, dues = first, as_let(judge(tray, on, first).due, gates)
        while day <= last:
            # Beyond the days that a forecast is kept for, the windows it gave last hold: the crop file alone would
            # tell another story.
            if first < day <= far:
                dues = as_let(judge(tray, on, day).due, gates)
            for due in dues:
                if due.open_on(day) and due.task not in seen:
                    seen.add(due.task)
                    yield Opening(min(day, due.window.start) if day == first else day, tray, due)
            day += A_DAY


def shut_out(standing: Iterable[Tray], on: Grounds, gates: Gates, first: date, last: date) -> tuple[str, ...]:
    """Trays whose time to be set out comes by the last day, and for which the gate tells no day yet."""
    dues = {tray.number: as_let(judge(tray, on, first).due, gates) for tray in standing}
    held = (n for n, of_tray in dues.items() if any(due.shut and due.window.start <= last for due in of_tray))
    return tuple(label(number) for number in sorted(held))


def hardening_held(
    openings: Iterable[Opening], on: Grounds, nights: Nights
) -> tuple[list[Opening], tuple[str, ...]]:
    """Hardening starts on the first day from which no night away would send the tray in again; else it waits."""
    found, waiting = [], []
    for opening in openings:
        start: date | None = opening.day
        if opening.due.task is Task.HARDEN and nights.nights:
            start = _fine_from(opening, on, nights)
        if start is None:
            waiting.append(opening.tray.number)
        else:
            found.append(replace(opening, day=start))
    return found, tuple(label(number) for number in sorted(set(waiting)))


def _fine_from(opening: Opening, on: Grounds, nights: Nights) -> date | None:
    out = replace(outside_of(opening.tray, on, nights.today), exposed=0, kind=PlaceKind.HARDENING)
    start = None
    for night in reversed([night for night in nights.nights if night >= opening.day]):
        word, _ = evening(out, nights.told.get(night), nights.today, *nights.help_c)
        if word is not Evening.FINE:
            break
        start = night
    return opening.day if start == nights.nights[0] else start


def due_up(openings: Iterable[Opening], walk: Sequence[Place]) -> dict[str, tuple[str, ...]]:
    """What comes up on each mat while away: it stretches within days unless somebody takes it off."""
    mats = [place for place in walk if place.kind is PlaceKind.HEAT_MAT]
    up = [o for o in openings if o.due.task in {Task.FIRST_UP, Task.HALF_UP}]
    numbers = {mat.name: sorted({o.tray.number for o in up if o.tray.place_id == mat.id}) for mat in mats}
    return {name: tuple(label(number) for number in found) for name, found in numbers.items() if found}


def _then(opening: Opening, on: Grounds) -> str:
    """What follows a tray's coming up on a mat: nobody ticks it while away, so no other line would say so."""
    task, tray = opening.due.task, opening.tray
    if on.places[tray.place_id].kind is not PlaceKind.HEAT_MAT or task not in {Task.FIRST_UP, Task.HALF_UP}:
        return ""
    fast = any(on.crops[sowing.crop].stretches_fast for sowing in living(tray))
    return "then off the mat" if fast or task is Task.HALF_UP else "off the mat at half up"


def jobs(openings: Iterable[Opening], walk: Sequence[Place], last: date, on: Grounds) -> Iterator[Job]:
    """The tasks of a day, place by place as one walks; trays that share task, place and last day share a line."""
    order = {place.id: rank for rank, place in enumerate(walk)}

    def key(found: Opening) -> tuple[int, Task, date, str]:
        end = found.due.window.end
        by = end if end and end < last else date.max
        return order[found.tray.place_id], found.due.task, by, _then(found, on)

    jobs = sorted(
        (o for o in openings if o.due.task is not Task.PAST), key=lambda o: (*key(o), o.tray.number)
    )
    for (rank, task, end, then), group in groupby(jobs, key):
        labels = tuple(label(found.tray.number) for found in group)
        yield Job(walk[rank].name, task, then, labels, end if end < date.max else None)


def living(tray: Tray) -> list[Sowing]:
    """Its sowings of which something is left."""
    return [sowing for sowing in tray.sowings if sowing.have]
