"""The layouts of daily weather files: which column or character holds what."""

import re
from dataclasses import dataclass
from datetime import date

from model.errors import BadInput
from model.text import clean
from model.units import Temperature
from model.weather.checks import KINDS, Gathered, check_scale
from model.weather.values import (
    AGAIN,
    LAST_DAY,
    MISSING_TENTHS,
    NOTHING,
    SHOWN,
    UNITS,
    WHOLE,
    Line,
    day_of,
    degrees_of,
    fields_of,
    in_air,
    is_day_first,
    number_of,
    row_unit,
    tenths_of,
)

HOTTEST_F = 134
"""The hottest air on record [°F]: larger whole numbers can only be tenths of a degree Celsius."""
FEWEST_TENTHS = 0.1
"""A wide file is in tenths if this share of its numbers can be nothing else [-]. Ours."""
MOST_RAGGED = 0.5
"""A table with a larger share of rows with too many fields is refused as a whole [-]. Ours."""
STATION_END, YEAR_END, MONTH_END, ELEMENT_END = 11, 15, 17, 21
"""Ends of the fields at the start of a line of the monthly form [characters]."""
DAY_WIDTH, VALUE_WIDTH, QUALITY_AT = 8, 5, 6
"""Characters of a day in the monthly form, of its value, and the place of its quality flag."""
LEAST_FIELDS, MOST_FIELDS = 6, 8
"""Fields of a line of the by-year form; the source flag and the hour may be cut off."""

NETWORK_NAMES = {"low": "TMIN", "high": "TMAX"}
HEAD_IT = "Name the columns date,low_c,high_c or date,low_f,high_f in the first line."
_NETWORK = {name: kind for kind, name in NETWORK_NAMES.items()}

_BY_YEAR = re.compile(r'"?[\w-]{11}"?,"?\d{8}"?,"?[A-Z0-9]{4}"?,', re.ASCII)
_MONTHLY = re.compile(r"[\w-]{11}\d{6}[A-Z0-9]{4}[ \d-]{5}", re.ASCII)
_FILLERS = frozenset({"temp", "temperature", "air", "deg", "degrees", "daily"})
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

    @property
    def kinds(self) -> tuple[str, ...]:
        """Which of low and high there are."""
        return tuple(kind for kind in KINDS if kind in self.at)


def is_by_year(line: str) -> bool:
    """Whether a line is of the by-year form, or its headings."""
    return _BY_YEAR.match(line) is not None or _is_by_year_heading(fields_of(line, ",") or [])


def _is_by_year_heading(fields: list[str]) -> bool:
    return [field.casefold() for field in fields[1:3]] == ["date", "element"]


def is_monthly(line: str) -> bool:
    """Whether a line is of the monthly form."""
    return _MONTHLY.match(line) is not None


def _roles(headings: list[str]) -> dict[str, list[tuple[int, str]]]:
    """Column and stated unit of every heading that is known, by its role."""
    found: dict[str, list[tuple[int, str]]] = {}
    for index, heading in enumerate(headings):
        words = re.findall("[a-z]+", heading.casefold())
        units = {UNITS[word] for word in words if word in UNITS}
        role = _ROLES.get(" ".join(word for word in words if word not in _FILLERS and word not in UNITS))
        if role and len(units) <= 1:
            found.setdefault(role, []).append((index, "".join(units)))
    return found


def columns_of(headings: list[str], *, lows_alone: bool = False) -> Columns | None:
    """Which column holds what; None where no heading is of a low or a high. A record of lows needs no highs."""
    roles = _roles(headings)
    if not {"low", "high", "tmin", "tmax"} & roles.keys():
        return None
    for kind, network in (("low", "tmin"), ("high", "tmax")):
        roles[kind] = roles.get(kind, []) + roles.get(network, [])
    if lows_alone and not roles["high"]:
        del roles["high"]
    for role in ("day", "low", "high") if not lows_alone else ("day", "low"):
        if not roles.get(role):
            raise BadInput(f"No column is headed {'date' if role == 'day' else role}.", HEAD_IT)
    for role, places in roles.items():
        if len(places) > 1 and role not in {"tmin", "tmax"}:
            names = " and ".join(headings[index] for index, _ in places)
            raise BadInput(f"The columns {clean(names)} hold the same.", "Delete or rename one of them.")
    units = {kind: roles[kind][0][1] for kind in KINDS if kind in roles}
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
    found = Gathered(today, {kind: clean(names[at[kind]], SHOWN) for kind in columns.kinds})
    rows = _rows(lines, separator, columns, found)
    day_first = is_day_first([(line, fields[at["day"]]) for line, fields in rows])
    if columns.tenths:
        _check_tenths([fields[at[kind]] for _, fields in rows for kind in columns.kinds])
    found.units.update(
        {(found.names[kind], unit): lines[0][0] for kind, unit in columns.units.items() if unit}
    )
    bare: dict[str, list[float]] = {kind: [] for kind in columns.kinds}
    for line, fields in rows:
        if fields[at.get("station", 0)] and "station" in at:
            found.stations[clean(fields[at["station"]], SHOWN)] = None
        try:
            reading = found.reading(day_of(fields[at["day"]], day_first), line)
        except BadInput as error:
            found.name(line, clean(names[at["day"]], SHOWN), error)
            continue
        for kind in columns.kinds:
            try:
                degrees = _cell(fields, line, kind, columns, scale, found, bare[kind])
            except BadInput as error:
                found.refuse(reading, kind, line, error)
            else:
                reading.add(kind, degrees, line)
    if not columns.tenths:
        for kind in columns.kinds:
            stated = columns.units[kind] or "unit" in at
            check_scale(found.names[kind], kind, bare[kind], None if stated else scale)
    return found


def _rows(
    lines: list[Line], separator: str, columns: Columns, found: Gathered
) -> list[tuple[int, list[str]]]:
    """The rows below the headings, each as long as they are; others are named."""
    rows: list[tuple[int, list[str]]] = []
    width, needed = len(columns.headings), 1 + max(columns.at[role] for role in ("day", *columns.kinds))
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
        elif (
            columns.at["day"] < len(fields)
            and not fields[columns.at["day"]][:1].isdigit()
            and _is_headings(fields)
        ):
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
    roles = _roles(fields).keys()
    return "day" in roles and ({"low", "high"} <= roles or {"tmin", "tmax"} <= roles)


def _cell(
    fields: list[str],
    line: int,
    kind: str,
    columns: Columns,
    scale: Temperature,
    found: Gathered,
    bare: list[float],
) -> float | None:
    """Temperature [°C] in a row, None where the field is empty; `bare` also keeps one without its own unit."""
    at, text, heading = columns.at, fields[columns.at[kind]], columns.units[kind]
    if text.casefold() in NOTHING:
        return None
    if columns.tenths:
        flags = fields[at[f"{kind} flags"]].split(",") if f"{kind} flags" in at else []
        return tenths_of(text, "".join(flags[1:2]))
    number, own = number_of(text)
    row = row_unit(fields[at["unit"]]) if "unit" in at else ""
    if row and heading and row != heading:
        raise BadInput(f"The row is in °{row}, the heading says °{heading}.", "Mend one of them.")
    if "unit" in at and not (own or row or heading):
        raise BadInput("The row states no unit.", "Write C or F in its column.")
    for unit in filter(None, (row, own)):
        found.units.setdefault((found.names[kind], unit), line)
    degrees = degrees_of(number, own or row or heading or scale[-1])
    if not own:
        bare.append(degrees)
    return in_air(degrees, text)


def _check_tenths(texts: list[str]) -> None:
    """Refuse a wide file unless its numbers can be nothing but tenths: it is also given out in other units."""
    texts = [text for text in texts if text.casefold() not in NOTHING]
    whole = [int(text) for text in texts if WHOLE.fullmatch(text)]
    large = sum(abs(number) > HOTTEST_F for number in whole if number != MISSING_TENTHS)
    if large < FEWEST_TENTHS * len(texts):
        cure = "Head the columns low_c and high_c, or low_f and high_f; tenths need the file by year."
        raise BadInput("The file doesn't show whether it is in tenths of °C, in °C or in °F.", cure)


def read_by_year(lines: list[Line], found: Gathered) -> None:
    """Add all readings of the by-year form: one value of one element a line."""
    for line, text in lines:
        fields = fields_of(text, ",") or []
        if _is_by_year_heading(fields):
            continue
        if not LEAST_FIELDS <= len(fields) <= MOST_FIELDS:
            what = f"The row has {len(fields)} fields where the layout has {MOST_FIELDS}; it was not used."
            found.name(line, "", BadInput(what, AGAIN))
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
            found.name(line, "", BadInput("The row isn't of the layout; it was not used.", AGAIN))
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
        reading = found.reading(day_of(written, day_first=False), line)
    except BadInput as error:
        found.name(line, "date", error)
        return
    try:
        reading.add(kind, tenths_of(value, quality), line)
    except BadInput as error:
        found.refuse(reading, kind, line, error)
