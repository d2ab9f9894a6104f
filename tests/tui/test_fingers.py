"""What wet fingers do: Esc at a choice, the label's letter after its number, a number that leads nowhere."""

from datetime import date
from pathlib import Path

import pytest

from tests.tui.hand import at_the_farm
from tui.screens.round import RoundScreen


@pytest.mark.parametrize("key", ["r", "m", "y", "C"])
async def test_esc_leaves_a_choice_and_nothing_happened(farm: Path, key: str) -> None:
    async with at_the_farm(farm) as hand:
        before = hand.rows("SELECT count(*) FROM act")
        await hand.press("n", key, "escape")
        assert isinstance(hand.app.screen, RoundScreen)
        assert hand.rows("SELECT count(*) FROM act") == before


async def test_the_letter_on_the_label_is_read_as_such(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        before = hand.rows("SELECT count(*) FROM act")
        await hand.press("n")
        await hand.type("25W")
        assert hand.line(25).place == "Hardening"
        await hand.type("4X")
        assert "4 ends in G, not in X" in hand.shown
        await hand.press("w")
        assert hand.rows("SELECT count(*) FROM act") == before


async def test_a_number_that_leads_nowhere_swallows_the_next_key(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        before = hand.rows("SELECT count(*) FROM act")
        await hand.press("n")
        await hand.type("16")
        await hand.press("w")
        assert "nothing was done" in hand.shown
        assert hand.rows("SELECT count(*) FROM act") == before
        await hand.type("4")
        await hand.press("w")
        assert hand.acts()[-1] == ("watered", 4, None)


async def test_a_second_space_does_not_hit_the_tray_below(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.press("n", "n", "n")
        await hand.type("22")
        await hand.press("space", "enter", "space")
        assert hand.acts()[-1] == ("moved", 22, None)


async def test_undo_works_on_a_round_that_is_entered_later(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        hand.app.session.on = date(2026, 4, 13)
        await hand.press("n")
        await hand.type("4")
        await hand.press("w", "u")
        assert "took back: watered 4G" in hand.shown
