"""The mat rota by keys: at once in turn, then solved while keys are done; pinned and released; and by command."""

import json
import subprocess
import sys
import threading
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from model.actions.desk import Stamp
from model.actions.files import DEMO_MORNING
from model.actions.opening import open_farm
from model.views import mat as view
from tests.targets import keep_target, without_targets
from tests.tui.hand import Hand, at_the_farm
from tui.__main__ import FINE, run
from tui.commands import MAT, ROUND
from tui.screens.mat import MatScreen

ROOT = Path(__file__).parents[2]
JUNE = date(2026, 6, 9)
WANTED = (
    ("pepper Ember", JUNE, 140),
    ("tomato Ostrel", date(2026, 5, 30), 200),
    ("lettuce Pale Ivy", date(2026, 5, 26), 100),
)


@pytest.fixture
def farm(farm: Path) -> Path:
    """The demo farm, of which nobody wants anything yet."""
    return without_targets(farm)


@pytest.fixture
def planned(farm: Path) -> Path:
    """The demo farm with three targets; pepper's is number 1."""
    store = open_farm(farm)
    for minute, (what, day, plants) in enumerate(WANTED):
        stamp = Stamp("Wren", datetime(2026, 4, 14, 6, minute, tzinfo=UTC), DEMO_MORNING)
        keep_target(store, stamp, what, day, plants=plants)
    store.close()
    return farm


async def test_the_page_says_what_is_free_who_is_first_and_that_it_is_proved(planned: Path) -> None:
    async with at_the_farm(planned) as hand:
        await hand.press("n", "O")
        assert hand.where == MAT
        await hand.until("Proved: no rota loses less")
        assert "Mat: 2 of 12 free today" in hand.shown
        assert "pepper Ember first: 5 days saved; without heat: lettuce Pale Ivy." in hand.shown
        await hand.press("escape")
        assert hand.where == ROUND


async def test_keys_are_done_while_the_rota_is_still_being_solved(
    planned: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    gate, solved = threading.Event(), view.solved

    def held(ask: view.MatAsk) -> view.MatView:
        gate.wait(60)
        return solved(ask)

    monkeypatch.setattr(view, "solved", held)
    async with at_the_farm(planned) as hand:
        await hand.press("n", "O")
        await hand.until("In turn, not proved")
        await hand.press("down", "down")
        assert "tomato" in hand.shown
        await hand.press("question_mark")
        assert "What can be done here" in hand.shown
        await hand.press("escape")
        gate.set()
        await hand.until("Proved: no rota loses less")


async def test_a_sowing_is_pinned_and_released_and_the_pin_is_taken_back(planned: Path) -> None:
    async with at_the_farm(planned, size=(100, 40)) as hand:
        await hand.press("n", "O")
        await hand.until("Proved")
        await to_line(hand, "pepper Ember")
        await hand.type("p20 apr⏎wthe class comes⏎")
        await hand.until("pinned pepper Ember for Mon 20 Apr without heat")
        assert hand.rows("SELECT target_id, day, place_id, without, reason FROM pin") == [
            (1, "2026-04-20", None, 1, "the class comes")
        ]
        await hand.until("no heat Mon 20 Apr")
        await hand.press("r")
        await hand.until("released pepper Ember")
        await hand.press("u")
        await hand.until("took back: released pepper Ember")
        await hand.until("no heat Mon 20 Apr")
        await hand.press("u")
        await hand.until("took back: pinned pepper Ember")
        assert "no heat Mon 20 Apr" not in hand.shown


async def test_a_day_outside_the_window_is_asked_about_and_a_day_gone_is_refused(planned: Path) -> None:
    async with at_the_farm(planned, size=(100, 40)) as hand:
        await hand.press("n", "O")
        await hand.until("Proved")
        await to_line(hand, "pepper Ember")
        await hand.type("p2026-04-01⏎")
        assert "Wed 1 Apr is gone" in hand.refused
        await hand.press("escape")
        await hand.type("p20 jun⏎")
        assert "outside its window" in hand.shown
        await hand.type("n")
        await hand.until("Nothing was pinned")
        assert hand.rows("SELECT count(*) FROM pin") == [(0,)]


async def test_a_tray_that_stands_can_not_be_pinned(planned: Path) -> None:
    async with at_the_farm(planned) as hand:
        await hand.press("n", "O")
        await hand.until("Proved")
        await hand.press("p")
        assert "Only a sowing to come can be pinned" in hand.said
        await hand.press("r")
        assert "Only a sowing to come can be released" in hand.said


async def test_crops_of_different_speed_in_one_flat_are_asked_about(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        before = hand.last_act
        await hand.type("nsparsley Quill+lettuce Pale Ivy⏎y")
        await hand.press(*["enter"] * 8)
        assert "Sow them in one flat all the same?" in " ".join(hand.shown.split())
        await hand.type("n")
        assert "Nothing was sown. Sow each in a flat of its own" in hand.said
        assert hand.last_act == before


async def to_line(hand: Hand, name: str) -> None:
    """Take the line of a sowing under the hand."""
    screen = hand.app.screen
    assert isinstance(screen, MatScreen)
    for _ in range(30):
        if screen.under_hand is not None and screen.under_hand.text.startswith(name):
            return
        await hand.press("down")
    raise AssertionError(f"{name} never came under the hand: {hand.shown}")


# By command.


def test_the_command_prints_the_rota_and_nothing_else(planned: Path) -> None:
    command = [sys.executable, "-m", "tui", "--db", str(planned), "--on", DEMO_MORNING.isoformat(), "mat"]
    text = subprocess.run(command, capture_output=True, text=True, check=True, cwd=ROOT)
    assert text.stdout.startswith("Mat: 2 of 12 free today")
    assert text.stderr == ""
    found = subprocess.run([*command, "--json"], capture_output=True, text=True, check=True, cwd=ROOT)
    told = json.loads(found.stdout)
    assert told["proof"] == "proved: none costs less"
    assert {sowing["name"] for sowing in told["sowings"]} == {what for what, _, _ in WANTED}
    assert found.stderr == ""


def test_a_farm_without_targets_says_where_to_plan(farm: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["--db", str(farm), "--on", DEMO_MORNING.isoformat(), "mat"]) == FINE
    assert "No sowing asks for a mat in the next weeks; A plans some." in capsys.readouterr().out
