"""Text that people typed, made fit to keep and to draw: nothing in it steers a terminal."""

import unicodedata

LIMIT = 500
"""Longest text kept or drawn anywhere, in characters."""
MARKS = 4
"""Most combining marks kept on one letter; living scripts need three, a pile of them covers the lines around."""
SELECTORS = frozenset("\ufe0e\ufe0f")
"""Ask for a text or picture form of the sign before them; terminals differ by a column over them."""


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


def folded(text: str) -> str:
    """The text as it is searched: without accents, large and small letters alike."""
    if text.isascii():
        return text.lower()
    plain = (
        char for char in unicodedata.normalize("NFKD", text.casefold()) if not unicodedata.combining(char)
    )
    return "".join(plain).casefold()


def several(count: int, noun: str) -> str:
    """A count with its noun."""
    return f"{count:,} {noun}{'s' if count != 1 else ''}"


def cut(text: str, width: int, more: str = "…") -> str:
    """The text in at most `width` columns; where something was left out it ends in `more`."""
    if _width(text) <= width:
        return text
    taken, kept = len(more), ""
    for char in text:
        taken += _columns(char)
        if taken > width:
            break
        kept += char
    return kept + more


def fit(text: str, width: int, more: str = ".") -> str:
    """The text in exactly `width` columns of plain print: filled up with spaces, or cut with `more` at the end."""
    found = cut(text, width, more)
    return found + " " * (width - _width(found))


def _width(text: str) -> int:
    return len(text) if text.isascii() else sum(_columns(char) for char in text)


def _columns(char: str) -> int:
    if unicodedata.combining(char):
        return 0
    return 2 if unicodedata.east_asian_width(char) in "WF" else 1


def one_slip(word: str, other: str) -> bool:
    """Whether two words are a slip of the finger apart: a letter too many, left out or wrong, or two swapped."""
    alike = zip(word, other, strict=False)
    same = next((i for i, (a, b) in enumerate(alike) if a != b), min(len(word), len(other)))
    here, there = word[same:], other[same:]
    swapped = here[:2] == there[:2][::-1] and here[2:] == there[2:]
    return here[1:] == there[1:] or here[1:] == there or here == there[1:] or swapped
