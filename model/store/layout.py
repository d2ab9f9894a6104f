"""The plain files of an export: their columns, what each takes, and what it points at."""

from model.ahead import FreezeFrom, Purpose, StockKind, VerdictWord
from model.facts import ActKind, Bottom, ContainerKind, LossCause, PlaceKind, ReadingKind, Treated
from model.labels import HIGHEST, letter_of
from model.store.columns import (
    LARGEST,
    Answer,
    Column,
    File,
    Pointer,
    number,
    read_day,
    read_instant,
    read_month_day,
    whole,
    word,
    write_answer,
    write_instant,
    write_number,
)
from model.units import COLDEST_C, HOTTEST_C
from model.weather.checks import COLDEST_AIR_C


def _id(name: str, *, empty: bool = False) -> Column:
    return Column(name, whole(f"{name.replace('_', ' ')} number", 1), empty)


def _named(column: str, file: str) -> Pointer:
    return Pointer((column,), file, ("name",))


_ENTRY = Pointer(("entry",), "entries.csv", ("entry",))
_TRAY = Pointer(("tray",), "trays.csv", ("tray",))
_PROMISE = Pointer(("promise",), "promises.csv", ("promise",))
_TARGET = Pointer(("target",), "targets.csv", ("target",))
_LOT = Pointer(("crop", "variety", "lot"), "lots.csv", ("crop", "variety", "lot"))
_VARIETY = Pointer(("crop", "variety"), "varieties.csv", ("crop", "name"))

ADDED = "0.2.0"
"""Release that brought readings, lamps and own timings."""
AHEAD = "0.3.0"
"""Release that brought targets, pins, stock, freezes and cautions."""
PAPER = "0.4.0"
"""Release that brought promises, verdicts, clashes and times told."""

FARM = File("farm.csv", (Column("name"), Column("value", empty=True)), (("name",),))

PEOPLE = File("people.csv", (Column("name"),), (("name",),))

PLACES = File(
    "places.csv",
    (
        Column("name"),
        Column("kind", word("kind of place", PlaceKind)),
        Column("walk", whole("walking order", 0)),
        Column("slots", whole("number of slots", 0)),
        Column("low_c", number("temperature in °C", COLDEST_C, HOTTEST_C), write=write_number),
        Column("high_c", number("temperature in °C", COLDEST_C, HOTTEST_C), write=write_number),
        Column("probe", word("answer", Answer), True, write_answer, ADDED),
        Column("lamp_hours", number("number of hours", 0, 24), True, write_number, ADDED),
        Column("lamp_gap_mm", number("gap in mm", 0, 3000), True, write_number, ADDED),
        Column("lamp_umol", number("light in µmol", 0, 3000), True, write_number, ADDED),
    ),
    (("name",),),
)

CONTAINERS = File(
    "containers.csv",
    (
        Column("name"),
        Column("kind", word("kind of container", ContainerKind)),
        Column("cells", whole("number of cells", 1)),
        Column("volume_ml", number("volume in mL", 0.1, 1_000_000), write=write_number),
        Column("bottom", word("kind of bottom", Bottom)),
        Column("source", empty=True),
    ),
    (("name",),),
)

VARIETIES = File("varieties.csv", (Column("crop"), Column("name")), (("crop", "name"),))

LOTS = File(
    "lots.csv",
    (
        Column("crop"),
        Column("variety"),
        Column("lot"),
        Column("packed_year", whole("year", 1900, 9999), empty=True),
        Column("tested_seeds", whole("number of seeds", 0), empty=True),
        Column("tested_up", whole("number of seeds", 0), empty=True),
        Column("tested_on", read_day, empty=True),
        Column("treated", word("answer", Treated)),
        Column("tested_c", number("temperature in °C", COLDEST_C, HOTTEST_C), True, write_number, PAPER),
        Column("source", empty=True, since=PAPER),
    ),
    (("crop", "variety", "lot"),),
    (_VARIETY,),
)

ENTRIES = File(
    "entries.csv",
    (
        _id("entry"),
        Column("uid"),
        Column("who"),
        Column("entered_at", read_instant, write=write_instant),
        Column("words", empty=True),
        _id("undoes", empty=True),
        Column("told_at", read_instant, True, write_instant, PAPER),
    ),
    (("entry",), ("uid",), ("undoes",)),
    (_named("who", "people.csv"), Pointer(("undoes",), "entries.csv", ("entry",), earlier=True)),
)

PACKETS = File(
    "packets.csv",
    (
        *(_id("packet"), _id("entry"), *LOTS.columns[:3]),
        Column("packed_year", whole("year, nor 0 for one that nobody knows", 0, 9999), empty=True),
        *LOTS.columns[4:7],
        Column("treated", word("answer", Treated), empty=True),
        LOTS.columns[8],
    ),
    (("packet",),),
    (_ENTRY, _LOT),
    PAPER,
)

TRAYS = File(
    "trays.csv",
    (
        _id("tray"),
        _id("entry"),
        Column("number", whole("tray number", 0, HIGHEST)),
        Column("letter", write=letter_of),
        Column("made_on", read_day),
        Column("container"),
        Column("place"),
        _id("parent", empty=True),
    ),
    (("tray",),),
    (
        _ENTRY,
        _named("container", "containers.csv"),
        _named("place", "places.csv"),
        Pointer(("parent",), "trays.csv", ("tray",), earlier=True),
    ),
)

SOWINGS = File(
    "sowings.csv",
    (
        _id("sowing"),
        _id("entry"),
        _id("tray"),
        Column("part", whole("part", 0)),
        Column("crop"),
        Column("variety"),
        Column("lot", empty=True),
        Column("cells", whole("number of cells", 1)),
        Column("seeds_per_cell", whole("number of seeds", 1)),
        Column("sown_on", read_day),
        _id("from_sowing", empty=True),
        Column("target", whole("target number", 1), True, since=AHEAD),
    ),
    (("sowing",), ("tray", "part")),
    (
        _ENTRY,
        _TRAY,
        _VARIETY,
        _LOT,
        Pointer(("from_sowing",), "sowings.csv", ("sowing",), earlier=True),
        _TARGET,
    ),
)

ACTS = File(
    "acts.csv",
    (
        _id("act"),
        _id("entry"),
        Column("day", read_day),
        Column("kind", word("kind of act", ActKind)),
        _id("tray", empty=True),
        _id("sowing", empty=True),
        Column("place", empty=True),
        Column("count", whole("count", 0), empty=True),
        Column("score", whole("look at the roots", 0, 4), empty=True),
        Column("cause", word("cause of loss", LossCause), empty=True),
        Column("text", empty=True),
        _id("of_act", empty=True),
        Column("field", empty=True),
        Column("old", empty=True),
        Column("new", empty=True),
        Column("promise", whole("promise number", 1), True, since=PAPER),
    ),
    (("act",),),
    (
        _PROMISE,
        _ENTRY,
        _TRAY,
        Pointer(("sowing",), "sowings.csv", ("sowing",)),
        _named("place", "places.csv"),
        Pointer(("of_act",), "acts.csv", ("act",), earlier=True),
    ),
)

READINGS = File(
    "readings.csv",
    (
        _id("reading"),
        _id("entry"),
        Column("day", read_day),
        Column("what", word("kind of reading", ReadingKind)),
        Column("place", empty=True),
        Column("low_c", number("temperature in °C", COLDEST_AIR_C, HOTTEST_C), True, write_number),
        Column("high_c", number("temperature in °C", COLDEST_AIR_C, HOTTEST_C), True, write_number),
        Column("issued_at", read_instant, True, write_instant),
        Column("source", empty=True),
    ),
    (("reading",),),
    (_ENTRY, _named("place", "places.csv")),
    ADDED,
)

TIMINGS = File(
    "timings.csv",
    (
        Column("crop"),
        Column("used", word("answer", Answer), write=write_answer),
        Column("asked_on", read_day),
    ),
    (("crop",),),
    (),
    ADDED,
)

TARGETS = File(
    "targets.csv",
    (
        _id("target"),
        _id("entry"),
        Column("crop"),
        Column("variety"),
        Column("lot", empty=True),
        Column("plants", whole("number of plants", 0)),
        Column("purpose", word("purpose", Purpose)),
        Column("first_day", read_day),
        Column("last_day", read_day),
        Column("stage", empty=True),
        Column("container"),
        Column("pot", empty=True),
        Column("place", empty=True),
        Column("seeds_per_cell", whole("number of seeds", 1), empty=True),
        Column("until", read_day, empty=True),
        Column("bed", empty=True),
        _id("replaces", empty=True),
    ),
    (("target",),),
    (
        *(_ENTRY, _VARIETY, _LOT, _named("container", "containers.csv"), _named("pot", "containers.csv")),
        *(_named("place", "places.csv"), Pointer(("replaces",), "targets.csv", ("target",), earlier=True)),
    ),
    AHEAD,
)

PINS = File(
    "pins.csv",
    (
        _id("pin"),
        _id("entry"),
        _id("target"),
        Column("day", read_day, empty=True),
        Column("place", empty=True),
        Column("without", word("answer", Answer), write=write_answer),
        Column("reason", empty=True),
    ),
    (("pin",),),
    (_ENTRY, _TARGET, _named("place", "places.csv")),
    AHEAD,
)

STOCK = File(
    "stock.csv",
    (
        _id("stock"),
        _id("entry"),
        Column("day", read_day),
        Column("what", word("kind of stock", StockKind)),
        Column("container", empty=True),
        Column("crop", empty=True),
        Column("variety", empty=True),
        Column("lot", empty=True),
        Column("amount", number("amount", 0, LARGEST), write=write_number),
    ),
    (("stock",),),
    (_ENTRY, _named("container", "containers.csv"), _LOT),
    AHEAD,
)

FREEZES = File(
    "freezes.csv",
    (
        _id("freeze"),
        _id("entry"),
        Column("station"),
        Column("at_c", number("temperature in °C", COLDEST_C, HOTTEST_C), write=write_number),
        Column("source", word("source", FreezeFrom)),
        Column("half_on", read_month_day, empty=True),
        Column("tenth_on", read_month_day, empty=True),
        Column("years", empty=True),
    ),
    (("freeze",),),
    (_ENTRY,),
    AHEAD,
)

PROMISES = File(
    "promises.csv",
    (
        _id("promise"),
        _id("entry"),
        Column("to_whom"),
        Column("crop"),
        Column("variety", empty=True),
        Column("plants", whole("number of plants", 0)),
        Column("due_on", read_day),
        Column("container", empty=True),
        Column("note", empty=True),
        _id("replaces", empty=True),
    ),
    (("promise",),),
    (
        *(_ENTRY, _VARIETY, _named("container", "containers.csv")),
        Pointer(("replaces",), "promises.csv", ("promise",), earlier=True),
    ),
    PAPER,
)

VERDICTS = File(
    "verdicts.csv",
    (
        _id("verdict"),
        _id("entry"),
        Column("season", whole("year", 1900, 9999)),
        Column("crop"),
        Column("container", empty=True),
        Column("word", word("verdict", VerdictWord)),
        Column("lines", empty=True),
    ),
    (("verdict",),),
    (_ENTRY, _named("container", "containers.csv")),
    PAPER,
)

CLASHES = File(
    "clashes.csv",
    (
        _id("clash"),
        _id("entry"),
        Column("what"),
        _id("tray", empty=True),
        _id("ours", empty=True),
        _id("theirs", empty=True),
        _id("settled_in", empty=True),
    ),
    (("clash",),),
    (
        *(
            _ENTRY,
            _TRAY,
            Pointer(("ours",), "acts.csv", ("act",)),
            Pointer(("theirs",), "acts.csv", ("act",)),
        ),
        Pointer(("settled_in",), "entries.csv", ("entry",)),
    ),
    PAPER,
)

CAUTIONS = File(
    "cautions.csv",
    (
        Column("key"),
        Column("season", whole("year", 1900, 9999)),
        Column("seen_on", read_day),
        Column("who"),
    ),
    (("key", "season"),),
    (_named("who", "people.csv"),),
    AHEAD,
)

FILES = (
    *(FARM, PEOPLE, PLACES, CONTAINERS, VARIETIES, LOTS, ENTRIES, TRAYS, TARGETS, SOWINGS, PROMISES, ACTS),
    *(PACKETS, READINGS, TIMINGS, PINS, STOCK, FREEZES, CAUTIONS, VERDICTS, CLASHES),
)
"""In the order in which they are written and read."""
