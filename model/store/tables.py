"""Every table. Acts are appended and never changed; `tray_now` is a projection of them and can be rebuilt.

Table classes don't validate: what is typed or imported is checked by the actions and by the exchange, and the
CHECK and foreign keys here stand behind both.
"""

from datetime import date, datetime
from enum import StrEnum

from sqlalchemy import CheckConstraint, Index, MetaData, UniqueConstraint
from sqlmodel import Field, SQLModel

from model.ahead import FreezeFrom, Purpose, StockKind, VerdictWord
from model.facts import ActKind, Bottom, ContainerKind, LossCause, PlaceKind, ReadingKind, Treated

SQLModel.metadata.naming_convention = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s",
    "pk": "pk_%(table_name)s",
}
metadata: MetaData = SQLModel.metadata


def one_of(column: str, words: type[StrEnum]) -> CheckConstraint:
    """A CHECK that holds a column to a list of words."""
    listed = ", ".join("'" + word.value.replace("'", "''") + "'" for word in words)
    return CheckConstraint(f"{column} IN ({listed})", name=column)


class Setting(SQLModel, table=True):
    """One setting of the farm."""

    __tablename__ = "setting"
    name: str = Field(primary_key=True)
    value: str


class Person(SQLModel, table=True):
    """Somebody who does the round."""

    __tablename__ = "person"
    id: int | None = Field(default=None, primary_key=True)
    name: str = Field(unique=True)


class Place(SQLModel, table=True):
    """A place on the round with its usual night and day temperatures [°C]."""

    __tablename__ = "place"
    __table_args__ = (
        one_of("kind", PlaceKind),
        CheckConstraint("slots >= 0", name="slots"),
        CheckConstraint("low_c <= high_c", name="low_high"),
        CheckConstraint("lamp_hours BETWEEN 0 AND 24", name="lamp_hours"),
    )
    id: int | None = Field(default=None, primary_key=True)
    name: str = Field(unique=True)
    kind: str
    walk: int
    slots: int
    low_c: float
    high_c: float
    probe: bool = False
    lamp_hours: float | None = None
    lamp_gap_mm: float | None = None
    lamp_umol: float | None = None


class Container(SQLModel, table=True):
    """A kind of container; volume [mL] of one cell or pot, of a whole open flat."""

    __tablename__ = "container"
    __table_args__ = (
        one_of("kind", ContainerKind),
        one_of("bottom", Bottom),
        CheckConstraint("cells >= 1", name="cells"),
        CheckConstraint("volume_ml > 0", name="volume"),
    )
    id: int | None = Field(default=None, primary_key=True)
    name: str = Field(unique=True)
    kind: str
    cells: int
    volume_ml: float
    bottom: str
    source: str


class Variety(SQLModel, table=True):
    """A variety of a crop; the crop is a key of the crop file, or a crop of the grower's own."""

    __tablename__ = "variety"
    __table_args__ = (UniqueConstraint("crop", "name"),)
    id: int | None = Field(default=None, primary_key=True)
    crop: str
    name: str


class Lot(SQLModel, table=True):
    """A seed lot."""

    __tablename__ = "lot"
    __table_args__ = (
        UniqueConstraint("variety_id", "name"),
        one_of("treated", Treated),
        CheckConstraint("tested_up >= 0 AND tested_up <= tested_seeds", name="test"),
    )
    id: int | None = Field(default=None, primary_key=True)
    variety_id: int = Field(foreign_key="variety.id")
    name: str
    packed_year: int | None = None
    tested_seeds: int | None = None
    tested_up: int | None = None
    tested_on: date | None = None
    treated: str = Treated.UNKNOWN
    tested_c: float | None = None
    source: str = ""


class Packet(SQLModel, table=True):
    """What somebody told of a seed lot; what wasn't told is NULL, and the newest that was told holds.

    0 is a year that nobody knows after all, and a test of 0 seeds is none.
    """

    __tablename__ = "packet"
    __table_args__ = (
        one_of("treated", Treated),
        CheckConstraint("tested_up >= 0 AND tested_up <= tested_seeds", name="test"),
    )
    id: int | None = Field(default=None, primary_key=True)
    entry_id: int = Field(foreign_key="entry.id", index=True)
    lot_id: int = Field(foreign_key="lot.id", index=True)
    packed_year: int | None = None
    tested_seeds: int | None = None
    tested_up: int | None = None
    tested_on: date | None = None
    tested_c: float | None = None
    treated: str | None = None


class Entry(SQLModel, table=True):
    """One action by one person: a set of acts that is undone as one.

    It was entered at one instant; where it was written down on paper before, `told_at` is the time that was told.
    """

    __tablename__ = "entry"
    id: int | None = Field(default=None, primary_key=True)
    uid: str = Field(unique=True)
    person_id: int = Field(foreign_key="person.id")
    entered_at: datetime
    words: str
    undoes: int | None = Field(default=None, foreign_key="entry.id", unique=True)
    told_at: datetime | None = None


class Tray(SQLModel, table=True):
    """A container with a number, from sowing or potting up until it is empty."""

    __tablename__ = "tray"
    __table_args__ = (CheckConstraint("number BETWEEN 0 AND 9999", name="number"), Index(None, "number"))
    id: int | None = Field(default=None, primary_key=True)
    entry_id: int = Field(foreign_key="entry.id", index=True)
    number: int
    made_on: date
    container_id: int = Field(foreign_key="container.id")
    place_id: int = Field(foreign_key="place.id")
    parent_id: int | None = Field(default=None, foreign_key="tray.id", index=True)


class Sowing(SQLModel, table=True):
    """One variety sown into a part of a tray; potted-up plants point at the sowing they came from."""

    __tablename__ = "sowing"
    __table_args__ = (
        CheckConstraint("cells >= 1", name="cells"),
        CheckConstraint("seeds_per_cell >= 1", name="seeds"),
        UniqueConstraint("tray_id", "part"),
    )
    id: int | None = Field(default=None, primary_key=True)
    entry_id: int = Field(foreign_key="entry.id", index=True)
    tray_id: int = Field(foreign_key="tray.id", index=True)
    part: int
    variety_id: int = Field(foreign_key="variety.id")
    lot_id: int | None = Field(default=None, foreign_key="lot.id")
    cells: int
    seeds_per_cell: int
    sown_on: date
    from_sowing_id: int | None = Field(default=None, foreign_key="sowing.id")
    target_id: int | None = Field(default=None, foreign_key="target.id", index=True)


class Act(SQLModel, table=True):
    """One dated act. Which columns are filled depends on the kind."""

    __tablename__ = "act"
    __table_args__ = (
        one_of("kind", ActKind),
        one_of("cause", LossCause),
        CheckConstraint("score BETWEEN 0 AND 4", name="score"),
        CheckConstraint("count >= 0", name="count"),
        Index(None, "tray_id", "day"),
        Index(None, "day"),
    )
    id: int | None = Field(default=None, primary_key=True)
    entry_id: int = Field(foreign_key="entry.id", index=True)
    kind: str
    day: date
    tray_id: int | None = Field(default=None, foreign_key="tray.id")
    sowing_id: int | None = Field(default=None, foreign_key="sowing.id")
    place_id: int | None = Field(default=None, foreign_key="place.id")
    count: int | None = None
    score: int | None = None
    cause: str | None = None
    text: str | None = None
    of_act_id: int | None = Field(default=None, foreign_key="act.id")
    field: str | None = None
    old: str | None = None
    new: str | None = None
    promise_id: int | None = Field(default=None, foreign_key="promise.id")


class Reading(SQLModel, table=True):
    """What a thermometer showed or a forecast told [°C]; of two for one day the one entered last holds."""

    __tablename__ = "reading"
    __table_args__ = (
        one_of("what", ReadingKind),
        CheckConstraint("low_c <= high_c", name="low_high"),
        Index(None, "place_id", "day"),
    )
    id: int | None = Field(default=None, primary_key=True)
    entry_id: int = Field(foreign_key="entry.id", index=True)
    what: str
    day: date
    place_id: int | None = Field(default=None, foreign_key="place.id")
    low_c: float | None = None
    high_c: float | None = None
    issued_at: datetime | None = None
    source: str = ""


class Timing(SQLModel, table=True):
    """Whether the grower wants a crop's own timings, learned from earlier trays, in the place of the default."""

    __tablename__ = "timing"
    crop: str = Field(primary_key=True)
    used: bool
    asked_on: date


class Outlook(SQLModel, table=True):
    """The forecast of a sowing as it was reckoned last, as text; it can be reckoned anew at any time."""

    __tablename__ = "outlook"
    sowing_id: int = Field(primary_key=True, foreign_key="sowing.id")
    reckoned_on: date
    facts: str


class Target(SQLModel, table=True):
    """Plants wanted; a changed target is a new row that replaces the older one, a dropped one wants 0 plants."""

    __tablename__ = "target"
    __table_args__ = (
        one_of("purpose", Purpose),
        CheckConstraint("plants >= 0", name="plants"),
        CheckConstraint("first_day <= last_day", name="days"),
        CheckConstraint("seeds_per_cell >= 1", name="seeds"),
    )
    id: int | None = Field(default=None, primary_key=True)
    entry_id: int = Field(foreign_key="entry.id", index=True)
    variety_id: int = Field(foreign_key="variety.id")
    lot_id: int | None = Field(default=None, foreign_key="lot.id")
    plants: int
    purpose: str
    first_day: date
    last_day: date
    stage: str = ""
    container_id: int = Field(foreign_key="container.id")
    pot_id: int | None = Field(default=None, foreign_key="container.id")
    place_id: int | None = Field(default=None, foreign_key="place.id")
    seeds_per_cell: int | None = None
    until: date | None = None
    bed: str = ""
    replaces: int | None = Field(default=None, foreign_key="target.id")


class Pin(SQLModel, table=True):
    """What the grower decided by hand about a target's sowing; the newest holds."""

    __tablename__ = "pin"
    id: int | None = Field(default=None, primary_key=True)
    entry_id: int = Field(foreign_key="entry.id", index=True)
    target_id: int = Field(foreign_key="target.id", index=True)
    day: date | None = None
    place_id: int | None = Field(default=None, foreign_key="place.id")
    without: bool = False
    reason: str = ""


class Stock(SQLModel, table=True):
    """A count of something in the store: mix [L], clean containers, seeds; the newest of a thing holds."""

    __tablename__ = "stock"
    __table_args__ = (one_of("what", StockKind), CheckConstraint("amount >= 0", name="amount"))
    id: int | None = Field(default=None, primary_key=True)
    entry_id: int = Field(foreign_key="entry.id", index=True)
    day: date
    what: str
    container_id: int | None = Field(default=None, foreign_key="container.id")
    lot_id: int | None = Field(default=None, foreign_key="lot.id")
    amount: float


class Freeze(SQLModel, table=True):
    """Last freezes of spring at a station, at one temperature [°C]; the newest of a temperature holds."""

    __tablename__ = "freeze"
    __table_args__ = (one_of("source", FreezeFrom),)
    id: int | None = Field(default=None, primary_key=True)
    entry_id: int = Field(foreign_key="entry.id", index=True)
    station: str
    at_c: float
    source: str
    half_on: str = ""
    tenth_on: str = ""
    years: str = ""


class Promise(SQLModel, table=True):
    """Plants promised to a role or an order number; a changed promise is a new row, a dropped one wants 0 plants."""

    __tablename__ = "promise"
    __table_args__ = (CheckConstraint("plants >= 0", name="plants"),)
    id: int | None = Field(default=None, primary_key=True)
    entry_id: int = Field(foreign_key="entry.id", index=True)
    to_whom: str
    crop: str
    variety_id: int | None = Field(default=None, foreign_key="variety.id")
    plants: int
    due_on: date
    container_id: int | None = Field(default=None, foreign_key="container.id")
    note: str = ""
    replaces: int | None = Field(default=None, foreign_key="promise.id")


class Verdict(SQLModel, table=True):
    """What the grower made of a crop at the end of a season, in a container or in all; the newest holds."""

    __tablename__ = "verdict"
    __table_args__ = (one_of("word", VerdictWord),)
    id: int | None = Field(default=None, primary_key=True)
    entry_id: int = Field(foreign_key="entry.id", index=True)
    season: int
    crop: str
    container_id: int | None = Field(default=None, foreign_key="container.id")
    word: str
    lines: str = ""


class Clash(SQLModel, table=True):
    """Two acts that two copies of the record hold of one tray; which of them counts is for a person to settle."""

    __tablename__ = "clash"
    id: int | None = Field(default=None, primary_key=True)
    entry_id: int = Field(foreign_key="entry.id", index=True)
    what: str
    tray_id: int | None = Field(default=None, foreign_key="tray.id")
    ours: int | None = Field(default=None, foreign_key="act.id")
    theirs: int | None = Field(default=None, foreign_key="act.id")
    settled_in: int | None = Field(default=None, foreign_key="entry.id")


class Caution(SQLModel, table=True):
    """A caution that was shown once in a season."""

    __tablename__ = "caution"
    key: str = Field(primary_key=True)
    season: int = Field(primary_key=True)
    seen_on: date
    person_id: int = Field(foreign_key="person.id")


class TrayNow(SQLModel, table=True):
    """What the acts have made of a tray, as text of facts; kept in the same transaction as the acts."""

    __tablename__ = "tray_now"
    tray_id: int = Field(primary_key=True, foreign_key="tray.id")
    standing: bool = Field(index=True)
    number: int = Field(index=True)
    facts: str
