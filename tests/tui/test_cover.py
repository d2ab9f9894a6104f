"""Five nights away: what runs out before, what comes in on which evening, and nothing looks fine that nobody saw."""

import json
from pathlib import Path

import pytest

from model.actions.farm import set_setting
from model.actions.opening import open_farm
from model.days import FixedClock
from model.rules.verdict import Today
from tests.tui.away_farm import BACK, LEAVING, away_farm
from tests.tui.hand import at_the_farm
from tui.__main__ import FINE, REFUSED, run
from tui.commands import COVER, TONIGHT

BLANK = "_" * 20
HARDY = (1, 2)
"""Trays that stand where they harden."""


@pytest.fixture
def away(tmp_path: Path) -> Path:
    path = tmp_path / "away.db"
    away_farm(path)
    return path


@pytest.fixture(autouse=True)
def morning(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("model.days.SystemClock", lambda: FixedClock(LEAVING))


def printed(path: Path, capsys: pytest.CaptureFixture[str], *more: str) -> str:
    assert run(["cover", str(LEAVING), str(BACK), "--db", str(path), *more]) == FINE
    return capsys.readouterr().out


def refused(path: Path, capsys: pytest.CaptureFixture[str], first: str, last: str) -> str:
    assert run(["cover", first, last, "--db", str(path)]) == REFUSED
    return capsys.readouterr().err


def days_of(sheet: str) -> dict[str, str]:
    """What the sheet says of each day, by its weekday."""
    parts = [part for part in sheet.split("\n\n") if part[:3] in {"THU", "FRI", "SAT", "SUN", "MON", "TUE"}]
    return {part[:3]: part for part in parts}


def test_the_sheet_says_what_comes_in_on_which_evening(
    away: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sheet = printed(away, capsys, "--for", "Jory")
    assert sheet.startswith("For Jory: Thu 22 Apr to Tue 27 Apr 2027\n")
    assert f"call: {BLANK}   before leaving: 3 trays, 2 sowings\n" in sheet
    assert "Bring in Sat 24, Sun 25; near the line Fri 23." in sheet
    days = days_of(sheet)
    assert list(days) == ["THU", "FRI", "SAT", "SUN", "MON", "TUE"]
    for day in ("SAT", "SUN"):
        assert "[ ] bring in H by 17:00 (line 40 °F): 1R, 2W" in days[day]
    for day in ("THU", "MON"):
        assert "[ ] H: fine tonight, stay out (line 40 °F): 1R, 2W" in days[day]
    assert "bring in by 17:00 if the evening's forecast is under 44 °F" in " ".join(days["FRI"].split())
    assert "water: look at each, morning: House, H" in days["FRI"]
    assert "fine" not in days["TUE"]
    assert max(len(row) for row in sheet.splitlines()) <= 80


def test_each_day_names_the_trays_that_run_out_on_it(away: Path, capsys: pytest.CaptureFixture[str]) -> None:
    days = days_of(printed(away, capsys))
    risks = {day: [row for row in part.splitlines() if "at risk:" in row] for day, part in days.items()}
    assert risks == {
        "THU": [],
        "FRI": [],
        "SAT": [],
        "SUN": ["  ! at risk: 3A sweet corn Amberly, House: day 17 of 20 in plug"],
        "MON": [],
        "TUE": [],
    }


def test_the_number_to_call_stands_on_it_once_it_is_set(
    away: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    store = open_farm(away)
    set_setting(store, "phone", "01632 960 001, ask for the\x1b[31m barn" * 3)
    store.close()
    sheet = printed(away, capsys)
    assert "call: 01632 960 001, ask for the[31m   before leaving: 3 trays, 2 sowings\n" in sheet
    assert BLANK in sheet.splitlines()[0], "who covers isn't named"
    assert BLANK not in sheet.splitlines()[1]
    assert max(len(row) for row in sheet.splitlines()) <= 80


def test_corn_and_sowings_are_named_before_leaving(away: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = printed(away, capsys).split("BEFORE YOU LEAVE")[1].split("THU 22 APR")[0]
    assert "sweet corn Amberly" in before
    assert "day 17 of 20 in plug, by Sun 25 Apr" in before
    assert "sow lettuce Brisk: earlier (today) or later (Tue 27 Apr)\n" in before
    assert "sow kale Quern: later (Tue 27 Apr to Fri 30 Apr)" in before


def test_the_sheet_says_when_to_call(away: Path, capsys: pytest.CaptureFixture[str]) -> None:
    head = printed(away, capsys).split("BEFORE YOU LEAVE")[0]
    for words in (
        "a place is colder than its usual night: House 57 °F",
        "a mat is cold to the hand",
        "fallen over",
        "wilted at 7 in the morning",
        "leave first, then call",
    ):
        assert words in head


def test_nights_without_a_forecast_name_the_degree_that_decides(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "away.db"
    away_farm(path, lows_f=(44, 41))
    sheet = printed(path, capsys)
    assert "no forecast for the nights of Sat 24 Apr, Sun 25 Apr, Mon 26 Apr: N f" in sheet
    assert "no forecast for this night, H: bring in if under 44 °F: 1R, 2W" in days_of(sheet)["SUN"]


def test_the_sheet_is_printed_as_json_too(away: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = json.loads(printed(away, capsys, "--json"))
    words = {day["day"]: [work["word"] for work in day["nights"]] for day in found["days"]}
    assert words["2027-04-24"] == words["2027-04-25"] == ["bring in"]
    # Kale and cabbage have had no water on record for days; corn has its day.
    assert [tray["by"] for tray in found["before"]] == ["2027-04-21", "2027-04-21", "2027-04-25"]
    assert [one["fits"]["after"]["start"] for one in found["sowings"]] == ["2027-04-27"] * 2


def test_days_that_cannot_be_are_refused_in_words(away: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = refused(away, capsys, "2027-04-25", "2027-04-23")
    assert "Fri 23 Apr is before Sun 25 Apr. Give the day of leaving, then that of coming back." in words
    words = refused(away, capsys, "2027-04-20", "2027-04-25")
    assert "Tue 20 Apr has gone by. Give a first day from Thu 22 Apr on." in words
    words = refused(away, capsys, "2027-04-22", "2027-05-14")
    assert "22 days away are too many for one sheet. Give at most 21, to Thu 13 May" in words


async def test_a_key_of_the_evening_asks_for_the_days_and_shows_the_sheet(
    away: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    async with at_the_farm(away, on=LEAVING) as hand:
        await hand.type("nEa⏎20 apr⏎")
        assert "days away are too many" in hand.refused
        await hand.press("escape")
        assert hand.where == TONIGHT
        await hand.type("a⏎27 apr⏎")
        assert hand.where == COVER
        await hand.until("Bring in Sat 24")
        assert "Bring in Sat 24, Sun 25; near the line Fri 23." in hand.shown
        for row in printed(away, capsys).splitlines()[:3]:
            assert row in hand.shown
        assert "On paper: trayround cover 2027-04-22 2027-04-27 --for NAME" in hand.shown
        await hand.press("escape")
        assert hand.where == "round"


async def test_days_nobody_marked_are_unseen_on_return_and_harden_nothing(away: Path) -> None:
    async with at_the_farm(away, on=LEAVING) as hand:
        await hand.type("n1")
        assert "day 2 of" in hand.shown
    async with at_the_farm(away, on=BACK) as hand:
        for number in HARDY:
            line = hand.line(number)
            assert line.seen is Today.UNSEEN
            assert "unseen 6 d" in line.flags
        await hand.type("n1")
        assert "day 2 of" in hand.shown
        assert "5 d nobody marked" in hand.shown
        assert hand.acts()[-1][0] != "stayed out"
        await hand.press("E")
        assert "stayed out" not in hand.shown


def test_three_weeks_away_say_for_which_nights_nothing_is_told(
    farm: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["cover", "2026-04-14", "2026-05-05", "--db", str(farm), "--on", "2026-04-14"]) == FINE
    sheet = capsys.readouterr().out
    assert "Bring in Thu 16; no forecast on" in sheet
    assert max(len(row) for row in sheet.splitlines()) <= 80
    assert "TUE 5 MAY   until they are back" in sheet


def demo_sheet(farm: Path, capsys: pytest.CaptureFixture[str], day: int) -> tuple[str, str]:
    """What is done before leaving, and the days, of five nights away from a day of April at the demo farm."""
    days = f"2026-04-{day}", f"2026-04-{day + 5}"
    assert run(["cover", *days, "--db", str(farm), "--on", days[0]]) == FINE
    _head, rest = capsys.readouterr().out.split("BEFORE YOU LEAVE")
    before, after = rest.split(f"{day} APR ", 1)
    return before, after


def test_whatever_needs_somebody_is_named_before_leaving(
    farm: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before, after = demo_sheet(farm, capsys, 14)
    assert "32D   eggplant Morrow       Corner    no water for 8 days, now" in before
    assert "46T   pepper Tavar          Mat       late up by 2 d, now" in before
    (mat,) = (part for part in before.split("[ ] ") if part.startswith("Mat: due up while"))
    assert {"58N,", "62Q,", "63V,"} <= set(mat.split())
    # Cucumber stretches within two days; nobody ticks its first up while away, so the line says what follows.
    assert "Mat: first up, then off the mat, by Thu 16 Apr: 63V" in after
    assert "Mat: first up, off the mat at half up, by Sat 18 Apr: 62Q" in after


def test_nothing_tender_starts_to_harden_in_a_week_of_cold_nights(
    farm: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before, after = demo_sheet(farm, capsys, 14)
    assert "start hardening" not in before + after
    note = " ".join(after.split()).split("Hardening waits, ")[1].split(". ")[0]
    waiting = set(note.replace(",", "").split())
    assert "35N" in waiting
    # Squash and corn aren't even due: their hardening is counted back from soil that is warm enough.
    assert not {"45E", "47R"} & waiting


def test_what_is_done_before_leaving_is_not_asked_of_the_helper_again(
    farm: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before, after = demo_sheet(farm, capsys, 14)
    assert "30F   cabbage Copse         Slats     look underneath, by Fri 17 Apr" in before
    assert not any(row.startswith("[ ]") and "look" in row and "30F" in row for row in after.splitlines())


def test_a_sowing_that_was_missed_is_named_and_two_of_a_variety_by_their_days(
    farm: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before, _ = demo_sheet(farm, capsys, 16)
    assert "sow basil Fenn: its last day was Wed 15 Apr; today, or drop it" in before
    assert run(["cover", "2026-04-14", "2026-05-05", "--db", str(farm), "--on", "2026-04-14"]) == FINE
    before = capsys.readouterr().out
    names = [row.split(":")[0] for row in before.splitlines() if row.startswith("[ ] sow")]
    assert len(names) == len(set(names))
    assert "[ ] sow lettuce Pale Ivy, for 18 May" in names


def test_free_slots_are_told_apart_from_the_names_of_mats(
    farm: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    _, after = demo_sheet(farm, capsys, 14)
    assert "Room inside for what comes in: Slats: 18, Shelf: 4, Mat: 2." in after
