"""Reference library, scipy, on every worked quantity and on random ones: binomial, beta-binomial, exact limits."""

import random

import pytest

from model.science.quantities import (
    SURETY,
    SeedTest,
    beta_below,
    beta_quantile,
    cells_needed,
    chance_of_enough,
    germination_limits,
    usable_chance,
)

pytest.importorskip("scipy", reason="needs the extra [reference]")
from scipy import integrate, stats  # noqa: E402

ROWS = [
    (100, 0.85, 1, 1.00),
    (100, 0.85, 1, 0.95),
    (48, 0.70, 2, 0.95),
    (200, 0.60, 2, 0.90),
    (12, 0.50, 3, 0.90),
    (500, 0.92, 1, 0.97),
    (30, 0.80, 1, 0.90),
    *((100, g, k, 0.95) for g in (0.55, 0.75, 0.85, 0.95) for k in (1, 2)),
]
TESTS = [SeedTest(8, 10), SeedTest(16, 20), SeedTest(40, 50), SeedTest(42, 50), SeedTest(80, 100)]


def random_rows(count: int) -> list[tuple[int, float, int, float]]:
    """Plants wanted, germination, seeds a cell and survival."""
    draw = random.Random(20260407)
    return [
        (draw.randint(1, 600), draw.uniform(0.2, 1.0), draw.randint(1, 3), draw.uniform(0.7, 1.0))
        for _ in range(count)
    ]


def random_tests(count: int) -> list[SeedTest]:
    draw = random.Random(19340407)
    sizes = [draw.randint(1, 400) for _ in range(count)]
    return [SeedTest(draw.randint(0, size), size) for size in sizes]


def test_two_hundred_random_sowings_and_every_worked_one_agree_with_the_binomial():
    for wanted, germination, seeds, survival in [*ROWS, *random_rows(200)]:
        usable = usable_chance(germination, seeds, survival)
        cells = cells_needed(wanted, germination, seeds, survival)
        for of_cells in (cells, cells - 1):
            theirs = stats.binom.sf(wanted - 1, of_cells, usable)
            if of_cells:
                ours = chance_of_enough(of_cells, wanted, germination, seeds, survival)
                assert ours == pytest.approx(theirs, abs=1e-11)
        assert stats.binom.sf(wanted - 1, cells, usable) >= SURETY.value
        assert stats.binom.sf(wanted - 1, cells - 1, usable) < SURETY.value


def test_two_hundred_random_tests_and_every_worked_one_agree_with_the_beta_binomial():
    draw = random.Random(7)
    for test in [*TESTS, *random_tests(200)]:
        wanted = draw.randint(1, 300)
        cells = wanted + draw.randint(0, wanted)
        theirs = stats.betabinom.sf(wanted - 1, cells, test.sprouted + 0.5, test.tested - test.sprouted + 0.5)
        assert chance_of_enough(cells, wanted, test) == pytest.approx(theirs, abs=1e-11)


@pytest.mark.parametrize("test", TESTS, ids=str)
def test_the_cells_after_a_test_are_the_fewest_by_the_beta_binomial(test):
    a, b = test.sprouted + 0.5, test.tested - test.sprouted + 0.5
    cells = cells_needed(100, test)
    assert stats.betabinom.sf(99, cells, a, b) >= SURETY.value > stats.betabinom.sf(99, cells - 1, a, b)


def test_after_a_test_with_more_seeds_a_cell_and_losses_the_sum_is_the_integral():
    # The beta-binomial doesn't reach here: their adaptive integral does.
    for test, wanted, cells, seeds, survival in (
        (SeedTest(8, 10), 48, 59, 2, 0.95),
        (SeedTest(3, 9), 20, 40, 3, 0.8),
        (SeedTest(45, 50), 200, 240, 1, 0.9),
        (SeedTest(27, 60), 100, 160, 2, 0.97),
    ):

        def share(g, test=test, wanted=wanted, cells=cells, seeds=seeds, survival=survival):
            posterior = stats.beta.pdf(g, test.sprouted + 0.5, test.tested - test.sprouted + 0.5)
            return posterior * stats.binom.sf(wanted - 1, cells, (1.0 - (1.0 - g) ** seeds) * survival)

        theirs = integrate.quad(share, 0.0, 1.0, epsabs=1e-11, limit=500)[0]
        assert chance_of_enough(cells, wanted, test, seeds, survival) == pytest.approx(theirs, abs=1e-9)


def test_the_exact_limits_of_two_hundred_tests_agree():
    for test in [*TESTS, *random_tests(200)]:
        for surety in (0.8, 0.95):
            theirs = stats.binomtest(test.sprouted, test.tested).proportion_ci(surety, method="exact")
            assert germination_limits(test, surety) == pytest.approx((theirs.low, theirs.high), abs=1e-11)


def test_the_beta_and_its_quantile_agree_over_the_range_that_sowings_use():
    draw = random.Random(11)
    for _ in range(200):
        first, second = (10.0 ** draw.uniform(-0.3, 4.3) for _ in range(2))
        value = draw.betavariate(first, second)
        assert beta_below(value, first, second) == pytest.approx(
            stats.beta.cdf(value, first, second), abs=1e-10
        )
    for _ in range(50):
        first, second, share = draw.randint(1, 80) / 2, draw.randint(1, 80) / 2, draw.uniform(0.01, 0.99)
        theirs = stats.beta.ppf(share, first, second)
        assert beta_quantile(share, first, second) == pytest.approx(theirs, abs=1e-11)
