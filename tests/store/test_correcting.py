"""Correcting the record: the old value stays in the story, and whatever hangs on it moves."""

import pytest

from model.actions import growth, record, shift, sow
from model.actions.sow import SowPart
from model.errors import BadInput, NotEnough
from model.facts import ActKind, LossCause
from model.rules import ledger
from model.store.database import Store
from tests.builders import day
from tests.conftest import StampMaker
from tests.store.every_action import act_of, part_of
from tests.store.looking import acts_of_entry, kept, said, the_sowing, the_tray
from tests.store.names import FLAT, FRAME, KALE, SLATS, TOMATO

Ids = dict[str, int]


def test_a_sowing_day_is_put_right_and_the_old_one_stays_in_the_story(
    bench: Store, stamp: StampMaker
) -> None:
    receipt = record.correct_sowing(bench, stamp("Jory"), TOMATO, None, "sown_on", day(-41).isoformat())
    assert receipt.words == "corrected 1R: sown on 2026-03-10 is 2026-03-04"
    assert said(acts_of_entry(bench, receipt.entry_id), "who", "kind", "field", "old", "new") == [
        ("Jory", ActKind.CORRECTED, "sown_on", "2026-03-10", "2026-03-04")
    ]
    assert the_sowing(bench, TOMATO).sown_on == the_tray(bench, TOMATO).made_on == day(-41)


def test_a_sowing_day_can_be_put_later_as_long_as_nothing_came_before(
    bench: Store, stamp: StampMaker
) -> None:
    record.correct_sowing(bench, stamp(), TOMATO, None, "sown_on", day(-30).isoformat())
    assert the_tray(bench, TOMATO).made_on == day(-30)
    with pytest.raises(BadInput, match="half up on Wed 18 Mar is before tray 1R was made, Fri 20 Mar"):
        record.correct_sowing(bench, stamp(), TOMATO, None, "sown_on", day(-25).isoformat())


@pytest.mark.parametrize(
    ("field", "new", "words", "expected"),
    [
        ("cells", "70", "cells 72 is 70", {"cells": 70, "have": 70}),
        ("seeds_per_cell", "1", "seeds per cell 2 is 1", {"seeds_per_cell": 1}),
        (
            "variety",
            " pepper / Long Ash",
            "variety tomato Ostrel is pepper Long Ash",
            {"crop": "pepper", "variety": "Long Ash"},
        ),
    ],
)
def test_what_was_entered_at_sowing_is_put_right(
    bench: Store, stamp: StampMaker, field: str, new: str, words: str, expected: dict[str, object]
) -> None:
    receipt = record.correct_sowing(bench, stamp(), TOMATO, None, field, new)
    assert receipt.words == f"corrected 1R: {words}"
    sowing = the_sowing(bench, TOMATO)
    assert {name: getattr(sowing, name) for name in expected} == expected


def test_one_part_of_a_flat_is_put_right_and_the_others_stay(bench: Store, stamp: StampMaker) -> None:
    record.correct_sowing(bench, stamp(), FLAT, part_of(bench, FLAT, 2), "sown_on", day(-18).isoformat())
    assert [sowing.sown_on for sowing in the_tray(bench, FLAT).sowings] == [day(-20), day(-18), day(-20)]
    assert the_tray(bench, FLAT).made_on == day(-20)


def test_the_last_correction_stands_and_names_what_it_replaces(bench: Store, stamp: StampMaker) -> None:
    record.correct_sowing(bench, stamp(), TOMATO, None, "cells", "70")
    receipt = record.correct_sowing(bench, stamp(), TOMATO, None, "cells", "71")
    assert receipt.words == "corrected 1R: cells 70 is 71"
    act_id = act_of(bench, TOMATO, ActKind.HALF_UP)
    record.correct_act(bench, stamp(), act_id, "count", "61")
    receipt = record.correct_act(bench, stamp(), act_id, "count", "062")
    assert receipt.words == "corrected 1R: half up of Wed 18 Mar count 61 is 62"
    receipt = record.correct_act(bench, stamp(), act_id, "count", "60")
    assert receipt.words == "corrected 1R: half up of Wed 18 Mar count 62 is 60"
    assert the_sowing(bench, TOMATO).up_count == 60


def test_a_correction_that_was_taken_back_is_not_what_the_next_one_replaces(
    bench: Store, stamp: StampMaker
) -> None:
    act_id = act_of(bench, TOMATO, ActKind.HALF_UP)
    record.correct_act(bench, stamp(), act_id, "count", "61")
    record.undo(bench, stamp(), "UTC")
    assert record.correct_act(bench, stamp(), act_id, "count", "60").words.endswith("count 66 is 60")


def test_more_cells_than_the_tray_has_are_refused_and_resown_cells_count_once(
    bench: Store, stamp: StampMaker
) -> None:
    with pytest.raises(NotEnough, match="A 72-cell tray has 72 cells, not 73"):
        record.correct_sowing(bench, stamp(), KALE, None, "cells", "73")
    sow.resow(bench, stamp(), KALE, None, SowPart("kale", "Rill", 12))
    record.correct_sowing(bench, stamp(), KALE, part_of(bench, KALE, 2), "cells", "10")
    record.correct_sowing(bench, stamp(), KALE, part_of(bench, KALE, 2), "cells", "12")
    with pytest.raises(NotEnough, match="not 73"):
        record.correct_sowing(bench, stamp(), KALE, part_of(bench, KALE, 2), "cells", "13")
    record.correct_sowing(bench, stamp(), FLAT, part_of(bench, FLAT, 2), "cells", "200")
    assert the_sowing(bench, FLAT, 2).cells == 200


def test_fewer_cells_than_plants_that_left_are_refused(bench: Store, stamp: StampMaker) -> None:
    shift.set_out(bench, stamp(), KALE, None, 36)
    with pytest.raises(NotEnough, match="has 35 of Sedge Blue, not 36"):
        record.correct_sowing(bench, stamp(), KALE, None, "cells", "35")


def test_potted_plants_are_put_right_where_they_were_sown(
    bench: Store, stamp: StampMaker, containers: Ids
) -> None:
    shift.pot_up(bench, stamp(), TOMATO, None, [shift.PotUp(9, containers["9 cm pot"], SLATS)])
    with pytest.raises(BadInput, match="These plants were potted up") as refusal:
        record.correct_sowing(bench, stamp(), 4, None, "cells", "8")
    assert "this one will follow" in refusal.value.what_to_do


def test_an_older_wrong_tick_is_struck_and_the_later_acts_stay(bench: Store, stamp: StampMaker) -> None:
    growth.root_look(bench, stamp(day=day(-6)), KALE, 4)
    growth.root_look(bench, stamp(day=day(-3)), KALE, 2)
    shift.move(bench, stamp(day=day(-2)), [KALE], FRAME)
    wrong = next(i for i in range(1, 99) if is_look(bench, i))
    receipt = record.correct_act(bench, stamp(), wrong, "struck", "")
    assert receipt.words == "corrected 3A: root look of Wed 8 Apr struck"
    tray = the_tray(bench, KALE)
    assert [(look.day, look.score) for look in tray.looks] == [(day(-3), 2)]
    assert tray.place_id == FRAME
    with pytest.raises(BadInput, match="struck already"):
        record.correct_act(bench, stamp(), wrong, "struck", "")
    record.undo(bench, stamp(), "UTC")
    assert [look.score for look in the_tray(bench, KALE).looks] == [4, 2]


def is_look(store: Store, act_id: int) -> bool:
    with store.reading() as rows:
        return bool(rows("SELECT 1 FROM act WHERE id = ? AND kind = 'root look'", act_id))


def test_the_day_count_and_score_of_an_older_act_are_put_right(bench: Store, stamp: StampMaker) -> None:
    growth.root_look(bench, stamp(), KALE, 4)
    look = act_of(bench, KALE, ActKind.ROOT_LOOK)
    by_day = record.correct_act(bench, stamp(), look, "day", day(-2).isoformat())
    by_score = record.correct_act(bench, stamp(), look, "score", "2")
    assert by_day.words == "corrected 3A: root look of Tue 14 Apr day 2026-04-14 is 2026-04-12"
    assert by_score.words == "corrected 3A: root look of Tue 14 Apr score 4 is 2"
    assert [(seen.day, seen.score) for seen in the_tray(bench, KALE).looks] == [(day(-2), 2)]


def test_a_count_that_was_not_taken_can_be_put_in(bench: Store, stamp: StampMaker) -> None:
    half_up = act_of(bench, KALE, ActKind.HALF_UP)
    receipt = record.correct_act(bench, stamp(), half_up, "count", "50")
    assert receipt.words.endswith("count none is 50")
    assert the_sowing(bench, KALE).up_count == 50


def test_the_losses_of_a_potting_up_can_be_put_right_singly(
    bench: Store, stamp: StampMaker, containers: Ids
) -> None:
    shift.pot_up(bench, stamp(), TOMATO, None, [shift.PotUp(9, containers["9 cm pot"], SLATS)], lost=6)
    record.correct_act(bench, stamp(), act_of(bench, TOMATO, ActKind.LOST), "count", "5")
    assert (the_sowing(bench, TOMATO).lost, the_sowing(bench, TOMATO).have) == (5, 58)


def test_a_corrected_count_opens_a_tray_that_had_ended(bench: Store, stamp: StampMaker) -> None:
    shift.set_out(bench, stamp(), KALE, None, 72)
    assert not the_tray(bench, KALE).standing
    record.correct_act(bench, stamp(), act_of(bench, KALE, ActKind.SET_OUT), "count", "70")
    assert (the_tray(bench, KALE).standing, the_tray(bench, KALE).have) == (True, 2)


def test_a_tray_is_not_opened_again_while_another_carries_its_number(
    bench: Store, stamp: StampMaker, containers: Ids
) -> None:
    shift.set_out(bench, stamp(), KALE, None, 72)
    parts = [shift.PotUp(9, containers["9 cm pot"], SLATS, 3)]
    shift.pot_up(bench, stamp(), TOMATO, None, parts)
    with pytest.raises(BadInput, match="Two trays 3A would be standing"):
        record.correct_act(bench, stamp(), act_of(bench, KALE, ActKind.SET_OUT), "struck", "")


@pytest.mark.parametrize("kind", sorted(ledger.MAKES_OR_MOVES_PLANTS))
def test_acts_that_others_hang_on_are_undone_whole_and_never_corrected_singly(
    bench: Store, stamp: StampMaker, containers: Ids, kind: ActKind
) -> None:
    sow.resow(bench, stamp(), TOMATO, None, SowPart("tomato", "Ostrel", 6))
    record.correct_sowing(bench, stamp(), TOMATO, part_of(bench, TOMATO, 1), "seeds_per_cell", "3")
    parts = [shift.PotUp(9, containers["9 cm pot"], SLATS)]
    shift.pot_up(bench, stamp(), TOMATO, part_of(bench, TOMATO, 1), parts)
    before = kept(bench)
    with pytest.raises(BadInput, match="can't be corrected singly"):
        record.correct_act(bench, stamp(), act_of(bench, TOMATO, kind), "struck", "")
    assert kept(bench) == before


def test_cells_that_were_sown_again_stay_given_up(bench: Store, stamp: StampMaker) -> None:
    sow.resow(bench, stamp(), KALE, None, SowPart("kale", "Rill", 12))
    with pytest.raises(BadInput, match="can't be corrected singly"):
        record.correct_act(bench, stamp(), act_of(bench, KALE, ActKind.LOST), "struck", "")


def test_what_was_taken_back_is_not_corrected(bench: Store, stamp: StampMaker) -> None:
    shift.lose(bench, stamp(), KALE, None, 5, LossCause.EATEN)
    record.undo(bench, stamp(), "UTC")
    with pytest.raises(BadInput, match="can't be corrected singly"):
        record.correct_act(bench, stamp(), act_of(bench, KALE, ActKind.LOST), "count", "4")


def test_what_was_sown_into_a_potted_up_tray_is_put_right_there(
    bench: Store, stamp: StampMaker, containers: Ids
) -> None:
    shift.pot_up(bench, stamp(today=day(-5)), TOMATO, None, [shift.PotUp(15, containers["9 cm pot"], SLATS)])
    record.correct_sowing(bench, stamp(), TOMATO, None, "sown_on", day(-40).isoformat())
    sow.resow(bench, stamp(), 4, None, SowPart("kale", "Rill", 6))
    record.correct_sowing(bench, stamp(), 4, part_of(bench, 4, 2), "sown_on", day(-5).isoformat())
    record.correct_sowing(bench, stamp(), 4, part_of(bench, 4, 2), "sown_on", day(-5).isoformat())
    assert [sowing.from_parent for sowing in the_tray(bench, 4).sowings] == [True, False]
    with pytest.raises(BadInput, match="These plants were potted up"):
        record.correct_sowing(bench, stamp(), 4, part_of(bench, 4, 1), "cells", "8")


def test_plants_that_were_potted_up_on_their_sowing_day_are_put_right_where_they_were_sown(
    bench: Store, stamp: StampMaker, containers: Ids
) -> None:
    wish = sow.Sow(containers["72-cell tray"], SLATS, (SowPart("kale", "Rill", 72),), day(0))
    (sown,) = sow.sow(bench, stamp(), wish).tray_ids
    shift.pot_up(bench, stamp(), sown, None, [shift.PotUp(9, containers["9 cm pot"], SLATS)])
    with pytest.raises(BadInput, match="These plants were potted up"):
        record.correct_sowing(bench, stamp(), sown + 1, None, "cells", "8")


def test_a_finger_test_is_put_right_to_what_a_finger_can_feel(bench: Store, stamp: StampMaker) -> None:
    growth.finger(bench, stamp(), KALE, 0)
    touch = act_of(bench, KALE, ActKind.FINGER)
    with pytest.raises(BadInput, match="3 is no finger test"):
        record.correct_act(bench, stamp(), touch, "score", "3")
    assert record.correct_act(bench, stamp(), touch, "score", "2").words.endswith("score 0 is 2")
