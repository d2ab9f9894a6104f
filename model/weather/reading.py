"""Daily weather files as they are found: text in, days and named defects out.

Read are a table with headings, and three forms of the open daily layout of the Global Historical Climatology
Network: by year (one value a line), monthly (fixed width) and wide (one day a line). They are told apart by
what is in them. Nothing is guessed: a file that could mean two things is refused with what would settle it,
a row or value in doubt is left out and named.

References:
    1. Menne, M. J., Durre, I., Vose, R. S., Gleason, B. E., and Houston, T. G. (2012). An overview of the
       Global Historical Climatology Network-Daily database. J. Atmos. Oceanic Technol. 29, 897-910. Not
       opened. The columns of the by-year and monthly forms were read in descriptions that repeat the
       network's own; the wide form is from memory and from programs that read it.
"""

import codecs
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from model.errors import BadInput
from model.units import Temperature
from model.weather.checks import Defect, Gathered, WeatherDay, settle
from model.weather.layouts import (
    HEAD_IT,
    NETWORK_NAMES,
    Columns,
    columns_of,
    is_by_year,
    is_monthly,
    read_by_year,
    read_monthly,
    read_table,
)
from model.weather.values import Line, fields_of

__all__ = ["Defect", "Layout", "WeatherDay", "WeatherFile", "read_weather"]


class Layout(StrEnum):
    """How a file is laid out."""

    TABLE = "table with headings"
    BY_YEAR = "one value a line"
    MONTHLY = "one month a line"
    WIDE = "one day a line, in tenths of a degree"


@dataclass(frozen=True, slots=True)
class WeatherFile:
    """What a file holds that can be used, and what in it can't."""

    days: tuple[WeatherDay, ...]
    """Ascending, each day once, low <= high [°C]."""
    defects: tuple[Defect, ...]
    """By line."""
    station: str
    """Empty where the file names none."""
    layout: Layout
    ignored: int
    """Values of other elements, such as rain, that were passed over."""


SEARCHED = 40
"""Lines in which the headings or the first row must be."""
CONTROLS = 0.02
"""A file with a larger share of control characters is no text [-]."""
KINDS_OF_FILE = {
    b"PK\x03\x04": "a spreadsheet or a packed file",
    b"\xd0\xcf\x11\xe0": "a spreadsheet",
    b"\x1f\x8b": "a packed file",
    b"%PDF": "a PDF",
}
"""First bytes of files that people take for text."""
CONTROL_CHARACTERS = [chr(code) for code in range(32) if chr(code) not in "\t\n\r\f\v"]
"""What no text holds."""
SEPARATORS = ",;\t"
"""What stands between the columns of a table."""
NAMED_STATIONS = 5
"""So many stations are named where there are more than one."""


def read_weather(data: bytes, scale: Temperature, today: date, *, lows_alone: bool = False) -> WeatherFile:
    """The days of a weather file that can be used, and all that is wrong with the rest.

    Args:
        data: The file as it is.
        scale: The farm's scale; holds where the file states no unit, and messages are said in it.
        today: Days after it are in the future and refused.
        lows_alone: Whether lows are all that is wanted: a column of highs, or one of its values, may be missing.

    Returns:
        Days ascending, each once, low <= high [°C], from -70 to 60 °C; defects by line. Days may be none.

    Raises:
        BadInput: The file as a whole can't be read, or could mean two things: no text, empty, no headings or
            no rows, several stations, an order of day and month that nothing settles, a scale that can't be.

    Notes:
        A unit behind a value is obeyed first, then the row's, then the heading's, then the farm's; a row
        whose unit differs from the heading's is refused. A value with a quality flag failed a check of the
        network and isn't used. A wide file is read in tenths only if a tenth of its values can be nothing
        else, since the same headings are also given out in °F. See `settle` for what is held of a day.
    """
    lines = _lines(_text(data))
    if not lines:
        raise BadInput("The file is empty.", "Choose a file with a day in each line.")
    layout, found = _gather(lines, scale, today, lows_alone)
    if len(found.stations) > 1:
        names = [*found.stations][:NAMED_STATIONS]
        more = f" and {len(found.stations) - len(names)} more" if len(names) < len(found.stations) else ""
        what = f"The file holds several stations: {', '.join(names)}{more}."
        raise BadInput(what, "Keep the rows of one of them.")
    if not found.readings and not found.defects:
        raise BadInput("The file holds no low and no high.", "Choose a file with a day in each line.")
    days = settle(found, scale, lows_alone=lows_alone)
    defects = tuple(sorted(found.defects, key=lambda defect: defect.line))
    return WeatherFile(days, defects, next(iter(found.stations), ""), layout, found.ignored)


def _lines(text: str) -> list[Line]:
    """Lines that hold something, numbered from 1 as an editor does."""
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    return [(number, line) for number, line in enumerate(lines, 1) if line.strip(" \t,;\xa0")]


def _gather(lines: list[Line], scale: Temperature, today: date, lows_alone: bool) -> tuple[Layout, Gathered]:
    """Everything a file says, by the layout of the first line that has one."""
    found = Gathered(today, NETWORK_NAMES)
    trouble: BadInput | None = None
    for index, (_, line) in enumerate(lines[:SEARCHED]):
        if is_by_year(line):
            read_by_year(lines, found)
            return Layout.BY_YEAR, found
        if is_monthly(line):
            read_monthly(lines, found)
            return Layout.MONTHLY, found
        try:
            headed = _headings(line, lows_alone)
        except BadInput as error:
            trouble = trouble or error
            continue
        if headed:
            separator, columns = headed
            found = read_table(lines[index:], separator, columns, scale, today)
            if index:
                what = f"The lines above the headings, {lines[0][0]} to {lines[index - 1][0]}, were not read."
                found.defects.append(Defect(lines[0][0], "", what, "See that there is no day among them."))
            return Layout.WIDE if columns.tenths else Layout.TABLE, found
    raise trouble or BadInput("The file has no headings.", HEAD_IT)


def _headings(line: str, lows_alone: bool) -> tuple[str, Columns] | None:
    """Separator and columns, if a line is the headings of a table."""
    trouble: BadInput | None = None
    for separator in SEPARATORS:
        try:
            columns = columns_of(fields_of(line, separator) or [], lows_alone=lows_alone)
        except BadInput as error:
            trouble = trouble or error
            continue
        if columns:
            return separator, columns
    if trouble:
        raise trouble
    return None


def _text(data: bytes) -> str:
    """The file as text, whatever it was written in."""
    for start, kind in KINDS_OF_FILE.items():
        if data.startswith(start):
            raise BadInput(f"The file is {kind}, no text.", "Save it as CSV, unpacked, and choose that file.")
    quarter = len(data) // 4  # half of every other byte
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        text = data.decode("utf-16", "replace")
    elif data[1::2].count(0) > quarter:
        text = data.decode("utf-16-le", "replace")
    elif data[0::2].count(0) > quarter:
        text = data.decode("utf-16-be", "replace")
    else:
        try:
            text = data.decode("utf-8")
        except UnicodeDecodeError:
            text = data.decode("latin-1")
    if sum(map(text.count, CONTROL_CHARACTERS)) > CONTROLS * len(text):
        raise BadInput("The file is no text.", "Save the weather as CSV and choose that file.")
    return text.lstrip("\ufeff")
