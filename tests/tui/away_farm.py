"""A farm whose grower goes away for five nights: hardy plants newly outside, corn late in its plug, two sowings due."""

from datetime import date
from pathlib import Path

from model.actions import growth, shift, walk, weather
from model.actions.farm import found_farm, keep_place, set_setting
from model.actions.plan import Want, add_targets
from model.actions.sow import Sow, SowPart, sow
from model.ahead import Purpose
from model.facts import ActKind, Place, PlaceKind
from model.store import reading
from model.store.database import Store, open_store
from model.units import celsius
from tests.tui.cold_farm import at

LEAVING, BACK = date(2027, 4, 22), date(2027, 4, 27)
LOWS_F = (44, 41, 37, 35, 46)
PLACES = (
    Place(0, "Mat", PlaceKind.HEAT_MAT, 1, 8, 24.0, 24.0),
    Place(0, "House", PlaceKind.SLATTED_BENCH, 2, 40, 14.0, 22.0),
    Place(0, "H", PlaceKind.HARDENING, 3, 20, 4.0, 13.0),
)
MAT, HOUSE, H = 1, 2, 3


def away_farm(path: Path, *, lows_f: tuple[int, ...] = LOWS_F) -> None:
    """The farm on the morning of the day of leaving."""
    store = open_store(path, make=True)
    found_farm(store, "UTC")
    set_setting(store, "temperature", "°F")
    for place in PLACES:
        keep_place(store, place)
    with store.reading() as rows:
        box = next(box.id for box in reading.containers(rows) if box.name == "72-cell tray")
    hardy = [
        _grown(store, box, crop, variety, date(2027, 3, 8), date(2027, 3, 14))
        for crop, variety in (("kale", "Quern"), ("cabbage", "Brisk"))
    ]
    shift.move(store, at(date(2027, 4, 20)), hardy, H)
    for day in (20, 21):
        walk.mark_trays(store, at(date(2027, 4, day)), ActKind.LOOKED, hardy)
    for tray in hardy:
        growth.root_look(store, at(date(2027, 4, 21)), tray, 2)
    _grown(store, box, "sweet_corn", "Amberly", date(2027, 4, 5), date(2027, 4, 11))
    for crop, variety, day in (("lettuce", "Brisk", date(2027, 5, 5)), ("kale", "Quern", date(2027, 5, 10))):
        target = Want(crop, variety, 24, day, day, box, Purpose.CLASS, "first true leaf", place_id=HOUSE)
        add_targets(store, at(date(2027, 4, 20)), target)
    if lows_f:
        weather.keep_forecast(store, at(LEAVING), [celsius(low) for low in lows_f])
    store.close()


def _grown(store: Store, box: int, crop: str, variety: str, sown: date, up: date) -> int:
    (tray,) = sow(store, at(sown), Sow(box, HOUSE, (SowPart(crop, variety, 72),), sown)).tray_ids
    growth.half_up(store, at(up), tray)
    return tray
