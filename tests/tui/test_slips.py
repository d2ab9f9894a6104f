"""Slips of the finger that used to enter something: a number that leads nowhere, and a cut where nothing is to be cut."""

from pathlib import Path

import pytest

from tests.tui.hand import at_the_farm
from tui.commands import COLD, ROUND, TRAY


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
