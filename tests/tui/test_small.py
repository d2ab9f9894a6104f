"""A window that is too small says so, and loses nothing."""

from pathlib import Path

from tests.tui.hand import at_the_farm
from tui.screens.round import RoundScreen


async def test_a_window_that_is_too_small_says_so_and_goes_on_when_it_is_larger(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.press("n", "W")
        await hand.type("46")
        await hand.pilot.resize_terminal(50, 12)
        assert "60 columns, 16 rows" in hand.shown
        await hand.pilot.resize_terminal(80, 24)
        await hand.press("enter")
        assert isinstance(hand.app.screen, RoundScreen)
        assert "left dry 46T" in hand.shown


async def test_a_window_that_is_too_small_from_the_start_says_so(farm: Path) -> None:
    async with at_the_farm(farm, size=(40, 10)) as hand:
        assert "60 columns, 16 rows" in hand.shown
