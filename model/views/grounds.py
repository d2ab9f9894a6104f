"""The grounds of a morning, from the record: places as they are read, containers, crops."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from itertools import groupby
from typing import Any

from model.asof import acts_that_count
from model.crops import load_crops, unknown_crop
from model.crops.lines import lines_of
from model.facts import Crop, Place, PlaceKind, Reading, ReadingKind, Tray
from model.rules.grounds import Grounds
from model.rules.ledger import NOT_AT_THE_TRAY
from model.rules.outlook import Outlooks
from model.rules.tonight import OF_NIGHTS
from model.store import reading
from model.store.database import Rows
from model.units import Temperature
from model.views.outdoors import open_air

BEFORE_DAYS = 90
"""Days before the first of some trays whose air is read too: fingers in trays that are gone teach how their places
dry, those of the last 74 days [d]. Ours; a test holds the two together."""


def grounds(rows: Rows, trays: Iterable[Tray], outlooks: Outlooks | None = None) -> Grounds:
    """The grounds for judging some trays; a crop of the grower's own has no figures."""
    known, settings, trays = load_crops(), reading.settings(rows), list(trays)
    keys = {sowing.crop for tray in trays for sowing in tray.sowings}
    dead = reading.dead_entries(rows)
    soil = reading.readings(rows, dead, what=[ReadingKind.SOIL])
    air = reading.readings(rows, dead, _first_day(trays), [ReadingKind.AIR, ReadingKind.FORECAST])
    places = {place.id: in_the_mix(place, soil) for place in reading.places(rows)}
    return Grounds(
        places=places,
        containers={container.id: container for container in reading.containers(rows)},
        crops={key: as_set(known.get(key) or unknown_crop(key), settings) for key in keys},
        scale=Temperature(settings.get("temperature", Temperature.CELSIUS)),
        weather={place.id: air_of(place, air) for place in places.values()},
        outlooks=outlooks or {},
        **_exposed(rows, dead, places, trays),
        open_air=open_air([*soil, *air], places.values(), settings),
        lines={key: lines_of(key) for key in keys},
        zone=settings.get("zone", "UTC"),
        latitude=float(settings["latitude"]) if settings.get("latitude") else None,
    )


def as_set(crop: Crop, settings: Mapping[str, str]) -> Crop:
    """A crop with the days of hardening that the farm wants of it; its own where nobody said."""
    days = settings.get("harden_days")
    return replace(crop, harden_days=int(days)) if days else crop


def _exposed(
    rows: Rows, dead: frozenset[int], places: Mapping[int, Place], trays: Iterable[Tray]
) -> dict[str, Any]:
    """Marks and nights of trays that stand in a hardening area, as they were corrected: others need none."""
    yards = {place.id for place in places.values() if place.kind is PlaceKind.HARDENING}
    outside = [tray for tray in trays if tray.place_id in yards]
    first = [stay.since for tray in outside for stay in tray.stays if stay.place_id in yards]
    acts = acts_that_count(rows, dead, outside, min(first, default=date.max))
    return {
        "marks": {
            tray_id: frozenset(act.day for act in found if act.kind not in NOT_AT_THE_TRAY)
            for tray_id, found in acts.items()
        },
        "nights": {
            tray_id: {
                day: frozenset(act.kind for act in of_day)
                for day, of_day in groupby(
                    (act for act in found if act.kind in OF_NIGHTS), lambda act: act.day
                )
            }
            for tray_id, found in acts.items()
        },
    }


def _first_day(trays: Sequence[Tray]) -> date:
    """The first day whose air can matter to some trays: a record of many years isn't read at every key."""
    first = min((tray.stays[0].since for tray in trays), default=date.max)
    return first - timedelta(days=BEFORE_DAYS)


def in_the_mix(place: Place, readings: Iterable[Reading]) -> Place:
    """A mat without a probe is as warm as the mix was when somebody read it, not as it is set to."""
    if place.kind is not PlaceKind.HEAT_MAT or place.probe:
        return place
    # A reading may be put right long after its day: the newest day holds, not the newest entry.
    read = [
        (r.day, r.id, r.low_c)
        for r in readings
        if r.what is ReadingKind.SOIL and r.place_id == place.id and r.low_c is not None
    ]
    *_, mix_c = max(read, default=(None, None, None))
    return place if mix_c is None else replace(place, low_c=mix_c, high_c=mix_c)


def air_of(place: Place, readings: Iterable[Reading]) -> dict[date, tuple[float, float]]:
    """Lows and highs of a place by day; of two readings for a day the last holds, a side not read is the usual one."""
    days: dict[date, tuple[float, float]] = {}
    for read in readings:
        if read.what is ReadingKind.AIR and read.place_id == place.id:
            low, high = days.get(read.day, (place.low_c, place.high_c))
            low = low if read.low_c is None else read.low_c
            high = high if read.high_c is None else read.high_c
            days[read.day] = (min(low, high), high) if read.low_c is None else (low, max(low, high))
    return days
