"""What the weeks ahead hold for a tray: when it is ready, whether roots circle first, whether to go and look.

Two things aren't known: how fast the tray grows (`growth_learning`) and how warm it will be. Warmth is told by
some tens of temperature paths: the days on record, then the forecast with an error that grows, then the
place's usual days with a noise that carries over from day to day. Each growth of the grid needs some warmth
for a fill, each path brings it on some day, and the chance of having passed a fill by a day is the weight of
the pairs that have:

    P(passed by d) = mean over paths of Σ weight(ln m) [warmth of the path by d >= (target - y)/(m r)]

Days are counted, not dated: column 0 of a warmth is the moment from which it is summed.

Paths, noise and horizon are ours, without a published source.

References:
    1. Baskerville, G. L., and Emin, P. (1969). Rapid estimation of heat accumulation from maximum and minimum
       temperatures. Ecology 50: 514-517. From memory.
    2. Raiffa, H., and Schlaifer, R. (1961). Applied Statistical Decision Theory (value of looking before
       acting). From memory.
"""

from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike

from model.errors import BadInput
from model.science.growth_learning import (
    LOG_GROWTH,
    SLIGHT,
    Numbers,
    look_parts,
    passing,
    share_past,
    weight_below,
)
from model.science.root_fill import CUTS
from model.science.source import Sourced

PATHS = Sourced(40, "paths", "ours: twenty and their mirror images", "assumed")
WEATHER_SD = Sourced(2.2, "°C", "ours, until learnt: spread of a day about its usual mean", "assumed")
CARRY_OVER = Sourced(0.7, "-", "ours: part of a day's departure that the next day keeps", "assumed")
FORECAST_FIRST = Sourced(0.4, "-", "ours: error of tomorrow's forecast, in parts of WEATHER_SD", "assumed")
FORECAST_GROWS = Sourced(0.1, "-", "ours: and what each further day adds, up to 1", "assumed")
SEED = 760
"""The same paths every time, so that no figure changes while nothing has happened. Of the first four thousand
seeds the one whose sums over 3 to 120 days spread most nearly (within 3 %) as those of endless paths do."""
WARMTH_STEPS = 512
"""Columns of the table of warmth in `chance_by_day`; more changes no chance by 0.002."""
OVERFULL = Sourced(1e6, "-", "ours: stands for a container that can't carry the plants, fill 1", "computed")


def temperature_paths(
    low_c: ArrayLike,
    high_c: ArrayLike,
    recorded: int,
    forecast: int = 0,
    paths: int = int(PATHS.value),
    sd_c: float = WEATHER_SD.value,
) -> tuple[Numbers, Numbers]:
    """Lows and highs that the days may have, path by path [°C].

    Args:
        low_c: Low of each day, shape (days,): first those on record, then those of the forecast, then the
            place's usual ones [°C].
        high_c: High of each day, shape (days,) [°C].
        recorded: How many days are on record: the same on every path [d].
        forecast: How many more are a forecast [d].
        paths: How many paths; even and at least 2 [paths].
        sd_c: Spread of a day about the place's usual mean, at least 0 [°C].

    Returns:
        Lows and highs, each of shape (paths, days) [°C]; NaN on the days that are NaN.

    Raises:
        BadInput: Lows and highs of different length, more known days than days, an odd number of paths, a
            negative spread.

    Notes:
        Low and high of a day move together, by sd_c times noise with e_t = 0.7 e_{t-1} + √(1 - 0.7²) z_t, on
        forecast days times 0.4, 0.5, ... 1. Each path has its mirror image, so the mean over paths is what
        was given; on each day their spread is exactly the one asked for. The same noise serves every place.
    """
    low, high = np.asarray(low_c, float), np.asarray(high_c, float)
    if low.shape != high.shape or low.ndim != 1:
        raise BadInput("There are not as many lows as highs.", "Give both for each day.")
    if min(recorded, forecast) < 0 or recorded + forecast > low.size:
        raise BadInput("More days are known than there are.", "Count the days again.")
    if paths < 2 or paths % 2 or sd_c < 0.0:
        raise BadInput("Paths come in pairs, with a spread that isn't negative.", "Give an even number.")
    ahead = np.arange(low.size - recorded)
    size = np.where(ahead < forecast, FORECAST_FIRST.value + FORECAST_GROWS.value * ahead, 1.0)
    shift = np.zeros((paths, low.size))
    shift[:, recorded:] = sd_c * np.minimum(size, 1.0) * _noise(paths, ahead.size)
    return low + shift, high + shift


def daily_warmth(low_c: ArrayLike, high_c: ArrayLike, base_c: float, cap_c: float) -> Numbers:
    """Degree-days of each day above a base, counting nothing above a cap: `thermal.degree_days` for arrays.

    Args:
        low_c: Lows, any shape [°C].
        high_c: Highs, same shape [°C].
        base_c: Temperature below which the crop doesn't grow [°C].
        cap_c: Temperature above which more warmth adds nothing; inf = no cap [°C].

    Returns:
        Degree-days, same shape [°C d]; NaN where an input is NaN.

    Raises:
        BadInput: A low above its high, or the base above the cap.

    Notes:
        Single sine with a horizontal cut-off. asin is taken of a value held to ±1, which makes days wholly
        above or below the threshold, and days without a swing, fall out of the same formula.
    """
    low, high = np.asarray(low_c, float), np.asarray(high_c, float)
    if np.any(low > high) or base_c > cap_c:
        raise BadInput("A low is above its high, or the base above the cap.", "Swap the two.")
    middle, swing = (low + high) / 2.0, (high - low) / 2.0
    above_cap = 0.0 if np.isposinf(cap_c) else _above(middle, swing, cap_c)
    return np.asarray(_above(middle, swing, base_c) - above_cap)


def warmth_needed(target: float, logits: ArrayLike, rate: ArrayLike) -> Numbers:
    """Warmth from now until a fill, at every growth of the grid [°C d].

    Args:
        target: Logit of the fill, one of `root_fill.CUTS` or any other [-].
        logits: `growth_learning.fill_logits` of now, shape (trays, grid) [-].
        rate: Relative growth of the crop in trays, times the light factor ahead; above 0, (trays,) or one
            for all [1/(°C d)].

    Returns:
        (target - y)/(m r), never rising along the grid, shape (trays, grid) [°C d]; below 0 where the fill is
        there already; NaN for NaN.

    Raises:
        BadInput: A rate that isn't above 0.
    """
    pace = np.asarray(rate, float)
    if np.any(pace <= 0.0):
        raise BadInput("A growth rate must be above 0.", "Check the crop.")
    logit = np.minimum(np.asarray(logits, float), OVERFULL.value)
    needed = (target - logit) / (np.exp(LOG_GROWTH) * pace.reshape(-1, 1))
    # Plants that were past the target on the day of a move break the order; it is from before that move then.
    return np.asarray(np.minimum.accumulate(needed, axis=1))


def chance_by_day(needed: ArrayLike, weights: ArrayLike, warmth: ArrayLike) -> Numbers:
    """Chance that a fill is passed by each day, over growths and paths [fraction].

    Args:
        needed: `warmth_needed`, shape (trays, grid) [°C d].
        weights: `growth_learning.tray_growth`, same shape [fraction].
        warmth: Degree-days summed from the moment of the logits, shape (paths, days), never falling along a
            path; 0 at that moment and below 0 on days before it [°C d]. One for all trays that share a place
            and a crop (and the days behind, where there are such columns).

    Returns:
        Chances, shape (trays, days), never falling along a row [fraction]; a row with a NaN is NaN, and
        everything where the warmth has a NaN. What isn't passed within the days is what is missing to 1.

    Notes:
        Weight and paths meet in a table of warmth: the weight that needs no more than τ is taken at
        WARMTH_STEPS sums and runs straight in between, so that all trays and days are one matrix product.
    """
    need, weight, sums = (np.asarray(values, float) for values in (needed, weights, warmth))
    paths, days = sums.shape
    if np.isnan(sums).any():
        return np.full((len(need), days), np.nan)
    least = sums.min()
    step = max(float(sums.max() - least), SLIGHT.value) / (WARMTH_STEPS - 1)
    column = (sums - least) / step
    left = np.minimum(column.astype(int), WARMTH_STEPS - 2)
    part = column - left
    table = np.zeros((WARMTH_STEPS, days))
    day = np.broadcast_to(np.arange(days), sums.shape)
    np.add.at(table, (left, day), (1.0 - part) / paths)
    np.add.at(table, (left + 1, day), part / paths)
    # Less warmth is needed the more a tray grows: turned round, both rise.
    below = weight_below(weight[:, ::-1])
    at = least + step * np.arange(WARMTH_STEPS)
    met = np.array([np.interp(at, *row) for row in zip(need[:, ::-1], below, strict=True)])
    chance = met.reshape(-1, WARMTH_STEPS) @ table
    unknown = np.isnan(need).any(axis=1) | np.isnan(weight).any(axis=1)
    return np.where(unknown[:, None], np.nan, chance)


def day_quantiles(chances: ArrayLike, shares: ArrayLike, first_day: int = 0) -> Numbers:
    """Days by which a fill is passed with given chances [d].

    Args:
        chances: `chance_by_day`, shape (trays, days) [fraction].
        shares: Chances such as 0.1, 0.5, 0.9, between 0 and 1; shape (shares,) [fraction].
        first_day: Day of the first column; below 0 where the warmth begins before today [d].

    Returns:
        Days and parts of a day, shape (trays, shares) [d]: the first day where the chance is there already,
        inf where it isn't reached within the days; NaN for a row with a NaN.

    Raises:
        BadInput: A share that isn't between 0 and 1.

    Notes:
        Chances are known at the ends of days and run straight in between, which moves a point by less than
        0.1 d.
    """
    return passing(chances, shares) + first_day


def value_of_look(weights: ArrayLike, logits: ArrayLike, bound_if_waiting: ArrayLike) -> Numbers:
    """How much a look today lowers the chance of acting wrongly [fraction].

    Args:
        weights: `growth_learning.tray_growth` as known now, shape (trays, grid) [fraction].
        logits: `growth_learning.fill_logits` of now, same shape [-].
        bound_if_waiting: Chance at each growth that roots circle before the next chance to act,
            `passed_given_growth`, same shape [fraction].

    Returns:
        From 0 to 0.5, shape (trays,) [fraction]; NaN for a row with a NaN.

    Notes:
        Two acts are open: act now (set out, pot up), wrong if the plug doesn't hold together yet; or wait,
        wrong if roots circle meanwhile. Both wrongs count alike. Without a look one takes the act that is
        less likely wrong, min(A, W); with a look the better one after each score k,

            value = min(A, W) - Σ_k min(P(k and plug doesn't hold), P(k and roots circle))

        which is never below 0. It is 0 where no score would change the act: long before a plug can hold, and
        when roots surely circle. The weighing of the two wrongs is ours.

    References:
        2. Raiffa and Schlaifer 1961, see the module.
    """
    loose = 1.0 - share_past(logits, CUTS[1])
    circling = np.asarray(bound_if_waiting, float)
    each = np.asarray(weights, float)

    def least_wrong(part: Numbers) -> Numbers:
        return np.asarray(np.minimum((part * loose).sum(axis=1), (part * circling).sum(axis=1)))

    after = sum((least_wrong(part) for part in look_parts(each, logits)), np.zeros(len(each)))
    return np.maximum(least_wrong(each) - after, 0.0)


def passed_given_growth(needed: ArrayLike, warmth_then: ArrayLike) -> Numbers:
    """Chance at each growth that a fill is passed by one day, over the paths [fraction].

    Args:
        needed: `warmth_needed`, shape (trays, grid) [°C d].
        warmth_then: Warmth of each path by that day, shape (paths,) [°C d].

    Returns:
        Share of the paths with at least that warmth, shape (trays, grid) [fraction]; NaN for NaN.
    """
    need, sums = np.asarray(needed, float), np.sort(np.asarray(warmth_then, float))
    if np.isnan(sums).any():
        return np.full(need.shape, np.nan)
    met = 1.0 - np.searchsorted(sums, need, side="left") / sums.size
    return np.where(np.isnan(need), np.nan, met)


def _above(middle: Numbers, swing: Numbers, threshold_c: float) -> Numbers:
    """Mean over a day's sine of what stands above the threshold [°C d]."""
    under = threshold_c - middle
    sine = np.clip(under / np.maximum(swing, SLIGHT.value), -1.0, 1.0)
    crossing = np.pi / 2.0 - np.arcsin(sine)
    return np.asarray((swing * np.sqrt(1.0 - np.square(sine)) - under * crossing) / np.pi)


@lru_cache(maxsize=64)
def _noise(paths: int, days: int) -> Numbers:
    """Noise with a spread of 1 that carries over from day to day, in mirrored pairs, shape (paths, days) [-]."""
    fresh = np.random.default_rng(SEED).standard_normal((days, paths // 2))
    noise, keep = np.empty_like(fresh), CARRY_OVER.value
    for day, news in enumerate(fresh):
        noise[day] = keep * noise[day - 1] + np.sqrt(1.0 - keep**2) * news if day else news
    noise /= np.sqrt(np.mean(np.square(noise), axis=1, keepdims=True))
    return np.concatenate([noise, -noise], axis=1).T
