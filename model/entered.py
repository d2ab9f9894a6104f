"""What was entered before any act was folded over it: trays and sowings, and the entries of two copies."""

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from model.facts import Treated


@dataclass(frozen=True, slots=True)
class SowingBirth:
    """A sowing as it was first entered."""

    id: int
    part: int
    crop: str
    variety: str
    lot: str
    treated: Treated
    cells: int
    seeds_per_cell: int
    sown_on: date
    from_sowing_id: int | None = None


@dataclass(frozen=True, slots=True)
class TrayBirth:
    """A tray as it was first entered."""

    id: int
    number: int
    made_on: date
    container_id: int
    place_id: int
    parent_id: int | None
    children: tuple[int, ...]
    sowings: tuple[SowingBirth, ...]


STRUCK = "struck"
"""Field of a correction that takes an act out of the reckoning; the act itself stays on record."""

HOURS = "hours"
"""Field of a spraying: the hours for which its label lets nobody handle the plants, in `new`."""

MERGE = "the merge"
"""Who makes the entries that tell of a clash: the program, no person."""


class ClashKind(StrEnum):
    """In what two copies of a record can be at odds."""

    MOVED = "moved twice"
    MORE = "more than there was"
    CORRECTED = "corrected twice"
    GONE = "gone, and gone on with"
    BACK = "taken back, and gone on with"
    NUMBER = "same number"
    GIVEN = "handed over twice"
    NIGHT = "two answers for a night"
    TWICE = "entered twice"


@dataclass(frozen=True, slots=True)
class Written:
    """An entry of one copy, by the id it has in every copy, and when it was done."""

    uid: str
    at: datetime
