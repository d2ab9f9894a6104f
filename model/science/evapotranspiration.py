"""How much water the air asks for: vapour pressure, the sun above the air, and evaporation in mm a day.

A grower has the low and the high of each day, and a latitude. That is enough for the sun's strength above the
air, for a guess at what reaches the ground, and for Hargreaves' reference evapotranspiration. Indoors there is
no sun, so lamps and dry air are counted apart, in Penman's two terms.

All functions take floats or numpy arrays that broadcast together, and answer a float for floats.

References:
    1. Allen, R. G., Pereira, L. S., Raes, D., and Smith, M. (1998). Crop evapotranspiration. FAO Irrigation and
       Drainage Paper 56. Only the opening of the chapter on weather data was read; the equations were compared
       with two reference libraries whose tests were opened. Equation numbers are from memory.
    2. Penman, H. L. (1948). Natural evaporation from open water, bare soil and grass. Proceedings of the Royal
       Society A 193: 120-145. From memory.
"""

import numpy as np
from numpy.typing import NDArray

from model.errors import BadInput
from model.science.source import Sourced

Values = float | NDArray[np.float64]
"""One number, or an array of them."""

FAO56 = "Allen et al. 1998, FAO-56"
MAGNUS = (0.6108, 17.27, 237.3)
"""Saturation vapour pressure, FAO-56 equation 11: pressure at 0 °C [kPa], factor [-], offset [°C]."""
AIR_PRESSURE = (101.3, 293.0, 0.0065, 5.26)
"""FAO-56 equation 7: pressure at the sea [kPa], its temperature [K], lapse [K/m], exponent [-]."""
PSYCHROMETRIC = Sourced(0.665e-3, "1/°C", f"{FAO56}, equation 8, at ordinary temperatures", "published")
SOLAR_CONSTANT = Sourced(0.0820, "MJ/(m² min)", f"{FAO56}, equation 21", "published")
MINUTES_A_DAY = 24.0 * 60.0
"""Minutes in a day [min]."""
SECONDS_AN_HOUR = 3600.0
"""Seconds in an hour [s]."""
SUN_TURNS_A_DAY = 12.0
"""Hours in which the sun turns by π [h]."""
JOULES_A_MEGAJOULE = 1e6
"""J in one MJ, and µmol in one mol."""
MOST_WIND = 20.0
"""Strongest air movement taken [m/s]: a gale."""
YEAR = 365.0
"""Days of the year as the equations of the sun count them [d]."""
SUN_DISTANCE = Sourced(
    0.033, "-", f"{FAO56}, equation 23: how much nearer the sun is in January", "published"
)
DECLINATION = (0.409, 1.39)
"""FAO-56 equation 24: tilt of the earth's axis [rad] and where its year begins [rad]."""
INLAND = Sourced(0.16, "1/√°C", f"{FAO56}, equation 50: kRs away from the sea", "published")
COAST = Sourced(0.19, "1/√°C", f"{FAO56}, equation 50: kRs by the sea", "published")
HARGREAVES = (0.0023, 17.8)
"""FAO-56 equation 52: factor [1/(°C √°C)] and offset [°C]."""
WATER_OF_ENERGY = Sourced(0.408, "mm m²/MJ", f"{FAO56}: 1/2.45, water evaporated by 1 MJ", "published")
LATENT_HEAT = Sourced(2.45, "MJ/kg", f"{FAO56}: heat to evaporate water, near 20 °C", "published")
PHOTONS_OF_LAMPS = Sourced(
    4.57, "µmol/J", "photons in the light plants use; trade figure of sunlight", "memory"
)
ABSORBED = Sourced(0.8, "fraction", "ours: share of the lamps' light a tray takes up", "assumed")
STILL_AIR = Sourced(0.2, "m/s", "ours: air movement in a room without a fan", "assumed")
PENMAN_WIND = (6.43, 0.536)
"""Penman's wind function: MJ/(m² d kPa) in still air, and more by each m/s of wind [s/m]. From memory."""
AIR_C = (-90.0, 60.0)
"""Coldest and warmest temperature taken [°C]: beyond what air near the ground has been."""
ELEVATION_M = (-500.0, 9000.0)
"""Lowest and highest place taken [m]: beyond all dry land."""
MOST_PPFD = 5000.0
"""Strongest light taken [µmol/(m² s)]: more than twice full sun."""
MOST_RADIATION = 60.0
"""Strongest daily sun taken [MJ/(m² d)]: more than falls anywhere above the air."""


def within(what: str, values: Values, low: float, high: float, unit: str = "") -> NDArray[np.float64]:
    """Values as an array, refused where one is out of range.

    Args:
        what: Name of the quantity, with its article, as a sentence begins ("A latitude").
        values: Number or array [unit].
        low: Least that is taken [unit].
        high: Most that is taken [unit].
        unit: Unit as it is said, "" for a bare number.

    Returns:
        The same values; NaN passes.

    Raises:
        BadInput: A value below low or above high.
    """
    numbers = np.asarray(values, dtype=np.float64)
    wrong = (numbers < low) | (numbers > high)
    if wrong.any():
        said = f" {unit}" if unit else ""
        raise BadInput(
            f"{what} of {numbers[wrong].flat[0]:g}{said} can't be.", f"Give {low:g} to {high:g}{said}."
        )
    return numbers


def saturation_pressure(temp_c: Values) -> Values:
    """Pressure of water vapour in air that can hold no more, e0(T) [kPa].

    Args:
        temp_c: Temperature of the air or of a wet surface, -90 to 60 [°C].

    Returns:
        FAO-56 equation 11: e0 = 0.6108 exp(17.27 T / (T + 237.3)) [kPa]; NaN for NaN.

    Raises:
        BadInput: A temperature outside the range.

    Examples:
        >>> f"{saturation_pressure(15.0):.3f}"
        '1.705'
    """
    temp = within("A temperature", temp_c, *AIR_C, "°C")
    at_zero, factor, offset = MAGNUS
    return at_zero * np.exp(factor * temp / (temp + offset))


def saturation_slope(temp_c: Values) -> Values:
    """How fast saturation vapour pressure rises with temperature, Δ [kPa/°C].

    Args:
        temp_c: Temperature, -90 to 60 [°C].

    Returns:
        FAO-56 equation 13: Δ = 17.27 · 237.3 e0(T) / (T + 237.3)², the derivative of `saturation_pressure`
        [kPa/°C]; NaN for NaN.

    Raises:
        BadInput: A temperature outside the range.

    Notes:
        Printed with 4098, which is 17.27 · 237.3 rounded; the difference is 5 in a million.
    """
    _, factor, offset = MAGNUS
    pressure = np.asarray(saturation_pressure(temp_c))
    return factor * offset * pressure / (temp_c + offset) ** 2


def psychrometric_constant(elevation_m: Values = 0.0) -> Values:
    """Psychrometric constant at a height above the sea, γ [kPa/°C].

    Args:
        elevation_m: Height above the sea, -500 to 9000 [m].

    Returns:
        FAO-56 equation 8: γ = 0.665e-3 P [kPa/°C]; NaN for NaN.

    Raises:
        BadInput: A height outside the range.
    """
    height = within("A height above the sea", elevation_m, *ELEVATION_M, "m")
    at_sea, temp_k, lapse, exponent = AIR_PRESSURE
    return PSYCHROMETRIC.value * at_sea * ((temp_k - lapse * height) / temp_k) ** exponent


def extraterrestrial_radiation(latitude_deg: Values, day_of_year: Values) -> Values:
    """Sun above the air on level ground through one day, Ra [MJ/(m² d)].

    Args:
        latitude_deg: Latitude, south negative, -90 to 90 [°].
        day_of_year: 1 January = 1, to 366 [d].

    Returns:
        FAO-56 equations 21 and 23 to 25: Ra = (24·60/π) 0.0820 dr (ωs sin φ sin δ + cos φ cos δ sin ωs)
        [MJ/(m² d)]; 0 through a polar night; NaN where an input is NaN.

    Raises:
        BadInput: A latitude or day that can't be.

    Notes:
        The sunset angle ωs is held within 0 and π, so a sun that doesn't set counts all day (ours).

    Examples:
        >>> f"{extraterrestrial_radiation(-20.0, 246):.1f}"
        '32.2'
    """
    sunset, latitude, declination = _sunset_angle(latitude_deg, day_of_year)
    nearness = 1.0 + SUN_DISTANCE.value * np.cos(_year_angle(day_of_year))
    high = sunset * np.sin(latitude) * np.sin(declination)
    height: Values = high + np.cos(latitude) * np.cos(declination) * np.sin(sunset)
    return MINUTES_A_DAY / np.pi * SOLAR_CONSTANT.value * nearness * np.maximum(height, 0.0)


def daylight_hours(latitude_deg: Values, day_of_year: Values) -> Values:
    """Longest the sun can shine in one day, counted to its centre and without refraction, N [h].

    Args:
        latitude_deg: Latitude, south negative, -90 to 90 [°].
        day_of_year: 1 January = 1, to 366 [d].

    Returns:
        FAO-56 equation 34: N = 24 ωs/π [h], 0 through a polar night and 24 where the sun doesn't set;
        NaN where an input is NaN.

    Raises:
        BadInput: A latitude or day that can't be.

    Notes:
        For what a plant or a person sees use `light.day_length`, which counts the whole disc and refraction:
        at 52° N it is 13 to 23 minutes longer, at 52° S from 1 minute shorter to 15 longer.
    """
    sunset, _, _ = _sunset_angle(latitude_deg, day_of_year)
    return 2.0 * SUN_TURNS_A_DAY * sunset / np.pi


def solar_radiation(low_c: Values, high_c: Values, extraterrestrial: Values, by_sea: bool = False) -> Values:
    """Sun on level ground guessed from how far the temperature ranged that day, Rs [MJ/(m² d)].

    Args:
        low_c: Lowest outdoor temperature of the day, -90 to 60 [°C].
        high_c: Highest outdoor temperature of the day, not below the low [°C].
        extraterrestrial: Ra of `extraterrestrial_radiation`, 0 to 60 [MJ/(m² d)].
        by_sea: Whether the sea tempers the place.

    Returns:
        FAO-56 equation 50: Rs = kRs √(high - low) Ra, not above Ra; kRs 0.16 inland, 0.19 by the sea
        [MJ/(m² d)]; NaN for NaN.

    Raises:
        BadInput: A temperature or radiation outside its range, or a low above the high.

    Notes:
        A range above 39 °C (28 °C by the sea) would give more sun than there is: held at Ra (ours).
        Single days can be far off: use means of a week where a choice hangs on it. Use outdoor temperatures.
    """
    share = (COAST if by_sea else INLAND).value * np.sqrt(_range_c(low_c, high_c))
    return np.minimum(share, 1.0) * _radiation(extraterrestrial)


def reference_evapotranspiration(low_c: Values, high_c: Values, extraterrestrial: Values) -> Values:
    """Water a short watered lawn would lose outdoors, after Hargreaves, ETo [mm/d].

    Args:
        low_c: Lowest outdoor temperature of the day, -90 to 60 [°C].
        high_c: Highest outdoor temperature of the day, not below the low [°C].
        extraterrestrial: Ra of `extraterrestrial_radiation`, 0 to 60 [MJ/(m² d)].

    Returns:
        FAO-56 equation 52: ETo = 0.0023 (T + 17.8) √(high - low) 0.408 Ra with T the mean of low
        and high [mm/d]; 0 where the mean is below -17.8 °C; NaN where an input is NaN.

    Raises:
        BadInput: A temperature or radiation outside its range, or a low above the high.

    Notes:
        Against Penman-Monteith on single days in a humid climate the mean error was 0.68 mm (Mississippi;
        abstract read). The day's range inside a greenhouse inflates it: give outdoor temperatures.

    Examples:
        >>> f"{reference_evapotranspiration(14.8, 26.6, 40.55):.1f}"
        '5.0'
    """
    reach = np.sqrt(_range_c(low_c, high_c))
    factor, offset = HARGREAVES
    mean = (np.asarray(low_c, dtype=np.float64) + np.asarray(high_c, dtype=np.float64)) / 2.0
    energy = WATER_OF_ENERGY.value * _radiation(extraterrestrial)
    return factor * np.maximum(mean + offset, 0.0) * reach * energy


def lamp_evaporation(
    ppfd: Values,
    hours: Values,
    temp_c: Values,
    humidity_percent: Values,
    wind: Values = STILL_AIR.value,
    elevation_m: Values = 0.0,
) -> Values:
    """Water a wet tray loses indoors under lamps, from their light and from dry air [mm/d].

    Args:
        ppfd: Light at the leaves while the lamps burn, 0 to 5000 [µmol/(m² s)].
        hours: Hours they burn, 0 to 24 [h/d].
        temp_c: Mean temperature of the room, -90 to 60 [°C].
        humidity_percent: Mean relative humidity of the room, 0 to 100 [%].
        wind: Air movement, 0 to 20 [m/s].
        elevation_m: Height above the sea, -500 to 9000 [m].

    Returns:
        (Δ 0.8 PAR + γ 6.43 (1 + 0.536 u) (e0 - ea)) / (2.45 (Δ + γ)) with PAR = PPFD/4.57 · 3600 h / 10⁶ in
        MJ/(m² d) [mm/d]; NaN where an input is NaN.

    Raises:
        BadInput: An input outside its range.

    Notes:
        Taking Penman's two terms for a tray under lamps is ours, and so are the absorbed share of 0.8 and the
        air movement of 0.2 m/s (assumed). Warmth that lamps give off without light isn't counted. With usual
        lamps about two thirds comes from dry air: a wrong humidity weighs more than a wrong lamp.

    References:
        2. Penman 1948: see the module.

    Examples:
        >>> f"{lamp_evaporation(200.0, 16.0, 21.0, 50.0):.1f}"
        '1.7'
    """
    light = within("A light", ppfd, 0.0, MOST_PPFD, "µmol/(m² s)") / PHOTONS_OF_LAMPS.value
    burning = within("A lamp time", hours, 0.0, 2.0 * SUN_TURNS_A_DAY, "hours") * SECONDS_AN_HOUR
    still, by_wind = PENMAN_WIND
    blown = still * (1.0 + by_wind * within("An air movement", wind, 0.0, MOST_WIND, "m/s"))
    deficit = saturation_pressure(temp_c) * (1.0 - _humidity(humidity_percent) / 100.0)
    slope, gamma = saturation_slope(temp_c), psychrometric_constant(elevation_m)
    radiant = slope * ABSORBED.value * light * burning / JOULES_A_MEGAJOULE
    return (radiant + gamma * blown * deficit) / (LATENT_HEAT.value * (slope + gamma))


def _range_c(low_c: Values, high_c: Values) -> NDArray[np.float64]:
    """Range of a day's temperature [°C], refused where the low is above the high."""
    low, high = within("A low", low_c, *AIR_C, "°C"), within("A high", high_c, *AIR_C, "°C")
    if (low > high).any():
        raise BadInput("A low is above the high of its day.", "Swap the two.")
    return np.asarray(high - low)


def _humidity(percent: Values) -> NDArray[np.float64]:
    return within("A humidity", percent, 0.0, 100.0, "%")


def _radiation(radiation: Values) -> NDArray[np.float64]:
    return within("A day's sun", radiation, 0.0, MOST_RADIATION, "MJ/m²")


def _year_angle(day_of_year: Values) -> NDArray[np.float64]:
    """How far the year has turned [rad]."""
    day = within("A day of the year", day_of_year, 1.0, YEAR + 1.0)
    return np.asarray(2.0 * np.pi * day / YEAR)


def _sunset_angle(latitude_deg: Values, day_of_year: Values) -> tuple[Values, Values, Values]:
    """Angle from noon to sunset within 0 and π, latitude and declination of the sun [rad]."""
    latitude = np.radians(within("A latitude", latitude_deg, -90.0, 90.0, "degrees"))
    tilt, start = DECLINATION
    declination = tilt * np.sin(_year_angle(day_of_year) - start)
    sunset = np.arccos(np.clip(-np.tan(latitude) * np.tan(declination), -1.0, 1.0))
    return sunset, latitude, declination
