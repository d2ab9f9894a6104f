"""The ways through a cold spell for one sowing: what each takes and how many days it buys."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

from model.ahead import NightTold
from model.crops.lines import lines_of
from model.days import say_day
from model.facts import Container, PlaceKind
from model.rules.cold import CORN, Cost, Option, Way, cooler, days_bought, worst_night
from model.rules.course import Change, Plants, growth_of
from model.rules.due import Case
from model.rules.grounds import Grounds
from model.science.frost import Cover
from model.units import show_temperature

FREEZE_C = 0.0
TOMORROW = 1
"""Days from today on which it is potted up: what is known of its roots today is known of the old container [d]."""
NEARLY, HARDLY = 0.95, 0.05
"""Chances from which a night is told as nearly certain, and as hardly likely [-]. Ours."""
IN_TEN = 10
COOL = "The coolest place in light whose usual night isn't cold for this crop."
NO_DARK = "Never a dark barn or trailer: Ontario, storage of vegetable plug transplants."
NIGHTS_IN = "Raised off the ground, out of the wind; brought in on every frost night."


Bought = Callable[[Change], int | None]
"""Days that a change buys [d]."""


@dataclass(frozen=True, slots=True)
class Yard:
    """What is in hand, and the nights ahead."""

    pots: float | None
    mix_l: float | None
    free: int
    """Free slots at the place where the tray stands."""
    nights: Sequence[NightTold]


def ways(
    at: Case,
    plants: Plants | None,
    on: Grounds,
    pot: Container | None,
    cost: Cost | None,
    resow: date | None,
    yard: Yard,
) -> tuple[Option, ...]:
    """Every way in the order in which they are thought of."""
    growth = growth_of(on.outlooks.get(at.sowing.id))[1]

    def bought(change: Change) -> int | None:
        # What limits sweet corn is its days in the plug, and those run on wherever it stands.
        if plants is None or at.crop.key == CORN:
            return None
        return days_bought(plants, on, growth, change)

    cool = cooler(at.place, on.places.values(), at.crop)
    yards = [place for place in on.places.values() if place.kind is PlaceKind.HARDENING]
    outside = min(yards, key=lambda place: place.walk, default=None)
    return (
        Option(Way.COOLER, cool.name, bought(Change(place_id=cool.id)), (COOL,))
        if cool
        else Option(Way.COOLER, "no cooler place in light that isn't too cold", None),
        _outside(at, outside.id if outside else None, outside.name if outside else "", bought),
        _pot_up(at, pot, cost, yard, bought),
        _share(at, on, yard.nights),
        Option(
            Way.RESOW,
            f"last useful day {say_day(resow)}"
            if resow
            else "no last day of setting out on record; A plans one",
            None,
            ("The last day of setting out less the longer of the published weeks.",),
        ),
    )


def _outside(at: Case, place_id: int | None, name: str, bought: Bought) -> Option:
    if place_id is None:
        return Option(Way.OUTSIDE, "no hardening area on record; P adds one", None, (NO_DARK,))
    if at.tray.place_id == place_id:
        return Option(Way.OUTSIDE, f"stands on {name}; frost nights in", None, (NIGHTS_IN, NO_DARK))
    days = bought(Change(place_id=place_id))
    return Option(Way.OUTSIDE, f"{name}; frost nights in", days, (NIGHTS_IN, NO_DARK))


def _pot_up(at: Case, pot: Container | None, cost: Cost | None, yard: Yard, bought: Bought) -> Option:
    if pot is None or cost is None:
        return Option(Way.POT_UP, "no: it bears one move only, into the ground", None)
    slots = f"about {cost.slots} slots"
    text = f"{cost.pots} x {pot.name}, about {cost.mix_l:.0f} L mix, {slots}"
    why = (
        f"In hand: {_count(yard.pots, 'pots')}, {_count(yard.mix_l, 'L of mix')}; free slots here: {yard.free}.",
        f"{pot.cells} pots to a slot; settling is counted, and the plugs bring their own mix.",
        "Not to rescue a plug whose roots circle already.",
    )
    return Option(Way.POT_UP, text, bought(Change(container_id=pot.id, wait_days=TOMORROW)), why)


def _count(amount: float | None, what: str) -> str:
    return f"{what} not counted" if amount is None else f"{amount:.0f} {what}"


def _share(at: Case, on: Grounds, nights: Sequence[NightTold]) -> Option:
    line = lines_of(at.crop.key).setout_night.celsius
    told = []
    for degrees in (line, FREEZE_C):
        worst = worst_night(nights, degrees, Cover.MEDIUM)
        if worst is not None:
            told.append((degrees, *worst))
    if not told:
        return Option(Way.SHARE, "no forecast of the nights; N takes one", None)
    degrees, _night, chance = told[0]
    text = f"a night under {show_temperature(degrees, on.scale)}: {chance_words(chance)}"
    why = tuple(
        f"Under {show_temperature(degrees, on.scale)}, worst on {say_day(night.night)}: {chance_words(chance)}."
        for degrees, night, chance in told
    )
    return Option(
        Way.SHARE, text, None, (*why, "Medium fabric; it helps little on a clear, still night or in wind.")
    )


def chance_words(chance: float) -> str:
    """A chance in words that don't pretend to be finer than it is."""
    if chance >= NEARLY:
        return "nearly certain"
    if chance <= HARDLY:
        return "under 1 in 20"
    return f"about {max(1, round(chance * IN_TEN))} in 10"
