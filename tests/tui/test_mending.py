"""Numbers that were misread, and what is put right: each is checked where it is asked."""

from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from model.actions import growth
from model.actions.desk import Stamp
from model.actions.files import DEMO_MORNING
from model.actions.opening import open_farm
from tests.tui.hand import Hand, at_the_farm
from tui.commands import ROUND, TRAY


async def on_the_round(hand: Hand, number: int) -> int:
    """Stand at a tray on the round; the newest act so far."""
    await hand.stand(ROUND, number)
    return hand.last_act


# Numbers.


async def test_a_capital_after_a_number_says_how_to_do_what_it_does(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        since = await on_the_round(hand, 12)
        await hand.type("12C")
        assert hand.said == "12 ends in N, not in C. Nothing was done; Enter, then C: correct."
        await hand.type("⏎C")
        assert hand.asks
        await hand.type("␛q22Xy")
        assert hand.said == "The letter was wrong, so nothing was done. Type the number again."
        await hand.type("12W")
        assert hand.said.endswith("Nothing was done; Esc, then W: water all.")
        assert hand.acts(since) == []
        await hand.type("␛W⏎")
        assert hand.said.startswith("watered Slats, 22 trays")


async def test_a_tray_that_is_gone_is_opened_by_its_whole_label(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await on_the_round(hand, 25)
        await hand.type("Xy25W")
        assert hand.said == "No tray 25W stands. Enter opens one that is gone."
        await hand.press("enter")
        assert (hand.where, hand.under_hand) == (TRAY, 25)
        await hand.type("q25Ww")
        assert hand.said == "No tray 25 stands, so nothing was done. Type the number again."


async def test_a_number_longer_than_any_tray_has_is_refused_with_its_digits(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n123456")
        assert hand.said == "No tray 12345 stands. Enter opens one that is gone."
        await hand.press("enter")
        assert hand.said.startswith("'12345' is no tray number.")


# Seed lots.


def lot_row(hand: Hand, name: str) -> list[tuple[object, ...]]:
    return hand.rows(
        "SELECT packet.packed_year, packet.tested_seeds, packet.tested_up, packet.tested_on, packet.treated FROM packet "
        "JOIN lot ON lot.id = lot_id WHERE name = ? ORDER BY packet.id",
        name,
    )


NEW_LOT = "Gtomato Ostrel⏎n"


async def test_a_new_lot_under_a_name_that_is_on_record_keeps_its_test_and_mark(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type(f"{NEW_LOT}pkt 9⏎2025⏎17 of 20⏎-4⏎⏎y")
        kept = [(2025, 20, 17, "2026-04-10", "yes")]
        assert lot_row(hand, "pkt 9") == kept
        await hand.type(f"{NEW_LOT}pkt 9⏎⏎⏎⏎⏎⏎")
        assert not hand.asks, hand.shown
        assert hand.said == "pkt 9 is on record like that. Nothing needs to be done."
        assert lot_row(hand, "pkt 9") == kept
        await hand.type("Gtomato Ostrel⏎1⏎")
        await hand.type("18/20⏎⏎⏎⏎")
        assert lot_row(hand, "pkt 9") == [*kept, (None, 20, 18, "2026-04-14", None)]


async def test_a_test_stands_among_the_days_entries_and_u_takes_it_back(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type(f"n{NEW_LOT}pkt 9⏎2025⏎17 of 20⏎-4⏎25c⏎n")
        assert hand.said.startswith(
            "seed lot pkt 9 of tomato Ostrel: packed 2025, 17 of 20 came up: somewhere 62-97 %"
        )
        await hand.type("j")
        assert "Wren                  seed lot pkt 9 of tomato Ostrel: packed 2025" in hand.shown
        await hand.type("␛u")
        assert hand.said.startswith("took back: seed lot pkt 9 of tomato Ostrel")
        await hand.type("Gtomato Ostrel⏎")
        assert "pkt 9" not in hand.shown


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("11 of 10", "11 of 10 seeds can't have come up. First how many came up"),
        ("80 %", "'80 %' is no test. Type it like 8 of 10 or 8/10; 0 for no test."),
        ("10", "'10' is no test."),
        ("0/0", "0 of 0 seeds can't have come up."),
    ],
)
async def test_a_test_that_can_not_be_is_refused_where_it_is_typed(
    farm: Path, typed: str, words: str
) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type(f"{NEW_LOT}pkt 9⏎2025⏎")
        await hand.type(f"{typed}⏎")
        assert hand.refused.startswith(words)


async def test_a_year_that_can_not_be_is_refused_where_it_is_typed(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type(f"{NEW_LOT}pkt 9⏎26⏎")
        assert hand.refused.startswith("26 is no year of a packet. Give a year from 1950 to 2027.")
        await hand.type("␛")
        await hand.type(f"{NEW_LOT}pkt 9⏎0⏎17 of 20⏎15apr2026⏎")
        assert hand.refused.startswith("That test is still to come.")


async def test_the_lots_of_one_variety_are_listed_under_the_name_of_its_crop(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("Gpak choi Rill⏎ywinter⏎⏎⏎⏎Gtomato Ostrel⏎nother⏎⏎⏎⏎Gpak choi Rill⏎")
        assert "Which lot of pak choi Rill?" in hand.shown
        assert "winter" in hand.shown
        assert "other" not in hand.shown


# An earlier day.


async def test_the_round_of_an_earlier_day_is_walked_and_closed_as_it_was(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await on_the_round(hand, 25)
        await hand.type("Xy46m2")
    async with at_the_farm(farm, asked=date(2026, 4, 13)) as hand:
        standing = len(hand.view.lines)
        since = await on_the_round(hand, 25)
        await hand.type("w")
        assert hand.acts(since) == [("watered", 25, None)]
        await hand.type("46TW⏎")
        assert ("watered", 46, None) in hand.acts(since)
        unseen = hand.view.unseen
        await hand.type("z")
        assert 0 < unseen < standing
        assert hand.acts()[-1] == ("round closed", None, unseen)
        await hand.type("25W⏎")
        assert "gone since" not in hand.shown


# The record.


async def test_a_score_is_put_right_by_picking_a_look_or_a_touch(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await on_the_round(hand, 12)
        other = open_farm(farm)
        at = Stamp("Wren", datetime(2026, 4, 14, 6, tzinfo=UTC), DEMO_MORNING)
        growth.finger(other, at, hand.line(12).tray_id, 0)
        other.close()
        await hand.type("C5r")
        assert "just moist" in hand.shown
        since = hand.last_act
        await hand.type("9")
        assert hand.refused.startswith("'9' is none of the answers.")
        await hand.type("⌫2")
        assert hand.rows("SELECT field, old, new FROM act WHERE id > ?", since) == [("score", "0", "2")]
        await hand.type("C")
        assert "finger test 2, wet (was 0)" in hand.shown
        await hand.type("9r")
        assert "holds together" in hand.shown


async def test_the_count_of_a_loss_is_not_put_right_to_none(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await on_the_round(hand, 12)
        await hand.type("x3⏎2C5c0⏎")
        assert hand.refused.startswith("0 can't be.")


async def test_what_was_sown_again_in_a_potted_up_tray_is_put_right_there(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await on_the_round(hand, 12)
        await hand.type("p60⏎8⏎⏎⏎n71")
        assert hand.under_hand == 71
        await hand.type("C")
        assert "cells" not in hand.shown
        await hand.type("␛R6⏎⏎⏎")
        since = hand.last_act
        await hand.type("C25⏎")
        assert hand.rows("SELECT field, old, new FROM act WHERE id > ?", since) == [("cells", "6", "5")]


async def test_what_is_on_record_is_named_as_it_is_said(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await on_the_round(hand, 12)
        await hand.type("C4pak choi Rill⏎")
        assert "is pak choi Rill." in hand.said
        await hand.type("C4")
        assert "on record as pak choi Rill" in hand.shown
