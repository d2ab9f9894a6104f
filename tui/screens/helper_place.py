"""A place as somebody sees it who doesn't know the plants: its trays, what to do, when to call, and the way on."""

import textwrap
from collections.abc import Iterator
from contextlib import suppress

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding
from textual.widgets import Static

from model.days import say_day
from model.errors import TrayroundError
from model.text import clean
from model.views.helping import HelperLine, HelperPage, Usual, page_of, read_usual
from model.views.lines import TrayLine
from tui.commands import HELPER, bindings_of, commands_of, key_words
from tui.screens.finding import FindsTrays
from tui.session import Session
from tui.text import fit
from tui.widgets.footpath import Footpath
from tui.words import TODAY_WORDS, Signs

MARGIN = 1
LABEL, WHAT, DONE = 7, 22, 8
"""Columns of a row; what to do takes the rest."""
CALLED = "called"
TIED, GAP = "\N{NO-BREAK SPACE}", "   "
PLAINER = {"leave": "left, still moist"}
"""Commands that somebody who never did a round would take for something else."""
NEW_FARM = "No tray stands anywhere. There is nothing to do.   q ends."
START = "Tell somebody that you start now."
"""For those who work alone, where the farm asks for it."""


class HelperPlace(FindsTrays):
    """One place at a time, its trays in the order of feet."""

    WHERE = HELPER
    GONE = "Read the label again."
    BINDINGS = [
        *bindings_of(HELPER),
        Binding("up", "step(-1)", show=False),
        Binding("down", "step(1)", show=False),
    ]

    DEFAULT_CSS = """
    HelperPlace { background: $ground; color: $ink; }
    HelperPlace Static { height: auto; padding: 0 1; }
    HelperPlace #title { height: 1; background: $raised; text-style: bold; }
    HelperPlace #place { text-style: bold; }
    HelperPlace #heading { color: $quiet; height: 1; }
    HelperPlace #rows { height: 1fr; }
    HelperPlace #call { color: $quiet; border-top: solid $rule; max-height: 6; }
    HelperPlace #said { min-height: 1; max-height: 2; color: $ready; }
    HelperPlace #said.bad { color: $crowding; text-style: bold; }
    HelperPlace #keys { background: $raised; }
    """

    def __init__(self, session: Session, signs: Signs) -> None:
        super().__init__()
        self.session = session
        self.signs = signs
        self._place_id: int | None = None
        self._tray_id: int | None = None
        self.page: HelperPage | None = None
        self._usual: Usual = {}

    def compose(self) -> ComposeResult:
        yield Static("reading the record\u2026", id="title", markup=False)
        yield Footpath(self.signs, id="path")
        for name in ("place", "heading", "rows", "call", "said", "keys"):
            yield Static("", id=name, markup=False)

    async def on_mount(self) -> None:
        self.run_worker(self._begin())

    async def _begin(self) -> None:
        """Show the first place as soon as the record is read; what can't be opened is said by the program."""
        with suppress(TrayroundError):
            await self.session.open()
            self._usual = await self.session.answer(read_usual)
            await self.show_again()
            if self.alone:
                self.say(START)

    @property
    def alone(self) -> bool:
        """Whether the farm asks a helper to tell somebody of start and end."""
        return self.session.settings.get("alone") == "yes"

    @property
    def line(self) -> HelperLine | None:
        """The tray under the hand."""
        lines = self.page.lines if self.page else ()
        return next((line for line in lines if line.tray_id == self._tray_id), lines[0] if lines else None)

    async def show_again(self) -> None:
        """Show the place as the record has it now."""
        self._show()

    def _show(self) -> None:
        view = self.session.view
        if view is not None and self.is_mounted:
            self.page = page_of(view, self._place_id, self._usual, self.session.settings)
            self._place_id = self.page.place_id
            here = self.line
            self._tray_id = here.tray_id if here else None
            self._draw(self.page)

    def _draw(self, page: HelperPage) -> None:
        view = self.session.view
        places = view.places if view else ()
        left = f"{say_day(self.session.today)}   {clean(view.farm) if view else ''}   {clean(self.session.person)}, helping"
        right = f"not seen {page.unseen} of {len(view.lines) if view else 0}" if page.unseen else "all seen"
        width = self.size.width - 2 * MARGIN
        self.query_one("#title", Static).update(fit(left, width - len(right) - 1) + " " + right)
        self.query_one("#path", Footpath).show(places, page.place_id)
        self._put("place", f"{page.name}. {page.words}" if page.place_id else NEW_FARM)
        self._put("call", f"CALL {page.phone} if {'; '.join(page.call_if)}." if page.call_if else "")
        self._put("keys", GAP.join(self._keys()))
        self._draw_rows()
        # What stands around the rows may have grown by a line: then there is less room for them.
        self.call_after_refresh(self._draw_rows)

    def _keys(self) -> Iterator[str]:
        for command in commands_of(HELPER):
            words = f"{key_words(command).split()[0]} {PLAINER.get(command.id, command.label)}"
            yield words.replace(" ", TIED)

    def _put(self, name: str, words: str) -> None:
        """Words over as many rows as they take; what is tied stays together, a figure with its degree sign too."""
        width = self.size.width - 2 * MARGIN
        rows = textwrap.wrap(words.replace(" °", f"{TIED}°"), width)
        shown = Text("\n".join(clean(row) for row in rows), no_wrap=True, overflow="ellipsis")
        self.query_one(f"#{name}", Static).update(shown)

    def _draw_rows(self) -> None:
        page, here = self.page, self.line
        if page is None or not self.is_mounted:
            return
        shown = self.query_one("#rows", Static)
        height, at = max(1, shown.size.height), page.lines.index(here) if here else 0
        first = max(0, min(at - height // 2, len(page.lines) - height))
        text = Text(no_wrap=True, overflow="ellipsis")
        under = f"bold on {self.app.theme_variables['cursor']}"
        for line in page.lines[first : first + height]:
            text.append(self._row(line, here) + "\n", style=under if line is here else "")
        shown.update(text)
        below = len(page.lines) - first - height
        heads = f"{'  tray':<{LABEL + 2}}{'what grows':<{WHAT}}{'today':<{DONE}}what to do"
        more = f"   {self.signs.below} {below} more below" if below > 0 else ""
        self.query_one("#heading", Static).update(
            fit(heads + more, self.size.width - 2 * MARGIN) if page.lines else ""
        )

    def _row(self, line: HelperLine, here: HelperLine | None) -> str:
        cursor = self.signs.cursor if line is here else " "
        rest = self.size.width - 2 * MARGIN - LABEL - WHAT - DONE - 2
        today = CALLED if line.called else TODAY_WORDS[line.seen]
        parts = (fit(line.label, LABEL), fit(clean(line.what), WHAT - 1) + " ", fit(today, DONE))
        return f"{cursor} {''.join(parts)}{fit(line.todo, rest)}"

    def on_resize(self) -> None:
        """The rows are laid out for the room there is."""
        self._show()

    def go_to(self, line: TrayLine) -> None:
        """Take a tray under the hand, walking to its place."""
        self._place_id, self._tray_id = line.place_id, line.tray_id
        self._show()

    def open_tray(self, tray_id: int) -> None:
        """A tray that is gone isn't shown to somebody who stands in."""
        self.say("That tray doesn't stand any more. Read the label again.", bad=True)

    def action_step(self, by: int) -> None:
        """One tray on or back."""
        page, here = self.page, self.line
        if page is not None and here is not None:
            at = page.lines.index(here) + by
            self._tray_id = page.lines[max(0, min(at, len(page.lines) - 1))].tray_id
            self._show()

    def _walk(self, by: int) -> None:
        places = [place for place in self.session.view.places if place.trays] if self.session.view else []
        if not places:
            return
        at = next((i for i, place in enumerate(places) if place.place_id == self._place_id), -by)
        self._place_id, self._tray_id = places[(at + by) % len(places)].place_id, None
        self._show()
        seen = self.page is not None and not self.page.unseen
        self.say("Every tray was seen today. q ends." if seen else "")

    def action_next_place(self) -> None:
        self._walk(1)

    def action_previous_place(self) -> None:
        self._walk(-1)
