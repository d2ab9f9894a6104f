"""Putting a copy in the place of the record, which is kept aside."""

import os
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import UTC, datetime
from pathlib import Path

from model.errors import BadInput, StoreTrouble
from model.store.backup import AT, SIDES, backups, beside, copy_to, folder_of, newest_good, sweep, sync
from model.store.database import UNREADABLE


def put_back(path: Path, copy: Path, now: datetime) -> Path | None:
    """Put a copy in the place of a file; the name under which the file is kept aside, None where there was none.

    Whenever it is broken off, either the file as it was or the whole copy stands there.
    """
    # Where the name leads to another disk, the file itself is what is put back.
    path = path.resolve()
    draft = path.with_name(f".{path.name}.{os.getpid()}.restored.part")
    try:
        sweep(path.parent, f".*{path.name}.*.restored.part*")
        copy_to(copy, draft)
        with _alone_with(path):
            aside = _kept_aside(path, now)
            if path.exists():
                shutil.copymode(path, draft)
            for end in SIDES:
                beside(path, end).unlink(missing_ok=True)
            draft.replace(path)
            sync(path.parent)
    except OSError as error:
        raise StoreTrouble(
            f"{copy.name} can't be put in the place of {path} ({error.strerror}).",
            "The file is as it was; make room, or check your rights to the folder.",
        ) from error
    finally:
        draft.unlink(missing_ok=True)
    return aside


@contextmanager
def _alone_with(path: Path) -> Iterator[None]:
    """Fold what SQLite keeps beside a file into it and lock it; refused while another window has it open.

    What can't be read can't be locked either, and is kept as it is.
    """
    if not path.exists():
        yield
        return
    with closing(sqlite3.connect(path, timeout=0, isolation_level=None)) as connection:
        try:
            connection.execute("PRAGMA journal_mode=DELETE")
            connection.execute("BEGIN EXCLUSIVE")
        except UNREADABLE as error:
            if getattr(error, "sqlite_errorname", "").startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
                raise StoreTrouble(
                    "Another window has the record open.", "Close it, then restore. Nothing was changed."
                ) from error
        yield


def _kept_aside(path: Path, now: datetime) -> Path | None:
    """A second name for a file and what lies beside it; None where there is none."""
    if not path.exists():
        return None
    name = f"{path.name}.kept-{now.astimezone(UTC).strftime(AT)}"
    aside = path.with_name(name)
    number = 2
    while aside.exists():
        aside, number = path.with_name(f"{name}-{number}"), number + 1
    for end in ("", *SIDES):
        if beside(path, end).exists():
            _second_name(beside(path, end), beside(aside, end))
    return aside


def _second_name(path: Path, other: Path) -> None:
    try:
        other.hardlink_to(path)
    except OSError:
        # Not every disk knows a second name for a file.
        shutil.copy2(path, other)
        sync(other)


def wanted_copy(path: Path, wanted: str) -> Path:
    """The copy that is meant: "newest", the number or name of a backup, or any file."""
    if wanted == "newest":
        newest = newest_good(path)
        if newest is None:
            raise BadInput(
                f"There is no good backup in {folder_of(path)}.",
                "Name a copy by its file: from a stick, or the other laptop's.",
            )
        return newest.path
    for backup in backups(path):
        if wanted in (str(backup.number), f"{backup.number:04}", backup.path.name):
            return backup.path
    copy = Path(wanted)
    if not copy.is_file():
        raise BadInput(
            f"There is no backup {wanted!r}.", "trayround restore lists them; give a number or newest."
        )
    if path.exists() and copy.samefile(path):
        raise BadInput("That is the record itself.", "Name a copy of it.")
    return copy
