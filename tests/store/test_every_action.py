"""What holds for every action: one transaction, one receipt, nothing twice, nothing half done, exactly undone."""

from contextlib import closing
from datetime import datetime

import pytest

from model.actions import record, walk
from model.actions.desk import Pen, Stamp, new_uid
from model.errors import AlreadyKept, BadInput
from model.facts import ActKind
from model.store.database import Store, open_store
from tests.builders import TODAY, day
from tests.conftest import StampMaker
from tests.store.every_action import TURNS, WISHES, Wish, every_wish
from tests.store.looking import acts_of_entry, findings, kept, kept_anew, state
from tests.store.names import KALE

Ids = dict[str, int]


class BrokenOff(Exception):
    """Something that fails where nothing should."""


@every_wish
def test_the_receipt_tells_what_is_durably_on_record(
    bench: Store, stamp: StampMaker, containers: Ids, wish: Wish
) -> None:
    receipt = wish(bench, stamp("Jory", uid="mine"), containers)
    with closing(open_store(bench.where)) as another_window, another_window.reading() as rows:
        (row,) = rows(
            "SELECT entry.id, words, name, uid, undoes, entered_at FROM entry "
            "JOIN person ON person.id = person_id ORDER BY entry.id DESC LIMIT 1"
        )
    assert row[:5] == (receipt.entry_id, receipt.words, "Jory", "mine", None)
    assert row[5].startswith(f"{TODAY} 06:30:")
    acts = acts_of_entry(bench, receipt.entry_id)
    with bench.reading() as rows:
        kept = [
            rows(f'SELECT 1 FROM "{table}" WHERE entry_id = ?', receipt.entry_id)
            for table in ("reading", "stock", "freeze", "verdict", "promise", "target", "packet")
        ]
    assert acts or any(kept)
    assert {act.tray_id for act in acts} - {None} == set(receipt.tray_ids)


@every_wish
def test_a_check_finds_no_fault_with_it_nor_with_its_undo(
    bench: Store, stamp: StampMaker, containers: Ids, wish: Wish
) -> None:
    wish(bench, stamp("Jory"), containers)
    assert findings(bench) == []
    record.undo(bench, stamp("Jory"), "UTC")
    assert findings(bench) == []


@every_wish
def test_what_is_kept_of_the_trays_is_what_their_acts_give(
    bench: Store, stamp: StampMaker, containers: Ids, wish: Wish
) -> None:
    wish(bench, stamp(), containers)
    now = kept(bench)
    assert kept_anew(bench) == now


@every_wish
def test_a_failure_after_the_last_write_leaves_nothing(
    bench: Store, stamp: StampMaker, containers: Ids, wish: Wish, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = state(bench)
    reckon_and_keep = Pen.keep

    def fail(pen: Pen) -> None:
        reckon_and_keep(pen)
        assert pen.rows("SELECT 1 FROM entry WHERE id = ? AND words != ''", pen.entry_id)
        raise BrokenOff

    monkeypatch.setattr(Pen, "keep", fail)
    with pytest.raises(BrokenOff):
        wish(bench, stamp("Somebody new"), containers)
    assert state(bench) == before


@every_wish
def test_the_same_wish_sent_twice_is_kept_once(
    bench: Store, stamp: StampMaker, containers: Ids, wish: Wish
) -> None:
    wish(bench, stamp(uid="once"), containers)
    after = state(bench)
    with pytest.raises(AlreadyKept):
        wish(bench, stamp(uid="once"), containers)
    assert state(bench) == after


@every_wish
def test_a_day_that_is_still_to_come_is_refused(
    bench: Store, stamp: StampMaker, containers: Ids, wish: Wish
) -> None:
    before = state(bench)
    with pytest.raises(BadInput, match="Wed 15 Apr is still to come"):
        wish(bench, stamp(day=day(1)), containers)
    assert state(bench) == before


@every_wish
def test_undo_gives_exactly_what_was_before_and_redo_exactly_what_was_after(
    bench: Store, stamp: StampMaker, containers: Ids, wish: Wish
) -> None:
    before = kept(bench)
    receipt = wish(bench, stamp(), containers)
    after = kept(bench)
    undone = record.undo(bench, stamp(), "UTC")
    assert kept(bench) == before
    assert undone.words == f"took back: {receipt.words}"
    assert set(receipt.tray_ids) <= set(undone.tray_ids)
    redone = record.redo(bench, stamp(), "UTC")
    assert kept(bench) == after
    assert redone.words == f"brought back: {receipt.words}"
    record.undo(bench, stamp(), "UTC")
    assert kept(bench) == before


@every_wish
def test_undo_erases_nothing(bench: Store, stamp: StampMaker, containers: Ids, wish: Wish) -> None:
    receipt = wish(bench, stamp(), containers)
    acts = acts_of_entry(bench, receipt.entry_id)
    record.undo(bench, stamp(), "UTC")
    assert acts_of_entry(bench, receipt.entry_id) == acts


@pytest.mark.parametrize("turn", TURNS.values(), ids=TURNS.keys())
def test_a_turn_that_fails_after_its_last_write_leaves_nothing(
    bench: Store, stamp: StampMaker, containers: Ids, turn: Wish, monkeypatch: pytest.MonkeyPatch
) -> None:
    WISHES["pot up"](bench, stamp(), containers)
    if turn is TURNS["redo"]:
        record.undo(bench, stamp(), "UTC")
    before = state(bench)
    reckon_and_keep = Pen.keep

    def fail(pen: Pen) -> None:
        reckon_and_keep(pen)
        raise BrokenOff

    monkeypatch.setattr(Pen, "keep", fail)
    with pytest.raises(BrokenOff):
        turn(bench, stamp(), containers)
    assert state(bench) == before


def test_an_undo_sent_twice_takes_back_one_entry_only(bench: Store, stamp: StampMaker) -> None:
    walk.mark_trays(bench, stamp(), ActKind.WATERED, [KALE])
    walk.mark_trays(bench, stamp(), ActKind.FED, [KALE])
    record.undo(bench, stamp(uid="once"), "UTC")
    after = state(bench)
    with pytest.raises(AlreadyKept):
        record.undo(bench, stamp(uid="once"), "UTC")
    assert state(bench) == after


def test_an_instant_without_a_zone_is_refused() -> None:
    with pytest.raises(ValueError, match="needs a zone"):
        Stamp("Wren", datetime(2026, 4, 14, 6, 30), TODAY)  # noqa: DTZ001  (that is what is refused)


def test_ids_of_wishes_differ() -> None:
    assert new_uid() != new_uid()


def test_an_entry_that_is_still_open_has_no_receipt(bench: Store, stamp: StampMaker) -> None:
    with bench.transaction() as session, pytest.raises(RuntimeError, match="still open"):
        Pen(session, stamp()).done()
