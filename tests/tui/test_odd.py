"""Odd things that a tired person, a full disk or a second window does. Nothing breaks, and nothing is lost."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from rich.cells import cell_len
from textual import events

from model.actions import walk
from model.actions.desk import Stamp
from model.actions.files import DEMO_MORNING
from model.actions.opening import open_farm
from model.actions.shift import retire
from model.days import FixedClock
from model.facts import ActKind
from model.rules.verdict import Today
from model.store import database
from tests.hard_text import HARD
from tests.long import some
from tests.tui.hand import Hand, at_the_farm
from tui.app import TrayroundApp
from tui.commands import FIRST, ROUND, TRAY
from tui.session import Session
from tui.words import ASCII

SIZES = [(80, 24), (120, 40), (60, 16)]
HOSTILE = [
    *(text for text in HARD if not text.isalpha() and text),
    "\x1b[2J\x1b]0;gone\x07 leek",
    "[/]",
    "a\tb\u202ec\u200d",
]
NAMES = ["[/] [x] [@click=app.quit]here[/]", "x" * 500, "番茄 👩‍🌾🍅", "\x1b[2J leek"]


def sound(hand: Hand) -> None:
    """Every row of the screen is as wide as the screen, and nothing on it steers a terminal."""
    rows = hand.shown.split("\n")
    assert {cell_len(row) for row in rows} == {hand.app.size.width}
    assert all(row.isprintable() for row in rows)


async def paste(hand: Hand, text: str) -> None:
    hand.app.post_message(events.Paste(text))
    await hand.pilot.pause()


async def look_everywhere(hand: Hand, number: int, questions: str) -> None:
    """Show a tray on every screen, and some questions that name it or its place."""
    for keys in ("i" if hand.where != FIRST else "", f"n{number}", "⏎", "C", "␛q", *questions):
        await hand.type(keys)
        sound(hand)
        await hand.type("␛" if keys in questions else "")


# Text.


@pytest.mark.parametrize("text", some(HOSTILE, 4), ids=range(len(HOSTILE)))
async def test_a_note_of_any_text_is_kept_and_breaks_no_screen(farm: Path, text: str) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n46a")
        await paste(hand, text)
        sound(hand)
        await hand.type("⏎")
        assert hand.acts()[-1] == ("note", 46, None)
        ((kept,),) = hand.rows("SELECT text FROM act ORDER BY id DESC LIMIT 1")
        assert isinstance(kept, str)
        assert kept.isprintable()
        assert 0 < len(kept) <= 500
        await look_everywhere(hand, 46, "")
        await hand.pilot.resize_terminal(60, 16)
        sound(hand)


@pytest.mark.parametrize("text", some(NAMES, 2), ids=range(len(NAMES)))
async def test_a_place_a_variety_and_a_person_of_any_name_break_no_screen(farm: Path, text: str) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("Pn")
        await paste(hand, text)
        await hand.type("⏎3⏎⏎⏎⏎yn")
        await paste(hand, text)
        await hand.type("⏎stomato ")
        await paste(hand, text)
        await hand.type("⏎y⏎⏎⏎⏎7⏎⏎")
        line = hand.line(71)
        assert (line.crop, line.place_id) == ("tomato", 7)
        await look_everywhere(hand, 71, "xmPyRs")
        await hand.pilot.resize_terminal(60, 16)
        await look_everywhere(hand, 71, "mR")
        await hand.type("w")
        assert hand.acts()[-1] == ("watered", 71, None)


async def test_brackets_stand_as_they_were_typed(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n46a[b]50%[/] [x]⏎⏎")
        assert "[b]50%[/] [x]" in hand.shown


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ("n12x²⏎", "'²' is no count."),
        ("n12x٣⏎", "'٣' is no count."),
        ("n12x" + "9" * 40 + "⏎", "9" * 40 + " can't be."),
        ("PnHoop⏎4" + "9" * 20 + "⏎", "9" * 20 + " can't be."),
        ("n12x-1⏎", "'-1' is no count."),
        ("Pn   ⏎", "Nothing was typed."),
    ],
)
async def test_a_count_that_is_none_is_refused_and_stays(farm: Path, keys: str, words: str) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type(keys)
        assert hand.refused.startswith(words), hand.shown
        await hand.type("␛")
        assert hand.where in {FIRST, ROUND}


# Fingers.


DIALOGS = {
    "half up": "58e",
    "roots": "12r",
    "move": "46m",
    "stack": "46m6" + "63m6" + "62m6",
    "pot up": "12p20⏎8⏎30⏎",
    "set out": "25o60⏎",
    "lost": "12x3⏎",
    "count": "12k6",
    "note": "46asoft",
    "resow": "46TR30⏎⏎",
    "retire": "25WX",
    "correct": "12NC8",
    "correct the day": "12NC8d-",
    "water all": "46TW46 58",
    "fed": "46TFfish",
    "sow": "46stomato New⏎y⏎⏎⏎",
    "sow again": "46sbrisk⏎",
    "person": "46ynNor",
    "place": "46TPnHoop⏎4",
    "container": "46TKx⏎1",
    "settings": "46TS5",
}


@pytest.mark.parametrize("keys", some(DIALOGS.values(), 5), ids=DIALOGS.keys())
async def test_escape_in_the_middle_of_a_question_leaves_nothing_behind(farm: Path, keys: str) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n" + keys)
        assert hand.asks
        tables = (
            "act",
            "entry",
            "tray",
            "sowing",
            "tray_now",
            "place",
            "container",
            "person",
            "setting",
            "variety",
        )
        before = {table: hand.rows(f"SELECT * FROM {table}") for table in tables}
        await hand.type("␛")
        assert hand.where == ROUND
        assert {table: hand.rows(f"SELECT * FROM {table}") for table in tables} == before
        await hand.type("l")
        assert hand.said.startswith("looked at")


async def test_keys_typed_ahead_of_a_slow_program_do_what_they_would_one_by_one(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        since = hand.last_act
        await hand.type("n46l58d63wW46 60⏎12x3⏎2sbrisk⏎⏎s⏎⏎nW⏎")
        acts = hand.acts(since)
        assert acts[:3] == [("looked at", 46, None), ("left dry", 58, None), ("watered", 63, None)]
        assert [act for act in acts[3:] if act[1] in {46, 58, 63}] == [
            ("left dry", 46, None),
        ]
        assert [act for act in acts if act[0] in {"lost", "sown"}] == [
            ("lost", 12, 3),
            ("sown", 71, 72),
            ("sown", 72, 72),
        ]
        assert all(line.seen is Today.WATERED for line in hand.view.lines if line.place == "Frame")


async def test_a_tick_made_twice_is_kept_twice_and_taken_back_one_by_one(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        since = hand.last_act
        await hand.type("n46ww")
        assert hand.acts(since) == [("watered", 46, None)] * 2
        await hand.type("u")
        assert hand.line(46).seen is Today.WATERED
        await hand.type("u")
        assert hand.line(46).seen is Today.UNSEEN


async def test_a_number_that_no_tray_has_moves_nothing_and_says_so(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n12⇣8")
        assert hand.said == "No tray 8 stands. Enter opens one that is gone."
        assert hand.under_hand == 30


async def test_keys_before_the_record_is_open_do_no_harm(farm: Path) -> None:
    session = Session(farm, FixedClock(DEMO_MORNING), make=False)
    app = TrayroundApp(session)
    async with app.run_test(size=(80, 24)) as pilot:
        hand = Hand(app, pilot)
        await hand.type("wld⏎ rxmui12?␛:␛")
        await app.workers.wait_for_complete()
        await hand.pilot.pause()
        await hand.type("␛␛")
        await hand.type("46w")
        assert hand.acts()[-1] == ("watered", 46, None)
    session.close()


async def test_a_window_changes_its_size_under_every_screen(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        for keys in ("", "n", "46⏎", "q12NC", "␛s", "␛?"):
            await hand.type(keys)
            for width, height in (*SIZES, (200, 60), (80, 24)):
                await hand.pilot.resize_terminal(width, height)
                await hand.pilot.pause()
                sound(hand)


async def test_plain_signs_are_plain_on_every_screen(farm: Path) -> None:
    async with at_the_farm(farm, signs=ASCII) as hand:
        for keys in ("", "nnn", "W46"):
            await hand.type(keys)
            assert hand.shown.replace("°", "").isascii(), hand.shown


# An empty farm.


async def test_a_new_farm_says_what_to_do_and_can_be_filled_from_nothing(tmp_path: Path) -> None:
    async with at_the_farm(tmp_path / "new" / "farm.db", make=True) as hand:
        assert "This farm is new." in hand.shown
        for key in "wdl retmpocfxkaRXC⏎u":
            await hand.type(key)
            assert hand.where == FIRST
        await hand.type("s")
        assert hand.said == "The farm has no place yet. Add one with P, then sow."
        await hand.type("n")
        assert "This farm has no place yet." in hand.shown
        for key in "WLDFnbvw⏎46␛":
            await hand.type(key)
            assert hand.where == ROUND
        await hand.type("P⏎Mat⏎⏎⏎⏎⏎⏎")
        assert "No tray stands here yet." in hand.shown
        await hand.type("s⏎")
        assert hand.refused.startswith("Nothing was typed.")
        await hand.type("tomato Ostrel⏎y⏎⏎⏎⏎⏎⏎⏎")
        assert hand.said == "sowed 1R tomato Ostrel, 72-cell tray, Mat.   u takes it back"
        assert "1R" in hand.shown
        await hand.type("iW")
        assert "Nothing presses this morning." in hand.shown
        assert hand.acts() == [("sown", 1, 72)]


async def test_a_farm_of_crops_that_nobody_knows_is_walked_like_any_other(tmp_path: Path) -> None:
    async with at_the_farm(tmp_path / "farm.db", make=True) as hand:
        await hand.type("P⏎Bench⏎3⏎⏎⏎⏎")
        for crop in ("rue", "skirret", "oca"):
            await hand.type(f"s{crop}/Common⏎y⏎⏎⏎⏎⏎-9⏎⏎")
        assert [line.crop for line in hand.view.lines] == ["rue", "skirret", "oca"]
        await hand.type("␛" if hand.where == FIRST else "")
        for key in ("e⏎", "⏎", "q", "r2", "W⏎", "z", "v", "?", "␛"):
            await hand.type(key)
            sound(hand)
        assert hand.view.closed == "complete"


# Other hands on the file.


def other_stamp(uid: str) -> Stamp:
    return Stamp("Jory", datetime(2026, 4, 14, 6, 45, tzinfo=UTC), DEMO_MORNING, uid)


async def test_what_another_window_entered_is_kept_beside_what_is_entered_here(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        since = hand.last_act
        await hand.type("n46w")
        other = open_farm(farm)
        walk.mark_trays(other, other_stamp("other"), ActKind.WATERED, [hand.line(58).tray_id])
        await hand.type("63w")
        assert hand.acts(since) == [("watered", 46, None), ("watered", 58, None), ("watered", 63, None)]
        await hand.type("u")
        assert hand.acts(since)[1] == ("watered", 58, None)
        assert hand.line(63).seen is Today.UNSEEN
        other.close()
    async with at_the_farm(farm) as hand:
        assert {line.number for line in hand.view.lines if line.seen is Today.WATERED} == {46, 58}


async def test_a_tray_that_another_window_retired_is_refused_and_leaves_the_list(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n46")
        other = open_farm(farm)
        retire(other, other_stamp("gone"), hand.line(46).tray_id, None, 72)
        other.close()
        since = hand.last_act
        await hand.type("w")
        assert hand.said.startswith("Tray 46T is gone since Tue 14 Apr.")
        assert hand.acts(since) == []
        assert 46 not in hand.listed


@contextmanager
def locked(path: Path) -> Iterator[None]:
    """Another program holds the file for writing."""
    holder = sqlite3.connect(path, isolation_level=None)
    holder.execute("BEGIN IMMEDIATE")
    try:
        yield
    finally:
        holder.execute("ROLLBACK")
        holder.close()


async def test_while_the_file_is_locked_a_tick_is_refused_in_words_and_works_afterwards(
    farm: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(database, "PRAGMAS", (*database.PRAGMAS[:-1], "busy_timeout=50"))
    async with at_the_farm(farm) as hand:
        await hand.type("n46")
        since = hand.last_act
        with locked(farm):
            for keys in ("w", "x3⏎2", "W⏎", "u", "S52", "y2"):
                await hand.type(keys)
                assert (
                    hand.said == "Another window is writing to the record. Nothing was saved; try once more."
                ), keys
        assert hand.acts(since) == []
        await hand.type("w")
        assert hand.acts(since) == [("watered", 46, None)]


async def test_a_file_that_can_only_be_read_shows_the_round_and_refuses_in_words(
    farm: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Rights don't bind the user that may do everything, so the connection itself is kept from writing.
    monkeypatch.setattr(database, "PRAGMAS", (*database.PRAGMAS, "query_only=ON"))
    async with at_the_farm(farm) as hand:
        await hand.type("n46")
        since = hand.last_act
        for keys in ("w", "x3⏎2", "W⏎", "u", "S52", "y2", "z"):
            await hand.type(keys)
            assert hand.said.startswith("The record can only be read here. Give yourself the right"), keys
        assert hand.acts(since) == []
        assert len(hand.view.lines) == 60


async def test_a_file_that_vanishes_under_the_program_is_told_and_breaks_nothing(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n46")
        away = farm.with_name("away.db")
        farm.rename(away)
        for keys in ("m", "x", "s", "P", "C", "p", "⏎"):
            await hand.type(keys)
            assert hand.said == "The file can't be opened. Check the folder and your rights to it.", keys
            await hand.type("q" if hand.where == TRAY else "")
        away.rename(farm)
        await hand.type("m3")
        assert hand.line(46).place == "Slats"


async def test_a_day_in_the_past_is_shown_and_entered_as_that_day(farm: Path) -> None:
    async with at_the_farm(farm, asked=date(2026, 3, 30)) as hand:
        assert "Mon 30 Mar" in hand.shown
        await hand.type("n12")
        since = hand.last_act
        await hand.type("w")
        assert hand.rows("SELECT day FROM act WHERE id > ?", since) == [("2026-03-30",)]
        await hand.type("⏎")
        sound(hand)
        since = hand.last_act
        await hand.type("q62w")
        assert hand.acts(since) == []
        assert hand.said.startswith("No tray 62 stands")
        await hand.type("n" * 6)
        sound(hand)
