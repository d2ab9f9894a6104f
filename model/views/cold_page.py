"""What the cold spell page tells, frozen."""

from dataclasses import dataclass
from datetime import date

from model.rules.cold import Cost, Option
from model.rules.gate import GateWord
from model.units import Temperature


@dataclass(frozen=True, slots=True)
class ColdLine:
    """One sowing that is ready to set out, and what can be done with it while it can't be."""

    tray_id: int
    sowing_id: int
    number: int
    crop: str
    variety: str
    container: str
    place: str
    plants: int
    word: GateWord
    missing: tuple[str, ...]
    room_days: float
    """Days until it can wait no longer where it stands [d]; not known where nobody knows its growth."""
    held_days: int
    """Days since its plug held together [d]; 0 where it is GO."""
    cost: Cost | None
    """Of potting it up; None where it bears one move only, or no pot is on record."""
    ways: tuple[Option, ...]
    resow_until: date | None


@dataclass(frozen=True, slots=True)
class ColdPage:
    """A cold spell: GO first, then those that run out of room."""

    on: date
    lines: tuple[ColdLine, ...]
    lows_c: tuple[float, ...]
    """Of the nights that the forecast tells of, where the plants stand, tonight first [°C]."""
    soil_c: tuple[float, ...]
    """Of the last three mornings [°C]."""
    slots_freed: int
    pots_in_hand: float | None
    mix_in_hand_l: float | None
    scale: Temperature
