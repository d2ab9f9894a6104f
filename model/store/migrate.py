"""Schema changes: a raw look at the version first, Alembic only when the file is behind, a copy before."""

import sqlite3
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from model.errors import NewerFile, StoreTrouble

if TYPE_CHECKING:
    from sqlalchemy import Connection, Engine

HEAD = "0005"
"""Newest revision in migrations/versions; a test holds the two together."""

KNOWN = frozenset({"0001", "0002", "0003", "0004", "0005"})
"""Every revision this release can read or bring up to date."""

VERSION_TABLE = (
    "CREATE TABLE alembic_version (version_num VARCHAR(32) NOT NULL, "
    "CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num))"
)
"""The table in which Alembic keeps the revision, as Alembic makes it."""

HERE = Path(__file__).parent


class MigrationFailed(Exception):
    """A revision could not be run; its work was undone."""


def _looking(path: Path) -> sqlite3.Connection:
    """A look at a file that nothing is written to, but that may finish what an end by force left half done.

    Opened to read only, SQLite refuses a file whose last transaction has to be rolled back first.
    """
    return sqlite3.connect(f"{path.absolute().as_uri()}?mode=rw", uri=True)


def version(path: Path) -> str | None:
    """Schema revision that a file carries; None where it carries none."""
    with closing(_looking(path)) as connection:
        found = connection.execute("SELECT 1 FROM sqlite_master WHERE name = 'alembic_version'").fetchone()
        if not found:
            return None
        row = connection.execute("SELECT version_num FROM alembic_version").fetchone()
        return row[0] if row else None


def is_blank(path: Path) -> bool:
    """Whether a file is a database without one table: the making of it was broken off, or goes on just now."""
    with closing(_looking(path)) as connection:
        return not _has_tables(connection)


def _has_tables(connection: sqlite3.Connection) -> bool:
    return connection.execute("SELECT 1 FROM sqlite_master").fetchone() is not None


def create(path: Path) -> None:
    """A new file from the shipped schema, whole or not at all."""
    statements = (HERE / "schema.sql").read_text(encoding="utf-8").split(";")
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("PRAGMA journal_mode=WAL")
        connection.execute("BEGIN IMMEDIATE")
        # Another window may have made it while this one waited.
        if not _has_tables(connection):
            for statement in statements:
                connection.execute(statement)
            connection.execute(VERSION_TABLE)
            connection.execute("INSERT INTO alembic_version VALUES (?)", (HEAD,))
        connection.execute("COMMIT")


def is_behind(found: str | None, name: str) -> bool:
    """Whether a database on a server has to be brought up to date; a newer or a foreign one is refused."""
    if found is None or (found not in KNOWN and found < HEAD):
        raise StoreTrouble(
            f"{name} is no trayround database.", "Name another database; this one was not touched."
        )
    if found not in KNOWN:
        raise newer(name, found, "database")
    return found != HEAD


def bring_up_to_date(path: Path) -> None:
    """Leave a present file alone, migrate an older one after a copy, refuse a newer or a foreign one."""
    found = known_version(path)
    if found == HEAD:
        return
    from model.store import backup

    copy = backup.make(path, datetime.now(UTC), f"before-{found}").path
    try:
        upgrade(path)
    except MigrationFailed as error:
        raise StoreTrouble(
            f"{path.name} could not be brought up to date ({error}).",
            f"It was left as it was, and a copy is {copy}; go on with the earlier release.",
        ) from error


def known_version(path: Path) -> str:
    """The schema revision of a file of ours; a newer or a foreign one is refused."""
    found = version(path)
    if found in KNOWN:
        return found
    if found is None or found < HEAD:
        raise _not_ours(path)
    raise newer(path.name, found)


def newer(name: str, found: str, kind: str = "file") -> NewerFile:
    """What to say of a record that a later release wrote."""
    return NewerFile(
        f"{name} was written by a later release (schema {found}, this one knows {HEAD}).",
        f"Bring trayround up to date; the {kind} was not touched.",
    )


def _not_ours(path: Path) -> StoreTrouble:
    """What to say of a database that isn't of this program, or is no more since something wrote over it."""
    from model.store import backup

    if way := backup.way_back(path):
        return StoreTrouble(f"{path.name} is damaged.", way)
    return StoreTrouble(
        f"{path.name} is no trayround database.", "Name another file; this one was not touched."
    )


def upgrade(path: Path) -> None:
    """Run the pending revisions in one transaction."""
    from sqlalchemy import URL, create_engine, event

    engine = create_engine(URL.create("sqlite", database=str(path.absolute())))

    @event.listens_for(engine, "connect")
    def on_connect(connection: sqlite3.Connection, _record: object) -> None:
        # Without our own BEGIN a revision that fails half-way leaves its tables behind.
        connection.isolation_level = None

    @event.listens_for(engine, "begin")
    def on_begin(connection: "Connection") -> None:
        connection.exec_driver_sql("BEGIN IMMEDIATE")

    run_revisions(engine)


def run_revisions(engine: "Engine") -> None:
    """Run the pending revisions in one transaction that begins as the engine says, then let the engine go."""
    from alembic import command
    from alembic.config import Config
    from sqlalchemy.exc import SQLAlchemyError

    config = Config()
    config.set_main_option("script_location", str(HERE / "migrations"))
    try:
        with engine.begin() as connection:
            config.attributes["connection"] = connection
            command.upgrade(config, "head")
    except SQLAlchemyError as error:
        found = getattr(error, "orig", error)
        if getattr(found, "sqlite_errorname", "") == "SQLITE_FULL":
            raise found from error
        # What follows the first line is the row itself.
        raise MigrationFailed(str(found).partition("\n")[0]) from error
    finally:
        engine.dispose()
