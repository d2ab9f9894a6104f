"""Backspace with nothing typed goes one question back, and what was answered before stays."""

from pathlib import Path

from tests.tui.hand import at_the_farm
from tui.commands import ROUND


async def test_a_slip_early_in_a_long_question_is_mended_without_typing_the_rest_again(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("PnHoop⏎4")
        assert "Hoop" in hand.shown
        assert "Backspace goes one back" in hand.shown
        await hand.type("⌫")
        await hand.type("⌫")
        assert hand.typed == "Hoop"
        await hand.type("Tunnel⏎430⏎15⏎25⏎⏎")
        assert hand.rows("SELECT name, kind, low_c, high_c FROM place WHERE name IN ('Hoop', 'Tunnel')") == [
            ("Tunnel", "cold frame", 15.0, 25.0)
        ]


async def test_a_choice_that_was_wrong_is_chosen_again_and_only_the_last_answer_is_kept(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        since = hand.last_act
        await hand.type("n43x1⏎")
        first = hand.shown
        await hand.type("⌫")
        assert hand.shown != first
        await hand.type("2⏎3")
        assert [(kind, count) for kind, _, count in hand.acts(since)] == [("lost", 2)]


async def test_a_finger_that_stays_on_backspace_goes_back_no_question(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("PnHoop⏎430⏎20⌫⌫⌫⌫⌫⌫")
        assert hand.typed == ""
        await hand.type("16⏎25⏎⏎")
        assert hand.rows("SELECT low_c FROM place WHERE name = 'Hoop'") == [(16.0,)]


async def test_what_was_answered_before_is_gone_back_over_without_deleting_it(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("PnHoop⏎430⏎20⌫⌫␛PnHoop⏎430⏎⌫⌫⌫")
        assert hand.typed == "Hoop"
        await hand.type("⌫")
        await hand.type("␛")
        assert not hand.asks


async def test_the_last_letter_of_an_earlier_answer_is_mended(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("PnHoop⏎430⏎20⏎⌫")
        await hand.press("end", "backspace")
        assert hand.typed == "2"
        await hand.type("1⏎25⏎⏎")
        assert hand.rows("SELECT low_c FROM place WHERE name = 'Hoop'") == [(21.0,)]


async def test_what_is_typed_over_an_earlier_answer_is_deleted_letter_by_letter(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("PnHoop⏎430⏎20⏎⌫1⌫⌫")
        assert hand.typed == ""
        await hand.type("16⏎25⏎⏎")
        assert hand.rows("SELECT low_c FROM place WHERE name = 'Hoop'") == [(16.0,)]


async def test_escape_still_leaves_at_once(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n43x2⏎␛")
        assert hand.where == ROUND


async def test_a_name_that_a_place_has_is_refused_before_the_other_questions(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("Pnslats⏎")
        assert hand.refused.startswith("There is a slats already.")
        assert hand.typed == "slats"
