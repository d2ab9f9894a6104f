"""How much to sow: worked rows, published arithmetic, and the limits."""

import math
from itertools import pairwise

import pytest

from model.errors import BadInput
from model.science.quantities import (
    MOST_CELLS,
    SETTLING,
    SeedTest,
    beta_below,
    beta_quantile,
    cells_needed,
    chance_of_enough,
    germination_limits,
    supplies,
    usable_chance,
)
from tests.science.published import Published, assert_published

OWN = "own calculation"
NAN = math.nan

WORKED = [
    (100, 0.85, 1, 1.00, 0.8500, 124, 124, 0.9271, 0.8962, 118, 0.59),
    (100, 0.85, 1, 0.95, 0.8075, 131, 131, 0.9153, 0.8866, 124, 0.57),
    (48, 0.70, 2, 0.95, 0.8645, 59, 118, 0.9044, 0.8450, 56, 0.65),
    (200, 0.60, 2, 0.90, 0.7560, 277, 554, 0.9157, 0.8991, 265, 0.55),
    (12, 0.50, 3, 0.90, 0.7875, 18, 54, 0.9318, 0.8670, 16, 0.76),
    (500, 0.92, 1, 0.97, 0.8924, 571, 571, 0.9107, 0.8908, 561, 0.57),
    (30, 0.80, 1, 0.90, 0.7200, 47, 47, 0.9179, 0.8812, 42, 0.61),
]
"""Wanted, g, k, s, p, cells, seeds, chance, chance with one fewer, wanted/p rounded up, its chance."""


@pytest.mark.parametrize("row", WORKED, ids=lambda row: f"{row[0]} at {row[1]}")
def test_each_worked_row_comes_out(row):
    wanted, germination, seeds, survival, usable, cells, sown, enough, short, naive, naive_chance = row
    of = f"{wanted} plants, g {germination}, {seeds} a cell, s {survival}"

    def compare(what: str, printed: float, last_digit: float, value: float) -> None:
        assert_published(Published(OWN, "worked row", f"{of}: {what}", printed, last_digit), value)

    def chance(of_cells: int) -> float:
        return chance_of_enough(of_cells, wanted, germination, seeds, survival)

    compare("p", usable, 0.0001, usable_chance(germination, seeds, survival))
    compare("cells", cells, 1, cells_needed(wanted, germination, seeds, survival))
    compare("seeds", sown, 1, supplies(cells, seeds, 72, 43.0).seeds)
    compare("chance", enough, 0.0001, chance(cells))
    compare("chance with one cell fewer", short, 0.0001, chance(cells - 1))
    assert naive == math.ceil(wanted / usable_chance(germination, seeds, survival))
    compare("chance of wanted over p", naive_chance, 0.01, chance(naive))


@pytest.mark.parametrize(
    ("germination", "single", "double"),
    [(0.75, 150, 117), (0.85, 131, 111), (0.95, 115, None), (0.55, None, 140)],
)
def test_a_hundred_plants_with_a_loss_of_five_per_cent(germination, single, double):
    for seeds, printed in ((1, single), (2, double)):
        if printed is not None:
            case = Published(OWN, "100 plants, 90 % surety", f"g {germination}, {seeds} a cell", printed, 1)
            assert_published(case, cells_needed(100, germination, seeds, 0.95))


@pytest.mark.parametrize(
    ("test", "printed"), [(SeedTest(8, 10), 166), (SeedTest(40, 50), 141), (SeedTest(80, 100), 137)]
)
def test_a_small_test_asks_for_more_cells_than_a_known_germination(test, printed):
    assert_published(Published(OWN, "100 plants", f"{test}", printed, 1), cells_needed(100, test))
    assert cells_needed(100, test) > cells_needed(100, 0.8) == 132


def test_a_long_test_is_as_good_as_knowing():
    assert cells_needed(100, SeedTest(80_000, 100_000)) == cells_needed(100, 0.8)
    long = chance_of_enough(59, 48, SeedTest(700_000, 1_000_000), 2, 0.95)
    assert long == pytest.approx(chance_of_enough(59, 48, 0.7, 2, 0.95), abs=1e-5)


def test_one_seed_after_one_test_has_the_mean_of_its_prior():
    # Jeffreys: after x of n the next seed comes with (x + 1/2)/(n + 1).
    for sprouted, tested in ((0, 1), (8, 10), (10, 10)):
        chance = chance_of_enough(1, 1, SeedTest(sprouted, tested))
        assert chance == pytest.approx((sprouted + 0.5) / (tested + 1), rel=1e-12)
        halved = chance_of_enough(1, 1, SeedTest(sprouted, tested), survival=0.5)
        assert halved == pytest.approx(chance / 2.0, rel=1e-12)


def test_two_seeds_a_cell_after_a_test_have_the_second_moment_of_the_prior():
    # E[(1 - g)^2] of Beta(8.5, 2.5) is 2.5 · 3.5 / (11 · 12).
    chance = chance_of_enough(1, 1, SeedTest(8, 10), 2)
    assert chance == pytest.approx(1.0 - 2.5 * 3.5 / (11.0 * 12.0), rel=1e-12)


@pytest.mark.parametrize(
    ("sprouted", "tested", "low", "high", "last_digit"),
    [
        (8, 10, 44.4, 97.5, 0.1),
        (10, 10, 69.2, 100.0, 0.1),
        (42, 50, 70.9, 92.8, 0.1),
        (85, 100, 76.5, 91.4, 0.1),
        (340, 400, 81.1, 88.4, 0.1),
        (8, 10, 44, 97, 1),
        (16, 20, 56, 94, 1),
        (40, 50, 66, 90, 1),
    ],
)
def test_a_seed_test_is_a_range(sprouted, tested, low, high, last_digit):
    found = germination_limits(SeedTest(sprouted, tested))
    for printed, limit in zip((low, high), found, strict=True):
        case = Published(OWN, "exact limits, 95 %", f"{sprouted} of {tested}", printed, last_digit)
        assert_published(case, 100.0 * limit)


def test_no_seed_and_every_seed_have_one_open_limit():
    # With none of n the upper limit solves (1 - g)^n = 0.025.
    low, high = germination_limits(SeedTest(0, 12))
    assert low == 0.0
    assert high == pytest.approx(1.0 - 0.025 ** (1.0 / 12.0), rel=1e-12)
    mirrored = germination_limits(SeedTest(12, 12))
    assert mirrored == (pytest.approx(1.0 - high, rel=1e-12), 1.0)


@pytest.mark.parametrize(
    ("cells", "cell_ml", "printed"),
    [(24, 171, 4.7), (50, 66, 3.8), (72, 43, 3.6), (128, 23, 3.4), (200, 11, 2.5), (288, 7, 2.3)],
)
def test_mix_to_fill_one_tray(cells, cell_ml, printed):
    place = "growing vegetable transplants in plug trays, cell volumes; litres worked from them"
    case = Published("Ontario", place, f"{cells} cells of {cell_ml} mL", printed, 0.1)
    assert_published(case, supplies(cells, 1, cells, cell_ml).mix_litres)


def test_mix_for_ten_trays_and_a_wooden_flat():
    ten = supplies(720, 1, 72, 43.0)
    assert_published(Published(OWN, "litres", "ten trays of 72", 36, 1), ten.mix_litres)
    assert_published(Published(OWN, "cubic feet", "ten trays of 72", 1.3, 0.1), ten.mix_litres / 28.3168)
    flat = supplies(1, 400, 1, 3 * 14 * 23 * 16.387064).mix_litres
    # The 16 L printed for a flat of 3 by 14 by 23 inches leave settling out, unlike those for the trays.
    case = Published(OWN, "litres without settling", "wooden flat", 16, 1)
    assert_published(case, flat / (1.0 + SETTLING.value))
    assert flat == pytest.approx(18.2, abs=0.05)


def test_whole_trays_are_filled_for_the_last_few_cells():
    assert supplies(144, 2, 72, 43.0).trays == 2
    more = supplies(145, 2, 72, 43.0)
    assert (more.seeds, more.trays) == (290, 3)
    assert more.mix_litres == pytest.approx(3 * 72 * 43.0 * 1.15 / 1000.0, rel=1e-12)


def test_the_binomial_is_that_of_counting_outcomes():
    for cells, wanted, usable in ((1, 1, 0.3), (5, 3, 0.5), (7, 2, 0.9), (6, 6, 0.4)):
        exact = sum(
            math.comb(cells, up) * usable**up * (1 - usable) ** (cells - up)
            for up in range(wanted, cells + 1)
        )
        assert chance_of_enough(cells, wanted, usable) == pytest.approx(exact, rel=1e-12)


def test_certain_cells_and_hopeless_ones():
    assert chance_of_enough(9, 10, 0.99) == 0.0
    assert chance_of_enough(10, 10, 1.0) == 1.0
    assert chance_of_enough(10, 10, 0.0) == 0.0
    assert cells_needed(10, 1.0) == 10
    assert cells_needed(1, 0.9) == 1
    assert cells_needed(1, 0.899) == 2
    assert usable_chance(0.5, 2, 0.0) == 0.0


def test_more_cells_more_seed_and_less_surety_never_hurt():
    chances = [chance_of_enough(cells, 30, SeedTest(14, 20), 2, 0.9) for cells in range(25, 60)]
    assert all(less <= more for less, more in pairwise(chances))
    needs = [cells_needed(100, SeedTest(7, 10), seeds) for seeds in (1, 2, 3)]
    assert needs == sorted(needs, reverse=True)
    assert cells_needed(100, 0.8, surety=0.5) < cells_needed(100, 0.8) < cells_needed(100, 0.8, surety=0.99)


def test_a_beta_and_its_quantile_undo_each_other():
    for first, second in ((0.5, 0.5), (8.5, 2.5), (1.0, 40.0), (3000.0, 900.0)):
        for share in (0.025, 0.5, 0.9):
            value = beta_quantile(share, first, second)
            assert beta_below(value, first, second) == pytest.approx(share, abs=1e-10)
    assert beta_below(0.3, 1.0, 1.0) == pytest.approx(0.3, rel=1e-12)
    # The arcsine law: I(x; 1/2, 1/2) = 2/π asin √x.
    assert beta_below(0.2, 0.5, 0.5) == pytest.approx(2.0 / math.pi * math.asin(math.sqrt(0.2)), rel=1e-12)
    assert (beta_below(-0.1, 2.0, 3.0), beta_below(1.1, 2.0, 3.0)) == (0.0, 1.0)
    assert (beta_quantile(0.0, 2.0, 3.0), beta_quantile(1.0, 2.0, 3.0)) == (
        pytest.approx(0.0, abs=1e-15),
        pytest.approx(1.0, rel=1e-5),
    )


def test_what_is_not_a_number_comes_out_as_not_a_number():
    answers = [
        usable_chance(NAN),
        usable_chance(0.5, 1, NAN),
        chance_of_enough(9, 5, NAN),
        chance_of_enough(4, 5, NAN),
        chance_of_enough(9, 5, 0.5, 1, NAN),
        chance_of_enough(9, 5, SeedTest(8, 10), 1, NAN),
        supplies(9, 1, 9, NAN).mix_litres,
        *(beta_below(*values) for values in ((NAN, 1.0, 1.0), (0.5, NAN, 1.0), (0.5, 1.0, NAN))),
        *(beta_quantile(*values) for values in ((NAN, 1.0, 1.0), (0.5, NAN, 1.0), (0.5, 1.0, NAN))),
    ]
    assert all(map(math.isnan, answers))


def test_an_unknown_germination_gets_no_surety_but_a_word():
    with pytest.raises(BadInput, match="isn't known") as refused:
        cells_needed(100, NAN)
    assert "guess" in refused.value.what_to_do


def test_dead_seed_is_refused_with_a_cure():
    with pytest.raises(BadInput, match="20,000") as refused:
        cells_needed(100, 0.0)
    assert "fresh seed" in refused.value.what_to_do
    with pytest.raises(BadInput):
        cells_needed(10, 1e-9)


def test_no_more_cells_than_the_most_are_ever_named():
    most = int(MOST_CELLS.value)
    barely = 14.21 / most
    assert most - 50 < cells_needed(10, barely) <= most
    for wanted, germination in ((10, 14.1 / most), (most + 1, 1.0)):
        with pytest.raises(BadInput, match="fewer plants"):
            cells_needed(wanted, germination)
    assert cells_needed(most, 1.0) == most


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: usable_chance(1.2),
        lambda: usable_chance(0.5, 0),
        lambda: usable_chance(0.5, 1, -0.1),
        lambda: chance_of_enough(0, 1, 0.5),
        lambda: chance_of_enough(1, 0, 0.5),
        lambda: chance_of_enough(1, 1, 80),
        lambda: cells_needed(0, 0.5),
        lambda: cells_needed(10, 0.5, surety=1.0),
        lambda: cells_needed(10, 0.5, surety=NAN),
        lambda: SeedTest(11, 10),
        lambda: SeedTest(-1, 10),
        lambda: SeedTest(0, 0),
        lambda: germination_limits(SeedTest(8, 10), 0.0),
        lambda: supplies(0, 1, 72, 43.0),
        lambda: supplies(10, 1, 72, 0.0),
        lambda: beta_below(0.5, 0.0, 1.0),
        lambda: beta_quantile(1.5, 1.0, 1.0),
    ],
)
def test_what_cannot_be_is_refused(wrong):
    with pytest.raises(BadInput):
        wrong()
