"""A tray's line with what is reckoned of its water."""

from dataclasses import replace

from model.rules.thirst import NO_WATERING
from model.rules.verdict import Dries, Thirst
from model.views.lines import TrayLine

NOT_SEEN = "not seen today; "
WHY_WIDTH = 72
"""Characters of a row of the why on a screen of 80 columns."""


def with_thirst(line: TrayLine, thirst: Thirst) -> TrayLine:
    """A line whose note, and last line of its why, say what is reckoned. What people said stands first and stays."""
    if thirst.word == NO_WATERING:
        return replace(line, thirst=thirst)
    known, note = thirst.dries is not Dries.UNKNOWN, line.water.text
    short = note.removeprefix(NOT_SEEN)
    whole = f"{note}; {thirst.word} ({thirst.how})" if known else f"{note}; {thirst.word}"
    tries = [whole, whole.removeprefix(NOT_SEEN), f"{short}; {thirst.word}"]
    # That something isn't known takes no room from what people said.
    last = f"{thirst.word}; {short}" if known else note
    why = next((words for words in tries if len(words) <= WHY_WIDTH), last)
    return replace(line, thirst=thirst, water=replace(line.water, text=whole), why=(*line.why[:-1], why))
