"""A full disk, a disk that only lets itself be read, a folder of somebody else: said in a sentence, and nothing lost."""

import os
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from pathlib import Path
from random import Random

import pytest

from model.actions import care, walk
from model.actions.desk import Stamp
from model.actions.opening import open_farm
from model.errors import StoreTrouble, UndoRefused
from model.facts import ActKind
from model.store import backup, migrate, reading
from model.store.database import open_store
from tests.builders import TODAY
from tests.faults.farms import demo_bytes
from tests.faults.first_release import first_release
from tests.faults.kills import NOON, a_farm, assert_kept, assert_sound, entries_of
from tests.faults.ticking import tick
from tests.store.looking import every_row
from tests.tui.hand import at_the_farm

needs_root = pytest.mark.skipif(os.geteuid() != 0, reason="only root can mount a small disk")


@contextmanager
def mounted(folder: Path, *options: str) -> Iterator[None]:
    """A small disk on a folder."""
    done = subprocess.run(["mount", *options, str(folder)], capture_output=True, check=False)
    if done.returncode:
        pytest.skip(f"no disk can be mounted here: {done.stderr.decode().strip()}")
    try:
        yield
    finally:
        subprocess.run(["umount", "--lazy", str(folder)], check=True)


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of two megabytes."""
    folder = tmp_path / "disk"
    folder.mkdir()
    with mounted(folder, "-t", "tmpfs", "-o", "size=2m", "tmpfs"):
        yield folder


def fill(folder: Path, leave: int = 0) -> Path:
    """Fill a disk up to some bytes."""
    ballast = folder / "ballast"
    with ballast.open("wb", buffering=0) as file:
        try:
            while True:
                file.write(b"x" * 4096)
        except OSError:
            file.truncate(max(0, file.tell() - leave))
    return ballast


def stamp(number: int) -> Stamp:
    return Stamp("Wren", NOON - timedelta(minutes=1) + timedelta(milliseconds=number), TODAY)


@needs_root
def test_on_a_full_disk_each_entry_is_kept_whole_or_refused_and_room_mends_it(small_disk: Path) -> None:
    path = small_disk / "farm.db"
    a_farm(path)
    store = open_store(path)
    with store.reading() as rows:
        boxes = {container.name: container.id for container in reading.containers(rows)}
    ballast = fill(small_disk, leave=700_000)
    die, said, refused, words = Random(3), [], 0, set()
    for number in range(400):
        try:
            receipt = tick(store, stamp(number), die, boxes)
            said.append((receipt.entry_id, receipt.words))
        except StoreTrouble as error:
            words.add(str(error))
            refused += 1
            if refused == 20:
                break
        except UndoRefused:
            continue
    assert refused == 20
    assert words == {"The disk is full. Nothing was saved; make room and try once more."}
    with pytest.raises(StoreTrouble, match="The disk is full|No backup was made in"):
        backup.make(path, NOON)
    assert backup.backups(path) == []
    ballast.unlink()
    assert_kept(path, said)
    walk.mark_trays(store, stamp(9999), ActKind.WATERED, [1])
    store.close()
    assert len(said) > 5
    print(f"disk full: {len(said)} entries kept, {refused} refused")


@needs_root
def test_a_migration_and_a_restore_that_find_no_room_leave_the_record_as_it_was(small_disk: Path) -> None:
    path = small_disk / "farm.db"
    first_release(path)
    before = every_row(path)
    ballast = fill(small_disk, leave=60_000)
    with pytest.raises(StoreTrouble, match="The disk is full"):
        open_farm(path)
    assert migrate.version(path) == "0001"
    assert every_row(path) == before
    ballast.unlink()
    open_farm(path).close()
    assert_sound(path)
    words = entries_of(path)
    ballast = fill(small_disk, leave=60_000)
    there = path.read_bytes()
    with pytest.raises(StoreTrouble, match="disk is full|can't be put in the place"):
        care.restore(path, "newest", NOON)
    assert path.read_bytes() == there
    ballast.unlink()
    care.restore(path, "newest", NOON)
    for aside in small_disk.glob("farm.db.kept-*"):
        aside.unlink()
    open_farm(path).close()
    assert entries_of(path) == words


@needs_root
async def test_on_a_full_disk_the_round_goes_on_and_says_what_to_do(small_disk: Path) -> None:
    path = small_disk / "farm.db"
    path.write_bytes(demo_bytes())
    open_farm(path).close()
    ballast = fill(small_disk)
    async with at_the_farm(path) as hand:
        assert "No backup today." in hand.said
        since = hand.last_act
        for keys in ("n46w", "x3⏎2", "W⏎", "z"):
            await hand.type(keys)
            assert "disk is full" in hand.said or "can't be opened" in hand.said, hand.said
        assert hand.acts(since) == []
        ballast.unlink()
        await hand.type("46w")
        assert hand.acts(since) == [("watered", 46, None)]


@needs_root
async def test_on_a_disk_that_can_only_be_read_the_round_is_shown_and_entries_are_refused(
    tmp_path: Path,
) -> None:
    folder = tmp_path / "stick"
    folder.mkdir()
    path = folder / "farm.db"
    path.write_bytes(demo_bytes())
    change_to_one_file(path)
    before = path.read_bytes()
    with mounted(folder, "--bind", str(folder)):
        subprocess.run(["mount", "-o", "remount,bind,ro", str(folder)], check=True)
        async with at_the_farm(path) as hand:
            assert "No backup today." in hand.said
            assert len(hand.view.lines) == 60
            for keys in ("n46w", "x3⏎2", "z"):
                await hand.type(keys)
                assert "right to write to the file and its folder" in hand.said, hand.said
        for refused in (
            lambda: care.back_up(path, NOON),
            lambda: care.restore(path, str(path), datetime.now(NOON.tzinfo)),
        ):
            with pytest.raises(Exception, match="rights to|record itself"):
                refused()
    assert path.read_bytes() == before


def change_to_one_file(path: Path) -> None:
    """Fold the write-ahead log into the file, as a copy on a stick has it."""
    import sqlite3

    connection = sqlite3.connect(path)
    connection.execute("PRAGMA journal_mode=DELETE")
    connection.close()
