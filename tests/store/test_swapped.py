"""Labels that were swapped: what was entered since then goes to the tray it was done to."""

from dataclasses import replace
from pathlib import Path

import pytest

from model.actions import growth, labelling, record, shift, walk
from model.actions.files import export_folder, import_folder
from model.errors import BadInput
from model.facts import ActKind, Mark
from model.labels import label
from model.rules.ledger import as_done
from model.store import reading
from model.store.database import Store
from model.views.tray import read_page
from tests.builders import TODAY, day
from tests.conftest import StampMaker
from tests.store.lives import an_act
from tests.store.looking import findings, kept, kept_anew, the_tray
from tests.store.names import FLAT, KALE, TOMATO


def lives_since(store: Store, stamp: StampMaker) -> None:
    """What Jory entered by the labels after they were swapped six days ago."""
    walk.mark_trays(store, stamp("Jory", day=day(-5)), ActKind.WATERED, [KALE])
    growth.root_look(store, stamp("Jory", day=day(-4)), KALE, 3)
    growth.note(store, stamp("Jory", day=day(-3)), TOMATO, "pale below")
    shift.lose(store, stamp("Jory", day=day(-2)), TOMATO, None, 2, shift.LossCause.EATEN)
    shift.move(store, stamp("Jory", day=day(-1)), [KALE], 5)


def test_what_was_entered_since_then_belongs_to_the_other_tray_with_its_day_and_who_did_it(
    bench: Store, stamp: StampMaker
) -> None:
    kale, tomato = the_tray(bench, KALE), the_tray(bench, TOMATO)
    lives_since(bench, stamp)
    receipt = labelling.swapped(bench, stamp(), (KALE, TOMATO), day(-6))
    assert receipt.tray_ids == tuple(sorted((KALE, TOMATO)))
    assert receipt.words == (
        f"labels of {label(kale.number)} and {label(tomato.number)} put back; 5 entries since 8 Apr went to the other tray"
    )
    now, other = the_tray(bench, KALE), the_tray(bench, TOMATO)
    assert now.place_id == kale.place_id
    assert other.place_id == 5
    assert other.watered == Mark(day(-5), "Jory")
    assert other.looks[-1].who == "Jory"
    assert (other.looks[-1].day, other.looks[-1].score) == (day(-4), 3)
    assert now.looks == kale.looks
    assert now.note == "pale below"
    assert (now.have, other.have) == (kale.have - 2, tomato.have)
    assert (now.sowings[0].sown_on, other.sowings[0].sown_on) == (
        kale.sowings[0].sown_on,
        tomato.sowings[0].sown_on,
    )
    assert (now.number, other.number) == (kale.number, tomato.number)
    assert kept_anew(bench) == kept(bench)


def test_where_the_labels_stay_the_trays_take_each_others_numbers(bench: Store, stamp: StampMaker) -> None:
    kale, tomato = the_tray(bench, KALE).number, the_tray(bench, TOMATO).number
    lives_since(bench, stamp)
    receipt = labelling.swapped(bench, stamp(), (KALE, TOMATO), day(-6), renumber=True)
    assert receipt.words == (
        f"{label(kale)} and {label(tomato)} took each other's numbers, the labels stay; "
        "5 entries since 8 Apr stay with their label"
    )
    assert (the_tray(bench, KALE).number, the_tray(bench, TOMATO).number) == (tomato, kale)


def test_it_is_one_entry_that_undo_takes_back_whole(bench: Store, stamp: StampMaker) -> None:
    lives_since(bench, stamp)
    before = kept(bench)
    labelling.swapped(bench, stamp(), (KALE, TOMATO), day(-6), renumber=True)
    assert kept(bench) != before
    assert findings(bench) == []
    record.undo(bench, stamp(), "UTC")
    assert kept(bench) == before
    assert findings(bench) == []


def test_swapped_twice_everything_is_where_it_was_and_who_did_it_is_kept(
    bench: Store, stamp: StampMaker
) -> None:
    lives_since(bench, stamp)
    before = the_tray(bench, KALE), the_tray(bench, TOMATO)
    for _ in range(2):
        labelling.swapped(bench, stamp(), (KALE, TOMATO), day(-6))
    now = the_tray(bench, KALE), the_tray(bench, TOMATO)
    assert [replace(tray, corrected=False) for tray in now] == [
        replace(tray, corrected=False) for tray in before
    ]
    with bench.reading() as rows:
        acts = reading.acts_of(rows, [KALE])
    assert {act.who for act in acts if act.kind is ActKind.ROOT_LOOK and act.day == day(-4)} == {"Jory"}


def test_the_story_shows_both_where_it_was_struck_and_where_it_counts(
    bench: Store, stamp: StampMaker
) -> None:
    lives_since(bench, stamp)
    labelling.swapped(bench, stamp(), (KALE, TOMATO), day(-6))
    here = [
        line
        for line in read_page(bench, KALE, TODAY).story
        if line.kind is ActKind.ROOT_LOOK and line.day == day(-4)
    ]
    there = [
        line
        for line in read_page(bench, TOMATO, TODAY).story
        if line.kind is ActKind.ROOT_LOOK and line.day == day(-4)
    ]
    assert [(line.counts, line.who) for line in here] == [(False, "Jory")]
    assert [(line.counts, line.who) for line in there] == [(True, "Jory")]


def test_an_export_reads_back_as_it_was(bench: Store, stamp: StampMaker, tmp_path: Path) -> None:
    lives_since(bench, stamp)
    labelling.swapped(bench, stamp(), (KALE, TOMATO), day(-6), renumber=True)
    export_folder(bench, tmp_path / "out")
    again = import_folder(tmp_path / "again.db", tmp_path / "out")
    assert kept(again) == kept(bench)


@pytest.mark.parametrize(
    ("trays", "since", "words"),
    [
        ((KALE, KALE), -6, "That is one tray"),
        ((KALE, TOMATO), 0, "Nothing was entered for either"),
        ((KALE, TOMATO), -900, "one of the two wasn't there yet"),
        ((KALE, FLAT), -6, "can't be told"),
    ],
)
def test_what_can_not_be_is_refused_with_what_to_do(
    bench: Store, stamp: StampMaker, trays: tuple[int, int], since: int, words: str
) -> None:
    if since != 0:
        lives_since(bench, stamp)
        shift.lose(bench, stamp(day=day(-1)), KALE, None, 1, shift.LossCause.EATEN)
    before = kept(bench)
    with pytest.raises(BadInput, match=words) as refusal:
        labelling.swapped(bench, stamp(), trays, day(since))
    assert refusal.value.what_to_do
    assert kept(bench) == before


def test_a_tray_that_was_potted_up_since_is_refused(bench: Store, stamp: StampMaker) -> None:
    shift.pot_up(bench, stamp(day=day(-2)), KALE, None, [shift.PotUp(3, 1, 3)])
    with pytest.raises(BadInput, match="was potted up on"):
        labelling.swapped(bench, stamp(), (KALE, TOMATO), day(-6))


# Times that were told.


def test_what_was_done_at_seven_and_entered_at_noon_goes_before_what_was_entered_at_eight() -> None:
    at = an_act(1, ActKind.WATERED, day(0)).at
    eight = replace(an_act(1, ActKind.MOVED, day(0)), at=at.replace(hour=8))
    nine = replace(an_act(2, ActKind.WATERED, day(0)), at=at.replace(hour=9))
    seven = replace(an_act(3, ActKind.MOVED, day(0)), at=at.replace(hour=12), told_at=at.replace(hour=7))
    half_eight = replace(
        an_act(4, ActKind.FED, day(0)), at=at.replace(hour=12), told_at=at.replace(hour=8, minute=30)
    )
    tomorrow = replace(an_act(5, ActKind.FED, day(1)), at=at.replace(hour=6))
    acts = [half_eight, tomorrow, nine, seven, eight]
    assert [act.id for act in as_done(acts)] == [3, 1, 4, 2, 5]
    assert [act.id for act in as_done([nine, eight, tomorrow])] == [1, 2, 5]
