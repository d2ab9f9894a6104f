"""What must hold of daily weather before a day of it is used; what doesn't is named, never mended by guess."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta
from itertools import pairwise
from statistics import median

from model.errors import BadInput
from model.units import COOLEST_LIKELY_C, WARMEST_LIKELY_C, Temperature, fahrenheit, show_temperature

COLDEST_AIR_C, HOTTEST_AIR_C = -70.0, 60.0
"""Outdoor air is never outside these where people live [°C]. Ours: the known records, rounded outward."""
OLDEST_YEAR = 1700
"""A day before this year is a slip: no daily series is older. Ours."""
NEIGHBOUR_DAYS = 15
"""Days on either side that a value is held against [d]. Ours."""
FEWEST_NEIGHBOURS = 5
"""With fewer days around it a value isn't held against them. Ours."""
FAR_OFF_C = 25.0
"""A low this far below, or a high this far above, the median of the days around it is doubtful [°C]. Ours."""
COLDEST_MEDIAN_C, HOTTEST_MEDIAN_C = -30.0, 40.0
"""A column whose median is outside these is in another scale than it says [°C]. Ours."""

KINDS = ("low", "high")


@dataclass(frozen=True, slots=True)
class WeatherDay:
    """The lowest and highest air temperature of one day [°C]."""

    day: date
    low_c: float
    high_c: float | None
    """None in a record of lows, where the day has none."""


@dataclass(frozen=True, slots=True)
class Defect:
    """One thing in a file that was not taken as it stands: where, what, and what to do."""

    line: int
    """Counted from 1, as an editor shows it."""
    column: str
    """Heading of the column; empty where it is about the whole row."""
    what: str
    cure: str


@dataclass(slots=True)
class Reading:
    """All that a file says of one day: values [°C], each with its line."""

    line: int
    values: dict[str, list[tuple[float, int]]] = field(default_factory=lambda: {kind: [] for kind in KINDS})
    refused: bool = False
    """A value of the day was refused, and is named among the defects."""

    def add(self, kind: str, degrees_c: float | None, line: int) -> None:
        """Add a low or a high, unless there is none."""
        if degrees_c is not None:
            self.values[kind].append((degrees_c, line))

    @property
    def said(self) -> bool:
        """Whether the file says anything of the day."""
        return self.refused or any(self.values.values())


@dataclass(slots=True)
class Gathered:
    """What was read from a file so far."""

    today: date
    names: dict[str, str]
    """Headings of the columns of the "low" and the "high"."""
    readings: dict[date, Reading] = field(default_factory=dict)
    defects: list[Defect] = field(default_factory=list)
    stations: dict[str, None] = field(default_factory=dict)
    units: dict[tuple[str, str], int] = field(default_factory=dict)
    """The first line on which a column holds a unit, by column and unit."""
    ignored: int = 0

    def reading(self, day: date, line: int) -> Reading:
        """The reading of a day to add to; days that can't be are refused."""
        if day > self.today:
            raise BadInput(f"{day} is in the future.", "Leave out days that have not been; mend the year.")
        if day.year < OLDEST_YEAR:
            raise BadInput(f"{day} is too long ago.", "Mend the year.")
        return self.readings.setdefault(day, Reading(line))

    def refuse(self, reading: Reading, kind: str, line: int, error: BadInput) -> None:
        """Keep the refusal of a day's low or high."""
        reading.refused = True
        self.name(line, self.names[kind], error)

    def name(self, line: int, column: str, error: BadInput) -> None:
        """Keep a refusal as a defect."""
        self.defects.append(Defect(line, column, error.what_happened, error.what_to_do))


def settle(found: Gathered, scale: Temperature, *, lows_alone: bool = False) -> tuple[WeatherDay, ...]:
    """The days that can be used, ascending; the defects that come to light are added to what was gathered.

    Args:
        found: All readings of one file, and the defects so far; changed in place.
        scale: Scale in which temperatures are said.
        lows_alone: Whether a day needs no high.

    Returns:
        Days with low <= high [°C], each once. Not among them: days said twice with different values, days
        with a value missing or refused, on whichever line, a low above the high, and values far off the days around them.

    Notes:
        A value is held against the median of the days within 15 days, itself left out, if there are at least
        5. Only a low too low and a high too high are looked for: a real cold front or a warm wind can throw
        the other two as far, and past the other value of the day they are caught as a low above its high.
        The rule and its figures are ours.
    """
    _name_mixed_units(found)
    _name_gaps(found)
    settled = [
        day for at in sorted(found.readings) if (day := _settled_day(at, found, lows_alone)) is not None
    ]
    doubtful = set(_doubtful(settled, found, scale))
    return tuple(day for day in settled if day.day not in doubtful)


def _settled_day(at: date, found: Gathered, lows_alone: bool) -> WeatherDay | None:
    reading = found.readings[at]
    kinds = reading.values.values()
    lines = sorted({line for values in kinds for _, line in values})
    if reading.refused:
        return None
    twice = max(map(len, kinds)) > 1
    if twice and any(len({degrees for degrees, _ in values}) > 1 for values in kinds):
        what = f"{at} stands on lines {_listed(lines)} with different values; none was used."
        found.defects.append(Defect(lines[-1], "", what, "Keep the right one only."))
        return None
    if twice:
        what = f"{at} stands more than once, on lines {_listed(lines)}, alike; it was taken once."
        found.defects.append(Defect(lines[-1], "", what, "Delete the copies."))
    if lows_alone and reading.values["low"] and not reading.values["high"]:
        return WeatherDay(at, reading.values["low"][0][0], None)
    if not all(kinds):
        if any(kinds):
            there, gone = KINDS if reading.values["low"] else reversed(KINDS)
            what = f"{at} has a {there} but no {gone}; it was not used."
            found.defects.append(
                Defect(reading.line, found.names[gone], what, f"Add the {gone}, if you have it.")
            )
        return None
    (low_c, line), (high_c, _) = (values[0] for values in kinds)
    if low_c > high_c:
        what = f"On {at} the low is above the high; neither was used."
        found.defects.append(Defect(line, found.names["low"], what, "Look them up and mend them."))
        return None
    return WeatherDay(at, low_c, high_c)


def _listed(lines: list[int]) -> str:
    return f"{', '.join(map(str, lines[:-1]))} and {lines[-1]}" if len(lines) > 1 else f"{lines[0]}"


def _doubtful(days: list[WeatherDay], found: Gathered, scale: Temperature) -> Iterator[date]:
    """Days with a low far below or a high far above the days around them, each named."""
    for kind, side, sign in (("low", "below", 1.0), ("high", "above", -1.0)):
        told = [(day, day.low_c if kind == "low" else day.high_c) for day in days]
        days_told = [day for day, degrees in told if degrees is not None]
        values = [sign * degrees for _, degrees in told if degrees is not None]
        for index, around in _around(days_told, values):
            # The largest tells at once that most days are in order; a median takes long.
            if max(around) - values[index] <= FAR_OFF_C or median(around) - values[index] <= FAR_OFF_C:
                continue
            day = days_told[index].day
            said, usual = (show_temperature(sign * value, scale) for value in (values[index], median(around)))
            what = f"On {day} the {kind}, {said}, is far {side} the days around it, {usual}; not used."
            cure = "Look it up and mend it, or leave the field empty."
            line = found.readings[day].values[kind][0][1]
            found.defects.append(Defect(line, found.names[kind], what, cure))
            yield day


def _around(days: list[WeatherDay], values: list[float]) -> Iterator[tuple[int, list[float]]]:
    """Each place with the values of the days around it, itself left out, where they are enough."""
    ordinals = [day.day.toordinal() for day in days]
    first = last = 0
    for index, ordinal in enumerate(ordinals):
        while ordinals[first] < ordinal - NEIGHBOUR_DAYS:
            first += 1
        while last < len(days) and ordinals[last] <= ordinal + NEIGHBOUR_DAYS:
            last += 1
        if last - first > FEWEST_NEIGHBOURS:
            yield index, values[first:index] + values[index + 1 : last]


def _name_gaps(found: Gathered) -> None:
    """One defect for each run of days that the file says nothing of, between its first day and its last."""
    if not found.readings:
        return
    said = [day.toordinal() for day in sorted(found.readings) if found.readings[day].said]
    edges = min(found.readings).toordinal() - 1, max(found.readings).toordinal() + 1
    for before, after in pairwise((edges[0], *said, edges[1])):
        if after - before > 1:
            first, last = date.fromordinal(before + 1), date.fromordinal(after - 1)
            days = after - before - 1
            what = f"{first} is missing." if days == 1 else f"{days} days are missing, {first} to {last}."
            near = next(day for day in (first, last, last + timedelta(days=1)) if day in found.readings)
            cure = "Add what you have of it; nothing was made up."
            found.defects.append(Defect(found.readings[near].line, "", what, cure))


def _name_mixed_units(found: Gathered) -> None:
    for column in found.names.values():
        lines = [line for (name, _), line in found.units.items() if name == column]
        if len(lines) > 1:
            what = "From here the column holds both °C and °F; each value was read in its own unit."
            found.defects.append(Defect(max(lines), column, what, "Check that this is meant."))


def check_scale(name: str, kind: str, values_c: list[float], assumed: Temperature | None) -> None:
    """Refuse a column which as a whole looks like the other scale.

    Args:
        name: Heading of the column.
        kind: "low" or "high".
        values_c: Its values that carry no unit of their own, as they were read [°C].
        assumed: The farm's scale, where the file itself states none.

    Raises:
        BadInput: The median is outside -30 to 40 °C; or no unit is stated, the median of the highs is
            unlikely for a place with seedlings, and in the other scale it would be likely.

    Notes:
        The rule is ours, and can't see all: a winter in °F with highs of 39 and lows of 25 could be a desert
        in °C, and where a heading states °F, values in °C pass as a long frost.
    """
    if not values_c:
        return
    middle = median(values_c)
    unlikely = not COLDEST_MEDIAN_C <= middle <= HOTTEST_MEDIAN_C
    if assumed is Temperature.FAHRENHEIT and kind == "high" and middle < COOLEST_LIKELY_C:
        unlikely |= COOLEST_LIKELY_C <= fahrenheit(middle) <= WARMEST_LIKELY_C
    if unlikely:
        raise BadInput(
            f"As it stands, the middle value of the column {name} is {middle:.0f} °C "
            f"({fahrenheit(middle):.0f} °F).",
            f"Head it {kind}_c or {kind}_f, by what it holds; if it is right, write c or f behind each value.",
        )
