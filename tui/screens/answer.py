"""A screen that answers one question: the answer first, its lines under a heading, the why of the line under the hand."""

from typing import ClassVar

from rich.cells import cell_len
from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.widgets import Static

from model.rules.numbers import number_words
from model.text import clean
from model.views.answer import Answer, AnswerLine, in_ascii
from model.views.lines import TrayLine
from tui.screens.acts import KeyLine, TrayActs
from tui.screens.caution import show_cautions
from tui.screens.finding import LONGEST, says_refusal
from tui.session import Session
from tui.text import fit, fit_words, wrap
from tui.widgets.why import Why
from tui.words import ASCII, Signs

MARGIN = 1
SCROLLBAR = 1
"""Columns at the sides of the body."""
MOVES: list[BindingType] = [
    Binding("up", "line_up", "up", show=False),
    Binding("down", "line_down", "down", show=False),
]
"""Keys that move the hand from line to line; subclasses add those of the register."""


class AnswerScreen(TrayActs):
    """Subclasses say where they are, what they read, and what can be done to the line under the hand."""

    HAS_LETTERS = False
    CAUTION: ClassVar[str] = ""
    """Step of the work that this page is about, where a caution belongs to it."""

    DEFAULT_CSS = """
    AnswerScreen { background: $ground; color: $ink; }
    AnswerScreen #title { height: 1; padding: 0 1; background: $raised; text-style: bold; }
    AnswerScreen #body { height: 1fr; padding: 0 1 0 0; scrollbar-size-vertical: 1; }
    AnswerScreen #answer { height: auto; }
    AnswerScreen #said { height: auto; min-height: 1; max-height: 2; padding: 0 1; color: $ready; }
    AnswerScreen #said.bad { color: $crowding; text-style: bold; }
    """

    def __init__(self, session: Session, signs: Signs) -> None:
        super().__init__()
        self.session = session
        self.signs = signs
        self.answered: Answer | None = None
        self._row = self._row_before = 0

    async def read(self) -> Answer:
        """The answer as the record has it now."""
        raise NotImplementedError

    def compose(self) -> ComposeResult:
        yield Static("", id="title", markup=False)
        with VerticalScroll(id="body", can_focus=False):
            yield Static("reckoning\u2026", id="answer", markup=False)
        yield Why(self.signs, id="why")
        yield Static("", id="said", markup=False)
        yield KeyLine(self.WHERE)

    @property
    def line(self) -> TrayLine | None:
        """The tray of the line under the hand, where the line is about one that stands."""
        here = self.under_hand
        lines = self.session.view.lines if self.session.view else ()
        return next((line for line in lines if here and line.number == here.number), None)

    @property
    def under_hand(self) -> AnswerLine | None:
        """The line under the hand."""
        lines = self.answered.lines if self.answered else ()
        return lines[min(self._row, len(lines) - 1)] if lines else None

    async def on_mount(self) -> None:
        await self.show_again()
        self.caution(self.CAUTION)

    def caution(self, step: str) -> None:
        """Show what nobody has seen yet this year of a step's cautions."""
        if step:
            self.run_worker(show_cautions(self, self.session, step))

    async def on_screen_resume(self) -> None:
        """Something may have changed while a question was in front."""
        if self.is_mounted and self.answered is not None:
            await self.show_again()

    @says_refusal
    async def show_again(self) -> None:
        """Read the answer anew; the hand stays on the line of the same thing."""
        answered = await self.read()
        # Keys may have moved the hand while it was read.
        before = self.under_hand
        self.answered = answered
        if before is not None:
            same = [i for i, line in enumerate(self.answered.lines) if before.key == line.key is not None]
            self._row = same[0] if same else min(self._row, max(0, len(self.answered.lines) - 1))
        self._draw()

    def _draw(self) -> None:
        found = self.answered
        if found is None or not self._drawn_here:
            return
        self.query_one("#title", Static).update(self.title_text(found.title))
        text = Text(no_wrap=True, overflow="ellipsis")
        width = self.size.width - 2 * MARGIN - SCROLLBAR
        answered = [row for words in found.answer for row in wrap(self._shown(words), width)]
        for row in answered:
            text.append(f" {row}\n", style="bold")
        if found.lines:
            text.append("\n " + fit(self._shown(found.heading), width) + "\n", style=self._colour("quiet"))
        top = len(answered) + 2
        for number, line in enumerate(found.lines):
            style = self._colour(line.tone)
            if number == self._row:
                style = f"bold {style} on {self._colour('cursor')}"
            # The sign says the same as the colour, as it does on the round.
            sign = self.signs.cursor if number == self._row else " "
            text.append(sign + fit_words(self._shown(line.text), width) + "\n", style=style.strip())
        for note in ("", *found.notes) if found.notes else ():
            # What fits is left as it is: a curve begins with blanks.
            shown = self._shown(note)
            rows = [shown] if cell_len(shown) <= width else wrap(shown, width)
            text.append("".join(f" {row}\n" for row in rows), style=self._colour("quiet"))
        self.query_one("#answer", Static).update(text)
        here = self.under_hand
        self.query_one("#why", Why).show("", tuple(self._shown(why) for why in here.why) if here else ())
        self.call_after_refresh(self._keep_in_sight, top + self._row)

    @property
    def _drawn_here(self) -> bool:
        """Whether there is something to draw on: a page that another took the place of has lost its rows already."""
        return self.is_mounted and bool(self.query("#body"))

    def _keep_in_sight(self, row: int) -> None:
        """Scroll so that the line under the hand is seen; at the first one the answer is seen too."""
        if not self._drawn_here:
            return
        body = self.query_one("#body", VerticalScroll)
        height, first = body.size.height, round(body.scroll_y)
        if self._row == 0:
            body.scroll_to(y=0, animate=False)
        elif not first <= row < first + height:
            body.scroll_to(y=max(0, row - height // 2), animate=False)

    def _shown(self, words: str) -> str:
        return in_ascii(clean(words)) if self.signs is ASCII else clean(words)

    def _colour(self, tone: str) -> str:
        return self.app.theme_variables.get(tone, "") if tone else ""

    def on_resize(self) -> None:
        """The title is laid out for the room there is."""
        self._draw()

    def _step(self, by: int) -> None:
        lines = self.answered.lines if self.answered else ()
        beyond = self._row + by
        if not 0 <= beyond < len(lines):
            # Past the last line the notes come into sight.
            self.query_one("#body", VerticalScroll).scroll_relative(y=by * 3, animate=False)
            return
        self._row = beyond
        self._draw()

    def action_line_up(self) -> None:
        self._step(-1)

    def action_line_down(self) -> None:
        self._step(1)

    async def action_back(self) -> None:
        """Back to where this was opened; what was done here may have changed what is known there."""
        self.app.pop_screen()
        front = self.app.screen
        if isinstance(front, TrayActs):
            # What was said there before is old news by now.
            front.say("")
            await front.show_again()

    def take(self, key: int) -> None:
        """Take the line of a thing under the hand."""
        lines = self.answered.lines if self.answered else ()
        self._row = next((row for row, line in enumerate(lines) if line.key == key), self._row)
        self._draw()

    def go_to(self, line: TrayLine) -> None:
        """Take the line of a tray under the hand."""
        rows = (
            [i for i, listed in enumerate(self.answered.lines) if listed.number == line.number]
            if self.answered
            else []
        )
        if rows:
            self._row = rows[0]
            self._draw()

    def open_tray(self, tray_id: int) -> None:
        """Everything about a tray."""
        from tui.screens.tray import TrayScreen

        self.app.push_screen(TrayScreen(self.session, self.signs, tray_id))

    def _find(self, digit: str) -> None:
        """Digits find the line of a tray by its number."""
        if not self._digits:
            self._row_before = self._row
        self._digits = (self._digits + digit)[:LONGEST]
        lines = self.answered.lines if self.answered else ()
        rows = [i for i, line in enumerate(lines) if str(line.number) == self._digits]
        if not rows and (tray := self._stands()) is not None:
            # An old number finds the line of the tray that carried it.
            rows = [i for i, line in enumerate(lines) if line.number == tray.number]
            if rows:
                self.say(next(number_words(int(self._digits), tray, (), self.session.today)))
        if rows:
            self._row = rows[0]
            self._draw()
        elif not any(str(line.number).startswith(self._digits) for line in lines):
            self.say(f"No tray {self._digits} is listed here.", bad=True)
            self._digits, self._row = "", self._row_before
            self._draw()
