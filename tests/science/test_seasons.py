"""Forecasts against simulated seasons: the band covers, the middle errs less than rules of thumb, chances come true.

The truth shares the model's shape, so this tests the learning and not the biology. `tests/bench/seasons.py` prints
the same for more growers.
"""

from functools import cache

import numpy as np
import pytest

from tests.bench.seasons import LOOKS, Told, World, forecasts, naive_errors, season

pytestmark = pytest.mark.long

GROWERS = 300
PAST = (0, 3, 6)
PLAIN = World()
CARELESS = World(look=0.9, leaning=0.5)
TWO_DEGREES_HIGH = World(reads_high_c=2.0)
DIM_FORTNIGHT = World(dim_days=14)
ELSEWHERE = World(elsewhere=True)
DIM = "nobody tells the program of the dull weeks"


@cache
def told(past: int, looks: int, world: World = PLAIN) -> Told:
    return forecasts(season(GROWERS, past, world), past, looks)


@cache
def rules_of_thumb(past: int, world: World = PLAIN) -> tuple[float, float]:
    """Errors of the age on paper, and of the exact mean age of the grower's own past trays [d]."""
    return naive_errors(told(past, 0, world), season(GROWERS, past, world), past)


def standard_error(share: float, trays: int) -> float:
    return float(np.sqrt(share * (1.0 - share) / trays))


@pytest.mark.parametrize("looks", range(LOOKS + 1))
def test_the_eighty_per_cent_band_covers_seventy_five_to_eighty_six(looks: int):
    covers = [told(past, looks).cover() for past in PAST]
    assert 0.75 <= np.mean(covers) <= 0.86
    # One row alone may miss by two standard errors of its trays; with 3 past trays the band is a little too wide.
    more = 2.0 * standard_error(0.8, GROWERS)
    assert all(0.75 - more <= cover <= 0.86 + more for cover in covers)


@pytest.mark.parametrize("past", PAST)
def test_looks_narrow_the_band_and_bring_its_middle_nearer(past: int):
    each = [told(past, looks) for looks in range(LOOKS + 1)]
    assert all(later.width() < earlier.width() for earlier, later in zip(each, each[1:], strict=False))
    assert all(later.error() < earlier.error() for earlier, later in zip(each, each[1:], strict=False))


def test_past_trays_help_before_anyone_has_looked():
    assert told(6, 0).error() < told(0, 0).error() - 2.0


@pytest.mark.parametrize("past", PAST)
def test_after_one_look_the_error_is_less_than_that_of_the_age_on_paper(past: int):
    assert told(past, 1).error() < rules_of_thumb(past)[0] - 1.0


def test_with_nothing_known_the_forecast_is_no_better_than_the_age_on_paper():
    assert told(0, 0).error() == pytest.approx(rules_of_thumb(0)[0], abs=0.8)


def test_after_one_look_the_error_is_less_than_that_of_own_ages_from_other_cells_and_seasons():
    assert told(6, 1, ELSEWHERE).error() < rules_of_thumb(6, ELSEWHERE)[1] - 1.0


def test_six_exact_ages_from_the_same_cell_and_season_are_beaten_by_the_third_look_only():
    # That rule knows to the hour when each past tray was ready; the forecast has three early looks at each.
    own = rules_of_thumb(6)[1]
    assert 0.5 < told(6, 0).error() - own < 1.6
    assert 0.0 < told(6, 1).error() - own < 1.2
    assert told(6, 3).error() < own


def test_chances_of_circling_roots_err_less_than_the_base_rate():
    for past in PAST:
        assert told(past, 3).brier() < 0.6 * told(past, 3).brier_of_base_rate()


def test_chances_of_circling_roots_come_true_as_often_as_told():
    said = np.concatenate([told(past, looks).bound for past in PAST for looks in (1, 2, 3)])
    came = np.concatenate([told(past, looks).was_bound for past in PAST for looks in (1, 2, 3)])
    for low, high in ((0.0, 0.1), (0.1, 0.4), (0.4, 0.7), (0.7, 0.9), (0.9, 1.01)):
        mine = (low <= said) & (said < high)
        assert mine.sum() >= 50
        # Forecasts of one tray after 1, 2 and 3 looks aren't independent: 0.1 is left for that and for the bias.
        assert came[mine].mean() == pytest.approx(
            said[mine].mean(), abs=0.1 + 2.0 * standard_error(0.5, mine.sum())
        )


def test_a_careless_looker_makes_the_band_too_narrow_and_still_beats_the_age_on_paper():
    careless = told(6, 3, CARELESS)
    assert 0.55 < careless.cover() < told(6, 3).cover() - 0.1
    assert careless.error() < rules_of_thumb(6, CARELESS)[0]


def test_a_thermometer_that_reads_high_makes_forecasts_early_until_past_trays_have_taught_it():
    new, taught = told(0, 0, TWO_DEGREES_HIGH), told(6, 0, TWO_DEGREES_HIGH)
    assert -7.5 < new.late() < told(0, 0).late() - 2.0
    assert abs(taught.late()) < 1.5
    assert taught.cover() > 0.75


def test_a_fortnight_at_half_light_makes_forecasts_early_until_looks_tell():
    dim = [told(6, looks, DIM_FORTNIGHT) for looks in (0, LOOKS)]
    assert -9.0 < dim[0].late() < -4.0, DIM
    assert dim[0].cover() < 0.75, DIM
    assert abs(dim[1].late()) < abs(dim[0].late()) / 2
    assert dim[1].cover() > 0.75
