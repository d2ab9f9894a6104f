"""Two copies of one record, and looks at both that don't depend on the ids that each gave."""

import shutil
from dataclasses import asdict
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path
from typing import Any

from model.actions.desk import Stamp
from model.actions.merge import Merged, merge
from model.store import reading
from model.store.database import Store, open_store
from tests.builders import TODAY

MORNING = datetime(2026, 4, 14, 6, 30, tzinfo=UTC)


def copied(store: Store, path: Path) -> Store:
    """Another laptop's copy of a record, opened."""
    with store.reading() as rows:
        rows("SELECT 1")
    store.close()
    shutil.copy(store.path, path)
    return open_store(path)


class Laptop:
    """One copy and whoever works on it; entries are a minute apart unless told otherwise."""

    def __init__(self, store: Store, who: str, start: datetime = MORNING) -> None:
        self.store = store
        self.who = who
        self.start = start
        self._turns = count(1)

    def stamp(self, **changes: Any) -> Stamp:
        """A stamp of the next minute; `minute` says which instead."""
        turn = next(self._turns)
        at = self.start + timedelta(minutes=changes.pop("minute", turn))
        usual: dict[str, Any] = {
            "who": self.who,
            "at": at,
            "today": TODAY,
            "uid": f"{self.who} {self.start.day} {turn}",
        }
        return Stamp(**{**usual, **changes})

    def merge(self, other: "Laptop") -> Merged:
        """Take in what the other laptop has."""
        other.store.close()
        return merge(self.store, Stamp("Wren", MORNING + timedelta(hours=9), TODAY), other.store.path)


def two_laptops(store: Store, tmp_path: Path) -> tuple[Laptop, Laptop]:
    """Wren's and Jory's, each with a copy of the same record."""
    return (
        Laptop(copied(store, tmp_path / "wren.db"), "Wren"),
        Laptop(copied(store, tmp_path / "jory.db"), "Jory", MORNING + timedelta(seconds=30)),
    )


def told(store: Store) -> dict[str, Any]:
    """The record as people know it: trays, entries and clashes by what they are called in every copy."""
    with store.reading() as rows:
        names = {
            table: {i: f"{uid} {turn}" for i, uid, turn in rows(_TURNS.format(table=table))}
            for table in ("tray", "sowing", "act")
        }
        places = {place.id: place.name for place in reading.places(rows)}
        boxes = {box.id: box.name for box in reading.containers(rows)}
        trays = {names["tray"][tray.id]: asdict(tray) for tray in reading.every_tray(rows)}
        for tray in trays.values():
            del tray["id"]
            tray["parent_id"] = names["tray"].get(tray["parent_id"])
            tray["children"] = sorted(names["tray"][child] for child in tray["children"])
            for stay in tray["stays"]:
                stay["place_id"] = places[stay["place_id"]]
            for vessel in tray["vessels"]:
                vessel["container_id"] = boxes[vessel["container_id"]]
            for sowing in tray["sowings"]:
                sowing["id"] = names["sowing"][sowing["id"]]
                sowing["given"] = [count for _promise, count in sowing["given"]]
        dead = reading.dead_entries(rows)
        uids = dict(rows("SELECT id, uid FROM entry"))
        entries = [
            (uids[row.id], row.words, row.id in dead, uids.get(row.undoes)) for row in reading.entries(rows)
        ]
        acts = [
            (uids[entry], kind, day, names["tray"].get(tray), amount, text, names["act"].get(of), new)
            for entry, kind, day, tray, amount, text, of, new in rows(
                "SELECT entry_id, kind, day, tray_id, count, text, of_act_id, new FROM act ORDER BY id"
            )
        ]
        clashes = {
            (
                uids[entry],
                what,
                names["tray"].get(tray),
                names["act"].get(one),
                names["act"].get(other),
                uids.get(done),
            )
            for entry, what, tray, one, other, done in rows(
                "SELECT entry_id, what, tray_id, ours, theirs, settled_in FROM clash"
            )
        }
        readings = rows(
            "SELECT what, day, place.name, reading.low_c, issued_at FROM reading LEFT JOIN place ON place.id = place_id "
            "ORDER BY reading.id"
        )
        kinds = {row.id: (row.crop, row.name) for row in reading.varieties(rows)}
        lots = {
            (*kinds[lot.variety_id], lot.name): (
                *(lot.packed_year, lot.tested_seeds, lot.tested_up, lot.tested_on, lot.treated),
            )
            for lot in reading.lots(rows)
        }
    return {
        "trays": trays,
        "lots": lots,
        "entries": entries,
        "acts": acts,
        "clashes": clashes,
        "readings": readings,
    }


_TURNS = (
    "SELECT {table}.id, uid, (SELECT count(*) FROM {table} AS other WHERE other.entry_id = {table}.entry_id "
    "AND other.id < {table}.id) FROM {table} JOIN entry ON entry.id = entry_id"
)
