"""Interrupted at any moment, the round goes on where it was; and past midnight it is a new one."""

from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from model.rules.verdict import Today
from tests.tui.hand import at_the_farm
from tui.commands import FIRST, ROUND


class MovableClock:
    """A clock that stands until it is moved."""

    def __init__(self, now: datetime) -> None:
        self.at = now

    def now(self) -> datetime:
        return self.at


@pytest.mark.parametrize(
    ("before", "place"),
    [
        ("n", "Mat"),
        ("n46l", "Mat"),
        ("nW⏎", "Shelf"),
        ("nW⏎nW⏎n4d", "Slats"),
        ("n28w", "Hardening"),
        ("n41lW46", "Corner"),
        ("n46l12r2", "Slats"),
    ],
)
async def test_a_round_that_was_broken_off_goes_on_at_the_first_unseen_tray_of_its_place(
    farm: Path, before: str, place: str
) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type(before)
        seen = {line.number for line in hand.view.lines if line.seen is not Today.UNSEEN}
    async with at_the_farm(farm) as hand:
        assert {line.number for line in hand.view.lines if line.seen is not Today.UNSEEN} == seen
        await hand.type("n")
        unseen = [number for number in hand.listed if number not in seen]
        assert (hand.place, hand.under_hand) == (place, unseen[0])
        assert hand.view.closed == ""


async def test_a_question_that_was_open_leaves_nothing_behind(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n12p20⏎8⏎30⏎")
        assert hand.asks
        since = hand.last_act
    async with at_the_farm(farm) as hand:
        assert hand.acts(since) == []
        assert hand.view.unseen == 60


async def test_what_was_entered_before_the_break_can_be_taken_back_after_it(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("nW46⏎")
    async with at_the_farm(farm) as hand:
        await hand.type("u")
        assert hand.said.startswith("took back: watered Mat, 9 trays; left dry 46T")
        assert hand.view.unseen == 60


async def test_a_screen_left_open_overnight_shows_the_new_day(farm: Path) -> None:
    clock = MovableClock(datetime(2026, 4, 14, 21, 0, tzinfo=UTC))
    async with at_the_farm(farm, clock=clock) as hand:
        await hand.type("nW⏎z")
        assert (hand.view.unseen, hand.view.closed) == (50, "partial")
        # A quarter past eleven in the evening in Greenwich is a quarter past midnight on the farm, in summer time.
        clock.at += timedelta(hours=2, minutes=15)
        await hand.app._news()
        await hand.pilot.pause()
        assert (hand.where, hand.place) == (ROUND, "Mat")
        assert "Wed 15 Apr" in hand.shown
        assert "not seen 60 of 60" in hand.shown
        assert (hand.view.on, hand.view.closed) == (date(2026, 4, 15), "")
        assert hand.line(46).age_days == 16
        since = hand.last_act
        await hand.type("46w")
        assert hand.rows("SELECT day FROM act WHERE id > ?", since) == [("2026-04-15",)]


@pytest.mark.parametrize("keys", ["", "n46⏎", "nW46", "n?"])
async def test_midnight_comes_on_any_screen(farm: Path, keys: str) -> None:
    clock = MovableClock(datetime(2026, 4, 14, 21, 0, tzinfo=UTC))
    async with at_the_farm(farm, clock=clock) as hand:
        await hand.type(keys)
        clock.at += timedelta(days=1)
        await hand.app._news()
        await hand.type("⏎" if hand.asks else "␛" if hand.where == "" else "")
        assert hand.view.on == date(2026, 4, 15)
        await hand.type("w")
        assert {day for (day,) in hand.rows("SELECT day FROM act ORDER BY id DESC LIMIT 1")} == {"2026-04-15"}


async def test_before_midnight_nothing_is_read_anew(farm: Path) -> None:
    clock = MovableClock(datetime(2026, 4, 14, 6, 0, tzinfo=UTC))
    async with at_the_farm(farm, clock=clock) as hand:
        view = hand.view
        clock.at += timedelta(hours=12)
        await hand.app._news()
        assert hand.view is view
        assert hand.where == FIRST
