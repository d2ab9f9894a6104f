"""A farm in a cold spell: tomato, corn and cucumber held back, lettuce and kale hardened and full."""

from collections.abc import Sequence
from datetime import UTC, date, datetime, time
from pathlib import Path

from model.actions import growth, shift, walk, weather
from model.actions.desk import Stamp, entry
from model.actions.farm import found_farm, keep_place, set_setting
from model.actions.sow import Sow, SowPart, sow
from model.facts import ActKind, Place, PlaceKind
from model.store import reading
from model.store.database import Store, open_store
from model.units import celsius

MORNING = date(2026, 4, 14)
"""The third day of the spell."""
SOIL_F = (52, 51, 53)
LOWS_F = (36, 37, 39, 38, 36, 37, 39, 38)
LAST_SETTING_OUT = date(2026, 6, 15)
PLACES = (
    Place(0, "Mat", PlaceKind.HEAT_MAT, 1, 8, 24.0, 24.0),
    Place(0, "House", PlaceKind.SLATTED_BENCH, 2, 40, 14.0, 22.0),
    Place(0, "Cool bench", PlaceKind.SLATTED_BENCH, 3, 20, 10.0, 16.0),
    Place(0, "Yard", PlaceKind.HARDENING, 4, 20, 4.0, 13.0),
)
MAT, HOUSE, COOL, YARD = 1, 2, 3, 4


def at(day: date) -> Stamp:
    return Stamp("Wren", datetime.combine(day, time(6, 0), UTC), day)


def grown(store: Store, crop: str, trays: Sequence[int], sown: date, up: date, box: int) -> list[int]:
    """Trays of one crop with 72 cells, sown and up in the house; their ids."""
    ids = []
    for _ in trays:
        part = SowPart(crop, "Quern", 72)
        (tray,) = sow(store, at(sown), Sow(box, HOUSE, (part,), sown)).tray_ids
        growth.half_up(store, at(up), tray)
        ids.append(tray)
    return ids


def cold_farm(path: Path, *, planned: bool = True) -> None:
    """The farm on the morning of the third cold day."""
    store = open_store(path, make=True)
    found_farm(store, "UTC")
    set_setting(store, "temperature", "°F")
    for place in PLACES:
        keep_place(store, place)
    with store.reading() as rows:
        boxes = {box.name: box.id for box in reading.containers(rows)}
    box = boxes["72-cell tray"]
    tomato = grown(store, "tomato", range(3), date(2026, 3, 1), date(2026, 3, 10), box)
    grown(store, "sweet_corn", range(1), date(2026, 3, 27), date(2026, 4, 2), box)
    grown(store, "cucumber", range(1), date(2026, 3, 24), date(2026, 3, 29), box)
    hardy = grown(store, "lettuce", range(3), date(2026, 3, 2), date(2026, 3, 6), box)
    hardy += grown(store, "kale", range(2), date(2026, 2, 26), date(2026, 3, 4), box)
    shift.move(store, at(date(2026, 4, 7)), hardy, YARD)
    for day in range(7, 14):
        walk.mark_trays(store, at(date(2026, 4, day)), ActKind.LOOKED, hardy)
    for tray in tomato:
        growth.root_look(store, at(date(2026, 4, 12)), tray, 2)
    for tray in hardy:
        growth.root_look(store, at(date(2026, 4, 13)), tray, 3)
    for back, soil in zip((2, 1, 0), SOIL_F, strict=True):
        weather.keep_soil(store, at(date(2026, 4, 14 - back)), YARD, celsius(soil))
    weather.keep_forecast(store, at(MORNING), [celsius(low) for low in LOWS_F])
    if planned:
        plan_tomato(store, box, boxes["10 cm pot"])
    store.close()


def plan_tomato(store: Store, box: int, pot: int) -> None:
    """A target for tomato that may be set out until the middle of June, and pots and mix that were counted."""
    from model.store import tables

    with entry(store, at(date(2026, 3, 1))) as pen:
        ((variety,),) = pen.rows("SELECT variety.id FROM variety WHERE crop = 'tomato'")
        pen.add(
            tables.Target(
                entry_id=pen.entry_id,
                variety_id=variety,
                plants=200,
                purpose="set out",
                first_day=date(2026, 4, 20),
                last_day=date(2026, 5, 1),
                container_id=box,
                pot_id=pot,
                until=LAST_SETTING_OUT,
            )
        )
        pen.add(tables.Stock(entry_id=pen.entry_id, what="mix", day=date(2026, 4, 1), amount=50.0))
        pen.add(
            tables.Stock(
                entry_id=pen.entry_id, what="container", container_id=pot, day=date(2026, 4, 1), amount=60.0
            )
        )
        pen.say("planned tomato")
