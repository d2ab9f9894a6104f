"""What is told of a season: the facts of a page, for one crop in one kind of container."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from model.ahead import Target
from model.rules.verdict import Window


class Met(StrEnum):
    """How a window of days went."""

    IN = "met"
    EARLY = "early"
    LATE = "late"
    NEVER = "never"
    OPEN = "still open"


MISSED = frozenset({Met.LATE, Met.NEVER})


@dataclass(frozen=True, slots=True)
class Days:
    """Days that something took: the middle, the least and the most, of how many sowings."""

    middle: float
    least: int
    most: int
    count: int


@dataclass(frozen=True, slots=True)
class Timed:
    """How long one variety took at one place."""

    variety: str
    place: str
    potted: bool
    """Counted from potting up, not from sowing."""
    days: Days


@dataclass(frozen=True, slots=True)
class Stood:
    """How much of one lot came up, by the highest count of each sowing."""

    variety: str
    lot: str
    cells: int
    """Cells of the sowings that were counted."""
    up: int
    uncounted: int
    """Sowings that nobody counted."""


@dataclass(frozen=True, slots=True)
class Aimed:
    """A line of the plan and what came of it."""

    target: Target
    sow: Window
    trays: int
    """Trays that it takes."""
    sown: tuple[date, ...]
    """The day of each of its sowings; the first decides how its window went."""
    sowing: Met
    left: tuple[tuple[date, int], ...]
    """Plants that left for it, by day."""
    leaving: Met
    ready_on: date | None
    """The first look that found its roots to hold."""
    lost: int

    @property
    def closed(self) -> tuple[Met, ...]:
        """Its windows that are over: sowing, and leaving."""
        return tuple(met for met in (self.sowing, self.leaving) if met is not Met.OPEN)


@dataclass(frozen=True, slots=True)
class OnMat:
    """How the mat was used."""

    trays: int
    days: int
    over: int
    """Tray-days that stood there after they were due off it."""
    off_in_time: int
    known: int
    """Trays of which it is known when they were up, so that it can be told whether they came off in time."""


@dataclass(frozen=True, slots=True)
class Gone:
    """Plants that went out of one tray on one day."""

    day: date
    number: int
    variety: str
    count: int
    against: str
    """The reason that was given for going against the gate; "" where it wasn't."""
    lost: int
    """Losses of the same sowing in the fortnight after."""
    notes: tuple[str, ...]
    """What was noted of the tray in that fortnight."""
    over: bool = True
    """Whether that fortnight is over."""


@dataclass(frozen=True, slots=True)
class Page:
    """One crop in one kind of container, in one season."""

    crop: str
    container_id: int
    sowings: int
    trays: int
    cells: int
    """Cells sown here."""
    potted: int
    """Trays or stacks of pots that were potted up into this container."""
    plants: int
    """Plants that were potted up into it."""
    standing: int
    up: tuple[Timed, ...]
    up_all: Days | None
    ready: tuple[Timed, ...]
    ready_all: Days | None
    """Of what was sown here; where all was potted up into it, from potting up."""
    stood: tuple[Stood, ...]
    losses: tuple[tuple[str, int], ...]
    """Plants or cells by cause, the most first."""
    aims: tuple[Aimed, ...]
    mat: OnMat
    gone: tuple[Gone, ...]
    for_nobody: tuple[int, ...]
    """Numbers of trays sown for no line of the plan of which nothing ever left and nothing stands."""

    @property
    def lost(self) -> int:
        return sum(count for _, count in self.losses)

    @property
    def missed(self) -> int:
        """Windows that were missed."""
        return sum(met in MISSED for aim in self.aims for met in aim.closed)

    @property
    def closed(self) -> int:
        """Windows that are over."""
        return sum(len(aim.closed) for aim in self.aims)
