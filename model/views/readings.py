"""The readings of a week: what was read at each place, what is assumed instead, and the light of the day."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from model.days import clock_moved, next_clock_change
from model.facts import Place, PlaceKind, Reading, ReadingKind
from model.rules.lamps import check_day
from model.rules.nights import OLD_FORECAST_H, SECONDS_AN_HOUR
from model.science.light import WINDOWSILL, day_length, lamp_light, usual_sun_light
from model.store import reading
from model.store.database import Rows, Store
from model.units import Measure, Temperature

DAYS = 7
"""Days that are shown [d]."""
LONG_UNREAD_DAYS = 30
"""A place unread for so long is named: all that is said of it stands on its usual day [d]. Ours."""


@dataclass(frozen=True, slots=True)
class DayRead:
    """Low and high of one day [°C]; None for what nobody read."""

    low_c: float | None
    high_c: float | None

    @property
    def whole(self) -> bool:
        """Whether both were read."""
        return self.low_c is not None and self.high_c is not None


@dataclass(frozen=True, slots=True)
class Lamps:
    """The lamps of a lit shelf as they are set."""

    hours: float | None
    gap_mm: float | None
    light: float | None
    """Daily light at the leaves [mol/(m² d)]; None unless hours and light are known."""


@dataclass(frozen=True, slots=True)
class PlaceWeek:
    """One place: a week of air, what is assumed where nothing was read, and its soil or mix."""

    place: Place
    trays: int
    days: tuple[DayRead, ...]
    """The last seven, today last."""
    last_on: date | None
    """The last day on which anything was read of its air."""
    soil_c: float | None
    soil_on: date | None
    lamps: Lamps | None
    """None where the place has none."""

    def unread_long(self, today: date) -> bool:
        """Whether nothing was read for so long that it must be said."""
        return self.last_on is None or (today - self.last_on).days >= LONG_UNREAD_DAYS


@dataclass(frozen=True, slots=True)
class Tonight:
    """The last forecast on record."""

    night: date
    low_c: float
    issued_at: datetime
    age_h: float
    old: bool


@dataclass(frozen=True, slots=True)
class Daylight:
    """Light of the day at the farm's latitude."""

    latitude: float
    hours: float
    """Sunrise to sunset [h]."""
    longer_min: float
    """How much longer than yesterday [min]."""
    glass: float
    """Usual daily light under glass [mol/(m² d)]."""
    sill: float
    """The same on a windowsill."""


@dataclass(frozen=True, slots=True)
class ReadingsPage:
    """Everything that the readings page shows."""

    on: date
    farm: str
    zone: str
    scale: Temperature
    measure: Measure
    places: tuple[PlaceWeek, ...]
    """In walking order."""
    tonight: Tonight | None
    daylight: Daylight | None
    """None while nobody has said where the farm lies."""
    lamp_check: date
    """The next day on which lamps are looked at."""
    clock_change: date | None
    """The next day on which clocks are moved."""
    forward_h: float
    """By how much they are put forward then [h]."""

    @property
    def week(self) -> tuple[date, ...]:
        """The days that are shown."""
        return tuple(self.on - timedelta(days=back) for back in reversed(range(DAYS)))


def read_readings(store: Store, today: date, now: datetime) -> ReadingsPage:
    """The readings page of one day."""
    with store.reading() as rows:
        settings = reading.settings(rows)
        found = [r for r in reading.readings(rows, reading.dead_entries(rows)) if r.day <= today]
        zone, latitude = settings.get("zone", "UTC"), settings.get("latitude", "")
        change = next_clock_change(today, zone)
        return ReadingsPage(
            on=today,
            farm=settings.get("farm", ""),
            zone=zone,
            scale=Temperature(settings.get("temperature", Temperature.CELSIUS)),
            measure=Measure(settings.get("measure", Measure.METRIC)),
            places=_weeks(rows, found, today),
            tonight=_tonight(found, today, now),
            daylight=_daylight(float(latitude), today) if latitude else None,
            lamp_check=check_day(today),
            clock_change=change,
            forward_h=clock_moved(change, zone).total_seconds() / SECONDS_AN_HOUR if change else 0.0,
        )


def _weeks(rows: Rows, found: Sequence[Reading], today: date) -> tuple[PlaceWeek, ...]:
    standing = [tray.place_id for tray in reading.standing_trays(rows)]
    of_place: dict[int | None, list[Reading]] = {}
    for read in found:
        of_place.setdefault(read.place_id, []).append(read)
    return tuple(
        _week(place, of_place.get(place.id, []), standing.count(place.id), today)
        for place in reading.places(rows)
    )


def _week(place: Place, found: Sequence[Reading], trays: int, today: date) -> PlaceWeek:
    air = [r for r in found if r.what is ReadingKind.AIR]
    soil = [r for r in found if r.what is ReadingKind.SOIL]
    last_soil = max(soil, key=lambda r: (r.day, r.id), default=None)
    return PlaceWeek(
        place=place,
        trays=trays,
        days=tuple(_day(air, today - timedelta(days=back)) for back in reversed(range(DAYS))),
        last_on=max((r.day for r in air), default=None),
        soil_c=last_soil.low_c if last_soil else None,
        soil_on=last_soil.day if last_soil else None,
        lamps=_lamps(place),
    )


def _day(air: Sequence[Reading], day: date) -> DayRead:
    """What was read of a day: of two readings the one entered last holds, its low and its high each for itself."""
    lows = [r.low_c for r in air if r.day == day and r.low_c is not None]
    highs = [r.high_c for r in air if r.day == day and r.high_c is not None]
    return DayRead(lows[-1] if lows else None, highs[-1] if highs else None)


def _lamps(place: Place) -> Lamps | None:
    if place.kind is not PlaceKind.LIT_SHELF and place.lamp_hours is None:
        return None
    known = place.lamp_umol is not None and place.lamp_hours is not None
    light = float(lamp_light(place.lamp_umol or 0.0, place.lamp_hours or 0.0)) if known else None
    return Lamps(place.lamp_hours, place.lamp_gap_mm, light)


def _tonight(found: Sequence[Reading], today: date, now: datetime) -> Tonight | None:
    told = [r for r in found if r.what is ReadingKind.FORECAST]
    last = max(told, key=lambda r: (r.day, r.id), default=None)
    if last is None or last.low_c is None or last.issued_at is None:
        return None
    age_h = max(0.0, (now - last.issued_at).total_seconds() / SECONDS_AN_HOUR)
    return Tonight(last.day, last.low_c, last.issued_at, age_h, last.day < today or age_h > OLD_FORECAST_H)


def _daylight(latitude: float, today: date) -> Daylight:
    day = today.timetuple().tm_yday
    before = (today - timedelta(days=1)).timetuple().tm_yday
    hours = float(day_length(latitude, day))
    return Daylight(
        latitude=latitude,
        hours=hours,
        longer_min=(hours - float(day_length(latitude, before))) * 60.0,
        glass=float(usual_sun_light(latitude, day)),
        sill=float(usual_sun_light(latitude, day, WINDOWSILL.value)),
    )
