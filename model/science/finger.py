"""What a finger in the mix says about a tray: how much easy water is left, and how fast this tray dries.

Both are held on one grid. Its rows are the easy water the tray may have had when the reckoning began, its
columns the logarithm of the tray's own factor; each node carries the easy water it would have today
(`water_balance.one_day`) and a weight. A finger test multiplies the weights by the chance of what was felt, so
a tray that is dry too soon is believed both drier and faster.

The three feelings, their cuts and their noise have no published source: they are ours. Arrays of trays go on the
leading axes; a single tray needs none.
"""

from dataclasses import dataclass, replace
from enum import StrEnum
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from model.errors import BadInput
from model.science.evapotranspiration import Values, within
from model.science.source import Sourced
from model.science.water_balance import one_day

TRAY_SD = Sourced(0.35, "-", "ours: standard deviation of ln(own factor) between trays", "assumed")
DRY_BELOW = Sourced(0.30, "fraction", "ours: easy water where dry turns to just moist", "assumed")
WET_ABOVE = Sourced(0.65, "fraction", "ours: easy water where just moist turns to wet", "assumed")
FINGER_SD = Sourced(0.12, "fraction", "ours: noise of one finger test", "assumed")
WATERS = np.linspace(0.0, 1.0, 51)
"""Rows of the grid: easy water when the reckoning begins [fraction]."""
LOG_FACTORS = np.linspace(-1.2, 1.2, 31)
"""Columns of the grid: ln(own factor of the tray) [-]."""
_DISTANCES = np.linspace(-9.0, 9.0, 4001)
"""Where the normal curve is kept [standard deviations]: an easy water is at most 5.8 from the nearer cut."""
_BELOW = np.array([NormalDist().cdf(distance) for distance in _DISTANCES])
"""The normal curve there [fraction]; a straight line between two of them is off by less than 1e-6."""


class Touch(StrEnum):
    """What a finger in the mix feels."""

    DRY = "dry"
    MOIST = "just moist"
    WET = "wet"


@dataclass(frozen=True, slots=True)
class Belief:
    """The grid of a tray, or of trays on leading axes: easy water now at each node, and the node's weight."""

    easy_water: NDArray[np.float64]
    weight: NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Estimate:
    """Mean and standard deviation of easy water [fraction] and of ln(own factor) [-]."""

    easy_water: Values
    easy_water_sd: Values
    log_factor: Values
    log_factor_sd: Values


def chance_of_touch(touch: Touch, easy_water: Values) -> Values:
    """Chance that a finger in a mix of known easy water feels this [fraction].

    Args:
        touch: Dry, just moist or wet.
        easy_water: Easy water left, 0 to 1 [fraction].

    Returns:
        Φ((c_above - w)/0.12) - Φ((c_below - w)/0.12), with cuts at 0.30 and 0.65 [fraction]; NaN for NaN.

    Raises:
        BadInput: A feeling that isn't one of the three, or easy water outside 0 to 1.

    Notes:
        An ordered probit; cuts and noise are ours. A finger tells one spot: edges dry first.
    """
    if touch not in set(Touch):
        raise BadInput(f"A finger can't feel {touch!r}.", "Give dry, just moist or wet.")
    water = within("Easy water", easy_water, 0.0, 1.0)
    if touch == Touch.DRY:
        return _below(DRY_BELOW, water)
    to_wet = _below(WET_ABOVE, water)
    return 1.0 - to_wet if touch == Touch.WET else to_wet - _below(DRY_BELOW, water)


def first_belief(
    easy_water: Values,
    easy_water_sd: Values,
    log_factor: Values = 0.0,
    log_factor_sd: Values = TRAY_SD.value,
    waters: NDArray[np.float64] = WATERS,
) -> Belief:
    """What is believed of a tray before a finger has been in it.

    Args:
        easy_water: Easy water thought likeliest, 0 to 1; 1 after a thorough watering [fraction].
        easy_water_sd: How unsure that is, above 0 to 1 [fraction].
        log_factor: ln(own factor) thought likeliest, -1.2 to 1.2: 0, or what earlier fingers taught [-].
        log_factor_sd: How unsure that is, above 0 to 1.2 [-].
        waters: Rows of the grid, 0 to 1; on the last axis, where each tray has its own [fraction].

    Returns:
        The grid, easy water normal and cut off at 0 and 1, ln(own factor) normal, one independent of the other;
        NaN weights where an input is NaN.

    Raises:
        BadInput: An input outside its range.

    Notes:
        The usual grid has steps of 0.02 and 0.08; whoever is surer than that gets the nearest node. A few rows
        in the range that counts serve where a whole farm is reckoned at once.
    """
    water = within("Easy water", easy_water, 0.0, 1.0)
    factor = within("A logarithm of a tray's factor", log_factor, LOG_FACTORS[0], LOG_FACTORS[-1])
    rows = _bell(waters, water, _spread(easy_water_sd, 1.0))
    columns = _bell(LOG_FACTORS, factor, _spread(log_factor_sd, LOG_FACTORS[-1]))
    weight = rows[..., :, None] * columns[..., None, :]
    return Belief(np.broadcast_to(waters[..., :, None], weight.shape), weight)


def after_day(
    belief: Belief,
    evapotranspiration_mm: Values,
    root_fill: Values,
    crop_coefficient: Values,
    easy_mm: Values,
    watering: Values = 0.0,
    mat: Values = 1.0,
) -> Belief:
    """What is believed in the evening, after a day of drying that began with a watering, or with none.

    Args:
        belief: Of the morning.
        evapotranspiration_mm: Of the place, 0 to 50 [mm/d].
        root_fill: Root fill, 0 to 1 [fraction].
        crop_coefficient: Of closed leaves, 0 to 3 [-].
        easy_mm: Easy water of the tray when just drained, above 0 [mm].
        watering: Water given in the morning, at least 0; 1 = enough from finger-dry [fraction of easy_mm].
        mat: Factor of a heat mat on bare mix, at least 1 [-].

    Returns:
        The grid, each node dried by `water_balance.one_day` at its own factor; weights as they were. NaN where
        an input is NaN.

    Raises:
        BadInput: An input outside its range.

    Notes:
        Days differ only by what is given: a fan that was moved or a day that was misjudged is taken for noise of
        the finger. A watering of 1 leaves every node just drained, so give less where it may have run off.
    """
    inputs = (evapotranspiration_mm, root_fill, crop_coefficient, easy_mm, watering, mat)
    mm, fill, leaves, easy, given, warmed = (
        np.asarray(each, dtype=np.float64)[..., None, None] for each in inputs
    )
    dried = one_day(belief.easy_water, mm, fill, leaves, easy, given, warmed, np.exp(LOG_FACTORS))
    return replace(belief, easy_water=np.asarray(dried))


def after_touch(belief: Belief, touch: Touch) -> Belief:
    """What is believed after a finger has been in the mix.

    Args:
        belief: Before it.
        touch: What it felt: dry, just moist or wet.

    Returns:
        The grid, each weight times `chance_of_touch` and all brought back to a sum of 1; NaN where it was NaN.

    Raises:
        BadInput: A feeling that isn't one of the three.
    """
    weight = belief.weight * chance_of_touch(touch, belief.easy_water)
    return replace(belief, weight=weight / weight.sum(axis=(-2, -1), keepdims=True))


def after_left(belief: Belief) -> Belief:
    """What is believed after somebody looked at a tray and left it dry on purpose.

    Args:
        belief: Before it.

    Returns:
        The grid, each weight times 1 - `chance_of_touch` of dry and all brought back to a sum of 1; NaN where it
        was NaN.

    Notes:
        Taking their word for no more than "it wasn't dry to a finger" is ours.
    """
    weight = belief.weight * (1.0 - chance_of_touch(Touch.DRY, belief.easy_water))
    return replace(belief, weight=weight / weight.sum(axis=(-2, -1), keepdims=True))


def estimate(belief: Belief) -> Estimate:
    """Mean and standard deviation of what is believed of a tray.

    Args:
        belief: The grid of one tray or of many.

    Returns:
        Of easy water now [fraction] and of ln(own factor) [-]; arrays for many trays; NaN where it is NaN.
    """
    water, water_sd = _moments(belief.easy_water, belief.weight)
    factor, factor_sd = _moments(LOG_FACTORS, belief.weight)
    return Estimate(water, water_sd, factor, factor_sd)


def _below(cut: Sourced, water: NDArray[np.float64]) -> Values:
    """Chance that a finger takes easy water for less than a cut [fraction]."""
    below: Values = np.interp((cut.value - water) / FINGER_SD.value, _DISTANCES, _BELOW)
    return below


def _moments(values: NDArray[np.float64], weight: NDArray[np.float64]) -> tuple[Values, Values]:
    """Weighted mean and standard deviation over the grid."""
    mean = (values * weight).sum(axis=(-2, -1))
    off = values - mean[..., None, None]
    return mean, np.sqrt((off**2 * weight).sum(axis=(-2, -1)))


def _bell(
    nodes: NDArray[np.float64], mean: NDArray[np.float64], sd: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Normal weights on the nodes, of sum 1 on the last axis; safe where sd is far below the step."""
    power = -(((nodes - mean[..., None]) / sd[..., None]) ** 2) / 2.0
    height = np.exp(power - power.max(axis=-1, keepdims=True))
    return np.asarray(height / height.sum(axis=-1, keepdims=True))


def _spread(sd: Values, most: float) -> NDArray[np.float64]:
    """A standard deviation as an array, refused where it isn't above 0."""
    spread = within("A standard deviation", sd, 0.0, most)
    if (spread == 0.0).any():
        raise BadInput("A standard deviation of 0 can't be learnt from.", "Give more than 0.")
    return spread
