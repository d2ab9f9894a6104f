"""Opening a farm on a server, bringing it up to date, and what is said when that or anything later goes wrong."""

import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from random import Random

import pytest

from model.actions import files, walk
from model.actions.opening import open_farm
from model.errors import (
    BadInput,
    ImportRefused,
    NewerFile,
    NoDatabase,
    StoreTrouble,
)
from model.facts import ActKind
from model.store import migrate, reading
from model.store.address import Server
from model.store.database import Rows, Store, open_store, rows_of
from tests import servers
from tests.conftest import StampMaker, make_small_farm
from tests.store.conftest import NextRelease
from tests.store.looking import kept, kept_anew, state
from tests.store.names import KALE
from tests.store.small_farm import written

pytestmark = servers.needed

on_server = pytest.mark.parametrize("store", ["server"], indirect=True)


@pytest.fixture
def fresh(empty_there: Server) -> Iterator[Store]:
    """The small farm in a database whose tables may be changed."""
    make_small_farm(empty_there)
    opened = open_store(empty_there)
    yield opened
    opened.close()


# Opening


def test_an_empty_database_gets_a_farm_only_where_that_was_asked_for(empty_there: Server) -> None:
    with pytest.raises(NoDatabase, match="There is no farm in .* yet. Start the app once"):
        open_farm(empty_there)
    made = open_farm(empty_there, make=True)
    made.close()
    opened = open_farm(empty_there)
    with opened.reading() as rows:
        assert reading.people(rows) == ("grower",)
        assert len(reading.containers(rows)) > 10
    opened.close()


def test_an_import_that_is_refused_leaves_the_database_for_the_next(
    empty_there: Server, tmp_path: Path
) -> None:
    bad = written(tmp_path / "bad")
    acts = (bad / "acts.csv").read_text(encoding="utf-8")
    (bad / "acts.csv").write_text(acts.replace("7,count,2,3", "7,count,2,300"), encoding="utf-8")
    with pytest.raises(ImportRefused) as refusal:
        files.import_folder(empty_there, bad)
    assert "acts.csv line 13, column new: tray 1R" in refusal.value.problems[0]
    with pytest.raises(NoDatabase, match="There is no farm"):
        open_farm(empty_there)
    store = files.import_folder(empty_there, written(tmp_path / "good"))
    before = state(store)
    with pytest.raises(BadInput, match="There is a farm at .* already. Name a new database"):
        files.import_folder(empty_there, tmp_path / "good")
    assert state(store) == before
    store.close()


def test_a_database_of_another_program_is_refused_and_left_alone(empty_there: Server) -> None:
    with servers.link(empty_there) as keeper:
        keeper.execute("CREATE TABLE song (name text)")
        for make in (False, True):
            with pytest.raises(StoreTrouble, match="is no trayround database. Name another database"):
                open_farm(empty_there, make=make)
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

TICK = """
import os, sys
from model.store.address import where_of
from tests.faults.ticking import tick_on

def say(what):
    if isinstance(what, tuple):
        print(what[0], what[1].encode("unicode_escape").decode(), flush=True)

sys.stdin.readline()
tick_on(where_of(os.environ["FARM_THERE"]), int(sys.argv[1]), say)
"""


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
