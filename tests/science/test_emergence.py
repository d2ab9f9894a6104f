"""Days to emergence: the whole published table cell by cell, sums over days, and the limits."""

import math

import pytest

from model.crops import emergence_table
from model.errors import BadInput
from model.science.emergence import (
    LOT_SD,
    NODES_C,
    Standing,
    daily_progress,
    emergence_rate,
    fraction_up,
    seed_quantile,
    standing,
)
from tests.science.published import Published, assert_published

# Typed by hand from the printed table, apart from the data file; NG = none came up, -- = not tested.
PRINTED = """
Asparagus     NG   NG   53   24   15   10   12   20   28
Bean, lima    --   --   NG   31   18   7    7    NG   --
Bean, snap    NG   NG   NG   16   11   8    6    6    NG
Beet          --   42   17   10   6    5    5    5    --
Cabbage       --   --   15   9    6    5    4    --   --
Carrot        NG   51   17   10   7    6    6    9    NG
Cauliflower   --   --   20   10   6    5    5    --   --
Celery        NG   41   16   12   7    NG   NG   NG   --
Corn, sweet   NG   NG   22   12   7    4    4    3    NG
Cucumber      NG   NG   NG   13   6    4    3    3    --
Eggplant      --   --   --   --   13   8    5    --   --
Lettuce       49   15   7    4    3    2    3    NG   NG
Muskmelon     --   --   --   --   8    4    3    --   --
Okra          NG   NG   NG   27   17   13   7    6    7
Onion         136  31   13   7    5    4    4    13   NG
Parsley       --   --   29   17   14   13   12   --   --
Parsnip       172  57   27   19   14   15   32   NG   NG
Pea           --   36   14   9    8    6    6    --   --
Pepper        NG   NG   NG   25   13   8    8    9    NG
Radish        NG   29   11   6    4    4    3    --   --
Spinach       63   23   12   7    6    5    6    NG   NG
Tomato        NG   NG   43   14   8    6    6    9    NG
Turnip        NG   NG   5    3    2    1    1    1    3
Watermelon    --   NG   --   --   12   5    4    3    --
"""
ROWS = {line[:14].strip(): line[14:].split() for line in PRINTED.strip().splitlines()}
CELLS = [
    pytest.param(crop, temp_c, cell, id=f"{crop} {temp_c:.0f} °C {cell}")
    for crop, cells in ROWS.items()
    for temp_c, cell in zip(NODES_C, cells, strict=True)
]
HANDBOOK = "Harrington and Minges 1954 in Knott's Handbook 1997"
OURS = "hand and own code"

TOMATO = (math.inf, math.inf, 43.0, 14.0, 8.0, 6.0, 6.0, 9.0, math.inf)
PEPPER = (math.inf, math.inf, math.inf, 25.0, 13.0, 8.0, 8.0, 9.0, math.inf)
LETTUCE = (49.0, 15.0, 7.0, 4.0, 3.0, 2.0, 3.0, math.inf, math.inf)
LIMA = (math.nan, math.nan, math.inf, 31.0, 18.0, 7.0, 7.0, math.inf, math.nan)
EGGPLANT = (math.nan, math.nan, math.nan, math.nan, 13.0, 8.0, 5.0, math.nan, math.nan)
WATERMELON = (math.nan, math.inf, math.nan, math.nan, 12.0, 5.0, 4.0, 3.0, math.nan)
NOTHING = (math.nan,) * 9


def test_the_data_file_has_the_crops_of_the_printed_table_and_no_others():
    assert list(emergence_table()) == list(ROWS)


@pytest.mark.parametrize(("crop", "temp_c", "cell"), CELLS)
def test_every_cell_of_the_printed_table_comes_back(crop: str, temp_c: float, cell: str):
    days = emergence_table()[crop]
    found = standing(days, temp_c)
    if cell == "--":
        assert found is Standing.UNKNOWN
    elif cell == "NG":
        assert found is Standing.NEVER
        assert emergence_rate(days, temp_c) == 0.0
    else:
        assert found is Standing.TESTED
        case = Published(HANDBOOK, "emergence table", f"{crop} at {temp_c:.0f} °C", float(cell), 1.0)
        assert_published(case, 1.0 / emergence_rate(days, temp_c))
        assert_published(case, 1.0 / daily_progress(days, temp_c, temp_c))


def test_between_the_nodes_the_rate_is_taken_and_not_the_days():
    case = Published(OURS, "1 / ((1/8 + 1/6)/2)", "tomato, 22.5 °C constant", 6.857, 0.001)
    assert_published(case, 1.0 / emergence_rate(TOMATO, 22.5))
    case = Published(OURS, "1 / ((1/43 + 1/14)/2)", "tomato, 12.5 °C constant", 21.1, 0.1)
    assert_published(case, 1.0 / emergence_rate(TOMATO, 12.5))


def test_days_on_the_mat_and_days_on_the_bench_add_up():
    on_mat = 3 * daily_progress(TOMATO, 25.0, 25.0)
    days = 3 + (1.0 - on_mat) / daily_progress(TOMATO, 20.0, 20.0)
    assert_published(Published(OURS, "3/6 + 4/8 = 1", "tomato, 3 d at 25 then 20 °C", 7.000, 0.001), days)
    on_mat = 4 * daily_progress(PEPPER, 25.0, 25.0)
    days = 4 + (1.0 - on_mat) / daily_progress(PEPPER, 18.0, 18.0)
    assert_published(
        Published(OURS, "4/8; 0.04 + 0.6 (1/13 - 0.04)", "pepper, 4 d at 25 then 18 °C", 12.045, 0.001), days
    )


def test_a_day_that_crosses_a_node_is_summed_over_a_sine():
    case = Published("analytic", "0.25 + (1/60 - 3/140) 5/π", "lettuce, sine 10 to 20 °C", 0.2424, 0.0001)
    assert_published(case, daily_progress(LETTUCE, 10.0, 20.0))
    case = Published(
        "analytic",
        "integral over the sine",
        "tomato, sine 10 to 26 °C",
        0.10013,
        0.00001,
        tolerance=0.0001,
        reason="printed is the integral; 24 hourly samples differ from it by 0.06 per cent",
    )
    assert_published(case, daily_progress(TOMATO, 10.0, 26.0))


@pytest.mark.parametrize(("temp_c", "printed"), [(27.5, 2.40), (32.0, 5.00)])
def test_lettuce_turns_slow_in_the_heat(temp_c: float, printed: float):
    case = Published(
        OURS, "rate half way, and two fifths, down", f"lettuce, {temp_c} °C constant", printed, 0.01
    )
    assert_published(case, 1.0 / emergence_rate(LETTUCE, temp_c))


@pytest.mark.parametrize(("share", "printed"), [(0.1, 5.42), (0.5, 7.00), (0.9, 9.05)])
def test_the_first_and_last_seeds_of_a_lot_have_their_days(share: float, printed: float):
    case = Published(OURS, "7 exp(0.2 z)", f"spread 0.20, median 7 d, {share:.0%} up", printed, 0.01)
    assert_published(case, seed_quantile(7.0, 0.20, share))


@pytest.mark.parametrize(("progress", "printed"), [(0.8, 0.119), (1.0, 0.450), (1.2, 0.737), (1.5, 0.881)])
def test_the_share_that_is_up_follows_progress(progress: float, printed: float):
    case = Published(
        OURS, "0.9 Φ(ln P / 0.2)", f"viability 0.9, spread 0.2, progress {progress}", printed, 0.001
    )
    assert_published(case, fraction_up(progress, 0.9, 0.2))


def test_a_count_of_ten_in_seventy_two_at_half_time_makes_a_slow_lot():
    grid = [step / 100.0 for step in range(-100, 101)]
    weights = [
        math.exp(-0.5 * (log_speed / LOT_SD.value) ** 2)
        * (up := fraction_up(math.exp(log_speed), 0.9, 0.2)) ** 10
        * (1.0 - up) ** 62
        for log_speed in grid
    ]
    mean = sum(w * x for w, x in zip(weights, grid, strict=True)) / sum(weights)
    case = Published(OURS, "binomial on a grid", "10 of 72 up at progress 1, viability 0.9", -0.193, 0.001)
    assert_published(case, mean)


@pytest.mark.parametrize(("temp_c", "printed_days"), [(22.5, 4), (7.5, 16)])
def test_onions_come_up_no_sooner_than_they_sprout_on_paper(temp_c: float, printed_days: int):
    # Brewster, Onions and Other Vegetable Alliums, figure 4.7: 80 degree-days above 2.5 °C, sprouting on
    # paper.
    onion = emergence_table()["Onion"]
    assert printed_days <= 1.0 / emergence_rate(onion, temp_c) <= printed_days * 1.25


@pytest.mark.parametrize(
    ("days", "temp_c", "expected"),
    [
        (TOMATO, 7.0, Standing.TESTED),
        (TOMATO, 3.0, Standing.NEVER),
        (TOMATO, 38.0, Standing.TESTED),
        (TOMATO, -4.0, Standing.NEVER),
        (TOMATO, 44.0, Standing.NEVER),
        (LETTUCE, -1.0, Standing.UNKNOWN),
        (LETTUCE, 37.0, Standing.NEVER),
        (EGGPLANT, 19.0, Standing.UNKNOWN),
        (EGGPLANT, 20.0, Standing.TESTED),
        (EGGPLANT, 31.0, Standing.UNKNOWN),
        (EGGPLANT, 45.0, Standing.UNKNOWN),
        (WATERMELON, 5.0, Standing.NEVER),
        (WATERMELON, 6.0, Standing.UNKNOWN),
        (NOTHING, 20.0, Standing.UNKNOWN),
        (TOMATO, math.nan, Standing.UNKNOWN),
    ],
)
def test_not_tested_is_never_taken_for_never(days: tuple[float, ...], temp_c: float, expected: Standing):
    assert standing(days, temp_c) is expected


def test_okra_beyond_a_warm_end_that_was_tested_is_not_known():
    assert standing(emergence_table()["Okra"], 41.0) is Standing.UNKNOWN


def test_below_the_coldest_tested_node_the_line_goes_on_but_not_below_nothing():
    slope = (1 / 8 - 1 / 13) / 5
    assert emergence_rate(EGGPLANT, 17.0) == pytest.approx(1 / 13 - 3 * slope, rel=1e-12)
    assert emergence_rate(EGGPLANT, 8.0) == 0.0


def test_above_the_warmest_tested_node_the_rate_falls_to_nothing_over_ten_degrees():
    assert emergence_rate(EGGPLANT, 34.0) == pytest.approx(0.6 / 5, rel=1e-12)
    assert emergence_rate(EGGPLANT, 40.0) == 0.0


def test_beyond_a_node_where_nothing_came_up_the_rate_stays_nothing():
    assert emergence_rate(LIMA, 9.0) == 0.0
    assert emergence_rate(LIMA, 38.0) == 0.0
    assert emergence_rate(WATERMELON, 3.0) == 0.0


@pytest.mark.parametrize("days", [TOMATO, LETTUCE, EGGPLANT, WATERMELON, LIMA])
def test_the_rate_has_no_jump_inside_the_table(days: tuple[float, ...]):
    temps = [step / 20.0 for step in range(801)]
    rates = [emergence_rate(days, temp_c) for temp_c in temps]
    assert max(abs(after - before) for before, after in zip(rates, rates[1:], strict=False)) < 0.01
    assert min(rates) >= 0.0


@pytest.mark.parametrize("temp_c", [-0.1, 40.1])
def test_outside_the_table_nothing_moves(temp_c: float):
    assert emergence_rate(emergence_table()["Okra"], temp_c) == 0.0


def test_a_gap_between_two_dated_nodes_is_not_known():
    gap = (math.nan, math.nan, 20.0, math.nan, 6.0, 5.0, 5.0, math.nan, math.nan)
    assert math.isnan(emergence_rate(gap, 15.0))


def test_a_row_with_a_single_dated_node_has_no_line_to_go_on():
    single = (math.nan,) * 4 + (6.0,) + (math.nan,) * 4
    assert emergence_rate(single, 20.0) == pytest.approx(1 / 6)
    assert emergence_rate(single, 18.0) == 0.0


def test_what_is_not_a_number_comes_out_as_not_a_number():
    assert math.isnan(emergence_rate(TOMATO, math.nan))
    assert math.isnan(emergence_rate(NOTHING, 20.0))
    assert math.isnan(daily_progress(NOTHING, 10.0, 20.0))
    assert math.isnan(daily_progress(TOMATO, math.nan, 20.0))
    assert math.isnan(daily_progress(TOMATO, 20.0, math.nan))
    for position in range(3):
        values = [0.9, 0.8, 0.2]
        values[position] = math.nan
        assert math.isnan(fraction_up(*values))
        assert math.isnan(seed_quantile(*values))


def test_the_ends_of_the_count_are_nothing_and_every_seed_that_can():
    assert fraction_up(0.0, 0.9, 0.2) == 0.0
    assert fraction_up(50.0, 0.9, 0.2) == pytest.approx(0.9)
    assert (fraction_up(0.99, 0.9, 0.0), fraction_up(1.0, 0.9, 0.0)) == (0.0, 0.9)
    assert seed_quantile(7.0, 0.0, 0.9) == 7.0


@pytest.mark.parametrize("wrong", [(7.0, 0.2, 0.0), (7.0, 0.2, 1.0), (7.0, -0.1, 0.5), (-1.0, 0.2, 0.5)])
def test_a_day_for_an_impossible_share_is_refused(wrong: tuple[float, float, float]):
    with pytest.raises(BadInput):
        seed_quantile(*wrong)


@pytest.mark.parametrize("wrong", [(1.0, 1.1, 0.2), (1.0, -0.1, 0.2), (1.0, 0.9, -0.2)])
def test_an_impossible_viability_or_spread_is_refused(wrong: tuple[float, float, float]):
    with pytest.raises(BadInput):
        fraction_up(*wrong)


def test_a_low_above_the_high_is_refused():
    with pytest.raises(BadInput, match="Swap"):
        daily_progress(TOMATO, 21.0, 20.0)
