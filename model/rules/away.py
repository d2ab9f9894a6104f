"""What an absence asks for: nights on which trays come in, windows that end meanwhile, sowings to be moved."""

from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from model.errors import BadInput
from model.rules.tonight import FEW_CHANCE, NightCase
from model.rules.verdict import Due, Task, Window

MOST_DAYS = 30
"""Longest absence that is laid out [d]. Ours: further on no forecast of roots or nights tells a helper anything."""
TAKES_ROOM = frozenset({Task.OFF_MAT, Task.POT_UP, Task.HARDEN, Task.SET_OUT, Task.CUT, Task.PAST})
"""What can't wait until somebody is back: after these windows plants stretch, circle or grow over."""


class AwayNight(StrEnum):
    """What a helper is told about a tray outside and a night."""

    BRING_IN = "bring in"
    CHECK = "check"
    FINE = "fine"
    UNKNOWN = "no forecast"


@dataclass(frozen=True, slots=True)
class Absence:
    """From the evening of one day until the day of coming back."""

    leaves: date
    back: date

    def __post_init__(self) -> None:
        if self.back <= self.leaves:
            raise BadInput(
                "You'd be back before you leave.", "Give the day you leave first, then the day back."
            )
        if (self.back - self.leaves).days > MOST_DAYS:
            raise BadInput(
                f"{(self.back - self.leaves).days} days are too many for one sheet.",
                f"Give at most {MOST_DAYS} days, and print the next sheet then.",
            )

    @property
    def days(self) -> tuple[date, ...]:
        """Days of the sheet: those after leaving, the day of coming back among them."""
        return tuple(self.leaves + timedelta(days=n + 1) for n in range((self.back - self.leaves).days))

    @property
    def nights(self) -> tuple[date, ...]:
        """Nights by the day on whose evening they begin, the one of leaving among them."""
        return (self.leaves, *self.days[:-1])

    def holds(self, day: date | None) -> bool:
        """Whether nobody but the helper is there on a day."""
        return day is not None and self.leaves < day < self.back


@dataclass(frozen=True, slots=True)
class Move:
    """Where a sowing that falls into an absence may go instead."""

    earlier: date | None
    """The last day before leaving, where its window has begun by then."""
    later: date | None
    """The day of coming back, where its window is still open then."""


def away_night(case: NightCase) -> AwayNight:
    """Bring in what the forecast has under its line; where it may yet fall under it, look again that afternoon.

    No cover is counted on: on a clear night it may give nothing, and a helper isn't asked to judge that.
    """
    if case.low_c is None or case.chance is None:
        return AwayNight.UNKNOWN
    if case.low_c < case.line_c:
        return AwayNight.BRING_IN
    return AwayNight.CHECK if case.chance >= FEW_CHANCE else AwayNight.FINE


def move_of(sow: Window, pinned: date | None, away: Absence) -> Move | None:
    """Where a planned sowing goes that falls into an absence; None where it doesn't fall into it.

    It falls into it where its pinned day does, else where its window begins or ends meanwhile: one that is open
    before and after can be sown on either side without being told.
    """
    inside = away.holds(pinned) if pinned else away.holds(sow.start) or away.holds(sow.end)
    if not inside:
        return None
    return Move(
        earlier=away.leaves if sow.start <= away.leaves else None,
        later=away.back if sow.end is None or sow.end >= away.back else None,
    )


def ends_meanwhile(due: Due, away: Absence) -> bool:
    """Whether something takes the last of its room before anybody is back."""
    return due.task in TAKES_ROOM and (
        due.task is Task.PAST or (due.window.end is not None and due.window.end <= away.back)
    )
