"""The calendar as a command and from the plan: where it goes, what it never writes over unasked."""

from pathlib import Path

import icalendar
import pytest

from model.actions.files import DEMO_MORNING
from tests.tui.hand import at_the_farm
from tui.__main__ import FINE, REFUSED, run

ON = ["--on", DEMO_MORNING.isoformat()]
Printed = pytest.CaptureFixture[str]


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))


def titles(data: bytes) -> list[str]:
    return [str(event["SUMMARY"]) for event in icalendar.Calendar.from_ical(data).events]


def test_the_command_writes_a_file_once_and_over_it_only_when_told(
    farm: Path, tmp_path: Path, capsys: Printed
) -> None:
    out = tmp_path / "days.ics"
    command = ["calendar", str(out), "--db", str(farm), *ON]
    assert run(command) == FINE
    first = out.read_bytes()
    assert "set out 25W pak choi Low Bell" in titles(first)
    assert capsys.readouterr().out == f"Wrote 60 events, and 7 struck out, to {out}.\n"
    assert len(titles(first)) == 67
    out.write_bytes(b"mine")
    assert run(command) == REFUSED
    assert "There is something at" in capsys.readouterr().err
    assert out.read_bytes() == b"mine"
    assert run([*command, "--over"]) == FINE
    assert titles(out.read_bytes()) == titles(first)
    assert sorted(path.name for path in tmp_path.iterdir() if ".part" in path.name) == []


def test_without_a_file_it_is_printed_as_it_stands(
    farm: Path, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    assert run(["calendar", "--db", str(farm), *ON]) == FINE
    printed = capfdbinary.readouterr().out
    assert printed.startswith(b"BEGIN:VCALENDAR\r\n")
    assert len(titles(printed)) == 67


@pytest.mark.parametrize("place", ["", "none/days.ics"])
def test_a_place_that_cant_be_written_is_refused_in_words(
    farm: Path, tmp_path: Path, capsys: Printed, place: str
) -> None:
    assert run(["calendar", str(tmp_path / place), "--db", str(farm), *ON]) == REFUSED
    told = capsys.readouterr().err
    assert "is a folder. Name a file in it." in told or "There is no folder" in told


async def test_the_plan_asks_where_to_and_asks_before_it_writes_over(farm: Path, tmp_path: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("nAw")
        assert "~/trayround.ics" in hand.shown
        await hand.type("~/nowhere/days.ics⏎")
        assert "There is no folder" in hand.refused
        await hand.press("escape")
        await hand.type("w⏎")
        out = tmp_path / "trayround.ics"
        assert hand.said.startswith("Wrote 60 events, and 7 struck out, to ")
        assert len(titles(out.read_bytes())) == 67
        out.write_bytes(b"mine")
        await hand.type("w⏎")
        assert "Write over it?" in hand.shown
        await hand.type("n")
        assert "Nothing was written. The file is as it was." in hand.said
        assert out.read_bytes() == b"mine"
        await hand.type("w~/trayround.ics⏎y")
        assert len(titles(out.read_bytes())) == 67


async def test_a_plan_of_nothing_on_a_farm_without_trays_says_so(tmp_path: Path) -> None:
    async with at_the_farm(tmp_path / "new.db", make=True) as hand:
        await hand.type("nAw⏎")
        assert "Nothing is to come. Plan a sowing" in hand.said
        assert not (tmp_path / "trayround.ics").exists()


async def test_whose_plants_are_fetched_is_said_only_when_asked_for(farm: Path, capsys: Printed) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n=aplot 4⏎tomato Ostrel⏎v80⏎28 may⏎⏎")
        assert hand.said.startswith("promised 80")
    for names in ([], ["--names"]):
        assert run(["calendar", "--db", str(farm), *ON, *names]) == FINE
        printed = capsys.readouterr().out
        assert "SUMMARY:to fetch: 80 tomato Ostrel" in printed
        assert ("plot 4" in printed) is bool(names)
