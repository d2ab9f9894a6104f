"""Text that people typed, made fit for a terminal: nothing that steers it, nothing that breaks a column."""

import re
import unicodedata

from rich.cells import cell_len, set_cell_size

LIMIT = 500
"""Longest text drawn anywhere, in characters."""
MARKS = 4
"""Most combining marks kept on one letter; living scripts need three, a pile covers the lines around."""
SELECTORS = frozenset("\ufe0e\ufe0f")
"""Ask for a text or picture form of the sign before them; terminals differ by a column over them."""
MORE = "…"
WORD = re.compile(r"\s*\S+")
"""A word with the blanks before it."""


def clean(text: str, limit: int = LIMIT, *, lines: bool = False) -> str:
    """The text in composed form, without anything that isn't printable, cut at `limit` characters.

    Tabs and other blanks become a space, so that two words don't run together. With `lines` line ends stay.
    """
    if text.isascii() and text.isprintable():
        return text[:limit]
    if lines:
        text = text.replace("\r\n", "\n").replace("\r", "\n")
    kept = "".join(kept_char(char, lines) for char in text)
    capped = "".join(capped_marks(unicodedata.normalize("NFC", kept)))
    return unicodedata.normalize("NFC", capped)[:limit]


def kept_char(char: str, lines: bool) -> str:
    """The character itself, a space for a blank, or nothing."""
    if char == "\n" and lines:
        return char
    if char.isspace():
        return " "
    return char if char.isprintable() and char not in SELECTORS else ""


def capped_marks(text: str) -> list[str]:
    """The characters without combining marks beyond the first few on one letter."""
    kept: list[str] = []
    run = 0
    for char in text:
        run = run + 1 if unicodedata.category(char).startswith("M") else 0
        if run <= MARKS:
            kept.append(char)
    return kept


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
