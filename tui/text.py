"""Text that people typed, made fit for a terminal: nothing that steers it, nothing that breaks a column."""

import re

from rich.cells import cell_len, set_cell_size

MORE = "…"
LONG_WORD = 16
"""Characters from which a word is cut itself, rather than left out whole."""
WORD = re.compile(r"\s*\S+")
"""A word with the blanks before it."""


def fit(text: str, width: int, more: str = MORE) -> str:
    """The text in exactly `width` terminal columns: filled up with spaces, or cut with `more` at the end."""
    if width <= 0:
        return ""
    taken = len(text) if text.isascii() else cell_len(text)
    if taken == width:
        return text
    if taken < width:
        return text + " " * (width - taken)
    if text.isascii():
        return text[: width - 1] + more
    cut = set_cell_size(text, width - 1).rstrip(" ") + more
    return cut + " " * (width - cell_len(cut))


def fit_words(text: str, width: int, more: str = MORE) -> str:
    """As `fit`, but cut after a word: half a number tells something else than the whole one."""
    found = fit(text, width, more)
    if cell_len(text) <= width:
        return found
    kept = found.rstrip(" ").removesuffix(more)
    words, _, rest = kept.rpartition(" ")
    if not words.rstrip(" ") or len(rest) >= LONG_WORD or text[len(kept) : len(kept) + 1] == " ":
        return found
    return fit(f"{words.rstrip(' ')} {more}", width, more)


def fit_right(text: str, width: int, more: str = MORE) -> str:
    """As `fit`, but short text stands at the right."""
    if width <= 0:
        return ""
    taken = len(text) if text.isascii() else cell_len(text)
    return " " * (width - taken) + text if taken < width else fit(text, width, more)


def wrap(text: str, width: int) -> list[str]:
    """The text in lines no wider than `width` columns, broken at spaces, or inside a word too long."""
    if width <= 0:
        return []
    rows: list[str] = []
    row = ""
    for word in WORD.findall(text):
        if row and cell_len(row) + cell_len(word) > width:
            rows.append(row)
            row = ""
        row = row + word if row else word.lstrip()
        while cell_len(row) > width:
            head = head_of(row, width)
            rows.append(head)
            row = row[len(head) :]
    return [*rows, row] if row else rows


def head_of(text: str, width: int) -> str:
    """The longest beginning that fits into `width` columns, at least one character."""
    taken = 0
    for index, char in enumerate(text):
        taken += cell_len(char)
        if taken > width:
            return text[: max(1, index)]
    return text
