"""The second pass by thirst: where it leads, what it says where nothing can be known, and what the tray's page tells."""

import sqlite3
from datetime import date
from pathlib import Path

from tests.tui.hand import at_the_farm
from tui.commands import ROUND, TRAY


def set_latitude(farm: Path, degrees: str) -> None:
    with sqlite3.connect(farm) as connection:
        connection.execute("INSERT OR REPLACE INTO setting VALUES ('latitude', ?)", (degrees,))


async def test_a_second_pass_lists_the_places_and_enter_goes_to_the_thirstiest(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.stand(ROUND, 46)
        since = hand.last_act
        await hand.type("M")
        assert hand.asks
        assert "1  Hardening: 1 of 8 likely dry by noon, 3 by evening   (Enter)" in hand.shown
        assert "5  Slats: 1 of 22 likely dry by evening" in hand.shown
        assert "2  Shelf: 1 of 12 likely dry by noon; 1 not known" in hand.shown
        await hand.type("⏎")
        assert (hand.where, hand.place, hand.under_hand) == (ROUND, "Hardening", 14)
        assert hand.said == "Likely dry before evening: 14Z, 7F, 25W."
        assert hand.acts(since) == []


async def test_another_place_is_a_digit_away_and_esc_stays(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.stand(ROUND, 46)
        await hand.type("M␛")
        assert (hand.place, hand.under_hand, hand.said) == ("Mat", 46, "")
        await hand.type("M5")
        assert (hand.place, hand.under_hand) == ("Slats", 22)


async def test_a_watered_place_is_not_named_again_that_morning(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.stand(ROUND, 14)
        await hand.type("W⏎M")
        assert "Hardening:" not in hand.shown
        assert "1  Shelf:" in hand.shown


async def test_many_dry_trays_are_named_up_to_a_dozen(farm: Path) -> None:
    async with at_the_farm(farm, on=date(2026, 4, 16)) as hand:
        await hand.stand(ROUND, 46)
        await hand.type("M⏎")
        assert hand.said.endswith(" and 3 more.")


async def test_without_a_latitude_it_tells_of_the_lamps_and_says_what_to_do(farm: Path) -> None:
    set_latitude(farm, "")
    async with at_the_farm(farm) as hand:
        await hand.stand(ROUND, 46)
        await hand.type("M")
        assert "Not known of 38 without a latitude: S sets it. Go where?" in hand.shown
        assert "1  Shelf:" in hand.shown
        assert "2  " not in hand.shown.split("Go where?")[1]
        await hand.type("␛W⏎n")
        await hand.type("W⏎M")
        assert not hand.asks
        assert hand.said.startswith(
            "No tray is likely dry before evening. Not known of 38 without a latitude"
        )


async def test_the_page_of_a_tray_says_by_when_it_is_likely_dry(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.stand(ROUND, 14)
        await hand.type("⏎")
        await hand.until("likely dry now")
        assert hand.where == TRAY
        await hand.type("w")
        await hand.until("watered today by Wren")
        assert "likely dry now" not in hand.shown
