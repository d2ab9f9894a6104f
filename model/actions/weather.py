"""Thermometers and forecasts: what they showed, typed or from a file. A reading that is put right is read anew."""

from collections.abc import Collection, Sequence
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from model.actions.desk import Pen, Receipt, Stamp, entry
from model.actions.shift import place_of
from model.days import as_if, short_day
from model.errors import BadInput, ImportRefused
from model.facts import Place, PlaceKind, ReadingKind
from model.rules.nights import MOST_NIGHTS
from model.store import reading
from model.store.database import Store
from model.text import clean, several
from model.units import COLDEST_C, HOTTEST_C, Temperature, show_temperature

if TYPE_CHECKING:
    from model.weather.reading import WeatherFile


def keep_air(store: Store, stamp: Stamp, place_id: int, low_c: float | None, high_c: float | None) -> Receipt:
    """Low and high [°C] of the 24 hours up to the round; one of the two may not have been read."""
    if low_c is None and high_c is None:
        raise BadInput("Nothing was read.", "Give the night's low, the day's high, or both.")
    if low_c is not None and high_c is not None and low_c > high_c:
        raise BadInput("The low is above the high.", "Give the night's low first.")
    with entry(store, stamp) as pen:
        place, scale = place_of(pen, place_id), _scale(pen)
        was = _replaced(pen, ReadingKind.AIR, place_id, scale)
        _keep(pen, ReadingKind.AIR, place_id, low_c, high_c)
        told = " / ".join(show_temperature(t, scale) for t in (low_c, high_c) if t is not None)
        pen.say(f"read {told} at {place.name}{was}")
    return pen.done()


def keep_soil(store: Store, stamp: Stamp, place_id: int | None, soil_c: float) -> Receipt:
    """Temperature of the soil [°C] at planting depth, or of the mix on a mat; of no place: in the ground outside."""
    with entry(store, stamp) as pen:
        place, scale = place_of(pen, place_id) if place_id is not None else None, _scale(pen)
        was = _replaced(pen, ReadingKind.SOIL, place_id, scale)
        _keep(pen, ReadingKind.SOIL, place_id, soil_c, None)
        where = "ground outside"
        if place is not None:
            where = f"{'mix on' if place.kind is PlaceKind.HEAT_MAT else 'soil at'} {place.name}"
        pen.say(f"read {show_temperature(soil_c, scale)} in the {where}{was}")
    return pen.done()


def keep_forecast(
    store: Store, stamp: Stamp, lows_c: Sequence[float], issued_at: datetime | None = None
) -> Receipt:
    """Lows [°C] as a forecast tells them, tonight's first, with when it was issued; now where nobody says."""
    if not 1 <= len(lows_c) <= MOST_NIGHTS:
        raise BadInput(
            f"{len(lows_c)} lows can't be taken.", f"Give tonight's, and up to {MOST_NIGHTS - 1} more."
        )
    with entry(store, stamp) as pen:
        now = as_if(stamp.at, stamp.today, reading.settings(pen.rows).get("zone", "UTC"))
        issued = (issued_at or now).astimezone(UTC)
        if issued > now:
            raise BadInput("That forecast is still to be issued.", "Give the hour at which it was issued.")
        for ahead, low_c in enumerate(lows_c):
            night = stamp.act_day + timedelta(days=ahead)
            _keep(pen, ReadingKind.FORECAST, None, low_c, None, issued_at=issued, day=night)
        told, scale = [*lows_c], _scale(pen)
        nights = f" and {len(told) - 1} more nights" if len(told) > 1 else ""
        pen.say(f"forecast for tonight {show_temperature(told[0], scale)}{nights}")
    return pen.done()


def _scale(pen: Pen) -> Temperature:
    return Temperature(reading.settings(pen.rows).get("temperature", Temperature.CELSIUS))


A_DAY_AT_MOST = 1
"""Days by which two zones can differ: further back a reading is of an earlier day [d]. Definition."""


def _replaced(pen: Pen, what: ReadingKind, place_id: int | None, scale: Temperature) -> str:
    """What stood on record of an earlier day: both values stay, and the entry tells of both."""
    day = pen.stamp.act_day
    if pen.stamp.day is None and (pen.stamp.at.date() - day).days <= A_DAY_AT_MOST:
        return ""
    found = reading.readings(pen.rows, reading.dead_entries(pen.rows), day, (what,))
    old = next((one for one in reversed(found) if (one.day, one.place_id) == (day, place_id)), None)
    if old is None:
        return ""
    told = " / ".join(show_temperature(t, scale) for t in (old.low_c, old.high_c) if t is not None)
    return f", {short_day(day)}; it was {told} by {old.who}"


def _keep(
    pen: Pen,
    what: ReadingKind,
    place_id: int | None,
    low_c: float | None,
    high_c: float | None,
    issued_at: datetime | None = None,
    day: date | None = None,
) -> None:
    from model.store import tables

    for degrees in (low_c, high_c):
        if degrees is not None and not COLDEST_C <= degrees <= HOTTEST_C:
            raise BadInput(f"{degrees:g} °C can't be.", "Read the thermometer again.")
    pen.add(
        tables.Reading(
            entry_id=pen.entry_id,
            what=what,
            day=day or pen.stamp.act_day,
            place_id=place_id,
            low_c=low_c,
            high_c=high_c,
            issued_at=issued_at,
        )
    )


def import_weather(store: Store, stamp: Stamp, path: Path, place_name: str) -> "tuple[Receipt, WeatherFile]":
    """Daily lows and highs of a file become readings of a place, all in one entry; and what the file holds.

    A day that somebody typed stays as it was typed. Raises BadInput where the file as a whole can't be used.
    """
    from model.store import tables
    from model.weather.reading import read_weather

    try:
        data = path.read_bytes()
    except OSError as error:
        raise BadInput(
            f"{path} can't be read ({error.strerror}).", "Check its name and your rights."
        ) from error
    with entry(store, stamp) as pen:
        place = _place_named(pen, place_name)
        try:
            found = read_weather(data, _scale(pen), stamp.today)
        except BadInput as error:
            raise BadInput(f"{path.name}: {error.what_happened}", error.what_to_do) from error
        typed = _days_read(pen, place.id)
        new = [day for day in found.days if day.day not in typed]
        if not new and found.defects:
            raise ImportRefused(defects_said(path, found))
        if not new:
            raise BadInput(f"{path.name} holds no day that isn't on record.", "Nothing needs to be done.")
        pen.session.add_all(
            tables.Reading(
                entry_id=pen.entry_id,
                what=ReadingKind.AIR,
                day=day.day,
                place_id=place.id,
                low_c=day.low_c,
                high_c=day.high_c,
                source=found.station or path.name,
            )
            for day in new
        )
        days = several(len(new), "day")
        pen.say(f"took in {days} for {place.name}, {new[0].day} to {new[-1].day}")
    return pen.done(), found


def defects_said(path: Path, found: "WeatherFile") -> list[str]:
    """Everything in a file that wasn't taken as it stands: where, what, and what to do about it."""
    return [
        f"{path.name} line {defect.line}{f', column {defect.column}' if defect.column else ''}: "
        f"{clean(defect.what)} {defect.cure}"
        for defect in found.defects
    ]


def _place_named(pen: Pen, name: str) -> Place:
    places = reading.places(pen.rows)
    if not places:
        raise BadInput("This farm has no place yet.", "Add one in the app with P, then import again.")
    for place in places:
        if place.name.lower() == name.strip().lower():
            return place
    raise BadInput(f"There is no place {name!r}.", f"Name one of {', '.join(p.name for p in places)}.")


def _days_read(pen: Pen, place_id: int) -> Collection[object]:
    dead = reading.dead_entries(pen.rows)
    return {
        r.day
        for r in reading.readings(pen.rows, dead)
        if r.place_id == place_id and r.what is ReadingKind.AIR
    }
