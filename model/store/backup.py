"""Whole copies of the record beside it, verified before they count; and the way back to them.

A file `farm.db` has its backups in `farm.db.backups`. They are numbered, since a clock can be set back.
"""

import os
import re
import shlex
import sqlite3
from collections.abc import Collection, Iterable, Iterator
from contextlib import closing, suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from model.days import farm_day, say_at, say_day
from model.errors import StoreTrouble
from model.store.database import UNREADABLE, trouble
from model.store.soundness import defects, is_good, looking

KEPT = 14
"""How many backups stay."""

SIDES = ("-wal", "-shm", "-journal")
"""What SQLite keeps beside a file that is open, or was when the power went."""

STALE = timedelta(hours=1)
"""After this a draft is one whose making was broken off."""

_NAME = re.compile(r"(\d{4,})_(\d{4}-\d{2}-\d{2}T\d{6}Z)(?:_(before-\w+))?\.db")
BEFORE_MERGE = "before-merge"
"""Why a backup was made that a merge left."""
AT = "%Y-%m-%dT%H%M%SZ"
"""How an instant stands in a name."""


@dataclass(frozen=True, slots=True)
class Backup:
    """One copy. The highest number is the newest, whatever the clock said."""

    path: Path
    number: int
    at: datetime
    why: str
    """"before-0002" where it was made before a migration from that revision, "before-merge"; "" otherwise."""


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
            at = datetime.strptime(match[2], AT).replace(tzinfo=UTC)
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
        sweep(folder, ".*.part*")
        before = backups(path)
        number = before[0].number + 1 if before else 1
        at = now.astimezone(UTC)
        name = f"{number:04}_{at.strftime(AT)}{'_' if why else ''}{why}.db"
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
        with closing(looking(path)) as source, closing(sqlite3.connect(draft)) as target:
            source.backup(target)
            # One file that can be read where nothing can be written.
            target.execute("PRAGMA journal_mode=DELETE")
        if defects(draft):
            raise damaged(path)
        sync(draft)
        draft.replace(goal)
        sync(goal.parent)
    except UNREADABLE as error:
        found = trouble(error, path)
        raise StoreTrouble(f"No copy was made. {found.what_happened}", found.what_to_do) from error
    finally:
        for end in ("", *SIDES):
            beside(draft, end).unlink(missing_ok=True)


def sweep(folder: Path, pattern: str) -> None:
    """Take away drafts whose making was broken off a while ago."""
    for old in folder.glob(pattern):
        with suppress(OSError):
            if datetime.now(UTC) - datetime.fromtimestamp(old.stat().st_mtime, UTC) > STALE:
                old.unlink()


def beside(path: Path, end: str) -> Path:
    """What SQLite keeps beside a file."""
    return path.with_name(path.name + end)


def sync(path: Path) -> None:
    """Make sure that a file, or a name in a folder, is on the disk."""
    if path.is_dir() and os.name == "nt":
        return
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def newest_good(path: Path) -> Backup | None:
    """The newest backup of a file that can be gone back to."""
    return next((backup for backup in backups(path) if is_good(backup.path)), None)


# What a backup lacks.


def written(path: Path) -> dict[str, Written]:
    """Every entry by its uid, as far as the file can still be read: from its beginning on, and from its end back."""
    found: dict[str, Written] = {}
    with suppress(*UNREADABLE), closing(looking(path)) as connection:
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


@dataclass(frozen=True, slots=True)
class Lack:
    """What a copy lacks of a file, as far as that can be known."""

    entries: list[Written]
    unknown: str
    """Why there may be more that it lacks; "" where the file can be read whole."""
    than: Backup | None
    """The backup it is held against, where the file doesn't tell."""
    fewer: list[Written]
    """What that backup holds, and the copy doesn't."""


def lack(path: Path, copy: Path, newest: Backup | None, *, whole: bool) -> Lack:
    """What a copy lacks of a file; where the file isn't whole, of the newest good backup too."""
    entries = lacking(path, copy)
    if whole or not (path.exists() or newest):
        return Lack(entries, "", None, [])
    unknown = "the file can't be read whole" if path.exists() else "the file is gone"
    if newest is None or copy.samefile(newest.path):
        return Lack(entries, unknown, None, [])
    return Lack(entries, unknown, newest, lacking(newest.path, copy))


def _by_instant(item: tuple[str, Written]) -> datetime:
    return item[1].at


def said_lacking(entries: Iterable[Written], zone: str) -> str:
    """How many entries, of which days and by whom: "3 entries: Tue 14 Apr, Wren"."""
    listed = list(entries)
    days = dict.fromkeys(say_day(farm_day(entry.at, zone)) for entry in listed)
    people = dict.fromkeys(entry.who for entry in listed)
    few = [*days] if len(days) <= 2 else [f"{next(iter(days))} to {[*days][-1]}"]
    return f"{said_count(listed)}: {', '.join([*few, *people])}"


def said_count(entries: Collection[Written]) -> str:
    """How many entries: "1 entry", "3 entries"."""
    return f"{len(entries):,} entr{'y' if len(entries) == 1 else 'ies'}"


def zone_of(path: Path) -> str:
    """The farm's time zone, as a file has it."""
    with suppress(*UNREADABLE), closing(looking(path)) as connection:
        found = connection.execute("SELECT value FROM setting WHERE name = 'zone'").fetchone()
        return str(found[0]) if found else "UTC"
    return "UTC"


# A damaged file.


def damaged(path: Path) -> StoreTrouble:
    """What to say of a file that can't be read whole, with the way back to the newest good backup."""
    return StoreTrouble(f"{path.name} is damaged.", way_back(path) or no_backup(path))


def no_backup(path: Path, *, checked: bool = False) -> str:
    """What can still be tried where a file is damaged and has no good backup; `checked` where check itself says it."""
    name = shlex.quote(str(path))
    tried = (
        "It was not touched, and there is no good backup beside it. A copy from a stick or from the other laptop takes its "
        f"place with: trayround restore COPY --db {name}. That keeps this file aside and names the entries that the copy "
        "lacks."
    )
    return tried if checked else f"{tried} What can still be read here: trayround check --db {name}."


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
        f"{say_at(newest.at, zone)}{without}, and keeps this file aside."
    )
