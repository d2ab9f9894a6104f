"""The mat rota: which sowing stands on which heat mat from which day, and which can do without.

Flats on a mat are interchangeable, so nothing is packed: on each day the flats on a mat are counted against its
slots. A sowing has a window of days, a day it is wished for, a number of flats, and for each mat the days it
stays there (emergence at the mat's set-point, 80 % point). Each choice costs days:

    cost = weight · flats · (|day - wished| + days to come up there - days where it comes up fastest)

and a rota costs the sum. Going without heat is one of the choices: sown on the wished day, it costs the days
that heat would have saved. A mat is never chosen where going without costs no more. A sowing that may not go
without and finds no slot is left out, which costs more than any day of its window, and is said, never hidden.
The daily count is the usual time-indexed formulation of a cumulative resource; weighing by flats, and a day
early as a day late, are ours.

References:
    1. Harrington, J. F., and Minges, P. A. (1954). Vegetable Seed Germination. California Agricultural Extension
       mimeo leaflet; a reprint was opened. Percentage of normal seedlings of lettuce, celery and spinach.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from typing import NamedTuple

from model.errors import BadInput
from model.science.source import Sourced

_TABLE = "Harrington and Minges 1954 (reprint opened); taking its last good node as the limit is ours"
LETTUCE_LIMIT_C = Sourced(25.0, "°C", f"99 % normal at 25 °C, 12 % at 30 °C: {_TABLE}", "published, opened")
CELERY_LIMIT_C = Sourced(20.0, "°C", f"97 % at 20 °C, 65 % or none at 25 °C: {_TABLE}", "published, opened")
SPINACH_LIMIT_C = Sourced(20.0, "°C", f"52 % at 20 °C, 28 % at 25 °C: {_TABLE}", "published, opened")
LEFT_OUT_DAYS = Sourced(
    365.0, "d", "ours: a sowing left out loses its season, on top of its worst day", "assumed"
)


class Stay(NamedTuple):
    """How long a sowing is on one mat: days to the first seedlings, and days until it comes off [d]."""

    first_up: int
    days: int


@dataclass(frozen=True, slots=True)
class Pin:
    """What the grower decided by hand: a day, a mat or no mat. What is left open stays the rota's choice."""

    day: int | None = None
    mat: str | None = None
    without: bool = False


@dataclass(frozen=True, slots=True)
class Sowing:
    """One sowing that asks for a mat; days are whole numbers counted from any one day."""

    name: str
    earliest: int
    latest: int
    flats: int
    stays: Mapping[str, Stay]
    """Stay on each mat it could come up on, by the mat's name."""
    days_cold: int | None
    """Days until it would be up without heat (80 % point); None = never, or not known."""
    wished: int | None = None
    """Day it is wished for; None = the earliest."""
    weight: float = 1.0
    may_go_without: bool = True
    """False: it has to have heat. Without `days_cold` it has to in any case."""
    warmest_mat_c: float = math.inf
    """It is never put on a mat set higher than this [°C]."""
    pin: Pin | None = None

    @property
    def wish(self) -> int:
        """The day it is wished for."""
        return self.earliest if self.wished is None else self.wished


@dataclass(frozen=True, slots=True)
class Mat:
    """One heat mat: its slots, its set-point [°C], and the slots taken on a day by trays that stand or will."""

    name: str
    slots: int
    set_c: float
    taken: Mapping[int, int] = field(default_factory=dict)

    def open_slots(self, day: int) -> int:
        """Slots not yet taken on a day."""
        return self.slots - self.taken.get(day, 0)


class Where(StrEnum):
    """Where a sowing comes up."""

    ON_MAT = "on a mat"
    WITHOUT = "without a mat"
    LEFT_OUT = "no slot in its window"


class Option(NamedTuple):
    """One choice for a sowing: its cost in weighted flat-days, the day, the mat's place in the list, the stay."""

    cost: float
    day: int
    mat: int
    """Place of the mat in the list; -1 where there is none."""
    where: Where
    stay: Stay | None


def options(sowing: Sowing, mats: Sequence[Mat]) -> list[Option]:
    """Every choice open to a sowing, cheapest first.

    Args:
        sowing: The sowing.
        mats: The mats.

    Returns:
        Options by cost, then day, then mat [weighted flat-days]. Mats that are too hot for it, or on which
        its stay isn't known, aren't among them, nor mats and days at which going without costs no more. Where
        going without isn't allowed the last option is to be left out, unless day and mat are pinned.

    Raises:
        BadInput: No choice at all: it has to have a mat and none will do, or it is pinned to one that won't.

    Notes:
        A pinned day may lie outside the window: the hand decides. Its cost counts from the wish all the same.
    """
    pin = sowing.pin or Pin()
    usable = _usable(sowing, mats)
    fastest = min([sowing.stays[mats[m].name].days for m in right_mats(sowing, mats)] + _cold(sowing))
    each_day = sowing.weight * sowing.flats

    def cost(day: int, days_to_come_up: float) -> float:
        return each_day * (abs(day - sowing.wish) + days_to_come_up - fastest)

    days = range(sowing.earliest, sowing.latest + 1) if pin.day is None else (pin.day,)
    found = []
    for m in usable:
        stay = sowing.stays[mats[m].name]
        found += [Option(cost(day, stay.days), day, m, Where.ON_MAT, stay) for day in days]
    if pin.without or (pin.mat is None and sowing.may_go_without and sowing.days_cold is not None):
        day = sowing.wish if pin.day is None else pin.day
        without = Option(cost(day, _cold(sowing)[0]), day, -1, Where.WITHOUT, None)
        found = [*(option for option in found if option.cost < without.cost), without]
    elif pin.mat is None or pin.day is None:
        worst = max(option.cost for option in found)
        found.append(Option(worst + each_day * LEFT_OUT_DAYS.value, sowing.wish, -1, Where.LEFT_OUT, None))
    return sorted(found)


def _cold(sowing: Sowing) -> list[int]:
    """Days without heat, in a list that is empty where they aren't known [d]."""
    return [] if sowing.days_cold is None else [sowing.days_cold]


def right_mats(sowing: Sowing, mats: Sequence[Mat]) -> list[int]:
    """Mats warm enough and not too hot for a sowing, whatever is pinned and however many slots they have.

    Args:
        sowing: The sowing.
        mats: The mats.

    Returns:
        Places in the list of mats. A mat set exactly at its limit will do.
    """
    return [m for m, mat in enumerate(mats) if mat.name in sowing.stays and mat.set_c <= sowing.warmest_mat_c]


def _usable(sowing: Sowing, mats: Sequence[Mat]) -> list[int]:
    """Places in the list of the mats a sowing may stand on, its pin among what decides."""
    pin, name = sowing.pin or Pin(), sowing.name
    _refuse_if(
        pin.without and sowing.days_cold is None,
        f"{name} is pinned to no mat, but its days without heat aren't known.",
        "Pin it to a mat, or give its days without heat.",
    )
    right = [] if pin.without else right_mats(sowing, mats)
    asked = [m for m in right if pin.mat in (None, mats[m].name)]
    _refuse_if(
        pin.mat is not None and not asked,
        f"{name} is pinned to {pin.mat}, which is too hot for it or not a mat it comes up on.",
        "Pin it to another mat, or lower the mat's setting.",
    )
    _refuse_if(
        not asked and not pin.without and not (sowing.may_go_without and sowing.days_cold is not None),
        f"{name} has to have a mat, and no mat is right for it.",
        "Set a mat to a warmth it comes up at, or let it go without.",
    )
    wide = [m for m in asked if mats[m].slots >= sowing.flats]
    _refuse_if(
        bool(asked) and not wide,
        f"{name} has {sowing.flats} flats, more than any mat it may stand on has slots.",
        "Split the sowing, or pin it to no mat.",
    )
    return wide


def check(sowings: Sequence[Sowing], mats: Sequence[Mat]) -> None:
    """Refuse sowings and mats that can't be.

    Args:
        sowings: The sowings.
        mats: The mats.

    Raises:
        BadInput: Two of one name; a mat without a slot, without a set-point, or with more taken than it has; a
            window that ends before it begins, or doesn't hold the wished day; no flats; a stay under a day; a
            weight that isn't above 0; a pin that names no mat, or a mat and no mat.
    """
    for kind, names in (("sowings", [s.name for s in sowings]), ("mats", [m.name for m in mats])):
        twice = sorted({name for name in names if names.count(name) > 1})
        if twice:
            raise BadInput(f"Two {kind} are called {twice[0]}.", "Give each its own name.")
    for mat in mats:
        _refuse_if(mat.slots < 1, f"{mat.name} has no slots.", "Give it at least one.")
        _refuse_if(math.isnan(mat.set_c), f"{mat.name} has no set-point.", "Give its thermostat's setting.")
        for day, taken in mat.taken.items():
            what = f"{mat.name} has {taken} of {mat.slots} slots taken on day {day}."
            _refuse_if(not 0 <= taken <= mat.slots, what, "Check the trays that stand there.")
    for sowing in sowings:
        _check_sowing(sowing, {mat.name for mat in mats})


def _check_sowing(sowing: Sowing, mats: set[str]) -> None:
    """Refuse a sowing that can't be."""
    name, pin = sowing.name, sowing.pin
    late = f"The window of {name} ends on day {sowing.latest}, before it begins on day {sowing.earliest}."
    _refuse_if(sowing.latest < sowing.earliest, late, "Swap the two days.")
    outside = f"{name} is wished for on day {sowing.wish}, outside its window."
    _refuse_if(
        not sowing.earliest <= sowing.wish <= sowing.latest, outside, "Widen the window or move the wish."
    )
    _refuse_if(sowing.flats < 1, f"{name} has no flats.", "Give at least one.")
    heavy = math.isfinite(sowing.weight) and sowing.weight > 0.0
    _refuse_if(not heavy, f"A weight of {sowing.weight:g} for {name} can't be.", "Give a number above 0.")
    _refuse_if(
        math.isnan(sowing.warmest_mat_c), f"{name} has no limit of warmth.", "Give a limit, or none at all."
    )
    short = any(not 1 <= stay.first_up <= stay.days for stay in sowing.stays.values())
    _refuse_if(
        short or (sowing.days_cold is not None and sowing.days_cold < 1),
        f"The days to come up of {name} can't be.",
        "Give at least one day, and the first seedlings no later than the end of the stay.",
    )
    if pin is not None:
        nothing = pin.day is None and pin.mat is None and not pin.without
        both = pin.without and pin.mat is not None
        _refuse_if(nothing or both, f"The pin of {name} can't be.", "Pin a day, a mat, or no mat.")
        _refuse_if(
            pin.mat is not None and pin.mat not in mats, f"There is no mat {pin.mat}.", "Pin one there is."
        )


def _refuse_if(wrong: bool, what_happened: str, what_to_do: str) -> None:
    """Refuse what is wrong."""
    if wrong:
        raise BadInput(what_happened, what_to_do)


class Occupied:
    """Slots in use by mat and day, on top of those already taken."""

    def __init__(self, mats: Sequence[Mat]) -> None:
        self.mats = mats
        self.used: dict[tuple[int, int], int] = {}

    def fits(self, option: Option, flats: int) -> bool:
        """Whether so many flats find a slot on every day of the stay; what needs no mat always does."""
        return all(
            self.used.get((option.mat, day), 0) + flats <= self.mats[option.mat].open_slots(day)
            for day in stay_days(option)
        )

    def put(self, option: Option, flats: int) -> None:
        """Take the slots of a stay."""
        for day in stay_days(option):
            self.used[option.mat, day] = self.used.get((option.mat, day), 0) + flats


def stay_days(option: Option) -> range:
    """Days on which a choice holds its slots; none without a mat.

    Args:
        option: The choice.

    Returns:
        From the day of sowing to the day before it comes off, since a tray that comes off frees its slot.
    """
    return range(option.day, option.day + option.stay.days) if option.stay else range(0)


def turns(sowings: Sequence[Sowing], choices: Sequence[Sequence[Option]]) -> list[int]:
    """In which order the greedy gives out slots.

    Args:
        sowings: The sowings.
        choices: The options of each, cheapest first.

    Returns:
        Places in the list: what is pinned to a mat and a day, then what can't go without, then by what is lost
        if there is no slot (days saved · weight · flats), most first; then by wished day and name.
    """

    def turn(i: int) -> tuple[bool, float, int, str]:
        loss = choices[i][-1].cost - choices[i][0].cost
        return len(choices[i]) > 1, -loss, sowings[i].wish, sowings[i].name

    return sorted(range(len(sowings)), key=turn)


def greedy_choice(
    sowings: Sequence[Sowing], mats: Sequence[Mat], choices: Sequence[Sequence[Option]]
) -> list[Option]:
    """Each sowing in turn gets the cheapest choice that still fits.

    Args:
        sowings: The sowings.
        mats: The mats.
        choices: The options of each, cheapest first.

    Returns:
        One option a sowing, in the order of the sowings. The same input gives the same answer.

    Raises:
        BadInput: Pins that want more slots on a mat than there are.
    """
    occupied, chosen = Occupied(mats), dict[int, Option]()
    for i in turns(sowings, choices):
        fitting = (option for option in choices[i] if occupied.fits(option, sowings[i].flats))
        best = next(fitting, None)
        if best is None:
            raise BadInput(
                f"{sowings[i].name} is pinned to a mat that is full on those days.", "Move one of the pins."
            )
        occupied.put(best, sowings[i].flats)
        chosen[i] = best
    return [chosen[i] for i in range(len(sowings))]
