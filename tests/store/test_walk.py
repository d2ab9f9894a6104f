"""The marks of the round, one tray or a whole place, and the closing of the round."""

import pytest

from model.actions import shift, sow, walk
from model.actions.sow import Sow, SowPart
from model.errors import BadInput
from model.facts import ActKind, LossCause, Mark
from model.store.database import Store
from tests.builders import TODAY, day
from tests.conftest import StampMaker
from tests.store.looking import acts_of_entry, said, the_tray
from tests.store.names import CORNER, FLAT, KALE, MAT, SLATS, TOMATO

Ids = dict[str, int]
WREN, JORY = Mark(TODAY, "Wren"), Mark(TODAY, "Jory")


@pytest.mark.parametrize(
    ("kind", "column"),
    [
        (ActKind.LOOKED, "looked"),
        (ActKind.WATERED, "watered"),
        (ActKind.LEFT_DRY, "left"),
        (ActKind.FED, "fed"),
    ],
)
def test_some_trays_are_marked_each_once(bench: Store, stamp: StampMaker, kind: ActKind, column: str) -> None:
    receipt = walk.mark_trays(bench, stamp(), kind, [KALE, TOMATO, KALE])
    assert receipt.words == f"{kind} 3A, 1R"
    assert said(acts_of_entry(bench, receipt.entry_id), "tray_id", "kind") == [
        (KALE, kind),
        (TOMATO, kind),
    ]
    assert [getattr(the_tray(bench, tray_id), column) for tray_id in (TOMATO, FLAT, KALE)] == [
        WREN,
        None,
        WREN,
    ]
    assert the_tray(bench, KALE).seen == WREN


def test_a_whole_place_is_watered_but_for_what_is_left_dry_on_purpose(
    bench: Store, stamp: StampMaker
) -> None:
    receipt = walk.mark_place(bench, stamp(), ActKind.WATERED, SLATS, [FLAT])
    assert receipt.words == "watered slats, 1 tray; left dry 2W"
    assert (the_tray(bench, FLAT).watered, the_tray(bench, FLAT).left) == (None, WREN)
    assert (the_tray(bench, KALE).watered, the_tray(bench, KALE).left) == (WREN, None)
    assert the_tray(bench, TOMATO).seen != WREN


def test_a_tray_left_out_of_anything_but_watering_stays_as_it_was(bench: Store, stamp: StampMaker) -> None:
    before = the_tray(bench, FLAT)
    receipt = walk.mark_place(bench, stamp(), ActKind.FED, SLATS, [FLAT], "weak")
    assert receipt.words == "fed slats, 1 tray"
    assert the_tray(bench, FLAT) == before
    assert the_tray(bench, KALE).fed == WREN


def test_what_somebody_has_said_of_a_tray_today_is_kept(bench: Store, stamp: StampMaker) -> None:
    walk.mark_trays(bench, stamp("Jory"), ActKind.LEFT_DRY, [FLAT])
    receipt = walk.mark_place(bench, stamp(), ActKind.WATERED, SLATS)
    assert receipt.words == "watered slats, 1 tray"
    assert (the_tray(bench, FLAT).watered, the_tray(bench, FLAT).left) == (None, JORY)


def test_a_tray_that_was_watered_today_is_not_called_left_dry(bench: Store, stamp: StampMaker) -> None:
    walk.mark_trays(bench, stamp("Jory"), ActKind.WATERED, [FLAT])
    walk.mark_place(bench, stamp(), ActKind.WATERED, SLATS, [FLAT])
    assert (the_tray(bench, FLAT).watered, the_tray(bench, FLAT).left) == (JORY, None)


def test_a_place_that_was_watered_whole_is_watered_a_second_time(bench: Store, stamp: StampMaker) -> None:
    walk.mark_place(bench, stamp("Jory"), ActKind.WATERED, SLATS)
    receipt = walk.mark_place(bench, stamp(), ActKind.WATERED, SLATS, [FLAT])
    assert receipt.words == "watered slats, 1 tray; left dry 2W"
    assert the_tray(bench, KALE).watered == WREN
    assert (the_tray(bench, FLAT).watered, the_tray(bench, FLAT).left) == (JORY, WREN)


def test_looking_at_a_place_marks_only_what_nobody_stood_at_today(bench: Store, stamp: StampMaker) -> None:
    walk.mark_trays(bench, stamp("Jory"), ActKind.FED, [FLAT])
    assert walk.mark_place(bench, stamp(), ActKind.LOOKED, SLATS).words == "looked at slats, 1 tray"
    assert (the_tray(bench, FLAT).looked, the_tray(bench, KALE).looked) == (None, WREN)


def test_feeding_a_place_feeds_every_tray_again(bench: Store, stamp: StampMaker) -> None:
    walk.mark_trays(bench, stamp("Jory"), ActKind.FED, [FLAT])
    assert walk.mark_place(bench, stamp(), ActKind.FED, SLATS).words == "fed slats, 2 trays"


def test_a_round_entered_for_an_earlier_day_leaves_out_what_was_not_sown_yet(
    bench: Store, stamp: StampMaker, containers: Ids
) -> None:
    sow.sow(bench, stamp(), Sow(containers["72-cell tray"], MAT, (SowPart("kale", "Rill", 72),), TODAY))
    receipt = walk.mark_place(bench, stamp(day=day(-1)), ActKind.WATERED, MAT)
    assert receipt.tray_ids == (TOMATO,)
    assert the_tray(bench, TOMATO).watered == Mark(day(-1), "Wren")


@pytest.mark.parametrize("kind", [kind for kind in ActKind if kind not in walk.MARKS])
def test_what_is_no_mark_is_neither_said_of_trays_nor_of_a_place(
    bench: Store, stamp: StampMaker, kind: ActKind
) -> None:
    with pytest.raises(BadInput, match="is no mark"):
        walk.mark_trays(bench, stamp(), kind, [KALE])
    with pytest.raises(BadInput, match="can't be said of a whole place"):
        walk.mark_place(bench, stamp(), kind, SLATS)


def test_a_place_without_a_tray_and_a_round_of_exceptions_are_refused(
    bench: Store, stamp: StampMaker
) -> None:
    with pytest.raises(BadInput, match="No tray stands at corner"):
        walk.mark_place(bench, stamp(), ActKind.WATERED, CORNER)
    with pytest.raises(BadInput, match="Every tray at slats is left out"):
        walk.mark_place(bench, stamp(), ActKind.FED, SLATS, [FLAT, KALE])
    assert walk.mark_place(bench, stamp(), ActKind.WATERED, SLATS, [FLAT, KALE]).words == ("left dry 2W, 3A")


def test_a_round_is_closed_as_partial_with_what_nobody_saw(bench: Store, stamp: StampMaker) -> None:
    walk.mark_trays(bench, stamp(), ActKind.LOOKED, [KALE])
    receipt = walk.close_round(bench, stamp())
    assert receipt.words == "round closed, partial: 2 not seen"
    assert receipt.tray_ids == ()
    assert said(acts_of_entry(bench, receipt.entry_id), "kind", "tray_id", "count", "text") == [
        (ActKind.ROUND_CLOSED, None, 2, "partial")
    ]


def test_a_round_is_complete_when_every_living_tray_was_seen(bench: Store, stamp: StampMaker) -> None:
    walk.mark_trays(bench, stamp(), ActKind.LOOKED, [KALE, FLAT])
    shift.lose(bench, stamp(), TOMATO, None, 72, LossCause.FROST)
    assert walk.close_round(bench, stamp()).words == "round closed, complete"
