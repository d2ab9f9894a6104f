"""A screen on which digits find a tray, and which says one sentence above its keys."""

from collections.abc import Callable, Coroutine
from functools import wraps
from typing import Any, Concatenate, ParamSpec, TypeVar

from rich.text import Text
from textual import events
from textual.screen import Screen
from textual.widgets import Static

from model.errors import TrayroundError
from model.labels import read_label
from model.text import clean
from model.views.lines import TrayLine
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

    session: Session
    signs: Signs
    _digits = ""
    _astray = False
    """Whether digits were typed that lead to no standing tray."""

    def go_to(self, line: TrayLine) -> None:
        """Take a tray under the hand, wherever it stands."""
        raise NotImplementedError

    def open_tray(self, tray_id: int) -> None:
        """Show everything about a tray, standing or gone."""
        raise NotImplementedError

    async def on_key(self, event: events.Key) -> None:
        """Digits find a tray by its number; a capital after them is the letter on its label; any other key ends it."""
        typed = event.character or ""
        if typed.isdecimal():
            event.stop()
            self._find(typed)
        elif self._digits and typed.isascii() and typed.isupper():
            event.stop()
            self._check_letter(typed)
        elif self._astray and event.key == "enter":
            event.stop()
            event.prevent_default()
            await self._open_gone()
        elif self._astray and typed and event.key != "escape":
            event.stop()
            self.say(f"No tray {self._digits} stands, so nothing was done. Type the number again.", bad=True)
            self._forget()
        else:
            self._forget()

    def _forget(self) -> None:
        self._digits, self._astray = "", False

    def _find(self, digit: str) -> None:
        view = self.session.view
        numbers = {str(line.number): line for line in view.lines} if view else {}
        self._digits = digits = "" if len(self._digits) > LONGEST else self._digits + digit
        line = numbers.get(digits)
        # Until the number is one that stands, a key for the tray under the cursor would hit a wrong one.
        self._astray = line is None
        if line is not None:
            self.say_found(line)
            self.go_to(line)
        elif any(number.startswith(digits) for number in numbers):
            self.say(f"{digits}…")
        else:
            self.say(f"No tray {digits} stands. Enter opens one that is gone.", bad=True)

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
            read_label(self._digits + letter)
        except TrayroundError as error:
            self._astray = True
            self.say(str(error), bad=True)
        else:
            self.say(f"{self._digits}{letter} it is.")
            self._digits = ""

    def say_found(self, line: TrayLine) -> None:
        """Which tray a number led to."""
        self.say(f"{line.label}  {line.crop} {line.variety}, {line.place}")

    def say(self, words: str, *, bad: bool = False) -> None:
        """One sentence above the keys: what was done, or why it wasn't."""
        said = self.query_one("#said", Static)
        said.set_class(bad, "bad")
        said.update(Text(clean(words)))
