"""Plants on the move: places, pots, ground and losses; every plant is counted once."""

import pytest

from model.actions import growth, record, shift, sow
from model.actions.desk import entry
from model.actions.shift import PotUp
from model.actions.sow import Sow, SowPart
from model.errors import BadInput, FullPlace, NotEnough
from model.facts import ActKind, LossCause, Stay, Vessel
from model.store import reading
from model.store.database import Store
from tests.builders import TODAY, day
from tests.conftest import StampMaker
from tests.store.every_action import part_of
from tests.store.looking import acts_of_entry, said, the_sowing, the_tray
from tests.store.names import CORNER, FLAT, FRAME, KALE, MAT, SHELF, SLATS, TOMATO

Ids = dict[str, int]


def test_half_a_tray_set_out_leaves_the_other_half_standing(bench: Store, stamp: StampMaker) -> None:
    receipt = shift.set_out(bench, stamp(), KALE, None, 36, "north bed")
    assert receipt.words == "set out 36: 3A kale Sedge Blue"
    assert said(acts_of_entry(bench, receipt.entry_id), "kind", "count", "text") == [
        (ActKind.SET_OUT, 36, "north bed")
    ]
    tray = the_tray(bench, KALE)
    assert (tray.have, tray.sowings[0].out, tray.standing) == (36, 36, True)
    shift.set_out(bench, stamp(), KALE, None, 36)
    assert the_tray(bench, KALE).ended_on == TODAY


def test_a_tray_is_split_into_two_kinds_of_pot_and_every_plant_is_counted(
    bench: Store, stamp: StampMaker, containers: Ids
) -> None:
    growth.count_stand(bench, stamp(), TOMATO, None, 66)
    parts = [PotUp(40, containers["10 cm pot"], SLATS), PotUp(20, containers["9 cm pot"], SHELF)]
    receipt = shift.pot_up(bench, stamp(), TOMATO, None, parts, lost=6, cause=LossCause.DROPPED)
    assert receipt.words == "potted up 1R tomato Ostrel: 40 as 4G, 20 as 5M; lost 6 (dropped)"
    sowing = the_sowing(bench, TOMATO)
    assert (sowing.potted, sowing.lost, sowing.empty, sowing.have) == (60, 6, 6, 0)
    assert sowing.potted + sowing.lost + sowing.empty == 72
    first, second = (the_tray(bench, tray_id) for tray_id in (4, 5))
    assert the_tray(bench, TOMATO).children == (4, 5)
    assert [(tray.parent_id, tray.have) for tray in (first, second)] == [(TOMATO, 40), (TOMATO, 20)]
    assert (first.place_id, second.place_id) == (SLATS, SHELF)
    assert first.sowings[0].sown_on == the_sowing(bench, TOMATO).sown_on == day(-35)
    assert first.sowings[0].half_up == day(-27)
    assert first.stays == (Stay(MAT, day(-35)), Stay(SLATS, TODAY))
    assert first.vessels[-1] == Vessel(containers["10 cm pot"], TODAY)
    assert the_tray(bench, TOMATO).ended_on == TODAY
    kinds = said(acts_of_entry(bench, receipt.entry_id), "kind", "tray_id", "count")
    assert kinds == [
        (ActKind.POTTED_UP, TOMATO, 40),
        (ActKind.LOOKED, 4, None),
        (ActKind.POTTED_UP, TOMATO, 20),
        (ActKind.LOOKED, 5, None),
        (ActKind.LOST, TOMATO, 6),
    ]


def test_a_corrected_sowing_reaches_children_and_grandchildren(
    bench: Store, stamp: StampMaker, containers: Ids
) -> None:
    shift.pot_up(bench, stamp(day=day(-5)), TOMATO, None, [PotUp(40, containers["9 cm pot"], SLATS)])
    shift.pot_up(bench, stamp(day=day(-2)), 4, None, [PotUp(8, containers["13 cm pot"], FRAME)])
    receipt = record.correct_sowing(bench, stamp(), TOMATO, None, "sown_on", day(-45).isoformat())
    assert receipt.tray_ids == (TOMATO, 4, 5)
    record.correct_sowing(bench, stamp(), TOMATO, None, "variety", "tomato/Brisk Nine")
    for tray_id in (TOMATO, 4, 5):
        sowing = the_sowing(bench, tray_id)
        assert (sowing.sown_on, sowing.variety) == (day(-45), "Brisk Nine")
    assert the_tray(bench, 5).stays == (Stay(MAT, day(-45)), Stay(SLATS, day(-5)), Stay(FRAME, day(-2)))


def test_trays_are_moved_together_and_a_place_is_not_moved_to_twice(bench: Store, stamp: StampMaker) -> None:
    receipt = shift.move(bench, stamp(day=day(-1)), [FLAT, KALE, FLAT], FRAME)
    assert receipt.words == "moved to frame: 2W, 3A"
    assert len(acts_of_entry(bench, receipt.entry_id)) == 2
    assert the_tray(bench, KALE).stays == (Stay(SLATS, day(-30)), Stay(FRAME, day(-1)))
    with pytest.raises(BadInput, match="Tray 3A already stands at frame"):
        shift.move(bench, stamp(), [KALE], FRAME)


def test_a_full_place_takes_a_tray_only_as_a_stack(bench: Store, stamp: StampMaker) -> None:
    with pytest.raises(FullPlace, match="corner has 2 slots and 0 trays"):
        shift.move(bench, stamp(), [TOMATO, FLAT, KALE], CORNER)
    shift.move(bench, stamp(), [TOMATO, FLAT], CORNER)
    with pytest.raises(FullPlace, match="corner has 2 slots and 2 trays") as refusal:
        shift.move(bench, stamp(), [KALE], CORNER)
    assert "say that it is a stack" in refusal.value.what_to_do
    shift.move(bench, stamp(), [KALE], CORNER, stack=True)
    assert the_tray(bench, KALE).place_id == CORNER


def test_a_full_place_refuses_a_sowing_unless_it_is_stacked(
    bench: Store, stamp: StampMaker, containers: Ids
) -> None:
    shift.move(bench, stamp(), [TOMATO, FLAT], CORNER)
    wish = Sow(containers["72-cell tray"], CORNER, (SowPart("kale", "Rill", 72),), TODAY)
    with pytest.raises(FullPlace):
        sow.sow(bench, stamp(), wish)
    (tray_id,) = sow.sow(bench, stamp(), wish, stack=True).tray_ids
    assert the_tray(bench, tray_id).place_id == CORNER


def test_potting_up_needs_room_for_all_its_trays_together(
    bench: Store, stamp: StampMaker, containers: Ids
) -> None:
    shift.move(bench, stamp(), [KALE], CORNER)
    parts = [PotUp(20, containers["9 cm pot"], CORNER), PotUp(20, containers["9 cm pot"], CORNER)]
    with pytest.raises(FullPlace, match="corner has 2 slots and 1 tray."):
        shift.pot_up(bench, stamp(), TOMATO, None, parts)
    shift.pot_up(bench, stamp(), TOMATO, None, parts, stack=True)
    with bench.reading() as rows:
        assert sum(tray.place_id == CORNER for tray in reading.standing_trays(rows)) == 3


def test_a_tray_that_is_emptied_makes_room_for_its_plants(
    bench: Store, stamp: StampMaker, containers: Ids
) -> None:
    shift.move(bench, stamp(), [KALE, FLAT], CORNER)
    with pytest.raises(FullPlace):
        shift.pot_up(bench, stamp(), KALE, None, [PotUp(71, containers["9 cm pot"], CORNER)])
    shift.pot_up(bench, stamp(), KALE, None, [PotUp(70, containers["9 cm pot"], CORNER)], lost=2)
    assert the_tray(bench, 4).place_id == CORNER
    shift.move(bench, stamp(), [TOMATO], CORNER, stack=True)
    shift.pot_up(bench, stamp(), 4, None, [PotUp(70, containers["13 cm pot"], CORNER)])
    assert the_tray(bench, 5).place_id == CORNER, "the stack doesn't grow"


def test_two_new_trays_never_take_one_number(bench: Store, stamp: StampMaker, containers: Ids) -> None:
    pot = containers["9 cm pot"]
    with pytest.raises(BadInput, match="Two trays 30F would be standing"):
        shift.pot_up(bench, stamp(), TOMATO, None, [PotUp(9, pot, SLATS, 30), PotUp(9, pot, SLATS, 30)])
    shift.pot_up(
        bench,
        stamp(),
        TOMATO,
        None,
        [PotUp(9, pot, SLATS, 30), PotUp(9, pot, SLATS, 29), PotUp(9, pot, SLATS)],
    )
    assert [the_tray(bench, tray_id).number for tray_id in (4, 5, 6)] == [30, 29, 31]


def test_losses_carry_their_cause_and_retired_plants_are_no_losses(bench: Store, stamp: StampMaker) -> None:
    receipt = shift.lose(bench, stamp(), TOMATO, None, 6, LossCause.DAMPED_OFF)
    assert receipt.words == "lost 6: 1R tomato Ostrel (damped off)"
    assert said(acts_of_entry(bench, receipt.entry_id), "count", "cause") == [(6, "damped off")]
    retired = shift.retire(bench, stamp(), FLAT, part_of(bench, FLAT, 3), 24)
    assert retired.words == "retired 24: 2W arugula Rook"
    third = the_sowing(bench, FLAT, 3)
    assert (third.retired, third.lost, third.have) == (24, 0, 0)
    assert the_tray(bench, FLAT).standing


def test_counts_that_were_entered_late_still_balance(bench: Store, stamp: StampMaker) -> None:
    shift.set_out(bench, stamp(), KALE, None, 70)
    with pytest.raises(NotEnough, match="has 69 of Sedge Blue, not 70"):
        shift.lose(bench, stamp(day=day(-3)), KALE, None, 3, LossCause.EATEN)
    shift.lose(bench, stamp(day=day(-3)), KALE, None, 2, LossCause.EATEN)
    assert the_tray(bench, KALE).ended_on == TODAY


@pytest.mark.parametrize("also", [4, 5])
def test_an_entry_on_a_tray_and_on_what_came_of_it_reckons_both_from_the_new_facts(
    bench: Store, stamp: StampMaker, containers: Ids, also: int
) -> None:
    shift.pot_up(bench, stamp(day=day(-5)), TOMATO, None, [PotUp(40, containers["9 cm pot"], SLATS)])
    shift.pot_up(bench, stamp(day=day(-2)), 4, None, [PotUp(8, containers["13 cm pot"], FRAME)])
    with entry(bench, stamp()) as pen:
        corrected = {"sowing_id": part_of(bench, TOMATO, 1), "field": "sown_on", "new": day(-45).isoformat()}
        pen.act(ActKind.CORRECTED, TOMATO, **corrected)
        pen.act(ActKind.LOOKED, also)
    assert pen.done().tray_ids == (TOMATO, 4, 5)
    assert [the_sowing(bench, tray_id).sown_on for tray_id in (TOMATO, 4, 5)] == [day(-45)] * 3
