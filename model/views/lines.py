"""The frozen answers that the screens draw."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from model.facts import PlaceKind
from model.labels import Alias
from model.rules.verdict import CALL, Due, Fill, Risk, Stage, Thirst, Today, WaterNote


@dataclass(frozen=True, slots=True)
class TrayLine:
    """One tray as one line of the round, with everything the line and its why need."""

    tray_id: int
    number: int
    letter: str
    place_id: int
    place: str
    bench_order: int
    """Order of feet within the place: the order in which trays came to stand there."""
    crop: str
    variety: str
    container: str
    sown_on: date
    age_days: int
    """Days since sowing (of the oldest sowing in the tray)."""
    here_days: int
    """Days in this container."""
    plants: int
    stage: Stage
    fill: Fill | None
    instead: str
    """What stands in place of the bar, at most 13 characters: "sown, day 4", "salad, cut 1"; empty for a bar."""
    ready: tuple[date, date | None] | None
    risk: Risk
    due: tuple[Due, ...]
    due_words: str
    """What is due, as a window in words, at most 18 characters: "set out 9-16 Apr"."""
    due_task: str
    """The same without the window."""
    due_now: bool
    water: WaterNote
    water_words: str
    """At most 6 characters: "today", "1 d", "left", "never"."""
    seen: Today
    flags: tuple[str, ...]
    rank: int
    room_days: float
    """Days until this can do harm if nothing is done; smallest first is the rank."""
    why_now: str
    """At most eight words."""
    why: tuple[str, ...]
    """At most four lines."""
    value_of_look: float = 0.0
    """How much a look at its roots today lowers the chance of acting wrongly [-]."""
    least_night_c: float | None = None
    """Night below which plants that are up suffer, where they are tender [°C]."""
    aliases: tuple[Alias, ...] = ()
    """Numbers that its label carried before."""
    thirst: Thirst | None = None
    """What is reckoned of its water, where that was asked for."""

    @property
    def called(self) -> bool:
        """Whether somebody called the grower about it and nobody has answered."""
        return CALL in self.flags

    @property
    def label(self) -> str:
        """Number and check letter, as written on the label."""
        return f"{self.number}{self.letter}"


@dataclass(frozen=True, slots=True)
class PlaceLine:
    """One place on the footpath."""

    place_id: int
    name: str
    kind: PlaceKind
    slots: int
    trays: int
    unseen: int


@dataclass(frozen=True, slots=True)
class RoundView:
    """The whole round of one day: places in walking order, every standing tray once."""

    on: date
    farm: str
    places: tuple[PlaceLine, ...]
    lines: tuple[TrayLine, ...]
    """In rank order: worst first."""
    resume_place_id: int | None
    """Where the round was left off today; the first place when nothing was done yet."""
    closed: str
    """"" while open, else "complete" or "partial"."""
    clashes: int = 0
    """How much is to be decided between two copies that were merged."""
    last_entry: int = 0
    """The newest entry on record when this was read."""

    @property
    def unseen(self) -> int:
        return sum(line.seen is Today.UNSEEN for line in self.lines)


def as_on_paper(lines: Iterable[TrayLine]) -> tuple[TrayLine, ...]:
    """The trays of a place as the sheet lists them, and the round while it is entered from the sheet: by number.

    A number is on the label and is found at once; in which order trays stand nobody has told the program.
    """
    return tuple(sorted(lines, key=lambda line: line.number))
