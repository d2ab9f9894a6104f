"""Facts about what is to come and what is in hand: targets, decisions of the rota, stock, freezes. Frozen."""

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from model.units import Temperature, in_celsius


class Purpose(StrEnum):
    """What plants are wanted for."""

    SET_OUT = "set out"
    CLASS = "class"
    SALE = "sale"
    CUT = "cut"


class StockKind(StrEnum):
    """What is counted in the store."""

    MIX = "mix"
    CONTAINER = "container"
    SEED = "seed"


class VerdictWord(StrEnum):
    """What the grower means to do with a crop next season."""

    KEEP = "keep"
    CHANGE = "change"
    DROP = "drop"


class FreezeFrom(StrEnum):
    """Where the chance of a later freeze comes from."""

    RECORD = "daily record"
    PUBLISHED = "published dates"


@dataclass(frozen=True, slots=True)
class Target:
    """Plants of one variety wanted from one day to another."""

    id: int
    crop: str
    variety: str
    lot: str
    plants: int
    """Good plants wanted; 0 where the target was dropped."""
    purpose: Purpose
    first_day: date
    last_day: date
    """The window in which they are wanted; both the same for a class or a sale."""
    stage: str
    """The stage a class wants them at, e.g. "first true leaf"; empty where they are wanted ready."""
    container_id: int
    pot_id: int | None
    """The second container, where they are potted up before they go."""
    place_id: int | None
    """The place where they grow; None while nobody has said."""
    seeds_per_cell: int | None
    """None while nobody has decided."""
    until: date | None
    """The last day on which setting out is still worth it; None while nobody has said."""
    bed: str
    """The place of use, in words."""
    replaces: int | None
    """The target that this one is the newer form of."""


@dataclass(frozen=True, slots=True)
class PinnedSowing:
    """What the grower decided by hand about the sowing of a target."""

    target_id: int
    day: date | None
    place_id: int | None
    """The mat; None leaves it open."""
    without: bool
    """Without a mat."""
    reason: str


@dataclass(frozen=True, slots=True)
class Stocked:
    """What was counted in the store on a day."""

    what: StockKind
    container_id: int | None
    lot_id: int | None
    day: date
    amount: float
    """Mix [L], clean containers (trays, flats or pots) [-], seeds [-]."""
    entry_id: int
    """The entry that counted it: what was entered later was used since."""


@dataclass(frozen=True, slots=True)
class Use:
    """What one sowing in one tray took, by sowing or by potting up."""

    entry_id: int
    day: date
    container_id: int | None
    """The tray it filled; None where it went into a tray that was filled already."""
    lot_id: int | None
    cells: int
    """Cells sown, or pots potted up [-]."""
    seeds: int
    """Seeds sown; 0 where plants were potted up [seeds]."""


@dataclass(frozen=True, slots=True)
class Freezes:
    """Last freezes of spring at a station, as a record or a published table has them."""

    id: int
    station: str
    at_c: float
    """A low at or below this is a freeze [°C]."""
    source: FreezeFrom
    half_on: str
    """Day after which a freeze comes in half of years, as MM-DD; empty for a record."""
    tenth_on: str
    """Day after which it comes in one year of ten."""
    years: str
    """Of a record, each year and its last freeze: "1991:112 1992:-", days of the year; - where there was none."""


@dataclass(frozen=True, slots=True)
class Promise:
    """Plants promised to a role or an order number."""

    id: int
    to_whom: str
    """A role or an order number, never a person's name."""
    crop: str
    variety: str
    """Empty where any variety of the crop will do."""
    plants: int
    """0 where the promise was dropped."""
    due_on: date
    container_id: int | None
    """What they are to stand in; None where that doesn't matter."""
    note: str
    replaces: int | None
    """The promise that this one is the newer form of."""


BETWEEN = " / "
"""What stands between the two lines of a verdict: a cell of a plain file holds one line."""


@dataclass(frozen=True, slots=True)
class SeasonVerdict:
    """What the grower made of a crop at the end of a season."""

    season: int
    crop: str
    container_id: int | None
    """None: in whatever it grew."""
    word: VerdictWord
    lines: str
    """Two lines of the grower's own, in one."""


@dataclass(frozen=True, slots=True)
class NightTold:
    """What the forecast tells of one night."""

    night: date
    """The day on whose evening it begins."""
    low_c: float
    issued_at: datetime
    age_h: float
    """How old it is now [h]."""


@dataclass(frozen=True, slots=True)
class CautionSeen:
    """A caution that was shown, and who saw it."""

    key: str
    season: int
    seen_on: date
    who: str


@dataclass(frozen=True, slots=True)
class Line:
    """A temperature that plants want, as it was published: in °C it would round, and 60 °F miss 60 °F."""

    degrees: float
    scale: Temperature
    quality: str
    by: str
    """Who gives it, in a word or two."""
    source: str

    @property
    def celsius(self) -> float:
        """The same, to be held against readings [°C]."""
        return in_celsius(self.degrees, self.scale)


@dataclass(frozen=True, slots=True)
class CropLines:
    """Lines of one crop."""

    soil: tuple[Line, ...]
    """Soil at planting depth, one a service, the lowest first; empty where no source gives one."""
    setout_night: Line
    """Lowest night that hardened plants stand in the ground."""
    night_out: Line
    """Lowest night on which plants that still harden stay outside."""
    tender: bool
    """Whether they also want the nights to grow warmer when they go out."""

    @property
    def soil_line(self) -> Line | None:
        """The line that counts: the highest, since soil that is too cold costs more than some days of waiting."""
        return self.soil[-1] if self.soil else None
