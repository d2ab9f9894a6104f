"""Whatever people do, in two hundred seeded mornings: undo is exact, and the record says what the trays are."""

from collections import Counter
from random import Random

import pytest

from model.actions import record
from model.actions.desk import reckon
from model.errors import BadInput, FullPlace, NotEnough, UndoRefused
from model.facts import ActKind
from model.store import births, exchange, projection, reading
from model.store.database import Store, rows_of
from tests.builders import day
from tests.conftest import StampMaker
from tests.long import some
from tests.store.chance import Chance, kinds_on_record
from tests.store.looking import findings, kept, kept_anew

Ids = dict[str, int]

MORNINGS = 200
ENTRIES = 6
TRIES = 40


@pytest.mark.parametrize("seed", some(range(MORNINGS), 30))
def test_undo_is_exact_back_to_the_first_entry_and_redo_forward_to_the_last(
    bench: Store, stamp: StampMaker, containers: Ids, seed: int
) -> None:
    die = Random(seed)
    chance = Chance(die, bench, containers)
    seen = [kept(bench)]
    for _ in range(TRIES):
        try:
            chance.act(stamp(day=day(-die.choice((0, 0, 0, 1, 3)))))
        except (BadInput, NotEnough, FullPlace):
            assert kept(bench) == seen[-1], "a refusal changes nothing"
        else:
            seen.append(kept(bench))
        if len(seen) > ENTRIES or not any(standing for _, standing, _ in seen[-1]):
            break
    assert len(seen) > 1
    for before in reversed(seen[:-1]):
        record.undo(bench, stamp(), "UTC")
        assert kept(bench) == before
    with pytest.raises(UndoRefused):
        record.undo(bench, stamp(), "UTC")
    for after in seen[1:]:
        record.redo(bench, stamp(), "UTC")
        assert kept(bench) == after
    assert kept_anew(bench) == seen[-1]


def whose(store: Store, entry_id: int | None) -> str:
    with store.reading() as rows:
        return next(row.who for row in reading.entries(rows) if row.id == entry_id)


@pytest.mark.parametrize("seed", some(range(40), 8))
def test_two_people_by_turns_never_unbalance_the_record(
    bench: Store, stamp: StampMaker, containers: Ids, seed: int
) -> None:
    die = Random(1000 + seed)
    chance = Chance(die, bench, containers)
    turns = (record.undo, record.redo)
    for _ in range(TRIES):
        before = kept(bench)
        who = die.choice(("Wren", "Jory"))
        try:
            if die.random() < 0.4:
                receipt = die.choice(turns)(bench, stamp(who), "UTC")
                with bench.reading() as rows:
                    ((undoes,),) = rows("SELECT undoes FROM entry WHERE id = ?", receipt.entry_id)
                assert whose(bench, undoes) == who
            else:
                chance.act(stamp(who, day=day(-die.choice((0, 0, 2)))))
        except (BadInput, NotEnough, FullPlace, UndoRefused):
            assert kept(bench) == before, "a refusal changes nothing"
        assert_in_order(bench)
        if not any(standing for _, standing, _ in kept(bench)):
            break
    now = kept(bench)
    assert findings(bench) == []
    assert kept_anew(bench) == now


def assert_in_order(store: Store) -> None:
    """One number on one living tray, no count below nothing, every potted plant in one tray of its own."""
    with store.reading() as rows:
        standing = reading.standing_trays(rows)
        trays = [projection.from_text(text) for (text,) in rows("SELECT facts FROM tray_now")]
        entered = births.births(rows, [tray.id for tray in trays], reading.dead_entries(rows))
    numbers = [tray.number for tray in standing]
    assert len(numbers) == len(set(numbers))
    into_pots = Counter[int | None]()
    for birth in entered:
        for sowing_birth in birth.sowings:
            into_pots[sowing_birth.from_sowing_id] += sowing_birth.cells
    for tray in trays:
        assert tray.standing is (tray.have > 0)
        for sowing in tray.sowings:
            assert min(sowing.have, sowing.empty, sowing.lost, sowing.out, sowing.retired) >= 0
            assert sowing.potted == into_pots[sowing.id]


def test_the_dice_fall_on_every_kind_of_act(bench: Store, stamp: StampMaker, containers: Ids) -> None:
    die = Random(7)
    chance = Chance(die, bench, containers)
    for throw in range(600):
        if throw % 20 == 0 and kinds_on_record(bench) == set(ActKind):
            return
        try:
            chance.act(stamp())
        except (BadInput, NotEnough, FullPlace):
            continue
        record.undo(bench, stamp(), "UTC")
    assert kinds_on_record(bench) == set(ActKind)


@pytest.mark.parametrize("seed", some(range(20), 4))
def test_the_trays_can_be_reckoned_from_any_end(
    bench: Store, stamp: StampMaker, containers: Ids, seed: int
) -> None:
    die = Random(2000 + seed)
    chance = Chance(die, bench, containers)
    for _ in range(12):
        try:
            chance.act(stamp(day=day(-die.choice((0, 2)))))
        except (BadInput, NotEnough, FullPlace):
            continue
    now = kept(bench)
    with bench.transaction() as session:
        rows = rows_of(session)
        ids = births.all_tray_ids(rows)
        exchange.forget_all(rows)
        reckon(rows, ids)
    assert kept(bench) == now
    with bench.transaction() as session:
        rows = rows_of(session)
        reckon(rows, die.sample(ids, len(ids) // 2))
    assert kept(bench) == now
