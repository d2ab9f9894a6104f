"""The season's memory by keys and commands: pages, verdicts, a file, a reminder, and a word found again."""

import json
from datetime import date, timedelta
from pathlib import Path

import pytest

from model.actions.files import DEMO_MORNING
from model.actions.opening import open_farm
from model.days import FixedClock
from model.store.database import Store
from model.views.notes import read_notes
from tests.a_year import QUIET, YEAR, a_year
from tests.conftest import StampMaker
from tests.tui.hand import at_the_farm
from tui.__main__ import FINE, REFUSED, run
from tui.commands import CROP_SEASON, FIRST, FOUND, SEASON, TRAY

ON = ["--on", QUIET.isoformat()]


@pytest.fixture
def year(store: Store, stamp: StampMaker, containers: dict[str, int]) -> Path:
    """A farm that has its year behind it."""
    a_year(store, stamp, containers)
    store.close()
    return store.path


async def test_a_grower_looks_back_crop_by_crop_and_says_what_to_keep(year: Path) -> None:
    async with at_the_farm(year, on=QUIET) as hand:
        await hand.type("Y")
        assert hand.where == SEASON
        assert f"Season {YEAR}: 2 sowings, 2 of 4 windows met." in hand.shown
        assert "No verdict on 2 of 2 yet" in hand.shown
        await hand.press("enter")
        assert hand.where == CROP_SEASON
        # The eight questions of a review, in one screen of 80 x 24.
        for words in (
            "18-24 May: sown 10 d early, left in time.",
            "1-7 Jun: never sown.",
            "4 tray-days too long",
            "up          Ostrel, mat: 6 (6-6) d, n 2",
            "ready       Ostrel, slats: 35 (35-35) d, n 1",
            "Ostrel, lot A1: 83% (60 of 72 cells)",
            "losses      6 of 144: damped off 6",
            "gate        never against it",
            "for nobody  1 tray: 2W",
        ):
            assert words in hand.shown, hand.shown
        await hand.type("cspares for nobody⏎one tray is enough⏎")
        assert "Change: spares for nobody / one tray is enough" in hand.shown
        await hand.press("escape")
        assert "No verdict on 1 of 2 yet" in hand.shown
        assert any(row.rstrip().endswith("change") for row in hand.shown.splitlines())
        await hand.press("u")
        assert "No verdict on 2 of 2 yet" in hand.shown
        assert hand.rows("SELECT word, lines, season, crop FROM verdict") == [
            ("change", "spares for nobody / one tray is enough", YEAR, "tomato")
        ]


async def test_pots_have_a_page_of_their_own_and_the_gate_is_told(year: Path) -> None:
    async with at_the_farm(year, on=QUIET) as hand:
        await hand.type("Y⇣⏎")
        assert "tomato in 10 cm pot, 2025: 8 plants potted up in 1 tray." in hand.shown
        assert "ready       Ostrel, frame: 21 (21-21) d, n 1 from potting up" in hand.shown
        assert "against it 1 time, 5 plants; 2 lost in 14 days" in hand.shown
        await hand.type("⇣⇣⇣")
        assert "Noted then: ice on the fleece" in hand.shown


async def test_the_page_is_written_and_another_file_is_asked_about(year: Path, tmp_path: Path) -> None:
    kept = tmp_path / "kept.txt"
    kept.write_text("mine")
    async with at_the_farm(year, on=QUIET) as hand:
        await hand.type(f"Y⏎x{kept}⏎")
        assert "yes, write over it" in hand.shown
        await hand.type("n")
        assert kept.read_text() == "mine"
        await hand.type(f"x{kept}⏎y")
        assert hand.said.startswith("The season is in ")
    told = kept.read_text(encoding="utf-8")
    assert "season 2025, as of Sat 6 Dec 2025" in told
    assert "tomato in 72-cell tray, 2025: 2 sowings in 2 trays, 144 cells." in told
    assert "10 cm pot" not in told
    assert max(len(row) for row in told.splitlines()) <= 100


async def test_the_whole_season_is_written_from_the_list(year: Path, tmp_path: Path) -> None:
    async with at_the_farm(year, on=QUIET) as hand:
        await hand.type(f"Yx{tmp_path / 'all.txt'}⏎")
    told = (tmp_path / "all.txt").read_text(encoding="utf-8")
    assert "tomato in 72-cell tray, 2025" in told
    assert "tomato in 10 cm pot, 2025" in told


async def test_the_farm_is_reminded_once_in_the_quiet_month(year: Path) -> None:
    words = f"Season {YEAR} is over: Y looks back on it, crop by crop."
    # A look at another day is no reminder, and uses none up.
    async with at_the_farm(year, clock=FixedClock(QUIET), asked=QUIET) as hand:
        assert words not in hand.shown
    async with at_the_farm(year, on=QUIET) as hand:
        assert hand.where == FIRST
        assert hand.said == words
    for later in (QUIET, QUIET + timedelta(days=40)):
        async with at_the_farm(year, on=later) as hand:
            assert words not in hand.shown


async def test_a_word_of_an_old_note_leads_to_its_tray(year: Path) -> None:
    async with at_the_farm(year, on=QUIET) as hand:
        await hand.type("/blatter⏎")
        assert hand.where == FOUND
        assert "'blatter': found 1 time in 2025." in hand.shown
        assert "2025-04-20  2W     Jory     note: Gläserne Blätter, 50% pale_green" in hand.shown
        await hand.press("enter")
        assert hand.where == TRAY
        assert "2W   tomato Ostrel" in hand.shown
        await hand.press("escape")
        assert hand.where == FOUND
        await hand.type("/bed 7⏎")
        await hand.press("enter")
        assert hand.said == "No tray stands on this line."


async def test_a_day_or_a_month_finds_what_was_written_then(year: Path) -> None:
    async with at_the_farm(year, on=QUIET) as hand:
        await hand.type("/20 apr⏎")
        assert "2025-04-20  2W     Jory     note: Gläserne Blätter" in hand.shown
        assert "2025-05-20" not in hand.shown
        await hand.type("/May 2025⏎")
        assert "2025-05-20  3A     Wren     note: ice on the fleece" in hand.shown
        assert "2025-04-20" not in hand.shown
        await hand.type("/May 2024⏎")
        assert "found 0 times" in hand.shown


async def test_a_verdict_is_found_on_the_day_that_was_asked_for_whenever_it_was_typed(year: Path) -> None:
    async with at_the_farm(year, clock=FixedClock(date(2026, 11, 26)), asked=QUIET) as hand:
        await hand.type("Y⏎kzebra⏎next⏎q/zebra⏎")
        assert "found 1 time in 2026" in hand.shown
        assert "verdict: zebra / next" in hand.shown


def test_what_is_planned_is_found_after_what_was_done(farm: Path) -> None:
    store = open_farm(farm)
    days = [one.day for one in read_notes(store, "bed", DEMO_MORNING).found if one.day]
    store.close()
    assert days[0] <= DEMO_MORNING < days[-1]
    assert [day > DEMO_MORNING for day in days] == sorted(day > DEMO_MORNING for day in days)


def test_the_season_is_printed(year: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["season", "--db", str(year), *ON]) == FINE
    listed = capsys.readouterr().out
    assert "Season 2025: 2 sowings, 2 of 4 windows met." in listed
    assert run(["season", str(YEAR), "--crop", "Tomato", "--db", str(year), *ON]) == FINE
    assert "for nobody  1 tray: 2W" in capsys.readouterr().out
    assert run(["season", "--json", "--db", str(year), *ON]) == FINE
    told = json.loads(capsys.readouterr().out)
    assert told["crops"][0]["page"]["for_nobody"] == [2]
    assert told["crops"][0]["page"]["mat"]["over"] == 4
    assert run(["season", "--crop", "leek", "--db", str(year), *ON]) == REFUSED
    assert "Name one of: tomato" in capsys.readouterr().err
    assert run(["season", "1999", "--db", str(year), *ON]) == FINE
    assert "Nothing was sown or planned in 1999." in capsys.readouterr().out


def test_a_word_is_printed_with_day_tray_and_who(year: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["notes", "FLEECE", "ice", "--db", str(year), *ON]) == FINE
    assert "2025-05-20  3A     Wren     note: ice on the fleece" in capsys.readouterr().out
    assert run(["notes", "%", "--json", "--db", str(year), *ON]) == FINE
    (only,) = json.loads(capsys.readouterr().out)["found"]
    assert (only["day"], only["number"], only["who"]) == ("2025-04-20", 2, "Jory")
    assert run(["notes", " ", "--db", str(year), *ON]) == REFUSED
