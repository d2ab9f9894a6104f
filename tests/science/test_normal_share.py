"""Normal seedlings by temperature: printed cells, straight lines between them, and what nobody tested."""

import doctest
import math

import pytest

from model.crops import normal_seedlings
from model.science import emergence
from model.science.emergence import NODES_C, normal_share
from tests.science.published import Published, assert_published

PRINTED_BEST = {"Lettuce": 99, "Spinach": 96, "Pepper": 98, "Tomato": 98, "Celery": 97}
UNTESTED = (math.nan,) * 9


@pytest.mark.parametrize(
    ("crop", "temp_c", "percent"),
    [
        ("Lettuce", 25.0, 99),
        ("Lettuce", 30.0, 12),
        ("Lettuce", 35.0, 0),
        ("Spinach", 15.0, 82),
        ("Spinach", 25.0, 28),
        ("Pepper", 25.0, 98),
        ("Pepper", 35.0, 70),
        ("Tomato", 25.0, 97),
        ("Tomato", 30.0, 83),
        ("Tomato", 35.0, 46),
        ("Celery", 25.0, 65),
    ],
)
def test_a_printed_percentage_comes_back_over_the_best_of_its_row(crop: str, temp_c: float, percent: int):
    case = Published("Harrington's table, normal seedlings", f"row {crop}", f"{temp_c:.0f} °C, %", percent, 1)
    assert_published(case, PRINTED_BEST[crop] * normal_share(normal_seedlings()[crop], temp_c))


@pytest.mark.parametrize("crop", normal_seedlings())
def test_the_best_temperature_of_every_crop_gives_all(crop: str):
    shares = [normal_share(normal_seedlings()[crop], temp_c) for temp_c in NODES_C]
    assert max(share for share in shares if not math.isnan(share)) == 1.0


def test_half_way_between_two_heats_stands_half_way_between_their_shares():
    assert normal_share(normal_seedlings()["Tomato"], 32.5) == pytest.approx((83 + 46) / 2 / 98)
    assert normal_share(normal_seedlings()["Tomato"], 31.0) == pytest.approx((0.8 * 83 + 0.2 * 46) / 98)


@pytest.mark.parametrize(
    ("crop", "temp_c"),
    [
        ("Cabbage", 20.0),
        ("Cabbage", 17.0),
        ("Cabbage", 23.0),
        ("Eggplant", 15.0),
        ("Eggplant", 18.0),
        ("Beet", 40.0),
    ],
)
def test_where_nobody_tested_the_share_is_not_known(crop: str, temp_c: float):
    assert math.isnan(normal_share(normal_seedlings()[crop], temp_c))


def test_a_node_next_to_an_untested_one_is_known():
    assert normal_share(normal_seedlings()["Cabbage"], 25.0) == 1.0
    assert normal_share(normal_seedlings()["Eggplant"], 20.0) == pytest.approx(21 / 60)


@pytest.mark.parametrize("temp_c", [-0.1, 40.1, math.nan, math.inf])
def test_outside_the_table_the_share_is_not_known(temp_c: float):
    assert math.isnan(normal_share(normal_seedlings()["Tomato"], temp_c))


@pytest.mark.parametrize("row", [UNTESTED, (0.0,) * 9])
def test_a_row_with_nothing_in_it_has_no_share(row: tuple[float, ...]):
    assert math.isnan(normal_share(row, 20.0))


def test_the_examples_in_the_text_hold():
    assert doctest.testmod(emergence).failed == 0
