"""Help for the screen that was in front."""

from textwrap import fill

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import VerticalScroll
from textual.screen import ModalScreen
from textual.widgets import Static

from model.rules.verdict import Today
from tui.commands import HELPER, commands_of, key_words
from tui.words import Signs

DIGITS = "  digits   find a tray by its number"
LEGEND = f"""\
{DIGITS}; after W, L or D they name exceptions
  :        a list of all this by its words, also Ctrl+P
"""
WIDTH, HANGING = 74, 11
"""Columns of the text, and where words go on in the next row: under those of the first."""
BAR = "the bar is solid as far as is sure, and light as far as may be; ! no water since yesterday or longer"


class HelpScreen(ModalScreen[None]):
    """Every key of one screen, from the register."""

    BINDINGS = [Binding("escape,q,question_mark,enter", "dismiss", "Close", show=False)]

    DEFAULT_CSS = """
    HelpScreen { align: center middle; background: $ground 60%; }
    HelpScreen > VerticalScroll {
        width: 80; height: 100%; background: $raised; color: $ink; padding: 0 2; scrollbar-size-vertical: 1;
    }
    """

    def __init__(self, where: str, signs: Signs) -> None:
        super().__init__()
        self._where = where
        self._signs = signs

    def compose(self) -> ComposeResult:
        with VerticalScroll():
            yield Static(self._text(), markup=False)

    def _text(self) -> Text:
        signs = "   ".join(self._signs.today_word(state) for state in Today)
        legend = f"{DIGITS}\n" if self._where == HELPER else f"{LEGEND}  {signs}\n{_row('', BAR)}"
        text = Text(f"What can be done here   (Esc closes)\n\n{legend}")
        group = ""
        for command in sorted(commands_of(self._where), key=lambda command: command.group, reverse=True):
            if command.group != group:
                group = command.group
                text.append(f"\n{group}\n", style="bold")
            text.append(_row(key_words(command), command.help))
        return text


def _row(keys: str, words: str) -> str:
    """A key and what it does, over as many rows as that takes."""
    return fill(words, WIDTH, initial_indent=f"  {keys:<8} ", subsequent_indent=" " * HANGING) + "\n"
