"""The layouts of daily weather files: which column or character holds what, and how a value is written."""

import csv
import re
from dataclasses import dataclass
from datetime import date

from model.errors import BadInput
from model.text import clean
from model.units import Temperature, celsius
from model.weather_checks import COLDEST_AIR_C, HOTTEST_AIR_C, KINDS, Gathered, check_scale

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
HOTTEST_F = 134
"""The hottest air on record [°F]: larger whole numbers can only be tenths of a degree Celsius."""
FEWEST_TENTHS = 0.1
"""A wide file is in tenths if this share of its numbers can be nothing else [-]. Ours."""
MOST_RAGGED = 0.5
"""A table with a larger share of rows with too many fields is refused as a whole [-]. Ours."""
LAST_MONTH, LAST_DAY = 12, 31
"""A first or second number between these can only be a day."""
STATION_END, YEAR_END, MONTH_END, ELEMENT_END = 11, 15, 17, 21
"""Ends of the fields at the start of a line of the monthly form [characters]."""
DAY_WIDTH, VALUE_WIDTH, QUALITY_AT = 8, 5, 6
"""Characters of a day in the monthly form, of its value, and the place of its quality flag."""
LEAST_FIELDS, MOST_FIELDS = 6, 8
"""Fields of a line of the by-year form; the source flag and the hour may be cut off."""

NETWORK_NAMES = {"low": "TMIN", "high": "TMAX"}
HEAD_IT = "Name the columns date,low_c,high_c or date,low_f,high_f in the first line."
_AGAIN = "Get the file from the network once more, or delete the row."
_NETWORK = {name: kind for kind, name in NETWORK_NAMES.items()}

_BY_YEAR = re.compile(r'"?[\w-]{11}"?,"?\d{8}"?,"?[A-Z0-9]{4}"?,', re.ASCII)
_MONTHLY = re.compile(r"[\w-]{11}\d{6}[A-Z0-9]{4}[ \d-]{5}", re.ASCII)
_WHOLE = re.compile(r"[+-]?\d{1,5}", re.ASCII)
_VALUE = re.compile(r"([+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+))\s*°?\s*([cCfF]?)", re.ASCII)
_YEAR_FIRST = re.compile(r"(\d{4})(?=\d{4}$|\D)([-/.]?)(\d{1,2})\2(\d{1,2})", re.ASCII)
_YEAR_LAST = re.compile(r"(\d{1,2})([-/.])(\d{1,2})\2(\d{4})", re.ASCII)
_CLOCK = re.compile(r"(.*\d)[T ]+(\d{1,2}:\d\d\S*)", re.ASCII)
_MIDNIGHT = re.compile(r"0?0:00(:00(\.0+)?)?Z?")

_FILLERS = frozenset({"temp", "temperature", "air", "deg", "degrees", "daily"})
_UNITS = {"c": "C", "celsius": "C", "f": "F", "fahrenheit": "F"}
_ROLES = {
    "date": "day",
    "day": "day",
    "low": "low",
    "min": "low",
    "minimum": "low",
    "high": "high",
    "max": "high",
    "maximum": "high",
    "tmin": "tmin",
    "tmax": "tmax",
    "tmin attributes": "low flags",
    "tmax attributes": "high flags",
    "unit": "unit",
    "units": "unit",
    "station": "station",
}


@dataclass(frozen=True, slots=True)
class Columns:
    """Which column of a table holds what."""

    headings: list[str]
    at: dict[str, int]
    units: dict[str, str]
    """Unit that the heading of "low" and "high" states: C, F or nothing."""
    tenths: bool
    """The wide form of the network."""


def is_by_year(line: str) -> bool:
    """Whether a line is of the by-year form, or its headings."""
    return _BY_YEAR.match(line) is not None or _is_by_year_heading(fields_of(line, ",") or [])


def _is_by_year_heading(fields: list[str]) -> bool:
    return [field.casefold() for field in fields[1:3]] == ["date", "element"]


def is_monthly(line: str) -> bool:
    """Whether a line is of the monthly form."""
    return _MONTHLY.match(line) is not None


def fields_of(line: str, separator: str) -> list[str] | None:
    """Fields of one line; None where a quote isn't closed, so that it can't swallow the lines below."""
    if '"' not in line:
        return [field.strip() for field in line.split(separator)]
    try:
        row = next(csv.reader([line], delimiter=separator, strict=True, skipinitialspace=True))
    except (csv.Error, StopIteration):
        return None
    return [field.strip() for field in row]


def _roles(headings: list[str]) -> dict[str, list[tuple[int, str]]]:
    """Column and stated unit of every heading that is known, by its role."""
    found: dict[str, list[tuple[int, str]]] = {}
    for index, heading in enumerate(headings):
        words = re.findall("[a-z]+", heading.casefold())
        units = {_UNITS[word] for word in words if word in _UNITS}
        role = _ROLES.get(" ".join(word for word in words if word not in _FILLERS and word not in _UNITS))
        if role and len(units) <= 1:
            found.setdefault(role, []).append((index, "".join(units)))
    return found


def columns_of(headings: list[str]) -> Columns | None:
    """Which column holds what; None where no heading is of a low or a high."""
    roles = _roles(headings)
    if not {"low", "high", "tmin", "tmax"} & roles.keys():
        return None
    for kind, network in (("low", "tmin"), ("high", "tmax")):
        roles[kind] = roles.get(kind, []) + roles.get(network, [])
    for role in ("day", "low", "high"):
        if not roles.get(role):
            raise BadInput(f"No column is headed {'date' if role == 'day' else role}.", HEAD_IT)
    for role, places in roles.items():
        if len(places) > 1 and role not in {"tmin", "tmax"}:
            names = " and ".join(headings[index] for index, _ in places)
            raise BadInput(f"The columns {clean(names)} hold the same.", "Delete or rename one of them.")
    units = {kind: roles[kind][0][1] for kind in ("low", "high")}
    bare = any(not unit for network in ("tmin", "tmax") for _, unit in roles.get(network, []))
    tenths = bare and "unit" not in roles
    if tenths and ("station" not in roles or any(units.values())):
        raise BadInput("The columns tmin and tmax state no unit.", HEAD_IT)
    return Columns(headings, {role: places[0][0] for role, places in roles.items()}, units, tenths)


def read_table(
    lines: list[Line], separator: str, columns: Columns, scale: Temperature, today: date
) -> Gathered:
    """All readings of a table whose headings are its first line.

    Raises:
        BadInput: No rows, mostly ragged rows, an order of day and month that nothing settles, times of the
            day, or a scale that can't be.
    """
    at, names = columns.at, columns.headings
    found = Gathered(today, {kind: clean(names[at[kind]], SHOWN) for kind in KINDS})
    rows = _rows(lines, separator, columns, found)
    day_first = _day_first([(line, fields[at["day"]]) for line, fields in rows])
    if columns.tenths:
        _check_tenths([fields[at[kind]] for _, fields in rows for kind in KINDS])
    found.units.update(
        {(found.names[kind], unit): lines[0][0] for kind, unit in columns.units.items() if unit}
    )
    bare: dict[str, list[float]] = {kind: [] for kind in KINDS}
    for line, fields in rows:
        if fields[at.get("station", 0)] and "station" in at:
            found.stations[clean(fields[at["station"]], SHOWN)] = None
        try:
            reading = found.reading(_day(fields[at["day"]], day_first), line)
        except BadInput as error:
            found.name(line, clean(names[at["day"]], SHOWN), error)
            continue
        for kind in KINDS:
            try:
                degrees = _cell(fields, line, kind, columns, scale, found, bare[kind])
            except BadInput as error:
                found.refuse(reading, kind, line, error)
            else:
                reading.add(kind, degrees, line)
    if not columns.tenths:
        for kind in KINDS:
            stated = columns.units[kind] or "unit" in at
            check_scale(found.names[kind], kind, bare[kind], None if stated else scale)
    return found


def _rows(
    lines: list[Line], separator: str, columns: Columns, found: Gathered
) -> list[tuple[int, list[str]]]:
    """The rows below the headings, each as long as they are; others are named."""
    rows: list[tuple[int, list[str]]] = []
    width, needed = len(columns.headings), 1 + max(columns.at[role] for role in ("day", *KINDS))
    ragged = 0
    for line, text in lines[1:]:
        fields = fields_of(text, separator)
        if fields is None:
            found.name(line, "", BadInput("A quote isn't closed in this row.", "Delete the stray quote."))
            continue
        while len(fields) > width and not fields[-1]:
            fields.pop()
        if fields == columns.headings:
            found.name(line, "", BadInput("The headings stand here once more.", "Delete the row."))
        elif _is_headings(fields):
            raise BadInput(f"Line {line} holds other headings.", "Make it two files, one a table.")
        elif needed <= len(fields) <= width:
            rows.append((line, fields + [""] * (width - len(fields))))
        else:
            ragged += len(fields) > width
            what = f"The row has {len(fields)} fields under {width} headings; it was not used."
            found.name(
                line, "", BadInput(what, f"Write {separator!r} between fields only; decimals with a point.")
            )
    if ragged > MOST_RAGGED * (len(lines) - 1):
        what = f"Most rows have more fields than the {width} headings."
        raise BadInput(what, "If decimals have a comma, separate the columns by semicolons.")
    if len(lines) == 1:
        raise BadInput("The file has headings but no rows.", "Choose a file with a day in each line.")
    return rows


def _is_headings(fields: list[str]) -> bool:
    return fields[0][:1].isalpha() and {"day", *KINDS} <= _roles(fields).keys()


def _cell(
    fields: list[str],
    line: int,
    kind: str,
    columns: Columns,
    scale: Temperature,
    found: Gathered,
    bare: list[float],
) -> float | None:
    """Temperature [°C] in a row, None where the field is empty; one without its own unit is also kept in `bare`."""
    at, text, heading = columns.at, fields[columns.at[kind]], columns.units[kind]
    if text.casefold() in NOTHING:
        return None
    if columns.tenths:
        flags = fields[at[f"{kind} flags"]].split(",") if f"{kind} flags" in at else []
        return _tenths(text, "".join(flags[1:2]))
    number, own = _number(text)
    row = _row_unit(fields[at["unit"]]) if "unit" in at else ""
    if row and heading and row != heading:
        raise BadInput(f"The row is in °{row}, the heading says °{heading}.", "Mend one of them.")
    for unit in filter(None, (row, own)):
        found.units.setdefault((found.names[kind], unit), line)
    degrees = _degrees(number, own or row or heading or scale[-1])
    if not own:
        bare.append(degrees)
    return degrees


def _row_unit(text: str) -> str:
    unit = text.strip("° .").casefold()
    if unit and unit not in _UNITS:
        raise BadInput(f"{_said(text)} is no unit.", "Write C or F.")
    return _UNITS.get(unit, "")


def _number(text: str) -> tuple[float, str]:
    """Number and unit, C or F, as written; no unit where none is."""
    match = _VALUE.fullmatch(text.replace("\N{MINUS SIGN}", "-"))
    if match is None:
        raise BadInput(f"{_said(text)} is no temperature.", "Write a number, like 15, 15c or 59f.")
    number = float(match[1].replace(",", "."))
    if number in SENTINELS:
        raise BadInput(f"{_said(text)} stands for a missing value.", "Leave the field empty, or fill it in.")
    return number, match[2].upper()


def _degrees(number: float, unit: str) -> float:
    # Rounded, so that 26.6 °F and -3 °C are one value.
    degrees = round(celsius(number), 9) if unit == "F" else number
    if not COLDEST_AIR_C <= degrees <= HOTTEST_AIR_C:
        raise BadInput(f"{number:g} °{unit} is outside what air can have.", "Look it up and mend it.")
    return degrees


def _tenths(text: str, quality: str) -> float | None:
    """Temperature [°C] from the network's tenths; None where it is missing."""
    if _WHOLE.fullmatch(text) is None:
        raise BadInput(f"{_said(text)} is no whole number of tenths.", _AGAIN)
    if int(text) == MISSING_TENTHS:
        return None
    if quality.strip():
        raise BadInput(
            f"The network doubts this value (quality flag {_said(quality)}); not used.", "Leave it out."
        )
    return _degrees(int(text) / TENTHS_A_DEGREE, "C")


def _check_tenths(texts: list[str]) -> None:
    """Refuse a wide file unless its numbers can be nothing but tenths: it is also given out in other units."""
    texts = [text for text in texts if text.casefold() not in NOTHING]
    whole = [int(text) for text in texts if _WHOLE.fullmatch(text)]
    large = sum(abs(number) > HOTTEST_F for number in whole if number != MISSING_TENTHS)
    if texts and (any("." in text for text in texts) or large < FEWEST_TENTHS * len(whole)):
        cure = "Head the columns low_c and high_c, or low_f and high_f; tenths need the file by year."
        raise BadInput("The file doesn't show whether it is in tenths of °C, in °C or in °F.", cure)


def _day_first(days: list[Line]) -> bool:
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


def _day(text: str, day_first: bool) -> date:
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
        raise BadInput(f"{_said(text)} is no day.", "Write it like 2026-04-14.") from error


def _said(text: str) -> str:
    return repr(clean(text, SHOWN))


def read_by_year(lines: list[Line], found: Gathered) -> None:
    """Add all readings of the by-year form: one value of one element a line."""
    for line, text in lines:
        fields = fields_of(text, ",") or []
        if _is_by_year_heading(fields):
            continue
        if not LEAST_FIELDS <= len(fields) <= MOST_FIELDS:
            what = f"The row has {len(fields)} fields where the layout has {MOST_FIELDS}; it was not used."
            found.name(line, "", BadInput(what, _AGAIN))
            continue
        station, written, element, value, _, quality = fields[:LEAST_FIELDS]
        found.stations[clean(station, SHOWN)] = None
        if element in _NETWORK:
            _take_tenths(found, written, _NETWORK[element], line, value, quality)
        else:
            found.ignored += 1


def read_monthly(lines: list[Line], found: Gathered) -> None:
    """Add all readings of the monthly form: fixed places, one element and month a line."""
    for line, text in lines:
        if not is_monthly(text) or len(text) > ELEMENT_END + DAY_WIDTH * LAST_DAY:
            found.name(line, "", BadInput("The row isn't of the layout; it was not used.", _AGAIN))
            continue
        found.stations[clean(text[:STATION_END], SHOWN)] = None
        element, month = text[MONTH_END:ELEMENT_END], text[STATION_END:MONTH_END]
        if element not in _NETWORK:
            found.ignored += 1
            continue
        for index, start in enumerate(range(ELEMENT_END, len(text), DAY_WIDTH), 1):
            value = text[start : start + VALUE_WIDTH].strip()
            if value:
                quality = text[start + QUALITY_AT : start + QUALITY_AT + 1]
                _take_tenths(found, f"{month}{index:02}", _NETWORK[element], line, value, quality)


def _take_tenths(found: Gathered, written: str, kind: str, line: int, value: str, quality: str) -> None:
    if value == str(MISSING_TENTHS):
        return
    try:
        reading = found.reading(_day(written, day_first=False), line)
    except BadInput as error:
        found.name(line, "date", error)
        return
    try:
        reading.add(kind, _tenths(value, quality), line)
    except BadInput as error:
        found.refuse(reading, kind, line, error)
