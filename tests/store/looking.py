"""Looks at a record from outside: every row, what is kept of the trays, the acts of an entry."""

import hashlib
import sqlite3
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from model.actions import files
from model.facts import Act, Sowing, Tray
from model.store import reading
from model.store.database import Store
from model.store.tables import metadata
from model.views import check
from tests.builders import TODAY


def every_row(path: Path) -> str:
    """All tables with all their rows, as SQL text."""
    with closing(sqlite3.connect(path)) as connection:
        return "\n".join(connection.iterdump())


def state(store: Store) -> str:
    """Hash over all tables of the record."""
    return hashlib.sha256(
        (every_row(store.path) if store.path else _every_row_there(store)).encode()
    ).hexdigest()


def _every_row_there(store: Store) -> str:
    """All tables of a record on a server with all their rows."""
    tables = {table.name: f'SELECT * FROM "{table.name}"' for table in metadata.sorted_tables}
    with store.reading() as rows:
        return "\n".join(f"{name}: {sorted(rows(sql), key=repr)}" for name, sql in tables.items())


def kept(store: Store) -> list[Any]:
    """What is kept of every tray: the projection, row by row."""
    with store.reading() as rows:
        return rows("SELECT tray_id, standing, facts FROM tray_now ORDER BY tray_id")


def kept_anew(store: Store) -> list[Any]:
    """The same, thrown away and reckoned anew from the acts."""
    files.rebuild(store)
    return kept(store)


def the_tray(store: Store, tray_id: int) -> Tray:
    """A tray as it is now."""
    with store.reading() as rows:
        return reading.trays(rows, [tray_id])[tray_id]


def the_sowing(store: Store, tray_id: int, part: int = 1) -> Sowing:
    """A part of a tray as it is now."""
    return next(sowing for sowing in the_tray(store, tray_id).sowings if sowing.part == part)


def acts_of_entry(store: Store, entry_id: int) -> list[Act]:
    """The acts that one entry put down."""
    with store.reading() as rows:
        return reading.acts_in(rows, entry_id)


def said(acts: list[Act], *fields: str) -> list[tuple[Any, ...]]:
    """Some fields of some acts."""
    return [tuple(getattr(act, field) for field in fields) for act in acts]


def balance(sowing: Sowing) -> int:
    """Every cell once: standing, empty, lost, potted up, set out or retired."""
    return sowing.have + sowing.empty + sowing.lost + sowing.potted + sowing.out + sowing.retired


def findings(store: Store) -> list[str]:
    """What trayround check finds fault with."""
    page = check.read(store.where, datetime(TODAY.year, TODAY.month, TODAY.day, 20, tzinfo=UTC))
    return [words for checked in page.checks for words in checked.found]
