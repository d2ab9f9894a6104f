"""What hands have to know before they touch a tray is told wherever they are told what to do: at the gate, on paper,
on the sheet for an absence and to whoever stands in. What stands in quarantine stays there."""

from datetime import timedelta
from pathlib import Path

import pytest

from model.actions import health
from model.actions.desk import Stamp
from model.actions.farm import keep_place
from model.actions.files import DEMO_MORNING
from model.actions.shift import move
from model.days import FixedClock
from model.facts import Place, PlaceKind
from model.rules.verdict import Task
from model.store import reading
from model.store.database import open_store
from tests.tui.hand import Hand, at_the_farm
from tui.__main__ import FINE, run

NOW = FixedClock(DEMO_MORNING).now()
PAK_CHOI = 25
"""A tray that hardens and is GO once mild nights are told."""
MILD = "Nf6 6 7 7 8⏎⏎"
SICK = "looked sick Mon 13 Apr: last, wash hands"
TOUCH = "don't touch until Tue 14 Apr 19:30, label"
"""Sprayed at 7:30 by the farm's clock, twelve hours on the label."""


def stamp(days: int = 0) -> Stamp:
    return Stamp("Wren", NOW + timedelta(days=days), DEMO_MORNING + timedelta(days=days))


def tray_of(path: Path, number: int) -> int:
    store = open_store(path)
    with store.reading() as rows:
        found = next(tray.id for tray in reading.trays_numbered(rows, number) if tray.standing)
    store.close()
    return found


@pytest.fixture
def sick(farm: Path) -> Path:
    """Pak choi that looked sick yesterday."""
    tray, store = tray_of(farm, PAK_CHOI), open_store(farm)
    health.looked_sick(store, stamp(-1), tray, "spots")
    store.close()
    return farm


@pytest.fixture
def sprayed(farm: Path) -> Path:
    tray, store = tray_of(farm, PAK_CHOI), open_store(farm)
    health.spray(store, stamp(), [tray], "soap", 5, 12)
    store.close()
    return farm


@pytest.fixture
def apart(farm: Path) -> Path:
    """The same pak choi in quarantine."""
    tray, store = tray_of(farm, PAK_CHOI), open_store(farm)
    keep_place(store, Place(0, "Apart", PlaceKind.QUARANTINE, 9, 4, 12.0, 20.0))
    with store.reading() as rows:
        place = next(spot.id for spot in reading.places(rows) if spot.name == "Apart")
    move(store, stamp(), [tray], place)
    store.close()
    return farm


def flat(hand: Hand) -> str:
    return " ".join(hand.shown.split())


def away(path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> str:
    monkeypatch.setattr("model.days.SystemClock", lambda: FixedClock(DEMO_MORNING))
    back = DEMO_MORNING + timedelta(days=3)
    assert run(["cover", str(DEMO_MORNING), str(back), "--db", str(path)]) == FINE
    return capsys.readouterr().out


# Sick.


async def test_a_sick_tray_is_marked_at_the_gate_and_goes_out_knowingly(sick: Path) -> None:
    async with at_the_farm(sick) as hand:
        await hand.type(f"ng{MILD}25")
        assert f"GO today: pak choi Low Bell (118, {SICK})." in flat(hand)
        row = next(row for row in hand.shown.splitlines() if row.startswith("›"))
        assert " sick; nothing" in row
        assert SICK in flat(hand).split(" sick; nothing")[1]


async def test_a_sick_tray_is_marked_on_the_round_and_on_the_sheet(
    sick: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    async with at_the_farm(sick) as hand:
        await hand.type("n25W")
        assert SICK in flat(hand)
        await hand.type("Q25")
        assert next(row for row in hand.shown.splitlines() if row.startswith("›")).rstrip().endswith(" sick")
    assert run(["sheet", "--db", str(sick), "--on", str(DEMO_MORNING)]) == FINE
    printed = capsys.readouterr().out
    row = next(row for row in printed.splitlines() if " 25" in row and "pak choi" in row)
    assert row.endswith(" sick _______________")
    assert len(row) <= 80
    assert f"25W: {SICK}." in printed.replace("\n", " ")


async def test_whoever_stands_in_reads_it_at_the_place_and_in_the_line(sick: Path) -> None:
    async with at_the_farm(sick, helper="Pip") as hand:
        await hand.type("25")
        assert f"25W: {SICK}." in flat(hand)
        assert "looked sick: last; feel it, wash hands" in hand.shown


def test_the_sheet_for_an_absence_says_it_before_all_else(
    sick: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    printed = away(sick, capsys, monkeypatch)
    (row,) = [row for row in printed.splitlines() if "looked sick" in row]
    assert row.strip().startswith("! Hardening, 25W: ")
    assert row.endswith(SICK)
    assert printed.index("looked sick") < printed.index("BEFORE YOU LEAVE")


def test_a_farm_without_a_sick_tray_says_nothing_of_it(
    farm: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert "TAKE CARE" not in away(farm, capsys, monkeypatch)


# Quarantine.


async def test_what_stands_in_quarantine_waits_at_the_gate_and_is_told_to_harden_nowhere(apart: Path) -> None:
    async with at_the_farm(apart) as hand:
        due = {task.task for task in hand.line(PAK_CHOI).due}
        assert not due & {Task.HARDEN, Task.SET_OUT, Task.POT_UP}
        await hand.type(f"ng{MILD}25")
        row = next(row for row in hand.shown.splitlines() if row.startswith("›"))
        assert row[1:].split()[:1] == ["WAIT"]
        assert "unknown in quarantine" in row
        assert "kept apart in Apart: neither set out nor handed over until it is moved out" in flat(hand)


async def test_quarantine_is_told_to_be_the_last_stop_on_the_walk(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("PnApart⏎74⏎⏎⏎")
        assert "Which stop on the walk?" in hand.shown
        assert "quarantine last; Enter takes 7" in hand.shown


async def test_what_stands_in_quarantine_is_not_set_out_by_any_key(apart: Path) -> None:
    async with at_the_farm(apart) as hand:
        since = hand.last_act
        await hand.type("n25o")
        assert not hand.asks
        assert "stands in Apart: quarantine stock is not set out. Move it out once it is clean." in hand.said
        assert hand.acts(since) == []


async def test_what_stands_in_quarantine_is_named_for_no_rescue(apart: Path) -> None:
    async with at_the_farm(apart) as hand:
        await hand.type("nZ")
        assert "pak choi" not in hand.shown
        await hand.type("␛25Wm4")
        assert hand.line(PAK_CHOI).place == "Frame"
        await hand.type("Z")
        assert "pak choi" in hand.shown


# Sprayed.


async def test_the_label_is_asked_for_its_hours_and_the_round_says_until_when(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        since = hand.last_act
        await hand.type("n25.p")
        if "Sprayed what?" in hand.shown:
            await hand.type("1")
        await hand.type("soap⏎5⏎")
        assert "From the label: hours before anyone handles them?" in hand.shown
        await hand.type("12⏎")
        assert hand.said.startswith("sprayed with soap, 5 days, hands off for 12 hours: 25W")
        assert hand.rows("SELECT count, field, new FROM act WHERE id > ?", since) == [(5, "hours", "12")]
        assert TOUCH in flat(hand)
        assert "hands off" in hand.line(PAK_CHOI).flags
        await hand.type("+")
        assert "Don't touch it until Tue 14 Apr 19:30, by the label." in flat(hand)
        await hand.type("␛u")
        assert TOUCH not in flat(hand)


async def test_whoever_stands_in_is_told_not_to_touch_it(sprayed: Path) -> None:
    async with at_the_farm(sprayed, helper="Pip") as hand:
        await hand.type("25")
        assert f"25W: {TOUCH}." in flat(hand)
        assert "don't touch: sprayed, see above" in hand.shown


async def test_the_gate_and_the_sheets_say_it_too_until_its_day_is_over(
    sprayed: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    async with at_the_farm(sprayed) as hand:
        await hand.type("ng25")
        assert TOUCH in flat(hand)
    assert TOUCH in away(sprayed, capsys, monkeypatch)
    for day, there in ((DEMO_MORNING, True), (DEMO_MORNING + timedelta(days=1), False)):
        assert run(["sheet", "--db", str(sprayed), "--on", str(day)]) == FINE
        assert (TOUCH in capsys.readouterr().out.replace("\n", " ")) is there


async def test_gate_and_sheet_say_in_the_same_few_words_what_two_reasons_ask(
    sprayed: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    tray, store = tray_of(sprayed, PAK_CHOI), open_store(sprayed)
    health.looked_sick(store, stamp(), tray, "spots")
    store.close()
    async with at_the_farm(sprayed) as hand:
        await hand.type("ng25")
        row = next(row for row in hand.shown.splitlines() if row.startswith("›"))
        assert "don't touch; sick; " in row
    assert run(["sheet", "--db", str(sprayed), "--on", str(DEMO_MORNING)]) == FINE
    row = next(row for row in capsys.readouterr().out.splitlines() if " 25" in row and "pak choi" in row)
    assert " don't touch, sick __" in row
    assert len(row) == 80


def test_hours_on_a_label_beyond_ten_days_are_refused(farm: Path) -> None:
    tray, store = tray_of(farm, PAK_CHOI), open_store(farm)
    with pytest.raises(Exception, match="241 is no interval. Give the label's hours, 0 to 240"):
        health.spray(store, stamp(), [tray], "soap", 5, 241)
    store.close()


async def test_enter_moves_what_looks_sick_to_quarantine_and_nowhere_warm(apart: Path) -> None:
    async with at_the_farm(apart) as hand:
        await hand.type("n46.sspots⏎m")
        assert next(row for row in hand.shown.splitlines() if "(Enter)" in row).split()[1] == "Apart"
        assert "Corner   2 of 4 slots taken" in hand.shown, "there is a holding corner too"
        await hand.type("⏎")
        assert hand.line(46).place == "Apart"


HELD = "don't touch until Fri 17 Apr 7:30, label"


@pytest.fixture
def held(farm: Path) -> Path:
    """The same pak choi sprayed with what forbids hands for three days."""
    tray, store = tray_of(farm, PAK_CHOI), open_store(farm)
    health.spray(store, stamp(), [tray], "soap", 5, 72)
    store.close()
    return farm


async def test_the_gate_waits_for_a_label_and_every_page_that_tells_days_follows(
    held: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    async with at_the_farm(held) as hand:
        await hand.type(f"ng{MILD}25")
        row = next(row for row in hand.shown.splitlines() if row.startswith("›"))
        assert row[1:].split()[0] == "WAIT"
        assert row.rstrip().endswith("17 Apr  don't touch")
        assert f"NO: {HELD}" in flat(hand)
        assert "pak choi Low Bell (118" not in flat(hand)
    assert run(["calendar", "--db", str(held), "--on", str(DEMO_MORNING)]) == FINE
    events = capsys.readouterr().out.replace("\r\n ", "").split("BEGIN:VEVENT")
    (event,) = [event for event in events if "SUMMARY:set out 25W pak choi" in event]
    assert "DTSTART;VALUE=DATE:20260417" in event


async def test_setting_out_against_a_label_asks_why_and_keeps_it(held: Path) -> None:
    async with at_the_farm(held) as hand:
        since = hand.last_act
        await hand.type("nNf6 6 7 7 8⏎⏎25Wo5")
        assert f"The gate says WAIT: {HELD}." in flat(hand)
        await hand.type("⏎bed 3⏎")
        assert f"The gate says WAIT: {HELD}. Why go all the same?" in flat(hand)
        await hand.type("gloves on⏎")
        kept = hand.rows("SELECT text FROM act WHERE id > ? AND kind = 'against the gate'", since)
        assert kept == [(f"WAIT: {HELD}. gloves on",)]
