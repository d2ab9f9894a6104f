"""Warmth of a day above a crop's base, as a single sine with a horizontal cut-off.

References:
    1. Baskerville, G. L., and Emin, P. (1969). Rapid estimation of heat accumulation from maximum and minimum
       temperatures. Ecology 50: 514-517. From memory; checked against published tests of other libraries.
    2. McMaster, G. S., and Wilhelm, W. W. (1997). Growing degree-days: one equation, two interpretations.
       Agricultural and Forest Meteorology 87: 291-300. Abstract read.
"""

import math
from functools import lru_cache

from model.errors import BadInput


@lru_cache(maxsize=16384)
def degree_days(low_c: float, high_c: float, base_c: float, cap_c: float) -> float:
    """Degree-days of one day above a base, counting nothing above a cap [°C d].

    Args:
        low_c: Lowest air temperature of the day [°C].
        high_c: Highest air temperature of the day [°C].
        base_c: Temperature below which the crop doesn't grow [°C].
        cap_c: Temperature above which more warmth adds nothing; inf = no cap [°C].

    Returns:
        Degree-days [°C d], from 0 to cap - base; NaN where an input is NaN.

    Raises:
        BadInput: The low is above the high, or the base above the cap.

    Notes:
        D(θ) = [(m - θ)(π/2 - o) + a cos o] / π with m = (low + high)/2, a = (high - low)/2 and
        o = asin((θ - m)/a); a day wholly above θ gives m - θ and a day wholly below gives 0. The answer is
        D(base) - D(cap): the mean over the sine of the temperature held between base and cap, less the base.
        The two averaging methods in common use differ from each other by up to 83 % (reference 2); this is
        neither. Assumes one low and one high a day and a sine between them.

    References:
        1. Baskerville and Emin 1969; 2. McMaster and Wilhelm 1997: see the module.

    Examples:
        >>> round(degree_days(8.0, 24.0, 6.0, 20.0), 3)
        9.128
    """
    if low_c > high_c:
        raise BadInput(f"The low of {low_c:g} °C is above the high of {high_c:g} °C.", "Swap the two.")
    if base_c > cap_c:
        raise BadInput(f"The base of {base_c:g} °C is above the cap of {cap_c:g} °C.", "Swap the two.")
    if any(map(math.isnan, (low_c, high_c, base_c, cap_c))):
        return math.nan
    return _above(low_c, high_c, base_c) - _above(low_c, high_c, cap_c)


def _above(low_c: float, high_c: float, threshold_c: float) -> float:
    """Mean over the sine of what stands above the threshold [°C d]."""
    if high_c <= threshold_c:
        return 0.0
    middle = (low_c + high_c) / 2.0
    if low_c >= threshold_c:
        return middle - threshold_c
    swing = (high_c - low_c) / 2.0
    crossing = math.asin((threshold_c - middle) / swing)
    return ((middle - threshold_c) * (math.pi / 2.0 - crossing) + swing * math.cos(crossing)) / math.pi
