"""What is known of the open air: soil that was read, nights that are told, and the farm's own corrections."""

from datetime import date, datetime

from model.facts import PlaceKind, ReadingKind
from model.rules.gate import EVEN_RISK, MOST_COVER_C, Outdoors
from model.rules.nights import nights_told
from model.science.frost import Cover, cover_credit
from model.store import reading
from model.store.database import Rows
from model.units import Temperature

INDOORS = frozenset({PlaceKind.HEAT_MAT, PlaceKind.LIT_SHELF, PlaceKind.SLATTED_BENCH, PlaceKind.COLD_FRAME})
"""Places whose soil readings are of the mix, not of the ground."""

BED_COVER = "bed_cover"
"""The setting for what will lie over plants that are set out: what is at hand for trays isn't on the bed."""


def outdoors(rows: Rows, today: date, now: datetime) -> Outdoors:
    """Soil readings in the ground, the nights ahead and how much colder it gets here."""
    settings, dead = reading.settings(rows), reading.dead_entries(rows)
    found = reading.readings(rows, dead, what=[ReadingKind.SOIL, ReadingKind.FORECAST])
    inside = {place.id for place in reading.places(rows) if place.kind in INDOORS}
    soil = {
        read.day: read.low_c
        for read in found
        if read.what is ReadingKind.SOIL
        and read.place_id not in inside
        and read.low_c is not None
        and read.day <= today
    }
    return Outdoors(
        soil=tuple(sorted(soil.items())),
        nights=nights_told(found, today, now),
        offset_c=number_of(settings, "offset_c"),
        cover_c=min(cover_credit(cover_of(settings, BED_COVER)), MOST_COVER_C),
        risk=number_of(settings, "frost_risk") / 100 or EVEN_RISK,
        scale=Temperature(settings.get("temperature", Temperature.CELSIUS)),
    )


def number_of(settings: dict[str, str], name: str) -> float:
    """A setting that is a number; 0 while nobody has said."""
    return float(settings.get(name) or 0.0)


def cover_of(settings: dict[str, str], name: str = "cover") -> Cover:
    """The cover that is at hand for trays, or another by its setting; none while nobody has said."""
    return Cover(settings.get(name) or Cover.NONE)
