"""How days and temperatures are written in weather files: one field in, one value out, or a refusal."""

import csv
import re
from datetime import date

from model.errors import BadInput
from model.text import clean
from model.units import celsius
from model.weather.checks import COLDEST_AIR_C, HOTTEST_AIR_C

Line = tuple[int, str]

SHOWN = 40
"""Characters of a value or name that are shown."""
SENTINELS = frozenset({-99.0, -99.9, -999.0, -999.9, -9999.0, -9999.9, 999.0, 999.9, 9999.0, 9999.9})
"""Numbers that stand for a missing value; 99 and 99.9 are left out, as they can be a high in °F."""
NOTHING = frozenset({"", "-", "--", "*", ".", "m", "na", "n/a", "nan", "nil", "none", "null", "missing", "?"})
"""Texts that stand for a missing value."""
MISSING_TENTHS = -9999
"""Stands for a missing value in the network's layouts."""
TENTHS_A_DEGREE = 10.0
"""The network's numbers are tenths of a degree Celsius."""
DECIMALS = 9
"""Kept of a temperature, so that 26.6 °F and -3 °C are one value."""
LAST_MONTH, LAST_DAY = 12, 31
"""A first or second number between these can only be a day."""

AGAIN = "Get the file from the network once more, or delete the row."

UNITS = {"c": "C", "celsius": "C", "f": "F", "fahrenheit": "F"}

WHOLE = re.compile(r"[+-]?\d{1,5}", re.ASCII)
_VALUE = re.compile(r"([+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+))\s*°?\s*([cCfF]?)", re.ASCII)
_YEAR_FIRST = re.compile(r"(\d{4})(?=\d{4}$|\D)([-/.]?)(\d{1,2})\2(\d{1,2})", re.ASCII)
_YEAR_LAST = re.compile(r"(\d{1,2})([-/.])(\d{1,2})\2(\d{4})", re.ASCII)
_CLOCK = re.compile(r"(.*\d)[T ]+(\d{1,2}:\d\d\S*)", re.ASCII)
_MIDNIGHT = re.compile(r"0?0:00(:00(\.0+)?)?Z?")


def said(text: str) -> str:
    """What a file holds, fit to be shown."""
    return repr(clean(text, SHOWN))


def fields_of(line: str, separator: str) -> list[str] | None:
    """Fields of one line; None where a quote isn't closed, so that it can't swallow the lines below."""
    if '"' not in line:
        return [field.strip() for field in line.split(separator)]
    try:
        row = next(csv.reader([line], delimiter=separator, strict=True, skipinitialspace=True))
    except (csv.Error, StopIteration):
        return None
    return [field.strip() for field in row]


def row_unit(text: str) -> str:
    """The unit in a column of units, C or F; nothing where the field is empty."""
    unit = text.strip("° .").casefold()
    if unit and unit not in UNITS:
        raise BadInput(f"{said(text)} is no unit.", "Write C or F.")
    return UNITS.get(unit, "")


def number_of(text: str) -> tuple[float, str]:
    """Number and unit, C or F, as written; no unit where none is."""
    match = _VALUE.fullmatch(text.replace("\N{MINUS SIGN}", "-"))
    if match is None:
        raise BadInput(f"{said(text)} is no temperature.", "Write a number, like 15, 15c or 59f.")
    number = float(match[1].replace(",", "."))
    if number in SENTINELS:
        raise BadInput(f"{said(text)} stands for a missing value.", "Leave the field empty, or fill it in.")
    return number, match[2].upper()


def degrees_of(number: float, unit: str) -> float:
    """Degrees Celsius of a number in C or F."""
    return round(celsius(number), DECIMALS) if unit == "F" else number


def in_air(degrees_c: float, text: str) -> float:
    """The temperature itself [°C], refused where air can't have it."""
    if not COLDEST_AIR_C <= degrees_c <= HOTTEST_AIR_C:
        raise BadInput(f"{said(text)} is outside what air can have.", "Look it up and mend it.")
    return degrees_c


def tenths_of(text: str, quality: str) -> float | None:
    """Temperature [°C] from the network's tenths; None where it is missing."""
    if WHOLE.fullmatch(text) is None:
        raise BadInput(f"{said(text)} is no whole number of tenths.", AGAIN)
    if int(text) == MISSING_TENTHS:
        return None
    if quality.strip():
        raise BadInput(
            f"The network doubts this value (quality flag {said(quality)}); not used.", "Leave it out."
        )
    return in_air(int(text) / TENTHS_A_DEGREE, text)


def is_day_first(days: list[Line]) -> bool:
    """Whether days written like 4/3/2026 begin with the day: only a number above 12 tells.

    Raises:
        BadInput: Nothing tells, or both orders are there, or a time of the day is.
    """
    first: dict[str, int] = {}
    for line, text in days:
        clock = _CLOCK.fullmatch(text)
        if clock and not _MIDNIGHT.fullmatch(clock[2]):
            raise BadInput(
                f"Line {line} has a time of the day.", "Bring one row a day, with its low and high."
            )
        match = _YEAR_LAST.fullmatch(clock[1] if clock else text)
        if match and match[1] != match[3]:
            one, two = (LAST_MONTH < int(match[place]) <= LAST_DAY for place in (1, 3))
            first.setdefault("day" if one and not two else "month" if two and not one else "", line)
    if "day" in first and "month" in first:
        what = f"Line {first['day']} writes the day first, line {first['month']} the month."
        raise BadInput(what, "Write all days like 2026-04-14.")
    if "" in first and len(first) == 1:
        raise BadInput(f"The day on line {first['']} can be read in two ways.", "Write days like 2026-04-14.")
    return "day" in first


def day_of(text: str, day_first: bool) -> date:
    """The day that a field names."""
    clock = _CLOCK.fullmatch(text)
    written = clock[1] if clock else text
    try:
        if match := _YEAR_FIRST.fullmatch(written):
            year, month, day = (int(part) for part in match.group(1, 3, 4))
        elif match := _YEAR_LAST.fullmatch(written):
            places = (4, 3, 1) if day_first else (4, 1, 3)
            year, month, day = (int(part) for part in match.group(*places))
        else:
            raise ValueError(written)
        return date(year, month, day)
    except ValueError as error:
        raise BadInput(f"{said(text)} is no day.", "Write it like 2026-04-14.") from error
