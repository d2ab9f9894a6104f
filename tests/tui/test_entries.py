"""The day's entries: who did what, one of them taken back though it isn't the newest, or refused with the reason."""

import json
from datetime import UTC, date, datetime, time
from pathlib import Path

import pytest

from model.actions import record, walk
from model.actions.desk import Stamp
from model.actions.files import DEMO_MORNING
from model.actions.opening import open_farm
from model.days import FixedClock
from model.facts import ActKind
from model.rules.verdict import Today
from model.views.round import read_round
from tests.tui.hand import Hand, at_the_farm
from tui.__main__ import FINE, run
from tui.commands import ENTRIES, ROUND


def listed(hand: Hand) -> list[str]:
    """The lines of the page."""
    screen = hand.app.screen
    return [line.text for line in screen.answered.lines]  # type: ignore[attr-defined]


def jory_waters(farm: Path, tray_id: int) -> None:
    other = open_farm(farm)
    at = datetime(2026, 4, 14, 5, 45, tzinfo=UTC)
    walk.mark_trays(other, Stamp("Jory", at, DEMO_MORNING), ActKind.WATERED, [tray_id])
    other.close()


async def test_an_entry_that_isnt_the_newest_is_taken_back_and_the_later_ones_stay(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n46w58d63w")
        hand.keys = 0
        await hand.type("j⇣x")
        assert hand.keys == 3
        assert hand.said == "took back: left dry 58N.   b brings it back"
        assert [hand.line(number).seen for number in (46, 58, 63)] == [
            Today.WATERED,
            Today.UNSEEN,
            Today.WATERED,
        ]
        assert [line[6:] for line in listed(hand)] == [
            "Wren                  watered 63V",
            "Wren       taken back left dry 58N",
            "Wren                  watered 46T",
        ]
        assert "Tue 14 Apr: 3 entries by Wren; 1 taken back." in hand.shown
        assert "taken back 7:30 by Wren" in hand.shown
        await hand.type("x")
        assert hand.said == "'left dry 58N' is taken back already. Nothing needs to be done."
        await hand.type("b")
        assert hand.said == "brought back: left dry 58N."
        assert hand.line(58).seen is Today.LEFT
        await hand.type("b")
        assert hand.said == "'left dry 58N' stands. Nothing needs to be done."
        await hand.type("q")
        assert hand.where == ROUND


async def test_an_entry_that_a_later_one_stands_on_is_refused_with_the_reason(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n12p60⏎8⏎⏎⏎71wj")
        assert hand.where == ENTRIES
        since = hand.last_act
        await hand.type("⇣x")
        assert hand.said.startswith("It was watered on Tue 14 Apr since. Take back the later entries first")
        assert hand.acts(since) == []
        await hand.type("⇡x⇣x")
        assert hand.said.startswith("took back: potted up 12N")
        assert hand.line(12).plants > 0
        await hand.type("⇡b")
        assert hand.said.endswith("isn't on record. Bring back first what it stands on."), hand.said


async def test_an_entry_that_was_put_right_since_is_taken_back_only_after_that(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n12r2C5r1j")
        assert "corrected 12N: root look" in listed(hand)[0]
        await hand.type("⇣x")
        assert hand.said.endswith("stands on it. Take that back first, or correct the record."), hand.said
        await hand.type("⇡x⇣x")
        assert hand.said.startswith("took back: ")


async def test_a_line_of_the_plan_stays_while_a_newer_form_of_it_stands(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("Aabrisk⏎24⏎12 may⏎c1⏎⏎⏎cp20⏎j")
        await hand.type("⇣x")
        assert hand.said.startswith("'changed the plan to 20 "), hand.said
        assert hand.said.endswith("stands on it. Take that back first, or correct the record.")


async def test_another_persons_entry_is_seen_and_left_to_them(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        jory_waters(farm, hand.line(46).tray_id)
        await hand.type("n58wj")
        assert [line[:15] for line in listed(hand)] == [" 7:30 Wren     ", " 6:45 Jory     "]
        assert "2 entries by Jory, Wren." in hand.shown
        since = hand.last_act
        await hand.type("⇣x")
        assert hand.said == (
            "Jory made that entry, not Wren. C at tray 46T corrects the record, or Jory takes it back "
            "(y says who is on)."
        )
        assert hand.acts(since) == []


async def test_a_day_without_an_entry_says_so(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("njxb")
        assert "Nothing was entered on Tue 14 Apr yet." in hand.shown


async def test_what_was_entered_for_an_earlier_day_stands_on_the_day_it_was_entered(farm: Path) -> None:
    async with at_the_farm(farm, asked=date(2026, 4, 13)) as hand:
        await hand.type("n46wjx")
        assert hand.said.startswith("took back: watered 46T")


async def test_what_came_from_paper_says_for_when_it_was_told(
    farm: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    async with at_the_farm(farm, clock=FixedClock(DEMO_MORNING, time(12, 30), "Europe/London")) as hand:
        await hand.type("n46wI7:10⏎58wn")
        await hand.type(f"W{' '.join(str(number) for number in hand.listed[:6])}⏎")
        await hand.type("Iyesterday 18:05⏎63wInow⏎j")
        told = [line[28:] for line in listed(hand)]
        assert told == [
            "watered 63V, told for Mon 13 Apr 18:05",
            "watered Shelf, 6 trays; left dry 3…, told for 7:10",
            "watered 58N, told for 7:10",
            "watered 46T",
        ]
        assert max(map(len, listed(hand))) <= 78
        assert "entered 12:30 by Wren, told for Mon 13 Apr 18:05" in hand.shown
    assert run(["entries", "--db", str(farm), "--on", DEMO_MORNING.isoformat()]) == FINE
    assert "watered 63V, told for Mon 13 Apr 18:05" in capsys.readouterr().out
    assert run(["entries", "--db", str(farm), "--on", DEMO_MORNING.isoformat(), "--json"]) == FINE
    assert [line["told"] for line in json.loads(capsys.readouterr().out)["lines"]] == [
        "Mon 13 Apr 18:05",
        "7:10",
        "7:10",
        "",
    ]


def test_the_entries_of_an_earlier_day_are_printed_with_who_and_what_became_of_them(
    farm: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    def stamp(who: str, day: int, hour: int) -> Stamp:
        return Stamp(who, datetime(2026, 4, day, hour, tzinfo=UTC), date(2026, 4, day))

    store = open_farm(farm)
    first, second = (line.tray_id for line in read_round(store, DEMO_MORNING).lines[:2])
    walk.mark_trays(store, stamp("Jory", 20, 5), ActKind.WATERED, [first])
    kept = walk.mark_trays(store, stamp("Wren", 20, 23), ActKind.LOOKED, [first])
    back = walk.mark_trays(store, stamp("Ada", 20, 6), ActKind.LEFT_DRY, [second])
    record.take_back(store, stamp("Ada", 20, 7), "Europe/London", back.entry_id)
    store.close()
    assert kept.entry_id < back.entry_id
    assert run(["entries", "--db", str(farm), "--on", "2026-04-20"]) == FINE
    printed = capsys.readouterr().out
    # At 23 hours in Greenwich it is the next day at the farm; what is told of the 20th stands on its page too.
    head = "Mon 20 Apr: 3 entries by Jory, Wren, Ada; 1 taken back. 1 entered on Tue 21 Apr.\n"
    assert printed.startswith(head)
    assert " 6:00 Jory" in printed
    assert "taken back 8:00 by Ada" in printed
    assert run(["entries", "--db", str(farm), "--on", "2026-04-21"]) == FINE
    assert capsys.readouterr().out.startswith("Tue 21 Apr: 1 entry by Wren.\n")


# A day that is asked for, which isn't the clock's.

AUTUMN = date(2026, 11, 26)


async def test_on_a_day_asked_for_the_page_shows_what_was_just_entered_of_it_and_when(farm: Path) -> None:
    async with at_the_farm(farm, asked=DEMO_MORNING, clock=FixedClock(AUTUMN)) as hand:
        await hand.type("n46w58d")
        await hand.type("j")
        assert [line[28:] for line in listed(hand)] == ["left dry 58N", "watered 46T"]
        assert "Tue 14 Apr: 2 entries by Wren. All entered on Thu 26 Nov." in hand.shown
        assert "entered Thu 26 Nov 6:30 by Wren" in hand.shown
        await hand.type("x")
        assert hand.said.startswith("took back: left dry 58N.")
        assert "Tue 14 Apr: 2 entries by Wren; 1 taken back. All entered on Thu 26 Nov." in hand.shown


def test_the_command_prints_what_is_of_the_day_asked_for_whenever_it_was_entered(
    farm: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    store = open_farm(farm)
    at = datetime(2026, 11, 26, 8, 0, tzinfo=UTC)
    walk.mark_trays(store, Stamp("Jory", at, DEMO_MORNING), ActKind.WATERED, [46])
    walk.mark_trays(store, Stamp("Jory", at, AUTUMN), ActKind.WATERED, [58])
    store.close()
    assert run(["entries", "--db", str(farm), "--on", "2026-04-14"]) == FINE
    printed = capsys.readouterr().out
    assert printed.startswith("Tue 14 Apr: 1 entry by Jory. All entered on Thu 26 Nov.\n")
    assert run(["entries", "--db", str(farm), "--on", "2026-11-26"]) == FINE
    assert capsys.readouterr().out.startswith("Thu 26 Nov: 2 entries by Jory.\n")
    assert run(["entries", "--db", str(farm), "--on", "2026-04-15"]) == FINE
    assert capsys.readouterr().out == "Nothing was entered on Wed 15 Apr yet.\n"
