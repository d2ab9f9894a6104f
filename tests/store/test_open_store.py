"""Opening a file: a new one, a foreign one, a damaged one, one that may not be written; what is no farm stays as it is."""

import os
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest

from model.actions import walk
from model.errors import NoDatabase, StoreTrouble
from model.facts import ActKind
from model.store import migrate, reading
from model.store.database import Store, open_store, rows_of
from tests.conftest import StampMaker
from tests.store.names import TOMATO

NOBODY = 65534
"""The user id that owns nothing."""


def bytes_around(path: Path) -> dict[str, bytes]:
    """Every file of a folder but what SQLite keeps beside an open database."""
    return {
        p.name: p.read_bytes()
        for p in path.parent.iterdir()
        if p.is_file() and not p.name.endswith(("-shm", "-wal"))
    }


def assert_refused(path: Path, error: type[Exception], *words: str, make: bool = False) -> None:
    before = bytes_around(path)
    with pytest.raises(error) as refusal:
        open_store(path, make=make)
    for word in words:
        assert word in str(refusal.value)
    assert bytes_around(path) == before


def test_a_missing_file_is_not_made_unless_that_was_asked_for(tmp_path: Path) -> None:
    path = tmp_path / "deeper" / "farm.db"
    with pytest.raises(NoDatabase, match="There is no database at .* Start the app once to make one"):
        open_store(path)
    assert not path.parent.exists()
    open_store(path, make=True).close()
    open_store(path).close()


def test_an_empty_file_is_no_database_yet(tmp_path: Path) -> None:
    path = tmp_path / "farm.db"
    path.touch()
    assert_refused(path, NoDatabase, "There is no database at")
    open_store(path, make=True).close()
    assert migrate.version(path) == migrate.HEAD


def test_a_database_without_a_table_is_one_whose_making_was_broken_off(tmp_path: Path) -> None:
    path = tmp_path / "farm.db"
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("PRAGMA journal_mode=WAL")
    assert path.stat().st_size > 0
    assert_refused(path, NoDatabase, "There is no database at")
    open_store(path, make=True).close()
    assert migrate.version(path) == migrate.HEAD


def test_two_windows_that_make_the_same_file_make_it_once(tmp_path: Path) -> None:
    path = tmp_path / "farm.db"
    store = open_store(path, make=True)
    with store.transaction() as session:
        rows_of(session)("INSERT INTO person (name) VALUES ('Wren')")
    migrate.create(path)
    with store.reading() as rows:
        assert reading.people(rows) == ("Wren",)
    store.close()


def test_a_folder_is_no_database(tmp_path: Path) -> None:
    for make in (False, True):
        with pytest.raises(NoDatabase, match="is a folder. Name a file in it"):
            open_store(tmp_path, make=make)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("content", [b"tray,number\n1,2\n" * 100, b"hello", b"\x00" * 5000])
@pytest.mark.parametrize("make", [False, True])
def test_a_file_that_is_no_database_is_refused_and_left_alone(
    tmp_path: Path, content: bytes, make: bool
) -> None:
    path = tmp_path / "seeds.csv"
    path.write_bytes(content)
    assert_refused(path, StoreTrouble, "no trayround database", "this one was not touched", make=make)


@pytest.mark.parametrize("make", [False, True])
def test_a_database_of_another_program_is_refused_and_left_alone(tmp_path: Path, make: bool) -> None:
    path = tmp_path / "songs.db"
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("CREATE TABLE song (name)")
    assert_refused(path, StoreTrouble, "songs.db is no trayround database", "not touched", make=make)


def test_a_version_table_without_a_version_is_no_trayround_database(tmp_path: Path) -> None:
    path = tmp_path / "songs.db"
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("CREATE TABLE alembic_version (version_num)")
    assert_refused(path, StoreTrouble, "songs.db is no trayround database")


def test_a_damaged_file_is_told_as_such(store: Store) -> None:
    store.close()
    damaged = bytearray(store.path.read_bytes())
    damaged[4096:] = b"\xff" * (len(damaged) - 4096)
    store.path.write_bytes(damaged)
    with pytest.raises(StoreTrouble, match="The file is damaged"), store.reading() as rows:
        reading.settings(rows)
    with pytest.raises(StoreTrouble, match="The file is damaged"), store.transaction() as session:
        rows_of(session)("SELECT * FROM setting")


def test_a_file_whose_folder_is_a_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "notes").write_text("mine", encoding="utf-8")
    with pytest.raises(StoreTrouble, match="can't be opened .* Check the folder and your rights to it"):
        open_store(tmp_path / "notes" / "farm.db", make=True)


@pytest.mark.parametrize("name", ["what? farm.db", "50 % #1.db", "fårm 🌱.db", "a&b=c.db"])
def test_a_file_may_have_any_name(tmp_path: Path, name: str) -> None:
    store = open_store(tmp_path / name, make=True)
    with store.transaction() as session:
        rows_of(session)("INSERT INTO person (name) VALUES ('Wren')")
    store.close()
    with open_store(tmp_path / name).reading() as rows:
        assert reading.people(rows) == ("Wren",)
    assert [p.name for p in tmp_path.iterdir() if not p.name.endswith(("-wal", "-shm"))] == [name]


@contextmanager
def without_rights() -> Iterator[None]:
    """Where the tests run as somebody who may do everything, give that up for a while."""
    if os.geteuid() != 0:
        yield
        return
    os.seteuid(NOBODY)
    try:
        yield
    finally:
        os.seteuid(0)


@pytest.fixture
def a_farm_for_all(bench: Store) -> Iterator[Path]:
    """The farm's file in a folder that everybody may look into and nobody but the owner may change."""
    bench.close()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        path = folder / "farm.db"
        path.write_bytes(bench.path.read_bytes())
        yield path
        folder.chmod(0o700)


def test_a_file_that_may_only_be_read_is_read_and_no_more(a_farm_for_all: Path, stamp: StampMaker) -> None:
    a_farm_for_all.chmod(0o444)
    a_farm_for_all.parent.chmod(0o777)
    before = a_farm_for_all.read_bytes()
    mine = stamp()
    with without_rights():
        store = open_store(a_farm_for_all)
        with store.reading() as rows:
            assert len(reading.standing_trays(rows)) == 3
        with pytest.raises(StoreTrouble, match="can only be read here. Give yourself the right to write"):
            walk.mark_trays(store, mine, ActKind.WATERED, [TOMATO])
        store.close()
    assert a_farm_for_all.read_bytes() == before


def test_a_folder_that_may_not_be_changed_is_told_as_such(a_farm_for_all: Path) -> None:
    a_farm_for_all.chmod(0o444)
    a_farm_for_all.parent.chmod(0o555)
    with without_rights(), pytest.raises(StoreTrouble, match="right to write to the file and its folder"):
        open_store(a_farm_for_all)
    with without_rights(), pytest.raises(StoreTrouble, match="Check the folder and your rights to it"):
        open_store(a_farm_for_all.with_name("other.db"), make=True)
    assert [p.name for p in a_farm_for_all.parent.iterdir()] == ["farm.db"]


def test_a_folder_that_may_not_be_entered_is_told_as_such(a_farm_for_all: Path) -> None:
    a_farm_for_all.parent.chmod(0o000)
    with without_rights(), pytest.raises(StoreTrouble, match="Check the folder and your rights to it"):
        open_store(a_farm_for_all)
