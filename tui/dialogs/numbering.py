"""The question for a number: none that stands on a tray, and one whose label may be about only knowingly."""

from model.errors import BadInput
from model.labels import HIGHEST, label, read_label
from model.views.choices import Numbers
from tui.dialogs.ask import Choose, Flow, Option, Type


def which_number(prompt: str, numbers: Numbers, likely: int, hint: str, but: int | None = None) -> Flow[int]:
    """A number for a label; a tray may have its own old number back without a question."""
    while True:
        number: int = yield Type(prompt, lambda text: _free(text, numbers), str(likely), hint)
        about = numbers.about.get(number)
        if about is None or about.tray_id == but:
            return number
        sure: bool = yield Choose(
            f"{about.words}. Its label may still be about. Take {label(number)} all the same?",
            [Option("no, another number", False, "n"), Option("yes, that label is gone", True, "y")],
        )
        if sure:
            return number


def _free(text: str, numbers: Numbers) -> int:
    number = read_label(text)
    if not 1 <= number <= HIGHEST:
        raise BadInput(f"{number} is no tray number.", f"Type one from 1 to {HIGHEST}.")
    if number in numbers.taken:
        raise BadInput(
            f"Tray {label(number)} is standing.", f"The next free one is {label(numbers.following)}."
        )
    return number
