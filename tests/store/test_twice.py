"""What is entered from paper once more: the words that stand are dropped, all that is new is kept."""

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest

from model.actions import growth, health, labelling, promises, record, shift, walk
from model.actions.desk import Receipt, Stamp
from model.actions.promises import Share
from model.entered import STRUCK
from model.errors import SaidAlready
from model.facts import ActKind, LossCause
from model.store.database import Store
from tests.conftest import StampMaker
from tests.store.looking import acts_of_entry, kept, kept_anew, said, state, the_tray
from tests.store.names import FLAT, KALE, TOMATO


def on_paper(stamp: StampMaker) -> Stamp:
    """A stamp of its own for what was written down at one minute."""
    now = stamp()
    return replace(now, told_at=now.at.replace(second=0, microsecond=0) - timedelta(hours=2))


def test_of_some_trays_those_are_entered_of_which_it_is_new(bench: Store, stamp: StampMaker) -> None:
    told = on_paper(stamp)
    health.spray(bench, told, [KALE], "soap", 3)
    both = health.spray(bench, replace(stamp(), told_at=told.told_at), [KALE, TOMATO], "soap", 3)
    assert both.words == "sprayed with soap, 3 days: 3A, 1R; of 3A it stood already"
    assert said(acts_of_entry(bench, both.entry_id), "tray_id", "kind") == [(TOMATO, ActKind.SPRAYED)]
    assert [len(the_tray(bench, tray).withheld) for tray in (KALE, TOMATO)] == [1, 1]
    assert kept_anew(bench) == kept(bench)


@pytest.mark.parametrize(
    "wish",
    [
        lambda store, stamp: shift.lose(store, stamp, KALE, None, 2, LossCause.WEAK),
        lambda store, stamp: promises.hand_over(store, stamp, [Share(KALE, None, 2)], "plot 4"),
        lambda store, stamp: growth.thin(store, stamp, KALE),
        lambda store, stamp: health.looked_sick(store, stamp, KALE, "spots"),
        lambda store, stamp: labelling.doubt(store, stamp, KALE, None),
        lambda store, stamp: walk.mark_trays(store, stamp, ActKind.FED, [KALE, FLAT]),
    ],
)
def test_what_says_nothing_new_leaves_the_record_as_it_was_until_it_is_struck(
    bench: Store, stamp: StampMaker, wish: Callable[[Store, Stamp], Receipt]
) -> None:
    told = on_paper(stamp)
    first = wish(bench, told)
    before = state(bench)
    with pytest.raises(SaidAlready, match="That stands already for this time on paper"):
        wish(bench, replace(stamp(), told_at=told.told_at))
    assert state(bench) == before
    for act in acts_of_entry(bench, first.entry_id):
        record.correct_act(bench, stamp(), act.id, STRUCK, "")
    again = wish(bench, replace(stamp(), told_at=told.told_at))
    kinds = [said(acts_of_entry(bench, receipt.entry_id), "kind", "count") for receipt in (first, again)]
    assert kinds[0] == kinds[1]


def test_a_count_that_was_put_right_is_another_count(bench: Store, stamp: StampMaker) -> None:
    told = on_paper(stamp)
    first = shift.lose(bench, told, KALE, None, 2, LossCause.WEAK)
    (act,) = acts_of_entry(bench, first.entry_id)
    record.correct_act(bench, stamp(), act.id, "count", "1")
    with pytest.raises(SaidAlready):
        shift.lose(bench, replace(stamp(), told_at=told.told_at), KALE, None, 1, LossCause.WEAK)
    shift.lose(bench, replace(stamp(), told_at=told.told_at), KALE, None, 2, LossCause.WEAK)


def test_labels_that_were_swapped_take_along_what_is_alike_for_both(bench: Store, stamp: StampMaker) -> None:
    told = on_paper(stamp)
    walk.mark_trays(bench, told, ActKind.WATERED, [KALE, TOMATO])
    swap = labelling.swapped(bench, replace(stamp(), told_at=told.told_at), (KALE, TOMATO), told.today)
    kinds = [kind for (kind,) in said(acts_of_entry(bench, swap.entry_id), "kind")]
    assert kinds.count(ActKind.WATERED) == kinds.count(ActKind.CORRECTED) == 2
