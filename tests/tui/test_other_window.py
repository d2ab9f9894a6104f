"""What another window enters while this one stands open: no key hits what it wasn't meant for."""

from datetime import UTC, datetime
from pathlib import Path

import pytest

from model.actions import record
from model.actions.desk import Stamp
from model.actions.files import DEMO_MORNING
from model.actions.opening import open_farm
from model.actions.shift import retire
from tests.tui.hand import Hand, at_the_farm
from tui.commands import ROUND, TRAY
from tui.screens.tray import TrayScreen


def jory(uid: str) -> Stamp:
    return Stamp("Jory", datetime(2026, 4, 14, 6, 45, tzinfo=UTC), DEMO_MORNING, uid)


async def retired_elsewhere(hand: Hand, number: int) -> None:
    """Another window retires a tray, and this one hears of it."""
    other = open_farm(hand.app.session.path)
    retire(other, jory(f"gone {number}"), hand.line(number).tray_id, None, hand.line(number).plants)
    other.close()
    await hand.app._news()


@pytest.mark.parametrize("keys", ["w", "E", " ", "⏎", "X"])
async def test_a_key_meant_for_a_tray_that_went_hits_no_other(farm: Path, keys: str) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n22")
        plants = hand.line(22).plants
        await retired_elsewhere(hand, 22)
        assert hand.said == f'22E is gone: another window entered "retired {plants}", Jory.'
        since = hand.last_act
        await hand.type(keys)
        assert hand.said == "22E is gone, so nothing was done."
        assert (hand.where, hand.asks, hand.acts(since)) == (ROUND, False, [])
        under = hand.under_hand
        await hand.type("w")
        assert hand.acts(since) == [("watered", under, None)]


async def test_after_a_tray_went_a_number_is_found_as_ever(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n4")
        await retired_elsewhere(hand, 4)
        since = hand.last_act
        await hand.type("6w")
        assert hand.acts(since) == [("watered", 46, None)]


async def test_the_second_key_after_a_refusal_hits_no_other_tray(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n46")
        other = open_farm(farm)
        retire(other, jory("gone"), hand.line(46).tray_id, None, 72)
        other.close()
        since = hand.last_act
        await hand.type("wl")
        assert hand.acts(since) == []


async def test_a_tray_that_was_retired_here_is_missed_by_no_key(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n25WXy")
        since = hand.last_act
        await hand.type("w")
        assert [act[0] for act in hand.acts(since)] == ["watered"]


async def sown_elsewhere_and_opened_here(hand: Hand) -> None:
    await hand.type("sbrisk⏎⏎71⏎")
    assert (hand.where, hand.under_hand) == (TRAY, 71)


async def taken_back_elsewhere(hand: Hand) -> None:
    other = open_farm(hand.app.session.path)
    stamp = Stamp("Wren", datetime(2026, 4, 14, 6, 45, tzinfo=UTC), DEMO_MORNING, "back")
    record.undo(other, stamp, "UTC")
    other.close()
    await hand.app._news()


@pytest.mark.parametrize(("end", "acts"), [("␛", []), ("oft stems⏎", [])], ids=["left with Esc", "answered"])
async def test_a_question_stays_while_its_tray_is_taken_back(
    farm: Path, end: str, acts: list[tuple[object, ...]]
) -> None:
    async with at_the_farm(farm) as hand:
        await sown_elsewhere_and_opened_here(hand)
        await hand.type("as")
        await taken_back_elsewhere(hand)
        assert (hand.asks, hand.typed) == (True, "s")
        since = hand.last_act
        await hand.type(end)
        await hand.pilot.pause()
        assert hand.where not in {TRAY, ""}
        assert hand.said == "71W is gone: it was taken back."
        assert hand.acts(since) == acts


async def test_a_page_whose_tray_is_taken_back_closes_and_says_so(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await sown_elsewhere_and_opened_here(hand)
        await taken_back_elsewhere(hand)
        await hand.pilot.pause()
        assert hand.where not in {TRAY, ""}
        assert hand.said == "71W is gone: it was taken back."


async def test_what_a_page_has_to_say_after_it_was_left_is_said_by_the_screen_in_front(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.stand(TRAY, 46)
        page = hand.app.screen
        assert isinstance(page, TrayScreen)
        await hand.press("q")
        page.say("That tray isn't on record.", bad=True)
        assert (hand.where, hand.said) == (ROUND, "That tray isn't on record.")
