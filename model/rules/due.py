"""What is due in a sowing, as windows of days, each with a reason of at most eight words."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from model.days import short_day
from model.facts import Container, ContainerKind, Crop, Place, PlaceKind, Sowing, Tray
from model.rules.coming_up import ComingUp
from model.rules.filling import HOLDS, Filling
from model.rules.verdict import Due, Task, Window

OFF_MAT_DAYS = 1
"""Days after half up within which a tray leaves the heat [d]. Half up is the usual line (Maine Extension)."""
THIN_AFTER, THIN_UNTIL = 5, 8
"""Days after half up between which spare seedlings are clipped [d]. Common practice, no source."""
LOOK_EVERY = 3
"""Days between two looks at the roots inside the window [d]. Common practice, no source."""
LOOK_EVERY_EARLY = 7
"""Days after a look that found no roots at the edge [d]. Common practice, no source."""
SMALL_CELL_ML = 100.0
"""Plants that go on to pots are potted up from cells smaller than this [mL]. Common practice, no source."""
FIRST_CUT_FROM, FIRST_CUT_TO = 28, 35
"""Days from sowing to the first cut of a salad flat in warm conditions [d]. Common practice, no source."""
NEXT_CUT_FROM, NEXT_CUT_TO = 14, 21
"""Days of regrowth to the next cut [d]. Common practice, no source."""
MOST_CUTS = 3
"""Cuts after which a flat has done its work. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Case:
    """Everything the rules look at in one sowing."""

    sowing: Sowing
    tray: Tray
    crop: Crop
    place: Place
    container: Container
    up: ComingUp
    filling: Filling | None
    today: date

    @property
    def for_cutting(self) -> bool:
        """A salad flat: cut and cut again, never set out."""
        return self.container.kind is ContainerKind.OPEN_FLAT and self.crop.cut_again


def due_in(case: Case) -> tuple[Due, ...]:
    """What is due in one sowing, now or later, the first window first."""
    rules = (_up, _off_mat, _thin, _look, _next_home, _past, _cut)
    found = [due for rule in rules for due in rule(case)]
    return tuple(sorted(found, key=lambda due: (due.window.start, due.task)))


def _days(count: int) -> timedelta:
    return timedelta(days=count)


def _due(case: Case, task: Task, start: date, end: date | None, why: str) -> Due:
    return Due(task, Window(start, end if end is None else max(start, end)), why, case.sowing.id)


def _up(case: Case) -> Iterator[Due]:
    sowing, up = case.sowing, case.up
    if up.first is None or up.median is None or up.slow_end is None:
        if sowing.first_up is not None and sowing.half_up is None:
            yield _due(
                case, Task.HALF_UP, sowing.first_up + _days(1), None, "first up seen; half up still open"
            )
        return
    age = (case.today - sowing.sown_on).days
    first, slow = ((day - sowing.sown_on).days for day in (up.first, up.slow_end))
    if sowing.first_up is None:
        yield _due(case, Task.FIRST_UP, up.first, up.slow_end, f"day {age} of {first}-{slow} to come up")
    elif sowing.half_up is None:
        start = max(sowing.first_up + _days(1), min(up.median, up.slow_end))
        yield _due(
            case,
            Task.HALF_UP,
            start,
            up.slow_end,
            f"first up {short_day(sowing.first_up)}; half by day {slow}",
        )


def _off_mat(case: Case) -> Iterator[Due]:
    if case.place.kind is not PlaceKind.HEAT_MAT:
        return
    sowing = case.sowing
    if case.crop.stretches_fast and sowing.first_up is not None:
        end = sowing.first_up + _days(OFF_MAT_DAYS)
        yield _due(
            case,
            Task.OFF_MAT,
            sowing.first_up,
            end,
            f"up since {short_day(sowing.first_up)}; stretches on heat",
        )
    elif sowing.half_up is not None:
        end = sowing.half_up + _days(OFF_MAT_DAYS)
        yield _due(case, Task.OFF_MAT, sowing.half_up, end, f"half up since {short_day(sowing.half_up)}")


def _thin(case: Case) -> Iterator[Due]:
    sowing = case.sowing
    if sowing.half_up is None or sowing.thinned_on or sowing.seeds_per_cell < 2:
        return
    if (
        case.crop.doubles_wanted
        or case.container.kind is ContainerKind.OPEN_FLAT
        or case.tray.parent_id is not None
    ):
        return
    start, end = (sowing.half_up + _days(count) for count in (THIN_AFTER, THIN_UNTIL))
    yield _due(
        case,
        Task.THIN,
        start,
        end,
        f"{sowing.seeds_per_cell} seeds a cell, half up {short_day(sowing.half_up)}",
    )


def _look(case: Case) -> Iterator[Due]:
    filling = case.filling
    if filling is None or filling.early is None or filling.ready is None or case.for_cutting:
        return
    if filling.look is None:
        why = f"day {(case.today - case.sowing.sown_on).days}; plug may hold from {short_day(filling.early)}"
        yield _due(
            case, Task.LOOK, filling.early, max(filling.ready.start, filling.early + _days(LOOK_EVERY)), why
        )
    elif filling.look.score < HOLDS:
        pause = LOOK_EVERY if filling.look.score else LOOK_EVERY_EARLY
        start = filling.look.day + _days(pause)
        why = f"roots {filling.look.score} on {short_day(filling.look.day)}; look again"
        yield _due(case, Task.LOOK, start, start + _days(LOOK_EVERY), why)


def _next_home(case: Case) -> Iterator[Due]:
    """Pot up, start hardening or set out: one of them is next."""
    filling = case.filling
    if filling is None or filling.ready is None or case.for_cutting:
        return
    look = filling.look
    seen = look is not None and look.score >= HOLDS
    start = min(filling.ready.start, look.day) if look and seen else filling.ready.start
    end = filling.ready.end
    why = f"roots {look.score} seen {short_day(look.day)}" if look and seen else _by_age(case, filling)
    hardening_since = case.tray.stays[-1].since if case.place.kind is PlaceKind.HARDENING else None
    if hardening_since is not None:
        days = (case.today - hardening_since).days
        ready = hardening_since + _days(case.crop.harden_days)
        why = f"day {days} of {case.crop.harden_days} hardening"
        yield _due(case, Task.SET_OUT, ready, max(ready, end) if end else None, why)
    elif case.crop.pots_up and case.container.volume_ml < SMALL_CELL_ML:
        yield _due(case, Task.POT_UP, start, end, why)
    else:
        yield _due(case, Task.HARDEN, start, end, why)
        out = start + _days(case.crop.harden_days)
        yield _due(
            case, Task.SET_OUT, max(out, case.today + _days(case.crop.harden_days)), _later(out, end), why
        )


def _past(case: Case) -> Iterator[Due]:
    filling = case.filling
    if filling is None or filling.bound is None or case.for_cutting or filling.bound > case.today:
        return
    yield _due(case, Task.PAST, filling.bound, None, f"roots circle since about {short_day(filling.bound)}")


def _later(day: date, other: date | None) -> date | None:
    return None if other is None else max(day, other)


def _by_age(case: Case, filling: Filling) -> str:
    age = (case.today - case.sowing.sown_on).days
    ready = filling.ready
    if ready is None:
        return f"day {age}"
    first = (ready.start - case.sowing.sown_on).days
    last = (ready.end - case.sowing.sown_on).days if ready.end else None
    return f"day {age} of {first}-{last}; not looked at" if last else f"day {age}, from day {first}"


def _cut(case: Case) -> Iterator[Due]:
    sowing = case.sowing
    if not case.for_cutting or sowing.first_up is None:
        return
    if not sowing.cuts:
        age = (case.today - sowing.sown_on).days
        start, end = (sowing.sown_on + _days(count) for count in (FIRST_CUT_FROM, FIRST_CUT_TO))
        yield _due(case, Task.CUT, start, end, f"day {age} of {FIRST_CUT_FROM}-{FIRST_CUT_TO} to first cut")
    elif len(sowing.cuts) < MOST_CUTS:
        last = sowing.cuts[-1]
        start, end = (last + _days(count) for count in (NEXT_CUT_FROM, NEXT_CUT_TO))
        yield _due(case, Task.CUT, start, end, f"cut {len(sowing.cuts)} was {short_day(last)}")
    else:
        yield _due(case, Task.RETIRE, sowing.cuts[-1], None, f"cut {len(sowing.cuts)} times")
