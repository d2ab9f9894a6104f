"""Whole copies of the record beside it, verified before they count; and putting one of them in its place.

A file `farm.db` has its backups in `farm.db.backups`. They are numbered, since a clock can be set back.
"""

import os
import re
import shlex
import shutil
import sqlite3
from collections.abc import Collection, Iterable, Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from model.days import farm_day, local_time, say_day
from model.errors import BadInput, StoreTrouble
from model.store.database import UNREADABLE, trouble

KEPT = 14
"""How many backups stay."""

SIDES = ("-wal", "-shm", "-journal")
"""What SQLite keeps beside a file that is open, or was when the power went."""

STALE = timedelta(hours=1)
"""After this a draft is one whose making was broken off."""

_NAME = re.compile(r"(\d{4,})_(\d{4}-\d{2}-\d{2}T\d{6}Z)(?:_(before-\w+))?\.db")
_AT = "%Y-%m-%dT%H%M%SZ"


@dataclass(frozen=True, slots=True)
class Backup:
    """One copy. The highest number is the newest, whatever the clock said."""

    path: Path
    number: int
    at: datetime
    why: str
    """"before-0002" where it was made before a migration from that revision; "" otherwise."""


@dataclass(frozen=True, slots=True)
class Written:
    """One entry, as far as a damaged file still tells it."""

    uid: str
    who: str
    at: datetime
    words: str


def folder_of(path: Path) -> Path:
    """Where the backups of a file lie."""
    return path.with_name(f"{path.name}.backups")


def backups(path: Path) -> list[Backup]:
    """The backups of a file, the newest first; good or not."""
    found = []
    for copy in folder_of(path).glob("*.db"):
        match = _NAME.fullmatch(copy.name)
        if match:
            at = datetime.strptime(match[2], _AT).replace(tzinfo=UTC)
            found.append(Backup(copy, int(match[1]), at, match[3] or ""))
    return sorted(found, key=lambda backup: backup.number, reverse=True)


def is_due(path: Path, now: datetime, zone: str) -> bool:
    """Whether the newest backup is of another day of the farm than today."""
    newest = next(iter(backups(path)), None)
    return newest is None or farm_day(newest.at, zone) != farm_day(now, zone)


def make(path: Path, now: datetime, why: str = "") -> Backup:
    """A backup in the folder beside the file; older ones go once it is verified. Refused in words where it can't be."""
    folder = folder_of(path)
    try:
        folder.mkdir(exist_ok=True)
        _sweep(folder, ".*.part*")
        before = backups(path)
        number = before[0].number + 1 if before else 1
        at = now.astimezone(UTC)
        name = f"{number:04}_{at.strftime(_AT)}{'_' if why else ''}{why}.db"
        copy_to(path, folder / name)
    except OSError as error:
        raise StoreTrouble(
            f"No backup was made in {folder} ({error.strerror}).",
            "What is on record stays there; make room, or check your rights to the folder.",
        ) from error
    made = Backup(folder / name, number, at, why)
    for old in _too_many([made, *before]):
        # One that stays too long does no harm.
        with suppress(OSError):
            old.path.unlink()
    return made


def _too_many(newest_first: Collection[Backup]) -> list[Backup]:
    """Backups beyond those that are kept: first those of a day that has a newer one, then the oldest."""
    days: set[object] = set()
    ranked = []
    for backup in newest_first:
        ranked.append((backup.at.date() in days, -backup.number, backup))
        days.add(backup.at.date())
    return [backup for _, _, backup in sorted(ranked, key=lambda rank: rank[:2])[KEPT:]]


def copy_to(path: Path, goal: Path) -> None:
    """A whole copy of a file that may be in use: verified under another name, then renamed."""
    draft = goal.with_name(f".{goal.name}.{os.getpid()}.part")
    try:
        with closing(_looking(path)) as source, closing(sqlite3.connect(draft)) as target:
            source.backup(target)
            # One file that can be read where nothing can be written.
            target.execute("PRAGMA journal_mode=DELETE")
        if defects(draft):
            raise damaged(path)
        _sync(draft)
        draft.replace(goal)
        _sync(goal.parent)
    except UNREADABLE as error:
        found = trouble(error, path)
        raise StoreTrouble(f"No copy was made. {found.what_happened}", found.what_to_do) from error
    finally:
        for end in ("", *SIDES):
            _beside(draft, end).unlink(missing_ok=True)


def _sweep(folder: Path, pattern: str) -> None:
    """Take away drafts whose making was broken off a while ago."""
    for old in folder.glob(pattern):
        with suppress(OSError):
            if datetime.now(UTC) - datetime.fromtimestamp(old.stat().st_mtime, UTC) > STALE:
                old.unlink()


def _beside(path: Path, end: str) -> Path:
    return path.with_name(path.name + end)


def _looking(path: Path) -> sqlite3.Connection:
    return sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True)


def _sync(path: Path) -> None:
    """Make sure that a file, or a name in a folder, is on the disk."""
    if path.is_dir() and os.name == "nt":
        return
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def defects(path: Path) -> list[str]:
    """What is wrong with a file as a database, and with the kind of its values; nothing in a sound one."""
    try:
        with closing(_looking(path)) as connection:
            found = [words for (words,) in connection.execute("PRAGMA integrity_check(20)") if words != "ok"]
            found += [
                f"row {row} of {table} points at no {parent}"
                for table, row, parent, _ in connection.execute("PRAGMA foreign_key_check")
            ]
            return found or _wrong_kinds(connection)
    except UNREADABLE as error:
        return [str(error)]


_RIGHT = {
    "INTEGER": "typeof({0}) = 'integer'",
    "BOOLEAN": "{0} IN (0, 1)",
    "FLOAT": "typeof({0}) IN ('real', 'integer')",
    "DATE": "typeof({0}) = 'text' AND date({0}) = {0}",
    "DATETIME": "typeof({0}) = 'text' AND datetime({0}) IS NOT NULL",
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
            right = _RIGHT.get(kind, "typeof({0}) = 'text'").format(column)
            sql = f"SELECT count(*) FROM {table} WHERE {column} IS NOT NULL AND NOT ({right})"
            ((count,),) = connection.execute(sql)
            if count:
                found.append(f"{count} rows of {table} hold no {kind.lower()} in {column}")
    return found


def is_good(path: Path) -> bool:
    """Whether a copy is sound and holds a farm."""
    with suppress(*UNREADABLE), closing(_looking(path)) as connection:
        farm = connection.execute("SELECT 1 FROM setting WHERE name = 'zone'").fetchone()
        return farm is not None and not defects(path)
    return False


def newest_good(path: Path) -> Backup | None:
    """The newest backup of a file that can be gone back to."""
    return next((backup for backup in backups(path) if is_good(backup.path)), None)


# What a backup lacks.


def written(path: Path) -> dict[str, Written]:
    """Every entry by its uid, as far as the file can still be read: from its beginning on, and from its end back."""
    found: dict[str, Written] = {}
    with suppress(*UNREADABLE), closing(_looking(path)) as connection:
        people = dict(_as_far_as_it_goes(connection, "SELECT id, name FROM person"))
        for order in ("", " DESC"):
            sql = f"SELECT uid, person_id, entered_at, words FROM entry ORDER BY id{order}"
            for uid, person, at, words in _as_far_as_it_goes(connection, sql):
                with suppress(ValueError, TypeError):
                    instant = datetime.fromisoformat(at).replace(tzinfo=UTC)
                    found[uid] = Written(uid, str(people.get(person, "somebody")), instant, str(words))
    return found


def _as_far_as_it_goes(connection: sqlite3.Connection, sql: str) -> Iterator[Any]:
    with suppress(*UNREADABLE):
        yield from connection.execute(sql)


def lacking(path: Path, copy: Path) -> list[Written]:
    """Entries that can be read in a file and aren't in a copy of it, in the order in which they were made."""
    there = written(copy)
    return [entry for uid, entry in sorted(written(path).items(), key=_by_instant) if uid not in there]


def _by_instant(item: tuple[str, Written]) -> datetime:
    return item[1].at


def said_lacking(entries: Iterable[Written], zone: str) -> str:
    """How many entries, of which days and by whom: "3 entries: Tue 14 Apr, Wren"."""
    listed = list(entries)
    days = dict.fromkeys(say_day(farm_day(entry.at, zone)) for entry in listed)
    people = dict.fromkeys(entry.who for entry in listed)
    few = [*days] if len(days) <= 2 else [f"{next(iter(days))} to {[*days][-1]}"]
    return f"{len(listed)} entr{'y' if len(listed) == 1 else 'ies'}: {', '.join([*few, *people])}"


def zone_of(path: Path) -> str:
    """The farm's time zone, as a file has it."""
    with suppress(*UNREADABLE), closing(_looking(path)) as connection:
        found = connection.execute("SELECT value FROM setting WHERE name = 'zone'").fetchone()
        return str(found[0]) if found else "UTC"
    return "UTC"


def said_moment(at: datetime, zone: str) -> str:
    """Day and time at the farm: "Tue 14 Apr 6:30"."""
    return f"{say_day(farm_day(at, zone))} {local_time(at, zone)}"


# A damaged file.


def damaged(path: Path) -> StoreTrouble:
    """What to say of a file that can't be read whole, with the way back to the newest good backup."""
    return StoreTrouble(
        f"{path.name} is damaged.", way_back(path) or "There is no good backup beside it; it was not touched."
    )


def way_back(path: Path) -> str:
    """The command that goes back to the newest good backup, and what would be missing; "" where there is none."""
    newest = newest_good(path)
    if newest is None:
        return ""
    zone = zone_of(newest.path)
    missing = lacking(path, newest.path)
    without = f", without {said_lacking(missing, zone)}" if missing else ""
    return (
        f"Run: trayround restore newest --db {shlex.quote(str(path))}. It takes the backup of "
        f"{said_moment(newest.at, zone)}{without}, and keeps this file aside."
    )


# Putting a copy in its place.


def put_back(path: Path, copy: Path, now: datetime) -> Path | None:
    """Put a copy in the place of a file; the name under which the file is kept aside, None where there was none.

    Whenever it is broken off, either the file as it was or the whole copy stands there.
    """
    # Where the name leads to another disk, the file itself is what is put back.
    path = path.resolve()
    draft = path.with_name(f".{path.name}.{os.getpid()}.restored.part")
    try:
        _sweep(path.parent, f".*{path.name}.*.restored.part*")
        copy_to(copy, draft)
        with _alone_with(path):
            aside = _kept_aside(path, now)
            if path.exists():
                shutil.copymode(path, draft)
            for end in SIDES:
                _beside(path, end).unlink(missing_ok=True)
            draft.replace(path)
            _sync(path.parent)
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
    name = f"{path.name}.kept-{now.astimezone(UTC).strftime(_AT)}"
    aside = path.with_name(name)
    number = 2
    while aside.exists():
        aside, number = path.with_name(f"{name}-{number}"), number + 1
    for end in ("", *SIDES):
        if _beside(path, end).exists():
            _second_name(_beside(path, end), _beside(aside, end))
    return aside


def _second_name(path: Path, other: Path) -> None:
    try:
        other.hardlink_to(path)
    except OSError:
        # Not every disk knows a second name for a file.
        shutil.copy2(path, other)
        _sync(other)


def wanted_copy(path: Path, wanted: str) -> Path:
    """The copy that is meant: "newest", the number or name of a backup, or any file."""
    if wanted == "newest":
        newest = newest_good(path)
        if newest is None:
            raise BadInput(
                f"There is no good backup in {folder_of(path)}.", "Name a copy of the record by its file."
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
