"""Learning a tray's growth: worked figures, agreement with the scalar equations, and the limits."""

import math

import numpy as np
import pytest

from model.errors import BadInput
from model.science.growth_learning import (
    LOG_GROWTH,
    class_chances,
    crop_growth,
    fill_logits,
    gather,
    growth_moments,
    growth_quantiles,
    look_evidence,
    passing,
    share_past,
    tray_growth,
    weight_below,
)
from model.science.root_fill import (
    CROP_SD,
    CUTS,
    TRAY_SD,
    capacity_log,
    chance_of_look,
    fill,
    fill_logit,
    logit_after_pot_up,
    plant_band_growth,
)
from tests.science.published import Published, assert_published

OWN = "own code"
NO_PAST = np.empty((0, LOG_GROWTH.size))
TOMATO = (2.1, 0.0227)
DEGREE_DAYS_AT_18 = 10.0
CIRCLING = CUTS[3]

SEEN = {
    "few on day 14": [(14, 1)],
    "few on day 14, holds on day 18": [(14, 1), (18, 2)],
    "none on day 14, few on days 18 and 22": [(14, 0), (18, 1), (22, 1)],
}


def logits_on(*days: float) -> np.ndarray:
    """Logits of a tomato in a 72-cell tray at 18 °C, a row a day."""
    warmth = DEGREE_DAYS_AT_18 * np.reshape(days, (-1, 1))
    return fill_logits(warmth, np.full_like(warmth, 43.0), *TOMATO)


def evidence_of(looks: list[tuple[int, int]]) -> np.ndarray:
    days, scores = zip(*looks, strict=True)
    return gather(look_evidence(scores, logits_on(*days)), [0] * len(looks), 1)


def learnt(looks: list[tuple[int, int]], past: np.ndarray = NO_PAST) -> np.ndarray:
    """Weights of a tray after looks, without or with past trays of its crop."""
    return tray_growth(crop_growth(past, [0] * len(past), 1), evidence_of(looks) if looks else 0.0)


@pytest.mark.parametrize(
    ("looks", "mean", "sd"),
    [
        ("few on day 14", 0.230, 0.182),
        ("few on day 14, holds on day 18", 0.315, 0.115),
        ("none on day 14, few on days 18 and 22", -0.056, 0.119),
    ],
)
def test_looks_move_and_narrow_growth_as_printed(looks: str, mean: float, sd: float):
    means, sds = growth_moments(learnt(SEEN[looks]))
    assert_published(Published(OWN, "worked figure", f"mean ln m, {looks}", mean, 0.001), means[0])
    assert_published(Published(OWN, "worked figure", f"SD of ln m, {looks}", sd, 0.001), sds[0])


@pytest.mark.parametrize(
    ("looks", "day", "printed"),
    [
        ("few on day 14", 30, 0.611),
        ("few on day 14, holds on day 18", 30, 0.860),
        ("none on day 14, few on days 18 and 22", 30, 0.010),
        ("none on day 14, few on days 18 and 22", 40, 0.692),
    ],
)
def test_chance_of_circling_roots_is_the_printed_one(looks: str, day: int, printed: float):
    weights, logits = learnt(SEEN[looks]), logits_on(day)
    whole_points = (weights * (logits >= CIRCLING)).sum()
    assert_published(
        Published(OWN, "worked figure", f"bound by day {day}, {looks}", printed, 0.001), whole_points
    )
    # The printed sums count a point of the grid wholly or not at all; ours shares out the one on the edge.
    edge = weights[0, np.argmin(abs(logits[0] - CIRCLING))]
    assert class_chances(weights, logits)[0, 4] == pytest.approx(printed, abs=edge / 2 + 0.0005)


def test_before_any_look_growth_has_the_band_of_crop_and_tray_spread():
    weights = learnt([])
    mean, sd = growth_moments(weights)
    assert mean[0] == pytest.approx(0.0, abs=1e-12)
    assert sd[0] == pytest.approx(math.hypot(CROP_SD.value, TRAY_SD.value), abs=0.001)
    band = growth_quantiles(weights, np.exp(LOG_GROWTH), [0.1, 0.5, 0.9])[0]
    assert band == pytest.approx([plant_band_growth(share) for share in (0.1, 0.5, 0.9)], rel=0.003)


def test_an_array_gives_what_the_scalar_equations_give():
    for column, growth in enumerate(np.exp(LOG_GROWTH)):
        flat = fill_logit(120.0, growth * 0.0227, capacity_log(7420.0, 2.1, 400))
        cell = (
            logit_after_pot_up(flat, 7420.0, 43.0, plants=400, plants_after=2) + growth * 0.0227 * 90.0 * 0.8
        )
        pot = logit_after_pot_up(cell, 43.0, 500.0, plants=2) + growth * 0.0227 * 60.0
        room = [[7420.0 / 400, 43.0 / 2, 500.0 / 2]]
        ours = fill_logits([[120.0, 90.0, 60.0]], room, 2.1, 0.0227, [[1.0, 0.8, 1.0]])[0, column]
        assert ours == pytest.approx(pot, rel=1e-9)


def test_a_pot_up_gives_the_printed_logit_and_the_printed_way_to_go():
    # Warmth that brings the middle tray to F = 0.6 in 43 mL, then the move to 500 mL.
    warmth = (math.log(0.6 / 0.4) + capacity_log(43.0, 2.1)) / 0.0227
    after = fill_logits([[warmth, 0.0]], [[43.0, 500.0]], *TOMATO)[0, 60]
    assert_published(Published(OWN, "worked figure", "43 mL at 0.6 into 500 mL", -2.911, 0.001), after)
    case = Published(OWN, "worked figure", "degree-days until it holds again", 90.9, 0.1)
    assert_published(case, (CUTS[1] - after) / 0.0227)


def test_a_last_room_that_is_repeated_without_warmth_changes_nothing():
    once = fill_logits([[150.0]], [[43.0]], *TOMATO)
    assert fill_logits([[150.0, 0.0, 0.0]], [[43.0, 43.0, 43.0]], *TOMATO) == pytest.approx(once, rel=1e-9)


def test_a_pot_that_cannot_carry_the_plants_is_full_and_looks_at_it_stay_finite():
    logits = fill_logits([[300.0, 0.0]], [[43.0, 1.0]], *TOMATO)
    assert logits[0, -1] == math.inf
    assert all(np.isfinite(look_evidence([score], logits)).all() for score in range(5))
    assert class_chances(learnt([]), logits).sum() == pytest.approx(1.0)


def test_dim_light_slows_a_tray_like_missing_warmth():
    dim = fill_logits([[200.0]], [[43.0]], *TOMATO, 0.5)
    assert dim == pytest.approx(fill_logits([[100.0]], [[43.0]], *TOMATO), rel=1e-12)
    each = fill_logits([[200.0], [200.0]], [[43.0], [43.0]], *TOMATO, [[1.0], [0.5]])
    assert each[1] == pytest.approx(dim[0], rel=1e-12)


def test_evidence_is_the_logarithm_of_the_chance_of_a_look():
    logits = np.linspace(-4.9, 4.9, 99).reshape(1, -1)
    for score in range(5):
        chances = [chance_of_look(score, y) for y in logits[0]]
        safe = np.array(chances) > 1e-9
        found = look_evidence([score], logits)[0]
        assert np.exp(found[safe]) == pytest.approx(np.array(chances)[safe], rel=1.5e-4)


def test_evidence_of_a_look_no_growth_explains_is_finite():
    far = np.array([[-math.inf, -50.0, 50.0, math.inf]])
    assert np.isfinite(np.concatenate([look_evidence([score], far) for score in range(5)])).all()
    # Circling on the day they came up: the same at every growth, so nothing is learnt from it.
    assert learnt([(0, 4)]) == pytest.approx(learnt([]), abs=1e-9)


def test_past_trays_move_the_crop_and_narrow_it_no_further_than_the_spread_between_trays():
    quick = np.repeat(evidence_of([(14, 2), (18, 3)]), 30, axis=0)
    mean_one, sd_one = growth_moments(learnt([], quick[:1]))
    mean, sd = growth_moments(learnt([], quick))
    assert 0.1 < mean_one[0] < mean[0]
    assert TRAY_SD.value < sd[0] < sd_one[0] < 0.35


def test_many_looks_at_one_tray_count_for_less_than_as_many_trays():
    one_tray = gather(np.repeat(evidence_of([(14, 2)]), 6, axis=0), [0] * 6, 1)
    six_trays = np.repeat(evidence_of([(14, 2)]), 6, axis=0)
    assert (
        growth_moments(crop_growth(one_tray, [0], 1))[1]
        > growth_moments(crop_growth(six_trays, [0] * 6, 1))[1]
    )


def test_crops_learn_from_their_own_past_only():
    quick, slow = evidence_of([(14, 3)]), evidence_of([(22, 0)])
    both = growth_moments(crop_growth(np.concatenate([slow, quick, quick]), [2, 0, 0], 3))[0]
    assert both[0] == pytest.approx(
        growth_moments(crop_growth(np.concatenate([quick, quick]), [0, 0], 1))[0][0]
    )
    assert both[1] == pytest.approx(0.0, abs=1e-12)
    assert both[2] < 0.0 < both[0]


def test_trays_together_are_trays_one_by_one():
    looks = [SEEN[name] for name in SEEN]
    together = tray_growth(
        np.repeat(crop_growth(NO_PAST, [], 1), 3, axis=0),
        np.concatenate([evidence_of(seen) for seen in looks]),
    )
    for row, seen in zip(together, looks, strict=True):
        assert row == pytest.approx(learnt(seen)[0], rel=1e-12)
    assert (
        growth_quantiles(together, LOG_GROWTH, [0.5])[2]
        == growth_quantiles(together[2:], LOG_GROWTH, [0.5])[0]
    )


def test_fill_quantiles_are_those_of_growth_carried_over():
    weights, logits = learnt(SEEN["few on day 14"]), logits_on(20)
    growth = growth_quantiles(weights, LOG_GROWTH, [0.1, 0.5, 0.9])[0]
    fills = growth_quantiles(weights, 1.0 / (1.0 + np.exp(-logits)), [0.1, 0.5, 0.9])[0]
    straight = [fill(fill_logit(200.0, 0.0227 * math.exp(g), capacity_log(43.0, 2.1))) for g in growth]
    assert fills == pytest.approx(straight, abs=2e-4)


def test_classes_have_chances_that_sum_to_one():
    chances = class_chances(learnt(SEEN["few on day 14"]), logits_on(18))
    assert chances.shape == (1, 5)
    assert chances.min() >= 0.0
    assert chances.sum() == pytest.approx(1.0, abs=1e-4)


def test_a_look_against_all_expectation_is_a_contradiction_afterwards():
    late = logits_on(19)
    after = learnt([(14, 0), (18, 0), (19, 4)])
    assert class_chances(after, late)[0, 4] < 0.01


def test_on_the_day_they_come_up_every_tray_is_below_every_cut():
    assert class_chances(learnt([]), logits_on(0))[0] == pytest.approx([1.0, 0.0, 0.0, 0.0, 0.0])
    assert share_past(logits_on(0), CUTS[0]).max() == 0.0


def test_a_place_between_columns_is_found_and_what_is_never_passed_is_said():
    row = [[0.0, 0.2, 0.6]]
    assert passing(row, [0.1, 0.4])[0] == pytest.approx([0.5, 1.5])
    assert passing(row, [0.7])[0, 0] == math.inf
    assert passing([[0.3, 0.4]], [0.2])[0, 0] == 0.0


def test_half_of_a_point_counts_as_below_it():
    assert weight_below([0.2, 0.5, 0.3]) == pytest.approx([0.1, 0.45, 0.85])


def test_no_trays_give_no_rows():
    assert tray_growth(np.empty((0, LOG_GROWTH.size))).shape == (0, LOG_GROWTH.size)
    assert fill_logits(np.empty((0, 1)), np.empty((0, 1)), 2.1, 0.0227).shape == (0, LOG_GROWTH.size)


def test_what_is_not_a_number_stays_in_its_row():
    for place in range(4):
        values = [
            np.array([[10.0], [10.0]]),
            np.array([[43.0], [43.0]]),
            np.array([2.1, 2.1]),
            np.array([0.02, 0.02]),
        ]
        values[place][0] = math.nan
        logits = fill_logits(*values)
        assert np.isnan(logits[0]).all()
        assert np.isfinite(logits[1]).all()
    evidence = look_evidence([1, 1], logits)
    assert np.isnan(evidence[0]).all()
    weights = tray_growth(np.repeat(crop_growth(NO_PAST, [], 1), 2, axis=0), evidence)
    answers = [
        weights,
        np.stack(growth_moments(weights), axis=1),
        growth_quantiles(weights, LOG_GROWTH, [0.1, 0.9]),
        class_chances(weights, logits),
    ]
    for answer in answers:
        assert np.isnan(answer[0]).all()
        assert np.isfinite(answer[1]).all()
    assert np.isnan(crop_growth(evidence, [0, 1], 2)[0]).all()


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: fill_logits([[10.0]], [[0.0]], 2.1, 0.02),
        lambda: fill_logits([[10.0]], [[43.0]], 0.0, 0.02),
        lambda: fill_logits([[10.0]], [[43.0]], 2.1, -0.02),
        lambda: fill_logits([[-1.0]], [[43.0]], 2.1, 0.02),
        lambda: look_evidence([5], np.zeros((1, 3))),
        lambda: gather(np.zeros((1, LOG_GROWTH.size)), [1], 1),
        lambda: passing([[0.0, 1.0]], [1.0]),
        lambda: growth_quantiles(np.ones((1, LOG_GROWTH.size)), LOG_GROWTH, [math.nan]),
    ],
)
def test_what_cannot_be_is_refused(wrong):
    with pytest.raises(BadInput):
        wrong()
