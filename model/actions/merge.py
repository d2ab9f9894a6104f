"""Another copy of the farm's record taken into this one, all or nothing; what is at odds is kept for a person to decide."""

import shutil
import sqlite3
from collections import Counter
from collections.abc import Collection, Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass, replace
from pathlib import Path
from shlex import quote
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

from model.actions.clashing import Clashing, Known
from model.actions.desk import Stamp
from model.entered import MERGE
from model.errors import BadInput, NoDatabase, StoreTrouble
from model.rules.clash_words import TOLD_TWICE, TREATED_IN_ONE, TWO_WAYS
from model.rules.merging import Sides, agreed_order
from model.store import backup, merging, reading
from model.store.address import Where
from model.store.database import Rows, Store, open_store, rows_of, trouble
from model.store.merging import Head, Join
from model.store.named import Names

if TYPE_CHECKING:
    from sqlmodel import Session


SAID_AGAIN = (TWO_WAYS, TOLD_TWICE, TREATED_IN_ONE)
"""How the words of a merge begin that the copy which is merged next says too."""

AS_A_FILE = (
    "Make a file of the server's record: trayround export FOLDER with --db ADDRESS, then trayround import FOLDER "
    "with --db NEW.db."
)


@dataclass(frozen=True, slots=True)
class Merged:
    """What a merge brought."""

    entries: tuple[tuple[str, int], ...]
    """New entries by person, the most first."""
    trays: int
    """New trays among them that stand."""
    kept: Path | None
    """The file as it was before; None where nothing was new."""
    notes: tuple[str, ...]


def merge(store: Store, stamp: Stamp, other: Where) -> Merged:
    """Take in the entries of another copy that aren't here yet.

    The other file is read and never written to. Raises BadInput where it is no copy of this farm.
    """
    if store.path is None:
        raise BadInput(
            f"{store.name} is a record on a server, in which everybody enters: it takes in no file.",
            f"{AS_A_FILE} Merge into that file.",
        )
    if not isinstance(other, Path):
        raise BadInput(
            f"{other} is a record on a server: merge takes in a file.", f"{AS_A_FILE} Merge that file."
        )
    with _opened(store.path, other) as there, there.reading() as theirs:
        with store.reading() as ours:
            known = {head.uid for head in merging.heads(ours)}
        news = any(head.uid not in known for head in merging.heads(theirs))
        kept = backup.make(store.path, stamp.at, backup.BEFORE_MERGE).path if news else None
        with store.transaction() as session:
            found = _joined(session, stamp, theirs)
    return replace(found, kept=kept)


@contextmanager
def _opened(path: Path, other: Path) -> Iterator[Store]:
    """A copy of the other file, brought up to date."""
    if not other.is_file():
        raise BadInput(f"There is no file {other}.", "Name the farm's file from the other laptop.")
    if path.exists() and other.samefile(path):
        raise BadInput("That is this farm's own file.", "Name the copy from the other laptop.")
    with TemporaryDirectory(prefix="trayround-merge-") as folder:
        copy = Path(folder) / "other.db"
        try:
            _copied(other, copy)
            opened = open_store(copy)
        # The copy made here has a name of its own; whoever reads this knows the one that was typed.
        except NoDatabase as error:
            raise BadInput(
                f"{other} holds no farm.", "Name the farm's file from the other laptop."
            ) from error
        except StoreTrouble as error:
            raise StoreTrouble(
                f"{other} can't be read. {error.what_happened}",
                f"Nothing was changed. What can still be read there: trayround check --db {quote(str(other))}.",
            ) from error
        except sqlite3.Error as error:
            raise StoreTrouble(
                f"{other} can't be read. {trouble(error).what_happened}", "Nothing was changed."
            ) from error
        except OSError as error:
            raise StoreTrouble(
                f"{other} can't be read ({error.strerror}).", "Nothing was changed."
            ) from error
        try:
            yield opened
        finally:
            opened.close()


def _copied(other: Path, copy: Path) -> None:
    """A whole copy; nothing is left beside the other file that wasn't there before."""
    beside = [other.with_name(other.name + end) for end in ("-wal", "-shm")]
    new = [path for path in beside if not path.exists()]
    try:
        _copy(other, copy)
    finally:
        # A reader leaves them behind; where neither was there, nobody else had the file open.
        if len(new) == len(beside):
            for path in new:
                with suppress(OSError):
                    path.unlink(missing_ok=True)


def _copy(other: Path, copy: Path) -> None:
    try:
        looking = sqlite3.connect(f"{other.absolute().as_uri()}?mode=ro", uri=True)
        with closing(looking) as source, closing(sqlite3.connect(copy)) as target:
            source.backup(target)
    except sqlite3.OperationalError:
        # On a stick that can't be written to SQLite can't make the files that it keeps beside this one.
        for end in ("", "-wal"):
            beside = other.with_name(other.name + end)
            if beside.exists():
                shutil.copy(beside, copy.with_name(copy.name + end))


def _joined(session: "Session", stamp: Stamp, theirs: Rows) -> Merged:
    ours = rows_of(session)
    mine, yours = merging.heads(ours), merging.heads(theirs)
    here, there = {head.uid for head in mine}, {head.uid for head in yours}
    if mine and yours and not here & there:
        raise BadInput(
            "That file is no copy of this farm: no entry is in both.",
            "Name the copy from the other laptop; a farm of its own comes in with trayround import.",
        )
    order = [head.uid for head in mine]
    if there - here:
        order = agreed_order([head.written for head in mine], [head.written for head in yours])
    turns = merging.turns(mine, yours, order)
    back_here, back_there = _taken_back(ours, mine), _taken_back(theirs, yours)
    join = Join(session, theirs, Names(), turns)
    join.run()
    notes = join.notes
    if there - here:
        known = Known(
            Sides(turns.of(here - there), turns.of(there - here)),
            turns.of((here & there) - back_here - back_there),
            turns.of(back_here),
            turns.of(back_there),
        )
        settled = merging.settled_there(join, reading.dead_entries(ours))
        clashing = Clashing(session, stamp, known)
        clashing.run(settled)
        notes = clashing.notes + notes
    new = set(turns.new.values())
    came = [entry for entry in reading.entries(ours) if entry.id in new]
    who = Counter(entry.who for entry in came if entry.who != MERGE)
    # What the other copy had found out already.
    found_there = [entry.words for entry in came if entry.who == MERGE and entry.words.startswith(SAID_AGAIN)]
    notes += [f"{words[0].upper()}{words[1:]}." for words in found_there]
    trays = ours("SELECT entry_id FROM tray JOIN tray_now ON tray_id = tray.id WHERE standing")
    return Merged(tuple(who.most_common()), sum(entry_id in new for (entry_id,) in trays), None, tuple(notes))


def _taken_back(rows: Rows, heads: Collection[Head]) -> frozenset[str]:
    dead = reading.dead_entries(rows)
    return frozenset(head.uid for head in heads if head.id in dead)
