"""How full of root a cell is: growth in thermal time until the cell sets the limit.

One logistic does both: dW/dτ = r W (1 - W/Wmax), with W the dry mass of the plants in the cell, τ the
degree-days since half of them were up, and Wmax = κ V what the cell can carry. Root fill is F = W/Wmax, and
its logit is a straight line in thermal time:

    y = ln(F / (1 - F)) = r τ - L,        L = ln(κ V / (n W0) - 1)

so a stage is reached after (L + y)/r degree-days, which grows with the logarithm of the cell volume. The
form, κ, the five stages and their cut points have no published source: they are ours, and the growth rates
were set so that published weeks from sowing to setting out come out
(tests/science/test_transplant_ages.py).

References:
    1. Brewster, J. L. Onions and Other Vegetable Alliums (growth of seedlings in day-degrees; relative growth
       rates of vegetables). Passages opened.
    2. Poorter, H., et al. (2012). Pot size matters: a meta-analysis of the effects of rooting volume on plant
       growth. Functional Plant Biology 39: 839-850. Abstract read.
"""

import math
from statistics import NormalDist

from model.errors import BadInput
from model.science.source import Sourced

CARRYING_MASS = Sourced(
    20.0, "mg/mL", "ours: dry mass a cell carries when full; only its logarithm matters", "assumed"
)
"""κ."""

FEW_FILL = Sourced(0.10, "fraction", "ours: first roots at the edge of the plug", "assumed")
HOLDS_FILL = Sourced(0.30, "fraction", "ours: the plug holds together when pulled (ready)", "assumed")
FULL_FILL = Sourced(0.70, "fraction", "ours: roots over nearly all of the plug", "assumed")
BOUND_FILL = Sourced(0.90, "fraction", "ours: roots circle (root-bound)", "assumed")

CROP_SD = Sourced(
    0.30,
    "-",
    "spread of trays about the growth cabinet rate, 8 crops: own fit to published weeks",
    "computed",
)
"""Standard deviation of ln(growth) of a crop at one grower's."""
TRAY_SD = Sourced(0.18, "-", "ours: standard deviation of ln(growth) between trays of one crop", "assumed")
LOOK_SD = Sourced(0.70, "-", "ours: noise of one look at the roots, on the logit of fill", "assumed")

SCORES = (0, 1, 2, 3, 4)
"""A look: none at the edge, few, holds together, full, circling."""

_NORMAL = NormalDist()


def fill(logit_fill: float) -> float:
    """Root fill from its logit [fraction].

    Args:
        logit_fill: ln(F / (1 - F)), any number, ±inf allowed [-].

    Returns:
        F = 1 / (1 + exp(-y)), from 0 to 1 [fraction]; NaN for NaN.
    """
    if logit_fill >= 0.0:
        return 1.0 / (1.0 + math.exp(-logit_fill))
    grown = math.exp(logit_fill)
    return grown / (1.0 + grown)


def logit(fraction: float) -> float:
    """Logit of a root fill [-].

    Args:
        fraction: Root fill F, from 0 to 1 [fraction].

    Returns:
        ln(F / (1 - F)) [-]; -inf for 0, inf for 1, NaN for NaN.

    Raises:
        BadInput: A fill outside 0 to 1.
    """
    if math.isnan(fraction):
        return math.nan
    if not 0.0 <= fraction <= 1.0:
        raise BadInput(f"A root fill of {fraction:g} can't be.", "Give a fraction from 0 to 1.")
    if fraction in (0.0, 1.0):
        return math.copysign(math.inf, fraction - 0.5)
    return math.log(fraction / (1.0 - fraction))


CUTS = tuple(logit(stage.value) for stage in (FEW_FILL, HOLDS_FILL, FULL_FILL, BOUND_FILL))
"""Logit of fill at which a look changes its score: -2.197, -0.847, 0.847, 2.197 [-]."""


def capacity_log(volume_ml: float, start_mass_mg: float, plants: float = 1) -> float:
    """How far a cell's plants are from filling it on the day they come up, L [-].

    Args:
        volume_ml: Volume of the cell or pot, of an open flat the whole flat; above 0 [mL].
        start_mass_mg: Dry mass of one seedling as it comes up; above 0 [mg].
        plants: Plants that share the volume; above 0 [plants].

    Returns:
        L = ln(κ V / (n W0) - 1) [-]; -inf where the seedlings fill the cell as they come up; NaN where an
        input is NaN.

    Raises:
        BadInput: A volume, mass or number of plants that isn't above 0.

    Notes:
        Only ln κ enters, and a growth rate that was set against published weeks takes it up. Plants in one
        cell are taken to share it evenly.

    Examples:
        >>> round(capacity_log(43.0, 2.1), 4)
        6.0126
    """
    _check_above_nothing(volume_ml, start_mass_mg, plants)
    room = CARRYING_MASS.value * volume_ml / (plants * start_mass_mg) - 1.0
    return math.log(room) if room > 0.0 else (math.nan if math.isnan(room) else -math.inf)


def fill_logit(degree_days: float, rate: float, capacity: float) -> float:
    """Logit of root fill after some warmth, y [-].

    Args:
        degree_days: Sum above the crop's base since half up, at least 0 [°C d].
        rate: Relative growth of the crop in trays, times what was learnt about it; above 0 [1/(°C d)].
        capacity: L of `capacity_log` [-].

    Returns:
        y = r τ - L [-]; NaN where an input is NaN.

    Notes:
        After a pot-up use minus the logit of that day as the capacity, and count degree-days from it. Assumes
        water, food and light that don't limit; cold or dim weeks make the plant later than this.
    """
    return rate * degree_days - capacity


def degree_days_to(logit_fill: float, rate: float, capacity: float) -> float:
    """Warmth needed since half up to reach a root fill, τ [°C d].

    Args:
        logit_fill: Logit of the fill asked for, one of `CUTS` or any other [-].
        rate: Relative growth of the crop in trays; above 0 [1/(°C d)].
        capacity: L of `capacity_log` [-].

    Returns:
        τ = (L + y)/r [°C d]; below 0 where the fill is there already; NaN where an input is NaN.

    Raises:
        BadInput: A rate that isn't above 0.

    Notes:
        Days follow by dividing by the degree-days a day brings, so the extra days for a cell of V2 instead
        of V1 are ln(V2/V1) / (r · degree-days a day).

    Examples:
        >>> round(degree_days_to(CUTS[1], 0.0227, capacity_log(43.0, 2.1)), 1)
        227.5
    """
    if rate <= 0.0:
        raise BadInput(f"A growth rate of {rate:g} can't be.", "Give a rate above 0.")
    return (capacity + logit_fill) / rate


def mass_mg(logit_fill: float, volume_ml: float, plants: float = 1) -> float:
    """Dry mass of one plant at a root fill, W [mg].

    Args:
        logit_fill: Logit of root fill [-].
        volume_ml: Volume of the cell, pot or flat; above 0 [mL].
        plants: Plants that share it; above 0 [plants].

    Returns:
        W = κ V F / n [mg]; NaN where an input is NaN.

    Raises:
        BadInput: A volume or number of plants that isn't above 0.
    """
    _check_above_nothing(volume_ml, plants)
    return CARRYING_MASS.value * volume_ml * fill(logit_fill) / plants


def logit_after_pot_up(
    logit_fill: float,
    old_volume_ml: float,
    new_volume_ml: float,
    plants: float = 1,
    plants_after: float | None = None,
) -> float:
    """Logit of root fill just after a move to another container [-].

    Args:
        logit_fill: Logit of root fill just before the move [-].
        old_volume_ml: Volume they came from; above 0 [mL].
        new_volume_ml: Volume of the new cell or pot; above 0 [mL].
        plants: Plants that shared the old volume; above 0 [plants].
        plants_after: Plants that share the new one; None = as many as before, a clump moved whole [plants].

    Returns:
        -ln(κ V2 / (n2 W) - 1), W the mass of one plant before the move [-]; inf where the new container can't
        carry more than they weigh; NaN where an input is NaN.

    Raises:
        BadInput: A volume or number of plants that isn't above 0.

    Notes:
        Mass is kept: nothing is lost in the move and no check to growth is counted (assumed).
    """
    after = plants if plants_after is None else plants_after
    _check_above_nothing(old_volume_ml, new_volume_ml, plants, after)
    filled = fill(logit_fill) * (old_volume_ml / plants) / (new_volume_ml / after)
    return logit(min(1.0, filled)) if not math.isnan(filled) else math.nan


def plant_band_growth(share: float) -> float:
    """Multiplier on growth below which a share of trays falls, before anyone has looked [-].

    Args:
        share: Share of trays that grow more slowly than this, between 0 and 1 [fraction].

    Returns:
        exp(z · s), s² = CROP_SD² + TRAY_SD², so s = 0.35 and the 80 % band is 0.64 to 1.57 [-]; NaN for NaN.

    Raises:
        BadInput: A share that isn't between 0 and 1.

    Notes:
        ln(growth) is taken as normal. Looks at the roots narrow this; with no look it is all that is known.
    """
    if math.isnan(share):
        return math.nan
    if not 0.0 < share < 1.0:
        raise BadInput(f"A share of {share:g} has no growth.", "Give a share between 0 and 1.")
    return math.exp(_NORMAL.inv_cdf(share) * math.hypot(CROP_SD.value, TRAY_SD.value))


def chance_of_look(score: int, logit_fill: float) -> float:
    """Chance that a look at a plug of known root fill gives a score [fraction].

    Args:
        score: 0 none at the edge, 1 few, 2 holds together, 3 full, 4 circling [-].
        logit_fill: Logit of root fill [-].

    Returns:
        Φ((c_k - y)/σ) - Φ((c_{k-1} - y)/σ), with the cuts of `CUTS` and σ = LOOK_SD [fraction]; NaN for NaN.

    Raises:
        BadInput: A score that isn't one of the five.

    Notes:
        An ordered probit: one look is rarely off by one step and hardly ever by two. Cuts and noise are ours.
    """
    if score not in SCORES:
        raise BadInput(f"A look of {score} isn't one of the five.", "Give 0, 1, 2, 3 or 4.")
    if math.isnan(logit_fill):
        return math.nan
    edges = (-math.inf, *CUTS, math.inf)
    below, above = (_below_edge(edges[score + step] - logit_fill) for step in (0, 1))
    return above - below


def _below_edge(distance: float) -> float:
    """Chance that the noise of a look stays below a distance [fraction]."""
    return _NORMAL.cdf(distance / LOOK_SD.value)


def _check_above_nothing(*values: float) -> None:
    """Refuse volumes, masses and numbers of plants that aren't above 0; NaN passes and comes out as NaN."""
    if any(value <= 0.0 for value in values):
        raise BadInput("A volume, a mass and a number of plants must be above 0.", "Check the container.")
