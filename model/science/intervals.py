"""Log-normal times of coming up, fitted to looks: each seed is known only to have come between two looks.

The share of the sown seeds that is up by day t is F(t) = g Φ((ln t - μ)/σ), with median e^μ and spread σ of
the seeds that come, and g the share that ever comes. A seed up at one look and not at the look before adds
ln(F(hi) - F(lo)) to the log likelihood; one that was never seen adds ln(1 - F(lo)). It is maximised by
Newton's method in (μ, ln σ, logit g) with exact second derivatives.

References:
    1. Onofri, A., Piepho, H. P., and Kozak, M. (2019). Analysing censored data in agricultural research: a
       review with examples and software tips. Annals of Applied Biology 174: 3-13. From memory, for the
       likelihood of seeds seen between two looks; checked against a reference library
       (tests/science/test_reference_emergence.py).
"""

import math
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
from numpy.typing import ArrayLike, NDArray

from model.errors import BadInput
from model.science.source import Sourced

BAND_SHARE = Sourced(0.9, "fraction", "ours: upper end of an 80 % band", "assumed")
MOST_STEPS = Sourced(200.0, "steps", "ours: Newton steps before giving up", "assumed")
ENOUGH_GAIN = Sourced(1e-10, "-", "ours: log likelihood that the last step may still promise", "assumed")
LEAST_CURVE = Sourced(1e-4, "-", "ours: curvature below which the likelihood counts as flat", "assumed")
START_SPREAD = Sourced(0.3, "-", "ours: added to the spread that the search starts from", "assumed")
NEARLY_ALL = Sourced(0.9995, "fraction", "ours: a fitted share above this is taken for all seeds", "assumed")
FAR = Sourced(38.0, "-", "normal deviate beyond which double precision keeps no tail", "definition")
LEAST_CHANCE = Sourced(1e-100, "-", "ours: floor of a chance, so that its logarithm exists", "assumed")

_NORMAL = NormalDist()
_BAND = _NORMAL.inv_cdf(BAND_SHARE.value)
_ROOT_TAU = math.sqrt(math.tau)
_TINY = float(np.finfo(float).tiny)

Array = NDArray[np.float64]
"""Any shape, double precision."""


@dataclass(frozen=True, slots=True)
class EmergenceFit:
    """Days to emergence of one lot, as fitted; the limits are 80 % ones."""

    median_days: float
    """Half up: half of the seeds that come have come [d]."""
    low_days: float
    high_days: float
    spread: float
    """Standard deviation of ln(days) among the seeds that come [-]."""
    coming: float
    """Share of the sown seeds that ever comes; 1 where it wasn't fitted [fraction]."""
    log_median_sd: float
    """Standard error of ln(median) [-]."""
    log_likelihood: float


def fit_emergence(
    low_days: ArrayLike, high_days: ArrayLike, seeds: ArrayLike = 1.0, some_never: bool = True
) -> EmergenceFit:
    """Median and spread of the days to emergence of seeds that came up between two looks.

    Args:
        low_days: Last look at which the seed wasn't up, at least 0; shape (n,) [d].
        high_days: Look at which it was up, above `low_days`; inf = never seen; shape (n,) [d].
        seeds: Seeds that a row stands for, at least 0; shape (n,), or one number for all rows [seeds].
        some_never: Fit the share that ever comes, too; False takes a seed never seen for a late one.

    Returns:
        The fit. Half up is e^μ and its limits e^(μ ± 1.2816 se), se from the inverse of the observed
        information. NaN throughout where an input is NaN.

    Raises:
        BadInput: Days or seeds that can't be, no seed seen to come up, or looks too few or too far apart to
            show a spread (all may have come at one time, or the likelihood is flat at its top).

    Notes:
        Maximises Σ seeds · ln(F(hi) - F(lo)), F(t) = g Φ((ln t - μ)/σ), F(inf) = 1. Stops when the gain that
        the next step promises is below ENOUGH_GAIN; a step is at most 1 long, and halved while it gains nothing. All seeds are
        taken to come where none is left over, or where the fitted share passes NEARLY_ALL. With `some_never`
        half up is that of the seeds that come, without it that of all seeds sown. While seeds are still
        coming, slow and dead ones can't be told apart and `coming` says little. Seeds count as independent;
        the limits are too narrow for a tray with a wet corner.

    References:
        1. Onofri, Piepho and Kozak 2019, see the module.

    Examples:
        >>> fit = fit_emergence([0, 4, 5, 6, 8], [4, 5, 6, 8, math.inf], [3, 6, 6, 3, 2])
        >>> round(fit.median_days, 2), round(fit.coming, 2)
        (4.96, 0.91)
    """
    low, high, weight = _rows(low_days, high_days, seeds)
    if np.isnan(low + high + weight).any():
        return EmergenceFit(*[math.nan] * len(EmergenceFit.__slots__))
    low, high, weight = (column[weight > 0.0] for column in (low, high, weight))
    seen = np.isfinite(high)
    if not seen.any():
        raise BadInput("No seed was seen to come up.", "Count again when some are up.")
    start = _start(low, np.where(seen, high, 2.0 * low), weight)
    left = float(weight[~seen].sum() / weight.sum())
    if some_never and left > 0.0:
        _check_spread(low[seen], high[seen])
        at = _climb(np.array([*start, math.log((1.0 - left) / left)]), low, high, weight)
        if _coming(at) <= NEARLY_ALL.value:
            return _fit_at(at, low, high, weight)
    _check_spread(low, high)
    return _fit_at(_climb(np.array(start), low, high, weight), low, high, weight)


def _start(low: Array, high: Array, weight: Array) -> list[float]:
    """Where the search starts: mean and spread of the middles of the intervals, as (μ, ln σ)."""
    middles = np.log((low + high) / 2.0)
    mean = float(np.average(middles, weights=weight))
    spread = math.sqrt(float(np.average((middles - mean) ** 2, weights=weight)))
    return [mean, math.log(spread + START_SPREAD.value)]


def _rows(*columns: ArrayLike) -> tuple[Array, ...]:
    """The columns at one length; refuses days and seeds that can't be."""
    try:
        low, high, seeds = np.broadcast_arrays(
            *(np.atleast_1d(np.asarray(column, float)) for column in columns)
        )
    except ValueError:
        raise BadInput("The looks and the seeds differ in number.", "Give one of each to a row.") from None
    if (low < 0.0).any() or (high <= low).any() or np.isinf(low).any():
        raise BadInput("A seed can't come up before the look that missed it.", "Check the days of the looks.")
    if (seeds < 0.0).any() or np.isinf(seeds).any():
        raise BadInput("A number of seeds can't be below 0 or without end.", "Check the counts.")
    return low, high, seeds


def _check_spread(low: Array, high: Array) -> None:
    """Refuse seeds that may all have come at one time: the likelihood then grows as σ goes to 0."""
    if low.max() <= high.min():
        raise _no_spread()


def _no_spread() -> BadInput:
    return BadInput("These looks show no spread of the days.", "Look more often, or wait for more to be up.")


def _climb(at: Array, low: Array, high: Array, seeds: Array) -> Array:
    """Newton's way up the likelihood from a start to its top; (μ, ln σ) or (μ, ln σ, logit g)."""
    value, slope, bend = _likelihood(at, low, high, seeds)
    for _ in range(int(MOST_STEPS.value)):
        step = _uphill(slope, bend)
        if float(slope @ step) < ENOUGH_GAIN.value:
            break
        step = step / max(1.0, float(np.abs(step).max()))
        after = _likelihood(at + step, low, high, seeds)
        while after[0] <= value and float(np.abs(step).max()) > _TINY:
            step = step / 2.0
            after = _likelihood(at + step, low, high, seeds)
        at, (value, slope, bend) = at + step, after
    return at


def _fit_at(at: Array, low: Array, high: Array, seeds: Array) -> EmergenceFit:
    """The fit at the top of the likelihood; refuses a top that is flat."""
    value, _, bend = _likelihood(at, low, high, seeds)
    if np.linalg.eigvalsh(-bend)[0] < LEAST_CURVE.value:
        raise _no_spread()
    log_median_sd = math.sqrt(np.linalg.inv(-bend)[0, 0])
    low_days, median, high_days = (math.exp(at[0] + side * _BAND * log_median_sd) for side in (-1, 0, 1))
    return EmergenceFit(median, low_days, high_days, math.exp(at[1]), _coming(at), log_median_sd, value)


def _uphill(slope: Array, bend: Array) -> Array:
    """Newton's step, with every curvature counted as a hilltop's so that it never leads down."""
    curves, axes = np.linalg.eigh(bend)
    step: Array = axes @ ((axes.T @ slope) / np.maximum(np.abs(curves), LEAST_CURVE.value))
    return step


def _coming(at: Array) -> float:
    """Share that ever comes; 1 where it isn't fitted."""
    return 1.0 / (1.0 + math.exp(-at[2])) if len(at) > 2 else 1.0


def _likelihood(at: Array, low: Array, high: Array, seeds: Array) -> tuple[float, Array, Array]:
    """Log likelihood, its slope (k,) and its second derivatives (k, k) in the k parameters."""
    coming, size = _coming(at), len(at)
    never = np.isinf(high).astype(float)
    start, end = _deviates(at, low), _deviates(at, high)
    between = np.where(start > 0.0, _below(-start) - _below(-end), _below(end) - _below(start))
    chance = np.maximum(coming * between + (1.0 - coming) * never, LEAST_CHANCE.value)
    first_end, second_end = _derivatives(at, end)
    first_start, second_start = _derivatives(at, start)
    first = coming * (first_end - first_start)
    second = coming * (second_end - second_start)
    if size > 2:
        turn = coming * (1.0 - coming) * (between - never)
        cross = (1.0 - coming) * first
        first = np.vstack([first, turn])
        grown = np.zeros((size, size, len(low)))
        grown[:2, :2], grown[2, :2], grown[:2, 2] = second, cross, cross
        grown[2, 2] = (1.0 - 2.0 * coming) * turn
        second = grown
    score = first / chance
    slope: Array = score @ seeds
    bend: Array = (second / chance) @ seeds - (score * seeds) @ score.T
    return float(seeds @ np.log(chance)), slope, bend


def _deviates(at: Array, days: Array) -> Array:
    """(ln t - μ)/σ, held within ±FAR."""
    with np.errstate(divide="ignore", over="ignore"):
        deviates: Array = np.clip((np.log(days) - at[0]) / np.exp(at[1]), -FAR.value, FAR.value)
    return deviates


def _below(deviates: Array) -> Array:
    """Φ, seed by seed."""
    return np.array([_NORMAL.cdf(deviate) for deviate in deviates])


def _derivatives(at: Array, z: Array) -> tuple[Array, Array]:
    """First (2, n) and second (2, 2, n) derivatives of Φ(z) in μ and ln σ."""
    sd = math.exp(at[1])
    density = np.exp(-z * z / 2.0) / _ROOT_TAU
    mixed = density * (1.0 - z * z)
    first = np.array([-density / sd, -z * density])
    second = np.array([[-z * density / sd**2, mixed / sd], [mixed / sd, z * mixed]])
    return first, second
