"""The cells of plain files: how each kind is read and written, and what columns, pointers and files are made of."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from typing import Any

LARGEST = 2_147_483_647
"""Whole numbers above this are slips of the finger; SQLite itself would take more."""

_WHOLE = re.compile(r"-?[0-9]+")
_DECIMAL_COMMA = re.compile(r"^(-?\d+),(\d{1,2})$")
_NUMBER = re.compile(r"-?[0-9]+(\.[0-9]+)?")
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_MONTH_DAY = re.compile(r"[0-9]{2}-[0-9]{2}")
_INSTANT = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}(\.[0-9]{1,6})?Z")


class Wrong(Exception):
    """A cell that can't be taken: what is wrong with it, and the cure."""

    def __init__(self, what: str, cure: str) -> None:
        super().__init__(what, cure)
        self.what = what
        self.cure = cure


def said(text: str) -> str:
    """A cell as a problem quotes it: short, in quotation marks, nothing in it that moves the cursor."""
    shown = "".join(char if char.isprintable() else f"\\x{ord(char):02x}" for char in text[:40])
    return f'"{shown}{"..." if len(text) > 40 else ""}"'


def as_text(text: str) -> str:
    """Any text."""
    return text


def whole(noun: str, low: int, high: int = LARGEST) -> Callable[[str], int]:
    """Reader of a whole number in a range."""
    span = f"from {low} up" if high == LARGEST else f"from {low} to {high}"

    def read(text: str) -> int:
        # A longer run of digits is out of range in any case, and Python refuses to read a very long one.
        if not _WHOLE.fullmatch(text) or len(text) > 12 or not low <= int(text) <= high:
            raise Wrong(f"{said(text)} is no {noun}.", f"Give a whole number {span}.")
        return int(text)

    return read


def number(noun: str, low: float, high: float) -> Callable[[str], float]:
    """Reader of a number in a range."""

    def read(text: str) -> float:
        # A spreadsheet that writes semicolons has the comma for decimals; with three digits it may mean thousands.
        text = _DECIMAL_COMMA.sub(r"\1.\2", text)
        if not _NUMBER.fullmatch(text) or not low <= float(text) <= high:
            raise Wrong(f"{said(text)} is no {noun}.", f"Give a number from {low:g} to {high:g}, like 15.5.")
        return float(text)

    return read


def read_day(text: str) -> date:
    """A day like 2026-04-14."""
    try:
        if _DAY.fullmatch(text):
            return date.fromisoformat(text)
    except ValueError:
        pass
    raise Wrong(f"{said(text)} is no day.", "Write a day of the calendar like 2026-04-14.")


def read_month_day(text: str) -> str:
    """A day of any year like 04-24."""
    try:
        if _MONTH_DAY.fullmatch(text):
            # A leap year, so that 29 February may stand there.
            date.fromisoformat(f"2000-{text}")
            return text
    except ValueError:
        pass
    raise Wrong(f"{said(text)} is no day of the year.", "Write month and day like 04-24.")


def read_instant(text: str) -> datetime:
    """An instant in UTC like 2026-04-14T06:31:00Z."""
    try:
        if _INSTANT.fullmatch(text):
            return datetime.fromisoformat(text)
    except ValueError:
        pass
    raise Wrong(f"{said(text)} is no instant.", "Write it in UTC like 2026-04-14T06:31:00Z.")


def word(noun: str, words: type[StrEnum]) -> Callable[[str], str]:
    """Reader of one word of a list."""
    allowed = [str(item) for item in words]

    def read(text: str) -> str:
        if text not in allowed:
            raise Wrong(f"{said(text)} is no {noun}.", f"Use one of: {', '.join(allowed)}.")
        return text

    return read


def write_number(value: float) -> str:
    """A number as short as it can be read back."""
    return str(int(value)) if float(value).is_integer() else repr(float(value))


class Answer(StrEnum):
    """Yes or no."""

    YES = "yes"
    NO = "no"


def write_answer(stored: int) -> str:
    """A truth of the record as a word."""
    return Answer.YES if stored else Answer.NO


def write_instant(stored: str) -> str:
    """An instant of the record in UTC, with a fraction of a second only where it has one."""
    instant = datetime.fromisoformat(stored)
    return f"{instant.isoformat()}Z"


@dataclass(frozen=True, slots=True)
class Column:
    """One column: how its cells are read and written, and whether they may stay empty."""

    name: str
    read: Callable[[str], Any] = as_text
    empty: bool = False
    write: Callable[[Any], str] = str
    since: str = ""
    """The release that added it; a folder of an earlier one hasn't got it, and it counts as empty."""


@dataclass(frozen=True, slots=True)
class Pointer:
    """Cells that name a row of a file by its key; `earlier` where it must have a lower number in the same file."""

    columns: tuple[str, ...]
    file: str
    to: tuple[str, ...]
    earlier: bool = False


@dataclass(frozen=True, slots=True)
class File:
    """One file: its columns in order, the cells that may stand only once, and what its rows point at."""

    name: str
    columns: tuple[Column, ...]
    once: tuple[tuple[str, ...], ...]
    points: tuple[Pointer, ...] = ()
    since: str = ""
    """The release that added it; a folder of an earlier one hasn't got it."""

    @property
    def header(self) -> tuple[str, ...]:
        return tuple(column.name for column in self.columns)

    def place_of(self, column: str) -> int:
        """Where a column stands in the header."""
        return self.header.index(column)
