"""The question for a number: none that stands on a tray, and one whose label may be about only knowingly."""

from model.errors import BadInput
from model.labels import HIGHEST, label, read_label
from model.views.choices import Choices
from tui.dialogs.ask import Choose, Flow, Option, Type


def which_number(prompt: str, choices: Choices, likely: int, hint: str, but: int | None = None) -> Flow[int]:
    """A number for a label; a tray may have its own old number back without a question."""
    while True:
        number: int = yield Type(prompt, lambda text: _free(text, choices), str(likely), hint)
        about = choices.about.get(number)
        if about is None or about.tray_id == but:
            return number
        sure: bool = yield Choose(
            f"{about.words}. Its label may still be about. Take {label(number)} all the same?",
            [Option("no, another number", False, "n"), Option("yes, that label is gone", True, "y")],
        )
        if sure:
            return number


def _free(text: str, choices: Choices) -> int:
    number = read_label(text)
    if not 1 <= number <= HIGHEST:
        raise BadInput(f"{number} is no tray number.", f"Type one from 1 to {HIGHEST}.")
    if number in choices.taken:
        raise BadInput(
            f"Tray {label(number)} is standing.", f"The next free one is {label(choices.next_number)}."
        )
    return number
