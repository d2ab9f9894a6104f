"""Everything about one tray: contents, places, story, family, and the curve of its root fill."""

from datetime import date

import pytest

from model.actions import growth, record, shift, walk
from model.actions.shift import PotUp
from model.days import short_day
from model.errors import BadInput
from model.facts import ActKind, LossCause
from model.store.database import Store
from model.views.course import AHEAD_DAYS, LONGEST_CURVE
from model.views.outlook import reckon
from model.views.round import read_round
from model.views.tray import TrayPage, find_tray, read_page
from tests.builders import TODAY, day
from tests.conftest import StampMaker
from tests.store.names import FLAT, FRAME, KALE, SHELF, SLATS, TOMATO

Ids = dict[str, int]


def page(store: Store, tray_id: int, today: date = TODAY) -> TrayPage:
    return read_page(store, tray_id, today)


def story(store: Store, tray_id: int) -> list[str]:
    return [told.words for told in page(store, tray_id).story]


def test_the_line_on_the_page_is_the_line_of_the_round(bench: Store):
    shown = page(bench, KALE).line
    (listed,) = (found for found in read_round(bench, TODAY).lines if found.tray_id == KALE)
    assert (shown.why, shown.due, shown.room_days) == (listed.why, listed.due, listed.room_days)
    assert page(bench, KALE).container_ml == 43


def test_counts_are_told_in_words(bench: Store, stamp: StampMaker):
    growth.count_stand(bench, stamp(), TOMATO, None, 66)
    shift.lose(bench, stamp(), TOMATO, None, 6, LossCause.DAMPED_OFF)
    shift.set_out(bench, stamp(), TOMATO, None, 10)
    (sowing,) = page(bench, TOMATO).sowings
    assert sowing.words == "50 of 72: 6 empty, 6 lost, 10 set out"
    assert (sowing.crop, sowing.variety, sowing.lot) == ("tomato", "Ostrel", "A1")
    assert (sowing.have, sowing.cells, sowing.seeds_per_cell, sowing.sown_on) == (50, 72, 2, day(-35))
    assert (sowing.up, sowing.half) == (True, True)
    fresh = page(bench, FLAT).sowings[0]
    assert (fresh.words, fresh.up, fresh.half) == ("24 of 24", False, False)


def test_the_story_is_told_newest_first_and_a_mixed_tray_names_the_sowing(bench: Store, stamp: StampMaker):
    parts = page(bench, FLAT).sowings
    growth.first_up(bench, stamp(today=day(-15)), FLAT, parts[1].sowing_id)
    shift.move(bench, stamp(today=day(-2)), [FLAT], FRAME)
    shift.lose(bench, stamp(), FLAT, parts[0].sowing_id, 4, LossCause.EATEN)
    growth.note(bench, stamp(), FLAT, "slugs [by the door]")
    assert story(bench, FLAT) == [
        'note "slugs [by the door]"',
        "lost Marrel 4 (eaten)",
        "moved to frame",
        "first up Frill",
        "sown Rook 24",
        "sown Frill 24",
        "sown Marrel 24",
    ]
    first = page(bench, FLAT).story[0]
    assert (first.day, first.who, first.counts) == (TODAY, "Wren", True)
    assert page(bench, FLAT).note == "slugs [by the door]"
    assert page(bench, FLAT).places == ((day(-20), "slats"), (day(-2), "frame"))


def test_a_look_at_the_roots_is_told_with_its_words(bench: Store, stamp: StampMaker):
    growth.root_look(bench, stamp(), KALE, 3)
    assert story(bench, KALE)[0] == "root look 3, full"


def test_what_was_taken_back_or_struck_is_told_and_does_not_count(bench: Store, stamp: StampMaker):
    walk.mark_trays(bench, stamp(), ActKind.WATERED, [KALE])
    record.undo(bench, stamp(), "UTC")
    half = next(told for told in page(bench, KALE).story if told.words.startswith("half up"))
    record.correct_act(bench, stamp(), half.act_id, "struck", "")
    told = {found.words: (found.counts, bool(found.can_correct)) for found in page(bench, KALE).story}
    assert (told["watered"], told[half.words], told["sown 72"]) == (
        (False, False),
        (False, False),
        (True, False),
    )
    assert story(bench, KALE)[0] == f"corrected half up of {short_day(half.day)}: struck"


def test_a_correction_says_what_stood_and_what_stands(bench: Store, stamp: StampMaker):
    record.correct_sowing(bench, stamp(), KALE, None, "sown_on", day(-28).isoformat())
    assert story(bench, KALE)[0] == f"corrected sown on {day(-30)} is {day(-28)}"


def test_parents_and_children_are_named_by_their_labels(bench: Store, stamp: StampMaker, containers: Ids):
    pots = [PotUp(40, containers["10 cm pot"], SLATS, 40), PotUp(20, containers["9 cm pot"], SHELF, 41)]
    receipt = shift.pot_up(bench, stamp(), TOMATO, None, pots)
    child = next(tray_id for tray_id in receipt.tray_ids if tray_id != TOMATO)
    assert page(bench, TOMATO).children == ("40V", "41H")
    assert (page(bench, child).parent, page(bench, TOMATO).parent) == ("1R", "")
    assert page(bench, child).line.here_days == 0


def test_a_tray_that_is_gone_still_has_its_page(bench: Store, stamp: StampMaker):
    shift.set_out(bench, stamp(today=day(-2)), KALE, None, 72, "north bed")
    gone = page(bench, KALE)
    assert gone.ended_on == day(-2)
    assert gone.story[0].words == "set out 72 north bed"
    assert gone.line.why[0] == "all gone: 72 set out (record)"
    assert gone.line.due == ()


def test_a_number_finds_the_tray_that_carries_it_now_before_those_that_did(
    bench: Store, stamp: StampMaker, containers: Ids
):
    assert find_tray(bench, 3) == KALE
    shift.set_out(bench, stamp(), KALE, None, 72)
    assert find_tray(bench, 3) == KALE
    receipt = shift.pot_up(bench, stamp(), TOMATO, None, [PotUp(9, containers["9 cm pot"], SLATS, 3)])
    child = next(tray_id for tray_id in receipt.tray_ids if tray_id != TOMATO)
    assert find_tray(bench, 3) == child
    with pytest.raises(BadInput, match="No tray 99F"):
        find_tray(bench, 99)


def test_a_tray_that_is_not_on_record_is_refused(bench: Store):
    with pytest.raises(BadInput, match="isn't on record"):
        page(bench, 404)


# The curve.


def test_the_curve_runs_from_half_up_until_three_weeks_from_today(bench: Store):
    curve = page(bench, TOMATO).curve
    assert curve is not None
    # Half up on the eighth day; sown 35 days ago.
    assert (curve.days[0], curve.today, curve.days[-1]) == (8, 35, 35 + AHEAD_DAYS)
    assert list(curve.days) == list(range(8, 35 + AHEAD_DAYS + 1))
    for low, expected, high in zip(curve.low, curve.expected, curve.high, strict=True):
        assert 0 < low <= expected <= high < 1
    assert list(curve.expected) == sorted(curve.expected)
    assert curve.window is not None
    first, last = curve.window
    assert last is not None
    assert curve.expected[curve.days.index(first)] >= 0.30 > curve.expected[curve.days.index(first) - 1]
    assert curve.looks == ()


def test_a_look_bends_the_curve_and_stands_beside_the_default(bench: Store, stamp: StampMaker):
    growth.root_look(bench, stamp(today=day(-3)), TOMATO, 1)
    growth.root_look(bench, stamp(), TOMATO, 2)
    found = read_page(bench, TOMATO, TODAY, reckon(bench, TODAY).outlooks)
    curve = found.curve
    assert curve is not None
    assert [(at, score) for at, _, score in curve.looks] == [(32, 1), (35, 2)]
    # "Holds together" lies between 0.30 and 0.70.
    assert curve.looks[1][1] == pytest.approx(0.5)
    at = curve.days.index(35)
    assert 0.3 < curve.expected[at] < 0.7
    # By the crop file alone this tray would be full: the looks say that it grows more slowly.
    assert curve.beside_name == "default"
    assert curve.beside[at] > 0.95
    assert "2 looks at these plants" in found.growth
    assert curve.high[at] - curve.low[at] < 0.4


def test_there_is_no_curve_before_plants_are_up_nor_of_a_crop_without_figures(
    bench: Store, stamp: StampMaker
):
    assert page(bench, FLAT).curve is None
    record.correct_sowing(bench, stamp(), KALE, None, "variety", "rue/Wild")
    assert page(bench, KALE).curve is None


def test_a_curve_never_runs_on_for_ever(bench: Store):
    curve = page(bench, TOMATO, day(600)).curve
    assert curve is not None
    assert len(curve.days) == LONGEST_CURVE + 1


def test_the_story_tells_what_stands_and_what_stood(bench: Store, stamp: StampMaker):
    growth.root_look(bench, stamp(), KALE, 4)
    growth.finger(bench, stamp(), KALE, 2)
    told = {line.kind: line.act_id for line in page(bench, KALE).story}
    record.correct_act(bench, stamp(), told[ActKind.ROOT_LOOK], "score", "2")
    record.correct_act(bench, stamp(), told[ActKind.ROOT_LOOK], "day", day(-2).isoformat())
    record.correct_act(bench, stamp(), told[ActKind.HALF_UP], "count", "50")
    found = [(line.day, line.words) for line in page(bench, KALE).story if line.kind is not ActKind.CORRECTED]
    assert found == [
        (TODAY, "finger test 2, wet"),
        (day(-2), f"root look 2, holds together (was {short_day(TODAY)}, 4)"),
        (day(-19), "half up 50 (was none)"),
        (day(-30), "sown 72"),
    ]
    assert "corrected half up of 26 Mar: count none is 50" in story(bench, KALE)


def test_a_corrected_variety_is_told_by_the_name_of_its_crop(bench: Store, stamp: StampMaker):
    record.correct_sowing(bench, stamp(), KALE, None, "variety", "pak_choi/Rill")
    assert story(bench, KALE)[0] == "corrected variety kale Sedge Blue is pak choi Rill"
