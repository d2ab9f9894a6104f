"""A season in a file of the first release, so that bringing it up to date takes a while."""

import importlib
import sqlite3
from contextlib import closing
from pathlib import Path

from tests.builders import day

TRAYS = 40
WATERINGS = 25


def first_release(path: Path) -> None:
    """Forty trays of kale, watered on twenty-five mornings."""
    first = importlib.import_module("model.store.migrations.versions.0001_first")
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript(first.STATEMENTS + _VERSION)
        insert = connection.execute
        insert("INSERT INTO setting VALUES ('zone', 'UTC')")
        insert("INSERT INTO person VALUES (1, 'Wren')")
        insert("INSERT INTO place VALUES (1, 'Slats', 'bench on slats', 1, 60, 12, 21)")
        insert("INSERT INTO container VALUES (1, '72-cell tray', 'cell tray', 72, 43, 'open', 'printed')")
        insert("INSERT INTO variety VALUES (1, 'kale', 'Rill')")
        insert("INSERT INTO entry VALUES (1, 'sown', 1, '2026-03-15 06:30:00.000000', 'sowed', NULL)")
        sown = day(-30).isoformat()
        for tray in range(1, TRAYS + 1):
            insert("INSERT INTO tray VALUES (?, 1, ?, ?, 1, 1, NULL)", (tray, tray, sown))
            insert("INSERT INTO sowing VALUES (?, 1, ?, 1, 1, NULL, 72, 1, ?, NULL)", (tray, tray, sown))
            insert(
                "INSERT INTO act (entry_id, kind, day, tray_id, sowing_id, count) VALUES (1, 'sown', ?, ?, ?, 72)",
                (sown, tray, tray),
            )
        for morning in range(WATERINGS):
            entry, on = morning + 2, day(morning - WATERINGS).isoformat()
            at = f"{on} 06:30:00.000000"
            insert("INSERT INTO entry VALUES (?, ?, 1, ?, 'watered Slats', NULL)", (entry, f"w{entry}", at))
            for tray in range(1, TRAYS + 1):
                insert(
                    "INSERT INTO act (entry_id, kind, day, tray_id) VALUES (?, 'watered', ?, ?)",
                    (entry, on, tray),
                )
        connection.commit()


_VERSION = """
CREATE TABLE alembic_version (version_num VARCHAR(32) NOT NULL);
INSERT INTO alembic_version VALUES ('0001');
"""
