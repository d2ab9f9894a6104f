"""A tray and its sowings as they were first entered, before any act was folded over them."""

from dataclasses import dataclass
from datetime import date

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
