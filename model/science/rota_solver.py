"""The best rota by mixed-integer programming: one yes or no for each choice of each sowing.

    min Σ cost_io x_io    with    Σ_o x_io = 1 for each sowing,
                                  Σ flats_i x_io <= open slots for each mat and day, over choices that hold it

The time-indexed formulation; it was measured best of those tried at this size. Mats that are alike in all that
matters would let the same rota be found once a permutation, so the k-th sowing may use only the first k of them.

References:
    1. Huangfu, Q., and Hall, J. A. J. (2018). Parallelizing the dual revised simplex method. Mathematical
       Programming Computation 10: 119-142. From memory; it is the solver's own reference.
"""

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from model.quiet import standard_output_shut
from model.science.rota_choices import Mat, Option, Sowing, stay_days, turns
from model.science.source import Sourced

if TYPE_CHECKING:
    from highspy import HighsLp

HALF = Sourced(0.5, "-", "a yes or no is read as yes above this", "computed")


class Solved(NamedTuple):
    """What the solver came back with: the choice of each sowing if it found any, and what none can cost less than."""

    chosen: list[Option] | None
    bound: float


def best_choice(
    sowings: Sequence[Sowing],
    mats: Sequence[Mat],
    choices: Sequence[Sequence[Option]],
    start: Sequence[Option],
    seconds: float,
    gap: float,
) -> Solved:
    """The cheapest choice for all sowings together, or the best found in the time.

    Args:
        sowings: The sowings.
        mats: The mats.
        choices: The options of each sowing.
        start: A choice that fits, to begin from.
        seconds: Time after which to stop; above 0 [s].
        gap: Stop when the best found is within this share of the bound; 0 = go on to proof [fraction].

    Returns:
        One option a sowing, or None, and the bound [weighted flat-days]. Prints nothing.

    Raises:
        ImportError: The solver isn't installed.

    Notes:
        The same input gives the same answer while the time doesn't run out: one thread, a fixed seed.
    """
    import highspy

    kept = without_twins(sowings, mats, choices)
    columns = [(i, option) for i, those in enumerate(kept) for option in those]
    with standard_output_shut():  # the solver greets on standard output before it can be told not to
        solver = highspy.Highs()  # type: ignore[no-untyped-call]
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("parallel", "off")
    solver.setOptionValue("time_limit", seconds)
    solver.setOptionValue("mip_rel_gap", gap)
    solver.passModel(_programme(sowings, mats, columns))
    begin = highspy.HighsSolution()
    begin.col_value = [float(option == start[i]) for i, option in columns]
    solver.setSolution(begin)
    solver.run()
    told = solver.getInfo()
    bound = max(0.0, told.mip_dual_bound)
    if told.primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
        return Solved(None, bound)
    values = solver.getSolution().col_value
    yes = {i: option for (i, option), value in zip(columns, values, strict=True) if value > HALF.value}
    return Solved([yes[i] for i in range(len(sowings))], bound)


def without_twins(
    sowings: Sequence[Sowing], mats: Sequence[Mat], choices: Sequence[Sequence[Option]]
) -> list[list[Option]]:
    """Choices less those that only swap mats that are alike.

    Args:
        sowings: The sowings.
        mats: The mats.
        choices: The options of each sowing.

    Returns:
        The options of each sowing. Mats are alike if slots, set-point, taken slots and every sowing's stay are
        the same and no pin names one. Any rota can be relabelled so that, in the order of `turns`, the k-th
        sowing with a choice among them stands on one of the first k; the greedy's answer is one of those.
    """
    pinned = {sowing.pin.mat for sowing in sowings if sowing.pin is not None}
    families: dict[object, list[int]] = {}
    for m, mat in enumerate(mats):
        taken = tuple(sorted((day, slots) for day, slots in mat.taken.items() if slots))
        stays = tuple(sowing.stays.get(mat.name) for sowing in sowings)
        alike = (mat.slots, mat.set_c, taken, stays, mat.name if mat.name in pinned else None)
        families.setdefault(alike, []).append(m)
    kept = [list(those) for those in choices]
    for family in families.values():
        opened = 0
        for i in turns(sowings, choices):
            if any(option.mat in family for option in kept[i]):
                opened += 1
                shut = set(family[opened:])
                kept[i] = [option for option in kept[i] if option.mat not in shut]
    return kept


def _programme(
    sowings: Sequence[Sowing], mats: Sequence[Mat], columns: Sequence[tuple[int, Option]]
) -> "HighsLp":
    """The programme: a row for each sowing, then one for each mat and day that could overflow."""
    import highspy
    import numpy as np

    held: dict[tuple[int, int], list[int]] = {}
    for column, (_, option) in enumerate(columns):
        for day in stay_days(option):
            held.setdefault((option.mat, day), []).append(column)
    rows: list[list[tuple[int, float]]] = [[] for _ in sowings]
    for column, (i, _) in enumerate(columns):
        rows[i].append((column, 1.0))
    upper = [1.0] * len(sowings)
    for (m, day), those in sorted(held.items()):
        room = mats[m].open_slots(day)
        if sum(sowings[i].flats for i in {columns[column][0] for column in those}) > room:
            rows.append([(column, float(sowings[columns[column][0]].flats)) for column in those])
            upper.append(float(room))
    lp = highspy.HighsLp()
    lp.num_col_, lp.num_row_ = len(columns), len(rows)
    lp.col_cost_ = np.array([option.cost for _, option in columns])
    lp.col_lower_, lp.col_upper_ = np.zeros(len(columns)), np.ones(len(columns))
    lp.row_lower_ = np.array([1.0] * len(sowings) + [-highspy.kHighsInf] * (len(rows) - len(sowings)))
    lp.row_upper_ = np.array(upper)
    lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    lp.a_matrix_.start_ = np.cumsum([0] + [len(row) for row in rows])
    lp.a_matrix_.index_ = np.array([column for row in rows for column, _ in row])
    lp.a_matrix_.value_ = np.array([value for row in rows for _, value in row])
    lp.integrality_ = [highspy.HighsVarType.kInteger] * len(columns)
    return lp
