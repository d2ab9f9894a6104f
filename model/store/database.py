"""The record: opening it, one transaction a wish, plain reads; and the record that is a file.

Writes go through SQLModel; it is imported when the first write is prepared, because the round has to be on
the screen sooner than that import allows. Reads are plain SQL over the driver itself.
"""

import sqlite3
from abc import ABC, abstractmethod
from collections.abc import Callable, Collection, Iterator
from contextlib import AbstractContextManager, contextmanager
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from model.errors import NoDatabase, StoreTrouble
from model.store.address import Server, Where

if TYPE_CHECKING:
    from sqlalchemy import Engine
    from sqlmodel import Session

Rows = Callable[..., list[Any]]
"""Takes an SQL text and its values, gives rows; the same for a plain read and inside a transaction."""

BUSY_MS = 4000
"""How long a write waits for another window's write [ms]."""

PRAGMAS = ("journal_mode=WAL", "synchronous=FULL", "foreign_keys=ON", f"busy_timeout={BUSY_MS}")

CURES = {
    "SQLITE_BUSY": ("Another window is writing to the record.", "Nothing was saved; try once more."),
    "SQLITE_LOCKED": ("Another window is writing to the record.", "Nothing was saved; try once more."),
    "SQLITE_FULL": ("The disk is full.", "Nothing was saved; make room and try once more."),
    "SQLITE_READONLY": (
        "The record can only be read here.",
        "Give yourself the right to write to the file and its folder.",
    ),
    "SQLITE_CANTOPEN": ("The file can't be opened.", "Check the folder and your rights to it."),
    "SQLITE_NOTADB": ("The file is no trayround database.", "Name another file; this one was not touched."),
    "SQLITE_CORRUPT": ("The file is damaged.", "It was not touched; take another copy of it."),
}

DAMAGE = ("SQLITE_NOTADB", "SQLITE_CORRUPT")
"""What SQLite says of a file that something wrote over or cut short."""

UNREADABLE = (sqlite3.Error, UnicodeDecodeError, MemoryError)
"""What reading a file may end with: where a name in its schema was written over, even the message can't be read; where
the length of a value was, there is no room for it."""

STRANGE = (ValueError, TypeError, KeyError, AttributeError, OverflowError)
"""What making sense of a row ends with where something wrote over its values."""


def trouble(error: Exception, path: Path | None = None) -> StoreTrouble:
    """Our word for an error of SQLite, by its own name for it; a damaged file's with the way back to a backup."""
    name = getattr(error, "sqlite_errorname", "") or ""
    if isinstance(error, (UnicodeDecodeError, MemoryError)) or "Could not decode" in str(error):
        name = "SQLITE_CORRUPT"
    if path is not None and name.startswith(DAMAGE):
        from model.store.backup import no_backup, way_back

        if way := way_back(path):
            return StoreTrouble("The file is damaged.", way)
        if name.startswith("SQLITE_CORRUPT"):
            return StoreTrouble("The file is damaged.", no_backup(path))
        what, cure = CURES["SQLITE_NOTADB"]
        return StoreTrouble(what, f"{cure} If it was your farm's, something wrote over it. {no_backup(path)}")
    for start, (what, cure) in CURES.items():
        if name.startswith(start):
            return StoreTrouble(what, cure)
    return StoreTrouble(
        f"The record refused the entry ({error}).", "Nothing was saved; check what was typed."
    )


class Store(ABC):
    """One farm's record. Make it with `open_store`."""

    path: Path | None = None
    """The file, where it is one."""

    def __init__(self, where: Where) -> None:
        self.where = where

    @property
    def name(self) -> str:
        """What people call it: the path of a file, the address of a server without a password."""
        return str(self.where)

    @abstractmethod
    def reading(self) -> AbstractContextManager[Rows]:
        """A read-only look at one moment of the record: a function from SQL and its values to rows."""

    @abstractmethod
    def plain(self, session: "Session", sql: str, values: tuple[Any, ...]) -> list[Any]:
        """Rows of an SQL text inside a transaction, of the same kinds of value as `reading` gives."""

    @abstractmethod
    def trouble(self, error: BaseException) -> StoreTrouble | None:
        """Our word for an error of the driver; None where it is none of the driver's."""

    @property
    @abstractmethod
    def _engine(self) -> "Engine": ...

    @contextmanager
    def transaction(self) -> Iterator["Session"]:
        """A session whose work is kept whole when the block ends, and not at all when it fails."""
        try:
            with self._session() as session:
                yield session
                session.commit()
        except Exception as error:
            told = self.trouble(getattr(error, "orig", error))
            if told is None:
                raise
            raise told from error

    def _session(self) -> "Session":
        from sqlmodel import Session

        return Session(self._engine, expire_on_commit=False, info={"store": self})

    def close(self) -> None:
        """Let go of the record."""
        if "_engine" in self.__dict__:
            self._engine.dispose()


class FileStore(Store):
    """One database file."""

    path: Path

    def __init__(self, path: Path) -> None:
        super().__init__(path)
        self.path = path

    @contextmanager
    def reading(self) -> Iterator[Rows]:
        """A look at one moment of the file."""
        try:
            connection = sqlite3.connect(f"{self.path.absolute().as_uri()}?mode=ro", uri=True)
            try:
                connection.execute(f"PRAGMA busy_timeout={BUSY_MS}")
                connection.execute("BEGIN")
                yield lambda sql, *values: connection.execute(sql, values).fetchall()
            finally:
                connection.close()
        except UNREADABLE as error:
            raise trouble(error, self.path) from error
        except STRANGE as error:
            _refuse_if_damaged(self.path, error)
            raise

    def plain(self, session: "Session", sql: str, values: tuple[Any, ...]) -> list[Any]:
        """Rows of an SQL text inside a transaction."""
        result = session.connection().exec_driver_sql(sql, values)
        return list(result.fetchall()) if result.returns_rows else []

    def trouble(self, error: BaseException) -> StoreTrouble | None:
        """Our word for an error of SQLite."""
        return trouble(error, self.path) if isinstance(error, sqlite3.Error) else None

    @cached_property
    def _engine(self) -> "Engine":
        from sqlalchemy import URL, create_engine, event

        engine = create_engine(URL.create("sqlite", database=str(self.path.absolute())))

        @event.listens_for(engine, "connect")
        def on_connect(connection: Any, _record: Any) -> None:
            # The driver's own transactions start too late to keep two windows from overwriting each other.
            connection.isolation_level = None
            for pragma in PRAGMAS:
                connection.execute(f"PRAGMA {pragma}")

        @event.listens_for(engine, "begin")
        def on_begin(connection: Any) -> None:
            connection.exec_driver_sql("BEGIN IMMEDIATE")

        return engine


def listed(ids: Collection[int]) -> str:
    """Numbers of rows as SQL lists them; 0, which no row has, where there are none: an empty list isn't SQL."""
    return ",".join(str(int(i)) for i in sorted(ids)) or "0"


def rows_of(session: "Session") -> Rows:
    """Plain reads inside a transaction, seeing what it has written so far."""
    store: Store = session.info["store"]

    def rows(sql: str, *values: Any) -> list[Any]:
        session.flush()
        return store.plain(session, sql, values)

    return rows


def open_store(where: Where, *, make: bool = False) -> Store:
    """The store at a path or an address, brought to the present schema; a new one only where `make` says so."""
    if not isinstance(where, Server):
        return _open_file(where, make)
    try:
        from model.store.server import open_server
    except ImportError as error:
        raise StoreTrouble(
            "A further package is needed for a farm on a server.",
            "Put it in with: pip install 'trayround[postgres]'.",
        ) from error
    return open_server(where, make=make)


def _open_file(path: Path, make: bool) -> FileStore:
    from model.store import migrate

    try:
        if path.is_dir():
            raise NoDatabase(f"{path} is a folder.", "Name a file in it.")
        if not path.exists() or path.stat().st_size == 0 or migrate.is_blank(path):
            _refuse_if_lost(path)
            if not make:
                raise NoDatabase(
                    f"There is no database at {path}.",
                    "Start the app once to make one, or name another with --db.",
                )
            path.parent.mkdir(parents=True, exist_ok=True)
            migrate.create(path)
        else:
            migrate.bring_up_to_date(path)
    except UNREADABLE as error:
        raise trouble(error, path) from error
    except OSError as error:
        raise StoreTrouble(
            f"{path} can't be opened ({error.strerror}).", "Check the folder and your rights to it."
        ) from error
    return FileStore(path)


def _refuse_if_lost(path: Path) -> None:
    """Make no new farm where backups tell that there was one."""
    from model.store.backup import folder_of, way_back

    if way := way_back(path):
        raise NoDatabase(
            f"There is no record left in {path.name}, but there are backups of it.",
            f"{way} To begin anew instead, move {folder_of(path).name} away.",
        )


def _refuse_if_damaged(path: Path, error: Exception) -> None:
    """Say so where an error came of a damaged file; any other error is one of ours."""
    from model.store.backup import damaged
    from model.store.soundness import defects

    if defects(path):
        raise damaged(path) from error
