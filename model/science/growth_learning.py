"""How fast a tray really grows: what looks at its roots, and at trays before it, teach.

A tray grows m times as fast as its crop does on paper. ln m = a + d: a is alike in all trays of a crop at one
grower's, d is the tray's own. Both are learnt on one grid of ln m, for many trays at once:

    a ~ N(0, CROP_SD²),   d ~ N(0, TRAY_SD²),   P(k | y) = Φ((c_k - y)/LOOK_SD) - Φ((c_{k-1} - y)/LOOK_SD)
    crop:  p(a | past) ∝ N(a; 0, CROP_SD²) · Π_past trays ∫ N(d; 0, TRAY_SD²) Π_looks P(k | y(a + d)) dd
    tray:  p(ln m) ∝ [p(a | past) convolved with N(0, TRAY_SD²)] · Π_looks P(k | y(ln m))

y(ln m) is the logit of root fill on the day of the look. Arrays have a row for each tray (or look) and a
column for each point of the grid. What isn't known of one tray (NaN) stays in its row; among past trays it
spreads to the crop that they teach.

The two levels, their spreads and the grid are ours, without a published source. The sums are checked against
quadrature (tests/science/test_reference_roots.py), the whole against simulated seasons (test_seasons.py).

References:
    1. McCullagh, P. (1980). Regression models for ordinal data. Journal of the Royal Statistical Society B
       42: 109-142 (the ordered probit). From memory.
"""

import math
from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from model.errors import BadInput
from model.science.root_fill import CARRYING_MASS, CROP_SD, CUTS, LOOK_SD, SCORES, TRAY_SD
from model.science.source import Sourced

Numbers = NDArray[np.float64]

GRID_END = Sourced(
    1.2, "-", "ours: growth from 0.30 to 3.3 times the crop's, 3.4 standard deviations", "assumed"
)
GRID_STEP = Sourced(0.02, "-", "ours: a ninth of the spread between trays", "assumed")
LOGIT_END = Sourced(20.0, "-", "ours: beyond this logit of fill a look tells nothing more", "assumed")
LOOK_STEP = Sourced(0.02, "-", "ours: interpolation then errs by 1e-4 in the logarithm at most", "computed")

_STEPS = round(GRID_END.value / GRID_STEP.value)
LOG_GROWTH: Numbers = np.asarray(GRID_STEP.value * np.arange(-_STEPS, _STEPS + 1), float)
"""The grid: ln of growth as a multiple of the crop's own, -1.2 to 1.2 [-]."""
LOG_GROWTH.setflags(write=False)

SLIGHT = Sourced(1e-9, "-", "ours: stands for nothing where a span is divided by", "computed")


def fill_logits(
    degree_days: ArrayLike,
    room_ml: ArrayLike,
    start_mass_mg: ArrayLike,
    rate: ArrayLike,
    light: ArrayLike = 1.0,
) -> Numbers:
    """Logit of root fill at every growth of the grid, after the containers the plants have had, y [-].

    Args:
        degree_days: Sum above the crop's base in each container up to the moment asked for, the first one
            since half up; at least 0, shape (rows, containers) [°C d].
        room_ml: Mix that each plant has in each container: its volume over the plants that share it; above 0,
            same shape [mL].
        start_mass_mg: Dry mass of one seedling as it comes up; above 0, shape (rows,) or one for all [mg].
        rate: Relative growth of the crop in trays; above 0, shape (rows,) or one for all [1/(°C d)].
        light: Multiplier on growth, at least 0: one for all, or anything that spreads over (rows, containers),
            so (rows, 1) for one a tray [-].

    Returns:
        y, shape (rows, grid) [-]; inf where the plants weigh as much as the container carries; a row with a
        NaN is NaN.

    Raises:
        BadInput: A room, mass or rate that isn't above 0, a negative sum or light.

    Notes:
        With F the fill, in a container y climbs by m r f τ (f the light). A move keeps the mass of a plant, so
        1/F grows as the room does: y = -ln(1/F - 1) with 1/F = κ room/W0 at first and (1 + e^-y) · room2/room1
        after a move; growth carries on with no check (assumed). A row with fewer moves than the widest repeats
        its last room with no degree-days, which changes nothing.

    Examples:
        >>> fill_logits([[227.55]], [[43.0]], 2.1, 0.0227)[0, 60].round(3)
        np.float64(-0.847)
    """
    room, mass, pace = (np.asarray(values, float) for values in (room_ml, start_mass_mg, rate))
    warmth = np.asarray(degree_days, float) * np.asarray(light, float)
    if any(np.any(values <= 0.0) for values in (room, mass, pace)) or np.any(warmth < 0.0):
        raise BadInput(
            "Room, mass and growth must be above 0; warmth and light must not be below it.",
            "Check the container, the crop and the readings.",
        )
    room, warmth = np.broadcast_arrays(room, warmth)
    climb = np.exp(LOG_GROWTH) * np.broadcast_to(pace, len(room))[:, None]
    logit = _logit_from(np.log(CARRYING_MASS.value * room[:, :1] / mass.reshape(-1, 1)))
    logit = np.asarray(logit + climb * warmth[:, :1])
    for leg in range(1, room.shape[1]):
        more_room = np.log(room[:, leg] / room[:, leg - 1])[:, None]
        logit = _logit_from(np.logaddexp(0.0, -logit) + more_room) + climb * warmth[:, leg, None]
    return logit


def look_evidence(scores: ArrayLike, logits: ArrayLike) -> Numbers:
    """Log-likelihood of growth from looks, one a row [-].

    Args:
        scores: 0 none at the edge, 1 few, 2 holds together, 3 full, 4 circling; shape (looks,) [-].
        logits: `fill_logits` at the moment of each look, any shape (looks, grid) [-].

    Returns:
        ln P(score | y), same shape [-]; finite for every y, ±inf too; NaN for NaN.

    Raises:
        BadInput: A score that isn't one of the five.

    Notes:
        Interpolated in a table of `root_fill.chance_of_look` on the logarithm. Beyond a logit of ±20 it is
        held level, so that a look no growth can explain leaves the prior standing.
    """
    seen, logit = np.asarray(scores), np.asarray(logits, float)
    if not np.isin(seen, SCORES).all():
        raise BadInput("A look isn't one of the five.", "Give 0, 1, 2, 3 or 4.")
    at, table = _look_table()
    evidence = np.empty(logit.shape)
    for score in SCORES:
        mine = seen == score
        evidence[mine] = np.interp(logit[mine], at, table[score])
    return evidence


def gather(evidence: ArrayLike, owner: ArrayLike, owners: int) -> Numbers:
    """Sum of the rows that belong together: looks of one tray, trays of one crop [-].

    Args:
        evidence: Log-likelihoods, shape (rows, grid) [-].
        owner: Which tray (or crop) each row belongs to, from 0; shape (rows,) [-].
        owners: How many there are [-].

    Returns:
        Log-likelihoods, shape (owners, grid) [-]; 0 for those without a row, NaN for those with a NaN.

    Raises:
        BadInput: An owner that isn't there.
    """
    whose = np.asarray(owner, int)
    if np.any((whose < 0) | (whose >= owners)):
        raise BadInput("A look belongs to no tray.", "Count the trays from 0.")
    total = np.zeros((owners, LOG_GROWTH.size))
    np.add.at(total, whose, np.asarray(evidence, float).reshape(-1, LOG_GROWTH.size))
    return total


def crop_growth(past: ArrayLike, crop: ArrayLike, crops: int) -> Numbers:
    """What past trays teach of a crop at one grower's: weights over its part a of ln m [fraction].

    Args:
        past: Evidence of each past tray, the sum of its looks; shape (trays, grid) [-].
        crop: Crop of each past tray, counted from 0; shape (trays,) [-].
        crops: How many crops there are [-].

    Returns:
        Weights that sum to 1, shape (crops, grid) [fraction]; N(0, CROP_SD²) for a crop without past trays.

    Raises:
        BadInput: A crop that isn't there.

    Notes:
        A tray's own part is integrated out first, so that many looks at one tray don't pass for many trays.
        A tray must not be among the past trays that its own prior is made of.
    """
    rows = np.asarray(past, float).reshape(-1, LOG_GROWTH.size)
    best = rows.max(axis=1, keepdims=True)
    of_crop = np.log(np.exp(rows - best) @ _tray_spread().T)
    return _weights(-0.5 * np.square(LOG_GROWTH / CROP_SD.value) + gather(of_crop, crop, crops))


def tray_growth(crop_weights: ArrayLike, evidence: ArrayLike = 0.0) -> Numbers:
    """What is known of a tray's growth: weights over ln m [fraction].

    Args:
        crop_weights: `crop_growth` of the tray's crop, shape (trays, grid) [fraction].
        evidence: Sum of the looks at this tray, shape (trays, grid); 0 = no look yet [-].

    Returns:
        Weights that sum to 1, shape (trays, grid) [fraction]; a row with a NaN is NaN.

    Notes:
        Before any look and any past tray the standard deviation is 0.35. Looks weigh by their chance only: the
        answer may keep most of its weight outside the class last seen (`class_chances` tells).
    """
    prior = np.asarray(crop_weights, float) @ _tray_spread()
    with np.errstate(divide="ignore"):
        return _weights(np.log(prior) + np.asarray(evidence, float))


def growth_moments(weights: ArrayLike) -> tuple[Numbers, Numbers]:
    """Mean and standard deviation of ln m.

    Args:
        weights: Weights that sum to 1, shape (..., grid) [fraction].

    Returns:
        Mean and standard deviation, shapes (...) [-]; NaN where a weight is NaN.
    """
    each = np.asarray(weights, float)
    mean = np.asarray(each @ LOG_GROWTH)
    return mean, np.sqrt(np.maximum(0.0, each @ np.square(LOG_GROWTH) - np.square(mean)))


def growth_quantiles(weights: ArrayLike, values: ArrayLike, shares: ArrayLike) -> Numbers:
    """Points that shares of the weight lie below, of anything that rises with growth: ln m itself, logit, fill.

    Args:
        weights: Weights that sum to 1, shape (rows, grid) [fraction].
        values: What is asked for at each growth, never falling along the grid, (rows, grid) or (grid,) [any].
        shares: Shares between 0 and 1, such as 0.1, 0.5, 0.9; shape (shares,) [fraction].

    Returns:
        Points, shape (rows, shares), in the unit of the values; NaN for a row with a NaN.

    Raises:
        BadInput: A share that isn't between 0 and 1.

    Notes:
        The weight of a point counts half below it and half above, and the sum runs straight in between.
    """
    each = np.asarray(weights, float)
    place = np.minimum(passing(weight_below(each), shares), LOG_GROWTH.size - 1.0)
    value = np.broadcast_to(np.asarray(values, float), each.shape)
    known = np.isfinite(place)
    left = np.where(known, place, 0.0).astype(int)
    right = np.minimum(left + 1, LOG_GROWTH.size - 1)
    low, high = (np.take_along_axis(value, index, axis=1) for index in (left, right))
    part = place - left
    # A container that the plants fill has a logit of inf, of which no part is taken.
    with np.errstate(invalid="ignore"):
        return np.where(part == 0.0, low, (1.0 - part) * low + part * high)


def weight_below(weights: ArrayLike) -> Numbers:
    """Weight below each point of the grid, the point itself counted half [fraction].

    Args:
        weights: Weights that sum to 1, shape (..., grid) [fraction].

    Returns:
        Sums, same shape, rising [fraction]; NaN from a NaN on.
    """
    each = np.asarray(weights, float)
    return np.cumsum(each, axis=-1) - each / 2.0


def passing(rising: ArrayLike, shares: ArrayLike) -> Numbers:
    """Where a row that never falls passes each share, counted in columns and parts of one [-].

    Args:
        rising: Shares that never fall along a row, shape (rows, columns) [fraction].
        shares: Shares between 0 and 1, shape (shares,) [fraction].

    Returns:
        Places, shape (rows, shares) [columns]: 0 where the first column has it already, inf where the last
        one hasn't; NaN for a row with a NaN.

    Raises:
        BadInput: A share that isn't between 0 and 1.
    """
    row, share = np.asarray(rising, float), np.asarray(shares, float)
    if not np.all((share > 0.0) & (share < 1.0)):
        raise BadInput("A share must lie between 0 and 1.", "Give shares such as 0.1, 0.5 and 0.9.")
    after = (row[:, None, :] < share[:, None]).sum(axis=2)
    right = np.clip(after, 1, row.shape[1] - 1)
    low, high = (np.take_along_axis(row, index, axis=1) for index in (right - 1, right))
    part = (share - low) / np.maximum(high - low, SLIGHT.value)
    place = np.where(after == 0, 0.0, np.where(after == row.shape[1], np.inf, right - 1 + part))
    return np.where(np.isnan(row).any(axis=1, keepdims=True), np.nan, place)


def share_past(logits: ArrayLike, target: float) -> Numbers:
    """Part of each grid point's step whose fill is at or past a target [fraction].

    Args:
        logits: `fill_logits`, shape (rows, grid) [-].
        target: Logit of the fill asked for, one of `root_fill.CUTS` or any other [-].

    Returns:
        From 0 to 1, same shape [fraction]; NaN for NaN. Its sum over the weights is the chance that the
        target is passed.
    """
    logit = np.clip(np.asarray(logits, float), -LOGIT_END.value, LOGIT_END.value)
    step = np.maximum(np.gradient(logit, axis=1), SLIGHT.value)
    return np.asarray(np.clip((logit - target) / step + 0.5, 0.0, 1.0))


def class_chances(weights: ArrayLike, logits: ArrayLike) -> Numbers:
    """Chance of each of the five classes of fill, what the roots really are [fraction].

    Args:
        weights: `tray_growth`, shape (rows, grid) [fraction].
        logits: `fill_logits` at the moment asked for, shape (rows, grid) [-].

    Returns:
        Chances that sum to 1, shape (rows, 5) [fraction]; NaN for a row with a NaN.

    Notes:
        Taken at the moment of the last look, a low chance for the class seen says that the look contradicts
        what warmth and earlier looks led to. What to show then is the caller's to decide.
    """
    each = np.asarray(weights, float)
    past = np.stack([(each * share_past(logits, cut)).sum(axis=1) for cut in CUTS], axis=1)
    return np.asarray(-np.diff(past, axis=1, prepend=1.0, append=0.0))


def look_parts(weights: ArrayLike, logits: ArrayLike) -> list[Numbers]:
    """Joint chance of each score and each growth, one array a score [fraction].

    Args:
        weights: `tray_growth` before the look, shape (rows, grid) [fraction].
        logits: `fill_logits` at the moment of the look, shape (rows, grid) [-].

    Returns:
        Five arrays, shape (rows, grid), that sum to the weights [fraction].
    """
    each, logit = np.asarray(weights, float), np.asarray(logits, float)
    at, table = _look_table()
    return [each * np.exp(np.interp(logit, at, table[score])) for score in SCORES]


def _logit_from(log_room_left: Numbers) -> Numbers:
    """Logit of fill from ln(1/F); inf where the plants fill the container or more."""
    with np.errstate(divide="ignore"):
        return -np.log(np.expm1(np.maximum(log_room_left, 0.0)))


def _weights(log_weights: Numbers) -> Numbers:
    """Weights that sum to 1 in each row."""
    weights = np.exp(log_weights - log_weights.max(axis=-1, keepdims=True))
    return np.asarray(weights / weights.sum(axis=-1, keepdims=True))


@cache
def _tray_spread() -> Numbers:
    """How trays scatter about their crop: row = a, column = ln m, each row sums to 1 [fraction]."""
    apart = LOG_GROWTH[None, :] - LOG_GROWTH[:, None]
    return _weights(-0.5 * np.square(apart / TRAY_SD.value))


@cache
def _look_table() -> tuple[Numbers, Numbers]:
    """Logits of fill, and for each score ln P(score | logit) there [-].

    `root_fill.chance_of_look` subtracts two values near 1 in the far tail and gives 0; here each class is
    taken from the side on which its values are small, so that the logarithm stays finite.
    """
    steps = round(LOGIT_END.value / LOOK_STEP.value)
    at = np.asarray(LOOK_STEP.value * np.arange(-steps, steps + 1), float)
    past = [_tail(cut - at) for cut in CUTS]
    short = [_tail(at - cut) for cut in CUTS]
    middle = [
        np.where(at < (CUTS[k] + CUTS[k + 1]) / 2.0, past[k] - past[k + 1], short[k + 1] - short[k])
        for k in range(len(CUTS) - 1)
    ]
    return at, np.asarray(np.log([short[0], *middle, past[-1]]))


def _tail(distance: Numbers) -> Numbers:
    """Chance that the noise of a look goes beyond a distance [fraction]."""
    scale = LOOK_SD.value * math.sqrt(2.0)
    return np.array([math.erfc(each / scale) / 2.0 for each in distance])
