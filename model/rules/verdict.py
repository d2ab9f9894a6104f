"""What the rules answer with: a verdict is never bare, it carries its reasons."""

from dataclasses import dataclass
from datetime import date
from enum import IntEnum, StrEnum

from model.text import several

SICK = "sick"
"""Flag of a tray that looked sick lately."""
HANDS_OFF = "hands off"
"""Flag of a tray that a label forbids to handle today, or in part of it."""
CALL = "call"
"""Flag of a tray that somebody called the grower about."""


class Stage(StrEnum):
    """Where a sowing is in its life, in the trade's words."""

    SOWN = "sown"
    FIRST_UP = "first up"
    HALF_UP = "half up"
    GROWING = "growing on"
    FILLING = "filling"
    READY = "ready"
    PAST = "past its window"
    HARDENING = "hardening"
    OUT = "out"


class Risk(StrEnum):
    """Root-bound risk band. Never a yield figure."""

    ROOM = "room"
    WATCH = "watch"
    ACT = "act"
    UNKNOWN = "not known"


class Task(StrEnum):
    """What can be due."""

    FIRST_UP = "look for first up"
    HALF_UP = "count half up"
    OFF_MAT = "off the heat mat"
    THIN = "thin"
    LOOK = "look underneath"
    POT_UP = "pot up"
    HARDEN = "start hardening"
    SET_OUT = "set out"
    CUT = "cut"
    RETIRE = "retire"
    PAST = "past window"


class Knows(StrEnum):
    """How a figure is known."""

    DEFAULT = "default"
    YOURS = "yours"
    SEEN = "seen"
    ASSUMED = "assumed"
    RECORD = "record"


class Today(IntEnum):
    """The round's truths about a tray on one day; unseen never looks like fine."""

    UNSEEN = 0
    LOOKED = 1
    LEFT = 2
    WATERED = 3


@dataclass(frozen=True, slots=True)
class Reason:
    """One fact behind a verdict. Text is ready to read; figure and unit are there to be checked."""

    text: str
    figure: float
    unit: str
    source: str
    knows: Knows


@dataclass(frozen=True, slots=True)
class Fill:
    """Root fill as a fraction of what the container can carry, with its 80 % band."""

    expected: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Window:
    """A window of days; `end` None means it stays open."""

    start: date
    end: date | None


@dataclass(frozen=True, slots=True)
class Due:
    """Something to do, from a day to a day, and why in at most eight words."""

    task: Task
    window: Window
    why: str
    sowing_id: int | None = None
    shut: bool = False
    """Of setting out: whether the gate says WAIT and can tell no day yet; it opens on none then."""

    def open_on(self, day: date) -> bool:
        """Whether the window has begun."""
        return not self.shut and self.window.start <= day


@dataclass(frozen=True, slots=True)
class WaterNote:
    """When the tray was last watered or left dry, by whom, and whether anyone has looked today."""

    last_on: date | None
    by: str
    left_on: date | None
    today: Today
    text: str


class Dries(IntEnum):
    """By when a tray is likely dry, the soonest first."""

    NOW = 0
    NOON = 1
    EVENING = 2
    TOMORROW = 3
    LATER = 4
    UNKNOWN = 5


@dataclass(frozen=True, slots=True)
class Thirst:
    """What is reckoned of a tray's water: a guess that stands beside the record and never in it."""

    easy_water: float | None
    """This morning, of the water between just drained (1) and finger-dry (0); None where it isn't known."""
    low: float | None
    high: float | None
    """With `low`, the band that it lies in with a chance of 0.8."""
    dries: Dries
    dry_on: date | None
    """The day on which it is likely dry; None where that is further off, or not known."""
    word: str
    """At most eight words: "likely dry by noon"."""
    knows: Knows
    tests: int
    """Finger tests that shaped it."""
    source: str

    @property
    def how(self) -> str:
        """How it is known, in words."""
        return several(self.tests, "finger test") if self.tests else self.knows.value


@dataclass(frozen=True, slots=True)
class SecondPass:
    """One place that a second pass of the day may go to."""

    place_id: int
    name: str
    trays: int
    by_noon: int
    """Trays that are likely dry by noon, or are already."""
    by_evening: int
    """Trays that are likely dry by evening, those by noon among them."""
    unknown: int
    """Trays of which it isn't known."""
    tray_ids: tuple[int, ...]
    """Those that are likely dry by evening, the soonest first."""


@dataclass(frozen=True, slots=True)
class SowingVerdict:
    """What the rules make of one sowing."""

    sowing_id: int
    age_days: int
    stage: Stage
    fill: Fill | None
    ready: Window | None
    risk: Risk
    due: tuple[Due, ...]
    flags: tuple[str, ...]
    reasons: tuple[Reason, ...]
    room_days: float
    """Days until this can do harm if nothing is done; smallest first is the rank."""
    why_now: str
    """What takes the room, in at most eight words."""
    value_of_look: float = 0.0
    """How much a look at the roots today lowers the chance of acting wrongly [-]."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """What the rules make of a tray: its sowings' verdicts, and the one with the least room, which leads."""

    tray_id: int
    sowings: tuple[SowingVerdict, ...]
    leading: SowingVerdict
    here_days: int
    """Days in this container."""
    due: tuple[Due, ...]
    flags: tuple[str, ...]
    water: WaterNote
