"""How fast a tray dries: water that a cell holds, and what it loses day by day.

Easy water w is the share left of the water between just drained (1) and what a finger calls dry (0, a suction
of 5 kPa). A tray loses the evapotranspiration of its place times what its leaves and its bare mix let go, times
a factor of its own (edges, fans, the make of tray).

All functions take floats or numpy arrays that broadcast together, and answer a float for floats.

References:
    1. Allen, R. G., et al. (1998). FAO Irrigation and Drainage Paper 56 (crop coefficients, Table 12). Read
       through a retyped copy.
    2. van Genuchten, M. T. (1980). A closed-form equation for predicting the hydraulic conductivity of
       unsaturated soils. Soil Science Society of America Journal 44: 892-898. From memory.
    3. de Boodt, M., and Verdonck, O. (1972). The physical properties of the substrates in horticulture. Acta
       Horticulturae 26: 37-44. From memory.
    4. Milks, R. R., Fonteno, W. C., and Larson, R. A. (1989). Hydrology of horticultural substrates. Journal of
       the American Society for Horticultural Science 114. Abstract read.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from model.errors import BadInput
from model.science.evapotranspiration import Values, saturation_pressure, within
from model.science.source import Sourced

PEAT_MIX = (0.23, 0.90, 0.14, 1.80)
"""Curve of a peat mix: water it keeps, its pores [fractions], alpha [1/cm], n [-]. Own fit to the middle of the
classic ideal mix (reference 3): 25 % air, 28 % more let go by 5 kPa, 6 % more by 10 kPa."""
DRY_SUCTION = Sourced(50.0, "cm", "ours: 5 kPa, where a finger calls a mix dry", "assumed")
DEPTH_MM = (1.0, 300.0)
"""Least and most depth of mix taken [mm]."""
TAPER = Sourced(
    0.5, "-", "bottom over top of a 72-cell, 20 and 40 mm wide: Zhou et al. 2019 (opened)", "published"
)
SLIMMEST = 0.01
"""Smallest taper taken [-]."""
MM_A_CM = 10.0
"""Millimetres in a centimetre."""
ML_A_LITRE = 1000.0
"""Millilitres in a litre; 1 mm of water on 1 m² is a litre."""
HEIGHTS, SHARES = np.polynomial.legendre.leggauss(16)
"""Where between -1 and 1 the height of a cell is sampled, and what each sample counts, after Gauss."""

CLOSED_COVER = Sourced(0.5, "fraction", "ours: root fill at which leaves have closed", "assumed")
BARE_MIX = Sourced(1.05, "-", "ours: crop coefficient of bare wet mix", "assumed")
SMALL_VEGETABLES = Sourced(1.05, "-", "FAO-56 Table 12, retyped: closed leaves (tomato 1.15)", "published")
SLOWER_BELOW = Sourced(0.5, "fraction", "ours: easy water below which bare mix dries slower", "assumed")
DRY_MIX = Sourced(0.3, "-", "ours: loss of finger-dry bare mix over that of wet", "assumed")
INSIDE = Sourced(0.64, "-", "evapotranspiration in a glasshouse over outdoors (abstract)", "abstract")
ISOLATED = Sourced(1.2, "-", "ours: a tray alone outdoors, dried from its sides too", "assumed")
CLOSED_DOME = Sourced(0.1, "-", "ours: evapotranspiration under a closed dome over that without", "assumed")
MAT_SHARE = Sourced(0.5, "-", "ours: share of the warm surface's excess that is counted", "assumed")
MAT_LIMIT = Sourced(4.6, "mm/d", "130 W/m² of a heat mat turned to vapour, from memory", "memory")
MOST_MM = 50.0
"""Most evapotranspiration or loss of one day taken [mm/d]."""
MOST_COEFFICIENT = 3.0
"""Largest crop coefficient taken [-]."""
OWN_FACTOR = (0.01, 100.0)
"""Smallest and largest own factor of a tray taken [-]."""


@dataclass(frozen=True, slots=True)
class WaterHeld:
    """Water and air in a cell that was watered through and has drained, in shares of its volume."""

    capacity: Values
    air: Values
    easy: Values
    """Let go between drained and finger-dry."""


def water_content(suction_cm: Values) -> Values:
    """Water that a peat mix holds against a suction, θ [fraction of volume].

    Args:
        suction_cm: Suction, at least 0 [cm of water].

    Returns:
        0.23 + 0.67 (1 + (0.14 h)^1.8)^(1/1.8 - 1), van Genuchten's curve [fraction]; NaN for NaN.

    Raises:
        BadInput: A suction below 0.

    Notes:
        Another peat mix held 32 to 25 % at 100 to 330 cm (abstract read), this one 31 to 26 %. Mixes differ, and
        peat that has dried right out takes water up badly.
    """
    kept, pores, alpha, n = PEAT_MIX
    suction = within("A suction", suction_cm, 0.0, np.inf, "cm")
    held: Values = kept + (pores - kept) * (1.0 + (alpha * suction) ** n) ** (1.0 / n - 1.0)
    return held


def water_held(depth_mm: Values, taper: Values = TAPER.value) -> WaterHeld:
    """Water in a cell or pot that was watered through and has drained [fractions of volume].

    Args:
        depth_mm: Depth of the mix, 1 to 300 [mm].
        taper: Width of the bottom over width of the top, 0.01 to 1 [-].

    Returns:
        Capacity: the mean of θ over the volume, with the height above the bottom as the suction; air: the rest
        of the pores; easy: capacity less θ at 5 kPa [fractions]; NaN where an input is NaN.

    Raises:
        BadInput: A depth or taper outside its range.

    Notes:
        The mean over the height is the idea of reference 4. A tapered cell has more of its mix high up and so
        holds less water than a straight one as deep.
    """
    depth, narrow = within("A depth", depth_mm, *DEPTH_MM, "mm"), within("A taper", taper, SLIMMEST, 1.0)
    height = (HEIGHTS + 1.0) / 2.0
    across = SHARES * (narrow[..., None] + (1.0 - narrow[..., None]) * height) ** 2
    held = np.asarray(water_content(depth[..., None] / MM_A_CM * height))
    capacity: Values = np.sum(held * across, axis=-1) / np.sum(across, axis=-1)
    return WaterHeld(capacity, PEAT_MIX[1] - capacity, capacity - water_content(DRY_SUCTION.value))


def millimetres(water_ml: Values, area_m2: Values) -> Values:
    """Water as a depth over a tray [mm].

    Args:
        water_ml: Water in the whole tray or pot, at least 0 [mL].
        area_m2: Area of the tray or pot, above 0 [m²].

    Returns:
        mL / (1000 m²) [mm]; NaN where an input is NaN. Times the area and 1000 it is mL again.

    Raises:
        BadInput: Water below 0, or an area that isn't above 0.

    Examples:
        >>> f"{millimetres(151.2, 0.54 * 0.28):.1f}"
        '1.0'
    """
    water = within("An amount of water", water_ml, 0.0, np.inf, "mL")
    return water / (_above_nothing("An area", area_m2) * ML_A_LITRE)


def canopy_cover(root_fill: Values) -> Values:
    """Share of a tray that leaves cover [fraction].

    Args:
        root_fill: Root fill of its cells, 0 to 1 [fraction].

    Returns:
        min(1, F / 0.5) [fraction]; NaN for NaN.

    Raises:
        BadInput: A root fill outside 0 to 1.

    Notes:
        That leaves have closed over the tray at half fill is assumed.
    """
    cover: Values = np.minimum(1.0, within("A root fill", root_fill, 0.0, 1.0) / CLOSED_COVER.value)
    return cover


def drying_factor(easy_water: Values) -> Values:
    """What bare mix still loses as it dries, of what it lost wet, Kr [-].

    Args:
        easy_water: Easy water left, 0 to 1 [fraction].

    Returns:
        1 while more than half is left, then straight down to 0.3 at finger-dry [-]; NaN for NaN.

    Raises:
        BadInput: Easy water outside 0 to 1.

    Notes:
        Where it starts to fall and where it ends are assumed. Leaves aren't slowed: a tray wilts first.
    """
    left = within("Easy water", easy_water, 0.0, 1.0) / SLOWER_BELOW.value
    factor: Values = DRY_MIX.value + (1.0 - DRY_MIX.value) * np.minimum(1.0, left)
    return factor


def mat_factor(mix_c: Values, air_c: Values, humidity_percent: Values) -> Values:
    """How much faster bare mix dries on a heat mat, before the mat's own heat sets the limit [-].

    Args:
        mix_c: Temperature of the mix, -90 to 60 [°C].
        air_c: Temperature of the air, -90 to 60 [°C].
        humidity_percent: Relative humidity of the air, 0 to below 100 [%].

    Returns:
        1 + (r - 1)/2 with r = (e0(mix) - ea) / (e0(air) - ea), and 1 where the mix is no warmer than the air
        [-]; NaN where an input is NaN.

    Raises:
        BadInput: A temperature or humidity outside its range.

    Notes:
        Half the excess is counted because a wet surface cools itself (assumed). `daily_loss` holds the gain to
        what the heat of a mat can turn to vapour.
    """
    if np.any(np.asarray(humidity_percent) == 100.0):
        raise BadInput("In air of 100 % humidity no factor can be told.", "Give a humidity below 100 %.")
    full = saturation_pressure(air_c)
    air = full * within("A humidity", humidity_percent, 0.0, 100.0, "%") / 100.0
    ratio = (saturation_pressure(mix_c) - air) / (full - air)
    factor: Values = 1.0 + MAT_SHARE.value * np.maximum(ratio - 1.0, 0.0)
    return factor


def daily_loss(
    evapotranspiration_mm: Values,
    root_fill: Values,
    crop_coefficient: Values,
    easy_water: Values,
    mat: Values = 1.0,
    own_factor: Values = 1.0,
) -> Values:
    """Water a tray loses in one day [mm/d].

    Args:
        evapotranspiration_mm: Of its place: outdoors, times `INSIDE`, times `CLOSED_DOME`, or of lamps; 0 to 50
            [mm/d].
        root_fill: Root fill of its cells, 0 to 1 [fraction].
        crop_coefficient: Of closed leaves, FAO-56 Table 12, 0 to 3 [-].
        easy_water: Easy water left, 0 to 1 [fraction].
        mat: Factor of a heat mat on bare mix, `mat_factor`; at least 1 [-].
        own_factor: Of this tray: edges, fans, its make; 0.01 to 100 [-].

    Returns:
        k ETo (1.05 (1 - fc) Kr + Kc fc), and with a mat the gain on the bare part, not above 4.6 mm; fc is
        `canopy_cover`, Kr `drying_factor` [mm/d]; NaN where an input is NaN.

    Raises:
        BadInput: An input outside its range.

    Notes:
        The split into bare mix and leaves, and its numbers, are ours. Crop coefficients by stage of the leaves
        fitted the water use of pak choi plugs with an R² of about 0.7 (abstract read).
    """
    place = within("An evapotranspiration", evapotranspiration_mm, 0.0, MOST_MM, "mm")
    leaves = within("A crop coefficient", crop_coefficient, 0.0, MOST_COEFFICIENT)
    warmed = within("A factor of a heat mat", mat, 1.0, np.inf) - 1.0
    own = within("A factor of a tray", own_factor, *OWN_FACTOR)
    cover = canopy_cover(root_fill)
    bare = place * BARE_MIX.value * (1.0 - cover) * drying_factor(easy_water)
    gained = np.minimum(bare * warmed, MAT_LIMIT.value)
    return own * (bare + gained + place * leaves * cover)


def one_day(
    easy_water: Values,
    evapotranspiration_mm: Values,
    root_fill: Values,
    crop_coefficient: Values,
    easy_mm: Values,
    watering: Values = 0.0,
    mat: Values = 1.0,
    own_factor: Values = 1.0,
) -> Values:
    """Easy water left in the evening of a day that began with a watering, or with none [fraction].

    Args:
        easy_water: Easy water left in the morning, 0 to 1 [fraction].
        evapotranspiration_mm: Of the place, 0 to 50 [mm/d].
        root_fill: Root fill, 0 to 1 [fraction].
        crop_coefficient: Of closed leaves, 0 to 3 [-].
        easy_mm: Easy water of the tray when just drained, above 0 [mm].
        watering: Water given in the morning, 1 = enough from finger-dry; at least 0 [fraction of easy_mm].
        mat: Factor of a heat mat on bare mix, at least 1 [-].
        own_factor: Of this tray, 0.01 to 100 [-].

    Returns:
        max(0, min(1, w + watering) - loss/easy_mm), loss by `daily_loss` at the w after watering [fraction];
        NaN where an input is NaN.

    Raises:
        BadInput: An input outside its range.

    Notes:
        What is more than a drained tray holds runs through. A finger-dry tray stays at 0 until it is watered:
        how far beyond dry it is isn't reckoned (ours).
    """
    given = within("A watering", watering, 0.0, np.inf)
    after = np.minimum(1.0, within("Easy water", easy_water, 0.0, 1.0) + given)
    lost = daily_loss(evapotranspiration_mm, root_fill, crop_coefficient, after, mat, own_factor)
    left: Values = np.maximum(0.0, after - lost / _above_nothing("Easy water", easy_mm))
    return left


def _above_nothing(what: str, values: Values) -> NDArray[np.float64]:
    """Values as an array, refused where one isn't above 0."""
    numbers = within(what, values, 0.0, np.inf)
    if (numbers == 0.0).any():
        raise BadInput(f"{what} of 0 can't be.", "Give more than 0.")
    return numbers
