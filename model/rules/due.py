"""What is due in a sowing, as windows of days, each with a reason of at most eight words."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta
from itertools import pairwise

from model.ahead import CropLines
from model.days import short_day
from model.facts import Container, ContainerKind, Crop, Look, Place, PlaceKind, Sowing, Tray
from model.rules.coming_up import ComingUp, Stand
from model.rules.exposure import Exposure
from model.rules.filling import CIRCLING, HOLDS, Filling, seen_since
from model.rules.gate import OpenAir, opens_on
from model.rules.verdict import Due, Task, Window
from model.rules.warmth import DailySum
from model.science.thermal import degree_days
from model.units import Temperature, show_temperature

OFF_MAT_DAYS = 1
"""Days after half up within which a tray leaves the heat [d]. Half up is the usual line (Maine Extension)."""
COOL_MAT_C = 22.0
"""Set-point above which a mat is too warm for the seed of lettuce, celery and spinach [°C]. Ours: their normal
seedlings fall away above 20 to 25 °C (Harrington and Minges 1954)."""
THIN_AFTER, THIN_UNTIL = 5, 8
"""Days after half up between which spare seedlings are clipped [d]. Common practice, no source."""
LOOK_EVERY = 3
"""Days between two looks at the roots inside the window [d]. Common practice, no source."""
LOOK_EVERY_EARLY = 7
"""Days after a look that found no roots at the edge [d]. Common practice, no source."""
POTS_FROM_ML = 100.0
"""Plants that go on to pots are potted up from cells smaller than this [mL]. Common practice, no source."""
OUT_WITHIN = 7
"""Days within which plants that are hardened go out, unless roots circle before [d]. Common practice, no source."""
TENDER = "tender"
TENDER_NIGHT_C = 7.0
"""Plants of this class stay in on nights that are colder [°C]: tender plants aren't put out below 45 °F while they
harden (University of Maryland Extension, Hardening Vegetable Seedlings for the Home Garden)."""
FIRST_CUT_FROM, FIRST_CUT_TO = 28, 35
"""Days from sowing to the first cut of a salad flat in warm conditions [d]. Common practice, no source."""
PUBLISHED_CUT = "published 21-42 d"
"""Days from sowing to leaves of 5 to 15 cm [d]: Portland Monthly, on salad greens (press, opened)."""
WARM_C = 16.0
"""Mean at which the habit's days to a cut hold [°C]: a house of 12 °C at night and 20 by day. Ours: no source gives
the warmth beside the days."""
UP_WITHIN = 10
"""Days from sowing within which a flat is half up in warm conditions; the first cut waits for what is later [d]. Ours."""
NEXT_CUT_FROM, NEXT_CUT_TO = 14, 21
"""Days of regrowth to the next cut [d]. Common practice, no source."""
MOST_CUTS = 3
"""Cuts after which a flat has done its work. Common practice, no source."""


def for_cutting(container: Container, crop: Crop) -> bool:
    """Whether a sowing is a salad flat: cut and cut again, never set out."""
    return container.kind is ContainerKind.OPEN_FLAT and crop.cut_again


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
    stand: Stand
    """What was seen of its coming up."""
    looks: tuple[Look, ...] = ()
    """Looks at its roots in this container, the first one first."""
    hardened: Exposure | None = None
    """What it had of the open air, where it stands in a hardening area."""
    hardened_on: date | None = None
    """Day on which it has hardened long enough, where it stands in a hardening area."""
    lines: CropLines | None = None
    """Its lines out of doors; None where nobody asked."""
    open_air: OpenAir = field(default_factory=OpenAir)
    """What was last read of the ground and told of the nights."""
    scale: Temperature = Temperature.CELSIUS
    """Scale in which temperatures are told."""
    warmth: DailySum | None = None
    """Of a salad flat, the warmth that it grows by."""

    @property
    def spent(self) -> bool:
        """Whether a salad flat has had its last cut."""
        return len(self.sowing.cuts) >= MOST_CUTS

    @property
    def for_cutting(self) -> bool:
        """A salad flat: cut and cut again, never set out."""
        return for_cutting(self.container, self.crop)

    @property
    def look(self) -> Look | None:
        """The last look at its roots in this container."""
        return self.looks[-1] if self.looks else None

    @property
    def held_since(self) -> date | None:
        """Day from which every look has found that the plug holds together."""
        return seen_since(self.looks, HOLDS)

    @property
    def circling_since(self) -> date | None:
        """Day from which every look has found roots circling."""
        return seen_since(self.looks, CIRCLING)

    @property
    def age_days(self) -> int:
        """Days since sowing."""
        return (self.today - self.sowing.sown_on).days

    @property
    def too_warm(self) -> bool:
        """Seed that heat harms lies on a heat mat."""
        hot = self.place.kind is PlaceKind.HEAT_MAT and self.place.high_c > COOL_MAT_C
        return hot and not self.crop.hot_mat and self.stand.first is None

    def day_number(self, day: date) -> int:
        """A day as days since sowing."""
        return (day - self.sowing.sown_on).days


def due_in(case: Case) -> tuple[Due, ...]:
    """What is due in one sowing, now or later, the first window first; nothing in one that is gone."""
    if case.sowing.have == 0:
        return ()
    rules = (_up, _off_mat, _thin, _look, _next_home, _past, _cut)
    found = [due for rule in rules for due in rule(case)]
    return tuple(sorted(found, key=lambda due: (due.window.start, due.task)))


def _days(count: int) -> timedelta:
    return timedelta(days=count)


def _due(case: Case, task: Task, start: date, end: date | None, why: str) -> Due:
    return Due(task, Window(start, end and max(start, end)), why, case.sowing.id)


def _up(case: Case) -> Iterator[Due]:
    """Look for hooks, then count until half is up."""
    up, stand = case.up, case.stand
    if stand.first is None and up.first and up.slow_end:
        first, slow = case.day_number(up.first), case.day_number(up.slow_end)
        why = f"day {case.age_days} of {first}-{slow} to come up"
        yield _due(case, Task.FIRST_UP, up.first, up.slow_end, why)
    elif stand.first is not None and stand.half is None:
        start, seen = stand.first + _days(1), f"first up {short_day(stand.first)}"
        if up.median and up.slow_end and up.slow_end > stand.first:
            why = f"{seen}, half by d{case.day_number(up.slow_end)}"
            yield _due(case, Task.HALF_UP, max(start, up.median), up.slow_end, why)
        else:
            yield _due(case, Task.HALF_UP, start, None, f"{seen}; half not seen")


def _off_mat(case: Case) -> Iterator[Due]:
    """Seedlings leave the heat they came up on; what was put on heat when it was up is the grower's choice."""
    if case.place.kind is not PlaceKind.HEAT_MAT:
        return
    since, stand = case.tray.stays[-1].since, case.stand
    start, why = None, ""
    if case.too_warm:
        start = max(since, case.sowing.sown_on)
        why = f"{show_temperature(case.place.high_c, case.scale)} is too warm for this seed"
    elif case.crop.stretches_fast and stand.first is not None:
        start, why = stand.first, f"up since {short_day(stand.first)}; stretches on heat"
    elif stand.half is not None:
        taken = "" if case.sowing.half_up else " likely"
        start, why = stand.half, f"half up{taken} since {short_day(stand.half)}"
    if start is not None and since <= start:
        yield _due(case, Task.OFF_MAT, start, start + _days(OFF_MAT_DAYS), why)


def _thin(case: Case) -> Iterator[Due]:
    """Clip the spare seedling, once; clumps that are wanted and flats are left alone."""
    sowing = case.sowing
    if sowing.half_up is None or sowing.thinned_on or sowing.seeds_per_cell < 2:
        return
    single = not case.crop.doubles_wanted and case.container.kind is not ContainerKind.OPEN_FLAT
    if single and case.tray.parent_id is None and case.place.kind is not PlaceKind.HARDENING:
        start, end = (sowing.half_up + _days(count) for count in (THIN_AFTER, THIN_UNTIL))
        why = f"{sowing.seeds_per_cell} seeds a cell, half up {short_day(sowing.half_up)}"
        yield _due(case, Task.THIN, start, end, why)


def _look(case: Case) -> Iterator[Due]:
    """Look at the roots when the quickest may hold together, then again until a look has found that they do."""
    look, filling = case.look, case.filling
    if case.for_cutting or case.held_since is not None:
        return
    if look is not None:
        start = look.day + _days(LOOK_EVERY if look.score else LOOK_EVERY_EARLY)
        why = f"roots {look.score} on {short_day(look.day)}; look again"
        yield _due(case, Task.LOOK, start, start + _days(LOOK_EVERY), why)
    elif filling is not None and filling.early is not None and filling.ready is not None:
        end = max(filling.ready.start, filling.early + _days(LOOK_EVERY))
        why = f"day {case.age_days}; plug may hold from {short_day(filling.early)}"
        yield _due(case, Task.LOOK, filling.early, end, why)


def _next_home(case: Case) -> Iterator[Due]:
    """Pot up, start hardening or set out: one of them is next, once the plug holds together."""
    # What stands apart stays apart: it is potted up, hardened and set out by nobody.
    if case.for_cutting or case.stand.first is None or case.place.kind is PlaceKind.QUARANTINE:
        return
    start, end, why = _ready(case)
    if case.hardened_on is not None:
        hardened = max(case.hardened_on, start or case.hardened_on)
        yield _due(case, Task.SET_OUT, hardened, _out_by(case, hardened, end), hardening_words(case))
    elif start is None:
        return
    elif case.crop.pots_up and case.container.volume_ml < POTS_FROM_ML:
        yield _due(case, Task.POT_UP, start, end, why)
    else:
        opens = opens_on(case.lines, case.open_air, case.today) if case.lines else None
        if opens is not None and opens - _days(case.crop.harden_days) > max(start, case.today):
            # Hardened too soon it stands outside in nights that it doesn't bear.
            start, why = opens - _days(case.crop.harden_days), f"gate likely shut until {short_day(opens)}"
        yield _due(case, Task.HARDEN, start, end, why)
        hardened = max(start, case.today) + _days(case.crop.harden_days)
        yield _due(case, Task.SET_OUT, hardened, _out_by(case, hardened, end), why)


def hardening_words(case: Case) -> str:
    """How long plants have hardened, against how long they should."""
    done, wanted = case.hardened.days if case.hardened else 0, case.crop.harden_days
    return f"day {done} of {wanted} hardening" if done <= wanted else f"{done} days hardened, {wanted} wanted"


def _out_by(case: Case, hardened: date, full: date | None) -> date | None:
    """Last day to set out plants that have hardened: some days, though not past the day that roots circle."""
    bound = case.filling.bound if case.filling else None
    return full and max(full, min(bound or date.max, hardened + _days(OUT_WITHIN)))


def _ready(case: Case) -> tuple[date | None, date | None, str]:
    """From when until when the plug holds together without being crowded, and how that is known."""
    held, look, filling = case.held_since, case.look, case.filling
    window = filling.ready if filling else None
    if look is not None and held is not None:
        return held, window.end if window else None, f"roots {look.score} seen {short_day(look.day)}"
    if window is None:
        return None, None, ""
    if look is not None:
        why = f"roots {look.score} seen; ready about {short_day(window.start)}"
    else:
        why = f"day {case.age_days} of {span(case, window)}; not looked at"
    return window.start, window.end, why


def span(case: Case, window: Window) -> str:
    """A window in days since sowing: "18-26", "18 on"."""
    first = case.day_number(window.start)
    return f"{first}-{case.day_number(window.end)}" if window.end else f"{first} on"


def _past(case: Case) -> Iterator[Due]:
    """Roots circle: whatever is next should have been done."""
    filling = case.filling
    circling = case.circling_since
    if case.for_cutting:
        return
    if circling is not None:
        yield _due(case, Task.PAST, circling, None, f"roots circling, seen {short_day(circling)}")
    elif filling is not None and filling.bound is not None and filling.bound <= case.today:
        yield _due(
            case, Task.PAST, filling.bound, None, f"roots circle since about {short_day(filling.bound)}"
        )


def cut_window(case: Case) -> Window | None:
    """When a salad flat is cut next; None before it is up, after its last cut, and where it is too cold to grow."""
    cuts = case.sowing.cuts
    if case.stand.first is None or case.warmth is None or case.spent:
        return None
    since, first, last = (
        (cuts[-1], NEXT_CUT_FROM, NEXT_CUT_TO) if cuts else (_grows_since(case), FIRST_CUT_FROM, FIRST_CUT_TO)
    )
    start, end = (cut_by(case.crop, case.warmth, since, days) for days in (first, last))
    return Window(start, end) if start else None


def cut_by(crop: Crop, warmth: DailySum, since: date, days: int) -> date | None:
    """The day on which leaves have had the warmth of so many warm days, never sooner than after as many days.

    None where it is too cold for that ever to come.
    """
    warm = degree_days(WARM_C, WARM_C, crop.base_c, crop.cap_c)
    grown = warmth.day_of(since, days * warm)
    return max(grown, since + _days(days)) if grown else None


def _grows_since(case: Case) -> date:
    """Day from which the first cut is counted: sowing, put off by the days that half up was seen late."""
    half, sown_on = case.sowing.half_up, case.sowing.sown_on
    return max(sown_on, half - _days(UP_WITHIN)) if half else sown_on


def cut_words(sowing: Sowing, fed: date | None) -> str:
    """The cuts of a part with the days between: "cut 14 Apr, 2 May (18 d): 2 of 3"; "" before the first."""
    cuts = sowing.cuts
    if not cuts:
        return ""
    between = ["", *(f" ({(later - sooner).days} d)" for sooner, later in pairwise(cuts))]
    days = ", ".join(f"{short_day(day)}{gap}" for day, gap in zip(cuts, between, strict=True))
    hungry = len(cuts) < MOST_CUTS and (fed is None or fed < cuts[-1])
    done = f"cut {days}: {len(cuts)} of {MOST_CUTS}" if len(cuts) <= MOST_CUTS else f"cut {days}"
    return done + ("; feed plain mix" if hungry else "")


def _cut(case: Case) -> Iterator[Due]:
    """Cut a salad flat again and again, then retire it."""
    cuts, window = case.sowing.cuts, cut_window(case)
    if not case.for_cutting:
        return
    if window is not None:
        why = f"day {case.age_days} of {span(case, window)} to first cut"
        if cuts:
            why = f"cut {len(cuts)} was {short_day(cuts[-1])}"
        yield _due(case, Task.CUT, window.start, window.end, why)
    elif case.spent:
        yield _due(case, Task.RETIRE, cuts[-1], None, f"cut {len(cuts)} times")
