"""Last freezes of spring at a station: published dates that were typed, or a daily record that was read."""

from collections.abc import Mapping
from datetime import date
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING

from model.actions.desk import Pen, Receipt, Stamp, entry
from model.ahead import FreezeFrom
from model.errors import BadInput
from model.science.frost import FEWEST_YEARS, MOST_MISSING, last_days
from model.store import reading, reading_ahead
from model.store.database import Store
from model.text import clean
from model.units import Temperature, show_temperature

if TYPE_CHECKING:
    from model.weather.reading import WeatherFile

AT_C = (2.2, 0.0, -2.2)
"""Temperatures for which last freezes are kept: 36, 32 and 28 °F, as the national normals have them [°C]."""


def keep_dates(store: Store, stamp: Stamp, station: str, dates: Mapping[float, tuple[date, date]]) -> Receipt:
    """Published dates of a station by temperature [°C]: after the first a freeze comes in half of years, after the
    second in one of ten."""
    station = _named(station)
    if not dates:
        raise BadInput("No date is given.", "Give the 50 % and the 10 % date of one temperature at least.")
    with entry(store, stamp) as pen:
        scale = _scale(pen)
        check_dates({**_published(pen, station), **dates}, scale)
        for at_c, (half, tenth) in dates.items():
            _keep(
                pen,
                *(station, at_c, FreezeFrom.PUBLISHED),
                half_on=f"{half:%m-%d}",
                tenth_on=f"{tenth:%m-%d}",
            )
        pen.say(f"last freezes at {station}: published dates")
    return pen.done()


def check_dates(dates: Mapping[float, tuple[date, date]], scale: Temperature) -> None:
    """Refuse dates that can't be: the 10 % date comes after the 50 % date, and a colder freeze is the sooner gone."""
    for half, tenth in dates.values():
        if not _later(half, tenth):
            raise BadInput(
                "The 10 % date isn't after the 50 % date.",
                "A later freeze grows rarer with the days: give the 50 % date first.",
            )
    for colder, warmer in pairwise(sorted(dates)):
        for share, cold, warm in zip(("50 %", "10 %"), dates[colder], dates[warmer], strict=True):
            if _later(warm, cold):
                at, above = (show_temperature(degrees, scale) for degrees in (colder, warmer))
                raise BadInput(
                    f"The {share} date of {at} is after that of {above}.",
                    f"A night of {at} is one of {above} too: check both against the published table.",
                )


def _later(day: date, other: date) -> bool:
    """Whether another day of the year comes later."""
    return (day.month, day.day) < (other.month, other.day)


def _published(pen: Pen, station: str) -> dict[float, tuple[date, date]]:
    """Dates on record of a station, where it is the one that holds; of a leap year, so that 29 February may stand."""
    return {
        found.at_c: (
            date.fromisoformat(f"2000-{found.half_on}"),
            date.fromisoformat(f"2000-{found.tenth_on}"),
        )
        for found in reading_ahead.freezes(pen.rows)
        if found.source is FreezeFrom.PUBLISHED and found.station.casefold() == station.casefold()
    }


def _scale(pen: Pen) -> Temperature:
    return Temperature(reading.settings(pen.rows).get("temperature", Temperature.CELSIUS))


def keep_record(store: Store, stamp: Stamp, path: Path, station: str) -> "tuple[Receipt, WeatherFile]":
    """The last freeze of each spring in a file of daily lows; and what the file holds. Under ten years are refused."""
    from model.weather.reading import read_weather

    station = _named(station)
    try:
        data = path.read_bytes()
    except OSError as error:
        raise BadInput(
            f"{path} can't be read ({error.strerror}).", "Check its name and your rights."
        ) from error
    with entry(store, stamp) as pen:
        settings = reading.settings(pen.rows)
        try:
            found = read_weather(data, _scale(pen), stamp.today, lows_alone=True)
        except BadInput as error:
            raise BadInput(f"{path.name}: {error.what_happened}", error.what_to_do) from error
        lows = [(day.day, day.low_c) for day in found.days]
        south = float(settings.get("latitude") or 0.0) < 0
        for at_c in AT_C:
            years = last_days(lows, at_c, south)
            _enough(path, len(years), south)
            text = " ".join(f"{year}:{'-' if day < 0 else f'{day:.0f}'}" for year, day in years.items())
            _keep(pen, station, at_c, FreezeFrom.RECORD, years=text)
        pen.say(f"last freezes at {station}: {len(years)} springs, {min(years)} to {max(years)}")
    return pen.done(), found


def _enough(path: Path, springs: int, south: bool) -> None:
    if springs < FEWEST_YEARS.value:
        days = "1 July to 28 January" if south else "1 January to 31 July"
        raise BadInput(
            f"{path.name} holds {springs} whole springs; a chance takes {FEWEST_YEARS.value:g}. A spring is {days}, "
            f"with the lows of all but {MOST_MISSING.value:g} of its days.",
            "Take a longer record, or type the published 50 % and 10 % dates of a station near you instead: d on the frost page.",
        )


def _named(station: str) -> str:
    station = clean(station).strip()
    if not station:
        raise BadInput("The station has no name.", "Say which station the dates are from.")
    return station


def _keep(
    pen: Pen,
    station: str,
    at_c: float,
    source: FreezeFrom,
    half_on: str = "",
    tenth_on: str = "",
    years: str = "",
) -> None:
    from model.store import tables

    pen.add(
        tables.Freeze(
            entry_id=pen.entry_id,
            station=station,
            at_c=at_c,
            source=source,
            half_on=half_on,
            tenth_on=tenth_on,
            years=years,
        )
    )
