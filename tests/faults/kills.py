"""Work that is ended by force at a random moment, and what must be true of the record afterwards.

A scenario is a record to begin with, work on it that says what it acknowledged, and a check. Add one to SCENARIOS
and it is ended at as many moments as the others.
"""

import shutil
import sqlite3
from collections.abc import Callable, Sequence
from contextlib import closing, suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from multiprocessing import get_context
from multiprocessing.connection import Connection, wait
from pathlib import Path
from random import Random
from time import monotonic

from model.actions import care, farm, shift, sow, walk
from model.actions.desk import Stamp
from model.actions.merge import merge
from model.actions.opening import load_writers, open_farm
from model.actions.sow import Sow, SowPart
from model.facts import ActKind
from model.store import backup, migrate, reading, soundness
from model.store.database import FileStore, open_store
from model.views import check
from model.views.round import read_round
from tests.builders import TODAY, day
from tests.conftest import PLACES
from tests.faults.first_release import first_release
from tests.faults.ticking import READY, tick_on
from tests.store.names import MAT, SLATS

NOON = datetime(2026, 4, 14, 12, tzinfo=UTC)
DONE = "done"
MOST_TICKS = 12
"""Most entries of an endless round that are awaited before its end."""
A_TICK_S = 0.03
"""Longest that it then goes on [s]: about as long as an entry takes."""
PATIENCE_S = 60.0

Say = Callable[[object], None]
Said = Sequence[object]
PRELOAD = ["tests.faults.kills", "model.store.tables", "alembic.command"]
"""What a process would otherwise import before its turn."""
_processes = get_context("forkserver")


@dataclass(frozen=True, slots=True)
class Scenario:
    """Something that is broken off."""

    begin: Callable[[Path], None]
    """Makes the record; done once, then copied for each moment."""
    work: Callable[[Path, int, Say], None]
    """Says READY before the work that counts, and what it acknowledged."""
    sound: Callable[[Path, Said], None]
    """Fails where an acknowledged thing is lost, or something is half done."""
    endless: bool = True
    """Whether it goes on until it is ended; where it doesn't, how long it takes is measured first."""


@dataclass(slots=True)
class Count:
    """What came of some moments."""

    moments: int = 0
    in_the_middle: int = 0
    acknowledged: int = 0


# A record, and what must be true of every record.


def a_farm(path: Path) -> None:
    """Six places and three trays, as tests of the store know them."""
    store = open_store(path, make=True)
    farm.found_farm(store, "UTC")
    for place in PLACES:
        farm.keep_place(store, place)
    with store.reading() as rows:
        boxes = {container.name: container.id for container in reading.containers(rows)}
    tray, flat = boxes["72-cell tray"], boxes["open flat"]
    early = datetime(2026, 3, 12, 6, 30, tzinfo=UTC)
    for box, place, crop, variety, cells in (
        (tray, MAT, "tomato", "Ostrel", 72),
        (flat, SLATS, "lettuce", "Marrel", 24),
        (tray, SLATS, "kale", "Sedge Blue", 72),
    ):
        wish = Sow(box, place, (SowPart(crop, variety, cells),), day(-33))
        sow.sow(store, Stamp("Wren", early, day(-33)), wish)
    store.close()


def entries_of(path: Path) -> dict[int, str]:
    """Words of every entry by its id."""
    with closing(sqlite3.connect(path)) as connection:
        return dict(connection.execute("SELECT id, words FROM entry"))


def assert_sound(path: Path) -> None:
    """The program opens the file, and its own check finds nothing."""
    open_farm(path).close()
    page = check.read(path, NOON)
    assert page.sound, page


def assert_kept(path: Path, said: Said) -> None:
    """Every entry that was acknowledged is on record, word for word."""
    assert_sound(path)
    acknowledged = {entry[0]: entry[1] for entry in said if isinstance(entry, tuple)}
    on_record = entries_of(path)
    assert {i: on_record.get(i) for i in acknowledged} == acknowledged


# The scenarios.


def _round(path: Path, seed: int, say: Say) -> None:
    tick_on(path, seed, say)


def _back_entry(path: Path, seed: int, say: Say) -> None:
    tick_on(path, seed, say, back=1)


def _migrate(path: Path, _seed: int, say: Say) -> None:
    import alembic.command  # noqa: F401  (imported before its turn, as are the revisions' tools)

    say(READY)
    open_farm(path).close()
    say("migrated")


def _sound_after_migration(path: Path, said: Said) -> None:
    before = migrate.version(path)
    assert before in {"0001", migrate.HEAD}
    if "migrated" in said:
        assert before == migrate.HEAD
    if before == migrate.HEAD:
        assert [copy.why for copy in backup.backups(path)] == ["before-0001"]
    assert all(soundness.is_good(copy.path) for copy in backup.backups(path))
    words = entries_of(path)
    assert_sound(path)
    assert entries_of(path) == words
    assert len(words) == len(entries_of(backup.backups(path)[0].path))


def _to_restore(path: Path) -> None:
    a_farm(path)
    backup.make(path, NOON)
    _water(path)


def _water(path: Path) -> None:
    store = open_store(path)
    walk.mark_trays(store, Stamp("Wren", NOON, TODAY, "later"), ActKind.WATERED, [1, 2, 3])
    store.close()


def _restore(path: Path, _seed: int, say: Say) -> None:
    say(READY)
    say(care.restore(path, "newest", NOON)[1])


def _sound_after_restore(path: Path, said: Said) -> None:
    count = len(entries_of(path))
    assert count in {3, 4}, "either the record as it was or the whole backup"
    asides = [p for p in path.parent.glob("farm.db.kept-*") if not p.name.endswith(("-wal", "-shm"))]
    if count == 3:
        assert [len(entries_of(aside)) for aside in asides] == [4]
    if any("kept as" in str(words) for words in said):
        assert count == 3
    assert_sound(path)
    care.restore(path, "newest", NOON)
    assert len(entries_of(path)) == 3


def _back_up(path: Path, _seed: int, say: Say) -> None:
    say(READY)
    say(backup.make(path, NOON).path.name)


def _sound_after_backup(path: Path, said: Said) -> None:
    copies = backup.backups(path)
    assert all(soundness.is_good(copy.path) for copy in copies)
    assert len(copies) == 2 or not any(".db" in str(words) for words in said)
    assert_sound(path)
    assert len(entries_of(path)) == 4


def _to_merge(path: Path) -> None:
    """Two copies: here three entries and a set out, there forty waterings and more plants gone than there are."""
    a_farm(path)
    other = path.with_name("other.db")
    backup.copy_to(path, other)
    for copy, who, waterings in ((path, "Wren", 0), (other, "Jory", 40)):
        store = open_store(copy)
        for turn in range(waterings):
            walk.mark_trays(store, Stamp(who, NOON, TODAY, f"{turn}"), ActKind.WATERED, [1, 2, 3])
        shift.set_out(store, Stamp(who, NOON, TODAY, f"out {who}"), 1, None, 50)
        store.close()


def _merge(path: Path, _seed: int, say: Say) -> None:
    store, other = open_store(path), path.with_name("other.db")
    say(READY)
    say(merge(store, Stamp("Wren", NOON, TODAY, "merged"), other).entries)
    store.close()


def _sound_after_merge(path: Path, said: Said) -> None:
    before, after = 4, 46
    whole = any("Jory" in str(words) for words in said)
    assert len(entries_of(path)) in ({after} if whole else {before, after})
    assert_sound(path)
    assert len(entries_of(path.with_name("other.db"))) == 44
    store = open_store(path)
    merge(store, Stamp("Wren", NOON, TODAY, "merged"), path.with_name("other.db"))
    store.close()
    assert len(entries_of(path)) == after
    assert_sound(path)


SCENARIOS = {
    "a round": Scenario(a_farm, _round, assert_kept),
    "a back-entry": Scenario(a_farm, _back_entry, assert_kept),
    "a migration": Scenario(first_release, _migrate, _sound_after_migration, endless=False),
    "a restore": Scenario(_to_restore, _restore, _sound_after_restore, endless=False),
    "a merge": Scenario(_to_merge, _merge, _sound_after_merge, endless=False),
    "a backup": Scenario(_to_restore, _back_up, _sound_after_backup, endless=False),
}


# Ending them.


def _child(name: str, path: Path, seed: int, pipe: Connection) -> None:
    load_writers()
    SCENARIOS[name].work(path, seed, pipe.send)
    pipe.send(DONE)


def ended_after(name: str, path: Path, seed: int, wait_s: float, ticks: int = 0) -> list[object]:
    """Begin the work in another process and end that by force, some time after it said so much; all that it said."""
    reader, writer = _processes.Pipe(duplex=False)
    child = _processes.Process(target=_child, args=(name, path, seed, writer))
    child.start()
    writer.close()
    said: list[object] = []
    try:
        assert reader.poll(PATIENCE_S), "it never began"
        assert reader.recv() == READY
        for _ in range(ticks):
            assert reader.poll(PATIENCE_S), "it got stuck"
            said.append(reader.recv())
        end = monotonic() + wait_s
        while (left := end - monotonic()) > 0 and reader.poll(left) and DONE not in said:
            said.append(reader.recv())
        child.kill()
        child.join()
        # What was said is in the pipe, though who said it is gone.
        with suppress(EOFError, OSError):
            while reader.poll():
                said.append(reader.recv())
    except EOFError:
        child.join()
        assert DONE in said, f"it ended by itself with {child.exitcode}"
    finally:
        child.kill()
        reader.close()
    return said


def _walker(path: Path, seed: int, pipe: Connection) -> None:
    """A round as the program walks it: after each entry the round is read again."""

    def say(words: object) -> None:
        pipe.send(words)
        read_round(FileStore(path), TODAY)

    load_writers()
    tick_on(path, seed, say)


def write_together(path: Path, seconds: float) -> list[list[object]]:
    """Two programs enter rounds into one file at once, then both are ended by force; what each had said."""
    _processes.set_forkserver_preload(PRELOAD)
    a_farm(path)
    pipes, children = [], []
    for seed in (1, 2):
        reader, writer = _processes.Pipe(duplex=False)
        child = _processes.Process(target=_walker, args=(path, seed, writer))
        child.start()
        writer.close()
        pipes.append(reader)
        children.append(child)
    said: list[list[object]] = [[], []]
    try:
        for reader in pipes:
            assert reader.poll(PATIENCE_S), "it never began"
        end = monotonic() + seconds
        while (left := end - monotonic()) > 0:
            for reader in wait(pipes, left):
                said[pipes.index(reader)].append(reader.recv())
    finally:
        for child in children:
            child.kill()
            child.join()
    for reader, heard in zip(pipes, said, strict=True):
        with suppress(EOFError, OSError):
            while reader.poll():
                heard.append(reader.recv())
        reader.close()
    return said


def end_at_moments(name: str, folder: Path, moments: int, seed: int = 0) -> Count:
    """End a scenario at some random moments, each on a fresh copy of its record, and check each."""
    _processes.set_forkserver_preload(PRELOAD)
    scenario, die, count = SCENARIOS[name], Random(seed), Count()
    begun = folder / "begun"
    begun.mkdir()
    scenario.begin(begun / "farm.db")
    lasts = A_TICK_S if scenario.endless else _measured(name, begun, folder / "measured")
    for moment in range(moments):
        here = folder / f"moment-{moment}"
        shutil.copytree(begun, here)
        ticks = die.randint(0, MOST_TICKS) if scenario.endless else 0
        said = ended_after(name, here / "farm.db", moment, die.uniform(0, 1.2 * lasts), ticks)
        scenario.sound(here / "farm.db", said)
        count.moments += 1
        count.in_the_middle += DONE not in said
        count.acknowledged += sum(words != DONE for words in said)
        shutil.rmtree(here)
    return count


def _measured(name: str, begun: Path, here: Path) -> float:
    """How long a scenario takes when nobody ends it, everything imported [s]."""
    took = PATIENCE_S
    for turn in ("first", "second"):
        shutil.copytree(begun, here / turn)
        said: list[object] = []
        before = monotonic()
        SCENARIOS[name].work(here / turn / "farm.db", 0, said.append)
        took = monotonic() - before
        SCENARIOS[name].sound(here / turn / "farm.db", said)
    return took
