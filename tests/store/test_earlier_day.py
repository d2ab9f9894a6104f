"""What is entered for an earlier day, and what is shown of one: the trays are taken as they stood then."""

from collections.abc import Callable
from datetime import date

import pytest

from model.actions import growth, record, shift, sow, walk
from model.actions.desk import Receipt
from model.actions.shift import PotUp
from model.actions.sow import SowPart
from model.errors import BadInput
from model.facts import ActKind, LossCause, Mark
from model.store import reading
from model.store.database import Store
from model.views.lines import TrayLine
from model.views.round import read_round
from model.views.tray import read_page
from tests.builders import TODAY, day
from tests.conftest import StampMaker
from tests.store.looking import acts_of_entry, said, the_tray
from tests.store.names import FLAT, FRAME, KALE, MAT, SLATS, TOMATO

Ids = dict[str, int]
THEN, LATER = day(-3), day(-1)


def shown(store: Store, on: date) -> dict[int, TrayLine]:
    return {line.tray_id: line for line in read_round(store, on).lines}


def act_of(store: Store, tray_id: int, kind: ActKind) -> int:
    with store.reading() as rows:
        return next(act.id for act in reading.acts_of(rows, [tray_id]) if act.kind is kind)


# Corrected days.


def test_an_act_whose_day_was_put_right_counts_on_the_day_it_was_moved_to(
    bench: Store, stamp: StampMaker
) -> None:
    shift.lose(bench, stamp(today=day(-10)), KALE, None, 67, LossCause.EATEN)
    shift.set_out(bench, stamp(today=day(-5)), KALE, None, 5)
    record.correct_act(bench, stamp(), act_of(bench, KALE, ActKind.SET_OUT), "day", day(-12).isoformat())
    record.correct_act(bench, stamp(), act_of(bench, KALE, ActKind.LOST), "day", day(-2).isoformat())
    assert shown(bench, day(-13))[KALE].plants == 72
    assert [shown(bench, day(ago))[KALE].plants for ago in (-12, -7, -3)] == [67, 67, 67]
    assert KALE not in shown(bench, day(-2))


def test_a_day_before_the_resowing_was_put_right_to_an_earlier_one_opens(
    bench: Store, stamp: StampMaker
) -> None:
    sow.resow(bench, stamp(today=day(-2)), KALE, None, SowPart("kale", "Rill", 60))
    shift.set_out(bench, stamp(), KALE, the_tray(bench, KALE).sowings[1].id, 55)
    record.correct_act(bench, stamp(), act_of(bench, KALE, ActKind.SET_OUT), "day", day(-1).isoformat())
    assert [shown(bench, day(ago))[KALE].plants for ago in (-3, -2, -1)] == [72, 72, 17]


# What was made later.


def test_cells_that_were_sown_again_later_are_not_there_twice(bench: Store, stamp: StampMaker) -> None:
    sow.resow(bench, stamp(today=LATER), KALE, None, SowPart("kale", "Rill", 30))
    assert shown(bench, THEN)[KALE].plants == 72
    assert [sowing.variety for sowing in read_page(bench, KALE, THEN).sowings] == ["Sedge Blue"]
    assert [sowing.cells for sowing in read_page(bench, KALE, LATER).sowings] == [72, 30]


def test_children_and_acts_of_later_days_are_not_on_the_page(
    bench: Store, stamp: StampMaker, containers: Ids
) -> None:
    shift.pot_up(bench, stamp(today=LATER), TOMATO, None, [PotUp(9, containers["9 cm pot"], SLATS, 40)])
    growth.note(bench, stamp(), TOMATO, "late")
    then = read_page(bench, TOMATO, THEN)
    assert (then.children, [line.words for line in then.story]) == ((), ["half up 66", "sown 72"])
    assert read_page(bench, TOMATO, LATER).children == ("40V",)
    assert len(read_page(bench, TOMATO, TODAY).story) == 4


def test_a_child_is_not_there_before_its_parent_was_sown(
    bench: Store, stamp: StampMaker, containers: Ids
) -> None:
    shift.pot_up(bench, stamp(), KALE, None, [PotUp(9, containers["9 cm pot"], SLATS, 40)])
    record.correct_act(bench, stamp(), act_of(bench, KALE, ActKind.HALF_UP), "struck", "")
    record.correct_sowing(bench, stamp(), KALE, None, "sown_on", day(-10).isoformat())
    assert set(shown(bench, day(-12))) == {TOMATO, FLAT}


# What is entered.


def test_closing_an_earlier_round_counts_the_trays_of_that_day(bench: Store, stamp: StampMaker) -> None:
    walk.mark_trays(bench, stamp(today=THEN), ActKind.LOOKED, [TOMATO, FLAT])
    shift.retire(bench, stamp(today=LATER), KALE, None, 72)
    walk.mark_trays(bench, stamp(), ActKind.LOOKED, [TOMATO, FLAT])
    assert walk.close_round(bench, stamp(today=THEN)).words == "round closed, partial: 1 not seen"
    assert walk.close_round(bench, stamp()).words == "round closed, complete"


def test_a_whole_place_of_an_earlier_day_is_what_stood_there_then(bench: Store, stamp: StampMaker) -> None:
    shift.move(bench, stamp(today=LATER), [KALE], FRAME)
    shift.move(bench, stamp(today=LATER), [TOMATO], SLATS)
    assert walk.mark_place(bench, stamp(today=THEN), ActKind.WATERED, SLATS).tray_ids == (FLAT, KALE)
    assert walk.mark_place(bench, stamp(today=THEN), ActKind.WATERED, MAT).tray_ids == (TOMATO,)
    with pytest.raises(BadInput, match="No tray stands at frame"):
        walk.mark_place(bench, stamp(today=THEN), ActKind.WATERED, FRAME)


def test_what_was_said_on_an_earlier_day_is_kept_whatever_was_said_since(
    bench: Store, stamp: StampMaker
) -> None:
    walk.mark_trays(bench, stamp("Jory", today=THEN), ActKind.LEFT_DRY, [FLAT])
    walk.mark_trays(bench, stamp(today=LATER), ActKind.LEFT_DRY, [FLAT])
    assert walk.mark_place(bench, stamp(today=THEN), ActKind.WATERED, SLATS).tray_ids == (KALE,)


def test_a_tray_that_is_gone_since_can_be_marked_for_a_day_on_which_it_stood(
    bench: Store, stamp: StampMaker
) -> None:
    shift.retire(bench, stamp(today=LATER), KALE, None, 72)
    walk.mark_trays(bench, stamp(today=THEN), ActKind.WATERED, [KALE])
    assert the_tray(bench, KALE).watered == Mark(THEN, "Wren")
    for on in (LATER, TODAY):
        with pytest.raises(BadInput, match="Tray 3A is gone since Mon 13 Apr"):
            walk.mark_trays(bench, stamp(today=on), ActKind.WATERED, [KALE])


@pytest.mark.parametrize(
    ("up", "words"),
    [
        (lambda *args: growth.first_up(*args), "first up: 2W mustard Frill, since 12 Apr"),
        (lambda *args: growth.half_up(*args, 12), "half up 12: 2W mustard Frill, since 12 Apr"),
    ],
)
def test_who_says_since_when_a_tray_is_up_has_seen_it_today(
    bench: Store, stamp: StampMaker, up: Callable[..., Receipt], words: str
) -> None:
    sowing = the_tray(bench, FLAT).sowings[1].id
    receipt = up(bench, stamp(day=day(-2)), FLAT, sowing)
    assert receipt.words == words
    assert said(acts_of_entry(bench, receipt.entry_id), "kind", "day")[1:] == [(ActKind.LOOKED, TODAY)]
    assert the_tray(bench, FLAT).seen == Mark(TODAY, "Wren")
    assert the_tray(bench, FLAT).sowings[1].first_up == day(-2)
