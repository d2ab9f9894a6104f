"""A farm on the day somebody leaves: corn with three days of room, kale put out that morning, two sowings planned."""

from collections.abc import Sequence
from datetime import UTC, date, datetime, time

from model.actions import growth, shift, weather
from model.actions.desk import Stamp
from model.actions.farm import found_farm, keep_place, set_setting
from model.actions.plan import Want, add_targets
from model.actions.sow import Sow, SowPart, sow
from model.facts import Place, PlaceKind
from model.store import reading
from model.store.database import Store
from model.units import celsius

LEAVES, BACK = date(2027, 4, 22), date(2027, 4, 27)
"""Thursday to Tuesday."""
LOWS_F = (44, 41, 37, 35, 46)
PLACES = (
    Place(0, "Mat", PlaceKind.HEAT_MAT, 1, 8, 24.0, 24.0),
    Place(0, "House", PlaceKind.SLATTED_BENCH, 2, 40, 18.0, 28.0),
    Place(0, "Yard", PlaceKind.HARDENING, 3, 20, 4.0, 13.0),
)
MAT, HOUSE, YARD = 1, 2, 3


def at(day: date, hour: int = 6) -> Stamp:
    """Wren's stamp in the morning of a day."""
    return Stamp("Wren", datetime.combine(day, time(hour), UTC), day)


def boxes(store: Store) -> dict[str, int]:
    """Ids of the containers by name."""
    with store.reading() as rows:
        return {box.name: box.id for box in reading.containers(rows)}


def away_farm(store: Store, lows_f: Sequence[float] = LOWS_F) -> None:
    """Corn 1R, kale 2W and 3A."""
    found_farm(store, "UTC")
    set_setting(store, "temperature", "°F")
    for place in PLACES:
        keep_place(store, place)
    box, small = boxes(store)["72-cell tray"], boxes(store)["128-cell tray"]
    _up(store, SowPart("sweet_corn", "Amberly", 128), date(2027, 4, 5), date(2027, 4, 11), small)
    kale = [
        _up(store, SowPart("kale", "Sedge Blue", 72), date(2027, 3, 28), date(2027, 4, 3), box)
        for _ in range(2)
    ]
    shift.move(store, at(LEAVES), kale, YARD)
    if lows_f:
        weather.keep_forecast(store, at(LEAVES), [celsius(low) for low in lows_f])


def _up(store: Store, part: SowPart, sown: date, up: date, box: int) -> int:
    (tray,) = sow(store, at(sown), Sow(box, HOUSE, (part,), sown)).tray_ids
    growth.half_up(store, at(up), tray)
    return tray


def plan(store: Store, crop: str, variety: str, first: date, last: date) -> None:
    """72 plants of a variety, wanted from a day to a day."""
    want = Want(crop, variety, 72, first, last, boxes(store)["72-cell tray"], place_id=HOUSE)
    add_targets(store, at(date(2027, 4, 1)), want)
