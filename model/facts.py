"""Facts about places, containers, crops and trays: frozen, and free of storage and screen.

Temperatures are in degrees Celsius, volumes in millilitres, days are calendar dates at the farm.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum

from model.labels import Alias


class PlaceKind(StrEnum):
    """What a place is; the rules ask about heat and hardening."""

    HEAT_MAT = "heat mat"
    LIT_SHELF = "lit shelf"
    SLATTED_BENCH = "bench on slats"
    COLD_FRAME = "cold frame"
    HARDENING = "hardening area"
    CORNER = "holding corner"
    QUARANTINE = "quarantine"


class ContainerKind(StrEnum):
    """What holds the mix."""

    CELL_TRAY = "cell tray"
    OPEN_FLAT = "open flat"
    POT = "pot"


class Bottom(StrEnum):
    """Open cells on slats prune roots by air; a solid bottom doesn't."""

    OPEN = "open"
    SOLID = "solid"


class Treated(StrEnum):
    """Whether a seed lot carries a seed treatment."""

    YES = "yes"
    NO = "no"
    UNKNOWN = "unknown"


class ActKind(StrEnum):
    """What can happen to a tray, in trade words."""

    SOWN = "sown"
    LOOKED = "looked at"
    WATERED = "watered"
    LEFT_DRY = "left dry"
    FIRST_UP = "first up"
    HALF_UP = "half up"
    COUNTED = "counted"
    MOVED = "moved"
    THINNED = "thinned"
    FED = "fed"
    ROOT_LOOK = "root look"
    FINGER = "finger test"
    POTTED_UP = "potted up"
    SET_OUT = "set out"
    CUT = "cut"
    LOST = "lost"
    RESOWN = "resown"
    RETIRED = "retired"
    NOTE = "note"
    CORRECTED = "corrected"
    ROUND_CLOSED = "round closed"
    BROUGHT_IN = "brought in"
    COVERED = "covered"
    STAYED_OUT = "stayed out"
    KEPT_IN = "kept in"
    AGAINST_GATE = "against the gate"
    HANDED_OVER = "handed over"
    SPRAYED = "sprayed"
    LOOKED_SICK = "looked sick"
    CALLED = "called"
    RELABELLED = "relabelled"
    UNCERTAIN = "variety uncertain"


HELPING = "as helper"
"""Text of an act by somebody who stands in for the grower."""


class ReadingKind(StrEnum):
    """What was read, or told by a forecast."""

    AIR = "air"
    SOIL = "soil"
    FORECAST = "forecast"


class LossCause(StrEnum):
    """The short list of causes of loss."""

    NOT_UP = "didn't come up"
    DAMPED_OFF = "damped off"
    DRIED = "dried"
    FROST = "frost"
    COOKED = "cooked"
    EATEN = "eaten"
    DROPPED = "dropped"
    WEAK = "weak"
    MISLABELLED = "mislabelled"
    UNKNOWN = "unknown"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class Place:
    """A place on the round. Low and high are its usual night and day [°C]; on a mat both are the set-point."""

    id: int
    name: str
    kind: PlaceKind
    walk: int
    slots: int
    low_c: float
    high_c: float
    probe: bool = False
    """On a mat: whether the thermostat's probe sits in the mix; without one the set-point isn't the mix's."""
    lamp_hours: float | None = None
    """Hours a day that lamps are on [h]; None where there are none."""
    lamp_gap_mm: float | None = None
    """From the lamps to the leaves [mm]."""
    lamp_umol: float | None = None
    """Light of the lamps at the leaves [µmol/(m² s)], where somebody measured it."""


@dataclass(frozen=True, slots=True)
class Reading:
    """What a thermometer showed, or a forecast told, on a day. What wasn't read is None [°C]."""

    id: int
    what: ReadingKind
    day: date
    place_id: int | None
    """None for a forecast: it holds for the farm."""
    low_c: float | None
    """Soil: the temperature of the soil itself."""
    high_c: float | None
    issued_at: datetime | None
    """When a forecast was issued."""
    who: str
    source: str
    """The file that it came from; empty where somebody typed it."""


@dataclass(frozen=True, slots=True)
class Container:
    """Volume is that of one cell or pot [mL]; of an open flat, the whole flat."""

    id: int
    name: str
    kind: ContainerKind
    cells: int
    volume_ml: float
    bottom: Bottom
    source: str


@dataclass(frozen=True, slots=True)
class Figure:
    """One number from a crop file, with its unit, how well it is known, and where it comes from."""

    value: float
    unit: str
    quality: str
    source: str


@dataclass(frozen=True, slots=True)
class Crop:
    """What is known of a crop before the grower has looked at anything.

    A figure that isn't known is NaN (a number) or None (a range); the rules answer "not known" then.
    """

    key: str
    name: str
    family: str
    emergence_days: tuple[float, ...]
    """Days to emergence at 0, 5, ... 40 °C: inf = none came, NaN = not tested."""
    emergence_from: str
    """In words, e.g. "as cabbage"; empty where the crop itself was tested."""
    emergence_quality: str
    spread: float
    """Standard deviation of ln time to emergence within a lot [-]."""
    base_c: float
    cap_c: float
    growth_rate: float
    """Relative growth per degree-day in a tray [1/(°C d)]."""
    start_mass_mg: float
    growth_quality: str
    weeks: tuple[float, float] | None
    harden_days: int
    frost_class: str
    stretches_fast: bool
    """Comes off the heat at first up, not at half up."""
    hot_mat: bool
    """False where bottom heat harms emergence (lettuce, celery, spinach)."""
    doubles_wanted: bool
    """Several seedlings a cell are kept (onions, leeks, herbs)."""
    pots_up: bool
    """Usually goes from a small cell to a pot before it is set out."""
    cut_again: bool
    """Grown in open flats to be cut and cut again."""
    min_germination: float
    """Legal minimum in US trade [fraction]; NaN where there is none."""
    seeds_per_gram: float
    depth_mm: float
    figures: Mapping[str, Figure] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Mark:
    """Somebody did something on a day."""

    day: date
    who: str


@dataclass(frozen=True, slots=True)
class Call:
    """Somebody called for the grower at a tray, and what they said."""

    day: date
    who: str
    text: str


@dataclass(frozen=True, slots=True)
class Stay:
    """The tray stands at a place from this day on, until the next stay."""

    place_id: int
    since: date


@dataclass(frozen=True, slots=True)
class Vessel:
    """The plants grow in this container from this day on, until the next vessel."""

    container_id: int
    since: date


@dataclass(frozen=True, slots=True)
class Look:
    """A look at the roots: 0 none at the edge, 1 few, 2 holds together, 3 full, 4 circling."""

    day: date
    who: str
    score: int


@dataclass(frozen=True, slots=True)
class Finger:
    """A finger in the mix: 0 dry, 1 just moist, 2 wet."""

    day: date
    who: str
    score: int
    watered: date | None
    """The last watering before it."""


@dataclass(frozen=True, slots=True)
class Withheld:
    """Something was sprayed or drenched whose label forbids cutting and handing over for some days."""

    day: date
    who: str
    what: str
    until: date
    """The first day on which the label allows it again."""


@dataclass(frozen=True, slots=True)
class Sowing:
    """One variety sown on one day in one part of a tray, with the plants that came of it."""

    id: int
    part: int
    crop: str
    variety: str
    lot: str
    treated: Treated
    cells: int
    seeds_per_cell: int
    sown_on: date
    first_up: date | None = None
    half_up: date | None = None
    up_count: int | None = None
    thinned_on: date | None = None
    empty: int = 0
    lost: int = 0
    potted: int = 0
    out: int = 0
    handed: int = 0
    """Plants handed over to somebody else."""
    given: tuple[tuple[int, int], ...] = ()
    """Promise and count of each hand-over that kept one."""
    retired: int = 0
    cuts: tuple[date, ...] = ()
    first_up_after: date | None = None
    """Last day on which somebody stood at it and it wasn't up: first up lies between the two."""
    half_up_after: date | None = None
    """The same for half up."""
    counts: tuple[tuple[date, int], ...] = ()
    """Cells with a seedling, by the day they were counted."""
    uncertain: bool = False
    """Whether two varieties may have been mixed up: its plants are promised by crop, never by name."""
    from_parent: bool = False
    """Whether its plants were potted up from the tray this one came from: what was sown is on record there."""

    @property
    def have(self) -> int:
        """Cells with a plant still standing (as far as anyone has counted)."""
        return self.cells - self.empty - self.lost - self.potted - self.out - self.handed - self.retired


@dataclass(frozen=True, slots=True)
class Tray:
    """One tray as the acts have left it."""

    id: int
    number: int
    made_on: date
    parent_id: int | None
    children: tuple[int, ...]
    sowings: tuple[Sowing, ...]
    stays: tuple[Stay, ...]
    vessels: tuple[Vessel, ...]
    looks: tuple[Look, ...] = ()
    fingers: tuple[Finger, ...] = ()
    looked: Mark | None = None
    watered: Mark | None = None
    left: Mark | None = None
    fed: Mark | None = None
    seen: Mark | None = None
    """The last act by which somebody stood at this tray."""
    note: str = ""
    ended_on: date | None = None
    aliases: tuple[Alias, ...] = ()
    """Numbers that its label carried before, in the order in which it lost them."""
    withheld: tuple[Withheld, ...] = ()
    sick: tuple[date, ...] = ()
    """Days on which somebody saw that it looked sick."""
    calls: tuple[Call, ...] = ()
    """Calls for the grower that nobody but their caller has answered by standing at the tray since."""
    corrected: bool = False
    """Whether a day that growth is counted from, or a look at the roots, was put right afterwards."""

    @property
    def place_id(self) -> int:
        return self.stays[-1].place_id

    @property
    def container_id(self) -> int:
        return self.vessels[-1].container_id

    @property
    def standing(self) -> bool:
        return self.ended_on is None

    @property
    def have(self) -> int:
        return sum(sowing.have for sowing in self.sowings)


@dataclass(frozen=True, slots=True)
class Act:
    """One act as the record holds it; which fields are filled depends on its kind."""

    id: int
    kind: ActKind
    day: date
    who: str
    at: datetime
    entry_id: int
    tray_id: int | None = None
    sowing_id: int | None = None
    place_id: int | None = None
    count: int | None = None
    score: int | None = None
    cause: str | None = None
    text: str | None = None
    of_act_id: int | None = None
    field: str | None = None
    old: str | None = None
    new: str | None = None
    promise_id: int | None = None
    told_at: datetime | None = None
    """The time that was told with it, where it was written on paper before it was entered."""
