"""The evening by keys: what stands outside, its line, and two keys to answer for all of it."""

import json
from datetime import timedelta
from pathlib import Path

import pytest

from model.actions.files import DEMO_MORNING
from tests.tui.hand import Hand, at_the_farm
from tests.tui.test_readings import without_forecast
from tui.__main__ import FINE, run

HARDENING = (7, 14, 18, 20, 21, 23, 25, 28)


def evening(hand: Hand) -> dict[str, str]:
    """What is proposed or answered, by label, as the screen has it."""
    rows = [row.strip() for row in hand.shown.replace("›", " ").splitlines()]
    words = ("bring in", "cover", "fine", "not known", "brought in", "covered", "stayed out")
    return {row.split()[0]: word for row in rows for word in words if row.endswith(f"  {word}")}


async def test_two_keys_answer_for_everything_outside(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n")
        since, hand.keys = hand.last_act, 0
        await hand.press("E")
        assert "Tonight's low 3 °C here: fine 14." in hand.shown
        await hand.press("enter")
        assert hand.keys == 2
        acts = hand.acts(since)
        assert {kind for kind, _, _ in acts} == {"stayed out"}
        assert {number for _, number, _ in acts} >= set(HARDENING)
        assert hand.said.startswith("tonight: stayed out 14 trays.")
        await hand.press("enter")
        assert hand.said == "Everything outside is answered for."
        await hand.press("u")
        assert "Tonight's low 3 °C here: fine 14." in hand.shown
        assert "stayed out" not in evening(hand).values()


async def test_a_frosty_night_brings_in_the_half_hardy_and_says_where_there_is_room(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("nNf-1⏎⏎E")
        found = evening(hand)
        assert found["14Z"] == found["18H"] == found["28M"] == "bring in"
        assert "Room inside: Slats 18, Shelf 4, Mat 2." in hand.shown
        await hand.type("14")
        assert "under the line with a chance of about 75 %" in hand.shown
        since = hand.last_act
        await hand.type("c")
        assert hand.acts(since) == [("covered", 14, None)]
        assert evening(hand)["14Z"] == "covered"


async def test_a_cover_at_hand_is_counted_and_warned_about(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("nNf1⏎⏎E14")
        assert evening(hand)["14Z"] == "bring in"
        await hand.type("S9")
        assert hand.asks
        await hand.type("3")
        assert evening(hand)["14Z"] == "cover"
        assert "on a clear night perhaps no help" in hand.shown


async def test_without_a_forecast_enter_answers_nothing_and_says_what_to_do(farm: Path) -> None:
    without_forecast(farm)
    async with at_the_farm(farm) as hand:
        await hand.type("n")
        since = hand.last_act
        await hand.type("E⏎")
        assert "Not known: there is no forecast. N f takes tonight's low" in hand.shown
        assert hand.said.startswith("Nothing is proposed without a fresh forecast")
        assert hand.acts(since) == []


async def test_a_day_kept_in_is_no_day_of_hardening(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n20")
        assert "day 5 of 7 hardening" in hand.shown
        await hand.type("nE20k")
        assert hand.said.startswith("kept in today: 20C.")
    tomorrow = DEMO_MORNING + timedelta(days=1)
    async with at_the_farm(farm, on=tomorrow) as hand:
        await hand.type("n20")
        assert "day 5 of 7 hardening" in hand.shown


async def test_a_day_that_was_marked_is_one(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n20l")
    async with at_the_farm(farm, on=DEMO_MORNING + timedelta(days=1)) as hand:
        await hand.type("n20")
        assert "day 6 of 7 hardening" in hand.shown
    async with at_the_farm(farm, on=DEMO_MORNING + timedelta(days=3)) as hand:
        await hand.type("n20")
        assert "day 6 of 7 hardening" in hand.shown
        assert "2 d nobody marked" in hand.shown


def test_the_command_prints_the_evening(farm: Path, capsys: pytest.CaptureFixture[str]) -> None:
    asked = ["--db", str(farm), "--on", "2026-04-14"]
    assert run(["tonight", *asked]) == FINE
    assert capsys.readouterr().out.startswith("Tonight's low 3 °C here: ")
    assert run(["tonight", "--json", *asked]) == FINE
    found = json.loads(capsys.readouterr().out)
    assert found["told"]["low_c"] == 3.0
    assert {tray["number"] for tray in found["trays"]} >= set(HARDENING)


async def test_days_outside_before_the_record_count_as_somebody_tells_them(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n22m")
        await hand.type(next(key for key in "123456789" if f" {key}  Hardening" in hand.shown))
        await hand.type("22")
        assert "day 0 of 7 hardening" in hand.shown
        since = hand.last_act
        await hand.type(".o1-7⏎o")
        assert hand.said.startswith("stood out since Tue 7 Apr: 22E.")
        assert hand.acts(since) == [("moved", 22, None), *[("stayed out", 22, None)] * 7]
        assert "day 7 of 7 hardening" in hand.shown
        await hand.type("⏎")
        assert "stayed out told 14 Apr" in hand.shown, "it says that it was told"
        await hand.type("␛u")
        assert "day 0 of 7 hardening" in hand.shown


async def test_what_cannot_have_stood_out_then_is_refused(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n22.o")
        await hand.type("1-7⏎o")
        assert "22E doesn't harden. Move it to a hardening area first (m)." in hand.said
        # 20C came to its place on the slats before it came out: further back than that it can't have stood out.
        await hand.type("20.o1-25⏎o")
        assert "20C came to another place on" in hand.said
        await hand.type(".o1today⏎o")
        assert "isn't over" in hand.said
