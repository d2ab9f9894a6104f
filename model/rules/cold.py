"""A cold spell: who runs out of room first, and what each way of holding costs and buys. Never a figure of yield."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import IntEnum, StrEnum
from math import ceil, inf

from model.ahead import NightTold
from model.facts import Bottom, Container, ContainerKind, Crop, Place, PlaceKind
from model.rules.course import Change, Plants
from model.rules.gate import Gate, GateWord
from model.rules.grounds import Grounds
from model.science.frost import Cover, chance_of_night, cover_credit
from model.science.quantities import SETTLING

FOUR_INCH_ML = 473.0
"""What a four-inch pot is sold as [mL]. From memory."""
SMALL_CELL_ML = 25.0
"""A cell up to this volume holds its plant for the shortest time [mL]. Common practice, no source."""
CORN_DAYS = 20
"""Days that sweet corn may spend in the plug [d]. HortScience 40(4): 999 (University of Vermont)."""
CORN, CUCURBITS = "sweet_corn", "Cucurbitaceae"
LOOK_AGAIN_DAYS = 5
"""Days of a hold after which it is told of [d]. Ours."""
FEED_DAYS = (5, 7)
"""Days held from which pale plants are fed [d]. Ontario, storage of vegetable plug transplants."""
LEAST_COOL_C = {"tender": 10.0, "half-hardy": 2.0, "hardy": 0.0}
"""Usual night of a place below which a crop isn't moved there to hold: cool, not cold [°C]. Common practice, no source."""
ML_A_LITRE = 1000.0
"""Millilitres of a litre [mL/L]."""
DAYS_A_WEEK = 7
"""Days of a week [d]."""
TOLD_DAYS = 7
"""Nights ahead of which a forecast has a spread [d]."""


class Tender(IntEnum):
    """Which crops bear holding least, those first."""

    CORN = 0
    CUCURBIT = 1
    SMALL_CELL = 2
    OTHER = 3


class Way(StrEnum):
    """A way through the spell, in the order in which they are thought of."""

    COOLER = "cooler place"
    OUTSIDE = "outside in light"
    POT_UP = "pot up"
    SHARE = "a share under cover"
    RESOW = "resow as insurance"


@dataclass(frozen=True, slots=True)
class Cost:
    """What potting up takes."""

    pots: int
    mix_l: float
    """Mix around the plugs, settling counted [L]."""
    slots: int
    """Slots that the pots take."""


@dataclass(frozen=True, slots=True)
class Option:
    """One way, and what it buys."""

    way: Way
    text: str
    """At most 60 characters or so: what it is, or why it can't be."""
    days: int | None
    """Days that it buys until roots circle, about [d]; None where that isn't known or doesn't apply."""
    why: tuple[str, ...] = ()
    """At most four lines."""


@dataclass(frozen=True, slots=True)
class Held:
    """What ranks a sowing in a cold spell."""

    gate: Gate
    tender: Tender
    room_days: float
    """Days until it can wait no longer where it stands [d]."""
    slots: int
    """Slots that a rescue takes; one for the tray itself where it can't be potted up."""
    today: date

    @property
    def outlasts(self) -> bool:
        """Whether it can wait until the nights are mild, as far as they are told; where they aren't, nobody can."""
        mild = self.gate.mild_from
        return mild is not None and self.room_days > (mild - self.today).days


def tender_of(crop: Crop, container: Container) -> Tender:
    """How little holding a crop bears in its container."""
    if crop.key == CORN:
        return Tender.CORN
    if crop.family == CUCURBITS:
        return Tender.CUCURBIT
    small = container.kind is not ContainerKind.OPEN_FLAT and container.volume_ml <= SMALL_CELL_ML
    return Tender.SMALL_CELL if small else Tender.OTHER


def one_move_only(crop: Crop) -> bool:
    """Whether roots bear no potting up: sweet corn and cucurbits go once, into the ground. Common practice."""
    return crop.key == CORN or crop.family == CUCURBITS


def room_left(crop: Crop, sown_on: date, bound: date | None, today: date) -> float:
    """Days until plants can wait no longer: until roots circle, for sweet corn its days in the plug too [d]."""
    ends = [bound] if bound is not None else []
    if crop.key == CORN:
        ends.append(sown_on + timedelta(days=CORN_DAYS))
    return max(0, (min(ends) - today).days) if ends else inf


def rank(held: Held) -> tuple[bool, bool, Tender, float, int]:
    """What sorts a cold spell: GO first, then those that can't outwait it, by how little they bear, days, and cost.

    How long it stays too cold is known only as far as nights are told: nobody is taken to outwait a spell whose end
    isn't known, unless they have days to spare beyond the last night that is told.
    """
    return held.gate.word is not GateWord.GO, held.outlasts, held.tender, held.room_days, held.slots


def pot_for(containers: Iterable[Container], wanted: int | None) -> Container | None:
    """The pot of the plan, else the one that is nearest to a four-inch pot; None where there are no pots."""
    pots = [box for box in containers if box.kind is ContainerKind.POT and box.bottom is Bottom.SOLID]
    planned = next((box for box in pots if box.id == wanted), None)
    return planned or min(pots, key=lambda box: abs(box.volume_ml - FOUR_INCH_ML), default=None)


def cost_of_potting_up(plants: int, cell_ml: float, pot: Container) -> Cost:
    """Pots, one a plant; mix around the plugs that go into them [L]; slots."""
    around = max(0.0, pot.volume_ml - cell_ml) * (1.0 + SETTLING.value)
    return Cost(plants, plants * around / ML_A_LITRE, ceil(plants / pot.cells))


def cooler(here: Place, places: Iterable[Place], crop: Crop) -> Place | None:
    """The coolest place in light that is cooler than here and not cold for the crop; None where there is none."""
    least = LEAST_COOL_C.get(crop.frost_class, LEAST_COOL_C["tender"])
    kinds = (PlaceKind.LIT_SHELF, PlaceKind.SLATTED_BENCH, PlaceKind.COLD_FRAME)
    found = [
        place
        for place in places
        if place.kind in kinds and place.low_c >= least and _mean(place) < _mean(here)
    ]
    return min(found, key=_mean, default=None)


def _mean(place: Place) -> float:
    return (place.low_c + place.high_c) / 2


def days_bought(plants: Plants, on: Grounds, growth: float, change: Change) -> int | None:
    """Days by which roots circle later after a change [d]; None where they never do, with or without it."""
    changed, there = plants.changed(change, on)
    before, after = plants.dates(on, growth).bound, changed.dates(there, growth).bound
    if before is None or after is None:
        return None
    return max(0, (after - max(before, plants.today)).days)


def worst_night(
    nights: Sequence[NightTold], line_c: float, cover: Cover | None
) -> tuple[NightTold, float] | None:
    """The night that most likely falls under a line, and that chance; of nights together nothing is said."""
    credit = cover_credit(cover) if cover is not None else 0.0
    chances = [
        (night, chance_of_night(night.low_c, line_c - credit, float(ahead)))
        for ahead, night in enumerate(nights[: TOLD_DAYS + 1])
    ]
    return max(chances, key=lambda found: found[1], default=None)


def last_resow(until: date | None, crop: Crop) -> date | None:
    """Last day on which a new sowing is ready by a day, at the longer of the published weeks; None where not known."""
    if until is None or crop.weeks is None:
        return None
    return until - timedelta(days=round(crop.weeks[1] * DAYS_A_WEEK))
