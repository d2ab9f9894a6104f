"""The fill of one tray drawn over time: what the curve on the tray screen is told."""

from dataclasses import dataclass
from typing import Final

from model.science.root_fill import BOUND_FILL, FULL_FILL, HOLDS_FILL

READY_MARK: Final = HOLDS_FILL.value
"""Fill [fraction] from which the plug holds together: the first mark on every bar and curve."""
FULL_MARK: Final = FULL_FILL.value
"""Fill [fraction] from which the container crowds the plants: the second mark."""
BOUND_MARK: Final = BOUND_FILL.value
"""Fill [fraction] from which roots circle: the third mark."""


@dataclass(frozen=True, slots=True)
class CurveData:
    """Fill over days since sowing, with its 80 % band, the looks that bent it, and the ready window.

    `low`, `expected` and `high` are fractions, one for each of `days`; `days` rises.
    """

    days: tuple[int, ...]
    low: tuple[float, ...]
    expected: tuple[float, ...]
    high: tuple[float, ...]
    today: int
    """Days since sowing, today."""
    window: tuple[int, int | None] | None
    """First and last day of the ready window in days since sowing; an end of None stays open."""
    looks: tuple[tuple[int, float, int], ...]
    """Day, fill that the look stands for, and the score that was given."""
    beside: tuple[float, ...] = ()
    """Another course to compare with, one fill for each of `days`; empty where there is none."""
    beside_name: str = ""

    def __post_init__(self) -> None:
        if not len(self.days) == len(self.low) == len(self.expected) == len(self.high):
            raise ValueError("a curve needs one low, expected and high fill for each day")
