"""A bleach bath: from the strength on the label to the strength of the bath, and how long it keeps.

The label decides strength and time; nothing here overrides it.

References:
    1. University of Massachusetts Extension, cleaning and disinfecting the greenhouse, as the University of Delaware
       and Kent County quote it: one part of household bleach in ten, for 30 minutes; half its strength in two hours.
"""

import math
from dataclasses import dataclass

from model.errors import BadInput
from model.science.source import Sourced

HALF_LIFE_H = Sourced(
    2.0, "h", "a bath loses half its strength in about two hours: UMass Extension", "published, opened"
)
STRONGEST_LABEL = Sourced(15.0, "%", "ours: more is no household bleach", "assumed")


@dataclass(frozen=True, slots=True)
class Bath:
    """What goes into a bath."""

    bleach_l: float
    """Bleach from the bottle [L]."""
    water_l: float
    """Water, which goes in first [L]."""
    parts: float
    """Parts of water to one part of bleach [-]."""


def parts_of_water(label_percent: float, bath_percent: float) -> float:
    """Parts of water to one part of bleach [-].

    Args:
        label_percent: Sodium hypochlorite on the label, c0 [%].
        bath_percent: Wanted in the bath, c [%].

    Returns:
        c0/c - 1 [-].

    Raises:
        BadInput: A strength of nothing, a label beyond household bleach, or a bath stronger than the bottle.

    Notes:
        By volume, the bleach taken to be as dense as water.

    Examples:
        >>> round(parts_of_water(5.25, 0.525), 1)
        9.0
    """
    if not 0.0 < label_percent <= STRONGEST_LABEL.value:
        raise BadInput(
            f"A label of {label_percent:g} % isn't household bleach.",
            f"Read it again: it is above 0 and at most {STRONGEST_LABEL.value:g} %.",
        )
    if not 0.0 < bath_percent <= label_percent:
        raise BadInput(
            f"A bath of {bath_percent:g} % can't be made of {label_percent:g} % bleach.",
            "Give a strength above 0 and no more than the bottle's, as the label of the bleach has it.",
        )
    return label_percent / bath_percent - 1.0


def bath(label_percent: float, bath_percent: float, litres: float) -> Bath:
    """Bleach and water for a bath.

    Args:
        label_percent: Sodium hypochlorite on the label [%].
        bath_percent: Wanted in the bath [%].
        litres: Bath wanted, above 0 [L].

    Returns:
        Bleach = litres/(parts + 1), the rest water [L].

    Raises:
        BadInput: As `parts_of_water`; a bath of nothing.
    """
    parts = parts_of_water(label_percent, bath_percent)
    if not litres > 0.0:
        raise BadInput(f"A bath of {litres:g} L can't be.", "Give the litres that cover the trays.")
    bleach = litres / (parts + 1.0)
    return Bath(bleach, litres - bleach, parts)


def strength_after(bath_percent: float, hours: float) -> float:
    """Strength of a bath some hours after it was made [%].

    Args:
        bath_percent: Strength when fresh [%].
        hours: Time since, at least 0 [h].

    Returns:
        c · ½^(t/2 h) [%].

    Raises:
        BadInput: A time before it was made.

    References:
        1. UMass Extension: see the module. Dirt uses it up much sooner.
    """
    if hours < 0.0:
        raise BadInput(f"{hours:g} h ago there was no bath.", "Give the hours since it was made.")
    return bath_percent * math.pow(0.5, hours / HALF_LIFE_H.value)
