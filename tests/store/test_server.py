"""A farm on a server: the same acts give the same views, bytes and refusals as in a file, with two writers too."""

import os
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import UTC, datetime, time
from importlib import import_module
from pathlib import Path
from random import Random

import pytest

from model.actions import files, record, shift, walk
from model.actions.desk import Stamp
from model.actions.files import DEMO_MORNING
from model.actions.opening import open_farm
from model.errors import (
    BadInput,
    FullPlace,
    ImportRefused,
    NewerFile,
    NoDatabase,
    NotEnough,
    StoreTrouble,
    UndoRefused,
)
from model.facts import ActKind, LossCause
from model.store import migrate, reading, tables
from model.store.address import Server
from model.store.database import Rows, Store, open_store, rows_of
from model.views.answer import as_json
from model.views.cover import read as read_cover
from model.views.outlook import reckon
from model.views.plain import as_json as round_as_json
from model.views.round import read_round
from tests import servers
from tests.builders import TODAY
from tests.conftest import StampMaker, make_small_farm
from tests.store.chance import Chance
from tests.store.conftest import NextRelease
from tests.store.looking import kept, kept_anew, state, the_sowing
from tests.store.names import KALE
from tests.store.small_farm import texts, written
from tests.store.test_database import BAD_ROWS

pytestmark = servers.needed

PRINTED = ("plan", "mat", "gate", "tonight", "cold", "stock")
NOW = datetime.combine(DEMO_MORNING, time(6, 30), UTC)


@pytest.fixture(scope="session")
def demo_there() -> Iterator[Server]:
    server = servers.new_database()
    files.make_demo(server, DEMO_MORNING).close()
    yield server
    servers.drop(server)


@pytest.fixture
def empty() -> Iterator[Server]:
    """A database without a table."""
    server = servers.new_database()
    yield server
    servers.drop(server)


@pytest.fixture
def fresh(empty: Server) -> Iterator[Store]:
    """The small farm in a database whose tables may be changed."""
    make_small_farm(empty)
    opened = open_store(empty)
    yield opened
    opened.close()


@pytest.fixture
def demo(demo_there: Server, tmp_path: Path) -> Iterator[tuple[Store, Store]]:
    """The demo farm in a file and on the server."""
    there = servers.new_database(demo_there)
    both = files.make_demo(tmp_path / "farm.db", DEMO_MORNING), open_farm(there)
    yield both
    for store in both:
        store.close()
    servers.drop(there)


on_server = pytest.mark.parametrize("store", ["server"], indirect=True)


# The same acts, the same views


def exported(store: Store, folder: Path) -> dict[str, bytes]:
    files.export_folder(store, folder)
    return texts(folder)


def views(store: Store) -> dict[str, str]:
    """Everything that is printed about a farm."""
    found = reckon(store, DEMO_MORNING)
    told = {"round": round_as_json(read_round(store, DEMO_MORNING, found.outlooks, found.thirsts))}
    for name in PRINTED:
        told[name] = as_json(import_module(f"model.views.{name}").read(store, DEMO_MORNING, NOW))
    told["cover"] = as_json(read_cover(store, DEMO_MORNING, TODAY.replace(day=20), DEMO_MORNING, NOW))
    return told


def a_morning(store: Store, seed: int, tries: int = 40) -> list[str]:
    """A seeded morning of two people; the words of every entry and of every refusal."""
    with store.reading() as rows:
        containers = {box.name: box.id for box in reading.containers(rows)}
    die, said = Random(seed), []
    chance = Chance(die, store, containers)
    for number in range(tries):
        at = NOW.replace(minute=40, second=number)
        stamp = Stamp(die.choice(("Wren", "Jory")), at, DEMO_MORNING, f"{seed}-{number}")
        turn = die.choice((chance.act, chance.act, chance.act, undo, redo))
        try:
            said.append((turn(stamp) if turn == chance.act else turn(store, stamp)).words)
        except (BadInput, NotEnough, FullPlace, UndoRefused) as error:
            said.append(str(error))
    return said


def undo(store: Store, stamp: Stamp):  # type: ignore[no-untyped-def]
    return record.undo(store, stamp, "Europe/London")


def redo(store: Store, stamp: Stamp):  # type: ignore[no-untyped-def]
    return record.redo(store, stamp, "Europe/London")


def test_the_demo_farm_gives_the_same_views_and_the_same_bytes(
    demo: tuple[Store, Store], tmp_path: Path
) -> None:
    file, server = demo
    assert views(server) == views(file)
    assert exported(server, tmp_path / "server") == exported(file, tmp_path / "file")
    assert kept_anew(server) == kept(file)


@pytest.mark.parametrize("seed", range(12))
def test_a_morning_of_chance_gives_the_same_words_views_and_bytes(
    demo: tuple[Store, Store], tmp_path: Path, seed: int
) -> None:
    file, server = demo
    assert a_morning(server, seed) == a_morning(file, seed)
    assert views(server) == views(file)
    assert exported(server, tmp_path / "server") == exported(file, tmp_path / "file")


def test_what_goes_out_of_a_server_comes_into_a_file_and_back(
    demo: tuple[Store, Store], empty: Server, tmp_path: Path
) -> None:
    _, server = demo
    a_morning(server, 99)
    out = exported(server, tmp_path / "out")
    file = files.import_folder(tmp_path / "again.db", tmp_path / "out")
    assert exported(file, tmp_path / "from file") == out
    again = files.import_folder(empty, tmp_path / "from file")
    assert exported(again, tmp_path / "from server") == out
    assert kept(again) == kept(server)
    again.close()


# What comes out of a row


@on_server
def test_rows_come_as_a_file_gives_them(store: Store, stamp: StampMaker) -> None:
    with store.transaction() as session:
        session.add(tables.Timing(crop="kale", used=True, asked_on=TODAY))
        told = rows_of(session)("SELECT used, asked_on FROM timing")
    with store.reading() as rows:
        assert rows("SELECT used, asked_on FROM timing") == told == [(1, "2026-04-14")]
        assert type(told[0][0]) is int
        assert rows("SELECT sum(id), avg(id), sum(id) / 2.0 FROM place") == [(21, 3.5, 10.5)]
        assert rows("SELECT '? 5 %', ?, 5 % 3", "it's ?") == [("? 5 %", "it's ?", 2)]
        assert rows("SELECT name FROM place WHERE name IN ('mat', 'it''s ?') OR id = ?", 2) == [
            ("mat",),
            ("shelf",),
        ]


@on_server
def test_text_sorts_by_its_code_points_whatever_language_the_server_keeps(store: Store) -> None:
    with store.transaction() as session:
        for name in ("b", "C", "a", "é", "z"):
            session.add(tables.Person(name=name))
    with store.reading() as rows:
        assert [name for (name,) in rows("SELECT name FROM person WHERE id > 1 ORDER BY name")] == [
            *("C", "a", "b", "z", "é")
        ]
        assert rows("SELECT name FROM (VALUES ('C'), ('a')) AS t (name) ORDER BY name") == [("a",), ("C",)]
        assert [i for (i,) in rows("SELECT id FROM person ORDER BY id")] == [1, 2, 3, 4, 5, 6]


# One writer at a time


@pytest.fixture
def other_window(bench: Store) -> Iterator[Store]:
    opened = open_store(bench.where)
    yield opened
    opened.close()


@on_server
def test_reading_never_writes_and_is_of_one_moment(bench: Store, stamp: StampMaker) -> None:
    with pytest.raises(StoreTrouble, match="can only be read"), bench.reading() as rows:
        rows("INSERT INTO person (id, name) VALUES (9, 'Jory')")
    with bench.reading() as rows:
        before = reading.standing_trays(rows)
        walk.mark_trays(bench, stamp(), ActKind.WATERED, [KALE])
        assert reading.standing_trays(rows) == before
    with bench.reading() as rows:
        assert reading.standing_trays(rows) != before


@on_server
def test_a_write_waits_for_its_turn_and_is_told_when_it_never_comes(
    bench: Store, other_window: Store, stamp: StampMaker, monkeypatch: pytest.MonkeyPatch
) -> None:
    server = import_module("model.store.server")
    monkeypatch.setattr(server, "BEGIN", server.BEGIN.replace("lock_timeout = 4000", "lock_timeout = 5"))
    with bench.transaction() as session:
        rows_of(session)("SELECT 1 FROM tray")
        with pytest.raises(StoreTrouble, match="Another window is writing") as refusal:
            walk.mark_trays(other_window, stamp(), ActKind.WATERED, [KALE])
        assert refusal.value.what_to_do == "Nothing was saved; try once more."
    assert walk.mark_trays(other_window, stamp(), ActKind.WATERED, [KALE]).words == "watered 3A"


@on_server
def test_two_writers_at_once_lose_nothing_and_number_their_entries_in_order(
    bench: Store, other_window: Store, stamp: StampMaker
) -> None:
    each, together = 20, threading.Barrier(2)
    receipts: list[int] = []

    def lose_one_by_one(store: Store, stamps: list[Stamp]) -> None:
        together.wait(10)
        for mine in stamps:
            with suppress(NotEnough):
                shift.lose(store, mine, KALE, None, 1000, LossCause.EATEN)
            receipts.append(shift.lose(store, mine, KALE, None, 1, LossCause.EATEN).entry_id)

    with bench.reading() as rows:
        first = reading.last_entry(rows) + 1
    threads = [
        threading.Thread(target=lose_one_by_one, args=(store, [stamp(who) for _ in range(each)]))
        for store, who in ((bench, "Wren"), (other_window, "Jory"))
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(120)
    assert sorted(receipts) == list(range(first, first + 2 * each)), "no gap, though each was refused once"
    assert the_sowing(bench, KALE).lost == 2 * each
    now = kept(bench)
    assert kept_anew(bench) == now
    with bench.reading() as rows:
        assert {row.who for row in reading.entries(rows)} >= {"Wren", "Jory"}


def test_two_windows_that_make_the_same_farm_make_it_once(empty: Server) -> None:
    together, made = threading.Barrier(2), []

    def make() -> None:
        together.wait(10)
        made.append(open_farm(empty, make=True))

    threads = [threading.Thread(target=make) for _ in range(2)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(60)
    assert len(made) == 2
    with made[0].reading() as rows:
        assert reading.people(rows) == ("grower",)
    for store in made:
        store.close()


# What the tables refuse


@on_server
@pytest.mark.parametrize(("sql", "word"), BAD_ROWS.values(), ids=BAD_ROWS.keys())
def test_a_row_that_cant_be_is_refused_by_the_table(bench: Store, sql: str, word: str) -> None:
    before = state(bench)
    # There the number of a row is given by the program.
    sql = sql.replace("INSERT INTO act (", "INSERT INTO act (id, ").replace("VALUES (", "VALUES (9999, ")
    words = {"CHECK": "violates check constraint", "FOREIGN KEY": "violates foreign key constraint"}
    words |= {"NOT NULL": "violates not-null constraint", "UNIQUE": "violates unique constraint"}
    with pytest.raises(StoreTrouble, match=words[word]), bench.transaction() as session:
        rows_of(session)(sql)
    assert state(bench) == before


@on_server
def test_the_tables_there_are_those_of_a_file(store: Store) -> None:
    with store.reading() as rows:
        columns = rows(
            "SELECT table_name, column_name, is_nullable FROM information_schema.columns "
            "WHERE table_schema = current_schema() AND table_name <> 'alembic_version'"
        )
        rules = rows(
            "SELECT conname FROM pg_constraint WHERE connamespace = current_schema()::regnamespace "
            "AND contype IN ('c', 'f', 'p', 'u') AND conname <> 'alembic_version_pkc'"
        )
        indexes = rows("SELECT indexname FROM pg_indexes WHERE schemaname = current_schema()")
    expected = tables.metadata.sorted_tables
    assert {(table, name, null == "YES") for table, name, null in columns} == {
        (table.name, column.name, bool(column.nullable)) for table in expected for column in table.columns
    }
    schema = (migrate.HERE / "schema.sql").read_text(encoding="utf-8")
    assert all(f"CONSTRAINT {name} " in schema for (name,) in rules)
    assert len(rules) == schema.count("CONSTRAINT")
    assert {f"{index.name}" for table in expected for index in table.indexes} <= {name for (name,) in indexes}


# Opening


def test_an_empty_database_gets_a_farm_only_where_that_was_asked_for(empty: Server) -> None:
    with pytest.raises(NoDatabase, match="There is no farm in .* yet. Start the app once"):
        open_farm(empty)
    made = open_farm(empty, make=True)
    made.close()
    opened = open_farm(empty)
    with opened.reading() as rows:
        assert reading.people(rows) == ("grower",)
        assert len(reading.containers(rows)) > 10
    opened.close()


def test_an_import_that_is_refused_leaves_the_database_for_the_next(empty: Server, tmp_path: Path) -> None:
    bad = written(tmp_path / "bad")
    acts = (bad / "acts.csv").read_text(encoding="utf-8")
    (bad / "acts.csv").write_text(acts.replace("7,count,2,3", "7,count,2,300"), encoding="utf-8")
    with pytest.raises(ImportRefused) as refusal:
        files.import_folder(empty, bad)
    assert "acts.csv line 13, column new: tray 1R" in refusal.value.problems[0]
    with pytest.raises(NoDatabase, match="There is no farm"):
        open_farm(empty)
    store = files.import_folder(empty, written(tmp_path / "good"))
    before = state(store)
    with pytest.raises(BadInput, match="There is a farm at .* already. Name a new database"):
        files.import_folder(empty, tmp_path / "good")
    assert state(store) == before
    store.close()


def test_a_database_of_another_program_is_refused_and_left_alone(empty: Server) -> None:
    with servers.link(empty) as keeper:
        keeper.execute("CREATE TABLE song (name text)")
        for make in (False, True):
            with pytest.raises(StoreTrouble, match="is no trayround database. Name another database"):
                open_farm(empty, make=make)
        assert keeper.execute("SELECT tablename FROM pg_tables WHERE schemaname = 'public'").fetchall() == [
            ("song",)
        ]


def test_a_database_of_a_later_release_is_refused_and_left_alone(fresh: Store) -> None:
    assert isinstance(fresh.where, Server)
    with servers.link(fresh.where) as keeper:
        keeper.execute("UPDATE alembic_version SET version_num = '9002'")
    before = state(fresh)
    with pytest.raises(NewerFile, match="was written by a later release .schema 9002") as refusal:
        open_farm(fresh.where)
    assert refusal.value.what_to_do == "Bring trayround up to date; the database was not touched."
    assert state(fresh) == before


def test_an_older_database_is_brought_up_to_date(fresh: Store, next_release: NextRelease) -> None:
    next_release("ALTER TABLE place ADD COLUMN shade FLOAT", "UPDATE place SET shade = 0.5")
    fresh.close()
    opened = open_store(fresh.where)
    with opened.reading() as rows:
        assert rows("SELECT DISTINCT shade FROM place") == [(0.5,)]
        assert rows("SELECT version_num FROM alembic_version") == [("9001",)]
    opened.close()


def test_a_revision_that_fails_leaves_the_database_as_it_was(
    fresh: Store, next_release: NextRelease, monkeypatch: pytest.MonkeyPatch
) -> None:
    before, old, known = state(fresh), migrate.HEAD, migrate.KNOWN
    next_release("CREATE TABLE shade (id INTEGER)", "UPDATE place SET slots = -1")
    with pytest.raises(StoreTrouble, match="could not be brought up to date .*It was left as it was"):
        open_store(fresh.where)
    monkeypatch.setattr(migrate, "HEAD", old)
    monkeypatch.setattr(migrate, "KNOWN", known)
    assert state(fresh) == before
    with fresh.reading() as rows:
        assert rows("SELECT to_regclass('shade')") == [(None,)]
    open_store(fresh.where).close()


# Troubles


@contextmanager
def told(*words: str, error: type[Exception] = StoreTrouble) -> Iterator[None]:
    """What is said, and never a password."""
    with pytest.raises(error) as refusal:
        yield
    for word in words:
        assert word in str(refusal.value)
    for password in ("for-tests", "wrong-one"):
        assert password not in str(refusal.value)


def test_a_server_that_turns_somebody_away_says_why() -> None:
    with told("refused the name or the password", "~/.pgpass"):
        open_farm(servers.named("postgres", password="wrong-one"))
    with told("asks for a password", "PGPASSWORD"):
        open_farm(servers.named("postgres", password="", passfile="/nowhere"))
    with told("There is no database nowhere on the server", "createdb", error=NoDatabase):
        open_farm(servers.named("nowhere"))
    with told("can't be reached", "whether the server is running"):
        open_farm(servers.named("postgres", host="/nowhere"))


@pytest.fixture
def helper(bench: Store) -> Iterator[Store]:
    """The bench as somebody opens it who may read and no more."""
    assert isinstance(bench.where, Server)
    role = f"helper_{bench.where.database}"
    with servers.link(bench.where) as keeper:
        keeper.execute(f"CREATE ROLE {role} LOGIN PASSWORD 'for-tests'")
        keeper.execute(f"GRANT SELECT ON ALL TABLES IN SCHEMA public TO {role}")
        opened = open_farm(servers.named(bench.where.database, user=role))
        yield opened
        opened.close()
        keeper.execute(f"DROP OWNED BY {role}")
        keeper.execute(f"DROP ROLE {role}")


@on_server
def test_somebody_who_may_only_read_reads_and_no_more(helper: Store, stamp: StampMaker) -> None:
    with helper.reading() as rows:
        assert len(reading.standing_trays(rows)) == 3
    before = state(helper)
    with told("gives this name no right to do that", "ask whoever keeps the server"):
        walk.mark_trays(helper, stamp(), ActKind.WATERED, [KALE])
    assert state(helper) == before


def cut(store: Store) -> None:
    """End every link to a database from the other side."""
    assert isinstance(store.where, Server)
    with servers.link(servers.the_server()) as keeper:
        keeper.execute(
            "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = %s",
            (store.where.database,),
        )


@on_server
def test_a_link_that_was_cut_is_told_and_made_anew(bench: Store, stamp: StampMaker) -> None:
    before = kept(bench)
    with (
        told("The link to the server was lost", "Look whether the last entry stands there"),
        bench.reading() as rows,
    ):
        cut(bench)
        reading.settings(rows)
    with told("The link to the server was lost"), bench.transaction() as session:
        rows_of(session)("UPDATE place SET walk = 9")
        cut(bench)
        rows_of(session)("SELECT 1")
    assert kept(bench) == before
    with bench.reading() as rows:
        assert [place.walk for place in reading.places(rows)] == [1, 2, 3, 4, 5, 6]
    cut(bench)
    assert walk.mark_trays(bench, stamp(), ActKind.WATERED, [KALE]).words == "watered 3A"
    cut(bench)
    assert kept(bench) != before


@on_server
def test_many_looks_go_through_one_link(bench: Store) -> None:
    def looks(rows: Rows) -> int:
        return int(rows("SELECT pg_backend_pid()")[0][0])

    found = set()
    for _ in range(5):
        with bench.reading() as rows:
            found.add(looks(rows))
    assert len(found) == 1
    with bench.reading() as first, bench.reading() as second:
        assert looks(first) != looks(second)


@pytest.mark.parametrize(
    ("code", "words"),
    [
        ("53100", "disk is full"),
        ("53300", "at the end of its room"),
        ("55P03", "Another window is writing"),
        ("40001", "Another window is writing"),
        ("40P01", "Another window is writing"),
        ("25006", "can only be read"),
        ("57P01", "link to the server was lost"),
        ("08006", "link to the server was lost"),
        ("22001", "refused the entry"),
    ],
)
def test_every_trouble_of_a_server_has_a_word_and_a_cure(code: str, words: str) -> None:
    from psycopg.errors import lookup

    from model.store.server import trouble

    said = trouble(lookup(code)("inner words"))
    assert words in said.what_happened
    assert said.what_to_do.endswith(".")


MOMENTS = 6
"""Ends by force, each at a moment of its own."""

TICK = (
    "import os, sys; from model.store.address import where_of; from tests.store.ticking import main; "
    "main(where_of(os.environ['FARM_THERE']), int(sys.argv[1]))"
)


def ticked_and_ended(where: str, seed: int) -> list[str]:
    """Let a program enter one thing after the other, end it by force at some moment; the lines it got out."""
    walker = subprocess.Popen(
        [sys.executable, "-c", TICK, str(seed)],
        cwd=Path(__file__).parents[2],
        env={**os.environ, "FARM_THERE": where},
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        encoding="ascii",
    )
    assert walker.stdin is not None
    assert walker.stdout is not None
    walker.stdin.write("go\n")
    walker.stdin.flush()
    heard = [walker.stdout.readline() for _ in range(Random(seed).randint(1, 12))]
    walker.kill()
    rest, _ = walker.communicate()
    return [line for line in [*heard, *rest.splitlines(keepends=True)] if line.endswith("\n")]


@on_server
def test_nothing_that_was_acknowledged_is_lost_when_the_program_is_ended_by_force(bench: Store) -> None:
    assert isinstance(bench.where, Server)
    where, acknowledged = servers.address_of(bench.where), {}
    for seed in range(MOMENTS):
        for line in ticked_and_ended(where, seed):
            entry_id, _, words = line.rstrip("\n").partition(" ")
            acknowledged[int(entry_id)] = words
        with bench.reading() as rows:
            on_record = {row.id: row.words.encode("unicode_escape").decode() for row in reading.entries(rows)}
        assert {i: on_record.get(i) for i in acknowledged} == acknowledged
        assert "" not in on_record.values(), "half an entry"
    assert len(acknowledged) >= MOMENTS
    now = kept(bench)
    assert kept_anew(bench) == now
