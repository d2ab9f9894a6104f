"""Whether a file is sound: as a database, and in the kind of every value."""

import re
import sqlite3
from collections.abc import Iterator
from contextlib import closing, suppress
from pathlib import Path

from model.store.database import UNREADABLE


def looking(path: Path) -> sqlite3.Connection:
    """A connection that can only read."""
    return sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True)


def defects(path: Path) -> list[str]:
    """What is wrong with a file as a database, and with the kind of its values; nothing in a sound one."""
    try:
        with closing(looking(path)) as connection:
            found = [words for (words,) in connection.execute("PRAGMA integrity_check(20)") if words != "ok"]
            found += [
                f"row {row} of {table} points at no {parent}"
                for table, row, parent, _ in connection.execute("PRAGMA foreign_key_check")
            ]
            return found or [*_wrong_kinds(connection), *_broken_rules(connection)]
    except UNREADABLE as error:
        return [str(error) or "the length of a value was written over"]


_TEXT = "typeof({0}) = 'text' AND instr(CAST({0} AS BLOB), x'00') = 0"
"""Text to its end: SQLite's own functions stop at a zero."""
_RIGHT = {
    "INTEGER": "typeof({0}) = 'integer'",
    "BOOLEAN": "{0} IN (0, 1)",
    "FLOAT": "typeof({0}) IN ('real', 'integer')",
    "DATE": "typeof({0}) = 'text' AND date({0}) = {0}",
    "DATETIME": f"{_TEXT} AND datetime({{0}}) IS NOT NULL",
}
"""When a value is of the kind of its column; any other column holds text."""


def _wrong_kinds(connection: sqlite3.Connection) -> list[str]:
    """Columns that hold what they can't: the database itself takes any value anywhere."""
    found = []
    for (table,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall():
        # Text that isn't text at all is found by reading it.
        for _ in connection.execute(f"SELECT * FROM {table}"):
            pass
        for _, column, kind, *_ in connection.execute(f"PRAGMA table_info({table})").fetchall():
            right = _RIGHT.get(kind, _TEXT).format(column)
            sql = f"SELECT count(*) FROM {table} WHERE {column} IS NOT NULL AND NOT ({right})"
            ((count,),) = connection.execute(sql)
            if count:
                found.append(f"{count} rows of {table} hold no {kind.lower()} in {column}")
    return found


def _broken_rules(connection: sqlite3.Connection) -> Iterator[str]:
    """Rules of tables that rows break. SQLite's own check passes over them where it may only read."""
    for table, sql in connection.execute(
        "SELECT name, sql FROM sqlite_master WHERE type = 'table'"
    ).fetchall():
        for begin in re.finditer(r"CONSTRAINT (\w+) CHECK (?=\()", sql):
            rule = _in_brackets(sql[begin.end() :])
            ((count,),) = connection.execute(f"SELECT count(*) FROM {table} WHERE NOT {rule}")
            if count:
                yield f"{count} rows of {table} break the rule {begin[1]}"


def _in_brackets(text: str) -> str:
    """The text up to the bracket that closes its first one."""
    depth = 0
    for at, char in enumerate(text):
        depth += (char == "(") - (char == ")")
        if depth == 0:
            return text[: at + 1]
    return text


def is_good(path: Path) -> bool:
    """Whether a copy is sound and holds a farm."""
    with suppress(*UNREADABLE), closing(looking(path)) as connection:
        farm = connection.execute("SELECT 1 FROM setting WHERE name = 'zone'").fetchone()
        return farm is not None and not defects(path)
    return False
