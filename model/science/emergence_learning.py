"""What counts of seedlings up teach about a seed lot: how fast it is, and how much of it can come up at all.

The chance of what was seen (model.science.emergence_looks) is weighed on a grid of the lot's speed m against
the table, ln m ~ N(0, LOT_SD²), and its viability g, with a Beta prior from a germination test or without one.

References:
    1. Harrington and Minges 1954: days to emergence, see model.science.emergence. Learning on a grid, the priors
       and their widths have no published source: they are ours.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
from numpy.typing import ArrayLike

from model.errors import BadInput
from model.science.emergence import LOT_SD
from model.science.emergence_looks import (
    GRID_STEP,
    LOG_SPEEDS,
    VIABILITIES,
    Array,
    Looks,
    cells_up,
    log_likelihood,
)
from model.science.source import Sourced

BAND = (0.1, 0.9)
"""Ends of an 80 % band [fraction]."""
TEST_COUNTS_FOR = Sourced(
    50.0, "seeds", "ours: a larger germination test counts as one of this size; trays aren't paper", "assumed"
)
NO_KNOWLEDGE = Sourced(
    0.5, "seeds", "Jeffreys prior of a share, added to either side of a test", "definition"
)
UNTESTED_COUNTS_FOR = Sourced(8.0, "seeds", "ours: weight of the usual viability without a test", "assumed")
FAILING = Sourced(0.05, "fraction", "ours: share of lots of which any viability may be true", "assumed")
USUAL_MINIMUM = Sourced(0.70, "fraction", "ours: where the crop has no legal minimum germination", "assumed")

_NORMAL = NormalDist()


@dataclass(frozen=True, slots=True)
class Lot:
    """What is known of a seed lot."""

    weights: Array
    """Over LOG_SPEEDS x VIABILITIES, summing to 1; shape (181, 100) [-]."""
    spread: float
    """Standard deviation of ln(time) within the lot [-]."""


@dataclass(frozen=True, slots=True)
class Moments:
    """Mean and standard deviation."""

    mean: float
    sd: float


@dataclass(frozen=True, slots=True)
class ShareBand:
    """Expected share of cells up and its 80 % band; each of the shape of the progress asked for [fraction]."""

    mean: Array
    low: Array
    high: Array


@dataclass(frozen=True, slots=True)
class SlowOrDead:
    """What can be said of seed that isn't up: a slow good lot and a fast poor one may explain the counts alike."""

    correlation: float
    """Of ln(speed) and viability: near -1 where they do, near 0 where slow and dead are told apart [-]."""
    viability_sd: float
    """Doubt about viability, the other half of the answer: it stays wide until the curve is flat [fraction]."""
    chance_poor: float
    """Chance that viability is below the level asked for [fraction]."""


def viability_after_test(came_up: float, tested: float) -> tuple[float, float]:
    """Beta prior of viability from a germination test.

    Args:
        came_up: Seeds that came up in the test, 0 to `tested` [seeds].
        tested: Seeds in the test, 0 or more [seeds].

    Returns:
        (a, b) of a Beta: half a seed either way (Jeffreys) plus the test [seeds]; NaN where an input is NaN.

    Raises:
        BadInput: More came up than were tested, or a number below 0.

    Notes:
        A test of more than TEST_COUNTS_FOR seeds weighs no more than one of that many: seed in a tray meets
        other trouble than seed on paper, however many were tested. That limit is ours.

    Examples:
        >>> viability_after_test(85, 100)
        (43.0, 8.0)
    """
    if came_up < 0.0 or came_up > tested:
        raise BadInput(f"{came_up:g} of {tested:g} seeds can't come up.", "Check the germination test.")
    weight = min(1.0, TEST_COUNTS_FOR.value / tested) if tested else 1.0
    least = NO_KNOWLEDGE.value
    return least + weight * came_up, least + weight * (tested - came_up)


def viability_untested(legal_minimum: float | None = None) -> tuple[float, float]:
    """Beta prior of viability of a lot without a germination test.

    Args:
        legal_minimum: Least germination at which seed of the crop may be sold, between 0 and 1; None = the crop
            has none [fraction].

    Returns:
        (a, b) of a Beta with mean half way between the minimum and 1, weighing UNTESTED_COUNTS_FOR seeds
        [seeds]; NaN for NaN.

    Raises:
        BadInput: A minimum that isn't between 0 and 1.

    Notes:
        Sold lots stand above the minimum; how far is ours (assumed). Home-saved or old seed needs a test.

    Examples:
        >>> viability_untested(0.75)
        (7.0, 1.0)
    """
    minimum = USUAL_MINIMUM.value if legal_minimum is None else legal_minimum
    if not 0.0 < minimum < 1.0 and not math.isnan(minimum):
        raise BadInput(f"A minimum germination of {minimum:g} can't be.", "Give a share between 0 and 1.")
    usual = (1.0 + minimum) / 2.0
    return UNTESTED_COUNTS_FOR.value * usual, UNTESTED_COUNTS_FOR.value * (1.0 - usual)


def learn(looks: Sequence[Looks], spread: float, viability: tuple[float, float]) -> Lot:
    """What the looks at a lot's sowings say about its speed and viability.

    Args:
        looks: What was seen, one entry for each sowing of the lot; none = nothing yet.
        spread: Standard deviation of ln(time) within the lot, above 0; 0.15 to 0.30 in this program's crops [-].
        viability: (a, b) of the Beta prior, both above 0, from `viability_after_test` or `viability_untested`.

    Returns:
        Weights on the grid; NaN throughout where an input is NaN.

    Raises:
        BadInput: Looks that can't be (see `log_likelihood`), or a spread or prior that isn't above 0.

    Notes:
        Weight = N(ln m; 0, LOT_SD²) · ((1 - f) Beta(g; a, b) + f) · Π likelihood of the sowings, f = FAILING: a
        lot may have died since its test, or never been what it was sold for. Cells count as alike and
        independent, all sowings of a lot as equally fast, and the spread as known: a tray with a dry corner
        teaches too much, and with a true spread of 0.30 for 0.20 the bands are far too narrow.

    References:
        1. The grid and the priors are ours; see the module.
    """
    known = not any(map(math.isnan, (spread, *viability)))
    if known and (spread <= 0.0 or min(viability) <= 0.0):
        raise BadInput("A spread and a prior must be above 0.", "Check the crop and the germination test.")
    speed_part = -((LOG_SPEEDS / LOT_SD.value) ** 2) / 2.0
    prior = speed_part[:, None] + _log_viability(*viability)
    weighed = sum((log_likelihood(sowing, spread) for sowing in looks), prior)
    weights = np.exp(weighed - weighed.max())
    return Lot(weights / weights.sum(), spread)


def speed_of(lot: Lot) -> Moments:
    """Speed of the lot against the table, as a logarithm.

    Args:
        lot: What is known of the lot.

    Returns:
        Mean and standard deviation of ln(m), within ±0.9 [-]: 0 = as the table, below 0 = slower, its median seed
        up at a progress of exp(-ln m); NaN where the lot is NaN.

    References:
        1. Ours; see the module.
    """
    return _moments(LOG_SPEEDS, lot.weights.sum(axis=1))


def viability_of(lot: Lot) -> Moments:
    """Share of the lot's seeds that can come up.

    Args:
        lot: What is known of the lot.

    Returns:
        Mean and standard deviation of g, from 0 to 1 [fraction]; NaN where the lot is NaN.

    References:
        1. Ours; see the module.
    """
    return _moments(VIABILITIES, lot.weights.sum(axis=0))


def share_up(lot: Lot, progress: ArrayLike, seeds_per_cell: int = 1) -> ShareBand:
    """Expected share of cells showing a plant.

    Args:
        lot: What is known of the lot.
        progress: Sum of `daily_progress` since sowing, at least 0; any shape [-].
        seeds_per_cell: Seeds sown to a cell, 1 or more [seeds].

    Returns:
        Mean of c(P) over the lot's weights, and its 10 % and 90 % points [fraction]; NaN where progress or the
        lot is NaN.

    Raises:
        BadInput: A negative progress, or no seed to a cell.

    Notes:
        The band is that of the lot; the luck of single cells comes on top: ± sqrt(c (1 - c)/cells).

    References:
        1. Ours; see the module.
    """
    asked = np.asarray(progress, float)
    if (asked < 0.0).any() or seeds_per_cell < 1:
        raise BadInput("A progress can't be below 0, nor seeds to a cell below 1.", "Check the sowing.")
    rows = []
    for at in asked.ravel():
        up = cells_up(float(at), lot.spread, seeds_per_cell)
        rows.append([float((up * lot.weights).sum()), *_quantiles(up, lot.weights, BAND)])
    mean, low, high = np.array(rows).reshape(-1, 1 + len(BAND)).T
    return ShareBand(*(column.reshape(asked.shape) for column in (mean, low, high)))


def half_up_progress(lot: Lot, shares: Sequence[float] = BAND, seeds_per_cell: int = 1) -> Array:
    """Progress at which half of the cells that will show a plant show one.

    Args:
        lot: What is known of the lot.
        shares: Which points of it, between 0 and 1; the 80 % band unless told [fraction].
        seeds_per_cell: Seeds sown to a cell, 1 or more [seeds].

    Returns:
        Progress by the calendar of the table, shape of `shares` [-]; NaN where the lot is NaN. The day is the
        one on which the sum of `daily_progress` gets there.

    Raises:
        BadInput: A share that isn't between 0 and 1, or no seed to a cell.

    Notes:
        With one seed to a cell it is 1/m. With more the first of them shows sooner: the lot's share q up solves
        1 - (1 - q)^k = (1 - (1 - g)^k)/2, and P = exp(s Φ⁻¹(q/g))/m.

    References:
        1. Ours; see the module.
    """
    if not all(0.0 < share < 1.0 for share in shares) or seeds_per_cell < 1:
        raise BadInput("A share must be between 0 and 1, and seeds to a cell 1 or more.", "Check the sowing.")
    cells = (1.0 - (1.0 - VIABILITIES) ** seeds_per_cell) / 2.0
    seeds = (1.0 - (1.0 - cells) ** (1.0 / seeds_per_cell)) / VIABILITIES
    later = lot.spread * np.array([_NORMAL.inv_cdf(share) for share in seeds])
    return _quantiles(np.exp(later - LOG_SPEEDS[:, None]), lot.weights, shares)


def slow_or_dead(lot: Lot, poor: float) -> SlowOrDead:
    """How far slow seed can be told from dead seed by now.

    Args:
        lot: What is known of the lot.
        poor: Viability below which a lot counts as poor, 0 to 1 [fraction].

    Returns:
        Three numbers, see `SlowOrDead`; NaN where the lot or the level is NaN.

    Raises:
        BadInput: A level outside 0 to 1.

    Notes:
        Before a progress of about 1.4 low counts say that a lot is slow or poor and not which: the correlation is
        then strongly negative. That figure holds for counts every day or so; one count alone can't tell before
        about 2. Judge `chance_poor` by the other two.

    References:
        1. Ours; own runs in tests/science/test_emergence_learning.py.
    """
    if not 0.0 <= poor <= 1.0 and not math.isnan(poor):
        raise BadInput(f"A viability of {poor:g} can't be.", "Give a fraction from 0 to 1.")
    speed, able = speed_of(lot), viability_of(lot)
    together = float((LOG_SPEEDS - speed.mean) @ lot.weights @ (VIABILITIES - able.mean))
    below = np.clip((poor - VIABILITIES) / GRID_STEP.value + 1.0 / 2.0, 0.0, 1.0)
    chance = float((below * lot.weights.sum(axis=0)).sum())
    return SlowOrDead(together / (speed.sd * able.sd) if together else 0.0, able.sd, chance)


def _log_viability(good: float, bad: float) -> Array:
    """Prior of viability at every point of its grid, up to a constant; shape (100,)."""
    log_beta = (good - 1.0) * np.log(VIABILITIES) + (bad - 1.0) * np.log1p(-VIABILITIES)
    beta = np.exp(log_beta - log_beta.max())
    mixed: Array = (1.0 - FAILING.value) * beta / beta.sum() + FAILING.value / len(beta)
    return np.log(mixed)


def _moments(values: Array, weights: Array) -> Moments:
    """Of a grid under weights that sum to 1."""
    mean = float(values @ weights)
    return Moments(mean, math.sqrt(float((values - mean) ** 2 @ weights)))


def _quantiles(values: Array, weights: Array, shares: Sequence[float]) -> Array:
    """Points of the values below which the shares of the weights lie."""
    if np.isnan(weights).any() or np.isnan(values).any():
        return np.full(len(shares), math.nan)
    order = np.argsort(values, axis=None)
    heaped = weights.ravel()[order]
    return np.interp(shares, np.cumsum(heaped) - heaped / 2.0, values.ravel()[order])
