"""From the day plants are wanted back to the days on which to sow them, by both ends of every range.

sow = wanted - hardening - growing in one or two containers - coming up. Where the place is known, coming up goes by
the published table at its usual days, or on the mat where the crop goes on one, and growing by root fill at the place,
from "holds together" to "full": whatever is sown within the window stands between the two when it is wanted. Elsewhere the published weeks from sowing to setting
out hold, with coming up and hardening inside them.

References:
    1. Montana State University Extension, a guide to starting plants: weeks are counted back from both ends of
       their range.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import ceil, exp, isfinite

from model.ahead import Purpose, Target
from model.errors import BadInput
from model.facts import ContainerKind, Crop, Place, Sowing, Stay, Tray, Treated, Vessel
from model.rules.cold import CORN, CORN_DAYS
from model.rules.coming_up import Z80
from model.rules.due import FIRST_CUT_FROM, FIRST_CUT_TO, cut_by, for_cutting
from model.rules.filling import growth_known, through
from model.rules.grounds import Grounds
from model.rules.verdict import Knows, Window
from model.rules.warmth import emergence_progress, growth_warmth
from model.science.emergence import LOT_SD
from model.science.quantities import SeedTest, cells_needed, supplies
from model.science.root_fill import FULL_FILL, HOLDS_FILL

WEEK = 7
"""Days of a week [d]."""
TRUE_LEAF_DAYS = 7
"""From up to the first true leaf, about [d]. Common practice, no source."""
STAGE_SLACK = 3
"""A class stage comes this much sooner or later, and a spare set is sown this far on either side [d]. Common practice."""
SEED_LEAVES, TRUE_LEAF = "seed leaves", "first true leaf"
STAGES: Mapping[str, int] = {SEED_LEAVES: 0, TRUE_LEAF: TRUE_LEAF_DAYS}
"""Stages a class can be aimed at, and their days after up [d]."""
LATER_LOSS = 0.05
"""Share of seedlings lost between coming up and setting out [fraction]. Common practice, no source."""
SMALL_SEED = 200.0
"""Seeds a gram from which seed is small and cheap enough to sow two a cell [seeds/g]. Ours, no source."""
SURE_SEED = 0.9
"""Germination from which one seed a cell does [fraction]. Ours, no source."""
GROUP = 4
"""Seeds a cell of crops that are kept several together. Common practice, no source."""
UNHARDENED = frozenset({Purpose.CLASS, Purpose.CUT})
"""What never goes out for good isn't hardened."""
BY_PLACE = "root fill from holds together to full at the place's usual warmth"
BY_HABIT = "habit's days to a first cut, more where it is colder"
BY_WEEKS = "published weeks from sowing to setting out, less coming up and hardening"
BY_PLUG = f"published weeks, and at most the {CORN_DAYS} days that it bears in the plug"


@dataclass(frozen=True, slots=True)
class Span:
    """Days that a part takes, from the least to the most [d], and how that is known."""

    lo: int
    hi: int
    knows: Knows
    source: str


@dataclass(frozen=True, slots=True)
class Here:
    """How a crop is raised at this farm."""

    mat: Place | None = None
    """The mat on which it comes up; None where it comes up at its place."""
    growth: float = 1.0
    """How fast it grows as a multiple of the crop's own [-]."""
    trays: int = 0
    """Earlier trays that this growth was learned from; 0 for the default."""


AS_PUBLISHED = Here()
"""Comes up at its place and grows as the crop file has it."""


@dataclass(frozen=True, slots=True)
class DaysBack:
    """The parts that are counted back from the day plants are wanted."""

    harden: Span
    growing: Span
    emergence: Span
    weeks: tuple[float, float] | None
    """Published weeks from sowing to setting out, which stand beside the count; None where nobody published any."""
    here: Here = AS_PUBLISHED

    @property
    def lo(self) -> int:
        """Fewest days from sowing to the day they are wanted [d]."""
        return self.harden.lo + self.growing.lo + self.emergence.lo

    @property
    def hi(self) -> int:
        """Most days from sowing to the day they are wanted [d]."""
        return self.harden.hi + self.growing.hi + self.emergence.hi


@dataclass(frozen=True, slots=True)
class Germination:
    """What is known of a lot's germination; a trade minimum stands in as a guess, never with a surety."""

    test: SeedTest | None
    guess: float
    """NaN where there is no figure either [fraction]."""


@dataclass(frozen=True, slots=True)
class Planned:
    """A target with the days on which to sow it and what that takes."""

    target: Target
    sow: Window
    """Earliest and latest sowing day, counted back from both ends of the range."""
    cells: int
    seeds_per_cell: int
    seeds: int
    trays: int
    sown: tuple[int, ...]
    """Ids of trays that were sown for it."""
    days: DaysBack
    direct: str
    """Why to sow it into the ground instead; "" where nothing says so."""
    mix_litres: float = 0.0
    sure: bool = False
    """Whether the cells come with a surety: only from a tested lot."""
    spare: tuple[date, ...] = ()
    """For a stage, the days of its two sets; half of the cells each, so that the spares come of both."""
    sown_cells: int = 0
    """Cells that were sown for it."""

    @property
    def left(self) -> int:
        """Trays still to be sown; none once all its cells are, in whatever trays."""
        return max(0, self.trays - len(self.sown)) if self.cells_left else 0

    @property
    def cells_left(self) -> int:
        """Cells still to be sown."""
        return max(0, self.cells - self.sown_cells)

    @property
    def opens(self) -> date:
        """The first day on which what is left is to be sown: of a stage the day of its next set."""
        if not self.spare:
            return self.sow.start
        return self.spare[0 if 2 * self.sown_cells < self.cells else 1]

    def reached(self, sown_on: date) -> Window:
        """When it is as it is wanted, were it sown on a day."""
        return Window(sown_on + timedelta(days=self.days.lo), sown_on + timedelta(days=self.days.hi))

    @property
    def published(self) -> Window | None:
        """Sowing days by the published weeks; None where nobody published any, or for a stage."""
        weeks, target = self.days.weeks, self.target
        if weeks is None or self.spare:
            return None
        start, end = (
            day - timedelta(days=round(count * WEEK))
            for day, count in ((target.first_day, weeks[1]), (target.last_day, weeks[0]))
        )
        return Window(start, end)

    def missed(self, today: date) -> bool:
        """Whether its last sowing day has gone by with trays still to sow."""
        return self.left > 0 and self.sow.end is not None and self.sow.end < today


def plan_one(
    target: Target,
    crop: Crop,
    on: Grounds,
    seed: Germination,
    here: Here = AS_PUBLISHED,
    sown: tuple[int, ...] = (),
    direct: str = "",
    sown_cells: int = 0,
) -> Planned | None:
    """When to sow a target and what it takes; None where neither place nor weeks tell how long it takes."""
    days = days_back(target, crop, on, here)
    if days is None:
        return None
    each = target.seeds_per_cell or seeds_advised(crop, seed)
    cells, sure = cells_for(target, seed, each)
    container = on.containers[target.container_id]
    flat = container.kind is ContainerKind.OPEN_FLAT
    spare = spare_days(target, days)
    # Each set of a stage is sown on a day of its own, into trays of its own.
    sets = max(1, len(spare))
    needs = supplies(
        1 if flat else ceil(cells / sets), each, 1 if flat else container.cells, container.volume_ml
    )
    return Planned(
        target=target,
        sow=window(target, days),
        cells=cells,
        seeds_per_cell=each,
        seeds=cells * each,
        trays=needs.trays * sets,
        sown=sown,
        days=days,
        direct=direct,
        mix_litres=needs.mix_litres * sets,
        sure=sure,
        spare=spare,
        sown_cells=sown_cells,
    )


def window(target: Target, days: DaysBack) -> Window:
    """Sowing days: from the first day wanted less the longest way, to the last day wanted less the shortest."""
    start = target.first_day - timedelta(days=days.hi)
    if target.stage in STAGES:
        slack = timedelta(days=STAGE_SLACK)
        return Window(start - slack, start + slack)
    return Window(start, max(start, target.last_day - timedelta(days=days.lo)))


def spare_days(target: Target, days: DaysBack) -> tuple[date, ...]:
    """For a stage: a set on either side of the day counted back, so that one of them shows it."""
    if target.stage not in STAGES:
        return ()
    middle = target.first_day - timedelta(days=days.hi)
    return middle - timedelta(days=STAGE_SLACK), middle + timedelta(days=STAGE_SLACK)


def days_back(target: Target, crop: Crop, on: Grounds, here: Here) -> DaysBack | None:
    """The parts from sowing to the day wanted; None where nothing tells."""
    hardening = 0 if target.purpose in UNHARDENED else crop.harden_days
    source = "not hardened: it doesn't go out" if target.purpose in UNHARDENED else "days of hardening"
    harden = Span(hardening, hardening, Knows.DEFAULT, source)
    up = coming_up_days(target, crop, on, here.mat)
    if target.stage in STAGES:
        # A spare set, not a wider window, takes up what a stage comes sooner or later.
        days = STAGES[target.stage]
        growing = Span(days, days, Knows.ASSUMED, f"to {target.stage}: common practice")
        return DaysBack(harden, growing, replace(up, hi=up.lo), crop.weeks, here) if up else None
    if target.purpose is Purpose.CUT and for_cutting(on.containers[target.container_id], crop):
        return _by_habit(target, crop, on, harden, up, here)
    if crop.key == CORN:
        # It goes out before its plug is full: root fill would keep it for longer than it bears.
        return _by_weeks(crop, harden, up, here, BY_PLUG, CORN_DAYS)
    by_place = growing_days(target, crop, on, here.growth) if up else None
    if up and by_place:
        knows = Knows.YOURS if here.trays else Knows.DEFAULT
        return DaysBack(harden, Span(*by_place, knows, BY_PLACE), up, crop.weeks, here)
    return _by_weeks(crop, harden, up, here)


def _by_weeks(
    crop: Crop,
    harden: Span,
    up: Span | None,
    here: Here,
    source: str = BY_WEEKS,
    most: int | None = None,
) -> DaysBack | None:
    """Published weeks from sowing to setting out, at most so many days."""
    if crop.weeks is None:
        return None
    lo, hi = (round(weeks * WEEK) for weeks in crop.weeks)
    span = Span(lo, min(hi, most) if most else hi, Knows.DEFAULT, source)
    return _whole(span, harden, up, crop.weeks, here)


def _by_habit(
    target: Target, crop: Crop, on: Grounds, harden: Span, up: Span | None, here: Here
) -> DaysBack | None:
    """The habit's days from sowing to the first cut, as in a warm place where none is named; None where it is too cold."""
    start = target.first_day
    stays = [Stay(target.place_id, start)] if target.place_id is not None else []
    if stays and here.mat and up:
        stays = [Stay(here.mat.id, start), Stay(stays[0].place_id, start + timedelta(days=up.hi))]
    lo, hi = (start + timedelta(days=days) for days in (FIRST_CUT_FROM, FIRST_CUT_TO))
    if stays:
        warmth = growth_warmth(crop, tuple(stays), _usual(on))
        reached = [cut_by(crop, warmth, start, days) for days in (FIRST_CUT_FROM, FIRST_CUT_TO)]
        if reached[0] is None or reached[1] is None:
            return None
        lo, hi = reached[0], reached[1]
    return _whole(Span((lo - start).days, (hi - start).days, Knows.DEFAULT, BY_HABIT), harden, up, None, here)


def _whole(
    span: Span, harden: Span, up: Span | None, weeks: tuple[float, float] | None, here: Here
) -> DaysBack:
    """Days from sowing to the day wanted as a whole: what comes up and what hardens lies inside them."""
    up = up or Span(0, 0, Knows.DEFAULT, f"inside the {span.source}")
    inside = up.hi + harden.hi
    growing = replace(span, lo=max(0, span.lo - inside), hi=max(0, span.hi - inside))
    return DaysBack(harden, growing, replace(up, lo=up.hi), weeks, here)


def coming_up_days(target: Target, crop: Crop, on: Grounds, mat: Place | None) -> Span | None:
    """Days to half up on the mat or else at the place, of a usual lot and of a slow one [d]; None where the place or the table doesn't tell.

    Source: Harrington and Minges 1954 by rate summation; a slow lot is LOT_SD behind.
    """
    if target.place_id is None or target.place_id not in on.places:
        return None
    start, place_id = target.first_day, mat.id if mat else target.place_id
    progress = emergence_progress(crop, (Stay(place_id, start),), _usual(on))
    slow = exp(Z80 * LOT_SD.value)
    days = [progress.day_of(start, share) for share in (1.0, slow)]
    if days[0] is None or days[1] is None:
        return None
    known = f"table of Harrington and Minges 1954 {crop.emergence_from}".strip()
    return Span((days[0] - start).days, (days[1] - start).days, Knows.DEFAULT, known)


def growing_days(target: Target, crop: Crop, on: Grounds, growth: float) -> tuple[int, int] | None:
    """Days from up until the plug holds together, and until it is full [d]; in a second container after the first.

    It is potted up on the day the first plug holds together. None where the crop's growth isn't known, the place
    is too cold to grow at, or in an open flat, where no plug forms.
    """
    home = on.containers[target.container_id]
    if target.place_id is None or not growth_known(crop) or home.kind is ContainerKind.OPEN_FLAT:
        return None
    start = target.first_day
    vessels = [Vessel(home.id, start)]
    holds = _reaches(target, crop, on, vessels, growth)
    if holds and target.pot_id is not None:
        vessels.append(Vessel(target.pot_id, holds[0]))
        holds = _reaches(target, crop, on, vessels, growth)
    return ((holds[0] - start).days, (holds[1] - start).days) if holds else None


def _reaches(
    target: Target, crop: Crop, on: Grounds, vessels: list[Vessel], growth: float
) -> tuple[date, date] | None:
    start, place = target.first_day, target.place_id
    assert place is not None
    sowing = Sowing(0, 1, crop.key, target.variety, "", Treated.UNKNOWN, 1, target.seeds_per_cell or 1, start)
    tray = Tray(0, 0, start, None, (), (sowing,), (Stay(place, start),), tuple(vessels))
    last = through(sowing, tray, crop, _usual(on), start, growth)[-1]
    days = last.reaches(HOLDS_FILL.value), last.reaches(FULL_FILL.value)
    return (days[0], days[1]) if days[0] and days[1] else None


def _usual(on: Grounds) -> Grounds:
    """Places on their usual days: a plan is for days that nobody has read yet."""
    return replace(on, weather={})


def seeds_advised(crop: Crop, seed: Germination) -> int:
    """Seeds a cell: one of large or sure seed, two of small cheap seed, several where they are kept together."""
    if crop.doubles_wanted:
        return GROUP
    test = seed.test
    share = test.sprouted / test.tested if test else seed.guess
    small = isfinite(crop.seeds_per_gram) and crop.seeds_per_gram >= SMALL_SEED
    return 2 if small and not share >= SURE_SEED else 1


def cells_for(target: Target, seed: Germination, each: int) -> tuple[int, bool]:
    """Cells to sow, and whether they are sure: from a test; from the trade minimum, a guess; else one a plant.

    One a plant too where a test is so bad that no number of cells is sure: another lot is wanted then.
    """
    survival = 1.0 if target.stage in STAGES else 1.0 - LATER_LOSS
    if seed.test is not None:
        try:
            return cells_needed(target.plants, seed.test, each, survival), True
        except BadInput:
            return target.plants, False
    if not isfinite(seed.guess):
        return target.plants, False
    usable = (1.0 - (1.0 - seed.guess) ** each) * survival
    return ceil(target.plants / usable), False
