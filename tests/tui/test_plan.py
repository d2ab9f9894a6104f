"""The plan by its keys: what is wanted is added, sown, changed and dropped, and the screen says what to sow when."""

import sqlite3
from datetime import date
from pathlib import Path

import pytest

from model.actions.opening import open_farm
from model.actions.outlook import agree
from model.days import FixedClock
from model.rules.planning import DaysBack
from model.rules.verdict import Knows
from model.views.answer import as_text
from model.views.plan import answer, read
from tests.builders import TODAY
from tests.tui.hand import Hand, at_the_farm
from tui.commands import PLAN
from tui.screens.plan import PlanScreen

NOW = FixedClock(TODAY).now()
CLASS = "abrisk⏎24⏎12 may⏎c1⏎⏎⏎"
"""24 plants of Brisk Nine at their first true leaf for a class on Tuesday 12 May, on the shelf."""
LETTUCE = "apale ivy⏎96⏎week of 18 may⏎⏎⏎3"
"""Lettuce for the week of 18 May, on the slats."""


@pytest.fixture
def bare(farm: Path) -> Path:
    """The demo farm with nothing planned."""
    with sqlite3.connect(farm) as connection:
        connection.execute("UPDATE sowing SET target_id = NULL")
        for table in ("pin", "target"):
            connection.execute(f"DELETE FROM {table}")
    return farm


def plan_of(hand: Hand) -> PlanScreen:
    screen = hand.app.screen
    assert isinstance(screen, PlanScreen), hand.shown
    return screen


def held(hand: Hand) -> list[tuple[object, ...]]:
    return hand.rows("SELECT plants, purpose, first_day, last_day, stage FROM target ORDER BY id")


async def test_an_empty_plan_says_how_to_begin(bare: Path) -> None:
    async with at_the_farm(bare) as hand:
        await hand.type("nA")
        assert hand.where == PLAN
        assert "Nothing is planned.  a adds what you want" in hand.shown


async def test_a_class_is_sown_in_two_sets_three_days_to_either_side(bare: Path) -> None:
    async with at_the_farm(bare) as hand:
        await hand.type("nA" + CLASS)
        assert held(hand) == [(24, "class", "2026-05-12", "2026-05-12", "first true leaf")]
        assert "tomato Brisk Nine    25 Apr-1 May" in hand.shown
        assert "7 d to first true leaf, 7 d on Mat" in hand.shown
        assert "half on Sat 25 Apr and Fri 1 May; label: class 12 May, not edible" in hand.shown
        await hand.type("cs1⏎")
        assert "34 cells, 34 seeds" in hand.shown
        assert "17 of 20 up (62-97 %), 9 in 10 sure" in hand.shown


async def test_another_sowing_that_takes_the_shelf_is_told(bare: Path) -> None:
    async with at_the_farm(bare) as hand:
        await hand.type("nA" + CLASS)
        await hand.type("aostrel⏎900⏎week of 22 june⏎⏎⏎2n⏎")
        assert "Shelf: over by" in hand.shown
        first = plan_of(hand).answered.answer[-1]  # type: ignore[union-attr]
        assert "Brisk Nine" in first
        assert "Ostrel" in first


async def test_a_succession_is_one_entry_and_keeps_its_gaps_when_one_slips(bare: Path) -> None:
    async with at_the_farm(bare) as hand:
        await hand.type("nA" + LETTUCE + "14x3⏎")
        assert [row[2] for row in held(hand)] == ["2026-05-18", "2026-06-01", "2026-06-15"]
        await hand.type("cw20 may⏎")
        ones = plan_of(hand).view.planned  # type: ignore[union-attr]
        assert [str(one.target.first_day) for one in ones] == ["2026-05-20", "2026-06-01", "2026-06-15"]
        await hand.type("uu")
        assert "Nothing is planned." in hand.shown


async def test_a_set_sown_early_is_asked_about_and_enter_sows_nothing(bare: Path) -> None:
    async with at_the_farm(bare) as hand:
        await hand.type("nA" + CLASS + "⏎")
        before, shown = hand.last_act, " ".join(hand.shown.split())
        assert "This set's day is Sat 25 Apr, in 11 days. Sown today: first true leaf 28 Apr" in shown
        await hand.type("⏎")
        assert "Nothing was sown. Sow it from Sat 25 Apr on." in hand.said
        assert hand.last_act == before
        assert plan_of(hand).view.planned[0].left == 2  # type: ignore[union-attr]


async def test_enter_sows_one_set_on_the_mat_and_the_other_waits_for_its_day(bare: Path) -> None:
    async with at_the_farm(bare) as hand:
        await hand.type("nA" + CLASS)
    async with at_the_farm(bare, on=date(2026, 4, 25)) as hand:
        await hand.type("nA⏎y")
        ((target, cells, place),) = hand.rows(
            "SELECT target_id, cells, place.name FROM sowing JOIN tray ON tray.id = tray_id "
            "JOIN place ON place.id = place_id ORDER BY sowing.id DESC LIMIT 1"
        )
        assert [target] == [row[0] for row in hand.rows("SELECT id FROM target")]
        one = plan_of(hand).view.planned[0]  # type: ignore[union-attr]
        assert (one.cells, cells, one.left, len(one.sown)) == (26, 13, 1, 1)
        assert place == "Mat"
        assert "13 cells left, 26 seeds" in hand.shown
        await hand.type("⏎")
        assert "This set's day is Fri 1 May, in 6 days." in " ".join(hand.shown.split())
        await hand.type("yy")
        one = plan_of(hand).view.planned[0]  # type: ignore[union-attr]
        assert (one.left, one.sown_cells) == (0, 26)
        assert "All is sown that can be counted back." in hand.shown
        await hand.type("u")
        assert plan_of(hand).view.planned[0].left == 1  # type: ignore[union-attr]


async def test_a_line_that_is_sown_is_not_sown_twice_by_a_second_enter(bare: Path) -> None:
    async with at_the_farm(bare) as hand:
        await hand.type("nA" + CLASS + "⏎yy⏎yy")
        before = hand.last_act
        await hand.type("⏎")
        assert "That line is sown already. Change its plants with c" in hand.said
        assert hand.last_act == before


async def test_a_missed_line_says_what_sowing_it_today_would_give(bare: Path) -> None:
    async with at_the_farm(bare) as hand:
        await hand.type("nAapale ivy⏎96⏎4 may⏎⏎⏎3⏎")
        shown = " ".join(hand.shown.split())
        assert "Planned and not sown: lettuce Pale Ivy." in shown
        # 4 May less 33 to 40 d at the slats was the first of April at the latest; today and as many days is 17-24 May.
        assert "its last day was Wed 1 Apr; sown today: ready 17-24 May, 13-20 d late" in shown
        await hand.type("⏎")
        assert "sown today: ready 17-24 May, 13-20 d late." in " ".join(hand.shown.split())


async def test_a_day_of_this_year_that_has_gone_by_is_asked_about(bare: Path) -> None:
    async with at_the_farm(bare) as hand:
        await hand.type("nAapale ivy⏎96⏎1 apr⏎")
        assert "1 Apr has gone by this year. Thu 1 Apr 2027?" in hand.shown
        await hand.type("⏎")
        assert "Wanted when?" in hand.shown
        await hand.type("1 apr⏎y")
        while hand.asks:
            await hand.press("enter")
        assert held(hand) == [(96, "set out", "2027-04-01", "2027-04-01", "")]
        assert "96 on 1 Apr 2027" in hand.shown


async def test_a_line_half_sown_says_what_is_left_of_it(bare: Path) -> None:
    async with at_the_farm(bare) as hand:
        await hand.type("nAatavar⏎80⏎week of 15 june⏎⏎⏎2⏎n⏎")
        one = plan_of(hand).view.planned[0]  # type: ignore[union-attr]
        assert one.trays > 1
        await hand.type("⏎y" if one.opens <= TODAY else "⏎yy")
        assert f"{one.cells - 72} cells left, " in hand.shown


async def test_a_line_without_a_place_goes_by_published_weeks_and_says_it_takes_no_slot(bare: Path) -> None:
    async with at_the_farm(bare) as hand:
        await hand.type("nAapale ivy⏎96⏎week of 18 may⏎⏎⏎-⏎")
        assert "6-26 Apr" in hand.shown
        assert "Lines without a place aren't counted" in hand.shown


async def test_the_plan_fits_the_smallest_screen_and_a_wide_one(bare: Path) -> None:
    for size in ((80, 24), (120, 40)):
        async with at_the_farm(bare, size=size) as hand:
            await hand.type("nA" + LETTUCE + "⏎")
            rows = hand.shown.splitlines()
            assert len(rows) == size[1]
            assert any(row.rstrip().endswith("96 from Mon 18 May") for row in rows)


async def test_a_changed_line_keeps_what_was_sown_for_it(bare: Path) -> None:
    async with at_the_farm(bare) as hand:
        await hand.type("nA" + CLASS + "⏎yycb⏎")
        await hand.type("cbroom 2⏎")
        assert len(plan_of(hand).view.planned[0].sown) == 1  # type: ignore[union-attr]


async def test_a_dropped_line_is_gone_and_undo_brings_it_back(bare: Path) -> None:
    async with at_the_farm(bare) as hand:
        await hand.type("nA" + CLASS + "xy")
        assert "Nothing is planned." in hand.shown
        await hand.type("u")
        assert "tomato Brisk Nine" in hand.shown


async def test_what_should_be_sown_already_stands_first(bare: Path) -> None:
    async with at_the_farm(bare) as hand:
        await hand.type("nA" + CLASS + "atavar⏎60⏎week of 18 may⏎⏎⏎2⏎n⏎")
        assert "Planned and not sown: pepper Tavar." in hand.shown
        assert plan_of(hand).answered.lines[0].text.startswith("missed pepper Tavar")  # type: ignore[union-attr]


async def test_a_lot_that_nobody_tested_gives_a_guess_and_no_surety(bare: Path) -> None:
    async with at_the_farm(bare) as hand:
        await hand.type("nA" + LETTUCE + "⏎")
        assert "guess 80%, lot untested: test it (G)" in hand.shown
        assert "sure" not in hand.shown


async def test_more_plants_than_the_place_holds_says_what_to_do(bare: Path) -> None:
    async with at_the_farm(bare) as hand:
        await hand.type("nAapale ivy⏎9000⏎week of 18 may⏎⏎⏎3⏎")
        assert "are more than Slats holds (40): smaller cells, or in turns" in hand.shown


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ("abrisk⏎24⏎2026-04-01⏎", "Wed 1 Apr has gone by. Type a day from today on."),
        ("abrisk⏎24⏎someday⏎", "is no day or week to come. Type it like 12 may"),
        ("abrisk⏎0⏎", "1"),
        ("abrisk⏎24⏎12 may⏎⏎⏎⏎⏎often⏎", "says no turns. Type it like 14 x 3"),
    ],
)
async def test_what_cannot_be_is_refused_with_what_to_do(bare: Path, keys: str, words: str) -> None:
    async with at_the_farm(bare) as hand:
        await hand.type("nA" + keys)
        assert words in hand.refused.replace("\n", " ")
        await hand.press("escape")
        assert held(hand) == []


async def test_the_sowing_session_lists_depth_labels_and_mix(bare: Path) -> None:
    async with at_the_farm(bare) as hand:
        await hand.type("nAatavar⏎60⏎week of 18 may⏎⏎⏎2⏎n⏎l")
        assert "L of mix ahead, write the labels first." in hand.shown
        assert "mm deep" in hand.shown
        assert "label 71" in hand.shown
        assert "pepper Tavar, sown Tue 14 Apr" in hand.shown
        await hand.type("l")
        assert "crop and variety" in hand.shown


def test_growth_that_is_to_hold_as_it_is_here_enters_the_windows_and_is_told(farm: Path) -> None:
    def kale() -> DaysBack:
        return next(one.days for one in read(store, TODAY, NOW).planned if one.target.crop == "kale")

    store = open_farm(farm)
    try:
        before = kale()
        agree(store, "kale", True, TODAY)
        after, text = kale(), as_text(answer(read(store, TODAY, NOW)))
    finally:
        store.close()
    # Kale grew 1.08 times as fast here in the one tray that teaches: it is sown some days later.
    assert (before.growing.lo, before.growing.knows) == (25, Knows.DEFAULT)
    assert (after.growing.lo, after.growing.knows) == (23, Knows.YOURS)
    assert "yours, 1 tray, at Slats: 36-45 d; published 5-7 weeks: 4-24 May" in text


def test_a_dead_lot_is_told_and_the_rest_of_the_plan_still_opens(farm: Path) -> None:
    with sqlite3.connect(farm) as connection:
        connection.execute("UPDATE lot SET tested_seeds = 20, tested_up = 0 WHERE name = 'KA-25'")
    store = open_farm(farm)
    try:
        text = as_text(answer(read(store, TODAY, NOW)))
    finally:
        store.close()
    assert "0 of 20 up: take another lot" in text
    assert "cucumber Ponty" in text


async def test_the_command_prints_what_the_screen_says(bare: Path) -> None:
    async with at_the_farm(bare) as hand:
        await hand.type("nA" + CLASS)
        shown, now = plan_of(hand).answered, hand.app.session.clock.now()
    store = open_farm(bare)
    try:
        assert shown is not None
        assert as_text(answer(read(store, TODAY, now))) == as_text(shown)
    finally:
        store.close()
