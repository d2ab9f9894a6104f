"""The tables on a server, made from the same table classes as those of a file."""

from sqlalchemy import Connection, MetaData, String
from sqlmodel.sql.sqltypes import AutoString

from model.store import migrate
from model.store.tables import metadata


def create(connection: Connection) -> None:
    """Make the tables, inside a transaction that has the turn; another window may have made them while it waited."""
    made = connection.exec_driver_sql("SELECT 1 FROM pg_tables WHERE schemaname = current_schema() LIMIT 1")
    if made.first():
        return
    tables().create_all(connection)
    connection.exec_driver_sql(migrate.VERSION_TABLE)
    connection.exec_driver_sql(f"INSERT INTO alembic_version VALUES ('{migrate.HEAD}')")


def tables() -> MetaData:
    """The tables as a server takes them.

    Text sorts by its code points, as in a file, whatever language the server keeps. Numbers of rows are given
    by the writer who has the turn, so that they don't jump.
    """
    copied = MetaData(naming_convention=metadata.naming_convention)
    for table in metadata.sorted_tables:
        for column in table.to_metadata(copied).columns:
            column.autoincrement = False
            if isinstance(column.type, AutoString):
                column.type = String(collation="C")
    return copied
