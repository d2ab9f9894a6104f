"""Backups: made whole or not at all, counted by number, verified; and put in the place of a record that is kept aside."""

import os
import sqlite3
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from model.actions import care, walk
from model.errors import BadInput, NewerFile, NoDatabase, StoreTrouble
from model.facts import ActKind
from model.store import backup, migrate, restoring, soundness
from model.store.database import Store, open_store
from tests.conftest import StampMaker
from tests.store.looking import every_row
from tests.store.names import KALE, TOMATO

MORNING = datetime(2026, 4, 14, 6, 30, tzinfo=UTC)


def names(path: Path) -> list[str]:
    """What lies beside a file, but for what SQLite keeps there."""
    return sorted(p.name for p in path.parent.iterdir() if not p.name.endswith(("-wal", "-shm")))


def scribble(path: Path, start: int, length: int) -> bytes:
    """Write over a part of a file; the file as it is then."""
    data = bytearray(path.read_bytes())
    data[start : start + length] = b"\xa5" * len(data[start : start + length])
    path.write_bytes(data)
    return bytes(data)


def numbers(path: Path) -> list[int]:
    return [copy.number for copy in backup.backups(path)]


# Made.


def test_a_backup_holds_what_is_still_in_the_write_ahead_log(bench: Store, stamp: StampMaker) -> None:
    walk.mark_trays(bench, stamp(), ActKind.WATERED, [KALE])
    made = backup.make(bench.path, MORNING)
    assert made.path.name == "0001_2026-04-14T063000Z.db"
    assert made.path.parent.name == "farm.db.backups"
    assert every_row(made.path) == every_row(bench.path)
    assert [p.name for p in made.path.parent.iterdir()] == [made.path.name], (
        "one file that needs nothing beside it"
    )


def test_the_day_of_the_farm_decides_whether_a_backup_is_due(store: Store) -> None:
    late = datetime(2026, 4, 14, 23, 30, tzinfo=UTC)
    care.take_care(store.path, late, "Europe/London")
    assert numbers(store.path) == [1]
    # It is a quarter past midnight on the farm since half past eleven in Greenwich, summer time.
    care.take_care(store.path, late + timedelta(hours=1), "Europe/London")
    assert numbers(store.path) == [1]
    care.take_care(store.path, late + timedelta(hours=24), "Europe/London")
    assert numbers(store.path) == [2, 1]


def test_a_clock_that_was_set_back_makes_no_older_backup(bench: Store, stamp: StampMaker) -> None:
    backup.make(bench.path, MORNING)
    walk.mark_trays(bench, stamp(), ActKind.WATERED, [KALE])
    words = care.take_care(bench.path, MORNING - timedelta(days=400), "UTC")
    assert words.startswith(
        "The clock of this computer says Mon 10 Mar 6:30, but the record goes on until Tue 14 Apr"
    )
    newest = backup.newest_good(bench.path)
    assert newest is not None
    assert newest.number == 2
    assert backup.lacking(bench.path, newest.path) == []


def test_fourteen_stay_and_those_of_a_day_that_has_a_newer_one_go_first(store: Store) -> None:
    for day in range(12):
        backup.make(store.path, MORNING + timedelta(days=day))
    for minute in range(1, 7):
        backup.make(store.path, MORNING + timedelta(days=11, minutes=minute))
    assert numbers(store.path) == [18, 17, 16, 11, 10, 9, 8, 7, 6, 5, 4, 3, 2, 1]
    for day in range(12, 30):
        backup.make(store.path, MORNING + timedelta(days=day))
    assert numbers(store.path) == list(range(36, 22, -1))


def test_a_backup_of_a_damaged_record_is_refused_and_no_older_one_goes(bench: Store) -> None:
    for day in range(backup.KEPT):
        backup.make(bench.path, MORNING + timedelta(days=day))
    bench.close()
    scribble(bench.path, 4096 * 3, 4096 * 4)
    with pytest.raises(StoreTrouble, match="damaged") as refusal:
        backup.make(bench.path, MORNING + timedelta(days=20))
    assert "Run: trayround restore newest --db" in refusal.value.what_to_do
    assert numbers(bench.path) == list(range(backup.KEPT, 0, -1))
    assert len(list(backup.folder_of(bench.path).iterdir())) == backup.KEPT


def test_a_draft_whose_making_was_broken_off_goes_with_a_later_backup(store: Store) -> None:
    folder = backup.folder_of(store.path)
    folder.mkdir()
    old, new = folder / ".0001_x.db.1.part", folder / ".0001_x.db.2.part"
    for draft in (old, new):
        draft.write_bytes(b"half")
    os.utime(old, (0, 0))
    others = store.path.with_name(".letter.part")
    others.write_bytes(b"somebody else's")
    os.utime(others, (0, 0))
    backup.make(store.path, MORNING)
    backup.copy_to(store.path, store.path.with_name("stick.db"))
    assert (old.exists(), new.exists(), others.exists()) == (False, True, True)


def test_other_files_among_the_backups_are_no_backups(store: Store) -> None:
    backup.folder_of(store.path).mkdir()
    for name in ("notes.txt", "farm.db", "0001_yesterday.db"):
        (backup.folder_of(store.path) / name).touch()
    assert backup.backups(store.path) == []
    assert care.listed(store.path)[0] == f"There is no backup in {backup.folder_of(store.path)}."


def test_a_copy_goes_under_any_new_name_and_over_nothing(bench: Store, tmp_path: Path) -> None:
    goal = tmp_path / "stick.db"
    assert care.back_up(bench.path, MORNING, goal) == f"{goal} is a whole copy of {bench.path}."
    assert every_row(goal) == every_row(bench.path)
    before = goal.read_bytes()
    with pytest.raises(BadInput, match="There is something at"):
        care.back_up(bench.path, MORNING, goal)
    assert goal.read_bytes() == before
    with pytest.raises(BadInput, match="There is no folder"):
        care.back_up(bench.path, MORNING, tmp_path / "none" / "stick.db")
    with pytest.raises(NoDatabase):
        care.back_up(tmp_path / "none.db", MORNING)


# Put in its place.


def test_a_restore_keeps_the_record_aside_and_says_what_is_missing(bench: Store, stamp: StampMaker) -> None:
    backup.make(bench.path, MORNING)
    then = every_row(bench.path)
    walk.mark_trays(bench, stamp(), ActKind.WATERED, [KALE])
    walk.mark_trays(bench, stamp("Jory"), ActKind.WATERED, [TOMATO])
    later = every_row(bench.path)
    assert "lacks 2 entries: Tue 14 Apr, Wren, Jory" in care.listed(bench.path)[1]
    bench.close()
    said = care.restore(bench.path, "newest", MORNING)
    aside = bench.path.with_name("farm.db.kept-2026-04-14T063000Z")
    assert said[0] == f"{bench.path} is now what 0001_2026-04-14T063000Z.db held."
    assert said[1] == f"The file that was there is kept as {aside}."
    assert said[3] == "It held 2 entries: Tue 14 Apr, Wren, Jory that are missing now:"
    assert [line.split("  ")[2:] for line in said[4:]] == [
        ["Wren", "watered 3A"],
        ["Jory", "watered 1R"],
    ]
    assert every_row(bench.path) == then
    assert every_row(aside) == later
    store = open_store(bench.path)
    walk.mark_trays(store, stamp(), ActKind.WATERED, [KALE])
    store.close()
    care.restore(bench.path, str(aside), MORNING)
    assert every_row(bench.path) == later
    assert aside.with_name(f"{aside.name}-2").exists(), "what was there is never written over"


def test_a_list_reads_every_backup_through_once(bench: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    kept = [backup.make(bench.path, MORNING + timedelta(minutes=minute)).path for minute in range(3)]
    read: list[Path] = []

    def defects(path: Path) -> list[str]:
        read.append(path)
        return []

    monkeypatch.setattr(soundness, "defects", defects)
    assert len(care.listed(bench.path)) == 5
    assert sorted(read) == sorted([bench.path, *kept])


def test_a_restore_waits_for_no_other_window_and_changes_nothing_then(
    bench: Store, stamp: StampMaker
) -> None:
    backup.make(bench.path, MORNING)
    walk.mark_trays(bench, stamp(), ActKind.WATERED, [KALE])
    before, there = every_row(bench.path), names(bench.path)
    with pytest.raises(StoreTrouble, match="Another window has the record open. Close it"):
        care.restore(bench.path, "newest", MORNING)
    assert every_row(bench.path) == before
    assert names(bench.path) == there


def test_a_record_that_lies_behind_a_link_is_put_back_where_it_lies(bench: Store, tmp_path: Path) -> None:
    bench.close()
    link = tmp_path / "link.db"
    link.symlink_to(bench.path)
    backup.make(bench.path, MORNING)
    then = every_row(bench.path)
    bench.path.write_bytes(b"")
    restoring.put_back(link, backup.backups(bench.path)[0].path, MORNING)
    assert link.is_symlink()
    assert every_row(bench.path) == then


@pytest.mark.parametrize("wanted", ["1", "0001", "0001_2026-04-14T063000Z.db", "newest"])
def test_a_backup_goes_by_number_by_name_or_by_newest(store: Store, wanted: str) -> None:
    made = backup.make(store.path, MORNING)
    assert restoring.wanted_copy(store.path, wanted) == made.path


def test_what_is_no_sound_copy_is_not_put_in_the_place_of_the_record(bench: Store, tmp_path: Path) -> None:
    backup.make(bench.path, MORNING)
    bench.close()
    before = bench.path.read_bytes()
    letter, newer, broken = tmp_path / "letter.db", tmp_path / "newer.db", tmp_path / "broken.db"
    letter.write_text("dear Jory, " * 100)
    for goal in (newer, broken):
        backup.copy_to(bench.path, goal)
    with closing(sqlite3.connect(newer)) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '9002'")
        connection.commit()
    scribble(broken, 4096 * 3, 4096 * 4)
    for wanted, error in (
        (letter, StoreTrouble),
        (broken, StoreTrouble),
        (newer, NewerFile),
        (bench.path, BadInput),
        (tmp_path / "none.db", BadInput),
    ):
        with pytest.raises(error):
            care.restore(bench.path, str(wanted), MORNING)
        assert bench.path.read_bytes() == before
    assert not list(tmp_path.glob("*.kept-*"))


def test_a_broken_backup_is_passed_over_for_the_newest_good_one(bench: Store) -> None:
    for day in range(3):
        backup.make(bench.path, MORNING + timedelta(days=day))
    scribble(backup.backups(bench.path)[0].path, 0, 200)
    newest = backup.newest_good(bench.path)
    assert newest is not None
    assert newest.number == 2
    assert [line.rpartition(": ")[2] for line in care.listed(bench.path)[1:4]] == [
        "broken",
        "lacks nothing",
        "lacks nothing",
    ]
    for copy in backup.backups(bench.path):
        scribble(copy.path, 0, 200)
    with pytest.raises(BadInput, match="There is no good backup"):
        care.restore(bench.path, "newest", MORNING)


# A record that is broken or gone.


@pytest.mark.parametrize("make", [False, True])
@pytest.mark.parametrize("left", [None, b"", b"\x00" * 8192, b"SQLite format 3\x00" + b"\xff" * 9000])
def test_a_record_that_is_gone_is_not_begun_anew_where_there_are_backups(
    bench: Store, left: bytes | None, make: bool
) -> None:
    backup.make(bench.path, MORNING)
    bench.close()
    for path in bench.path.parent.glob("farm.db*"):
        if path.is_file():
            path.unlink()
    if left is not None:
        bench.path.write_bytes(left)
    with pytest.raises((NoDatabase, StoreTrouble)) as refusal:
        open_store(bench.path, make=make)
    assert f"Run: trayround restore newest --db {bench.path}" in str(refusal.value)
    assert "the backup of Tue 14 Apr 6:30" in str(refusal.value)
    assert (bench.path.read_bytes() if left is not None else None) == left
    care.restore(bench.path, "newest", MORNING)
    open_store(bench.path).close()


def test_a_file_cut_short_is_refused_with_the_way_back_and_what_would_be_missing(
    bench: Store, stamp: StampMaker
) -> None:
    backup.make(bench.path, MORNING)
    walk.mark_trays(bench, stamp(), ActKind.WATERED, [KALE])
    bench.close()
    cut = bench.path.read_bytes()[: 4096 * 20]
    bench.path.write_bytes(cut)
    with pytest.raises(StoreTrouble, match="The file is damaged. Run: trayround restore newest"):
        open_store(bench.path)
    assert bench.path.read_bytes() == cut
    said = care.restore(bench.path, "newest", MORNING)
    assert Path(said[1].removeprefix("The file that was there is kept as ")[:-1]).read_bytes() == cut
    assert migrate.version(bench.path) == migrate.HEAD


@pytest.mark.parametrize("gone", [True, False])
def test_what_a_backup_lacks_isnt_known_where_the_record_cant_be_read(
    bench: Store, stamp: StampMaker, gone: bool
) -> None:
    backup.make(bench.path, MORNING)
    walk.mark_trays(bench, stamp(), ActKind.WATERED, [KALE])
    walk.mark_trays(bench, stamp("Jory"), ActKind.WATERED, [TOMATO])
    backup.make(bench.path, MORNING + timedelta(days=1))
    bench.close()
    for path in bench.path.parent.glob("farm.db-*"):
        path.unlink()
    half = bench.path.read_bytes()[: bench.path.stat().st_size // 2]
    bench.path.unlink()
    if not gone:
        bench.path.write_bytes(half)
    why = "the file is gone" if gone else "the file can't be read whole"
    newest, first = care.listed(bench.path)[1:3]
    assert newest.endswith(f": what it lacks isn't known: {why}")
    assert first.endswith(f": what it lacks isn't known: {why}; 2 entries fewer than number 2")
    said = care.restore(bench.path, "1", MORNING)
    assert not [line for line in said if "No entry" in line]
    assert said[-4:-2] == [
        f"What it lacks isn't known: {why}.",
        "Backup 2 holds 2 entries: Tue 14 Apr, Wren, Jory that are missing now:",
    ]
    assert [line.split("  ")[2:] for line in said[-2:]] == [["Wren", "watered 3A"], ["Jory", "watered 1R"]]


def test_what_can_still_be_read_of_a_damaged_record_is_told_as_the_least_that_a_backup_lacks(
    bench: Store, stamp: StampMaker
) -> None:
    backup.make(bench.path, MORNING)
    walk.mark_trays(bench, stamp(), ActKind.WATERED, [KALE])
    bench.close()
    with closing(sqlite3.connect(bench.path)) as connection:
        connection.execute("PRAGMA journal_mode=DELETE")
        ((page,),) = connection.execute("SELECT rootpage FROM sqlite_master WHERE name = 'act'")
    scribble(bench.path, 4096 * (page - 1), 4096)
    least = "lacks 1 entry: Tue 14 Apr, Wren, maybe more: the file can't be read whole"
    assert care.listed(bench.path)[1].endswith(f": {least}")
    assert "What else it lacks isn't known: the file can't be read whole." in care.restore(
        bench.path, "newest", MORNING
    )


def test_without_a_backup_a_damaged_file_is_told_and_left_alone(bench: Store) -> None:
    bench.close()
    cut = bench.path.read_bytes()[: 4096 * 20]
    bench.path.write_bytes(cut)
    with pytest.raises(
        StoreTrouble, match="The file is damaged. It was not touched, and there is no good backup"
    ):
        open_store(bench.path)
    assert bench.path.read_bytes() == cut
