"""Vapour pressure, sun and evaporation: the worked examples of FAO-56, the limits, and what is refused."""

import math
from collections.abc import Callable

import numpy as np
import pytest

from model.errors import BadInput
from model.science.evapotranspiration import (
    Values,
    daylight_hours,
    extraterrestrial_radiation,
    lamp_evaporation,
    psychrometric_constant,
    reference_evapotranspiration,
    saturation_pressure,
    saturation_slope,
    solar_radiation,
    within,
)
from tests.science.arrays import gives_as_array_what_its_numbers_give, gives_nan_for_nan, holds_its_range
from tests.science.published import Published, assert_published

FAO = "FAO-56, as read in the tests of other libraries"
OWN = "own code"
NAN = math.nan
LYON, MID_JULY = 45.0 + 43.0 / 60.0, 196
RIO, MID_MAY = -(22.0 + 54.0 / 60.0), 135

FUNCTIONS: list[tuple[Callable[..., Values], tuple[float, ...]]] = [
    (saturation_pressure, (15.0,)),
    (saturation_slope, (16.9,)),
    (psychrometric_constant, (100.0,)),
    (extraterrestrial_radiation, (-20.0, 246.0)),
    (daylight_hours, (-20.0, 246.0)),
    (solar_radiation, (14.8, 26.6, 40.6)),
    (reference_evapotranspiration, (14.8, 26.6, 40.6)),
    (lamp_evaporation, (200.0, 16.0, 21.0, 50.0, 0.2, 0.0)),
]
"""Each function with inputs in the middle of their ranges."""

LIMITS = [
    (saturation_pressure, (15.0,), 0, -90.0, 60.0),
    (psychrometric_constant, (0.0,), 0, -500.0, 9000.0),
    (extraterrestrial_radiation, (45.0, 100.0), 0, -90.0, 90.0),
    (daylight_hours, (45.0, 100.0), 1, 1.0, 366.0),
    (solar_radiation, (5.0, 15.0, 30.0), 2, 0.0, 60.0),
    (lamp_evaporation, (200.0, 16.0, 21.0, 50.0), 0, 0.0, 5000.0),
    (lamp_evaporation, (200.0, 16.0, 21.0, 50.0), 1, 0.0, 24.0),
    (lamp_evaporation, (200.0, 16.0, 21.0, 50.0, 0.2), 4, 0.0, 20.0),
]
"""Function, inputs, which of them, and both ends of its range."""


def test_saturation_pressure_is_that_of_example_3():
    for temp, printed in ((15.0, 1.705), (24.5, 3.075)):
        case = Published(FAO, "example 3", f"e0 at {temp} °C", printed, 0.001)
        assert_published(case, saturation_pressure(temp))


def test_slope_and_psychrometric_constant_are_those_of_example_18():
    case = Published(FAO, "example 18", "slope at 16.9 °C", 0.122, 0.001)
    assert_published(case, saturation_slope(16.9))
    case = Published(FAO, "example 18", "psychrometric constant at 100 m", 0.0666, 0.0001)
    assert_published(case, psychrometric_constant(100.0))


def test_sun_above_the_air_is_that_of_example_8():
    case = Published(FAO, "example 8", "Ra, 20° S, 3 September", 32.2, 0.1)
    assert_published(case, extraterrestrial_radiation(-20.0, 246))


def test_daylight_is_that_of_example_9():
    case = Published(FAO, "example 9", "N, 20° S, 3 September", 11.7, 0.1)
    assert_published(case, daylight_hours(-20.0, 246))


def test_sun_of_rio_in_may_is_that_of_example_10():
    # Rs from 7.1 hours of sunshine needs the sunshine formula, equation 35, which isn't shipped: a grower has
    # no sunshine recorder. With it the example checks Ra and N.
    ra, n = extraterrestrial_radiation(RIO, MID_MAY), daylight_hours(RIO, MID_MAY)
    assert_published(Published(FAO, "example 10", "Ra, Rio de Janeiro, May", 25.1, 0.1), ra)
    assert_published(Published(FAO, "example 10", "N, Rio de Janeiro, May", 10.9, 0.1), n)
    case = Published(FAO, "example 10", "Rs, 7.1 h of sun a day", 14.5, 0.1)
    assert_published(case, (0.25 + 0.50 * 7.1 / n) * ra)


def test_sun_of_lyon_in_july_is_that_of_example_15():
    ra = extraterrestrial_radiation(LYON, MID_JULY)
    assert_published(Published(FAO, "example 15", "Ra, Lyon, July", 40.6, 0.1), ra)
    case = Published(FAO, "example 15", "Rs, 14.8 to 26.6 °C, inland", 22.3, 0.1)
    assert_published(case, solar_radiation(14.8, 26.6, ra))


def test_evapotranspiration_of_lyon_in_july_is_that_of_example_20():
    case = Published(FAO, "example 20", "Hargreaves, 14.8 to 26.6 °C", 5.0, 0.1)
    assert_published(
        case, reference_evapotranspiration(14.8, 26.6, extraterrestrial_radiation(LYON, MID_JULY))
    )


def test_a_spring_day_at_45_north_is_the_worked_one():
    ra = extraterrestrial_radiation(45.0, 105)
    assert_published(Published(OWN, "worked figure", "Ra, 45° N, 15 April", 33.2, 0.1), ra)
    case = Published(OWN, "worked figure", "Hargreaves, 4 to 17 °C", 3.18, 0.01)
    assert_published(case, reference_evapotranspiration(4.0, 17.0, ra))


@pytest.mark.parametrize(("ppfd", "hours", "printed"), [(150, 16, 1.5), (200, 16, 1.7), (300, 14, 1.9)])
def test_trays_under_lamps_lose_the_worked_amounts(ppfd: float, hours: float, printed: float):
    case = Published(OWN, "worked figure", f"{ppfd} µmol, {hours} h, 21 °C, 50 %", printed, 0.1)
    assert_published(case, lamp_evaporation(ppfd, hours, 21.0, 50.0))


def test_dry_air_takes_about_two_thirds_of_what_a_tray_under_lamps_loses():
    dark = lamp_evaporation(0.0, 16.0, 21.0, 50.0)
    assert 0.60 < dark / lamp_evaporation(200.0, 16.0, 21.0, 50.0) < 0.70


def test_damp_air_takes_nothing_and_wind_only_helps_dry_air():
    damp = lamp_evaporation(200.0, 16.0, 21.0, 100.0)
    assert damp == lamp_evaporation(200.0, 16.0, 21.0, 100.0, wind=5.0)
    assert lamp_evaporation(0.0, 0.0, 21.0, 100.0) == 0.0
    assert lamp_evaporation(200.0, 16.0, 21.0, 50.0, wind=1.0) > lamp_evaporation(200.0, 16.0, 21.0, 50.0)


def test_moving_air_dries_by_penmans_wind_function():
    still, moving = (lamp_evaporation(0.0, 0.0, 21.0, 50.0, wind) for wind in (0.0, 2.0))
    assert moving / still == pytest.approx(1.0 + 2.0 * 0.536)
    assert lamp_evaporation(0.0, 0.0, 21.0, 50.0) / still == pytest.approx(1.0 + 0.2 * 0.536)


def test_the_slope_is_the_derivative_of_saturation_pressure():
    temps = np.linspace(-40.0, 55.0, 96)
    step = 1e-4
    rise = (saturation_pressure(temps + step) - saturation_pressure(temps - step)) / (2.0 * step)
    assert np.allclose(saturation_slope(temps), rise, rtol=1e-7)


def test_the_printed_factor_of_the_slope_is_the_exact_one_rounded():
    printed = 4098.0 * saturation_pressure(20.0) / (20.0 + 237.3) ** 2
    assert saturation_slope(20.0) == pytest.approx(printed, rel=5e-5)


def test_the_sun_neither_rises_nor_sets_beyond_the_polar_circles():
    midsummer, midwinter = 172, 355
    for north in (70.0, 80.0, 90.0):
        assert (daylight_hours(north, midsummer), daylight_hours(north, midwinter)) == (24.0, 0.0)
        assert (daylight_hours(-north, midsummer), daylight_hours(-north, midwinter)) == (0.0, 24.0)
        assert extraterrestrial_radiation(north, midwinter) == 0.0
        assert extraterrestrial_radiation(-north, midsummer) == 0.0
        assert extraterrestrial_radiation(north, midsummer) > 40.0


def test_the_sun_of_a_whole_world_and_year_is_never_below_nothing_and_has_no_jump():
    latitudes, days = np.linspace(-90.0, 90.0, 361)[:, None], np.arange(1.0, 367.0)[None, :]
    ra, n = extraterrestrial_radiation(latitudes, days), daylight_hours(latitudes, days)
    assert ra.shape == n.shape == (361, 366)
    assert ra.min() == 0.0
    assert ra.max() < 50.0
    assert (n.min(), n.max()) == (0.0, 24.0)
    # Fastest at a pole at the equinox: 118 MJ · sin of a declination that moves 0.007 rad a day.
    assert np.abs(np.diff(ra, axis=0)).max() < 0.9
    assert np.abs(np.diff(ra, axis=1)).max() < 0.9


def test_north_and_south_mirror_each_other_in_daylight():
    days = np.arange(1.0, 366.0)
    assert np.allclose(daylight_hours(45.0, days) + daylight_hours(-45.0, days), 24.0)


def test_a_day_without_range_has_no_guessable_sun():
    assert solar_radiation(12.0, 12.0, 30.0) == 0.0
    assert reference_evapotranspiration(12.0, 12.0, 30.0) == 0.0


def test_a_guess_at_the_sun_is_never_above_the_sun_itself():
    assert solar_radiation(-20.0, 30.0, 30.0) == 30.0
    inland, by_sea = solar_radiation(5.0, 21.0, 30.0), solar_radiation(5.0, 21.0, 30.0, by_sea=True)
    assert (inland, by_sea) == pytest.approx((0.16 * 4.0 * 30.0, 0.19 * 4.0 * 30.0))


def test_deep_frost_evaporates_nothing():
    assert reference_evapotranspiration(-40.0, -20.0, 10.0) == 0.0
    assert reference_evapotranspiration(-20.0, -10.0, 10.0) > 0.0


@pytest.mark.parametrize(("function", "inputs", "at", "low", "high"), LIMITS)
def test_the_ends_of_a_range_are_taken_and_what_lies_beyond_is_refused(
    function: Callable[..., Values], inputs: tuple[float, ...], at: int, low: float, high: float
):
    holds_its_range(function, inputs, at, low, high)


@pytest.mark.parametrize(("function", "inputs"), FUNCTIONS, ids=lambda value: getattr(value, "__name__", ""))
def test_an_array_gives_what_its_numbers_give(function: Callable[..., Values], inputs: tuple[float, ...]):
    gives_as_array_what_its_numbers_give(function, inputs)


@pytest.mark.parametrize(("function", "inputs"), FUNCTIONS, ids=lambda value: getattr(value, "__name__", ""))
def test_not_a_number_in_gives_not_a_number_out(function: Callable[..., Values], inputs: tuple[float, ...]):
    gives_nan_for_nan(function, inputs)


def test_values_in_range_pass_and_the_first_wrong_one_is_named():
    assert within("A humidity", np.array([0.0, 100.0, NAN]), 0.0, 100.0).shape == (3,)
    with pytest.raises(BadInput) as refused:
        within("A humidity", np.array([50.0, 130.0, 140.0]), 0.0, 100.0, "%")
    assert refused.value.what_happened == "A humidity of 130 % can't be."
    assert refused.value.what_to_do == "Give 0 to 100 %."


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: saturation_pressure(70.0),
        lambda: saturation_pressure(math.inf),
        lambda: saturation_slope(-237.3),
        lambda: psychrometric_constant(12000.0),
        lambda: extraterrestrial_radiation(90.1, 100),
        lambda: extraterrestrial_radiation(np.array([45.0, -91.0]), 100),
        lambda: extraterrestrial_radiation(45.0, 0),
        lambda: daylight_hours(45.0, 367),
        lambda: solar_radiation(10.0, 5.0, 30.0),
        lambda: solar_radiation(5.0, 10.0, -1.0),
        lambda: reference_evapotranspiration(5.0, 10.0, 100.0),
        lambda: lamp_evaporation(-1.0, 16.0, 21.0, 50.0),
        lambda: lamp_evaporation(200.0, 25.0, 21.0, 50.0),
        lambda: lamp_evaporation(200.0, 16.0, 21.0, 50.0, wind=-1.0),
    ],
)
def test_what_cannot_be_is_refused(wrong: Callable[[], object]):
    with pytest.raises(BadInput):
        wrong()
