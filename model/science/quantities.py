"""How much to sow: the fewest cells that give the plants wanted with surety, and the seed, trays and mix for them.

A cell is usable with the chance p = (1 - (1 - g)^k) s: of its k seeds at least one comes (g each), and what
stands in it lives to be set out (s). Cells are taken as independent, so the usable ones of n are binomial. A
germination known only from a test of a few seeds is a range, not a number: Beta(x + ½, n - x + ½) after x of n.
Losses that take a whole tray (a mouse, damping-off) aren't independent, and no figure here covers them.

References:
    1. Clopper, C. J., and Pearson, E. S. (1934). The use of confidence or fiducial limits illustrated in the
       case of the binomial. Biometrika 26: 404-413. From memory; checked against a reference library.
    2. Jeffreys, H. (1946). An invariant form for the prior probability in estimation problems. Proceedings of
       the Royal Society A 186: 453-461. From memory, for the prior Beta(½, ½).
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from statistics import NormalDist

from model.errors import BadInput
from model.science.source import Sourced

SURETY = Sourced(0.9, "fraction", "ours: nine sowings in ten give the plants wanted", "assumed")
LIMITS_SURETY = Sourced(0.95, "fraction", "limits of a seed test: common practice, no source", "assumed")
SETTLING = Sourced(0.15, "fraction", "mix settles as cells are filled: common practice, no source", "assumed")
MOST_CELLS = Sourced(20_000.0, "cells", "ours: a sowing beyond this is a slip or dead seed", "assumed")
ML_A_LITRE = Sourced(1000.0, "mL/L", "the litre", "definition")
NODES_A_ROOT = Sourced(
    6.0, "points", "ours: points over germination for each root of a seed; 12 give the same", "computed"
)
FEWEST_NODES = Sourced(16.0, "points", "ours: points over germination for the smallest sowings", "assumed")
LEAST_TERM = Sourced(1e-17, "fraction", "ours: share of a sum that may be left out", "assumed")
HALVINGS = Sourced(60.0, "steps", "ours: halvings of a span until double precision ends", "computed")

_NORMAL = NormalDist()


@dataclass(frozen=True, slots=True)
class SeedTest:
    """A germination test of a lot; counts that can't be are refused."""

    sprouted: int
    """Seeds that came up, 0 to `tested` [seeds]."""
    tested: int
    """Seeds in the test, at least 1 [seeds]."""

    def __post_init__(self) -> None:
        _check_counts(self.tested)
        if not 0 <= self.sprouted <= self.tested:
            raise BadInput(
                f"{self.sprouted} of {self.tested} seeds can't have come up.", "Check the counts of the test."
            )


@dataclass(frozen=True, slots=True)
class Supplies:
    """What a sowing takes."""

    seeds: int
    trays: int
    """Whole trays, the last one perhaps sown in part."""
    mix_litres: float
    """To fill all of them, settling counted [L]."""


def usable_chance(germination: float, seeds_a_cell: int = 1, survival: float = 1.0) -> float:
    """Chance that a cell ends as a plant to set out, p [fraction].

    Args:
        germination: Chance that one seed comes up, g, from 0 to 1 [fraction].
        seeds_a_cell: Seeds sown in each cell, k, at least 1 [seeds].
        survival: Share of the cells with a seedling that live to be set out, s, from 0 to 1 [fraction].

    Returns:
        p = (1 - (1 - g)^k) s [fraction]; NaN where an input is NaN.

    Raises:
        BadInput: A share outside 0 to 1, or fewer than one seed a cell.

    Notes:
        One plant is kept in each cell. Seeds of a cell are taken as independent.

    Examples:
        >>> round(usable_chance(0.70, 2, 0.95), 4)
        0.8645
    """
    _check_shares(germination, survival)
    _check_counts(seeds_a_cell)
    return (1.0 - (1.0 - germination) ** seeds_a_cell) * survival


def chance_of_enough(
    cells: int, wanted: int, germination: float | SeedTest, seeds_a_cell: int = 1, survival: float = 1.0
) -> float:
    """Chance that at least the plants wanted come of some cells [fraction].

    Args:
        cells: Cells sown, n, at least 1 [cells].
        wanted: Plants wanted, w, at least 1 [plants].
        germination: Chance g that one seed comes up, from 0 to 1 [fraction], or the test it is known from.
        seeds_a_cell: Seeds sown in each cell, k, at least 1 [seeds].
        survival: Share of the cells with a seedling that live to be set out, s, from 0 to 1 [fraction].

    Returns:
        P(Bin(n, p) >= w) = I(p; w, n - w + 1), p of `usable_chance` and I of `beta_below`; after a test its
        mean over g ~ Beta(x + ½, n - x + ½) [fraction]; NaN where an input is NaN.

    Raises:
        BadInput: A share outside 0 to 1, or a count below 1.

    Notes:
        Jeffreys' prior Beta(½, ½). For one seed a cell and no later loss the mean is the beta-binomial. It is
        summed over g = sin²θ at evenly spaced θ (the points of Gauss and Chebyshev), which frees this prior
        of its poles; the number of points is ours. The test is taken to be of this lot and as warm as the
        sowing will be: colder mix does worse.

    References:
        1. Jeffreys 1946, see the module.

    Examples:
        >>> round(chance_of_enough(131, 100, 0.85, survival=0.95), 4)
        0.9153
    """
    _check_counts(cells, wanted)
    if isinstance(germination, SeedTest):
        return math.fsum(
            weight * chance_of_enough(cells, wanted, at, seeds_a_cell, survival)
            for at, weight in _germinations(germination, germination.tested + seeds_a_cell * cells)
        )
    usable = usable_chance(germination, seeds_a_cell, survival)
    return beta_below(usable, wanted, cells - wanted + 1) if cells >= wanted else 0.0 * usable


def cells_needed(
    wanted: int,
    germination: float | SeedTest,
    seeds_a_cell: int = 1,
    survival: float = 1.0,
    surety: float = SURETY.value,
) -> int:
    """Fewest cells of which at least the plants wanted are usable with surety [cells].

    Args:
        wanted: Plants wanted, at least 1 [plants].
        germination: Chance that one seed comes up, above 0 [fraction], or the test it is known from.
        seeds_a_cell: Seeds sown in each cell, at least 1 [seeds].
        survival: Share of the cells with a seedling that live to be set out, above 0 [fraction].
        surety: Chance asked for, between 0 and 1 [fraction].

    Returns:
        The smallest n with `chance_of_enough` >= surety [cells].

    Raises:
        BadInput: A germination or survival that isn't known (NaN), a share or count that can't be, or an
            answer beyond MOST_CELLS.

    Notes:
        Wanted divided by p would be short nearly every second time. A test asks for more cells than a known
        germination of x/n, and the more so the fewer seeds it had.

    Examples:
        >>> cells_needed(48, 0.70, 2, 0.95), cells_needed(100, 0.8), cells_needed(100, SeedTest(8, 10))
        (59, 132, 166)
    """
    _check_surety(surety)

    def enough(cells: int) -> float:
        return chance_of_enough(cells, wanted, germination, seeds_a_cell, survival)

    if math.isnan(enough(wanted)):
        raise BadInput(
            "Germination or later loss isn't known, so no number of cells is sure.",
            "Test some seeds, or give a guess.",
        )
    return _fewest(enough, wanted, surety)


def germination_limits(test: SeedTest, surety: float = LIMITS_SURETY.value) -> tuple[float, float]:
    """Exact limits of the germination after a test [fractions].

    Args:
        test: Seeds that came up, x, of how many, n.
        surety: Chance that the limits hold the truth, at least, between 0 and 1 [fraction].

    Returns:
        Low and high: quantiles of Beta(x, n - x + 1) and Beta(x + 1, n - x) that leave half of 1 - surety
        outside each [fractions]; 0 below where none came, 1 above where all did.

    Raises:
        BadInput: A surety that isn't between 0 and 1.

    References:
        1. Clopper and Pearson 1934, see the module.

    Examples:
        >>> [round(limit, 3) for limit in germination_limits(SeedTest(8, 10))]
        [0.444, 0.975]
    """
    _check_surety(surety)
    outside, failed = (1.0 - surety) / 2.0, test.tested - test.sprouted
    low = beta_quantile(outside, test.sprouted, failed + 1) if test.sprouted else 0.0
    high = beta_quantile(1.0 - outside, test.sprouted + 1, failed) if failed else 1.0
    return low, high


def supplies(cells: int, seeds_a_cell: int, cells_a_tray: int, cell_ml: float) -> Supplies:
    """Seed, trays and mix for some cells.

    Args:
        cells: Cells to sow, at least 1 [cells].
        seeds_a_cell: Seeds in each, at least 1 [seeds].
        cells_a_tray: Cells of one tray, at least 1 [cells].
        cell_ml: Volume of one cell, above 0 [mL].

    Returns:
        Seeds; trays, rounded up; mix = trays · cells a tray · volume · (1 + SETTLING) [L], NaN for a NaN volume.

    Raises:
        BadInput: A count below 1, or a volume that isn't above 0.

    Notes:
        Whole trays are filled, also where the last is sown in part. An open flat is a tray of one cell.
    """
    _check_counts(cells, seeds_a_cell, cells_a_tray)
    if cell_ml <= 0.0:
        raise BadInput(f"A cell of {cell_ml:g} mL can't be.", "Check the container.")
    trays = -(-cells // cells_a_tray)
    mix_ml = trays * cells_a_tray * cell_ml * (1.0 + SETTLING.value)
    return Supplies(cells * seeds_a_cell, trays, mix_ml / ML_A_LITRE.value)


def beta_below(value: float, first: float, second: float) -> float:
    """Share of a Beta distribution below a value, I(x; a, b) [fraction].

    Args:
        value: x; anything below 0 counts as 0 and above 1 as 1 [fraction].
        first: a, above 0 [-].
        second: b, above 0 [-].

    Returns:
        x^a (1 - x)^b / (a B(a, b)) · Σ over n >= 0 of Π over i < n of x (a + b + i)/(a + 1 + i) [fraction];
        NaN where an input is NaN.

    Raises:
        BadInput: A parameter that isn't above 0.

    Notes:
        Beyond the mean a/(a + b) it is 1 - I(1 - x; b, a): the terms fall from the first. Within 1e-10 of a
        reference library for parameters up to 20 000.
    """
    if first <= 0.0 or second <= 0.0:
        raise BadInput(f"A Beta of {first:g} and {second:g} can't be.", "Give counts above 0.")
    if math.isnan(value + first + second):
        return math.nan
    if value <= 0.0 or value >= 1.0:
        return 0.0 if value <= 0.0 else 1.0
    if value > first / (first + second):
        return 1.0 - beta_below(1.0 - value, second, first)
    log_start = first * math.log(value) + second * math.log1p(-value) - math.log(first)
    log_start += math.lgamma(first + second) - math.lgamma(first) - math.lgamma(second)
    total = term = 1.0
    step = 0
    while term > LEAST_TERM.value * total:
        term *= value * (first + second + step) / (first + 1.0 + step)
        total += term
        step += 1
    return min(1.0, math.exp(log_start + math.log(total)))


@lru_cache(maxsize=1024)
def beta_quantile(share: float, first: float, second: float) -> float:
    """Value below which a share of a Beta distribution lies [fraction].

    Args:
        share: Share below, from 0 to 1 [fraction].
        first: a, above 0 [-].
        second: b, above 0 [-].

    Returns:
        x with I(x; a, b) = share, by halving [fraction]; NaN where an input is NaN.

    Raises:
        BadInput: A share outside 0 to 1, or a parameter that isn't above 0.
    """
    _check_shares(share)
    if math.isnan(share + first + second):
        return math.nan
    low, high = 0.0, 1.0
    for _ in range(int(HALVINGS.value)):
        middle = (low + high) / 2.0
        low, high = (middle, high) if beta_below(middle, first, second) < share else (low, middle)
    return (low + high) / 2.0


def _germinations(test: SeedTest, seeds: int) -> list[tuple[float, float]]:
    """Germinations and their weights after a test, fine enough for a number of seeds; see the caller."""
    count = int(FEWEST_NODES.value + NODES_A_ROOT.value * math.sqrt(seeds))
    turns = [math.pi / 2.0 * (node + 1.0 / 2.0) / count for node in range(count)]
    logs = [
        2.0 * test.sprouted * math.log(math.sin(turn))
        + 2.0 * (test.tested - test.sprouted) * math.log(math.cos(turn))
        for turn in turns
    ]
    top = max(logs)
    heavy = [
        (math.sin(turn) ** 2, math.exp(log - top))
        for turn, log in zip(turns, logs, strict=True)
        if log - top > math.log(LEAST_TERM.value)
    ]
    whole = math.fsum(weight for _, weight in heavy)
    return [(germination, weight / whole) for germination, weight in heavy]


def _fewest(enough: Callable[[int], float], wanted: int, surety: float) -> int:
    """Smallest number of cells with the surety, by doubling and halving: the chance grows with the cells."""
    short, high, most = wanted - 1, wanted, int(MOST_CELLS.value)
    while high > most or enough(high) < surety:
        if high >= most:
            raise BadInput(
                f"Not even {most:,} cells would be sure to give {wanted} plants.",
                "Get fresh seed, test more of this, or plan fewer plants.",
            )
        short, high = high, min(2 * high, most)
    while high - short > 1:
        middle = (short + high) // 2
        short, high = (middle, high) if enough(middle) < surety else (short, middle)
    return high


def _check_shares(*shares: float) -> None:
    """Refuse shares outside 0 to 1; NaN passes."""
    for share in shares:
        if share < 0.0 or share > 1.0:
            raise BadInput(f"A share of {share:g} can't be.", "Give a fraction from 0 to 1.")


def _check_surety(surety: float) -> None:
    """Refuse a surety that no number of cells gives, or that any does."""
    if not 0.0 < surety < 1.0:
        raise BadInput(f"A surety of {surety:g} can't be given.", "Give a chance between 0 and 1, like 0.9.")


def _check_counts(*counts: int) -> None:
    """Refuse counts below 1."""
    if min(counts) < 1:
        raise BadInput(f"A count of {min(counts)} is too small.", "Give at least 1.")
