"""A hand on the keys: opens the program on a copy of the demo farm, presses, counts, and reads screen and file."""

import sqlite3
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from datetime import date
from pathlib import Path

import pytest
from textual import events
from textual._compositor import Compositor
from textual._context import visible_screen_stack
from textual.keys import _character_to_key
from textual.pilot import Pilot
from textual.widgets import Input, Static

from model.actions.files import DEMO_MORNING
from model.days import Clock, FixedClock
from model.views.lines import RoundView, TrayLine
from tui.app import TrayroundApp
from tui.commands import (
    CLASHES,
    COMMANDS,
    COVER,
    CROP_SEASON,
    FIRST,
    FOUND,
    HELPER,
    PAGES,
    READINGS,
    TRAY,
)
from tui.dialogs.ask import Ask
from tui.helper import HelperApp
from tui.screens.bench import Bench
from tui.screens.finding import FindsTrays
from tui.screens.helper import HelperScreen
from tui.screens.tray import TrayScreen
from tui.session import Session
from tui.words import UNICODE, Signs

NAMED = {"⏎": "enter", "␛": "escape", "⇢": "right", "⇠": "left", "⇡": "up", "⇣": "down", "⌫": "backspace"}
"""Keys by the sign that stands for them in a typed text; any other sign is its own key."""
CHARACTERS = {"enter": "\r", "escape": "\x1b", "space": " ", "question_mark": "?", "colon": ":"}
"""What keys with a name of their own type."""
ASKED = {COVER: "Ea⏎+5⏎", CROP_SEASON: "Y⏎", FOUND: "/bed⏎", CLASHES: "!"}
"""Pages that more than their own key opens, and what is typed."""
PATIENCE = 400
"""Pauses for which a key is waited for."""


def _undrawn(compositor: Compositor, **_named: object) -> None:
    """Nothing is drawn for a terminal that isn't there; the hand draws the screen whenever its keys are done."""
    compositor._dirty_regions.clear()


def key_event(key: str) -> events.Key:
    """The event of a key, by its name or by the sign it types."""
    if len(key) == 1:
        return events.Key(key if key.isalnum() else _character_to_key(key), key)
    return events.Key(key, CHARACTERS.get(key))


def key_of(page: str) -> str:
    """The key that opens a page."""
    return next(command.key for command in COMMANDS if command.id == page)


class Hand:
    """Presses keys and counts them. It types ahead, as quick fingers do, and then waits for the program."""

    def __init__(self, app: TrayroundApp, pilot: Pilot[str]) -> None:
        self.app = app
        self.pilot = pilot
        self.keys = 0

    async def press(self, *keys: str) -> None:
        """Press keys by their names."""
        self.keys += len(keys)
        for key in keys:
            self.app.post_message(key_event(key))
        await self.pilot.pause()
        for _ in range(PATIENCE):
            if self.app._exit:
                return
            if not self.app.busy:
                _ = self.shown  # drawn here: what can't be drawn fails at the key that brought it up
                return
            await self.pilot.pause()
        raise AssertionError(f"a key is never done with: {self.app._typed}")

    async def until(self, words: str) -> None:
        """Wait for words on the screen, where no key of ours is being worked at."""
        for _ in range(PATIENCE):
            if words in self.shown:
                return
            await self.pilot.pause()
        raise AssertionError(f"{words!r} never came: {self.shown}")

    async def type(self, text: str) -> None:
        """Press the keys of a text, letter by letter; capitals count as one key."""
        await self.press(*(NAMED.get(char, char) for char in text))

    async def stand(self, where: str, number: int) -> None:
        """Go to a screen and take a tray under the hand there."""
        if where == FIRST:
            assert number in self.listed, self.shown
            await self.press("home", *["down"] * self.listed.index(number))
        else:
            await self.type(f"{'' if where == HELPER else 'n'}{self.line(number).label}")
        if where == TRAY:
            await self.press("enter")
        if where == READINGS:
            await self.press("H")
            assert self.where == where, self.shown
            self.keys = 0
            return
        if where in PAGES:
            await (self.type(ASKED[where]) if where in ASKED else self.press(key_of(where)))
            assert self.where == where, self.shown
            self.keys = 0
            return
        assert self.where == where, self.shown
        assert self.under_hand == number, self.shown
        self.keys = 0

    @property
    def where(self) -> str:
        """Which of the screens is in front; "" where something else is."""
        screen = self.app.screen
        return screen.WHERE if isinstance(screen, FindsTrays) else ""

    @property
    def under_hand(self) -> int | None:
        """The number of the tray under the hand."""
        screen = self.app.screen
        if isinstance(screen, HelperScreen):
            here = screen.line.tray_id if screen.line else None
            return next((line.number for line in self.view.lines if line.tray_id == here), None)
        assert isinstance(screen, Bench | TrayScreen)
        return screen.line.number if screen.line else None

    @property
    def listed(self) -> list[int]:
        """The numbers of the trays in the list, from the top down."""
        screen = self.app.screen
        assert isinstance(screen, Bench)
        return [line.number for line in screen.trays.lines]

    @property
    def place(self) -> str:
        """The place of the tray under the hand."""
        number = self.under_hand
        return self.line(number).place if number is not None else ""

    @property
    def said(self) -> str:
        """The sentence above the keys."""
        return str(self.app.screen.query_one("#said", Static).content)

    @property
    def asks(self) -> bool:
        """Whether a small question is in front."""
        return isinstance(self.app.screen, Ask)

    @property
    def refused(self) -> str:
        """What a small question says is wrong with the answer; "" for nothing."""
        error = self.app.screen.query_one(".ask--error", Static)
        return str(error.content) if error.display else ""

    @property
    def typed(self) -> str:
        """What stands in the field of a small question."""
        return self.app.screen.query_one(Input).value

    @property
    def view(self) -> RoundView:
        """The round as the program has it."""
        assert self.app.session.view is not None
        return self.app.session.view

    def line(self, number: int) -> TrayLine:
        """A standing tray's line."""
        return next(line for line in self.view.lines if line.number == number)

    @property
    def shown(self) -> str:
        """What stands on the screen in front, as text."""
        visible_screen_stack.set(self.app._background_screens)
        return "\n".join(strip.text for strip in self.app.screen._compositor.render_strips())

    def rows(self, sql: str, *values: object) -> list[tuple[object, ...]]:
        """Rows of the file, read apart from the program."""
        connection = sqlite3.connect(self.app.session.path)
        try:
            return connection.execute(sql, values).fetchall()
        finally:
            connection.close()

    @property
    def last_act(self) -> int:
        """Id of the newest act on record."""
        ((newest,),) = self.rows("SELECT coalesce(max(id), 0) FROM act")
        assert isinstance(newest, int)
        return newest

    def acts(self, since: int = 0) -> list[tuple[object, ...]]:
        """Kind, tray number and count of the acts entered since an act, in order."""
        return self.rows(
            "SELECT kind, number, count FROM act LEFT JOIN tray ON tray.id = act.tray_id WHERE act.id > ? ORDER BY act.id",
            since,
        )

    def who(self, since: int = 0) -> set[object]:
        """Whose acts were entered since an act."""
        found = self.rows(
            "SELECT DISTINCT name FROM act JOIN entry ON entry.id = act.entry_id "
            "JOIN person ON person.id = entry.person_id WHERE act.id > ?",
            since,
        )
        return {name for (name,) in found}


@asynccontextmanager
async def at_the_farm(
    path: Path,
    *,
    size: tuple[int, int] = (80, 24),
    on: date | None = None,
    make: bool = False,
    signs: Signs = UNICODE,
    clock: Clock | None = None,
    asked: date | None = None,
    helper: str = "",
) -> AsyncIterator[Hand]:
    """The program, open on a file at half past six on the demo morning, or another day; `asked` is the day of --on."""
    session = Session(path, clock or FixedClock(on or DEMO_MORNING), on=asked, make=make, helper=helper)
    app = (HelperApp if helper else TrayroundApp)(session, signs)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Compositor, "render_update", _undrawn)
        async with app.run_test(size=size) as pilot:
            await app.workers.wait_for_complete()
            await pilot.pause()
            yield Hand(app, pilot)
    session.close()
