"""Every action of the register, pressed on each screen where it stands, and what the file says afterwards.

A new command without a story fails here.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from textual.command import CommandList

from model.rules.verdict import Today
from tests.tui.hand import Hand, at_the_farm
from tui.commands import (
    AT_TRAY,
    CLASHES,
    COLD,
    COMMANDS,
    COVER,
    CROP_SEASON,
    ENTRIES,
    FIRST,
    FOUND,
    FROST,
    GATE,
    HEALTH,
    HELPER,
    PAGES,
    PAPER,
    PLAN,
    PROMISES,
    READINGS,
    ROUND,
    SEASON,
    STOCK,
    TONIGHT,
    TRAY,
    Command,
    commands_of,
    key_words,
)
from tui.commands import MAT as MAT_ROTA
from tui.screens.cold import WaysScreen
from tui.screens.help import HelpScreen
from tui.screens.timings import TimingsScreen
from tui.themes import LIGHT

Acts = list[tuple[str, int | None, int | None]]
"""Kind, tray number and count of each act, in the order of entry."""

MAT = (46, 58, 60, 61, 62, 63, 66, 67, 68, 69)
"""The trays that stand on the mat."""


@dataclass(frozen=True)
class Story:
    """A tray under the hand, what is typed after the action's own key, and what comes of it."""

    tray: int
    then: str = ""
    acts: Acts = field(default_factory=list)
    """The acts that are entered, in any order."""
    seen: Callable[[Hand], bool] = lambda _hand: True
    before: str = ""
    """Typed before the action's key."""


CLASS = "abrisk⏎24⏎12 may⏎c1⏎⏎⏎cs1⏎"
"""Typed on the plan: seedlings for a class, one seed a cell."""


ON_ROTA = f"A{CLASS}O{'⇣' * 12}"
"""Typed on the mat rota: a sowing for a class is planned, and its line, the last, taken under the hand."""


PROMISED = "plot 4⏎ostrel⏎v6⏎16 may⏎⏎"
"""Typed on the page of promises: six plants to a plot."""


def promised(hand: Hand) -> list[tuple[object, ...]]:
    """To whom and how many, in the order of entry."""
    return hand.rows("SELECT to_whom, plants FROM promise ORDER BY id")


def newest_pin(hand: Hand) -> tuple[object, ...]:
    """What the newest pin of the mat rota says: whether without heat."""
    return hand.rows("SELECT without, day IS NULL FROM pin ORDER BY id DESC LIMIT 1")[0]


def newest_target(hand: Hand) -> tuple[object, ...]:
    """Plants and first day of the newest line of the plan."""
    return hand.rows("SELECT plants, first_day FROM target ORDER BY id DESC LIMIT 1")[0]


def newest_verdict(hand: Hand) -> tuple[object, ...]:
    """The newest verdict: its word and lines."""
    return hand.rows("SELECT word, lines FROM verdict ORDER BY id DESC LIMIT 1")[0]


def place_of(number: int, place: str) -> Callable[[Hand], bool]:
    return lambda hand: hand.line(number).place == place


def at_the_mat(kind: str) -> Acts:
    return [(kind, number, None) for number in MAT]


OUTSIDE = (1, 7, 14, 15, 18, 19, 20, 21, 23, 25, 28, 31, 33, 40)
"""Trays in the frame and where they harden."""

STORIES: dict[str, Story] = {
    "water": Story(46, acts=[("watered", 46, None)], seen=lambda hand: hand.line(46).seen is Today.WATERED),
    "leave": Story(46, acts=[("left dry", 46, None)], seen=lambda hand: hand.line(46).seen is Today.LEFT),
    "look": Story(46, acts=[("looked at", 46, None)], seen=lambda hand: hand.line(46).seen is Today.LOOKED),
    "do_due": Story(63, acts=[("first up", 63, None)]),
    "root_look": Story(12, "2", [("root look", 12, None)]),
    "finger": Story(46, "1", [("finger test", 46, None)]),
    "up": Story(58, "40⏎", [("half up", 58, 40)]),
    "thin": Story(50, acts=[("thinned", 50, None)]),
    "move": Story(46, "3", [("moved", 46, None)], seen=place_of(46, "Slats")),
    "pot_up": Story(12, "60⏎8⏎⏎⏎", [("potted up", 12, 60), ("looked at", 71, None)]),
    "set_out": Story(25, "⏎bed 4⏎under fleece⏎", [("against the gate", 25, None), ("set out", 25, 118)]),
    "cut": Story(27, "2", [("cut", 27, None)]),
    "feed": Story(46, acts=[("fed", 46, None)]),
    "lose": Story(12, "3⏎2", [("lost", 12, 3)]),
    "count": Story(12, "60⏎", [("counted", 12, 60)]),
    "note": Story(46, "soft stems⏎", [("note", 46, None)]),
    "call": Story(46, "soft stems⏎", [("called", 46, None)]),
    "resow": Story(46, "30⏎⏎⏎", [("lost", 46, 30), ("resown", 46, 30)]),
    "retire": Story(25, "y", [("retired", 25, 118)]),
    "more": Story(46, "sspots⏎", [("looked sick", 46, None)]),
    "promises": Story(46, seen=lambda hand: hand.where == PROMISES),
    "add_promise": Story(46, PROMISED, seen=lambda hand: promised(hand) == [("plot 4", 6)]),
    "change_promise": Story(
        46, "8⏎⏎", before=f"a{PROMISED}", seen=lambda hand: promised(hand)[-1] == ("plot 4", 8)
    ),
    "drop_promise": Story(
        46, "y", before=f"a{PROMISED}", seen=lambda hand: promised(hand)[-1] == ("plot 4", 0)
    ),
    "fulfil": Story(46, "4⏎⏎", [("handed over", 56, 4)], before=f"a{PROMISED}"),
    "season": Story(46, seen=lambda hand: hand.where == SEASON),
    "open_crop": Story(46, seen=lambda hand: hand.where == CROP_SEASON),
    "keep_crop": Story(46, "good⏎⏎", seen=lambda hand: newest_verdict(hand) == ("keep", "good")),
    "change_crop": Story(
        46, "late⏎soon⏎", seen=lambda hand: newest_verdict(hand) == ("change", "late / soon")
    ),
    "drop_crop": Story(46, "tired⏎⏎", seen=lambda hand: newest_verdict(hand) == ("drop", "tired")),
    "write_season": Story(46, "⏎", seen=lambda hand: "season-2026.txt" in hand.said),
    "season_before": Story(46, seen=lambda hand: hand.said == "Nothing is on record before 2026."),
    "season_after": Story(46, seen=lambda hand: hand.said == "Nothing is on record after 2026."),
    "find": Story(46, "sclerotinia⏎", seen=lambda hand: hand.where == FOUND),
    "open_found": Story(46, seen=lambda hand: hand.where == TRAY),
    "health": Story(46, seen=lambda hand: hand.where == HEALTH),
    "read_lots": Story(46, seen=lambda hand: "somewhere 72-95 %" in hand.shown or "seed lots" in hand.shown),
    "correct": Story(30, "112mar⏎", [("corrected", 30, None)]),
    "open": Story(46, seen=lambda hand: (hand.where, hand.under_hand) == (TRAY, 46)),
    "water_place": Story(46, "⏎", at_the_mat("watered")),
    "look_place": Story(46, "⏎", at_the_mat("looked at")),
    "leave_place": Story(46, "⏎", at_the_mat("left dry")),
    "feed_place": Story(46, "⏎", at_the_mat("fed")),
    "next_place": Story(46, seen=lambda hand: hand.place == "Shelf"),
    "previous_place": Story(46, seen=lambda hand: hand.place == "Corner"),
    "second_pass": Story(46, "⏎", seen=lambda hand: hand.place == "Hardening"),
    "order": Story(46, seen=lambda hand: hand.said == "Trays stand in bench order."),
    "close_round": Story(46, acts=[("round closed", None, 60)]),
    "to_round": Story(46, seen=lambda hand: hand.where == ROUND),
    "back": Story(46, seen=lambda hand: (hand.where, hand.under_hand) == (ROUND, 46)),
    "sow": Story(46, "brisk⏎⏎", [("sown", 71, 72)]),
    "read": Story(
        46,
        "14 17⏎",
        seen=lambda hand: (
            hand.rows("SELECT what, day, low_c, high_c FROM reading ORDER BY id DESC LIMIT 1")
            == [("air", "2026-04-14", 4.0, 17.0)]
        ),
    ),
    "readings": Story(46, seen=lambda hand: hand.where == READINGS),
    "undo": Story(
        46, before="w", acts=[("watered", 46, None)], seen=lambda h: h.line(46).seen is Today.UNSEEN
    ),
    "redo": Story(
        46, before="wu", acts=[("watered", 46, None)], seen=lambda h: h.line(46).seen is Today.WATERED
    ),
    "entries": Story(46, seen=lambda hand: hand.where == ENTRIES),
    "take_back": Story(
        46, before="qwj", acts=[("watered", 46, None)], seen=lambda h: h.line(46).seen is Today.UNSEEN
    ),
    "bring_back": Story(
        46, before="qwjx", acts=[("watered", 46, None)], seen=lambda h: h.line(46).seen is Today.WATERED
    ),
    "needs": Story(46, seen=lambda hand: hand.where == FIRST),
    "person": Story(46, "2", seen=lambda hand: hand.app.session.person == "Jory"),
    "places": Story(46, "nHoop⏎4⏎⏎⏎⏎", seen=lambda hand: hand.view.places[-1].name == "Hoop"),
    "containers": Story(
        46,
        "60-cell tray⏎160⏎32⏎1",
        seen=lambda hand: (
            hand.rows("SELECT cells, volume_ml FROM container WHERE name = '60-cell tray'") == [(60, 32.0)]
        ),
    ),
    "timings": Story(46, seen=lambda hand: isinstance(hand.app.screen, TimingsScreen)),
    "what_if": Story(12, "p1⏎", seen=lambda hand: hand.said.startswith("what if: ready ")),
    "cold": Story(46, seen=lambda hand: hand.where == COLD),
    "ways": Story(46, seen=lambda hand: isinstance(hand.app.screen, WaysScreen)),
    "lots": Story(
        46,
        "tomato Ostrel⏎npkt 9⏎2025⏎17 of 20⏎⏎⏎y",
        seen=lambda hand: (
            hand.rows(
                "SELECT packed_year, tested_seeds, tested_up, tested_on, treated FROM packet ORDER BY id DESC LIMIT 1"
            )
            == [(2025, 20, 17, "2026-04-14", "yes")]
        ),
    ),
    "settings": Story(46, "52", seen=lambda hand: hand.app.theme == LIGHT),
    "help": Story(46, seen=lambda hand: isinstance(hand.app.screen, HelpScreen)),
    "plan": Story(46, seen=lambda hand: hand.where == PLAN),
    "sow_planned": Story(46, "yy", [("sown", 71, 17)], before=CLASS),
    "add_target": Story(
        46, "brisk⏎24⏎12 may⏎c1⏎⏎⏎", seen=lambda hand: newest_target(hand) == (24, "2026-05-12")
    ),
    "change_target": Story(
        46, "p20⏎", before=CLASS, seen=lambda hand: newest_target(hand) == (20, "2026-05-12")
    ),
    "drop_target": Story(46, "y", before=CLASS, seen=lambda hand: newest_target(hand) == (0, "2026-05-12")),
    "sowing_session": Story(46, seen=lambda hand: "sowing session" in hand.shown),
    "mat": Story(46, seen=lambda hand: hand.where == MAT_ROTA),
    "pin": Story(46, "⏎w⏎", before=ON_ROTA, seen=lambda hand: newest_pin(hand) == (1, 0)),
    "release": Story(46, before=f"{ON_ROTA}p⏎w⏎", seen=lambda hand: newest_pin(hand) == (0, 1)),
    "gate": Story(46, seen=lambda hand: hand.where == GATE),
    "go_out": Story(
        46,
        "⏎bed 4⏎under fleece⏎",
        [("against the gate", 25, None), ("set out", 25, 118)],
        before="25",
    ),
    "frost": Story(46, seen=lambda hand: hand.where == FROST),
    "dates": Story(46, "Moor⏎24 apr, 14 may⏎⏎⏎", seen=lambda hand: "last freezes at Moor" in hand.said),
    "tonight": Story(46, seen=lambda hand: hand.where == TONIGHT),
    "as_proposed": Story(46, acts=[("stayed out", number, None) for number in OUTSIDE]),
    "brought_in": Story(46, acts=[("brought in", 20, None)], before="20"),
    "covered": Story(46, acts=[("covered", 20, None)], before="20"),
    "stays_out": Story(46, acts=[("stayed out", 20, None)], before="20"),
    "keep_in": Story(46, acts=[("kept in", 20, None)], before="20"),
    "away": Story(46, "⏎+5⏎", seen=lambda hand: hand.where == COVER),
    "stock": Story(46, seen=lambda hand: hand.where == STOCK),
    "paper": Story(46, seen=lambda hand: hand.where == PAPER),
    "from_paper": Story(
        46, "yesterday 7:10⏎", seen=lambda hand: hand.said.startswith("What follows was done Mon 13 Apr 7:10")
    ),
    "write_sheet": Story(46, "␛", seen=lambda hand: hand.where == PAPER),
    "write_labels": Story(46, "12⏎t␛", seen=lambda hand: hand.where == PAPER),
    "count_stock": Story(46, "m80⏎", seen=lambda hand: hand.said.startswith("counted: 80 L of mix")),
    "washed": Story(46, "⏎12⏎y", seen=lambda hand: hand.said.startswith("washed 12 ")),
    "bleach": Story(46, "8.25⏎⏎⏎⏎", seen=lambda hand: "0.61 L of 8.25 % bleach" in hand.shown),
    "clashes": Story(46, seen=lambda hand: hand.where == CLASHES),
    "first_counts": Story(46, seen=lambda hand: hand.said == "Nothing is to be decided."),
    "later_counts": Story(46, seen=lambda hand: hand.said == "Nothing is to be decided."),
    "both_count": Story(46, seen=lambda hand: hand.said == "Nothing is to be decided."),
    "open_clash": Story(46, seen=lambda hand: hand.said == "No tray stands on this line."),
    "write_calendar": Story(
        46,
        "⏎",
        seen=lambda hand: (Path.home() / "trayround.ics").is_file() and hand.said.startswith("Wrote "),
    ),
    "leave_app": Story(46, seen=lambda hand: hand.app._exit),
}


def air_today(hand: Hand) -> object:
    """Places whose air was read today and not taken back."""
    dead = "SELECT undoes FROM entry WHERE undoes IS NOT NULL"
    ((count,),) = hand.rows(
        f"SELECT count(*) FROM reading WHERE what = 'air' AND day = '2026-04-14' AND entry_id NOT IN ({dead})"
    )
    return count


AT_READINGS = {
    "undo": Story(46, before="N14 17⏎", seen=lambda hand: air_today(hand) == 0),
    "redo": Story(
        46, before="N14 17⏎u", seen=lambda hand: hand.said.startswith("brought back: read 4 °C / 17")
    ),
}
"""Stories of what has other work to do on the readings page: no tray is under the hand there."""

# What stands on every page is one method of theirs, so it is pressed on one of them. Every day each command of the
# round is pressed once, on one screen after the other; in .ci/run all are, on every screen.
PRESSED = [
    pytest.param(
        *(command, where, key),
        id=f"{command.id}-{where}-{key}",
        marks=[] if place == number % len(ways) and command.where & AT_TRAY else [pytest.mark.long],
    )
    for number, command in enumerate(COMMANDS)
    for ways in [
        [
            (where, key)
            for where in sorted(command.where - (PAGES - {PLAN} if command.where >= PAGES else set()))
            for key in command.key.split(",")
        ]
    ]
    for place, (where, key) in enumerate(ways)
]


@pytest.fixture
def all_listed(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every tray stands on the first screen, so that a story needn't be about one that presses."""
    monkeypatch.setattr("tui.screens.first.needs", lambda view: view.lines)
    monkeypatch.setattr("tui.screens.first.MOST", 60)


def test_every_command_of_the_register_has_its_story() -> None:
    assert set(STORIES) == {command.id for command in COMMANDS}


@pytest.mark.parametrize(("command", "where", "key"), PRESSED)
async def test_every_action_does_its_work_on_every_screen_where_it_stands(
    farm: Path, all_listed: None, command: Command, where: str, key: str
) -> None:
    story = STORIES[command.id]
    if where in {READINGS, *PAGES}:
        story = AT_READINGS.get(command.id, story)
    async with at_the_farm(farm, helper="Pip" if where == HELPER else "") as hand:
        await hand.stand(where, story.tray)
        since = hand.last_act
        await hand.type(story.before)
        await hand.press(key)
        await hand.type(story.then)
        assert not hand.asks, hand.shown
        assert story.seen(hand), hand.shown
        assert sorted(hand.acts(since), key=str) == sorted(story.acts, key=str)
        assert hand.who(since) <= {"Pip" if where == HELPER else "Wren"}


@pytest.mark.parametrize("where", [FIRST, ROUND, TRAY, READINGS])
async def test_help_lists_every_command_of_its_screen_and_closes(
    farm: Path, all_listed: None, where: str
) -> None:
    async with at_the_farm(farm) as hand:
        await hand.stand(where, 46)
        await hand.press("question_mark")
        listed = " ".join(str(hand.app.screen.query_one("Static").content).split())  # type: ignore[attr-defined]
        for command in commands_of(where):
            assert f" {key_words(command)} {command.help}" in listed
        assert "What can be done here" in hand.shown
        await hand.press(*["pagedown"] * 4)
        assert "Everything is saved." in hand.shown or where in {TRAY, READINGS}
        await hand.press("escape")
        assert hand.where == where


@pytest.mark.parametrize("where", [FIRST, ROUND, TRAY])
@pytest.mark.parametrize("key", ["ctrl+p", "colon"])
async def test_the_palette_lists_every_command_of_its_screen_and_runs_one(
    farm: Path, all_listed: None, where: str, key: str
) -> None:
    async with at_the_farm(farm) as hand:
        await hand.stand(where, 46)
        await hand.press(key)
        await hand.app.workers.wait_for_complete()
        await hand.pilot.pause()
        offered = [str(option.prompt) for option in hand.app.screen.query_one(CommandList).options]
        assert len(offered) == len(commands_of(where))
        for command in commands_of(where):
            assert any(command.help in words and f"({key_words(command)})" in words for words in offered)
        await hand.type("left dry")
        await hand.app.workers.wait_for_complete()
        await hand.press("enter")
        await hand.until("left dry 46T")
        assert hand.where == where
        assert hand.acts(0)[-1] == ("left dry", 46, None)
