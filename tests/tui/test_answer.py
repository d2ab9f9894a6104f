"""A page that answers one question: the answer first, the hand on a line, its why below."""

from pathlib import Path

from model.views.answer import Answer, AnswerLine
from tests.tui.hand import Hand, at_the_farm
from tui.commands import PLAN, bindings_of
from tui.screens.answer import MOVES, AnswerScreen
from tui.words import ASCII


class Toy(AnswerScreen):
    """Forty lines about trays."""

    WHERE = PLAN
    BINDINGS = [*bindings_of(PLAN), *MOVES]
    lines = 40

    async def read(self) -> Answer:
        return Answer(
            "toy",
            ("Sow the kale today.",),
            tuple(
                AnswerLine(f"line {n}   ▁▃█", (f"because of {n}",), "ready" if n == 1 else "", n, n)
                for n in range(1, self.lines + 1)
            ),
            "what   when",
            ("a note at the end",),
        )


async def opened(hand: Hand) -> Toy:
    page = Toy(hand.app.session, hand.app.signs)
    await hand.app.push_screen(page)
    await hand.pilot.pause()
    return page


async def test_the_answer_stands_first_and_the_why_of_the_line_under_the_hand_below(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await opened(hand)
        rows = [row.strip() for row in hand.shown.splitlines()]
        assert rows[0].endswith("toy")
        assert rows[1] == "Sow the kale today."
        assert rows[3:5] == ["what   when", "›line 1   ▁▃█"]
        assert "because of 1" in hand.shown
        await hand.press("down", "down")
        assert "because of 3" in hand.shown
        await hand.press("up")
        assert "because of 2" in hand.shown


async def test_the_hand_goes_on_where_the_screen_ends_and_comes_back_to_the_answer(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await opened(hand)
        await hand.press(*["down"] * 39)
        await hand.pilot.pause()
        assert "line 40" in hand.shown
        assert "because of 40" in hand.shown
        await hand.press("down", "down", "down")
        await hand.pilot.pause()
        assert "a note at the end" in hand.shown
        await hand.press(*["up"] * 39)
        await hand.pilot.pause()
        assert "Sow the kale today." in hand.shown


async def test_digits_find_the_line_of_a_tray_and_say_where_there_is_none(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        page = await opened(hand)
        await hand.type("27")
        assert page.under_hand is not None
        assert page.under_hand.number == 27
        await hand.press("escape")
        await opened(hand)
        await hand.type("8")
        await hand.type("8")
        assert hand.said == "No tray 88 is listed here."


async def test_the_hand_stays_on_the_same_thing_when_lines_come_and_go(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        page = await opened(hand)
        await hand.type("27")
        page.lines = 30
        await page.show_again()
        assert page.under_hand is not None
        assert page.under_hand.key == 27
        page.lines = 3
        await page.show_again()
        assert page.under_hand is not None
        assert page.under_hand.key == 3


async def test_plain_signs_draw_plain_strips(farm: Path) -> None:
    async with at_the_farm(farm, signs=ASCII) as hand:
        await opened(hand)
        assert "line 1   .-#" in hand.shown


async def test_escape_leads_back_to_the_round(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n")
        where = hand.where
        await opened(hand)
        await hand.press("escape")
        assert hand.where == where
