"""Somebody stands in who doesn't know the plants: they can tick, note and call, and nothing else is in their reach."""

import string
from contextlib import closing
from itertools import product
from pathlib import Path
from sqlite3 import connect

import pytest
from rich.cells import cell_len
from textual.screen import Screen

from model.actions import growth, helping, labelling, record, walk
from model.actions.farm import keep_place, set_setting
from model.actions.opening import open_farm
from model.entered import STRUCK
from model.errors import AlreadyKept, BadInput, SaidAlready, UndoRefused
from model.facts import HELPING, ActKind, PlaceKind
from model.rules.helping import AT_PLACES, HELPS, todo
from model.rules.verdict import Dries, Stage, Today
from model.store.database import Store
from tests.builders import TODAY, a_place, day
from tests.conftest import StampMaker
from tests.hard_text import HARD
from tests.long import some
from tests.store.conftest import bench as bench
from tests.store.every_action import act_of
from tests.store.looking import the_tray
from tests.store.names import KALE, TOMATO
from tests.tui.hand import Hand, at_the_farm, key_event
from tests.tui.test_command import Terminal
from tui.__main__ import FINE, REFUSED, run
from tui.commands import FIRST, HELPER
from tui.screens.helper import END, HelperScreen
from tui.screens.helper_place import START

BLANK = "_" * 20
NAMED = [
    *("enter", "escape", "space", "tab", "shift+tab", "backspace", "delete", "insert", "home", "end"),
    *("up", "down", "left", "right", "pageup", "pagedown", *(f"f{number}" for number in range(1, 13))),
    *(f"ctrl+{letter}" for letter in string.ascii_lowercase),
    *("ctrl+up", "ctrl+down", "shift+up", "alt+x", "ctrl+@", "ctrl+underscore", "ctrl+backslash"),
]
PRINTABLE = [*string.printable.strip(), *"äß€🍅"]
"""With those that have a name, every key of a keyboard, as far as a terminal tells of it."""
LEAVES = {"q", "ctrl+q", "escape", "enter"}
"""What ends the program, or a window: pressed on purpose."""
OWN = {"act", "entry", "person", "tray_now", "outlook", "sqlite_sequence"}
"""Tables that a helper's entry is written to, and what is reckoned anew of itself."""


def record_of(path: Path) -> dict[str, list[tuple[object, ...]]]:
    """Every row of every table."""
    with closing(connect(path)) as file:
        tables = [name for (name,) in file.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        return {name: file.execute(f"SELECT * FROM {name}").fetchall() for name in tables}


def only_helped(before: dict[str, list[tuple[object, ...]]], hand: Hand, since: int) -> None:
    """Nothing on record but what a helper may enter, and every row that was there is there."""
    after = record_of(hand.app.session.path)
    for name, rows in before.items():
        if name not in OWN:
            assert after[name] == rows, name
    for name in ("act", "entry"):
        assert after[name][: len(before[name])] == before[name], name
    strikes = hand.rows(
        "SELECT field, of_act_id > ? FROM act WHERE id > ? AND kind = 'corrected'", since, since
    )
    assert set(strikes) <= {(STRUCK, 1)}, "no word is struck but a helper's own"
    assert {kind for kind, _, _ in hand.acts(since)} - {"corrected"} <= {kind.value for kind in HELPS}
    assert hand.who(since) <= {"Pip"}


def setting(path: Path, name: str, value: str) -> None:
    store = open_farm(path)
    set_setting(store, name, value)
    store.close()


# The round.


async def test_a_place_is_walked_in_plain_words_and_each_tray_says_what_to_do(farm: Path) -> None:
    setting(farm, "phone", "01632 960 001")
    async with at_the_farm(farm, helper="Pip") as hand:
        assert hand.where == HELPER
        for words in (
            "Quern Hill   Pip, helping",
            "Mat. A warm mat under the trays. Cold to the hand: call.",
            "46T    pepper Tavar          unseen  seed: keep moist on top; green? note it",
            "CALL 01632 960 001 if ",
            "wilted at 7 in the morning",
            "w watered   d left, still moist   l looked   a note   c call   n next place",
        ):
            assert words in hand.shown
        since = hand.last_act
        await hand.type("w⇣l⇣d⇣asoft stems⏎⇣clies flat⏎n")
        assert hand.acts(since) == [
            ("watered", 46, None),
            ("looked at", 58, None),
            ("left dry", 60, None),
            ("note", 61, None),
            ("called", 62, None),
        ]
        assert hand.who(since) == {"Pip"}
        assert hand.rows("SELECT value FROM setting WHERE name = 'person'") == [("Wren",)]
        assert hand.rows("SELECT text FROM act WHERE id > ?", since) == [
            (HELPING,),
            (HELPING,),
            (HELPING,),
            ("soft stems",),
            ("lies flat",),
        ]
        assert "Shelf. Shelves under lamps." in hand.shown
        assert "a place is colder than its usual night: Shelf 17 °C" in hand.shown
        await hand.type("b")
        for row in (
            "46T    pepper Tavar          watered watered today",
            "62Q    tomato Brisk Nine     called",
        ):
            assert row in hand.shown


async def test_a_key_twice_enters_once_and_hits_no_second_tray_and_u_takes_back_the_own_last(
    farm: Path,
) -> None:
    async with at_the_farm(farm, helper="Pip") as hand:
        since = hand.last_act
        await hand.type("ww")
        assert hand.acts(since) == [("watered", 46, None)]
        assert hand.said == "You said so of this tray today: watered. Nothing more was entered."
        assert not hand.app.screen.query_one("#said").has_class("bad")
        await hand.type("ll")
        assert hand.acts(since) == [("watered", 46, None), ("looked at", 46, None)]
        await hand.type("uu")
        assert hand.line(46).seen is Today.UNSEEN
        await hand.type("u")
        assert "There is nothing of Pip's today to take back" in hand.said


async def test_the_opposite_word_stands_instead_and_u_brings_the_earlier_one_back(farm: Path) -> None:
    async with at_the_farm(farm, helper="Pip") as hand:
        since = hand.last_act
        await hand.type("wd")
        assert hand.said == "left dry 46T instead of watered.   u takes it back"
        assert hand.line(46).seen is Today.LEFT
        assert "watered today" not in hand.line(46).water.text
        await hand.type("w")
        assert hand.said == "watered 46T instead of left dry.   u takes it back"
        assert hand.line(46).seen is Today.WATERED
        assert "left dry today" not in hand.line(46).water.text
        assert [kind for kind, _, _ in hand.acts(since) if kind != ActKind.CORRECTED] == [
            *("watered", "left dry", "watered")
        ], "nothing is erased"
        for seen in (Today.LEFT, Today.WATERED, Today.UNSEEN):
            await hand.type("u")
            assert hand.line(46).seen is seen


async def test_a_slip_is_taken_back_and_what_was_done_stands(farm: Path) -> None:
    async with at_the_farm(farm, helper="Pip") as hand:
        await hand.type("wdu")
        assert hand.said == "took back: left dry 46T instead of watered."
        assert hand.line(46).seen is Today.WATERED
        await hand.type("w")
        assert "You said so of this tray today: watered." in hand.said


def test_a_word_of_the_growers_or_of_another_helper_stays(bench: Store, stamp: StampMaker) -> None:
    walk.mark_trays(bench, stamp("Pip"), ActKind.LEFT_DRY, [KALE])
    helping.mark(bench, stamp("Jory"), ActKind.LEFT_DRY, KALE)
    helping.mark(bench, stamp("Pip"), ActKind.WATERED, KALE)
    tray = the_tray(bench, KALE)
    assert tray.left is not None
    assert tray.watered is not None
    helping.mark(bench, stamp("Pip", today=day(1)), ActKind.WATERED, KALE)


def test_what_was_said_today_is_told_apart_from_an_entry_sent_twice(bench: Store, stamp: StampMaker) -> None:
    helping.mark(bench, stamp("Pip", uid="once"), ActKind.WATERED, KALE)
    with pytest.raises(AlreadyKept):
        helping.mark(bench, stamp("Pip", uid="once"), ActKind.WATERED, KALE)
    with pytest.raises(SaidAlready):
        helping.mark(bench, stamp("Pip"), ActKind.WATERED, KALE)


def test_a_word_that_the_grower_struck_can_be_said_again(bench: Store, stamp: StampMaker) -> None:
    helping.mark(bench, stamp("Pip"), ActKind.WATERED, KALE)
    record.correct_act(bench, stamp(), act_of(bench, KALE, ActKind.WATERED), "struck", "")
    helping.mark(bench, stamp("Pip"), ActKind.WATERED, KALE)
    assert the_tray(bench, KALE).watered is not None


async def test_a_number_leads_to_its_tray_and_a_wrong_one_to_none(farm: Path) -> None:
    async with at_the_farm(farm, helper="Pip") as hand:
        since = hand.last_act
        await hand.type("25w")
        assert (hand.place, hand.under_hand) == ("Hardening", 25)
        assert hand.acts(since) == [("watered", 25, None)]
        await hand.type("999")
        assert hand.said == "No tray 999 stands. Read the label again."
        await hand.type("w")
        assert "so nothing was done" in hand.said
        await hand.type("25Xw")
        assert hand.acts(since) == [("watered", 25, None)]
        await hand.type("2⏎")
        assert hand.where == HELPER, "a tray that is gone opens no page"


async def test_once_every_tray_was_seen_the_end_is_said(farm: Path, stamp: StampMaker) -> None:
    store = open_farm(farm)
    for place in range(1, 6):
        walk.mark_place(store, stamp(), ActKind.WATERED, place)
    store.close()
    async with at_the_farm(farm, helper="Pip") as hand:
        assert "not seen 2 of 60" in hand.shown
        assert hand.place == "Corner", "the round goes on where it was left off"
        await hand.type("wn")
        assert hand.said == ""
        await hand.type("b⇣wn")
        assert hand.view.unseen == 0
        assert hand.said == "Every tray was seen today. q ends."


async def test_a_farm_without_a_tray_says_so(tmp_path: Path) -> None:
    async with at_the_farm(tmp_path / "new.db", make=True, helper="Pip") as hand:
        await hand.type("wldacnu1q")
        assert "There is nothing to do." in hand.shown


@pytest.mark.parametrize("text", some([text for text in HARD if text], 2))
async def test_hostile_names_and_helpers_are_drawn(farm: Path, text: str) -> None:
    store = open_farm(farm)
    keep_place(store, a_place(id=1, name=text, kind=PlaceKind.HEAT_MAT, walk=1))
    store.close()
    setting(farm, "phone", text)
    async with at_the_farm(farm, helper=text) as hand:
        await hand.type("wn?␛b")
        assert all(cell_len(row) <= 80 for row in hand.shown.splitlines())
        assert hand.line(46).seen is Today.WATERED


# Nothing else.


@pytest.mark.parametrize("before", some(["", "4", "a", "c", "?"], 2))
async def test_no_key_of_the_keyboard_does_more_than_a_helper_may(farm: Path, before: str) -> None:
    """Each key on the round, after a digit, in both questions and in the help; what is typed there is entered."""
    kept = record_of(farm)
    keys = [key for key in [*PRINTABLE, *NAMED] if key not in LEAVES]
    # In a window they come one after the other, and what they made up is entered; else each for itself.
    turns = [[*keys, "s", "enter"]] if before in {"a", "c", "?"} else [[key] for key in keys]
    async with at_the_farm(farm, helper="Pip") as hand:
        since = hand.last_act
        for turn in turns:
            for key in [*before, *turn, "escape", "escape"]:
                hand.app.post_message(key_event(key))
            if turn in turns[::10] or turn is turns[-1]:
                await hand.press("escape")
                assert hand.where == HELPER, turn
                assert len(hand.app.screen_stack) == 2, "the helper's round, over the blank one of every app"
        only_helped(kept, hand, since)
        assert hand.last_act > since or before == "?"


@pytest.mark.parametrize("key", ["ctrl+p", "colon", ":"])
async def test_there_is_no_palette(farm: Path, key: str) -> None:
    async with at_the_farm(farm, helper="Pip") as hand:
        since = hand.last_act
        await hand.press(key)
        assert isinstance(hand.app.screen, HelperScreen)
        await hand.type("set out⏎")
        assert {kind for kind, _, _ in hand.acts(since)} <= {kind.value for kind in HELPS}
        assert not list(hand.app.get_system_commands(hand.app.screen))


async def test_the_screen_has_no_other_action_to_be_run() -> None:
    own = {name for name in dir(HelperScreen) if name.startswith("action_")}
    plain = {name for name in dir(Screen) if name.startswith("action_")}
    assert own - plain == {
        *("action_water", "action_leave", "action_look", "action_note", "action_call", "action_undo"),
        *("action_next_place", "action_previous_place", "action_step", "action_help", "action_leave_app"),
    }


def test_a_helper_with_the_growers_name_takes_nothing_of_the_growers_back(
    bench: Store, stamp: StampMaker
) -> None:
    growth.thin(bench, stamp(), KALE)
    with pytest.raises(UndoRefused, match="an entry of the grower's"):
        helping.take_back(bench, stamp(), "UTC")
    helping.mark(bench, stamp(), ActKind.WATERED, KALE)
    helping.take_back(bench, stamp(), "UTC")
    assert the_tray(bench, KALE).sowings[0].thinned_on == TODAY
    with pytest.raises(UndoRefused):
        helping.take_back(bench, stamp(), "UTC")
    walk.mark_trays(bench, stamp("Jory"), ActKind.WATERED, [KALE])
    record.correct_act(bench, stamp(), act_of(bench, KALE, ActKind.WATERED), "struck", "")
    with pytest.raises(UndoRefused, match="an entry of the grower's"):
        helping.take_back(bench, stamp(), "UTC")
    walk.mark_trays(bench, stamp("Jory"), ActKind.WATERED, [KALE])
    labelling.swapped(bench, stamp(), (KALE, TOMATO), TODAY)
    with pytest.raises(UndoRefused, match="an entry of the grower's"):
        helping.take_back(bench, stamp(), "UTC")


def test_what_is_no_helpers_is_refused_by_the_record_too(bench: Store, stamp: StampMaker) -> None:
    with pytest.raises(BadInput, match="A helper doesn't enter that"):
        helping.mark(bench, stamp(), ActKind.FED, KALE)


# The call.


async def test_the_grower_finds_the_call_first_until_one_of_the_house_was_there(farm: Path) -> None:
    async with at_the_farm(farm, helper="Pip") as hand:
        await hand.type("59clies flat by the door⏎")
        assert "called: 59J" in hand.said
    async with at_the_farm(farm, helper="Jory") as hand:
        await hand.type("59w")
        assert hand.line(59).called, "another helper can't answer it"
    async with at_the_farm(farm) as hand:
        assert hand.where == FIRST
        assert hand.listed[0] == 59
        assert 'Pip called Tue 14 Apr: "lies flat by the door"' in hand.shown
        assert "Called for you: 59J." in hand.said
        assert "call" in next(row for row in hand.shown.splitlines() if " 59J" in row)
        await hand.stand(FIRST, 59)
        await hand.press("l")
        assert not hand.line(59).called
        assert hand.line(59).rank > 1


async def test_a_call_that_is_taken_back_is_none(farm: Path) -> None:
    async with at_the_farm(farm, helper="Pip") as hand:
        await hand.type("59cmistaken⏎u")
        assert not hand.line(59).called


def test_two_calls_stand_until_both_are_answered(bench: Store, stamp: StampMaker) -> None:
    helping.call(bench, stamp("Pip"), KALE, "flat")
    helping.call(bench, stamp("Jory"), KALE, "flat still")
    helping.note(bench, stamp("Jory"), KALE, "in the sun")
    assert [(call.who, call.text) for call in the_tray(bench, KALE).calls] == [
        ("Pip", "flat"),
        ("Jory", "flat still"),
    ]
    growth.note(bench, stamp("Wren"), KALE, "read it")
    assert len(the_tray(bench, KALE).calls) == 2, "a note can be written from afar"
    walk.mark_trays(bench, stamp("Wren"), ActKind.LOOKED, [KALE])
    assert the_tray(bench, KALE).calls == ()
    record.undo(bench, stamp("Wren"), "UTC")
    assert len(the_tray(bench, KALE).calls) == 2


# Alone, and the phone.


async def test_who_works_alone_is_reminded_only_where_the_farm_asks_for_it(farm: Path) -> None:
    async with at_the_farm(farm, helper="Pip") as hand:
        assert START not in hand.shown
        assert BLANK in hand.shown, "a line to write the number on"
        await hand.type("q")
        assert hand.app.return_value is None
    setting(farm, "alone", "yes")
    async with at_the_farm(farm, helper="Pip") as hand:
        await hand.until(START)
        await hand.type("q")
        assert hand.app.return_value == END


async def test_the_number_is_set_with_the_other_settings_and_taken_out_again(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("Sg01632 960 001⏎")
        assert hand.app.session.settings["phone"] == "01632 960 001"
        await hand.type("Sg-⏎")
        assert hand.app.session.settings["phone"] == ""
        await hand.type("Sh2")
        assert hand.app.session.settings["alone"] == "yes"


# The words.


def test_every_tray_has_a_line_that_fits_and_asks_for_nothing_a_helper_cant_do() -> None:
    for stage, seen, dries in product(Stage, Today, Dries):
        words = todo(stage, seen, dries)
        assert 0 < len(words) <= 39
        assert not {"pot", "thin", "move", "set", "cut", "fed"} & set(words.replace(",", " ").split())


def test_every_kind_of_place_has_its_words() -> None:
    assert set(AT_PLACES) == set(PlaceKind)
    assert all(len(words) <= 66 for words in AT_PLACES.values())


# The command.


def test_a_helper_without_a_name_is_refused(
    farm: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("tui.__main__._has_terminal", lambda: True)
    assert run(["--helper", " \x1b", "--db", str(farm)]) == REFUSED
    assert "The helper has no name. Give one after --helper" in capsys.readouterr().err


def test_the_command_opens_the_helpers_round_on_a_terminal(farm: Path) -> None:
    terminal = Terminal("--helper", "Pip", "--db", str(farm), "--on", TODAY.isoformat())
    terminal.until(b"Pip, helping")
    terminal.until(b"46T")
    terminal.type("wq")
    assert terminal.end() == FINE
    with closing(connect(farm)) as file:
        found = file.execute(
            "SELECT kind, name FROM act JOIN entry ON entry.id = entry_id JOIN person ON person.id = person_id "
            "ORDER BY act.id DESC LIMIT 1"
        ).fetchone()
    assert found == ("watered", "Pip")
