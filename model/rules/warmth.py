"""Sums over the days that a tray stood at its places: warmth, progress, hardening; never hour by hour.

A day that was read counts as it was read, any other as the place's usual day; after today the tray is taken to
stay where it is.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil, inf, isnan

from model.facts import Crop, Place, Stay
from model.rules.grounds import Grounds
from model.science.emergence import daily_progress
from model.science.lamps import lamp_growth
from model.science.thermal import degree_days

HORIZON_DAYS = 400
"""A day further off than this [d] is answered with never: no tray stands so long. Common practice, no source."""
WHOLE_DAY = 1e-9
"""A sum that misses its target by less than this part of a day has reached it: floats only [d]. Ours."""


@dataclass(frozen=True, slots=True)
class DailySum:
    """What one day adds, from each of some days on; the last goes on for ever."""

    steps: tuple[tuple[date, float], ...]

    def between(self, start: date, end: date) -> float:
        """What the days from `start` until `end` add up to; 0 where `end` isn't after `start`."""
        return sum(days * daily for days, daily in self._pieces(start, end))

    def day_of(self, start: date, target: float) -> date | None:
        """First day on which the sum since `start` has reached a target; None where it never does.

        A target of nothing or less is reached on `start` itself: nothing is reckoned backwards.
        """
        if isnan(target) or target == inf:
            return None
        missing, passed = target, 0
        if missing <= 0:
            return start
        for days, daily in self._pieces(start, start + timedelta(days=HORIZON_DAYS)):
            needed = missing / daily - WHOLE_DAY if daily > 0 else inf
            if needed <= days:
                return start + timedelta(days=passed + ceil(needed))
            missing -= daily * days
            passed += days
        return None

    def _pieces(self, start: date, end: date) -> Iterator[tuple[int, float]]:
        """Whole days from a day until another, each with what one of them adds."""
        steps = self.steps
        for index, (since, daily) in enumerate(steps):
            left = steps[index + 1][0] if index + 1 < len(steps) else end
            # What stood nowhere before its first stay is taken to have stood there already.
            first = start if index == 0 else max(since, start)
            days = (min(left, end) - first).days
            if days > 0:
                yield days, daily


def growth_warmth(crop: Crop, stays: tuple[Stay, ...], on: Grounds) -> DailySum:
    """Degree-days of growth that the places of a tray give a crop, less where lamps are known to be weak [°C d]."""
    return _sum(
        stays,
        on,
        lambda place, low, high: degree_days(low, high, crop.base_c, crop.cap_c) * light_at(place),
    )


def light_at(place: Place) -> float:
    """Multiplier on growth where the light of the lamps is known; 1 elsewhere [-]."""
    if place.lamp_hours is None or place.lamp_umol is None:
        return 1.0
    return lamp_growth(place.lamp_umol, place.lamp_hours)


def emergence_progress(crop: Crop, stays: tuple[Stay, ...], on: Grounds) -> DailySum:
    """Progress of the median seed towards emergence: it is up when the sum reaches 1 [-]."""
    return _sum(stays, on, lambda _, low, high: daily_progress(crop.emergence_days, low, high))


def _sum(stays: tuple[Stay, ...], on: Grounds, daily: Callable[[Place, float, float], float]) -> DailySum:
    steps: list[tuple[date, float]] = []
    for stay, until in zip(stays, [*(stay.since for stay in stays[1:]), date.max], strict=True):
        place, read = on.places[stay.place_id], on.weather.get(stay.place_id, {})
        usual, following = daily(place, place.low_c, place.high_c), stay.since
        for day in sorted(day for day in read if stay.since <= day < until):
            if day > following:
                steps.append((following, usual))
            steps.append((day, daily(place, *read[day])))
            following = day + timedelta(days=1)
        if following < until:
            steps.append((following, usual))
    return DailySum(tuple(steps))


def days_read(stays: tuple[Stay, ...], on: Grounds, start: date, end: date) -> int:
    """How many of the days from one until another were read where the tray stood."""
    count = 0
    for stay, until in zip(stays, [*(stay.since for stay in stays[1:]), date.max], strict=True):
        read = on.weather.get(stay.place_id, {})
        count += sum(max(start, stay.since) <= day < min(end, until) for day in read)
    return count
