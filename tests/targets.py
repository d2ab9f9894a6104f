"""Targets put on record for tests of what is worked out from them."""

from datetime import date
from pathlib import Path
from typing import Any

from model.actions.desk import Stamp, entry
from model.actions.sow import variety_of
from model.facts import Container
from model.store import reading, tables
from model.store.database import Store, open_store


def without_targets(path: Path) -> Path:
    """Take every target of a farm off its record."""
    store = open_store(path)
    with store.transaction() as session:
        session.connection().exec_driver_sql("DELETE FROM target")
    store.close()
    return path


def keep_target(store: Store, stamp: Stamp, what: str, first_day: date, **changes: Any) -> int:
    """A target for plants of a crop and variety in 72-cell trays, changed as asked; its id."""
    crop, variety = what.split(" ", 1)
    with store.reading() as rows:
        boxes: dict[str, Container] = {box.name: box for box in reading.containers(rows)}
    values = {
        "plants": 20,
        "purpose": "set out",
        "last_day": first_day,
        "container_id": boxes["72-cell tray"].id,
        "place_id": None,
    } | changes
    with entry(store, stamp) as pen:
        pen.say(f"wanted {what}")
        return pen.add(
            tables.Target(
                entry_id=pen.entry_id,
                variety_id=variety_of(pen.session, crop, variety),
                first_day=first_day,
                **values,
            )
        )
