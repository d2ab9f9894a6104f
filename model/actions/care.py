"""Never lose it: backups made, listed and put in the place of the record."""

from contextlib import closing
from datetime import datetime, timedelta
from pathlib import Path

from model.days import say_at
from model.errors import BadInput, NoDatabase, StoreTrouble, TrayroundError
from model.store import backup, reading, restoring, soundness
from model.store.address import Server, Where, refuse_no_folder
from model.store.backup import (
    BEFORE_MERGE,
    Lack,
    Written,
    folder_of,
    said_count,
    said_lacking,
    zone_of,
)
from model.store.database import FileStore, Store, open_store
from model.store.migrate import known_version

CLOCKS_APART = timedelta(hours=1)
"""How far the clocks of two computers may be apart without a word."""

MOST_NAMED = 30
"""Missing entries that are named one by one."""


def take_care(where: Where, now: datetime, zone: str) -> str:
    """Make the day's backup if there is none yet; what a person should know of it or of the clock, "" for nothing.

    Copies of a server's database are made there.
    """
    try:
        if isinstance(where, Server):
            with closing(open_store(where)) as store:
                return _clock_behind(store, now, zone)
        if backup.is_due(where, now, zone):
            backup.make(where, now)
        return _clock_behind(FileStore(where), now, zone)
    except TrayroundError as error:
        return f"No backup today. {error}"


def file_of(where: Where) -> Path:
    """The file of a farm that lies in one; a server's copies are no business of this program."""
    if isinstance(where, Server):
        raise BadInput(
            f"{where} lies on a server.",
            f"Copies are made and put back there: pg_dump and pg_restore with {where.database}.",
        )
    return where


def _clock_behind(store: Store, now: datetime, zone: str) -> str:
    """A sentence where the record goes on after the present instant, as it does once a clock was set back."""
    with store.reading() as rows:
        later = reading.entries(rows, now + CLOCKS_APART)
    if not later:
        return ""
    return (
        f"The clock of this computer says {say_at(now, zone)}, but the record goes on until "
        f"{say_at(max(entry.at for entry in later), zone)}. Put the clock right; nothing is lost."
    )


def back_up(path: Path, now: datetime, goal: Path | None = None) -> str:
    """Make a backup in the folder beside the record, or a copy under a name; what was done, in words."""
    _refuse_missing(path)
    if goal is None:
        made = backup.make(path, now)
        return f"Backup {made.number} of {path} is {made.path}; the newest {backup.KEPT} stay."
    refuse_no_folder(goal)
    if goal.exists():
        raise BadInput(
            f"There is something at {goal} already.", "Name a new file; no copy is written over another."
        )
    try:
        backup.copy_to(path, goal)
    except OSError as error:
        raise StoreTrouble(
            f"{goal} can't be written ({error.strerror}).", "Check the folder and your rights to it."
        ) from error
    return f"{goal} is a whole copy of {path}."


def listed(path: Path) -> list[str]:
    """The backups of a record, the newest first: number, moment, what it lacks of the record, the name."""
    found = backup.backups(path)
    if not found:
        return [
            f"There is no backup in {folder_of(path)}.",
            "A copy from elsewhere takes the place of the record by its file: trayround restore COPY.",
        ]
    rows = [f"Backups of {path}, the newest first:"]
    whole, good = soundness.is_good(path), [copy for copy in found if soundness.is_good(copy.path)]
    newest = good[0] if good else None
    for copy in found:
        zone = zone_of(copy.path)
        state = "broken"
        if copy in good:
            state = _said_lack(backup.lack(path, copy.path, newest, whole=whole), zone)
        occasion = "a merge" if copy.why == BEFORE_MERGE else "a new release opened it"
        why = f", before {occasion}" if copy.why else ""
        rows.append(f"  {copy.number:>4}  {say_at(copy.at, zone)}{why}: {state}")
    return [*rows, "trayround restore newest, or restore with a number, puts one in the place of the record."]


def _said_lack(lack: Lack, zone: str) -> str:
    """What a backup lacks, in a few words; that it isn't known, where the file doesn't tell."""
    if not lack.unknown:
        return f"lacks {said_lacking(lack.entries, zone)}" if lack.entries else "lacks nothing"
    said = f"what it lacks isn't known: {lack.unknown}"
    if lack.entries:
        said = f"lacks {said_lacking(lack.entries, zone)}, maybe more: {lack.unknown}"
    if lack.than is None:
        return said
    return f"{said}; {said_count(lack.fewer)} fewer than number {lack.than.number}"


def restore(path: Path, wanted: str, now: datetime) -> list[str]:
    """Put a copy in the place of the record, which is kept aside; what was done and what is missing, in words."""
    copy = restoring.wanted_copy(path, wanted)
    if not soundness.is_good(copy):
        raise StoreTrouble(
            f"{copy} is no sound copy of a record.", "Name another; trayround restore lists them."
        )
    known_version(copy)
    lack = backup.lack(path, copy, backup.newest_good(path), whole=soundness.is_good(path))
    aside = restoring.put_back(path, copy, now)
    said = [f"{path} is now what {copy.name} held."]
    if aside is not None:
        said.append(f"The file that was there is kept as {aside}.")
        said.append("Settings, places, containers and seed lots are as they were then, too.")
    return said + _said_missing(lack, zone_of(path), aside is not None)


def _said_missing(lack: Lack, zone: str, kept: bool) -> list[str]:
    """What is missing after a restore, entry by entry; what isn't known of it."""
    said = []
    if lack.entries:
        said += [f"It held {said_lacking(lack.entries, zone)} that are missing now:"]
        said += _named(lack.entries, zone)
    elif kept and not lack.unknown:
        said.append("No entry that could be read there is missing.")
    if lack.unknown:
        said.append(f"What {'else ' if lack.entries else ''}it lacks isn't known: {lack.unknown}.")
    if lack.fewer and lack.than is not None:
        said.append(f"Backup {lack.than.number} holds {said_lacking(lack.fewer, zone)} that are missing now:")
        said += _named(lack.fewer, zone)
    return said


def _named(entries: list[Written], zone: str) -> list[str]:
    rows = [f"  {say_at(entry.at, zone)}  {entry.who}  {entry.words}" for entry in entries[:MOST_NAMED]]
    more = len(entries) - MOST_NAMED
    return [*rows, f"  and {more} more"] if more > 0 else rows


def _refuse_missing(path: Path) -> None:
    if not path.is_file():
        raise NoDatabase(
            f"There is no database at {path}.",
            "Name another with --db, or trayround restore lists its backups.",
        )
