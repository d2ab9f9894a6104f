"""What wet fingers do: Esc at a choice, the label's letter after its number, a number that leads nowhere."""

from asyncio import to_thread
from datetime import date
from pathlib import Path

import pytest
from textual.app import ComposeResult
from textual.screen import Screen
from textual.widgets import Input

from tests.tui.hand import at_the_farm, key_event
from tui.keys import KeysInOrder
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


async def test_a_key_that_was_on_its_way_before_the_field_had_the_focus_is_typed_into_it(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("na")
        hand.app.screen.post_message(key_event("/"))
        await hand.type("tmp")
        assert hand.app.screen.query_one(Input).value == "/tmp"


class _Late(Screen[None]):
    """A screen that takes its time to come up."""

    AUTO_FOCUS = ""

    def compose(self) -> ComposeResult:
        yield Input()

    async def on_mount(self) -> None:
        for _ in range(9):
            await to_thread(int)
        self.query_one(Input).focus()


class _Early(Screen[None]):
    """A screen that any key ends."""

    def on_key(self) -> None:
        self.dismiss(None)


class _Behind(Screen[None]):
    """A screen that opens another once the first has gone."""

    def on_mount(self) -> None:
        self.app.push_screen(_Early(), self._then)

    async def _then(self, _gone: None) -> None:
        for _ in range(9):
            await to_thread(int)
        self.app.push_screen(_Late())


class _Screens(KeysInOrder[None]):
    def on_mount(self) -> None:
        self.push_screen(_Behind())


async def test_what_is_typed_ahead_of_a_screen_that_comes_late_is_typed_there() -> None:
    app = _Screens()
    async with app.run_test() as pilot:
        for key in "xyz":
            app.post_message(key_event(key))
        await pilot.pause()
        while app.busy:
            await pilot.pause()
        assert app.screen.query_one(Input).value == "yz"
