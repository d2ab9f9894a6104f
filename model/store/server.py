"""The record that is a database on a PostgreSQL server: shared by several machines, one writer at a time.

Days, instants and truths come out as the text and the numbers that SQLite keeps, here and nowhere else, so that
whatever reads rows needn't know where they come from.
"""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC
from functools import cache, cached_property, partial
from typing import TYPE_CHECKING, Any

import psycopg
from psycopg.types.datetime import DateLoader, TimestamptzLoader

from model.errors import NoDatabase, StoreTrouble
from model.store import migrate
from model.store.address import Server
from model.store.database import BUSY_MS, Rows, Store
from model.text import clean

if TYPE_CHECKING:
    from psycopg.abc import Buffer
    from sqlalchemy import Connection, Engine
    from sqlmodel import Session

Link = psycopg.Connection[Any]

TURN = 0x7472_6179
"""Number of the lock that a writer holds; any will do that all windows agree on."""

BEGIN = (
    f"SET LOCAL lock_timeout = {BUSY_MS}; SET LOCAL synchronous_commit = on; "
    f"SELECT pg_advisory_xact_lock({TURN})"
)
"""Begins a writer's turn: waits for it as long as a file is waited for, then reads what the last one wrote."""

ONCE_MORE = "Nothing was saved; try once more."
KEEPER = "ask whoever keeps the server"
LOST = (
    "The link to the server was lost.",
    "Look whether the last entry stands there before you type it again.",
)
"""Where it was lost in the moment of saving nobody here can tell on which side of it."""

CURES = {
    "55P03": ("Another window is writing to the record.", ONCE_MORE),
    "40": ("Another window is writing to the record.", ONCE_MORE),
    "53100": ("The server's disk is full.", f"Nothing was saved; {KEEPER} to make room."),
    "53": ("The server is at the end of its room.", f"Nothing was saved; close a window, or {KEEPER}."),
    "25006": ("The record can only be read here.", f"For the right to write, {KEEPER}."),
    "42501": ("The server gives this name no right to do that.", f"Nothing was saved; {KEEPER} for it."),
    "57P": LOST,
    "08": LOST,
}
"""What happened and what to do, by the beginning of the server's own code for it."""


def trouble(error: psycopg.Error) -> StoreTrouble:
    """Our word for an error of the server or of the way to it."""
    code = error.sqlstate or (
        "08" if isinstance(error, psycopg.OperationalError | psycopg.InterfaceError) else ""
    )
    for start, (what, cure) in CURES.items():
        if code.startswith(start):
            return StoreTrouble(what, cure)
    words = clean(error.diag.message_primary or str(error), 200)
    return StoreTrouble(
        f"The record refused the entry ({words}).", "Nothing was saved; check what was typed."
    )


def unreached(error: psycopg.Error, server: Server) -> StoreTrouble | NoDatabase:
    """Our word for a server that can't be reached or turns somebody away.

    Before somebody is let in the server gives no code, so its own words have to be looked at; where it speaks
    another language they are passed on as they are.
    """
    words, needs = str(error), error.pgconn is not None and error.pgconn.needs_password
    if needs or "password authentication failed" in words:
        return StoreTrouble(
            f"{server} refused the name or the password." if not needs else f"{server} asks for a password.",
            "Put it into ~/.pgpass or PGPASSWORD, and check the name.",
        )
    if f'database "{server.database}" does not exist' in words:
        return NoDatabase(
            f"There is no database {clean(server.database)} on the server.", "Make it there first: createdb."
        )
    last = clean(words.partition("failed: ")[2].partition("\n")[0] or words, 200)
    return StoreTrouble(
        f"{server} can't be reached ({last}).", "Check the address, and whether the server is running."
    )


class _Day(DateLoader):
    def load(self, data: "Buffer") -> Any:
        return super().load(data).isoformat()


class _Instant(TimestamptzLoader):
    def load(self, data: "Buffer") -> Any:
        return super().load(data).astimezone(UTC).replace(tzinfo=None).isoformat(" ", "microseconds")


class _Truth(psycopg.adapt.Loader):
    def load(self, data: "Buffer") -> int:
        return int(bytes(data) == b"t")


class _Sum(psycopg.adapt.Loader):
    """A sum of whole numbers has a type without bounds."""

    def load(self, data: "Buffer") -> int | float:
        return float(data) if b"." in bytes(data) else int(bytes(data))


LOADERS: dict[str, type[psycopg.abc.Loader]] = {
    "date": _Day,
    "timestamptz": _Instant,
    "bool": _Truth,
    "numeric": _Sum,
}

_MARKS = re.compile(r"'[^']*'|\?|%")


@cache
def placed(sql: str) -> bytes:
    """SQL with the driver's marks for values in the place of question marks."""

    def one(found: re.Match[str]) -> str:
        text = found[0]
        return "%s" if text == "?" else text.replace("%", "%%")

    return _MARKS.sub(one, sql).encode()


def ask(link: Link, sql: str, *values: Any) -> list[Any]:
    """Rows of an SQL text, their values as a file would give them."""
    cursor = link.cursor()
    for name, loader in LOADERS.items():
        cursor.adapters.register_loader(name, loader)
    cursor.execute(placed(sql), values)
    return cursor.fetchall() if cursor.description else []


class ServerStore(Store):
    """One database on a server."""

    def __init__(self, server: Server) -> None:
        super().__init__(server)
        self._server = server
        self._idle: list[Link] = []
        """Links that are open and that nobody reads through just now; making one takes longer than most reads."""

    @contextmanager
    def reading(self) -> Iterator[Rows]:
        """A look at one moment of the database."""
        link = self._free()
        try:
            yield partial(ask, link)
            link.rollback()
        except BaseException as error:
            link.close()
            if isinstance(error, psycopg.Error):
                raise trouble(error) from error
            raise
        self._idle.append(link)

    def _free(self) -> Link:
        """A link that stands at the beginning of a look."""
        while self._idle:
            link = self._idle.pop()
            try:
                link.execute("SELECT")
            except psycopg.Error:
                # The server was started anew meanwhile, say.
                link.close()
            else:
                return link
        link = self._linked()
        link.isolation_level = psycopg.IsolationLevel.REPEATABLE_READ
        link.read_only = True
        return link

    def _linked(self) -> Link:
        try:
            # A statement that is kept ready would be at odds with a schema that changes meanwhile.
            return psycopg.connect(
                **dict(self._server.options),  # type: ignore[arg-type]
                application_name="trayround",
                client_encoding="utf8",
                prepare_threshold=None,
            )
        except psycopg.Error as error:
            raise unreached(error, self._server) from error

    def plain(self, session: "Session", sql: str, values: tuple[Any, ...]) -> list[Any]:
        """Rows of an SQL text inside a transaction."""
        link = session.connection().connection.driver_connection
        assert isinstance(link, psycopg.Connection)
        return ask(link, sql, *values)

    def trouble(self, error: BaseException) -> StoreTrouble | None:
        """Our word for an error of the server."""
        return trouble(error) if isinstance(error, psycopg.Error) else None

    def _session(self) -> "Session":
        from sqlalchemy import event

        session = super()._session()
        event.listen(session, "before_flush", _number_rows)
        return session

    @cached_property
    def _engine(self) -> "Engine":
        from sqlalchemy import create_engine, event

        engine = create_engine("postgresql+psycopg://", creator=self._linked, pool_pre_ping=True)

        @event.listens_for(engine, "begin")
        def on_begin(connection: "Connection") -> None:
            link = connection.connection.driver_connection
            assert isinstance(link, psycopg.Connection)
            link.execute(BEGIN)

        return engine

    def close(self) -> None:
        """Let go of the server."""
        super().close()
        while self._idle:
            self._idle.pop().close()

    def settle(self, make: bool) -> None:
        """Bring the database to the present schema; give it one only where `make` says so."""
        with self.reading() as rows:
            tables = {
                name
                for (name,) in rows("SELECT tablename FROM pg_tables WHERE schemaname = current_schema()")
            }
            found = rows("SELECT version_num FROM alembic_version") if "alembic_version" in tables else []
            # Tables without a setting are what an import leaves that was refused.
            farm = bool(found and "setting" in tables and rows("SELECT 1 FROM setting LIMIT 1"))
        if tables and migrate.is_behind(found[0][0] if found else None, self.name):
            self._upgrade()
        elif not tables and make:
            self._create()
        if not farm and not make:
            raise NoDatabase(
                f"There is no farm in {self.name} yet.",
                "Start the app once to make one, or name another with --db.",
            )

    def _create(self) -> None:
        from model.store.server_schema import create

        with self.transaction() as session:
            create(session.connection())

    def _upgrade(self) -> None:
        try:
            migrate.run_revisions(self._engine)
        except migrate.MigrationFailed as error:
            raise StoreTrouble(
                f"{self.name} could not be brought up to date ({error}).",
                "It was left as it was; go on with the earlier release.",
            ) from error


def _number_rows(session: "Session", *_: object) -> None:
    """Number new rows on from the highest, as SQLite does: no gap after an entry that was refused.

    Only one writer has the turn, so nobody else takes the same number.
    """
    from sqlalchemy import inspect

    rows: dict[str, int] = {}
    for row in sorted(session.new, key=lambda row: inspect(row).insert_order):
        if "id" in type(row).model_fields and row.id is None:
            table = row.__tablename__
            if table not in rows:
                found = session.connection().exec_driver_sql(f'SELECT coalesce(max(id), 0) FROM "{table}"')
                rows[table] = int(found.scalar_one())
            rows[table] += 1
            row.id = rows[table]


def open_server(server: Server, *, make: bool = False) -> ServerStore:
    """The store at an address, brought to the present schema; a new one only where `make` says so."""
    store = ServerStore(server)
    try:
        store.settle(make)
    except BaseException:
        store.close()
        raise
    return store
