"""A likely answer stands in the line before anything is typed: it looks otherwise than what is typed, and a word says it."""

from pathlib import Path

import pytest
from textual.color import Color
from textual.widgets import Input

from model.actions.farm import set_setting
from model.store.database import open_store
from tests.tui.hand import Hand, at_the_farm
from tui.themes import DARK_TOKENS, LIGHT_TOKENS
from tui.words import ASCII, UNICODE, Signs

HOW_MANY = "n22⏎p"
"""Asks how many plants are potted up; all 66 are likely."""


def colour(hand: Hand) -> Color:
    """In which colour the second sign of the line is drawn; where nothing is typed the cursor stands on the first."""
    line = hand.app.screen.query_one(Input)
    ((sign, *_),) = (row.crop(2) for row in line.render_lines(line.region.reset_offset))
    assert sign.text.startswith("6")
    assert sign.style
    assert sign.style.color
    return Color.from_rich_color(sign.style.color)


def prompt_row(hand: Hand) -> int:
    return next(at for at, row in enumerate(hand.shown.splitlines()) if "Pot up how many" in row)


@pytest.mark.parametrize("signs", [UNICODE, ASCII], ids=["blocks", "ascii"])
@pytest.mark.parametrize(("theme", "tokens"), [("dark", DARK_TOKENS), ("light", LIGHT_TOKENS)])
async def test_a_likely_answer_is_quieter_than_a_typed_one_and_the_hint_names_it(
    farm: Path, signs: Signs, theme: str, tokens: dict[str, str]
) -> None:
    store = open_store(farm)
    set_setting(store, "theme", theme)
    store.close()
    async with at_the_farm(farm, signs=signs) as hand:
        await hand.type(HOW_MANY)
        assert "66 are left; Enter takes 66" in hand.shown
        assert colour(hand) == Color.parse(tokens["quiet"])
        at = prompt_row(hand)
        await hand.type("66")
        assert "Enter takes" not in hand.shown
        assert prompt_row(hand) == at
        assert colour(hand) == Color.parse(tokens["ink"])


async def test_a_hint_that_says_what_enter_does_says_it_once(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("nW")
        assert hand.shown.count("Enter") == 1
