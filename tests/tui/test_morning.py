"""The morning round on the demo farm, key by key. Budgets are the grower's, not ours to move."""

from pathlib import Path

from model.rules.verdict import Today
from tests.tui.hand import Hand, at_the_farm
from tui.screens.first import FirstScreen
from tui.screens.round import RoundScreen
from tui.widgets.why import INDENT, MARGIN

ORDINARY, NOTHING_HAPPENED, PLACE_BUT_TWO, REPEAT_SOWING = 90, 32, 9, 25
"""Most keys for each, from the job's own budget."""


def numbers_at(hand: Hand, place: str) -> list[int]:
    return [line.number for line in hand.view.lines if line.place == place]


async def water_all_but(hand: Hand, *numbers: int) -> None:
    await hand.press("W")
    await hand.type(" ".join(map(str, numbers)))
    await hand.press("enter")


async def test_an_ordinary_round_of_sixty_trays_takes_ninety_keys_at_most(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        (before,) = hand.rows("SELECT max(id) FROM act")
        assert len(hand.view.lines) == 60
        await hand.press("n")
        # mat: two first hooks, one half up
        await hand.type("62 ")
        await hand.type("63 ")
        await hand.type("58 ")
        await hand.press("enter")
        await water_all_but(hand, 46)
        await hand.press("n")
        # shelf: two to thin
        await hand.type("50 ")
        await hand.type("51 ")
        await water_all_but(hand)
        await hand.press("n")
        # slats: three looks underneath, one to hardening, the bench is fed
        await hand.type("4 ")
        await hand.press("1")
        await hand.type("12 ")
        await hand.press("2")
        await hand.type("30 ")
        await hand.press("2")
        await hand.type("22 ")
        await hand.press("enter")
        await hand.press("F", "enter")
        await water_all_but(hand, 27)
        await hand.press("n")
        await water_all_but(hand)
        await hand.press("n")
        await water_all_but(hand, 28)
        await hand.press("n")
        await water_all_but(hand)
        await hand.press("z")
        assert hand.keys <= ORDINARY
        assert hand.view.unseen == 0
        assert hand.view.closed == "complete"
        assert {line.number for line in hand.view.lines if line.seen is Today.LEFT} == {46, 27, 28}
        done = [(kind, number) for kind, number, _ in hand.acts(before[0])]
        for act in [("first up", 62), ("first up", 63), ("half up", 58), ("thinned", 50), ("root look", 12)]:
            assert act in done
        assert hand.line(22).place == "Hardening"
        print("keys for the ordinary round:", hand.keys)


async def test_a_round_in_which_nothing_happened_takes_thirty_two_keys_at_most(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.press("n")
        for place in range(6):
            await hand.press("W", "enter")
            if place < 5:
                await hand.press("n")
        await hand.press("z")
        assert hand.keys <= NOTHING_HAPPENED
        assert hand.view.unseen == 0
        assert hand.view.closed == "complete"


async def test_all_of_a_place_but_two_takes_nine_keys_at_most(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.press("n")
        start = hand.keys
        await water_all_but(hand, 46, 58)
        assert hand.keys - start <= PLACE_BUT_TWO
        assert hand.line(46).seen is Today.LEFT
        assert hand.line(58).seen is Today.LEFT
        assert all(hand.line(n).seen is Today.WATERED for n in numbers_at(hand, "Mat") if n not in {46, 58})


async def test_a_repeat_sowing_takes_twenty_five_keys_at_most_and_the_next_tray_four(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.press("s")
        await hand.type("brisk")
        await hand.press("enter", "enter")
        assert hand.keys <= REPEAT_SOWING
        first = max(hand.view.lines, key=lambda line: line.tray_id)
        assert (first.crop, first.variety, first.age_days, first.label) == ("tomato", "Brisk Nine", 0, "71W")
        before = hand.keys
        await hand.press("s", "enter", "enter")
        assert hand.keys - before <= 4
        second = max(hand.view.lines, key=lambda line: line.tray_id)
        assert (second.variety, second.number) == ("Brisk Nine", 72)


async def test_the_program_opens_on_what_needs_me_first(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        assert isinstance(hand.app.screen, FirstScreen)
        await hand.type("i")
        shown = hand.app.screen.trays.lines
        assert 7 <= len(shown) <= 12
        assert [line.rank for line in shown] == sorted(line.rank for line in shown)
        assert all(len(line.why_now.split()) <= 8 for line in shown)
        for line in shown:
            assert line.label in hand.shown
            assert line.why_now[:20] in hand.shown


async def test_the_round_resumes_at_the_place_where_it_was_left(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.press("n", "W", "enter", "n", "W", "enter", "n")
        await hand.type("4")
        await hand.press("d")
    async with at_the_farm(farm) as hand:
        await hand.press("n")
        assert isinstance(hand.app.screen, RoundScreen)
        assert hand.app.screen.place is not None
        assert hand.app.screen.place.name == "Slats"
        assert hand.app.screen.line is not None
        assert hand.app.screen.line.seen is Today.UNSEEN
        assert hand.line(4).seen is Today.LEFT
        assert hand.view.unseen == 60 - 10 - 12 - 1


async def test_a_round_with_an_unseen_tray_closes_as_partial(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.press("n", "W", "enter", "z")
        assert hand.view.closed == "partial"
        assert "50 not seen" in hand.shown
        assert hand.acts()[-1] == ("round closed", None, 50)


async def test_digits_find_a_tray_anywhere(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.press("n")
        await hand.type("28")
        assert hand.app.screen.line is not None  # type: ignore[attr-defined]
        assert hand.app.screen.line.number == 28  # type: ignore[attr-defined]
        assert hand.app.screen.place.name == "Hardening"  # type: ignore[attr-defined]
        await hand.press("down")
        await hand.type("99")
        assert hand.said == "No tray 99 stands. Enter opens one that is gone."


async def test_undo_is_one_key_and_exact(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        before = hand.rows("SELECT * FROM tray_now ORDER BY tray_id")
        await hand.press("n", "W")
        await hand.type("46")
        await hand.press("enter", "u")
        assert hand.rows("SELECT * FROM tray_now ORDER BY tray_id") == before
        assert "took back: watered Mat, 9 trays; left dry 46T" in hand.shown
        await hand.press("U")
        assert hand.line(46).seen is Today.LEFT
        await hand.press("u", "u")
        assert "nothing of Wren's today to take back" in hand.shown


async def test_a_tick_leaves_the_rows_where_they_were(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.press("n", "n", "n")
        before = [line.number for line in hand.app.screen.trays.lines]  # type: ignore[attr-defined]
        await hand.press("w", "down", "w")
        assert [line.number for line in hand.app.screen.trays.lines] == before  # type: ignore[attr-defined]


async def test_when_the_plug_holds_and_the_risk_stand_in_one_row_of_eighty_columns(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        told = [
            why
            for line in hand.view.lines
            for why in line.why
            if why.startswith("holds ") and "8 in 10" in why
        ]
        assert len(told) > 20
        assert max(map(len, told)) <= 80 - 2 * MARGIN - INDENT


async def test_the_words_of_a_key_go_on_under_their_first_row(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.press("question_mark")
        rows = hand.shown.splitlines()
        at = next(i for i, row in enumerate(rows) if "what was planned and not" in row)
        assert rows[at + 1].index("done.") == rows[at].index("What to sow")
