"""Days to emergence from looks: exact answers, simulated lots, and what is refused."""

import doctest
import math
from statistics import NormalDist, fmean, pstdev

import numpy as np
import pytest

from model.errors import BadInput
from model.science import intervals
from model.science.intervals import EmergenceFit, fit_emergence
from tests.science.published import Published, assert_published

NORMAL = NormalDist()
LOOKS = (0.0, 5.0, 6.0, 7.0, 8.0, 10.0, 13.0)


def shares(median: float, spread: float, coming: float, days: tuple[float, ...]) -> list[float]:
    """Share of the sown seeds up at each look."""
    return [coming * NORMAL.cdf(math.log(day / median) / spread) if day else 0.0 for day in days]


def between_looks(median: float, spread: float, coming: float, seeds: float) -> tuple[list[float], ...]:
    """Rows that hold exactly as many seeds as are expected between the looks, and the rest never seen."""
    up = shares(median, spread, coming, LOOKS)
    came = [seeds * (after - before) for before, after in zip(up, up[1:], strict=False)]
    return [*LOOKS], [*LOOKS[1:], math.inf], [*came, seeds * (1.0 - up[-1])]


def sown(rng: np.random.Generator, seeds: int, coming: float) -> tuple[np.ndarray, np.ndarray]:
    """Looks every day for 15 days at a lot of median 7 d, spread 0.2."""
    days = np.where(rng.random(seeds) < coming, 7.0 * np.exp(0.2 * rng.standard_normal(seeds)), math.inf)
    days = np.where(days > 15.0, math.inf, days)
    return np.where(np.isinf(days), 15.0, np.ceil(days) - 1.0), np.ceil(days)


@pytest.mark.parametrize("coming", [0.9, 0.5])
def test_seeds_just_as_expected_give_back_what_they_came_from(coming: float):
    fit = fit_emergence(*between_looks(7.0, 0.20, coming, 72.0))
    assert fit.median_days == pytest.approx(7.0, rel=1e-6)
    assert fit.spread == pytest.approx(0.20, rel=1e-5)
    assert fit.coming == pytest.approx(coming, rel=1e-5)


def test_a_fitted_lot_has_the_printed_first_and_last_days():
    fit = fit_emergence(*between_looks(7.0, 0.20, 0.9, 72.0))
    for share, printed in ((0.1, 5.42), (0.9, 9.05)):
        case = Published("hand", "7 exp(0.2 z)", f"median 7 d, spread 0.20, {share:.0%} up", printed, 0.01)
        assert_published(case, fit.median_days * math.exp(fit.spread * NORMAL.inv_cdf(share)))


def test_two_looks_and_no_more_fix_the_line_through_them():
    fit = fit_emergence([0.0, 4.0, 6.0], [4.0, 6.0, math.inf], [5, 9, 6], some_never=False)
    first, second = NORMAL.inv_cdf(5 / 20), NORMAL.inv_cdf(14 / 20)
    spread = math.log(6.0 / 4.0) / (second - first)
    assert fit.spread == pytest.approx(spread, rel=1e-6)
    assert fit.median_days == pytest.approx(4.0 * math.exp(-spread * first), rel=1e-6)
    assert fit.log_likelihood == pytest.approx(sum(n * math.log(n / 20) for n in (5, 9, 6)), rel=1e-9)


def test_looks_all_day_long_give_the_mean_and_spread_of_the_logarithms():
    days = [5.1, 5.8, 6.3, 6.6, 7.0, 7.4, 7.7, 8.3, 9.9]
    fit = fit_emergence([day - 5e-5 for day in days], [day + 5e-5 for day in days])
    logs = [math.log(day) for day in days]
    assert math.log(fit.median_days) == pytest.approx(fmean(logs), abs=1e-6)
    assert fit.spread == pytest.approx(pstdev(logs), rel=1e-5)
    assert fit.log_median_sd == pytest.approx(pstdev(logs) / 3.0, rel=1e-5)
    assert fit.coming == 1.0


def test_a_fit_to_the_logarithm_gives_limits_a_fixed_number_of_errors_away():
    fit = fit_emergence(*between_looks(7.0, 0.20, 0.9, 72.0))
    case = Published("standard normal table", "90 % point", "80 % limits", 1.2816, 0.0001)
    for side in (fit.high_days / fit.median_days, fit.median_days / fit.low_days):
        assert_published(case, math.log(side) / fit.log_median_sd)


def test_four_in_five_limits_hold_the_truth():
    rng = np.random.default_rng(41)
    fits = [fit_emergence(*sown(rng, 40, 0.85)) for _ in range(300)]
    held = fmean(fit.low_days <= 7.0 <= fit.high_days for fit in fits)
    # 0.80 +- 0.023 by chance alone; limits from the information are a little narrow at 40 seeds.
    assert 0.73 <= held <= 0.87
    assert fmean(fit.median_days for fit in fits) == pytest.approx(7.0, abs=0.05)
    assert fmean(fit.coming for fit in fits) == pytest.approx(0.85, abs=0.01)


def test_the_slope_and_the_bend_of_the_likelihood_are_its_derivatives():
    low, high, seeds = (np.array(row) for row in between_looks(7.0, 0.20, 0.9, 72.0))
    at, small = np.array([1.8, -1.4, 1.5]), 1e-5
    _, slope, bend = intervals._likelihood(at, low, high, seeds)
    for axis, step in enumerate(small * np.eye(3)):
        above, below = (intervals._likelihood(at + side * step, low, high, seeds) for side in (1, -1))
        assert slope[axis] == pytest.approx((above[0] - below[0]) / (2 * small), rel=1e-6)
        assert bend[axis] == pytest.approx((above[1] - below[1]) / (2 * small), rel=1e-5)


def test_rows_with_seeds_equal_the_seeds_one_by_one():
    low, high, seeds = [0, 4, 5, 6, 8], [4, 5, 6, 8, math.inf], [3, 6, 6, 3, 2]
    rows = fit_emergence([*low, 9], [*high, 10], [*seeds, 0])
    singly = fit_emergence(np.repeat(low, seeds), np.repeat(high, seeds))
    for name in EmergenceFit.__slots__:
        assert getattr(rows, name) == pytest.approx(getattr(singly, name), rel=1e-9)


def test_days_in_other_units_move_nothing_but_the_days():
    low, high, seeds = between_looks(7.0, 0.20, 0.9, 72.0)
    fit = fit_emergence(low, high, seeds)
    hours = fit_emergence([24 * day for day in low], [24 * day for day in high], seeds)
    assert hours.median_days == pytest.approx(24 * fit.median_days, rel=1e-6)
    assert (hours.spread, hours.coming) == pytest.approx((fit.spread, fit.coming), rel=1e-6)


def test_seeds_never_seen_are_dead_or_late_as_asked():
    rows = between_looks(7.0, 0.20, 0.5, 72.0)
    dead, late = fit_emergence(*rows), fit_emergence(*rows, some_never=False)
    assert dead.coming == pytest.approx(0.5, abs=1e-4)
    assert late.coming == 1.0
    assert late.median_days > 10.0 > dead.median_days


def test_a_few_late_seeds_are_not_called_dead_where_the_tail_explains_them():
    rows = between_looks(7.0, 0.40, 1.0, 72.0)
    fit = fit_emergence(*rows)
    assert fit.coming == pytest.approx(1.0, abs=1e-3)
    assert fit.median_days == pytest.approx(7.0, rel=1e-3)


@pytest.mark.parametrize(
    "rows",
    [
        ([3.0], [4.0], [20]),
        ([3.0, 4.0], [4.0, 5.0], [10, 10]),
        ([9.0, 10.0, 18.0], [10.0, 11.0, math.inf], [1, 2, 17]),
        ([3.0, 3.0], [4.0, 5.0], [10, 10]),
        ([0.0, 4.0, 6.0], [4.0, 6.0, math.inf], [5, 9, 6]),
    ],
    ids=[
        "one look",
        "two looks side by side",
        "three of twenty, side by side",
        "one within the other",
        "two looks for three figures",
    ],
)
def test_looks_that_show_no_spread_are_refused(rows: tuple[list[float], list[float], list[int]]):
    with pytest.raises(BadInput, match="no spread"):
        fit_emergence(*rows)


def test_half_up_at_the_first_look_and_never_another_has_no_spread():
    with pytest.raises(BadInput, match="no spread"):
        fit_emergence([0.0, 5.0], [1.0, math.inf], [10, 10], some_never=False)


@pytest.mark.parametrize("seeds", [[0, 20], [0, 0]])
def test_nothing_up_has_no_days(seeds: list[int]):
    with pytest.raises(BadInput, match="No seed"):
        fit_emergence([3.0, 4.0], [4.0, math.inf], seeds)


@pytest.mark.parametrize(
    ("low", "high", "seeds"),
    [
        ([4.0], [4.0], [1]),
        ([5.0], [4.0], [1]),
        ([-1.0], [4.0], [1]),
        ([math.inf], [math.inf], [1]),
        ([3.0], [4.0], [-1]),
        ([3.0], [4.0], [math.inf]),
        ([3.0, 4.0], [4.0, 5.0, 6.0], [1, 1]),
    ],
)
def test_days_and_seeds_that_cannot_be_are_refused(low: list[float], high: list[float], seeds: list[float]):
    with pytest.raises(BadInput):
        fit_emergence(low, high, seeds)


@pytest.mark.parametrize("column", range(3))
def test_what_is_not_a_number_comes_out_as_not_a_number(column: int):
    rows = [list(values) for values in between_looks(7.0, 0.20, 0.9, 72.0)]
    rows[column][2] = math.nan
    fit = fit_emergence(*rows)
    assert all(math.isnan(getattr(fit, name)) for name in EmergenceFit.__slots__)


@pytest.mark.parametrize(("median", "spread"), [(2.0, 0.15), (40.0, 0.30), (7.0, 0.05), (7.0, 1.5)])
def test_the_search_finds_its_way_from_afar(median: float, spread: float):
    days = [0.0, *(median * math.exp(spread * step / 2.0) for step in range(-6, 7))]
    up = shares(median, spread, 0.8, tuple(days))
    came = [after - before for before, after in zip(up, up[1:], strict=False)]
    fit = fit_emergence(
        [*days], [*days[1:], math.inf], [*(100 * share for share in came), 100 * (1 - up[-1])]
    )
    assert fit.median_days == pytest.approx(median, rel=1e-4)
    assert (fit.spread, fit.coming) == pytest.approx((spread, 0.8), rel=1e-3)


def test_the_example_in_the_text_holds():
    assert doctest.testmod(intervals).failed == 0
