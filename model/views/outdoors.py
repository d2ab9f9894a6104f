"""What is known of the open air: soil that was read, nights that are told, and the farm's own corrections."""

from collections.abc import Iterable, Mapping
from datetime import date, datetime

from model.facts import Place, PlaceKind, Reading, ReadingKind
from model.rules.gate import EVEN_RISK, MOST_COVER_C, OpenAir, Outdoors
from model.rules.nights import nights_told
from model.science.frost import Cover, cover_credit
from model.store import reading
from model.store.database import Rows
from model.units import Temperature

INDOORS = frozenset({PlaceKind.HEAT_MAT, PlaceKind.LIT_SHELF, PlaceKind.SLATTED_BENCH, PlaceKind.COLD_FRAME})
"""Places whose soil readings are of the mix, not of the ground."""

BED_COVER = "bed_cover"
"""The setting for what will lie over plants that are set out: what is at hand for trays isn't on the bed."""


def open_air(readings: Iterable[Reading], places: Iterable[Place], settings: Mapping[str, str]) -> OpenAir:
    """Soil in the ground and the lows that are told, of whatever age, from the readings of soil and forecast."""
    inside = {place.id for place in places if place.kind in INDOORS}
    soil, lows = {}, {}
    for read in readings:
        if read.low_c is None:
            continue
        if read.what is ReadingKind.FORECAST:
            lows[read.day] = read.low_c - number_of(settings, "offset_c")
        elif read.what is ReadingKind.SOIL and read.place_id not in inside:
            soil[read.day] = read.low_c
    return OpenAir(tuple(sorted(soil.items())), lows)


def outdoors(rows: Rows, today: date, now: datetime) -> Outdoors:
    """Soil readings in the ground, the nights ahead and how much colder it gets here."""
    settings, dead = reading.settings(rows), reading.dead_entries(rows)
    found = reading.readings(rows, dead, what=[ReadingKind.SOIL, ReadingKind.FORECAST])
    soil = open_air(found, reading.places(rows), settings).soil
    return Outdoors(
        soil=tuple((day, degrees) for day, degrees in soil if day <= today),
        nights=nights_told(found, today, now),
        offset_c=number_of(settings, "offset_c"),
        cover_c=min(cover_credit(cover_of(settings, BED_COVER)), MOST_COVER_C),
        risk=number_of(settings, "frost_risk") / 100 or EVEN_RISK,
        scale=Temperature(settings.get("temperature", Temperature.CELSIUS)),
        zone=settings.get("zone", "UTC"),
        now=now,
    )


def number_of(settings: Mapping[str, str], name: str) -> float:
    """A setting that is a number; 0 while nobody has said."""
    return float(settings.get(name) or 0.0)


def cover_of(settings: Mapping[str, str], name: str = "cover") -> Cover:
    """The cover that is at hand for trays, or another by its setting; none while nobody has said."""
    return Cover(settings.get(name) or Cover.NONE)
