"""Help for the screen that was in front."""

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import VerticalScroll
from textual.screen import ModalScreen
from textual.widgets import Static

from tui.commands import commands_of, key_words

FOUND = "digits   find a tray by its number; with W, L or D they name the exceptions"
SIGNS = "○ unseen   ◐ looked at   ◇ left dry   ● watered.   The bar: solid is sure, light may be; ready and full stand above it."


class HelpScreen(ModalScreen[None]):
    """Every key of one screen, from the register."""

    BINDINGS = [Binding("escape,q,question_mark,enter", "dismiss", "Close", show=False)]

    DEFAULT_CSS = """
    HelpScreen { align: center middle; background: $ground 60%; }
    HelpScreen > VerticalScroll { width: 78; height: 90%; background: $raised; color: $ink; padding: 1 2; }
    """

    def __init__(self, where: str) -> None:
        super().__init__()
        self._where = where

    def compose(self) -> ComposeResult:
        with VerticalScroll():
            yield Static(self._text(), markup=False)

    def _text(self) -> Text:
        text = Text(f"What can be done here   (Esc closes)\n\n{FOUND}\n{SIGNS}\n")
        group = ""
        for command in sorted(commands_of(self._where), key=lambda command: command.group, reverse=True):
            if command.group != group:
                group = command.group
                text.append(f"\n{group}\n", style="bold")
            text.append(f"  {key_words(command):<8} {command.help}\n")
        return text
