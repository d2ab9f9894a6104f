"""A screen on which digits find a tray, and which says one sentence above its keys."""

from collections.abc import Callable, Coroutine
from datetime import datetime
from functools import wraps
from typing import Any, ClassVar, Concatenate, ParamSpec, TypeVar

from rich.text import Text
from textual import events
from textual.screen import Screen
from textual.widgets import Static

from model.days import as_if
from model.errors import TrayroundError
from model.labels import label, letter_of, misread, read_label
from model.rules.numbers import leads_to, number_words
from model.text import clean
from model.views.lines import TrayLine
from tui.commands import ONE_TRAY, commands_of
from tui.session import Session
from tui.words import Signs

P = ParamSpec("P")
S = TypeVar("S", bound="FindsTrays")

LONGEST = 4
"""Digits of the longest tray number."""


def says_refusal(
    action: Callable[Concatenate[S, P], Coroutine[Any, Any, None]],
) -> Callable[Concatenate[S, P], Coroutine[Any, Any, None]]:
    """An action that says why it was refused, also where the record can't be read just now."""

    @wraps(action)
    async def said(screen: S, /, *args: P.args, **kwargs: P.kwargs) -> None:
        try:
            await action(screen, *args, **kwargs)
        except TrayroundError as error:
            screen.say(str(error), bad=True)

    return said


class FindsTrays(Screen[None]):
    """Digits take a tray under the hand, wherever it stands; Enter after a number opens one that is gone."""

    WHERE: ClassVar[str] = ""
    HAS_LETTERS: ClassVar[bool] = True
    """Whether a capital after digits is the letter on a label; where capitals open pages it isn't."""
    GONE: ClassVar[str] = "Enter opens one that is gone."
    """What to do about a number that leads to no standing tray."""
    session: Session
    signs: Signs
    _digits = ""
    _from: TrayLine | None = None
    """The tray that was under the hand when the first digit was typed."""
    _astray = False
    """Whether digits were typed that lead to no standing tray, or to one that a letter spoke against."""
    _lost: TrayLine | None = None
    """The tray that went from under the hand by what another window entered."""

    @property
    def tray_here(self) -> TrayLine | None:
        """The tray under the hand; None where lines aren't about trays."""
        return None

    @property
    def now(self) -> datetime:
        """The instant, on the day that is looked at."""
        return as_if(self.session.clock.now(), self.session.today, self.session.settings.get("zone", "UTC"))

    async def show_again(self) -> None:
        """Show what is new in the session's view."""
        raise NotImplementedError

    async def show_news(self) -> None:
        """Show what another window entered."""
        await self.show_again()

    def go_to(self, line: TrayLine) -> None:
        """Take a tray under the hand, wherever it stands."""
        raise NotImplementedError

    def open_tray(self, tray_id: int) -> None:
        """Show everything about a tray, standing or gone."""
        raise NotImplementedError

    async def on_key(self, event: events.Key) -> None:
        """Digits find a tray by its number; a capital after them is the letter on its label; any other key ends it."""
        typed = event.character or ""
        lost, self._lost = self._lost, None
        if lost is not None and typed and not typed.isdecimal() and event.key != "escape":
            event.stop()
            event.prevent_default()
            self.say(f"{lost.label} is gone, so nothing was done.", bad=True)
            self._forget()
        elif typed.isdecimal():
            event.stop()
            self._find(typed)
        elif self._digits and self.HAS_LETTERS and typed.isascii() and typed.isupper():
            event.stop()
            self._check_letter(typed)
        elif self._astray and event.key == "enter":
            event.stop()
            event.prevent_default()
            await self._open_gone()
        elif self._astray and typed and event.key != "escape":
            event.stop()
            which = f"No tray {self._digits} stands" if self._stands() is None else "The letter was wrong"
            self.say(f"{which}, so nothing was done. Type the number again.", bad=True)
            self._forget()
        else:
            self._forget()

    def _forget(self) -> None:
        self._digits, self._astray = "", False

    def _stands(self) -> TrayLine | None:
        """The standing tray whose number was typed, or one that carried it before it got a new label."""
        lines = self.session.view.lines if self.session.view else ()
        # A nought before it makes no number of it that stands on a label.
        return leads_to(int(self._digits), lines) if self._digits[0] != "0" else None

    def _find(self, digit: str) -> None:
        view = self.session.view
        if not self._digits:
            self._from = self.tray_here
        # One digit too many is kept: no tray has such a number, and the sentence names it.
        self._digits = digits = (self._digits + digit)[: LONGEST + 1]
        line = self._stands()
        # Until the number is one that stands, a key for the tray under the cursor would hit a wrong one.
        self._astray = line is None
        if line is not None:
            self.say_found(line)
            self.go_to(line)
            return
        if self._from is not None:
            # The first digits of a number that leads nowhere may have led to another tray.
            self.go_to(self._from)
        if view and any(str(line.number).startswith(digits) for line in view.lines):
            self.say(f"{digits}…")
        else:
            self.say(f"No tray {digits} stands. {self.GONE}", bad=True)

    @says_refusal
    async def _open_gone(self) -> None:
        from model.views.tray import find_tray

        digits = self._digits
        self._forget()
        number = read_label(digits)
        self.open_tray(await self.session.answer(lambda store: find_tray(store, number)))

    def _check_letter(self, letter: str) -> None:
        """The letter on the label agrees with the number, or one of them was misread."""
        try:
            number = read_label(self._digits + letter)
        except TrayroundError as error:
            self._astray = True
            words = self._as_command(letter) or str(error)
            self.say(words, bad=True)
            self._ask_which(int(self._digits), letter, words)
        else:
            line = self._stands()
            if line is None:
                self.say(f"No tray {label(number)} stands. {self.GONE}", bad=True)
            elif line.number != number:
                self.say_found(line)
                self._digits = ""
            else:
                self.say(f"{label(number)} it is.")
                self._digits = ""

    def _ask_which(self, number: int, letter: str, words: str) -> None:
        """Which label it is, where another tray's is one slip from what was typed."""
        from tui.dialogs.ask import Ask
        from tui.dialogs.flows import which_label

        lines = {line.number: line for line in (self.session.view.lines if self.session.view else ())}
        meant = [lines[slip] for slip in misread(number, letter) if slip in lines]
        if meant:
            found = [lines[number], *meant] if number in lines else meant
            self.app.push_screen(
                Ask(words, which_label, f"{number}{letter}", found, (*lines.values(),)), self._which
            )

    def _which(self, line: TrayLine | TrayroundError | None) -> None:
        """Take the tray that was meant under the hand; after Esc nothing has happened."""
        self._forget()
        self.say("")
        if isinstance(line, TrayLine):
            self.say_found(line)
            self.go_to(line)

    def _as_command(self, letter: str) -> str:
        """How to do what a capital letter does to the tray whose number was typed; "" where it does nothing."""
        line = self._stands()
        command = next(
            (command for command in commands_of(self.WHERE) if letter in command.key.split(",")), None
        )
        if line is None or command is None:
            return ""
        way = "Enter" if command.group == ONE_TRAY else "Esc"
        number = int(self._digits)
        wrong = f"{number} ends in {letter_of(number)}, not in {letter}. Nothing was done"
        return f"{wrong}; {way}, then {letter}: {command.label}."

    def say_found(self, line: TrayLine) -> None:
        """Which tray a number led to; that it is an old one, or that another tray's old label bears it, is told too."""
        lines = self.session.view.lines if self.session.view else ()
        words = number_words(int(self._digits), line, lines, self.session.today) if self._digits else ()
        self.say("   ".join([f"{line.label}  {line.crop} {line.variety}, {line.place}", *words]))

    def say(self, words: str, *, bad: bool = False) -> None:
        """One sentence above the keys: what was done, or why it wasn't; on the screen in front once this one is left."""
        if self not in self.app.screen_stack:
            if isinstance(self.app.screen, FindsTrays):
                self.app.screen.say(words, bad=bad)
            return
        said = self.query_one("#said", Static)
        said.set_class(bad, "bad")
        said.update(Text(clean(words)))
