"""When seedlings come up: rates summed over a published table of days to emergence.

A table row is nine numbers, the days to emergence at 0, 5, ... 40 °C: `math.inf` where no seed came up,
`math.nan` where nobody tested.

References:
    1. Harrington, J. F., and Minges, P. A. (1954). Vegetable Seed Germination. California Agricultural
       Extension mimeo leaflet; the table as printed in Knott's Handbook for Vegetable Growers (1997) and
       reprinted in Teaching Organic Farming and Gardening, unit 1.3, appendix 4, University of California,
       Santa Cruz. The reprint was opened.
"""

import math
from enum import StrEnum
from functools import lru_cache
from statistics import NormalDist

from model.errors import BadInput
from model.science.source import Sourced

NODES_C = (0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0)
"""Temperatures of the table [°C]; printed as 32, 41, ... 104 °F."""

NODE_STEP_C = Sourced(5.0, "°C", "Harrington and Minges 1954: every 9 °F", "published, opened")
HEAT_FALL_C = Sourced(
    10.0, "°C", "ours: above the warmest tested node the rate falls to 0 over this", "assumed"
)
SAMPLES_A_DAY = Sourced(24.0, "samples/d", "ours: one an hour", "assumed")
LOT_SD = Sourced(
    0.15, "-", "ours: standard deviation of ln(speed of a seed lot) before anything came up", "assumed"
)

_NORMAL = NormalDist()


class Standing(StrEnum):
    """What the table can say about a temperature."""

    TESTED = "tested"
    NEVER = "never at this temperature"
    UNKNOWN = "not known"


def standing(days: tuple[float, ...], temp_c: float) -> Standing:
    """What the table can say about a temperature of the mix.

    Args:
        days: Days to emergence at 0, 5, ... 40 °C; inf = none came up, NaN = not tested [d].
        temp_c: Temperature of the mix, constant [°C].

    Returns:
        TESTED where the node itself, or at least one of the two nodes around it, has days and neither is
        untested; NEVER where the node, or both nodes around it, let nothing come up, and beyond an end of the
        table at which nothing came up; UNKNOWN elsewhere, and for a NaN temperature.

    Notes:
        An untested temperature is not a temperature at which nothing comes up: the two are kept apart,
        because the answers differ ("not known" against "never"). The reading of the blanks is ours.

    References:
        1. Harrington and Minges 1954, see the module.
    """
    if math.isnan(temp_c):
        return Standing.UNKNOWN
    near = [days[node] for node in _neighbours(temp_c)]
    if any(map(math.isnan, near)):
        return Standing.UNKNOWN
    if all(map(math.isinf, near)):
        return Standing.NEVER
    inside = NODES_C[0] <= temp_c <= NODES_C[-1]
    return Standing.TESTED if inside else Standing.UNKNOWN


def emergence_rate(days: tuple[float, ...], temp_c: float) -> float:
    """Rate of emergence of the median seed that can come up [1/d].

    Args:
        days: Days to emergence at 0, 5, ... 40 °C; inf = none came up, NaN = not tested [d].
        temp_c: Temperature of the mix [°C].

    Returns:
        Rate [1/d]; 0 outside 0 to 40 °C; NaN for a NaN temperature, for a row without one tested node, and
        in a gap between two nodes that have days (no published row has such a gap).

    Notes:
        R(T) runs straight, in rate and never in days, between the nodes of the table; a node at which
        nothing came up counts as R = 0. Where nobody tested (these rules are ours): on the cold side the
        line through the two coldest nodes with days goes on, not below 0, and stops at a node at which
        nothing came up; on the warm side the rate falls straight to 0 over 10 °C. `standing` says whether a
        rate rests on the table. The table holds for a moist mix, seed 13 mm deep, fresh, untreated and not
        dormant.

    References:
        1. Harrington and Minges 1954, see the module.

    Examples:
        >>> tomato = (math.inf, math.inf, 43, 14, 8, 6, 6, 9, math.inf)
        >>> round(emergence_rate(tomato, 22.5), 5)
        0.14583
    """
    if math.isnan(temp_c) or all(map(math.isnan, days)):
        return math.nan
    if not NODES_C[0] <= temp_c <= NODES_C[-1]:
        return 0.0
    low, high = _neighbours(temp_c)
    share = (temp_c - NODES_C[low]) / NODE_STEP_C.value
    rate = (1.0 - share) / days[low] + share / days[high]
    return _untested_rate(days, temp_c) if math.isnan(rate) else rate


@lru_cache(maxsize=16384)
def daily_progress(days: tuple[float, ...], low_c: float, high_c: float) -> float:
    """Share of the way to emergence that the median seed goes in one day [1/d].

    Args:
        days: Days to emergence at 0, 5, ... 40 °C; inf = none came up, NaN = not tested [d].
        low_c: Lowest temperature of the mix that day [°C].
        high_c: Highest temperature of the mix that day [°C]; equal to `low_c` on a thermostat.

    Returns:
        Mean of `emergence_rate` over 24 samples of a sine between the two [1/d]; NaN where an input is NaN.

    Raises:
        BadInput: The low is above the high.

    Notes:
        The median seed is up on the day the sum reaches 1. Because R(T) is made of straight pieces, the sine
        matters only on days that cross a node; samples stand at the middle of each hour. The sine is ours.

    References:
        1. Harrington and Minges 1954, see the module.
    """
    if low_c > high_c:
        raise BadInput(f"The low of {low_c:g} °C is above the high of {high_c:g} °C.", "Swap the two.")
    if low_c == high_c:
        return emergence_rate(days, low_c)
    middle, swing = (low_c + high_c) / 2.0, (high_c - low_c) / 2.0
    samples = int(SAMPLES_A_DAY.value)
    turns = ((hour + 0.5) / samples * math.tau for hour in range(samples))
    return sum(emergence_rate(days, middle + swing * math.sin(turn)) for turn in turns) / samples


def seed_quantile(median_days: float, spread: float, share: float) -> float:
    """Days until a share of the seeds that can come up have come up [d].

    Args:
        median_days: Days until half of them are up, at least 0 [d].
        spread: Standard deviation of ln(days) within the lot, 0.15 to 0.30 in this program's crops [-].
        share: Share of the seeds that can come up, between 0 and 1 [fraction].

    Returns:
        median · exp(spread · z), z the normal quantile of the share [d]; NaN where an input is NaN.

    Raises:
        BadInput: A share outside 0 to 1, or a negative spread or median.

    Notes:
        Log-normal times within a lot; assumed, since one comparison of 15 species found the log-logistic a
        little better in 13 (abstract only).
    """
    if math.isnan(median_days) or math.isnan(spread) or math.isnan(share):
        return math.nan
    if not 0.0 < share < 1.0 or spread < 0.0 or median_days < 0.0:
        raise BadInput(
            f"A share of {share:g} with spread {spread:g} and median {median_days:g} d has no day.",
            "Give a share between 0 and 1, and a spread and median that aren't negative.",
        )
    return median_days * math.exp(spread * _NORMAL.inv_cdf(share))


def fraction_up(progress: float, viability: float, spread: float) -> float:
    """Expected share of the sown seeds that are up [fraction].

    Args:
        progress: Sum of `daily_progress` since sowing; times the speed of the lot where that was learnt [-].
        viability: Share of the seeds that can come up, 0 to 1 [fraction].
        spread: Standard deviation of ln(time) within the lot, at least 0 [-].

    Returns:
        viability · Φ(ln(progress) / spread) [fraction]; 0 before any progress; NaN where an input is NaN.

    Raises:
        BadInput: A viability outside 0 to 1, or a negative spread.

    Notes:
        Half of the seeds that can come up are up at progress 1. A whole lot may be faster or slower than the
        table: ln(speed) ~ N(0, LOT_SD²), which is the caller's to add. Dead seed can't be told from slow seed
        before a progress of about 1.4.
    """
    if math.isnan(progress) or math.isnan(viability) or math.isnan(spread):
        return math.nan
    if not 0.0 <= viability <= 1.0 or spread < 0.0:
        raise BadInput(
            f"A viability of {viability:g} with spread {spread:g} can't be.",
            "Give a viability from 0 to 1 and a spread that isn't negative.",
        )
    if progress <= 0.0:
        return 0.0
    if spread == 0.0:
        return viability if progress >= 1.0 else 0.0
    return viability * _NORMAL.cdf(math.log(progress) / spread)


def normal_share(percents: tuple[float, ...], temp_c: float) -> float:
    """Share of the seedlings that come up normal at a temperature, of those that do at the best one [fraction].

    Args:
        percents: Per cent normal seedlings at 0, 5, ... 40 °C; NaN = not tested or not recorded [%].
        temp_c: Temperature of the mix, constant [°C].

    Returns:
        pct(T) / max pct, straight between the nodes, 0 to 1 [fraction]; NaN between or on nodes of which one
        has no figure, outside 0 to 40 °C, for a NaN temperature, and for a row without one figure above 0.

    Notes:
        Times the tested germination of a lot it is the viability to expect at that temperature: seed is
        tested near its best. The division by the best node and the straight lines are ours; what the table
        doesn't say stays unknown, with no rule to fill it.

    References:
        1. Harrington's percentages of normal seedlings, printed beside his days to emergence (see the module).
           A reprint was opened.

    Examples:
        >>> lettuce = (98, 98, 98, 99, 99, 99, 12, 0, 0)
        >>> round(normal_share(lettuce, 27.5), 3)
        0.561
    """
    best = max((percent for percent in percents if not math.isnan(percent)), default=0.0)
    if math.isnan(temp_c) or best <= 0.0 or not NODES_C[0] <= temp_c <= NODES_C[-1]:
        return math.nan
    low, high = _neighbours(temp_c)
    share = (temp_c - NODES_C[low]) / NODE_STEP_C.value
    return ((1.0 - share) * percents[low] + share * percents[high]) / best


def _neighbours(temp_c: float) -> tuple[int, int]:
    """Indexes of the nodes around a temperature: the same one twice on a node, and beyond an end."""
    last = len(NODES_C) - 1
    if temp_c <= NODES_C[0]:
        return 0, 0
    if temp_c >= NODES_C[last]:
        return last, last
    low = int(temp_c // NODE_STEP_C.value)
    return (low, low) if temp_c == NODES_C[low] else (low, low + 1)


def _untested_rate(days: tuple[float, ...], temp_c: float) -> float:
    """Rate [1/d] where a neighbouring node was not tested; see `emergence_rate` for the rules."""
    dated = [node for node, value in enumerate(days) if math.isfinite(value)]
    if len(dated) < 2:
        return 0.0
    coldest, second, warmest = dated[0], dated[1], dated[-1]
    never = [NODES_C[node] for node, value in enumerate(days) if math.isinf(value)]
    if temp_c > NODES_C[warmest]:
        if any(NODES_C[warmest] < node_c <= temp_c for node_c in never):
            return 0.0
        fall = (temp_c - NODES_C[warmest]) / HEAT_FALL_C.value
        return max(0.0, 1.0 - fall) / days[warmest]
    if temp_c > NODES_C[coldest]:
        return math.nan
    if any(temp_c <= node_c < NODES_C[coldest] for node_c in never):
        return 0.0
    slope = (1.0 / days[second] - 1.0 / days[coldest]) / (NODES_C[second] - NODES_C[coldest])
    return max(0.0, 1.0 / days[coldest] + slope * (temp_c - NODES_C[coldest]))
