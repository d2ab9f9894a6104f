"""Slips of the finger that used to enter something: a number that leads nowhere, and a cut where nothing is to be cut."""

import re
from pathlib import Path

import pytest

from tests.tui.hand import at_the_farm
from tui.commands import COLD, PLAN, ROUND, TRAY


@pytest.mark.parametrize("where", [ROUND, TRAY])
async def test_a_number_that_leads_nowhere_puts_the_hand_back_where_it_was(farm: Path, where: str) -> None:
    async with at_the_farm(farm) as hand:
        await hand.stand(where, 46)
        await hand.type("72")
        assert "No tray 72 stands" in hand.said
        assert hand.under_hand == 46
        await hand.press("enter")
        assert "No tray 72A was ever on record" in hand.said
        assert (hand.where, hand.under_hand) == (where, 46)
        before = hand.last_act
        await hand.type("w")
        assert hand.acts(before) == [("watered", 46, None)]


async def test_from_the_first_screen_too_the_hand_is_back_on_its_tray(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        at_first = hand.under_hand
        assert at_first not in (None, 7)
        await hand.type("72⏎")
        assert hand.under_hand == at_first


async def test_on_a_page_the_hand_stays_on_its_line(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("nE⇣⇣")
        here = hand.app.screen.under_hand  # type: ignore[attr-defined]
        await hand.type("72")
        assert "No tray 72 is listed here." in hand.said
        assert hand.app.screen.under_hand == here  # type: ignore[attr-defined]
        assert hand.where != COLD


async def test_a_cut_is_asked_about_where_nothing_is_grown_to_be_cut(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        before = hand.last_act
        await hand.type("n7c")
        assert "isn't grown to be cut. Enter a cut of 7F" in " ".join(hand.shown.split())
        await hand.press("enter")
        assert "Nothing was entered." in hand.said
        assert hand.last_act == before
        await hand.type("cy")
        assert hand.acts(before) == [("cut", 7, None)]


async def test_a_second_cut_of_one_day_is_asked_about(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        before = hand.last_act
        await hand.type("n27c2c2")
        assert "It was cut today already." in hand.shown
        await hand.press("enter")
        assert hand.acts(before) == [("cut", 27, None)]


async def test_esc_from_the_sowing_session_leads_back_to_the_plan(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("nAl")
        assert "sowing session" in hand.shown
        await hand.press("escape")
        assert hand.where == PLAN
        assert "crop and variety" in hand.shown
        await hand.press("escape")
        assert hand.where == ROUND


async def test_what_was_said_before_a_page_was_opened_is_not_said_again_after_it(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("Nf4⏎⏎")
        assert "u takes it back" in hand.said
        await hand.type("E␛")
        assert hand.said == ""


async def test_seeds_of_a_flat_are_typed_as_one_sows_them(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("nskale sedge blue⏎c")
        found = re.search(r"(\S)  open flat", hand.shown)
        assert found, hand.shown
        await hand.type(f"{found[1]}12⏎300⏎-⏎1⏎⏎y")
        ((cells, each),) = hand.rows("SELECT cells, seeds_per_cell FROM sowing ORDER BY id DESC LIMIT 1")
        assert (cells, each) == (12, 25), hand.shown


async def test_a_lot_that_is_kept_is_told_with_what_its_test_leaves_open(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("nGtomato Ostrel⏎npkt 9⏎2025⏎8 10⏎⏎")
        while hand.asks:
            await hand.type("n" if "Is the seed treated?" in hand.shown else "-⏎")
        # Exact 95 % limits of 8 of 10: 44 to 97 % (statistical tables of Clopper and Pearson).
        assert "8 of 10 came up: somewhere 44-97 %" in hand.said
