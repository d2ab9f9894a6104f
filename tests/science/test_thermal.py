"""Degree-days of a day: printed tests of other libraries, hand-worked days, and the limits."""

import math

import pytest

from model.errors import BadInput
from model.science.thermal import degree_days
from tests.science.published import Published, assert_published

LIBRARY = "the published tests of a degree-day library"


@pytest.mark.parametrize(
    ("case", "day"),
    [
        (
            Published(LIBRARY, "single sine, cut off", "34/60 °F, base 50", 2.749, 0.001),
            (34.0, 60.0, 50.0, math.inf),
        ),
        (
            Published(LIBRARY, "single sine, cut off", "7/14 °C, 12 to 33", 0.47, 0.01),
            (7.0, 14.0, 12.0, 33.0),
        ),
        (
            Published("own code", "single sine, cut off", "7/14 °C, 12 to 33", 0.468, 0.001),
            (7.0, 14.0, 12.0, 33.0),
        ),
        (
            Published(LIBRARY, "single sine, cut off", "13/14 °C, 12 to 33", 1.5, 0.1),
            (13.0, 14.0, 12.0, 33.0),
        ),
        (
            Published(LIBRARY, "single sine, cut off", "13/40 °C, 12 to 33", 12.94, 0.01),
            (13.0, 40.0, 12.0, 33.0),
        ),
        (
            Published("by definition", "single sine, cut off", "35/40 °C, 12 to 33", 21.0, 0.001),
            (35.0, 40.0, 12.0, 33.0),
        ),
        (
            Published("by hand", "10 - [8 cos(π/6) - 4π/3]/π", "8/24 °C, 6 to 20", 9.128, 0.001),
            (8, 24, 6, 20),
        ),
    ],
    ids=str,
)
def test_a_days_degree_days_are_the_printed_ones(case: Published, day: tuple[float, float, float, float]):
    assert_published(case, degree_days(*day))


@pytest.mark.parametrize(("temp_c", "printed_days"), [(22.5, 4), (7.5, 16)])
def test_eighty_degree_days_sprout_an_onion_in_the_printed_time(temp_c: float, printed_days: int):
    case = Published(
        "Brewster, Onions and Other Vegetable Alliums",
        "figure 4.7",
        f"80 °C d at {temp_c} °C",
        printed_days,
        1,
    )
    assert_published(case, 80.0 / degree_days(temp_c, temp_c, 2.5, math.inf))


def test_the_sine_equals_the_mean_of_a_thousand_clipped_samples():
    samples = 1000
    temps = [16.0 + 8.0 * math.sin(math.tau * (step + 0.5) / samples) for step in range(samples)]
    clipped = sum(min(max(temp, 6.0), 20.0) - 6.0 for temp in temps) / samples
    assert degree_days(8.0, 24.0, 6.0, 20.0) == pytest.approx(clipped, abs=1e-4)


@pytest.mark.parametrize(
    ("day", "expected"),
    [
        ((2.0, 6.0, 6.0, 20.0), 0.0),
        ((20.0, 30.0, 6.0, 20.0), 14.0),
        ((6.0, 20.0, 6.0, 20.0), 7.0),
        ((15.0, 15.0, 6.0, 20.0), 9.0),
        ((6.0, 6.0, 6.0, 20.0), 0.0),
        ((8.0, 24.0, 20.0, 20.0), 0.0),
    ],
)
def test_the_limits_of_a_day(day: tuple[float, float, float, float], expected: float):
    assert degree_days(*day) == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize("position", range(4))
def test_what_is_not_a_number_comes_out_as_not_a_number(position: int):
    day = [8.0, 24.0, 6.0, 20.0]
    day[position] = math.nan
    assert math.isnan(degree_days(*day))


@pytest.mark.parametrize("day", [(24.0, 8.0, 6.0, 20.0), (8.0, 24.0, 20.0, 6.0)])
def test_a_low_above_the_high_or_a_base_above_the_cap_is_refused(day: tuple[float, float, float, float]):
    with pytest.raises(BadInput, match="Swap"):
        degree_days(*day)
