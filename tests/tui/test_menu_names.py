"""A name typed at a menu picks the answer of that name, or nothing."""

from pathlib import Path

from tests.tui.hand import at_the_farm

ON = "SELECT value FROM setting WHERE name = 'person'"


async def test_a_name_that_is_no_answer_picks_nobody(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        before = hand.rows(ON)
        await hand.type("yZebedee 1⏎1⏎")
        assert hand.asks
        assert "is none of the answers" in hand.refused
        assert hand.rows(ON) == before
        await hand.press(*["backspace"] * len("Zebedee 11"))
        assert hand.asks
        assert hand.refused == ""
        await hand.press("1")
        assert not hand.asks


async def test_who_is_on_is_picked_by_name_and_said(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("ynJory⏎yWren⏎")
        assert hand.said == "Kept: Wren is on the round."
        await hand.type("yJory⏎")
        assert hand.said == "Kept: Jory is on the round."


async def test_a_lot_is_picked_by_its_name_not_by_a_digit_of_it(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("nGpepper Tavar⏎PE-22")
        assert "Which lot of pepper Tavar?" in hand.shown
        assert hand.refused.startswith("PE-22: Enter takes PE-22")
