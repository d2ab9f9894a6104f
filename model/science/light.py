"""Light for young plants: how long the day is, what a day's light adds up to, and what too little costs.

All functions take floats or numpy arrays that broadcast together, and answer a float for floats.

References:
    1. Forsythe, W. C., Rykiel, E. J., Stahl, R. S., Wu, H., and Schoolfield, R. M. (1995). A model comparison
       for daylength as a function of latitude and day of year. Ecological Modelling 80: 87-95. Not opened; the
       equation was read in several programs that name it.
    2. Bruggink, G. T. (1987). Influence of light on the growth of young tomato, cucumber and sweet pepper
       plants in the greenhouse. Scientia Horticulturae 31. Abstract read.
"""

import numpy as np

from model.science.evapotranspiration import (
    JOULES_A_MEGAJOULE,
    MOST_PPFD,
    MOST_RADIATION,
    SECONDS_AN_HOUR,
    YEAR,
    Values,
    extraterrestrial_radiation,
    within,
)
from model.science.lamps import ENOUGH_LIGHT, LIGHT_POWER
from model.science.source import Sourced

HOURS_A_DAY = 24.0
"""Hours in a day [h]."""
REVOLUTION = (0.2163108, 0.9671396, 0.00860, 186.0)
"""Angle of the earth on its way (reference 1): start [rad], factor [-], half turn [rad/d], day it counts from."""
TILT = Sourced(0.39795, "-", "Forsythe et al. 1995: sine of the tilt of the earth's axis", "second-hand")
SUNRISE = Sourced(
    0.8333,
    "°",
    "Forsythe et al. 1995: how far the sun's centre is below the horizon as its edge shows, with refraction",
    "second-hand",
)
EARLY_YEARS = Sourced(
    1.0, "d", "ours: fitted to sunrise and sunset of 2024 to 2027; the equation is 30 years old", "computed"
)
"""How many days ahead of the printed equation the sun is in these years."""

PHOTONS_OF_SUN = Sourced(
    2.04, "mol/MJ", "ours: 0.45 of the sun's energy is light for plants, 4.57 mol/MJ, rounded", "computed"
)
"""Between 1.96, of the makers of a national light map (opened), and 2.06."""
GREENHOUSE = Sourced(
    0.6, "fraction", "light through a greenhouse, 0.5 to 0.7: common practice, no source", "assumed"
)
WINDOWSILL = Sourced(
    0.25, "fraction", "light on a windowsill, 0.2 to 0.3: common practice, no source", "assumed"
)
AVERAGE_SKY = Sourced(
    0.5, "fraction", "ours: share of the sun above the air that reaches the ground, clouds and all", "assumed"
)
MOST_DAILY_LIGHT = 150.0
"""Most light of one day taken [mol/(m² d)]: twice the brightest summer day."""


def day_length(latitude_deg: Values, day_of_year: Values) -> Values:
    """Time from sunrise to sunset, to the upper edge of the sun and with refraction [h].

    Args:
        latitude_deg: Latitude, south negative, -90 to 90 [°].
        day_of_year: 1 January = 1, to 366 [d].

    Returns:
        24 - (24/π) arccos((sin p + sin φ sin δ) / (cos φ cos δ)), with sin δ = 0.39795 cos θ,
        θ = 0.2163108 + 2 arctan(0.9671396 tan(0.00860 (J + 1 - 186))) and p = 0.8333° [h]; 0 through a polar
        night and 24 where the sun doesn't set; NaN where an input is NaN.

    Raises:
        BadInput: A latitude or day that can't be.

    Notes:
        The day added to J is ours. As printed the equation lags the sun by a day or more in the years from 2024
        on, which is up to 6.3 minutes at 52° about the equinoxes; with it the worst is 2.4 minutes up to 52°
        and 3.2 minutes at 60°. What is left comes from counting days without leap years. Hills and trees
        aren't counted.

    References:
        1. Forsythe et al. 1995: see the module.

    Examples:
        >>> f"{day_length(52.0, 172):.1f}"
        '16.7'
    """
    latitude = np.radians(within("A latitude", latitude_deg, -90.0, 90.0, "degrees"))
    start, factor, half_turn, midyear = REVOLUTION
    day = within("A day of the year", day_of_year, 1.0, YEAR + 1.0) + EARLY_YEARS.value
    turned = start + 2.0 * np.arctan(factor * np.tan(half_turn * (day - midyear)))
    declination = np.arcsin(TILT.value * np.cos(turned))
    reach = np.sin(np.radians(SUNRISE.value)) + np.sin(latitude) * np.sin(declination)
    share = np.clip(reach / (np.cos(latitude) * np.cos(declination)), -1.0, 1.0)
    hours: Values = HOURS_A_DAY - HOURS_A_DAY / np.pi * np.arccos(share)
    return hours


def lamp_light(ppfd: Values, hours: Values) -> Values:
    """Light that lamps give in one day, the daily light integral [mol/(m² d)].

    Args:
        ppfd: Light at the leaves while the lamps burn, 0 to 5000 [µmol/(m² s)].
        hours: Hours they burn, 0 to 24 [h/d].

    Returns:
        PPFD · 3600 · hours / 10⁶ [mol/(m² d)]; NaN where an input is NaN.

    Raises:
        BadInput: A light or time outside its range.

    Examples:
        >>> f"{lamp_light(200.0, 16.0):.2f}"
        '11.52'
    """
    burning = within("A lamp time", hours, 0.0, HOURS_A_DAY, "hours") * SECONDS_AN_HOUR
    return within("A light", ppfd, 0.0, MOST_PPFD, "µmol/(m² s)") * burning / JOULES_A_MEGAJOULE


def sun_light(solar_radiation: Values, transmission: Values = 1.0) -> Values:
    """Light that the sun gives in one day under a cover, the daily light integral [mol/(m² d)].

    Args:
        solar_radiation: Rs on level ground outdoors, 0 to 60 [MJ/(m² d)].
        transmission: Share of the light that comes through the cover, 0 to 1 [fraction].

    Returns:
        2.04 Rs · transmission [mol/(m² d)]; NaN where an input is NaN.

    Raises:
        BadInput: A radiation or share outside its range.

    Notes:
        Taken with 45 % of the sun's energy as light for plants; one analysis has 50 ± 3 % (abstract read).
        Dirt, bars and the season change a cover's share by more. `GREENHOUSE` and `WINDOWSILL` are where to
        start.

    Examples:
        >>> f"{sun_light(14.5, 0.6):.1f}"
        '17.7'
    """
    radiation = within("A day's sun", solar_radiation, 0.0, MOST_RADIATION, "MJ/m²")
    return PHOTONS_OF_SUN.value * radiation * within("A share of light", transmission, 0.0, 1.0)


def usual_sun_light(
    latitude_deg: Values, day_of_year: Values, transmission: Values = GREENHOUSE.value
) -> Values:
    """Light that the sun usually gives in one day under a cover: season and latitude, no day's own sky [mol/(m² d)].

    Args:
        latitude_deg: Latitude, south negative, -90 to 90 [°].
        day_of_year: 1 January = 1, to 366 [d].
        transmission: Share of the light that comes through the cover, 0 to 1 [fraction].

    Returns:
        `sun_light` of 0.5 Ra with Ra of `extraterrestrial_radiation` [mol/(m² d)]; 0 through a polar night;
        NaN where an input is NaN.

    Raises:
        BadInput: A latitude, day or share outside its range.

    Notes:
        That half of Ra comes through an average sky is assumed: a dull week has a third of it, a clear one
        half as much again. Hills and trees aren't counted.

    Examples:
        >>> f"{usual_sun_light(45.0, 46):.0f}"
        '11'
    """
    overhead = extraterrestrial_radiation(latitude_deg, day_of_year)
    return sun_light(AVERAGE_SKY.value * overhead, transmission)


def light_factor(daily_light: Values) -> Values:
    """What is left of growth when light is short [fraction].

    Args:
        daily_light: Daily light integral at the leaves, 0 to 150 [mol/(m² d)].

    Returns:
        min(1, √(DLI / 12)) [fraction]; NaN for NaN.

    Raises:
        BadInput: A light outside the range.

    Notes:
        The square root follows from 1 % less light costing young fruiting plants 0.6 % of growth in winter and
        0.4 % in spring (reference 2). That 12 mol is enough is assumed: advice runs from 10 to 15.

    References:
        2. Bruggink 1987: see the module.

    Examples:
        >>> f"{light_factor(3.0):.2f}"
        '0.50'
    """
    light = within("A day's light", daily_light, 0.0, MOST_DAILY_LIGHT, "mol/m²")
    factor: Values = np.minimum(1.0, (light / ENOUGH_LIGHT.value) ** LIGHT_POWER.value)
    return factor
