"""The schema: three ways to say it that agree, and the road from an older file to a newer one."""

import re
import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from sqlalchemy.dialects import sqlite
from sqlalchemy.schema import CreateIndex, CreateTable

from model.actions import walk
from model.errors import NewerFile, StoreTrouble
from model.facts import ActKind
from model.store import backup, migrate, reading, tables
from model.store.database import Store, open_store
from tests.conftest import StampMaker
from tests.store.conftest import NextRelease
from tests.store.looking import every_row, kept, kept_anew
from tests.store.names import KALE


def words(sql: str) -> str:
    """SQL without its line breaks and spaces at brackets."""
    return re.sub(r"\s*([(),])\s*", r"\1", " ".join(sql.split())).replace('"', "")


def schema_of(path: Path) -> list[tuple[str, str, str, str]]:
    with closing(sqlite3.connect(path)) as connection:
        found = connection.execute("SELECT type, name, tbl_name, coalesce(sql, '') FROM sqlite_master")
        return sorted((kind, name, table, words(sql)) for kind, name, table, sql in found)


# Three ways to say the schema


def test_a_new_file_and_one_that_went_through_every_revision_have_the_same_schema(tmp_path: Path) -> None:
    made, migrated = tmp_path / "made.db", tmp_path / "migrated.db"
    migrate.create(made)
    with closing(sqlite3.connect(migrated)) as connection:
        connection.execute("PRAGMA journal_mode=WAL")
    migrate.upgrade(migrated)
    assert schema_of(made) == schema_of(migrated)
    assert migrate.version(made) == migrate.version(migrated) == migrate.HEAD


def test_the_shipped_schema_is_the_one_of_the_tables() -> None:
    shipped = (migrate.HERE / "schema.sql").read_text(encoding="utf-8").split(";")
    dialect = sqlite.dialect()
    told = [str(CreateTable(table).compile(dialect=dialect)) for table in tables.metadata.sorted_tables]
    told += [
        str(CreateIndex(index).compile(dialect=dialect))
        for table in tables.metadata.sorted_tables
        for index in table.indexes
    ]
    assert sorted(words(sql) for sql in shipped if sql.strip()) == sorted(words(sql) for sql in told)


def test_the_newest_revision_is_the_one_that_is_asked_for_and_every_one_is_known() -> None:
    revisions = sorted(path.name[:4] for path in (migrate.HERE / "migrations" / "versions").glob("*.py"))
    assert revisions[-1] == migrate.HEAD
    assert frozenset(revisions) == migrate.KNOWN


def test_every_revision_follows_the_one_before() -> None:
    from alembic.config import Config
    from alembic.script import ScriptDirectory

    config = Config()
    config.set_main_option("script_location", str(migrate.HERE / "migrations"))
    script = ScriptDirectory.from_config(config)
    assert script.get_heads() == [migrate.HEAD]
    assert {revision.revision for revision in script.walk_revisions()} == migrate.KNOWN


def test_a_present_file_is_opened_without_alembic(farm_file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def never(*_: object) -> None:
        raise AssertionError("a present file was migrated")

    monkeypatch.setattr(migrate, "upgrade", never)
    monkeypatch.setattr(backup, "make", never)
    open_store(farm_file).close()
    assert copies_beside(farm_file) == []


# From an older file to a newer one


def copies_beside(path: Path) -> list[Path]:
    return [copy.path for copy in backup.backups(path)]


def test_an_older_file_is_brought_up_to_date_after_a_whole_copy(
    bench: Store, next_release: NextRelease, stamp: StampMaker
) -> None:
    walk.mark_trays(bench, stamp(), ActKind.WATERED, [KALE])
    before = every_row(bench.path)
    old = migrate.HEAD
    next_release("ALTER TABLE place ADD COLUMN shade FLOAT", "UPDATE place SET shade = 0.5")
    store = open_store(bench.path)
    assert migrate.version(bench.path) == "9001"
    with store.reading() as rows:
        assert rows("SELECT DISTINCT shade FROM place") == [(0.5,)]
        assert len(reading.standing_trays(rows)) == 3
    (copy,) = copies_beside(bench.path)
    assert copy.name.endswith(f"_before-{old}.db")
    assert every_row(copy) == before, "with what was still in the write-ahead log"
    open_store(bench.path)
    assert copies_beside(bench.path) == [copy]


FAILING = {
    "a slip in SQL": ("CREATE TABLE shade (id INTEGER)", "UPDATE nowhere SET x = 1"),
    "a row that can't be": ("CREATE TABLE shade (id INTEGER)", "UPDATE place SET slots = -1"),
}


@pytest.mark.parametrize("statements", FAILING.values(), ids=FAILING.keys())
def test_a_revision_that_fails_leaves_the_file_as_it_was_for_the_earlier_release(
    bench: Store,
    next_release: NextRelease,
    stamp: StampMaker,
    monkeypatch: pytest.MonkeyPatch,
    statements: tuple[str, ...],
) -> None:
    before, old, known = every_row(bench.path), migrate.HEAD, migrate.KNOWN
    next_release(*statements)
    with pytest.raises(StoreTrouble, match="farm.db could not be brought up to date") as refusal:
        open_store(bench.path)
    (copy,) = copies_beside(bench.path)
    assert copy.name.endswith(f"_before-{old}.db")
    assert f"a copy is {copy};" in refusal.value.what_to_do
    assert every_row(bench.path) == before
    monkeypatch.setattr(migrate, "HEAD", old)
    monkeypatch.setattr(migrate, "KNOWN", known)
    store = open_store(bench.path)
    walk.mark_trays(store, stamp(), ActKind.WATERED, [KALE])
    assert kept_anew(store) == kept(store)
    store.close()


def test_a_copy_that_cant_be_made_stops_the_migration(bench: Store, next_release: NextRelease) -> None:
    before = every_row(bench.path)
    next_release("CREATE TABLE shade (id INTEGER)")
    backup.folder_of(bench.path).write_text("no folder", encoding="utf-8")
    with pytest.raises(StoreTrouble, match="No backup was made in .* make room, or check your rights"):
        open_store(bench.path)
    assert every_row(bench.path) == before


def test_a_file_of_a_later_release_is_refused_and_left_alone(bench: Store) -> None:
    with closing(sqlite3.connect(bench.path)) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '9002'")
        connection.commit()
    bench.close()
    before = bench.path.read_bytes()
    with pytest.raises(NewerFile, match="farm.db was written by a later release .schema 9002") as refusal:
        open_store(bench.path)
    assert "Bring trayround up to date; the file was not touched" in refusal.value.what_to_do
    assert bench.path.read_bytes() == before
    assert copies_beside(bench.path) == []


def test_a_file_that_was_left_in_the_middle_of_a_transaction_is_opened_as_it_was_before(
    tmp_path: Path, farm_file: Path
) -> None:
    path = tmp_path / "farm.db"
    shutil.copy(farm_file, path)
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("PRAGMA journal_mode=DELETE")
        connection.execute("PRAGMA cache_size=1")
        connection.execute("BEGIN IMMEDIATE")
        connection.executemany("INSERT INTO setting VALUES (?, 'x')", ((f"s{n}",) for n in range(5000)))
        # What an end by force leaves: the file half written, and the journal that undoes it.
        shutil.copy(path, tmp_path / "left.db")
        shutil.copy(tmp_path / "farm.db-journal", tmp_path / "left.db-journal")
        connection.execute("ROLLBACK")
    assert migrate.version(tmp_path / "left.db") == migrate.HEAD
    with open_store(tmp_path / "left.db").reading() as rows:
        assert rows("SELECT count(*) FROM setting WHERE value = 'x'") == [(0,)]
