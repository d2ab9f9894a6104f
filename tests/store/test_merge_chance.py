"""Whatever two people do on two copies: no entry is lost, counts balance, and both merges tell the same."""

from collections import Counter
from pathlib import Path
from random import Random

import pytest

from model.actions import record
from model.actions.clashes import decide
from model.actions.promises import Given, promise
from model.errors import BadInput, FullPlace, NotEnough, UndoRefused
from model.rules.clash_words import Choice
from model.store.database import Store
from model.store.reading_clashes import OpenClash, open_clashes
from tests.builders import day
from tests.conftest import StampMaker
from tests.long import some
from tests.store.chance import Chance
from tests.store.looking import every_row, findings, kept, kept_anew
from tests.store.test_chance import assert_in_order
from tests.store.two_copies import Laptop, copied, told, two_laptops

PAIRS = 100
ENTRIES = 7
Ids = dict[str, int]


def work(laptop: Laptop, die: Random, containers: Ids, entries: int = ENTRIES) -> None:
    """Some entries by chance, some of them taken back."""
    chance = Chance(die, laptop.store, containers)
    for _ in range(entries):
        stamp = laptop.stamp(day=day(-die.choice((0, 0, 0, 1, 3))))
        try:
            turn = die.random()
            if turn < 0.2:
                die.choice((record.undo, record.redo))(laptop.store, stamp, "UTC")
            elif turn < 0.4:
                die.choice((chance.night, chance.hand_over))(stamp)
            else:
                chance.act(stamp)
        except (BadInput, NotEnough, FullPlace, UndoRefused, IndexError):
            continue


SEEN = Counter[str]()
"""Clashes that the dice have brought about so far."""


def uids(store: Store) -> set[str]:
    with store.reading() as rows:
        return {uid for (uid,) in rows("SELECT uid FROM entry")}


def assert_agree(one: Laptop, other: Laptop) -> None:
    assert findings(one.store) == []
    here, there = told(one.store), told(other.store)
    for what in here:
        assert here[what] == there[what], what


@pytest.mark.parametrize("seed", some(range(PAIRS), 8))
def test_both_merges_tell_the_same_and_lose_nothing(
    bench: Store, stamp: StampMaker, containers: Ids, tmp_path: Path, seed: int
) -> None:
    die = Random(seed)
    for turn, crop in enumerate(("tomato", "kale")):
        given = Given("plot 4", crop, "", die.randint(10, 20), day(20))
        promise(bench, Laptop(bench, "Ada").stamp(uid=f"promised {turn}"), given)
    # Something of today that both know, and that either may take back.
    Laptop(bench, "Jory").stamp()
    work(Laptop(bench, "Wren"), die, containers, 2)
    work(Laptop(bench, "Jory"), die, containers, 2)
    wren, jory = two_laptops(bench, tmp_path)
    wren._turns, jory._turns = iter(range(10, 99)), iter(range(10, 99))  # type: ignore[assignment]
    work(wren, die, containers)
    work(jory, die, containers)
    mine, yours = uids(wren.store), uids(jory.store)
    wrens = Laptop(copied(wren.store, tmp_path / "wrens.db"), "Wren")
    jorys = Laptop(copied(jory.store, tmp_path / "jorys.db"), "Jory")
    theirs_before = every_row(jorys.store.path)

    wren.merge(jorys)
    assert every_row(jorys.store.path) == theirs_before
    assert mine | yours <= uids(wren.store)
    assert_in_order(wren.store)
    now = kept(wren.store)
    assert kept_anew(wren.store) == now

    once = every_row(wren.store.path)
    wren.merge(jorys)
    assert every_row(wren.store.path) == once

    jory.merge(wrens)
    assert_agree(wren, jory)
    wren.merge(jory)
    jory.merge(wren)
    assert_agree(wren, jory)
    jorys.merge(wren)
    assert_agree(wren, jorys)

    SEEN.update(clash.what.value for clash in listed(wren.store))
    for laptop in (wren, jory):
        decide_by_chance(laptop, die)
    wrens = Laptop(copied(wren.store, tmp_path / "wrens again.db"), "Wren")
    wren.merge(jory)
    jory.merge(wrens)
    assert_agree(wren, jory)
    assert_in_order(wren.store)


def decide_by_chance(laptop: Laptop, die: Random) -> None:
    """Decide some clashes; a decision is exact, and so is taking it back."""
    for clash in listed(laptop.store):
        before = kept(laptop.store)
        try:
            decide(laptop.store, laptop.stamp(), clash.id, die.choice(list(Choice)))
        except (BadInput, NotEnough):
            assert kept(laptop.store) == before, "a refusal changes nothing"
            continue
        assert_in_order(laptop.store)
        after = kept(laptop.store)
        assert clash.id not in {still.id for still in listed(laptop.store)}
        record.undo(laptop.store, laptop.stamp(), "UTC")
        assert kept(laptop.store) == before
        if die.random() < 0.7:
            record.redo(laptop.store, laptop.stamp(), "UTC")
            assert kept(laptop.store) == after
        assert kept_anew(laptop.store) == kept(laptop.store)


def listed(store: Store) -> list[OpenClash]:
    with store.reading() as rows:
        return open_clashes(rows)
