"""The fill bar: solid to the low end of the band, dense to the expected, light to the high end.

A wide soft edge means "we don't know yet", and it sharpens with each look. The bar is read against marks that
stand in the same cells all down the list, and it covers a mark exactly when the fill has reached it: between the
marks a cell is rounded, at a mark never.
"""

from functools import cache

from model.rules.verdict import Fill
from model.views.curve import BOUND_MARK, FULL_MARK, READY_MARK
from tui.text import fit
from tui.words import Signs

MARKS = (READY_MARK, FULL_MARK, BOUND_MARK)
MARK_WORDS = ("ready", "full", "root-bound")
NOT_KNOWN = "not known"


def mark_cell(mark: float, width: int) -> int:
    """The cell of a bar in which a mark stands."""
    return min(width - 1, int(mark * width))


@cache
def steps(width: int) -> tuple[float, ...]:
    """The fill from which each cell is covered: its middle, or the mark that stands in it."""
    at_mark = {mark_cell(mark, width): mark for mark in reversed(MARKS)}
    return tuple(at_mark.get(cell, (cell + 0.5) / width) for cell in range(width))


@cache
def track(width: int, signs: Signs) -> str:
    """An empty bar with its marks."""
    cells = [signs.empty] * width
    for mark in MARKS:
        cells[mark_cell(mark, width)] = signs.mark
    return "".join(cells)


def covered(fraction: float, width: int) -> int:
    """How many cells a fill covers."""
    return sum(fraction >= step for step in steps(width))


def bar(fill: Fill, width: int, signs: Signs) -> tuple[str, str, str, str]:
    """The bar in its four parts, solid, dense, light and the empty rest; together exactly `width` columns.

    Plants that are up always show: at least one light cell.
    """
    solid = covered(fill.low, width)
    dense = max(solid, covered(fill.expected, width))
    light = min(width, max(dense, covered(fill.high, width), 1))
    rest = track(width, signs)[light:]
    return signs.solid * solid, signs.dense * (dense - solid), signs.light * (light - dense), rest


@cache
def scale(width: int, signs: Signs) -> str:
    """The ruler over the bars, with a tick over each mark."""
    if width <= 0:
        return ""
    cells = [signs.left_end, *[signs.rule] * max(0, width - 2), signs.right_end][:width]
    for mark in MARKS:
        cells[mark_cell(mark, width)] = signs.tee
    return "".join(cells)


@cache
def scale_words(width: int, room: int) -> str:
    """The names of the marks, each beginning over its tick, in `room` columns."""
    text = "0"
    for mark, word in zip(MARKS, MARK_WORDS, strict=True):
        cell = mark_cell(mark, width)
        if len(text) < cell and cell + len(word) <= room:
            text = text.ljust(cell) + word
    return fit(text, room)


def fill_tone(fill: Fill) -> str:
    """The tone of a bar: it repeats which mark the expected fill has passed."""
    if fill.expected >= FULL_MARK:
        return "crowding"
    return "ready" if fill.expected >= READY_MARK else "young"
