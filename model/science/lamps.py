"""What is left of growth under lamps: one number a place, without arrays, for the way to the first round.

References:
    1. Bruggink, G. T. (1987). Influence of light on the growth of young tomato, cucumber and sweet pepper
       plants in the greenhouse. Scientia Horticulturae 31. Abstract read.
"""

import math

from model.science.source import Sourced

ENOUGH_LIGHT = Sourced(12.0, "mol/(m² d)", "ours: daily light above which growth gains no more", "assumed")
LIGHT_POWER = Sourced(
    0.5, "-", "Bruggink 1987: 1 % of light is 0.6 to 0.4 % of growth (abstract)", "abstract"
)
SECONDS_AN_HOUR = 3600.0
"""Seconds in an hour [s]."""
MICRO = 1e-6
"""Moles in a micromole [mol/µmol]."""


def lamp_growth(ppfd: float, hours: float) -> float:
    """What is left of growth under lamps of known light [fraction].

    Args:
        ppfd: Light at the leaves while the lamps burn, at least 0 [µmol/(m² s)].
        hours: Hours they burn, 0 to 24 [h/d].

    Returns:
        f = min(1, (PPFD · 3600 h / 10⁶ / 12)^0.5) [fraction]; NaN where an input is NaN.

    Notes:
        `light.light_factor` of `light.lamp_light`, as one number; a test holds the two together.
    """
    if math.isnan(ppfd) or math.isnan(hours):
        return math.nan
    daily = ppfd * SECONDS_AN_HOUR * hours * MICRO
    return float(min(1.0, (daily / ENOUGH_LIGHT.value) ** LIGHT_POWER.value))
