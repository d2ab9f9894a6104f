"""Root fill, worked by hand: a tomato in a 72-cell tray (43 mL) at a steady 18 °C gains ten degree-days a day.

L = ln(20 x 43 / 2.1 - 1) = 6.0126 and r = 0.0227, so from half up it holds together (F = 0.30) after
(6.0126 - 0.8473)/0.227 = 22.76 d, is full (0.70) after 30.22 d, and its roots circle (0.90) after 36.17 d.
"""

from dataclasses import replace
from datetime import date
from math import exp, isnan, log

import pytest

from model.facts import Container, Sowing, Tray
from model.rules.filling import Filling, filling, looks_here, seen_since, volume_each
from model.rules.grounds import Grounds
from model.rules.verdict import Risk, Stage, Window
from model.science.root_fill import capacity_log
from tests.builders import TODAY, day
from tests.rules.builders import (
    CELLS_72,
    CELLS_128,
    CONTAINERS,
    FLAT,
    PLACES,
    POT_10,
    SHELF,
    STILL,
    YARD,
    ago,
    case_of,
    crop,
    judged,
    sown,
    tray,
    up,
)

DAILY = 0.227
"""Climb of the logit of a tomato's fill in one day at 18 °C."""
CUT_HOLDS, CUT_CIRCLES = log(0.3 / 0.7), log(0.9 / 0.1)


def filled(this: Tray, today: date = TODAY, part: int = 0) -> Filling:
    found = case_of(this, today, part).filling
    assert found is not None
    return found


def fraction(logit: float) -> float:
    return 1 / (1 + exp(-logit))


def test_what_is_not_up_fills_nothing():
    found = filled(tray(sown("tomato", 5)))
    assert (found.fill.low, found.fill.expected, found.fill.high) == (0, 0, 0)
    assert (found.ready, found.early, found.bound, found.chance_bound, found.risk) == (
        None,
        None,
        None,
        0,
        Risk.ROOM,
    )


def test_a_tomato_at_eighteen_degrees_is_ready_full_and_bound_on_the_worked_days():
    found = filled(tray(up("tomato", 10)))
    assert found.ready == Window(ago(10 - 23), ago(10 - 31))  # 22.76 and 30.22 d
    assert found.bound == ago(10 - 37)  # 36.17 d
    # The quickest tenth grows exp(1.2816 x 0.35) = 1.566 times as fast: 22.76/1.566 = 14.5 d.
    assert found.early == ago(10 - 15)
    assert found.fill.expected == pytest.approx(fraction(10 * DAILY - 6.0126), abs=1e-5)


def test_half_full_comes_where_the_logit_is_nothing():
    # 6.0126 / 0.227 = 26.49 d: a little below half on day 26, a little above on day 27.
    assert filled(tray(up("tomato", 26))).fill.expected < 0.5 < filled(tray(up("tomato", 27))).fill.expected


def test_the_band_is_wide_until_somebody_looks():
    fill = filled(tray(up("tomato", 22))).fill
    # 22 d x 0.227 = 4.994, times 0.639 and 1.566 for the outer tenths, less 6.0126.
    assert fill.low == pytest.approx(fraction(4.994 * 0.6387 - 6.0126), abs=1e-3)
    assert fill.high == pytest.approx(fraction(4.994 * 1.5658 - 6.0126), abs=1e-3)


def test_the_band_widens_as_plants_grow_apart():
    widths = [(f := filled(tray(up("tomato", half))).fill).high - f.low for half in (1, 8, 15, 22)]
    assert widths == sorted(widths)
    assert widths[0] < 0.01 < 0.5 < widths[-1]


def test_cold_days_add_nothing():
    warm, rested = tray(up("tomato", 20)), tray(up("tomato", 30), at=[(SHELF, 38), (STILL, 20), (SHELF, 10)])
    assert filled(rested).fill == filled(warm).fill
    assert filled(tray(up("tomato", 20), at=STILL)).ready is None


def test_a_crop_without_figures_has_no_fill():
    for key in ("rue", "carrot", "bean_lima"):
        assert case_of(tray(up(key, 20))).filling is None


def test_not_known_is_said_everywhere_and_no_text_says_nan():
    for sowing in (sown("rue", 9), up("rue", 30)):
        verdict = judged(tray(sowing))
        assert (verdict.leading.fill, verdict.leading.ready) == (None, None)
        assert verdict.leading.risk is Risk.UNKNOWN
        assert "is not known" in verdict.leading.reasons[0].text
        assert "nan" not in repr(verdict).lower()


def test_roots_of_an_unknown_crop_are_known_once_somebody_looks():
    verdict = judged(tray(up("rue", 30), looks=((9, 1), (2, 4))))
    assert (verdict.leading.stage, verdict.leading.risk, verdict.leading.fill) == (
        Stage.PAST,
        Risk.ACT,
        None,
    )
    assert judged(tray(up("rue", 30), looks=((2, 3),))).leading.risk is Risk.WATCH
    assert judged(tray(up("rue", 30), looks=((2, 2),))).leading.stage is Stage.READY
    assert judged(tray(up("rue", 30), looks=((2, 1),))).leading.stage is Stage.FILLING


# Looks.


@pytest.mark.parametrize(
    ("score", "low", "expected", "high"),
    [
        # Middle of the class on the logit; 2 lies between F = 0.30 and 0.70, so its middle is 0.5.
        (0, 0.02, fraction((log(0.02 / 0.98) + log(0.1 / 0.9)) / 2), 0.10),
        (1, 0.10, fraction((log(0.1 / 0.9) + CUT_HOLDS) / 2), 0.30),
        (2, 0.30, 0.50, 0.70),
        (3, 0.70, fraction((log(0.7 / 0.3) + CUT_CIRCLES) / 2), 0.90),
        (4, 0.90, fraction((CUT_CIRCLES + log(0.98 / 0.02)) / 2), 0.98),
    ],
)
@pytest.mark.parametrize("half", [5, 60])
def test_a_look_today_outranks_the_estimate_both_ways(
    score: int, low: float, expected: float, high: float, half: int
):
    fill = filled(tray(up("tomato", half), looks=((0, score),))).fill
    assert (fill.low, fill.expected, fill.high) == pytest.approx((low, expected, high))


def test_growth_goes_on_from_the_last_look():
    found = filled(tray(up("tomato", 20), looks=((12, 0), (2, 2))))
    assert found.fill.expected == pytest.approx(fraction(2 * DAILY))
    # From F = 0.5: full after 0.8473/0.227 = 3.73 d, roots circle after 2.1972/0.227 = 9.68 d.
    assert found.ready == Window(ago(2), day(2))
    assert found.bound == day(8)
    assert found.look is not None
    assert found.look.score == 2


def test_the_window_opens_with_the_first_of_the_looks_that_held():
    looks = ((14, 2), (12, 1), (9, 2), (6, 3), (3, 3))
    found = filled(tray(up("tomato", 30), looks=looks))
    assert found.ready == Window(ago(9), ago(6))
    assert found.early == ago(9)
    assert filled(tray(up("tomato", 30), looks=(*looks, (2, 4), (1, 4)))).bound == ago(2)


def test_a_run_of_looks_ends_with_one_that_shows_less():
    looks = tray(up(), looks=((9, 2), (6, 1), (3, 2), (1, 3))).looks
    assert [seen_since(looks, score) for score in (0, 1, 2, 3, 4)] == [ago(9), ago(9), ago(3), ago(1), None]
    assert seen_since((), 0) is None


def test_a_look_tells_nothing_of_what_came_up_after_it_nor_of_another_container():
    early, late = up("tomato", 20), up("tomato", 3, sowing_id=2)
    shared = tray(early, late, looks=((10, 2),))
    assert filled(shared).look is not None
    assert filled(shared, part=1).look is None
    moved = tray(up("tomato", 30), into=[(CELLS_72, 38), (POT_10, 5)], looks=((10, 2),))
    assert filled(moved).look is None
    case = case_of(tray(sown("tomato", 9), sown("kale", 9, 2), looks=((2, 1),)))
    assert looks_here(case.tray, case.stand) == ()


# Risk.


@pytest.mark.parametrize(("score", "risk"), [(4, Risk.ACT), (3, Risk.WATCH), (2, Risk.ROOM)])
def test_a_look_alone_sets_the_least_risk_where_nothing_grows(score: int, risk: Risk):
    assert filled(tray(up("tomato", 60), at=STILL, looks=((3, score),))).risk is risk


def test_chance_of_root_bound_within_a_week_is_one_in_two_for_the_middle_tray():
    # Roots of the middle tray circle 36.17 d after half up: a week ahead of day 29 is day 36, just short.
    below, above = (filled(tray(up("tomato", half))) for half in (29, 30))
    assert below.chance_bound < 0.5 < above.chance_bound
    assert (below.risk, above.risk) == (Risk.WATCH, Risk.ACT)


def test_chance_is_the_share_of_trays_that_grow_fast_enough():
    # Day 20: 27 d x 0.227 = 6.129 to go 6.0126 + 2.1972 = 8.2098; ln(6.129/8.2098)/0.34986 = -0.8355.
    found = filled(tray(up("tomato", 20)))
    assert found.chance_bound == pytest.approx(0.2017, abs=1e-3)
    assert found.risk is Risk.WATCH
    # Day 19: 26 x 0.227 = 5.902, chance 0.173; day 18: 5.675, chance 0.146.
    assert [filled(tray(up("tomato", half))).risk for half in (10, 18, 19)] == [
        Risk.ROOM,
        Risk.ROOM,
        Risk.WATCH,
    ]


def test_roots_that_circle_are_certain_and_roots_that_do_not_grow_are_not():
    assert filled(tray(up("tomato", 40), looks=((0, 4),))).chance_bound == 1
    assert filled(tray(up("tomato", 40), at=STILL)).chance_bound == 0


# Containers.


def test_potting_up_keeps_the_mass_and_starts_the_days_in_the_container_anew():
    # F = 0.5 of 43 mL on the 26.49th day; 26 d give 20 x 43 x 0.4722 = 406 mg of the 9680 mg a 10 cm pot carries.
    child = tray(
        up("tomato", 26), into=[(CELLS_72, 34), (POT_10, 0)], parent_id=7, made_on=TODAY, at=[(SHELF, 34)]
    )
    before = filled(tray(up("tomato", 26))).fill.expected
    assert filled(child).fill.expected == pytest.approx(before * 43 / POT_10.volume_ml)
    assert judged(child).here_days == 0
    assert judged(child).leading.age_days == 34


def test_a_pot_holds_later_than_a_cell_by_the_logarithm_of_its_volume():
    later_on = tray(up("tomato", 40), into=[(CELLS_72, 48), (POT_10, 30)])
    # 10 days in the cell: mass 20 x 43 x F(2.27 - 6.0126) = 19.9 mg, F in the pot 0.00206, logit -6.184;
    # to hold together (6.184 - 0.8473)/0.227 = 23.5 more days.
    assert filled(later_on).ready == Window(ago(30 - 24), ago(30 - 31))


def test_a_container_left_before_the_plants_were_up_does_not_count():
    moved = tray(up("tomato", 10), into=[(CELLS_128, 18), (CELLS_72, 14)])
    assert filled(moved).fill.expected == pytest.approx(
        filled(tray(up("tomato", 10))).fill.expected, abs=1e-4
    )


def logit_of(this: Tray) -> float:
    found = filled(this).fill.expected
    return log(found / (1 - found))


def onions(into: Container = CELLS_72, **changes: object) -> Sowing:
    return up("onion", 10, **changes)


@pytest.mark.parametrize(
    ("sowing", "into", "plants", "volume"),
    [
        (up("tomato", 10, seeds_per_cell=2), CELLS_72, 1, 43),  # the spare is clipped
        (onions(seeds_per_cell=5), CELLS_72, 5, 43),  # a clump stays
        (onions(seeds_per_cell=5, thinned_on=ago(3)), CELLS_72, 1, 43),
        (onions(cells=300), FLAT, 1, 7420 / 300),  # a flat that isn't cut is shared by all
        (onions(cells=8, seeds_per_cell=40), FLAT, 40, 7420 / 8),
        (up("leek", 10, cells=300, lost=60, empty=40), FLAT, 1, 7420 / 200),
        (up("tomato", 10, cells=8, seeds_per_cell=10), FLAT, 10, 7420 / 8),
    ],
)
def test_plants_share_what_they_stand_in(sowing: Sowing, into: Container, plants: int, volume: float):
    this = tray(sowing, into=into)
    key = crop(sowing.crop)
    degrees = 18 - key.base_c
    start = -capacity_log(volume, key.start_mass_mg, plants)
    assert logit_of(this) == pytest.approx(start + 10 * degrees * key.growth_rate)


def test_every_sowing_of_a_flat_takes_its_share_and_a_resown_part_counts_once():
    thirds = tray(*(up("onion", 10, cells=24, sowing_id=part) for part in (1, 2, 3)), into=FLAT)
    assert volume_each(FLAT, thirds) == 7420 / 72
    resown = tray(up("onion", 10, cells=24, lost=24), up("onion", 2, cells=24, sowing_id=2), into=FLAT)
    assert volume_each(FLAT, resown) == 7420 / 24
    assert volume_each(FLAT, tray(sown(cells=8, lost=8), into=FLAT)) == 7420
    assert volume_each(CELLS_72, thirds) == 43


def test_plants_pricked_out_of_a_flat_stand_one_to_a_cell():
    pricked = tray(up("onion", 10, cells=72, seeds_per_cell=40), into=[(FLAT, 18), (CELLS_72, 10)])
    assert logit_of(pricked) == pytest.approx(logit_of(tray(onions())), abs=1e-3)


def test_a_resown_part_grows_from_its_own_day():
    old, new = up("tomato", 20), up("tomato", 5, days=12, sowing_id=2)
    both = tray(old, new)
    assert filled(both, part=1).fill == filled(tray(new)).fill
    assert filled(both).fill == filled(tray(old)).fill


def test_an_assumed_half_up_is_marked():
    ticked, assumed = filled(tray(up("tomato", 10))), filled(tray(sown("tomato", 20, first_up=ago(11))))
    assert (ticked.assumed_up, assumed.assumed_up) == (False, True)


def test_squash_that_outweighs_its_cell_is_full_at_once():
    tiny = replace(CELLS_72, id=99, volume_ml=1.0)
    sowing = up("pumpkin", 1)
    this = tray(sowing, into=tiny)
    case = case_of(tray(sowing))
    found = filling(
        sowing, this, crop("pumpkin"), Grounds(PLACES, {**CONTAINERS, 99: tiny}, {}), case.stand, TODAY
    )
    assert found is not None
    assert (found.fill.expected, found.chance_bound, found.risk) == (1, 1, Risk.ACT)
    assert not isnan(found.fill.low)


def test_hardening_plants_grow_on():
    assert filled(tray(up("cabbage", 20), at=[(SHELF, 28), (YARD, 5)])).fill.expected > (
        filled(tray(up("cabbage", 20), at=[(SHELF, 28), (STILL, 5)])).fill.expected
    )
