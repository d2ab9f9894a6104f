"""The round of a day on a real database: read whole, and read again after an entry."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from random import Random

import pytest

from model.actions import growth, record, shift, sow, walk
from model.actions.desk import Receipt
from model.actions.farm import found_farm, keep_place, set_setting
from model.actions.shift import PotUp
from model.actions.sow import Sow, SowPart
from model.errors import TrayroundError
from model.facts import ActKind, LossCause
from model.rules.verdict import Risk, Stage, Today
from model.store import reading
from model.store.database import Store, open_store
from model.views.lines import RoundView, TrayLine
from model.views.round import read_round, reread
from tests.builders import TODAY, a_place, day
from tests.conftest import PLACES, StampMaker
from tests.store.chance import Chance
from tests.store.every_action import Wish, every_wish
from tests.store.names import CORNER, FLAT, FRAME, HARDENING, KALE, MAT, SHELF, SLATS, TOMATO

Ids = dict[str, int]
Sower = Callable[..., int]


@pytest.fixture
def sown(store: Store, stamp: StampMaker, containers: Ids) -> Sower:
    """Sows a tray of one part, or of several given as (crop, variety, cells), and gives its id."""

    def do(
        crop: str = "kale",
        place: int = SLATS,
        days: int = 3,
        into: str = "72-cell tray",
        parts: list[tuple[str, str, int]] | None = None,
        number: int | None = None,
    ) -> int:
        named = parts or [(crop, "Rill", 72)]
        wish = Sow(containers[into], place, tuple(SowPart(*part) for part in named), day(-days), number)
        return sow.sow(store, stamp(today=day(-days)), wish).tray_ids[0]

    return do


def line(view: RoundView, tray_id: int) -> TrayLine:
    return next(found for found in view.lines if found.tray_id == tray_id)


# The whole round.


def test_every_standing_tray_is_there_once_and_none_that_is_gone(bench: Store, stamp: StampMaker):
    shift.set_out(bench, stamp(), KALE, None, 72)
    view = read_round(bench, TODAY)
    assert sorted(found.tray_id for found in view.lines) == [TOMATO, FLAT]
    assert [found.rank for found in view.lines] == [1, 2]
    assert view.unseen == 2


def test_places_come_in_walking_order_with_their_trays_and_what_is_unseen(bench: Store, stamp: StampMaker):
    walk.mark_trays(bench, stamp(), ActKind.LOOKED, [FLAT])
    view = read_round(bench, TODAY)
    assert [place.name for place in view.places] == [place.name for place in PLACES]
    assert [(place.trays, place.unseen) for place in view.places] == [
        (1, 1),
        (0, 0),
        (2, 1),
        (0, 0),
        (0, 0),
        (0, 0),
    ]
    keep_place(bench, a_place(id=SLATS, name="slats", walk=0))
    assert read_round(bench, TODAY).places[0].place_id == SLATS


def test_a_farm_without_trays_has_places_and_nothing_to_do(store: Store):
    view = read_round(store, TODAY)
    assert (view.lines, view.resume_place_id, view.closed, view.unseen) == ((), MAT, "", 0)
    assert view.farm == "My farm"


def test_a_farm_without_places_has_nowhere_to_begin(tmp_path):
    bare = open_store(tmp_path / "bare.db", make=True)
    found_farm(bare, "UTC")
    assert read_round(bare, TODAY).resume_place_id is None
    bare.close()


def test_a_line_carries_what_its_columns_show(store: Store, sown: Sower, stamp: StampMaker):
    tray_id = sown("tomato", MAT, 4, number=27)
    walk.mark_trays(store, stamp(today=day(-1)), ActKind.WATERED, [tray_id])
    found = line(read_round(store, TODAY), tray_id)
    assert (found.number, found.letter, found.label) == (27, "G", "27G")
    assert (found.place, found.crop, found.variety, found.container) == (
        "mat",
        "tomato",
        "Rill",
        "72-cell tray",
    )
    assert (found.sown_on, found.age_days, found.here_days, found.plants) == (day(-4), 4, 4, 72)
    assert (found.stage, found.risk, found.ready) == (Stage.SOWN, Risk.ROOM, None)
    # Tomato at 24 °C comes up between day 5 and day 9.
    assert (found.due_words, found.due_now) == ("first up 15-19 Apr", False)
    assert (found.water_words, found.seen) == ("1 d", Today.UNSEEN)
    assert found.why_now == "nothing due before 15 Apr"
    assert found.why == (
        "day 4 of 5-9 to come up, on mat at 24 °C (default)",
        "not seen today; watered yesterday by Wren",
    )


def test_feet_go_by_the_day_trays_came_and_then_by_number(store: Store, sown: Sower, stamp: StampMaker):
    first, second, third = sown(days=3, number=9), sown(days=3, number=4), sown(days=9, number=5)
    shift.move(store, stamp(today=day(-1)), [third], SHELF)
    view = read_round(store, TODAY)
    in_order = sorted(view.lines, key=lambda found: found.bench_order)
    assert [found.tray_id for found in in_order] == [second, first, third]


def test_what_is_due_now_is_told_apart_from_what_is_to_come(store: Store, sown: Sower, stamp: StampMaker):
    hooks = sown("broccoli", MAT, 5)
    growth.first_up(store, stamp(), hooks)
    found = line(read_round(store, TODAY), hooks)
    assert (found.due_words, found.due_now, found.seen) == ("off mat 14-15 Apr", True, Today.LOOKED)


def test_water_words_name_today_the_days_and_a_tray_left_dry(store: Store, sown: Sower, stamp: StampMaker):
    never, today, older, left = (sown(number=number) for number in (1, 2, 3, 4))
    walk.mark_trays(store, stamp(today=day(-2)), ActKind.WATERED, [older, left])
    walk.mark_trays(store, stamp(), ActKind.WATERED, [today])
    walk.mark_trays(store, stamp(), ActKind.LEFT_DRY, [left])
    view = read_round(store, TODAY)
    assert [line(view, tray).water_words for tray in (never, today, older, left)] == [
        "never",
        "today",
        "2 d",
        "left",
    ]


def test_a_crop_of_the_growers_own_is_seen_watered_and_ranked_like_any_other(
    store: Store, sown: Sower, stamp: StampMaker
):
    rue, kale = sown("rue", SLATS, 6, "128-cell tray"), sown("kale", SLATS, 1)
    walk.mark_trays(store, stamp(today=day(-3)), ActKind.WATERED, [rue])
    view = read_round(store, TODAY)
    found = line(view, rue)
    assert (found.crop, found.fill, found.risk, found.due_words) == ("rue", None, Risk.UNKNOWN, "")
    assert (found.rank, found.room_days, found.why_now) == (1, -1, "no water for 3 days")
    assert found.why[0] == "day 6; when it comes up at 16 °C is not known"
    assert line(view, kale).rank == 2


def test_a_farm_that_reads_fahrenheit_is_told_in_fahrenheit(store: Store, sown: Sower, stamp: StampMaker):
    tray_id = sown("tomato", MAT, 4)
    set_setting(store, "temperature", "°F")
    view = read_round(store, TODAY)
    assert line(view, tray_id).why[0] == "day 4 of 5-9 to come up, on mat at 75 °F (default)"
    receipt = walk.mark_trays(store, stamp(), ActKind.LOOKED, [tray_id])
    assert "75 °F" in line(reread(store, view, receipt.tray_ids), tray_id).why[0]


# Trays that hold several sowings.


def test_a_mixed_tray_is_named_by_all_that_lives_in_it(store: Store, sown: Sower, stamp: StampMaker):
    parts = [("lettuce", "Marrel", 8), ("mustard", "Frill", 8), ("lettuce", "Pale Ivy", 8)]
    flat = sown(into="open flat", parts=parts)
    found = line(read_round(store, TODAY), flat)
    assert (found.crop, found.variety) == ("lettuce / mustard", "Marrel / Frill / Pale Ivy")
    assert found.plants == 24
    with store.reading() as rows:
        middle = reading.trays(rows, [flat])[flat].sowings[1]
    shift.lose(store, stamp(), flat, middle.id, 8, LossCause.COOKED)
    found = line(read_round(store, TODAY), flat)
    assert (found.crop, found.variety, found.plants) == ("lettuce", "Marrel / Pale Ivy", 16)


def test_the_why_of_a_shared_tray_says_of_which_sowing_it_tells(store: Store, sown: Sower, stamp: StampMaker):
    flat = sown(into="open flat", days=20, parts=[("lettuce", "Marrel", 8), ("pepper", "Tavar", 8)])
    # Pepper at 16.5 °C: 1/25 + 0.3 (1/13 - 1/25) = 0.051 a day, so it is late only after 29 days; lettuce is.
    assert line(read_round(store, TODAY), flat).why[0].startswith("Marrel: late up by 1")


def test_two_sowings_of_one_variety_are_told_apart_by_their_day(store: Store, sown: Sower, stamp: StampMaker):
    tray_id = sown("kale", SLATS, 20)
    sow.resow(store, stamp(today=day(-1)), tray_id, None, SowPart("kale", "Rill", 30))
    found = line(read_round(store, TODAY), tray_id)
    assert found.why[0].startswith("sown 25 Mar: late up by")
    assert (found.variety, found.sown_on, found.plants) == ("Rill", day(-20), 72)


def test_a_tray_that_was_wholly_resown_is_as_old_as_what_grows_in_it(
    store: Store, sown: Sower, stamp: StampMaker
):
    tray_id = sown("kale", SLATS, 20)
    sow.resow(store, stamp(today=day(-2)), tray_id, None, SowPart("lettuce", "Marrel", 72))
    found = line(read_round(store, TODAY), tray_id)
    assert (found.crop, found.sown_on, found.age_days, found.plants) == ("lettuce", day(-2), 2, 72)
    assert found.flags == ("unseen 2 d",)


# Reading again.


def after(store: Store, view: RoundView, receipt: Receipt) -> RoundView:
    """The view read again after an entry, having checked that it is the one a fresh reading gives."""
    again = reread(store, view, receipt.tray_ids)
    assert again == read_round(store, view.on)
    return again


@every_wish
def test_the_round_read_again_after_an_entry_is_the_round_read_afresh(
    bench: Store, stamp: StampMaker, containers: Ids, wish: Wish
):
    view = read_round(bench, TODAY)
    view = after(bench, view, wish(bench, stamp(), containers))
    view = after(bench, view, record.undo(bench, stamp(), "UTC"))
    after(bench, view, record.redo(bench, stamp(), "UTC"))


@pytest.mark.parametrize("seed", range(3))
def test_sixty_wishes_by_chance_never_part_the_two(
    bench: Store, stamp: StampMaker, containers: Ids, seed: int
):
    die = Random(seed)
    chance = Chance(die, bench, containers)
    view = read_round(bench, TODAY)
    done = 0
    for _ in range(60):
        try:
            turn = die.random() < 0.2
            receipt = record.undo(bench, stamp(), "UTC") if turn else chance.act(stamp())
        except TrayroundError:
            continue
        view = after(bench, view, receipt)
        done += 1
    assert done > 20


def test_children_come_in_and_what_is_set_out_goes(bench: Store, stamp: StampMaker, containers: Ids):
    view = read_round(bench, TODAY)
    pots = [PotUp(40, containers["10 cm pot"], SHELF)]
    view = after(bench, view, shift.pot_up(bench, stamp(), TOMATO, None, pots))
    assert len(view.lines) == 4
    child = next(found for found in view.lines if found.tray_id not in (TOMATO, FLAT, KALE))
    assert (child.place, child.plants, child.age_days, child.here_days) == ("shelf", 40, 35, 0)
    view = after(bench, view, shift.set_out(bench, stamp(), KALE, None, 72))
    assert KALE not in [found.tray_id for found in view.lines]
    view = after(bench, view, record.undo(bench, stamp(), "UTC"))
    assert KALE in [found.tray_id for found in view.lines]


def test_only_the_trays_that_were_touched_are_judged_anew(bench: Store, stamp: StampMaker):
    view = read_round(bench, TODAY)
    marked = replace(view, lines=tuple(replace(found, why=("as it was",)) for found in view.lines))
    receipt = walk.mark_trays(bench, stamp(), ActKind.WATERED, [KALE])
    again = reread(bench, marked, receipt.tray_ids)
    assert {found.tray_id for found in again.lines if found.why == ("as it was",)} == {TOMATO, FLAT}
    assert line(again, KALE).seen is Today.WATERED


# Where the round was left off.


def resumes_at(store: Store) -> int | None:
    return read_round(store, TODAY).resume_place_id


def test_it_begins_at_the_first_place_that_has_a_tray(store: Store, sown: Sower):
    sown(place=SLATS)
    sown(place=FRAME)
    assert resumes_at(store) == SLATS


def test_it_stays_at_a_place_until_every_tray_there_is_seen_and_then_goes_on(
    store: Store, sown: Sower, stamp: StampMaker
):
    shelf, slats, other = sown(place=SHELF), sown(place=SLATS), sown(place=SLATS)
    sown(place=HARDENING)
    walk.mark_trays(store, stamp(), ActKind.WATERED, [slats])
    assert resumes_at(store) == SLATS
    walk.mark_trays(store, stamp(), ActKind.LOOKED, [other])
    assert resumes_at(store) == HARDENING
    walk.mark_place(store, stamp(), ActKind.LOOKED, HARDENING)
    assert resumes_at(store) == SHELF
    walk.mark_trays(store, stamp(), ActKind.LOOKED, [shelf])
    assert resumes_at(store) == SHELF


def test_a_tray_carried_off_or_newly_sown_does_not_carry_the_round_along(
    store: Store, sown: Sower, stamp: StampMaker, containers: Ids
):
    mat, other = sown(place=MAT), sown(place=MAT)
    sown(place=MAT)
    sown(place=CORNER)
    walk.mark_trays(store, stamp(), ActKind.LOOKED, [mat])
    shift.move(store, stamp(), [other], SHELF)
    assert resumes_at(store) == MAT
    sown(place=FRAME, days=0)
    assert resumes_at(store) == MAT
    growth.half_up(store, stamp(), mat)
    shift.pot_up(store, stamp(), mat, None, [PotUp(10, containers["9 cm pot"], SLATS)])
    assert resumes_at(store) == MAT


def test_what_was_taken_back_and_what_belongs_to_another_day_do_not_tell(
    store: Store, sown: Sower, stamp: StampMaker
):
    sown(place=SHELF)
    frame = sown(place=FRAME)
    walk.mark_trays(store, stamp(day=day(-1)), ActKind.LOOKED, [frame])
    assert resumes_at(store) == SHELF
    walk.mark_trays(store, stamp(), ActKind.FED, [frame])
    record.undo(store, stamp(), "UTC")
    assert resumes_at(store) == SHELF


def test_a_tray_that_is_gone_leaves_the_round_where_the_last_one_stands(
    store: Store, sown: Sower, stamp: StampMaker
):
    sown(place=SHELF)
    slats, frame = sown(place=SLATS), sown(place=FRAME)
    sown(place=SLATS)
    walk.mark_trays(store, stamp(), ActKind.LOOKED, [slats])
    shift.lose(store, stamp(), frame, None, 72, LossCause.FROST)
    assert resumes_at(store) == SLATS


# Closing.


def closed(store: Store, on: date = TODAY) -> str:
    return read_round(store, on).closed


def test_a_round_closes_in_the_words_it_was_closed_with(store: Store, sown: Sower, stamp: StampMaker):
    tray_id = sown()
    assert closed(store) == ""
    walk.close_round(store, stamp())
    assert closed(store) == "partial"
    walk.mark_trays(store, stamp(), ActKind.LOOKED, [tray_id])
    assert closed(store) == ""
    walk.close_round(store, stamp())
    assert closed(store) == "complete"
    assert closed(store, day(1)) == ""


def test_taking_back_what_came_after_closes_it_again_and_taking_back_the_closing_opens_it(
    store: Store, sown: Sower, stamp: StampMaker
):
    tray_id = sown()
    walk.close_round(store, stamp())
    walk.mark_trays(store, stamp(), ActKind.LOOKED, [tray_id])
    record.undo(store, stamp(), "UTC")
    assert closed(store) == "partial"
    record.undo(store, stamp(), "UTC")
    assert closed(store) == ""


def test_what_is_entered_for_another_day_leaves_it_closed(store: Store, sown: Sower, stamp: StampMaker):
    tray_id = sown()
    walk.close_round(store, stamp())
    walk.mark_trays(store, stamp(day=day(-1)), ActKind.WATERED, [tray_id])
    assert closed(store) == "partial"


def test_an_earlier_day_is_told_as_it_was(bench: Store, stamp: StampMaker):
    before = {line.number: (line.water_words, line.plants) for line in read_round(bench, TODAY).lines}
    walk.mark_trays(bench, stamp(today=day(3)), ActKind.WATERED, [KALE])
    shift.set_out(bench, stamp(today=day(4)), TOMATO, None, 10)
    sow.sow(bench, stamp(today=day(5)), Sow(2, SLATS, (SowPart("kale", "Sedge Blue", 10),), day(5)))
    assert {line.number: (line.water_words, line.plants) for line in read_round(bench, TODAY).lines} == before
    assert len(read_round(bench, day(5)).lines) == len(before) + 1
