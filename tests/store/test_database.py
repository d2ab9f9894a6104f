"""Writing to the file: what is durable, what the tables refuse, and two windows on it at once."""

import sqlite3
import threading
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from sqlalchemy.exc import DBAPIError

from model.actions import shift, walk
from model.errors import BadInput, NotEnough, StoreTrouble
from model.facts import ActKind, LossCause
from model.store import database, reading
from model.store.database import Store, open_store, rows_of, trouble
from tests.builders import TODAY
from tests.conftest import StampMaker
from tests.store.looking import kept, kept_anew, state, the_sowing
from tests.store.names import KALE


def pragma(store: Store, name: str) -> object:
    with store.transaction() as session:
        return rows_of(session)(f"PRAGMA {name}")[0][0]


def test_a_write_is_on_the_disk_when_it_is_done(store: Store) -> None:
    full = 2
    assert (pragma(store, "journal_mode"), pragma(store, "synchronous")) == ("wal", full)
    assert pragma(store, "foreign_keys") == 1
    assert pragma(store, "busy_timeout") == database.BUSY_MS


def test_reading_never_writes(store: Store) -> None:
    with pytest.raises(StoreTrouble, match="can only be read"), store.reading() as rows:
        rows("INSERT INTO person (name) VALUES ('Jory')")


def test_a_read_is_of_one_moment(bench: Store, stamp: StampMaker) -> None:
    with bench.reading() as rows:
        before = reading.standing_trays(rows)
        walk.mark_trays(bench, stamp(), ActKind.WATERED, [KALE])
        assert reading.standing_trays(rows) == before
    with bench.reading() as rows:
        assert reading.standing_trays(rows) != before


def test_a_long_list_is_read_in_portions(store: Store) -> None:
    with store.reading() as rows:
        found = reading.rows_in(
            rows, "SELECT value FROM json_each('[1, 2, 3]') WHERE value IN ({})", range(40_000)
        )
    assert found == [(1,), (2,), (3,)]


# Two windows


@pytest.fixture
def other_window(bench: Store) -> Iterator[Store]:
    opened = open_store(bench.path)
    yield opened
    opened.close()


def test_a_write_takes_its_turn_before_it_reads(
    bench: Store, other_window: Store, stamp: StampMaker, monkeypatch: pytest.MonkeyPatch
) -> None:
    impatient = tuple(p for p in database.PRAGMAS if "busy" not in p)
    monkeypatch.setattr(database, "PRAGMAS", (*impatient, "busy_timeout=0"))
    with bench.transaction() as session:
        rows_of(session)("SELECT 1 FROM tray")
        with pytest.raises(StoreTrouble, match="Another window is writing") as refusal:
            walk.mark_trays(other_window, stamp(), ActKind.WATERED, [KALE])
        assert refusal.value.what_to_do == "Nothing was saved; try once more."
    assert walk.mark_trays(other_window, stamp(), ActKind.WATERED, [KALE]).words == "watered 3A"


def test_a_second_window_waits_for_the_first_and_then_sees_what_it_wrote(
    bench: Store, other_window: Store, stamp: StampMaker
) -> None:
    begun = threading.Event()
    outcome: list[object] = []

    def lose_forty() -> None:
        mine = stamp("Jory")
        begun.set()
        try:
            outcome.append(shift.lose(other_window, mine, KALE, None, 40, LossCause.FROST))
        except NotEnough as error:
            outcome.append(error)

    thread = threading.Thread(target=lose_forty)
    with bench.transaction() as session:
        rows_of(session)("SELECT 1 FROM tray")
        thread.start()
        assert begun.wait(10)
        assert outcome == []
    thread.join(10)
    assert len(outcome) == 1
    assert the_sowing(bench, KALE).lost == 40
    with pytest.raises(NotEnough, match="has 32 of Sedge Blue, not 40"):
        shift.lose(bench, stamp(), KALE, None, 40, LossCause.FROST)


def test_two_windows_that_write_at_once_lose_no_update(
    bench: Store, other_window: Store, stamp: StampMaker
) -> None:
    each = 15
    together = threading.Barrier(2)

    def lose_one_by_one(store: Store, stamps: list) -> None:  # type: ignore[type-arg]
        together.wait(10)
        for mine in stamps:
            shift.lose(store, mine, KALE, None, 1, LossCause.EATEN)

    threads = [
        threading.Thread(target=lose_one_by_one, args=(store, [stamp(who) for _ in range(each)]))
        for store, who in ((bench, "Wren"), (other_window, "Jory"))
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(60)
    assert the_sowing(bench, KALE).lost == 2 * each
    now = kept(bench)
    assert kept_anew(bench) == now


# What the tables themselves refuse

BAD_ROWS = {
    "a kind of act there isn't": (
        "INSERT INTO act (entry_id, kind, day) VALUES (1, 'danced', '2026-04-14')",
        "CHECK",
    ),
    "a cause there isn't": (
        "INSERT INTO act (entry_id, kind, day, cause) VALUES (1, 'lost', '2026-04-14', 'bored')",
        "CHECK",
    ),
    "a look there isn't": (
        "INSERT INTO act (entry_id, kind, day, score) VALUES (1, 'root look', '2026-04-14', 5)",
        "CHECK",
    ),
    "a count below nothing": (
        "INSERT INTO act (entry_id, kind, day, count) VALUES (1, 'lost', '2026-04-14', -1)",
        "CHECK",
    ),
    "an act of no entry": (
        "INSERT INTO act (entry_id, kind, day) VALUES (99, 'fed', '2026-04-14')",
        "FOREIGN KEY",
    ),
    "an act on no day": ("INSERT INTO act (entry_id, kind) VALUES (1, 'fed')", "NOT NULL"),
    "a tray number too high": ("UPDATE tray SET number = 10000", "CHECK"),
    "a tray at no place": ("UPDATE tray SET place_id = 99", "FOREIGN KEY"),
    "no cells": ("UPDATE sowing SET cells = 0", "CHECK"),
    "no seeds": ("UPDATE sowing SET seeds_per_cell = 0", "CHECK"),
    "two sowings in one part": ("UPDATE sowing SET part = 1 WHERE tray_id = 2", "UNIQUE"),
    "a kind of place there isn't": ("UPDATE place SET kind = 'cellar'", "CHECK"),
    "fewer slots than none": ("UPDATE place SET slots = -1", "CHECK"),
    "a night warmer than the day": ("UPDATE place SET low_c = 30", "CHECK"),
    "two places of one name": ("UPDATE place SET name = 'mat'", "UNIQUE"),
    "a kind of container there isn't": ("UPDATE container SET kind = 'boot'", "CHECK"),
    "a bottom there isn't": ("UPDATE container SET bottom = 'soggy'", "CHECK"),
    "a container without cells": ("UPDATE container SET cells = 0", "CHECK"),
    "a container without volume": ("UPDATE container SET volume_ml = 0", "CHECK"),
    "more up than tested": ("UPDATE lot SET tested_seeds = 20, tested_up = 21", "CHECK"),
    "a treatment there isn't": ("UPDATE lot SET treated = 'perhaps'", "CHECK"),
    "one entry taken back twice": ("UPDATE entry SET undoes = 1 WHERE id > 2", "UNIQUE"),
    "one wish kept twice": ("UPDATE entry SET uid = 'same'", "UNIQUE"),
    "a tray thrown away": ("DELETE FROM tray", "FOREIGN KEY"),
}


@pytest.mark.parametrize(("sql", "word"), BAD_ROWS.values(), ids=BAD_ROWS.keys())
def test_a_row_that_cant_be_is_refused_by_the_table(bench: Store, sql: str, word: str) -> None:
    before = state(bench)
    with pytest.raises(StoreTrouble, match=word), bench.transaction() as session:
        rows_of(session)(sql)
    assert state(bench) == before


def test_instants_are_kept_in_utc_whatever_zone_they_were_told_in(bench: Store, stamp: StampMaker) -> None:
    told = datetime(2026, 4, 14, 6, 30, 15, 250_000, tzinfo=ZoneInfo("America/New_York"))
    receipt = walk.mark_trays(bench, replace(stamp(), at=told), ActKind.WATERED, [KALE])
    with bench.reading() as rows:
        (kept_as,) = (row.at for row in reading.entries(rows) if row.id == receipt.entry_id)
        assert reading.entries(rows, told)[-1].id == receipt.entry_id
        assert reading.entries(rows, datetime(2026, 4, 14, 11, 30, tzinfo=UTC)) == []
        (text,) = rows("SELECT entered_at FROM entry WHERE id = ?", receipt.entry_id)[0]
    assert kept_as == told
    assert text == "2026-04-14 10:30:15.250000"


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("SQLITE_FULL", "The disk is full"),
        ("SQLITE_BUSY_SNAPSHOT", "Another window is writing"),
        ("SQLITE_LOCKED", "Another window is writing"),
        ("SQLITE_READONLY_DBMOVED", "can only be read"),
        ("SQLITE_CANTOPEN_ISDIR", "can't be opened"),
        ("SQLITE_CORRUPT_VTAB", "is damaged"),
        ("SQLITE_MISMATCH", "refused the entry"),
        (None, "refused the entry"),
    ],
)
def test_every_trouble_of_the_file_has_a_word_and_a_cure(name: str | None, words: str) -> None:
    error = sqlite3.OperationalError("inner words")
    error.sqlite_errorname = name  # type: ignore[assignment]
    told = trouble(error)
    assert words in told.what_happened
    assert told.what_to_do.endswith(".")


def test_a_slip_of_our_own_is_not_told_as_trouble_with_the_file(store: Store) -> None:
    slip = DBAPIError("SELECT", None, ValueError("no word of SQLite's"))
    with pytest.raises(DBAPIError), store.transaction():
        raise slip


def test_letting_go_of_a_file_that_was_never_written_is_nothing(farm_file: Path) -> None:
    open_store(farm_file).close()


def test_a_store_can_be_written_again_after_it_was_let_go(bench: Store, stamp: StampMaker) -> None:
    bench.close()
    assert walk.mark_trays(bench, stamp(), ActKind.WATERED, [KALE]).words == "watered 3A"
    with pytest.raises(BadInput):
        walk.mark_trays(bench, stamp(day=date(2027, 1, 1)), ActKind.WATERED, [KALE])
    assert date(2027, 1, 1) > TODAY
