"""A farm on a server: the same acts give the same views, bytes and refusals as in a file, with two writers too."""

import threading
from collections.abc import Iterator
from contextlib import suppress
from datetime import UTC, datetime, time
from importlib import import_module
from pathlib import Path
from random import Random

import pytest

from model.actions import files, record, shift, walk
from model.actions.desk import Stamp
from model.actions.files import DEMO_MORNING
from model.actions.merge import merge
from model.actions.opening import open_farm
from model.errors import (
    BadInput,
    FullPlace,
    NotEnough,
    StoreTrouble,
    UndoRefused,
)
from model.facts import ActKind, LossCause
from model.store import migrate, reading, tables
from model.store.address import Server
from model.store.database import Store, open_store, rows_of
from model.views.answer import as_json
from model.views.cover import read as read_cover
from model.views.outlook import reckon
from model.views.plain import as_json as round_as_json
from model.views.round import read_round
from tests import servers
from tests.builders import TODAY
from tests.conftest import StampMaker
from tests.store.chance import Chance
from tests.store.looking import kept, kept_anew, state, the_sowing
from tests.store.names import KALE
from tests.store.small_farm import texts
from tests.store.test_database import BAD_ROWS

pytestmark = servers.needed

PRINTED = ("plan", "mat", "gate", "tonight", "cold", "stock", "promises", "health", "lots", "season")
NOW = datetime.combine(DEMO_MORNING, time(6, 30), UTC)


@pytest.fixture(scope="session")
def demo_there() -> Iterator[Server]:
    server = servers.new_database()
    files.make_demo(server, DEMO_MORNING).close()
    yield server
    servers.drop(server)


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
    demo: tuple[Store, Store], empty_there: Server, tmp_path: Path
) -> None:
    _, server = demo
    a_morning(server, 99)
    out = exported(server, tmp_path / "out")
    file = files.import_folder(tmp_path / "again.db", tmp_path / "out")
    assert exported(file, tmp_path / "from file") == out
    again = files.import_folder(empty_there, tmp_path / "from file")
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


def test_two_windows_that_make_the_same_farm_make_it_once(empty_there: Server) -> None:
    together, made = threading.Barrier(2), []

    def make() -> None:
        together.wait(10)
        made.append(open_farm(empty_there, make=True))

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


def test_a_record_there_takes_in_no_file_and_the_way_round_that_is_said_works(
    bench: Store, empty_there: Server, tmp_path: Path
) -> None:
    """A copy went from a file to the server; what was entered there since comes back over plain files."""
    exported(bench, tmp_path / "out")
    with_grower = files.import_folder(tmp_path / "laptop.db", tmp_path / "out")
    there = files.import_folder(empty_there, tmp_path / "out")
    at = Stamp("Jory", NOW, TODAY, "jory")
    with pytest.raises(BadInput, match="it takes in no file. Make a file of the server's record"):
        merge(there, at, tmp_path / "laptop.db")
    with pytest.raises(BadInput, match="merge takes in a file. Make a file of the server's record"):
        merge(with_grower, at, empty_there)
    walk.mark_trays(there, at, ActKind.WATERED, [KALE])
    exported(there, tmp_path / "from there")
    files.import_folder(tmp_path / "there.db", tmp_path / "from there").close()
    found = merge(with_grower, Stamp("Wren", NOW, TODAY, "wren"), tmp_path / "there.db")
    assert found.entries == (("Jory", 1),)
    with_grower.close()
    there.close()


def shape(store: Store) -> set[tuple[object, ...]]:
    """Every column with its type and how it sorts, and every rule and index as the server says them."""
    with store.reading() as rows:
        columns = rows(
            "SELECT table_name, column_name, data_type, is_nullable, collation_name FROM information_schema.columns "
            "WHERE table_schema = current_schema()"
        )
        rules = rows(
            "SELECT conname, pg_get_constraintdef(oid) FROM pg_constraint "
            "WHERE connamespace = current_schema()::regnamespace"
        )
        return {
            *columns,
            *rules,
            *rows("SELECT indexdef FROM pg_indexes WHERE schemaname = current_schema()"),
        }


def test_a_farm_of_the_last_schema_is_brought_up_to_date_there(
    demo: tuple[Store, Store], tmp_path: Path
) -> None:
    _, server = demo
    wanted, farm, trays = shape(server), exported(server, tmp_path / "before"), kept(server)
    with server.transaction() as session:
        # As the fourth revision left it: without what the fifth brings, and with trays as they were kept then.
        session.connection().exec_driver_sql("DROP TABLE packet")
        session.connection().exec_driver_sql("UPDATE alembic_version SET version_num = '0004'")
    server.close()
    again = open_farm(server.where)
    assert shape(again) == wanted
    assert kept(again) == trays
    assert exported(again, tmp_path / "after") == farm
    again.close()
