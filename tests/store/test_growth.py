"""What the grower sees in one tray goes on record as it was seen."""

import pytest

from model.actions import growth
from model.actions.growth import SCORES
from model.errors import BadInput
from model.facts import ActKind, Look, Mark
from model.store.database import Store
from model.text import LIMIT
from tests.builders import TODAY, day
from tests.conftest import StampMaker
from tests.store.every_action import part_of
from tests.store.looking import acts_of_entry, said, the_sowing, the_tray
from tests.store.names import FLAT, KALE, TOMATO


def test_first_and_half_up_are_kept_with_their_days_and_count(bench: Store, stamp: StampMaker) -> None:
    mustard = part_of(bench, FLAT, 2)
    first = growth.first_up(bench, stamp(day=day(-16)), FLAT, mustard)
    half = growth.half_up(bench, stamp(day=day(-15)), FLAT, mustard, 20)
    assert first.words == "first up: 2W mustard Frill, since 29 Mar"
    assert half.words == "half up 20: 2W mustard Frill, since 30 Mar"
    sowing = the_sowing(bench, FLAT, 2)
    assert (sowing.first_up, sowing.half_up, sowing.up_count) == (day(-16), day(-15), 20)
    assert the_sowing(bench, FLAT, 1).first_up is None


def test_a_count_of_the_stand_makes_the_rest_empty(bench: Store, stamp: StampMaker) -> None:
    receipt = growth.count_stand(bench, stamp(), KALE, None, 60)
    assert receipt.words == "counted 60: 3A kale Sedge Blue"
    assert (the_sowing(bench, KALE).have, the_sowing(bench, KALE).empty) == (60, 12)
    growth.count_stand(bench, stamp(), KALE, None, 64)
    assert (the_sowing(bench, KALE).have, the_sowing(bench, KALE).empty) == (64, 8)


def test_thinning_takes_no_plant_away(bench: Store, stamp: StampMaker) -> None:
    receipt = growth.thin(bench, stamp(), TOMATO)
    assert receipt.words == "thinned: 1R tomato Ostrel"
    assert (the_sowing(bench, TOMATO).thinned_on, the_tray(bench, TOMATO).have) == (TODAY, 72)


def test_a_part_of_a_flat_is_cut_and_cut_again(bench: Store, stamp: StampMaker) -> None:
    lettuce = part_of(bench, FLAT, 1)
    growth.cut(bench, stamp(day=day(-1)), FLAT, lettuce)
    receipt = growth.cut(bench, stamp(), FLAT, lettuce)
    assert receipt.words == "cut: 2W lettuce Marrel"
    assert [the_sowing(bench, FLAT, part).cuts for part in (1, 2)] == [(day(-1), TODAY), ()]


@pytest.mark.parametrize("score", range(len(SCORES)))
def test_every_look_at_the_roots_is_kept_in_figures_and_said_in_words(
    bench: Store, stamp: StampMaker, score: int
) -> None:
    receipt = growth.root_look(bench, stamp(), KALE, score)
    assert receipt.words == f"root look {score}, {SCORES[score]}: 3A"
    assert the_tray(bench, KALE).looks == (Look(TODAY, "Wren", score),)


def test_a_note_is_kept_to_its_length_and_is_no_look_at_the_tray(bench: Store, stamp: StampMaker) -> None:
    seen = the_tray(bench, KALE).seen
    receipt = growth.note(bench, stamp(), KALE, "[b]🌱" * 200)
    assert receipt.words == "note: 3A"
    ((text,),) = said(acts_of_entry(bench, receipt.entry_id), "text")
    assert text == ("[b]🌱" * 200)[:LIMIT]
    assert (the_tray(bench, KALE).note, the_tray(bench, KALE).seen) == (text, seen)


def test_everything_else_is_a_look_at_the_tray(bench: Store, stamp: StampMaker) -> None:
    growth.thin(bench, stamp("Jory"), KALE)
    assert the_tray(bench, KALE).seen == Mark(TODAY, "Jory")


def test_a_tray_of_one_sowing_needs_no_naming_and_a_mixed_one_does(bench: Store, stamp: StampMaker) -> None:
    receipt = growth.thin(bench, stamp(), KALE, None)
    assert said(acts_of_entry(bench, receipt.entry_id), "kind", "sowing_id") == [
        (ActKind.THINNED, part_of(bench, KALE, 1))
    ]
    with pytest.raises(BadInput, match="Tray 2W holds 3 sowings"):
        growth.thin(bench, stamp(), FLAT, None)
