"""The mat rota as an answer: who stands where from which day, why, how good it is, and when slots come free.

What the rota weighs is in `rota_choices`. A greedy answer is always at hand and is never called the best; a
solver proves the best, or says how far from the best its answer may be. The figures told with a
placement are counts on the finished rota; what to tell is ours.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from model.errors import BadInput
from model.science.rota_choices import (
    Mat,
    Occupied,
    Option,
    Sowing,
    Stay,
    Where,
    check,
    greedy_choice,
    options,
    right_mats,
    stay_days,
)
from model.science.rota_solver import best_choice
from model.science.source import Sourced

SOLVE_SECONDS = Sourced(5.0, "s", "ours: as long as a person waits for a plan", "assumed")
PROOF_SLACK = Sourced(1e-6, "fraction", "ours: rounding of the solver's sums, of the cost", "assumed")


class Proof(StrEnum):
    """How good a rota is known to be."""

    OPTIMAL = "proved: none costs less"
    STOPPED = "stopped within a stated gap"
    GREEDY = "in turn, not proved"


@dataclass(frozen=True, slots=True)
class Placement:
    """Where one sowing comes up, from which day, and the figures that say why."""

    sowing: str
    where: Where
    day: int | None
    """Day of sowing; None where it is left out."""
    mat: str | None
    stay: Stay | None
    flats: int
    cost: float
    """[weighted flat-days]."""
    days_saved: int | None
    """Days heat saves: on its mat, or on the fastest right one. None where a side isn't known or no mat is right."""
    pinned: bool
    held_by: tuple[str, ...]
    """Sowings that hold the slots it would have had first, on days that are full."""
    held_by_standing: bool
    """Whether trays that already stand there would have kept it out of its first choice."""
    ahead_of: tuple[str, ...]
    """Sowings that it keeps from their first choice."""


@dataclass(frozen=True, slots=True)
class Rota:
    """A rota that fits its mats."""

    placements: tuple[Placement, ...]
    """In the order of the sowings."""
    objective: float
    """Sum of the costs [weighted flat-days]."""
    bound: float | None
    """No rota costs less than this; None where nobody knows [weighted flat-days]."""
    gap: float | None
    """(objective - bound)/objective [fraction]; None where there is no bound."""
    proof: Proof


def greedy(sowings: Sequence[Sowing], mats: Sequence[Mat]) -> Rota:
    """A rota made in turn: who would lose most without a slot chooses first.

    Args:
        sowings: The sowings; names must differ.
        mats: The mats; names must differ.

    Returns:
        A rota that fits, with proof GREEDY whatever it costs. The same input gives the same answer.

    Raises:
        BadInput: See `check`, `options` and `greedy_choice` of `rota_choices`.

    Notes:
        Each sowing takes the cheapest choice that still fits. Ours.
    """
    choices = _choices(sowings, mats)
    return _rota(sowings, mats, choices, greedy_choice(sowings, mats, choices), None)


def solve(
    sowings: Sequence[Sowing],
    mats: Sequence[Mat],
    seconds: float = SOLVE_SECONDS.value,
    gap: float = 0.0,
) -> Rota:
    """The cheapest rota, proved, or the best found in the time with its gap.

    Args:
        sowings: The sowings; names must differ.
        mats: The mats; names must differ.
        seconds: Time after which the solver stops; above 0 [s].
        gap: Share of the cost it may be off the bound, from 0 to below 1; 0 = go on to proof [fraction].

    Returns:
        A rota that fits and never costs more than the greedy's. Its proof is OPTIMAL only where objective and
        bound meet, STOPPED otherwise, and GREEDY where the solver isn't installed.

    Raises:
        BadInput: As `greedy`; a time that isn't above 0; a gap outside 0 to 1.

    Notes:
        The objective is summed anew from the placements, not taken from the solver. A solver that was given a
        gap calls its answer optimal once within it; here that is STOPPED. A rota stopped by the time depends on
        the machine; one that is proved doesn't. The solver looks at the time between steps, so a large rota
        can take some seconds longer on a busy machine.

    References:
        1. Huangfu and Hall 2018: see `rota_solver`.
    """
    if not seconds > 0.0:
        raise BadInput(f"A time limit of {seconds:g} s can't be.", "Give some seconds.")
    if not 0.0 <= gap < 1.0:
        raise BadInput(f"A gap of {gap:g} can't be.", "Give a fraction from 0 to below 1.")
    choices = _choices(sowings, mats)
    first = greedy_choice(sowings, mats, choices)
    if not sowings:
        return _rota(sowings, mats, choices, first, 0.0)
    try:
        found = best_choice(sowings, mats, choices, first, seconds, gap)
    except ImportError:
        return _rota(sowings, mats, choices, first, None)
    better = found.chosen is not None and _cost(found.chosen) < _cost(first)
    return _rota(sowings, mats, choices, found.chosen if better and found.chosen else first, found.bound)


def _choices(sowings: Sequence[Sowing], mats: Sequence[Mat]) -> list[list[Option]]:
    """The options of each sowing, once all are known to be sound."""
    check(sowings, mats)
    return [options(sowing, mats) for sowing in sowings]


def _cost(chosen: Sequence[Option]) -> float:
    """What a choice for all sowings costs [weighted flat-days]."""
    return math.fsum(option.cost for option in chosen)


def _rota(
    sowings: Sequence[Sowing],
    mats: Sequence[Mat],
    choices: Sequence[Sequence[Option]],
    chosen: Sequence[Option],
    bound: float | None,
) -> Rota:
    """A choice for all sowings as an answer; no bound = nobody but the greedy looked."""
    objective = _cost(chosen)
    placements = _placements(sowings, mats, choices, chosen)
    if bound is None:
        return Rota(placements, objective, None, None, Proof.GREEDY)
    proved = objective - bound <= PROOF_SLACK.value * max(1.0, objective)
    if proved:
        return Rota(placements, objective, objective, 0.0, Proof.OPTIMAL)
    return Rota(placements, objective, bound, (objective - bound) / objective, Proof.STOPPED)


def _placements(
    sowings: Sequence[Sowing],
    mats: Sequence[Mat],
    choices: Sequence[Sequence[Option]],
    chosen: Sequence[Option],
) -> tuple[Placement, ...]:
    """Where each sowing comes up and why."""
    occupied = Occupied(mats)
    for sowing, option in zip(sowings, chosen, strict=True):
        occupied.put(option, sowing.flats)
    held_by = [_holders(i, sowings, mats, choices[i][0], chosen, occupied) for i in range(len(sowings))]
    empty = Occupied(mats)
    placements = []
    for i, (sowing, option) in enumerate(zip(sowings, chosen, strict=True)):
        out = option.where is Where.LEFT_OUT
        placements.append(
            Placement(
                sowing.name,
                option.where,
                None if out else option.day,
                mats[option.mat].name if option.stay else None,
                option.stay,
                sowing.flats,
                option.cost,
                _days_saved(sowing, mats, option),
                sowing.pin is not None,
                tuple(sowings[j].name for j in held_by[i]),
                option != choices[i][0] and not empty.fits(choices[i][0], sowing.flats),
                tuple(sowings[j].name for j in range(len(sowings)) if i in held_by[j]),
            )
        )
    return tuple(placements)


def _holders(
    i: int,
    sowings: Sequence[Sowing],
    mats: Sequence[Mat],
    first: Option,
    chosen: Sequence[Option],
    occupied: Occupied,
) -> list[int]:
    """Sowings on the mat of another's first choice, on the days that are too full for it; none if it costs nothing."""
    if chosen[i].cost <= first.cost:
        return []
    own = chosen[i]
    full = set()
    for day in stay_days(first):
        others = occupied.used.get((first.mat, day), 0)
        others -= sowings[i].flats if own.mat == first.mat and day in stay_days(own) else 0
        if others + sowings[i].flats > mats[first.mat].open_slots(day):
            full.add(day)
    return [
        j
        for j, other in enumerate(chosen)
        if j != i and other.mat == first.mat and full.intersection(stay_days(other))
    ]


def _days_saved(sowing: Sowing, mats: Sequence[Mat], option: Option) -> int | None:
    """Days heat saves a sowing, on its mat or on the fastest right one [d]."""
    warm = [sowing.stays[mats[m].name].days for m in right_mats(sowing, mats)]
    if sowing.days_cold is None or not warm:
        return None
    return sowing.days_cold - (option.stay.days if option.stay else min(warm))


@dataclass(frozen=True, slots=True)
class Standing:
    """One sowing on a mat on one day: day `day_n` since sowing, first up on day `first_up`, off on day `off`."""

    sowing: str
    flats: int
    day_n: int
    first_up: int
    off: int


@dataclass(frozen=True, slots=True)
class MatDay:
    """One mat on one day: the rota's sowings on it, slots taken by trays that stand there, and slots free."""

    mat: str
    day: int
    standing: tuple[Standing, ...]
    taken: int
    free: int


def slot_map(rota: Rota, mats: Sequence[Mat], first_day: int, days: int) -> tuple[MatDay, ...]:
    """Every mat on every day of a span.

    Args:
        rota: The rota.
        mats: The mats it was made for.
        first_day: First day of the span.
        days: Length of the span, at least 1 [d].

    Returns:
        One row a mat and day, by mat and then by day; sowings by the day they were sown, then in their order.
        The day of sowing is day 0 and the slot is free again on day `off`.

    Raises:
        BadInput: A span under a day.
    """
    if days < 1:
        raise BadInput(f"A span of {days} days can't be.", "Give at least one day.")
    return tuple(_mat_day(rota, mat, day) for mat in mats for day in range(first_day, first_day + days))


def free_days(rota: Rota, mat: Mat, flats: int, stay: int, from_day: int, wanted: int = 1) -> tuple[int, ...]:
    """The next days on which flats could go on a mat and stay, the rota kept as it is.

    Args:
        rota: The rota.
        mat: One of its mats.
        flats: Flats that ask for room, from 1 to the mat's slots.
        stay: Days they would stay, at least 1 [d].
        from_day: First day to look at.
        wanted: How many days to find, at least 1.

    Returns:
        That many days, soonest first. There always are: after the last stay the mat stands empty.

    Raises:
        BadInput: No flats, or more than the mat has slots; a stay or a number of days under 1.
    """
    if not 1 <= flats <= mat.slots:
        raise BadInput(f"{flats} flats can't stand on {mat.name}.", f"Give from 1 to {mat.slots}.")
    if stay < 1 or wanted < 1:
        raise BadInput("Less than a day can't be looked for.", "Give at least 1.")
    found: list[int] = []
    day = from_day
    run = 0
    while len(found) < wanted:
        run = run + 1 if _mat_day(rota, mat, day).free >= flats else 0
        if run >= stay:
            found.append(day - stay + 1)
        day += 1
    return tuple(found)


def _mat_day(rota: Rota, mat: Mat, day: int) -> MatDay:
    """One mat on one day."""
    standing = tuple(_standing(rota, mat.name, day))
    used = sum(those.flats for those in standing)
    return MatDay(mat.name, day, standing, mat.taken.get(day, 0), mat.open_slots(day) - used)


def _standing(rota: Rota, mat: str, day: int) -> Iterator[Standing]:
    """The rota's sowings on a mat on a day, longest there first."""
    there = [p for p in rota.placements if p.mat == mat and p.day is not None]
    for placed in sorted(there, key=lambda p: p.day or 0):
        if placed.stay is not None and placed.day is not None:
            day_n = day - placed.day
            if 0 <= day_n < placed.stay.days:
                yield Standing(placed.sowing, placed.flats, day_n, placed.stay.first_up, placed.stay.days)
