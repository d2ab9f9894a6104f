"""Day length and daily light: worked figures, printed pairs, the limits, and what is refused."""

import math
from collections.abc import Callable

import numpy as np
import pytest

from model.errors import BadInput
from model.science.evapotranspiration import Values, daylight_hours, extraterrestrial_radiation
from model.science.lamps import lamp_growth
from model.science.light import (
    EARLY_YEARS,
    GREENHOUSE,
    PHOTONS_OF_SUN,
    WINDOWSILL,
    day_length,
    lamp_light,
    light_factor,
    sun_light,
    usual_sun_light,
)
from tests.science.arrays import gives_as_array_what_its_numbers_give, gives_nan_for_nan, holds_its_range
from tests.science.published import Published, assert_published

FORSYTHE = "Forsythe et al. 1995, equation read in other programs"
OWN = "own code"
NAN = math.nan
AVERAGE_SKY = 0.5

FUNCTIONS: list[tuple[Callable[..., Values], tuple[float, ...]]] = [
    (day_length, (45.0, 200.0)),
    (lamp_light, (200.0, 16.0)),
    (sun_light, (14.5, 0.6)),
    (usual_sun_light, (45.0, 74.0, 0.6)),
    (light_factor, (6.0,)),
]
"""Each function with inputs in the middle of their ranges."""

LIMITS = [
    (day_length, (45.0, 200.0), 0, -90.0, 90.0),
    (day_length, (45.0, 200.0), 1, 1.0, 366.0),
    (lamp_light, (200.0, 16.0), 0, 0.0, 5000.0),
    (lamp_light, (200.0, 16.0), 1, 0.0, 24.0),
    (sun_light, (14.5, 0.6), 0, 0.0, 60.0),
    (sun_light, (14.5, 0.6), 1, 0.0, 1.0),
    (usual_sun_light, (45.0, 74.0, 0.6), 0, -90.0, 90.0),
    (usual_sun_light, (45.0, 74.0, 0.6), 1, 1.0, 366.0),
    (usual_sun_light, (45.0, 74.0, 0.6), 2, 0.0, 1.0),
    (light_factor, (6.0,), 0, 0.0, 150.0),
]
"""Function, inputs, which of them, and both ends of its range."""


@pytest.mark.parametrize(
    ("latitude", "day", "printed"),
    [(40.0, 105, 13.223), (50.0, 172, 16.372), (50.0, 355, 8.070), (0.0, 79, 12.111)],
)
def test_day_length_is_the_equation_as_printed_on_the_day_before(latitude: float, day: int, printed: float):
    case = Published(FORSYTHE, "worked figure", f"hours, {latitude}°, day {day}", printed, 0.001)
    assert_published(case, day_length(latitude, day - EARLY_YEARS.value))


def test_the_hours_of_sun_of_water_reckoning_are_shorter_but_for_a_southern_spring():
    # FAO-56's sun is up to 1.1° too far south in mid October: that lengthens its southern days by what it
    # leaves out, the edge of the sun and refraction, and shortens its northern ones further.
    days = np.arange(1.0, 366.0)
    for latitude, least, most in ((0.0, 6.67, 7.27), (52.0, 13.28, 23.17), (-52.0, -0.69, 14.92)):
        more = 60.0 * (day_length(latitude, days) - daylight_hours(latitude, days))
        assert (more.min(), more.max()) == pytest.approx((least, most), abs=0.01)


def test_the_sun_neither_rises_nor_sets_beyond_the_polar_circles():
    for north in (70.0, 90.0):
        assert (day_length(north, 172), day_length(north, 355)) == (24.0, 0.0)
        assert (day_length(-north, 172), day_length(-north, 355)) == (0.0, 24.0)


def test_day_length_has_no_jump_within_a_year():
    days = np.arange(1.0, 367.0)
    for latitude in (-52.0, 0.0, 52.0):
        assert np.abs(np.diff(day_length(latitude, days))).max() * 60.0 < 4.5
    assert np.diff(day_length(52.0, np.array([355.0, 20.0, 79.0, 172.0]))).min() > 0.0


@pytest.mark.parametrize(("ppfd", "hours", "printed"), [(250, 12, 10.80), (250, 14, 12.60), (300, 12, 12.96)])
def test_lamps_give_the_printed_daily_light(ppfd: float, hours: float, printed: float):
    source = "tomato seedlings under lamps: daily light from the abstract, paired with its lamps by us"
    case = Published(source, "abstract", f"{ppfd} µmol, {hours} h", printed, 0.01)
    assert_published(case, lamp_light(ppfd, hours))


def test_lamps_of_two_hundred_for_sixteen_hours_give_the_worked_daily_light():
    assert_published(Published(OWN, "worked figure", "200 µmol, 16 h", 11.52, 0.01), lamp_light(200.0, 16.0))


def test_sun_gives_the_worked_daily_light():
    assert_published(Published(OWN, "worked figure", "14.5 MJ outdoors", 29.6, 0.1), sun_light(14.5))
    assert_published(
        Published(OWN, "worked figure", "14.5 MJ under 0.6", 17.7, 0.1), sun_light(14.5, GREENHOUSE.value)
    )


@pytest.mark.parametrize(
    ("latitude", "day", "printed"),
    [(45.0, 46, 11), (45.0, 74, 15), (45.0, 105, 20), (55.0, 46, 7), (55.0, 74, 12), (55.0, 105, 18)],
)
def test_an_average_sky_gives_the_worked_light_in_a_greenhouse(latitude: float, day: int, printed: float):
    case = Published(OWN, "worked figure", f"mol, {latitude}°, day {day}, half of Ra", printed, 1.0)
    assert_published(case, usual_sun_light(latitude, day))
    assert usual_sun_light(latitude, day) == sun_light(
        AVERAGE_SKY * extraterrestrial_radiation(latitude, day), GREENHOUSE.value
    )


def test_light_of_the_sun_lies_between_the_two_figures_in_use():
    assert 1.961 < PHOTONS_OF_SUN.value < 0.45 * 4.57
    assert 0.2 < WINDOWSILL.value < 0.3 < 0.5 < GREENHOUSE.value < 0.7


def test_dim_light_slows_growth_by_its_square_root():
    assert_published(Published(OWN, "worked figure", "6 mol", 0.71, 0.01), light_factor(6.0))
    assert_published(Published(OWN, "worked figure", "3 mol", 0.50, 0.01), light_factor(3.0))


def test_one_per_cent_of_light_costs_half_a_per_cent_of_growth():
    loss = 100.0 * (1.0 - light_factor(5.94) / light_factor(6.0))
    case = Published(
        "Bruggink 1987, Scientia Horticulturae 31",
        "abstract",
        "per cent of growth for 1 % of light",
        0.5,
        0.1,
        tolerance=0.1,
        reason="printed as 0.6 in winter and 0.4 in spring; one power stands between them",
    )
    assert_published(case, loss)


def test_light_beyond_enough_adds_nothing_and_no_light_stops_growth():
    assert (light_factor(12.0), light_factor(40.0), light_factor(0.0)) == (1.0, 1.0, 0.0)
    assert (lamp_light(0.0, 16.0), lamp_light(200.0, 0.0), sun_light(0.0), sun_light(20.0, 0.0)) == (
        0,
        0,
        0,
        0,
    )


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


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: day_length(91.0, 100),
        lambda: day_length(45.0, 0),
        lambda: day_length(45.0, 367),
        lambda: lamp_light(-1.0, 16.0),
        lambda: lamp_light(200.0, 24.5),
        lambda: sun_light(-1.0),
        lambda: sun_light(20.0, 1.2),
        lambda: light_factor(-0.1),
        lambda: light_factor(math.inf),
    ],
)
def test_what_cannot_be_is_refused(wrong: Callable[[], object]):
    with pytest.raises(BadInput):
        wrong()


def test_growth_under_lamps_is_the_same_as_one_number():
    for ppfd, hours in ((0.0, 14.0), (70.0, 12.0), (150.0, 14.0), (400.0, 16.0)):
        assert lamp_growth(ppfd, hours) == pytest.approx(light_factor(lamp_light(ppfd, hours)), rel=1e-12)
    assert math.isnan(lamp_growth(math.nan, 12.0))
    assert math.isnan(lamp_growth(100.0, math.nan))
