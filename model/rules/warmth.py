"""How warm it was where a tray stood: days summed place by place, never hour by hour.

Until a place has readings, every day there counts as its usual day; after today the tray is taken to stay
where it is.
"""

from collections.abc import Callable, Iterator, Mapping
from datetime import date, timedelta
from math import ceil, inf, isnan

from model.facts import Crop, Place, Stay
from model.science.emergence import daily_progress
from model.science.thermal import degree_days

HORIZON_DAYS = 400
"""A day further off than this [d] is answered with never: no tray stands so long. Common practice, no source."""

PerDay = Callable[[Place], float]
"""What one usual day at a place adds to a sum."""


def warmth_for(crop: Crop) -> PerDay:
    """Degree-days of growth that a day at a place gives a crop [°C d]."""
    return lambda place: degree_days(place.low_c, place.high_c, crop.base_c, crop.cap_c)


def progress_for(crop: Crop) -> PerDay:
    """Progress towards emergence that a day at a place gives the median seed [1/d]."""
    return lambda place: daily_progress(crop.emergence_days, place.low_c, place.high_c)


def _segments(stays: tuple[Stay, ...], start: date, end: date) -> Iterator[tuple[int, int]]:
    """Place and whole days there, from a day until another; the last stay goes on for ever."""
    for index, stay in enumerate(stays):
        left = stays[index + 1].since if index + 1 < len(stays) else end
        first = start if index == 0 else max(stay.since, start)
        days = (min(left, end) - first).days
        if days > 0:
            yield stay.place_id, days


def total(
    stays: tuple[Stay, ...], places: Mapping[int, Place], per_day: PerDay, start: date, end: date
) -> float:
    """What the days from `start` until `end` add up to; 0 where `end` isn't after `start`."""
    return sum(days * per_day(places[place_id]) for place_id, days in _segments(stays, start, end))


def day_when(
    stays: tuple[Stay, ...], places: Mapping[int, Place], per_day: PerDay, start: date, target: float
) -> date | None:
    """First day on which the sum since `start` has reached a target; None where it never does."""
    if isnan(target) or target == inf:
        return None
    missing = target
    if missing <= 0:
        return start
    passed = 0
    for place_id, days in _segments(stays, start, start + timedelta(days=HORIZON_DAYS)):
        daily = per_day(places[place_id])
        if daily > 0 and daily * days >= missing:
            return start + timedelta(days=passed + ceil(missing / daily))
        missing -= daily * days
        passed += days
    return None
