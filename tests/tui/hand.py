"""A hand on the keys: opens the program on a copy of the demo farm, presses, counts, and reads screen and file."""

import sqlite3
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from datetime import date
from pathlib import Path

from textual.pilot import Pilot

from model.actions.files import DEMO_MORNING
from model.days import FixedClock
from model.views.lines import RoundView, TrayLine
from tui.app import TrayroundApp
from tui.session import Session
from tui.words import UNICODE, Signs

NAMED = {
    " ": "space",
    "?": "question_mark",
    ":": "colon",
    "-": "minus",
    ".": "full_stop",
    "/": "slash",
    "+": "plus",
}


class Hand:
    """Presses keys one by one and counts them."""

    def __init__(self, app: TrayroundApp, pilot: Pilot[str]) -> None:
        self.app = app
        self.pilot = pilot
        self.keys = 0

    async def press(self, *keys: str) -> None:
        """Press keys by their names."""
        for key in keys:
            self.keys += 1
            await self.pilot.press(key)

    async def type(self, text: str) -> None:
        """Press the keys of a text, letter by letter; capitals count as one key."""
        await self.press(*(NAMED.get(char, char) for char in text))

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
        return "\n".join(strip.text for strip in self.app.screen._compositor.render_strips())

    def rows(self, sql: str, *values: object) -> list[tuple[object, ...]]:
        """Rows of the file, read apart from the program."""
        connection = sqlite3.connect(self.app.session.path)
        try:
            return connection.execute(sql, values).fetchall()
        finally:
            connection.close()

    def acts(self, since: int = 0) -> list[tuple[object, ...]]:
        """Kind, tray number and count of the acts entered since an act, in order."""
        return self.rows(
            "SELECT kind, number, count FROM act LEFT JOIN tray ON tray.id = act.tray_id WHERE act.id > ? ORDER BY act.id",
            since,
        )


@asynccontextmanager
async def at_the_farm(
    path: Path,
    *,
    size: tuple[int, int] = (80, 24),
    on: date | None = None,
    make: bool = False,
    signs: Signs = UNICODE,
) -> AsyncIterator[Hand]:
    """The program, open on a file at half past six on the demo morning (or another day)."""
    session = Session(path, FixedClock(on or DEMO_MORNING), make=make)
    app = TrayroundApp(session, signs)
    async with app.run_test(size=size) as pilot:
        await app.workers.wait_for_complete()
        await pilot.pause()
        yield Hand(app, pilot)
    session.close()
