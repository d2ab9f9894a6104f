"""The forecast on the screen: looks worth taking, what if, and the farm's own timings, key by key."""

import sqlite3
from pathlib import Path

import pytest

from model.errors import StoreTrouble
from model.rules.verdict import Today
from model.views.needs import MOST, looks_worth_taking, needs
from model.views.outlook import reckon
from tests.tui.hand import at_the_farm
from tui.commands import ROUND, TRAY
from tui.screens.first import NEW_ORDER, FirstScreen


async def test_each_morning_names_the_few_looks_that_tell_most(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        worth = looks_worth_taking(hand.view)
        assert 1 <= len(worth) <= 3
        assert hand.said.startswith("A look at roots tells most today: ")
        assert all(line.label in hand.said for line in worth)


async def test_the_forecast_of_the_day_moves_no_row_until_the_list_is_asked_for_anew(
    farm: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with at_the_farm(farm) as hand:
        opened, fresh = hand.listed, [line.number for line in needs(hand.view)][:MOST]
        assert opened != fresh, "the crop file alone told before"
        assert set(opened) == set(fresh)
        assert hand.under_hand == opened[0]
        assert NEW_ORDER not in hand.said, "nobody else needs somebody"
        await hand.type("⇣⇣i")
        assert (hand.listed, hand.under_hand) == (fresh, fresh[0])
        screen = hand.app.screen
        assert isinstance(screen, FirstScreen)
        other = tuple(reversed(hand.view.lines))
        monkeypatch.setattr("tui.screens.first.needs", lambda view: other)
        await hand.type("⇣⇣")
        await screen.show_forecast()
        assert (hand.listed, hand.under_hand) == (fresh, fresh[2])
        assert hand.said.startswith(NEW_ORDER)
        await hand.type("i")
        assert set(hand.listed) == {line.number for line in other[:MOST]}


async def test_what_if_moves_the_three_days_and_enters_nothing(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.stand(TRAY, 30)
        since = hand.last_act
        await hand.type("Vt6c⏎⏎")
        cold = hand.said
        assert "ready 17 Apr \u2192 " in cold
        assert "only thought of" in cold
        assert "what if" in hand.shown
        await hand.type("Vc1⏎")
        assert "root-bound" in hand.said
        assert hand.said != cold
        await hand.type("Vp␛")
        assert hand.last_act == since


async def test_what_if_of_seed_says_that_there_is_nothing_to_think_of_yet(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.stand(TRAY, 46)
        await hand.type("Vp1⏎")
        assert hand.said.startswith("Nothing here fills a cell with roots yet")


async def test_own_timings_hold_only_once_the_grower_says_so(farm: Path) -> None:
    async with at_the_farm(farm, size=(100, 40)) as hand:
        before = hand.line(57).fill
        await hand.press("T")
        await hand.until("left out: ")
        assert "days to up" in hand.shown
        await hand.press("a")
        options = hand.shown
        key = next(line.split()[0] for line in options.splitlines() if "spinach, only 2 trays" in line)
        await hand.type(f"{key}y")
        await hand.until("yours")
        assert hand.rows("SELECT crop, used FROM timing") == [("spinach", 1)]
        await hand.press("escape")
        assert hand.line(57).fill != before
        assert any("yours, 2 trays" in why for why in hand.line(57).why)


async def test_the_tray_says_how_many_should_be_up_and_what_was_counted(farm: Path) -> None:
    async with at_the_farm(farm, size=(120, 40)) as hand:
        await hand.stand(TRAY, 58)
        assert "cells up by now" in hand.shown
        await hand.type("e41⏎")
        await hand.until("41 counted")


async def test_seed_that_heat_harms_is_not_sown_there_without_a_word(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        since = hand.last_act
        await hand.type("sspinach Fresh⏎y⏎⏎⏎⏎1⏎⏎")
        assert "spinach makes only" in hand.shown
        await hand.type("n2")
        assert hand.acts(since)[0][0] == "sown"
        assert max(hand.view.lines, key=lambda line: line.tray_id).place != "Mat"


async def test_two_entries_in_a_row_are_both_reckoned(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.stand(ROUND, 30)
        await hand.type("r2")
        await hand.stand(ROUND, 34)
        await hand.type("r2")
        session = hand.app.session
        await hand.app.workers.wait_for_complete()
        await hand.pilot.pause()
        fresh = reckon(session.store, session.today).outlooks
        assert session.outlooks is not None
        assert {k: o.ready for k, o in session.outlooks.items()} == {k: o.ready for k, o in fresh.items()}


async def test_what_another_window_enters_is_still_news_after_a_forecast(farm: Path) -> None:
    async with at_the_farm(farm) as here, at_the_farm(farm) as there:
        await here.type("n46w")
        await there.type("n58w")
        await here.app.session.refine((46,))
        assert await here.app.session.news()


async def test_a_locked_record_is_said_on_the_timings_page(farm: Path) -> None:
    async with at_the_farm(farm, size=(100, 40)) as hand:
        await hand.press("T")
        await hand.until("days to up")
        await hand.press("a")
        key = next(
            line.split()[0] for line in hand.shown.splitlines() if "spinach" in line and "tray" in line
        )
        with sqlite3.connect(farm, isolation_level=None) as other:
            other.execute("BEGIN EXCLUSIVE")
            await hand.type(f"{key}y")
            await hand.until("try once more")
            other.execute("ROLLBACK")


async def test_reopening_shows_what_the_last_look_taught(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.stand(ROUND, 30)
        await hand.type("r3")
        await hand.app.workers.wait_for_complete()
    with sqlite3.connect(farm) as connection:
        ((looks,),) = connection.execute(
            "SELECT json_extract(facts, '$.looks') FROM outlook JOIN sowing ON sowing.id = sowing_id "
            "JOIN tray ON tray.id = tray_id WHERE number = 30"
        ).fetchall()
    assert looks == 3


async def test_news_is_shown_even_while_it_can_not_be_forecast(
    farm: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    async def refuse() -> None:
        raise StoreTrouble("The record is busy.", "Try once more.")

    async with at_the_farm(farm) as here, at_the_farm(farm) as there:
        await here.stand(ROUND, 46)
        await there.type("n46w")
        monkeypatch.setattr(here.app.session, "forecast", refuse)
        await here.app._news()
        assert here.app.screen.line.seen is Today.WATERED  # type: ignore[attr-defined]
