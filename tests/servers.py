"""Databases on the server that the tests are given, each used once."""

import os
from dataclasses import replace
from typing import TYPE_CHECKING
from uuid import uuid4

import pytest

from model.store.address import Server, where_of
from model.store.tables import metadata

if TYPE_CHECKING:
    from psycopg import Connection

ADDRESS = os.environ.get("TRAYROUND_TEST_POSTGRES", "")
needed = [
    pytest.mark.postgres,
    pytest.mark.skipif(
        not ADDRESS, reason="TRAYROUND_TEST_POSTGRES names no server; .ci/with-postgres starts one"
    ),
]
"""Marks of a test that needs the server."""


def the_server() -> Server:
    """The server itself, by the database in which others are made."""
    server = where_of(ADDRESS)
    assert isinstance(server, Server)
    return server


def link(server: Server) -> "Connection":
    """A link of our own, as whoever keeps the server has it."""
    import psycopg

    return psycopg.connect(**dict(server.options), autocommit=True)  # type: ignore[arg-type]


def named(database: str, **options: str) -> Server:
    """Another database of the server, or another way to it."""
    server = the_server()
    told = {**server.options, "dbname": database, **options}
    return replace(server, shown=server.shown.replace("/postgres?", f"/{database}?"), options=told)


def address_of(server: Server) -> str:
    """What somebody types after --db, with the password in it."""
    return ADDRESS.replace("/postgres?", f"/{server.database}?")


def new_database(copy_of: Server | None = None) -> Server:
    """An empty database, or a copy of one that nobody has open."""
    name = f"farm_{uuid4().hex}"
    with link(the_server()) as keeper:
        keeper.execute(f"CREATE DATABASE {name} TEMPLATE {copy_of.database if copy_of else 'template0'}")
    return named(name)


def put_aside(server: Server) -> None:
    """Keep the rows of a database as they are now."""
    with link(server) as keeper:
        keeper.execute("CREATE SCHEMA aside")
        for table in metadata.sorted_tables:
            keeper.execute(f'CREATE TABLE aside."{table.name}" AS TABLE "{table.name}"')


def as_put_aside(server: Server) -> Server:
    """Give a database the rows again that were put aside."""
    names = [f'"{table.name}"' for table in metadata.sorted_tables]
    undone = [f"DELETE FROM {name}" for name in reversed(names)]
    again = [f"INSERT INTO {name} TABLE aside.{name}" for name in names]
    with link(server) as keeper:
        keeper.execute("; ".join(["BEGIN", *undone, *again, "COMMIT"]))
    return server


def drop(server: Server) -> None:
    """Throw a database away, whoever still looks at it."""
    with link(the_server()) as keeper:
        keeper.execute(f"DROP DATABASE {server.database} WITH (FORCE)")
