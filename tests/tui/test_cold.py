"""A cold spell, opened by its key: hardy crops go first, tender ones are ranked, and each rescue says what it takes."""

import json
import re
from datetime import timedelta
from pathlib import Path

import pytest

from model.actions.farm import set_setting
from model.days import FixedClock
from model.store.database import open_store
from tests.tui.cold_farm import MORNING, cold_farm
from tests.tui.hand import Hand, at_the_farm
from tui.__main__ import run
from tui.commands import COLD


@pytest.fixture
def cold(tmp_path: Path) -> Path:
    path = tmp_path / "cold.db"
    cold_farm(path)
    return path


def rows_of(hand: Hand) -> list[str]:
    """Crop of each line, from the top down."""
    found = re.findall(r"^\s+\d+[A-Z] (.+?)\s{2,}.*(?:GO|WAIT|UNKNOWN) ", hand.shown, re.M)
    return list(dict.fromkeys(found))


async def test_the_third_cold_day_ranks_who_is_rescued_and_sends_the_hardy_out_first(cold: Path) -> None:
    async with at_the_farm(cold, on=MORNING) as hand:
        await hand.type("nZ")
        assert hand.where == COLD
        assert "lettuce and kale are GO: setting them out frees 5 slots." in hand.shown
        assert "WAIT for the others: soil 52 °F, lows from 36 °F in 8 nights." in hand.shown
        assert rows_of(hand) == ["lettuce", "kale", "sweet corn", "cucumber", "tomato"]
        assert "Rescue in this order: sweet corn, then cucumber, then tomato." in hand.shown
        assert "72 pots, 37 L mix, 5 slots" in hand.shown
        assert not re.search(r"\d ?%", hand.shown)
        assert "yield" not in hand.shown


async def test_why_names_the_lines_that_are_missed_and_the_last_day_of_a_new_sowing(cold: Path) -> None:
    async with at_the_farm(cold, on=MORNING) as hand:
        await hand.type("nZ1")
        assert "soil 52 °F of 60 °F" in hand.shown
        assert "low of 36 °F 14 Apr, line 45 °F" in hand.shown
        assert "useful until Mon 4 May" in hand.shown


async def test_enter_shows_every_way_side_by_side_and_goes_back(cold: Path) -> None:
    async with at_the_farm(cold, on=MORNING) as hand:
        await hand.type("nZ1⏎")
        for words in (
            *("cooler place", "Cool bench", "outside in light", "Yard; frost nights in"),
            *("72 x 10 cm pot, about 37 L mix, about 5 slots", "a night under 45 °F: nearly certain"),
            *("last useful day Mon 4 May", "Waiting buys no GO"),
        ):
            assert words in hand.shown
        assert not re.search(r"\d ?%", hand.shown)
        await hand.type("⇣⇣")
        assert "In hand: 60 pots, 50 L of mix" in hand.shown
        await hand.type("⏎")
        assert "Rescue in this order" in hand.shown


async def test_without_a_plan_it_says_which_key_sets_the_last_day(tmp_path: Path) -> None:
    path = tmp_path / "cold.db"
    cold_farm(path, planned=False)
    async with at_the_farm(path, on=MORNING) as hand:
        await hand.type("nZ1")
        assert "Resow: no last day of setting out on record, A plans one." in hand.shown


def test_the_command_prints_what_the_screen_shows(
    cold: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("model.days.SystemClock", lambda: FixedClock(MORNING))
    assert run(["cold", "--db", str(cold), "--on", MORNING.isoformat()]) == 0
    printed = capsys.readouterr().out
    assert "lettuce and kale are GO: setting them out frees 5 slots." in printed
    assert run(["cold", "--db", str(cold), "--on", MORNING.isoformat(), "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["slots_freed"] == len([line for line in found["lines"] if line["word"] == "GO"]) == 5
    assert next(line["resow_until"] for line in found["lines"] if line["crop"] == "tomato") == "2026-05-04"


async def test_a_colder_spot_counts_in_every_night_and_chance(cold: Path) -> None:
    store = open_store(cold)
    set_setting(store, "offset_c", "5f")
    store.close()
    async with at_the_farm(cold, on=MORNING) as hand:
        await hand.type("nZ")
        # Told are 36 °F: 31 °F here, under the lettuce's line of 32 °F and over the kale's of 28 °F.
        assert "kale is GO: setting it out frees 2 slots." in hand.shown
        assert "soil 52 °F, lows from 31 °F in 8 nights." in hand.shown
        await hand.type("1⏎⇣⇣⇣")
        assert "a night under 45 °F: nearly certain" in hand.shown
        # 31 °F in four days, off by 4.24 °F, under a fabric that counts for 3.6 °F: 0.61 spreads above freezing, 27 %.
        assert "Under 32 °F, worst on Sat 18 Apr: about 3 in 10." in hand.shown


async def test_a_forecast_older_than_a_day_makes_no_crop_go(cold: Path) -> None:
    async with at_the_farm(cold, on=MORNING + timedelta(days=2)) as hand:
        await hand.type("nZ")
        assert "Nothing is GO today." in hand.shown
        assert "UNKNOWN: lettuce and kale" in hand.shown
