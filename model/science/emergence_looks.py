"""The chance of what was seen of a sowing coming up, for every speed and viability its seed lot may have.

A cell of k seeds shows a plant by progress P with chance c(P) = 1 - (1 - g Φ(ln(m P)/s))^k: m the speed of the
lot against the table of days to emergence, g the share of its seeds that can come up (its viability), and s
the spread within the lot. Counts of one sowing are running totals of the same cells, so that what is new at
each look is multinomial over the gaps between looks; they are not counts of separate cells.

References:
    1. The times within a lot are those of model.science.emergence (`fraction_up`). The likelihood on a grid has
       no published source: it is ours.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate, pairwise
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from model.errors import BadInput
from model.science.emergence import LOT_SD
from model.science.source import Sourced

GRID_STEP = Sourced(0.01, "-", "ours: step of both grids; half of the narrowest posterior met", "assumed")
GRID_SDS = Sourced(6.0, "-", "ours: how many LOT_SD of ln(speed) the grid reaches to each side", "assumed")
LEAST_CHANCE = Sourced(
    1e-12, "-", "ours: floor of a chance, so that a slip of the pen leaves an answer", "assumed"
)

Array = NDArray[np.float64]
"""Any shape, double precision."""

_REACH = round(GRID_SDS.value * LOT_SD.value / GRID_STEP.value)

LOG_SPEEDS: Array = GRID_STEP.value * np.arange(-_REACH, _REACH + 1, dtype=np.float64)
"""Grid of ln(speed of the lot): -0.90, -0.89, ... 0.90; shape (181,) [-]."""
VIABILITIES: Array = GRID_STEP.value * (np.arange(round(1.0 / GRID_STEP.value), dtype=np.float64) + 1.0 / 2.0)
"""Grid of viability: 0.005, 0.015, ... 0.995; shape (100,) [fraction]."""
CHANCES = np.linspace(0.0, 1.0, 4001)
"""Points of the binomial table, 1/80 of the narrowest curve (512 cells) apart [fraction]."""

_NORMAL = NormalDist()
_TINY = float(np.finfo(float).tiny)


@dataclass(frozen=True, slots=True)
class Looks:
    """What was seen of one sowing. Progress is the sum of `daily_progress` since sowing, at the day of the look."""

    cells: int
    seeds_per_cell: int = 1
    counts: tuple[tuple[float, int], ...] = ()
    """Progress, and cells showing a plant by then."""
    first_up: tuple[float, float] | None = None
    """Progress at the last look with nothing up (0 if there was none), and at the look with something up."""
    half_up: tuple[float, float] | None = None
    """Progress at the last look with fewer than half of the sown cells up, and at the look with half or more."""


def cells_up(progress: float, spread: float, seeds_per_cell: int) -> Array:
    """Share of cells showing a plant, c(P), at every point of the grid.

    Args:
        progress: Sum of `daily_progress` since sowing, at least 0 [-].
        spread: Standard deviation of ln(time) within the lot, above 0 [-].
        seeds_per_cell: Seeds sown to a cell, 1 or more [seeds].

    Returns:
        1 - (1 - g Φ(ln(m P)/s))^k; shape (181, 100) [fraction]; NaN throughout where an input is NaN.

    References:
        1. The equation is ours; see the module.
    """
    if progress == 0.0:
        return np.zeros((len(LOG_SPEEDS), len(VIABILITIES)))
    ahead = (LOG_SPEEDS + math.log(progress)) / spread
    come = np.array([_NORMAL.cdf(deviate) for deviate in ahead])
    up: Array = 1.0 - (1.0 - come[:, None] * VIABILITIES) ** seeds_per_cell
    return up


def log_likelihood(looks: Looks, spread: float) -> Array:
    """Logarithm of the chance of what was seen of one sowing, at every point of the grid.

    Args:
        looks: What was seen.
        spread: Standard deviation of ln(time) within the lot, above 0 [-].

    Returns:
        Up to a constant; shape (181, 100) [-]; NaN throughout where an input is NaN.

    Raises:
        BadInput: A count above the cells or below 0, a negative progress, a look before the one it follows, or
            a sowing without cells or seeds.

    Notes:
        Counts x_1 <= x_2 <= ... of n cells: Σ (x_j - x_{j-1}) ln(c_j - c_{j-1}) + (n - x_last) ln(1 - c_last). A
        count below an earlier one means losses; the earlier one is kept (the running maximum), since what came
        up once did come up. Of two counts at one progress the higher is kept. A tick adds the chance that the
        count passed its mark between the two looks, given the counts around it; a mark that counts decide
        adds nothing. Half is half of the sown cells; a grower may mean half of those that come.

    References:
        1. The equation is ours; see the module.
    """
    _check(looks)
    total = np.zeros((len(LOG_SPEEDS), len(VIABILITIES)))
    if any(map(math.isnan, (spread, *_progresses(looks)))):
        return total + math.nan

    def up(progress: float) -> Array:
        return cells_up(progress, spread, looks.seeds_per_cell)

    # Before the first look nothing is up; after the last, the cells that never show are taken as still to come.
    known = [(at, count, up(at)) for at, count in _running_counts(looks)]
    steps = [(0.0, 0, total), *known, (math.inf, looks.cells, total + 1.0)]
    for before, after in pairwise(steps):
        new = np.maximum(after[2] - before[2], LEAST_CHANCE.value)
        marks = np.maximum(_marks_chance(looks, up, before, after), LEAST_CHANCE.value)
        total = total + (after[1] - before[1]) * np.log(new) + np.log(marks)
    return total


def _check(looks: Looks) -> None:
    """Refuse looks that can't be."""
    if looks.cells < 1 or looks.seeds_per_cell < 1:
        raise BadInput("A sowing needs at least one cell and one seed to a cell.", "Check the sowing.")
    if any(not 0 <= up <= looks.cells for _, up in looks.counts):
        raise BadInput(f"A count must lie between 0 and the {looks.cells} cells sown.", "Check the count.")
    if any(tick is not None and tick[0] > tick[1] for tick in (looks.first_up, looks.half_up)):
        raise BadInput("A tick can't be before the look that it follows.", "Check the days.")
    if any(progress < 0.0 for progress in _progresses(looks)):
        raise BadInput("Seed can't have gone less than no way to emergence.", "Check the temperatures.")


def _progresses(looks: Looks) -> list[float]:
    """At every look and tick."""
    return [*(at for at, _ in looks.counts), *(looks.first_up or ()), *(looks.half_up or ())]


def _running_counts(looks: Looks) -> list[tuple[float, int]]:
    """Counts by rising progress, none below an earlier one; nothing up at the look before first up."""
    highest: dict[float, int] = {}
    for at, count in (*looks.counts, *([(looks.first_up[0], 0)] if looks.first_up else [])):
        highest[at] = max(count, highest.get(at, 0))
    in_order = sorted(highest)
    return list(zip(in_order, accumulate((highest[at] for at in in_order), max), strict=True))


def _marks_chance(
    looks: Looks,
    up: Callable[[float], Array],
    before: tuple[float, int, Array],
    after: tuple[float, int, Array],
) -> Array:
    """Chance of the ticks that lie between two counts, given both: (progress, count, share up) of each.

    Of the cells that came between the counts each had come by a look in between with the same chance, so the
    count at that look is binomial. First up and half up together are half up less half up with nothing up.
    """
    (start, was, share_before), (end, now, share_after) = before, after
    half = (looks.cells + 1) // 2

    def by(progress: float, since: Array) -> Array:
        gap = np.maximum(share_after - since, LEAST_CHANCE.value)
        return np.clip((up(progress) - since) / gap, 0.0, 1.0)

    def half_between(count: int, since: Array) -> Array:
        chance = np.ones_like(since)
        missed, reached = looks.half_up or (start, end)
        if start < missed < end:
            chance = _at_most(half - 1 - count, now - count, by(missed, since))
        if start < reached < end:
            chance = chance - _at_most(half - 1 - count, now - count, by(reached, since))
        return chance

    chance = half_between(was, share_before)
    if looks.first_up and was == 0 and start < looks.first_up[1] < end:
        first = looks.first_up[1]
        chance = chance - (1.0 - by(first, share_before)) ** now * half_between(0, up(first))
    return chance


def _at_most(most: int, trials: int, chance: Array) -> Array:
    """Chance of `most` or fewer successes in so many trials, read straight between the points of a table."""
    return np.interp(chance, CHANCES, _at_most_table(most, trials))


@lru_cache(maxsize=256)
def _at_most_table(most: int, trials: int) -> Array:
    """The same at every one of CHANCES."""
    if most >= trials:
        return np.ones_like(CHANCES)
    hit, miss = np.log(np.maximum(CHANCES, _TINY)), np.log(np.maximum(1.0 - CHANCES, _TINY))
    total = np.zeros_like(CHANCES)
    ways = 0.0
    for count in range(most + 1):
        total += np.exp(ways + count * hit + (trials - count) * miss)
        ways += math.log((trials - count) / (count + 1))
    return total
