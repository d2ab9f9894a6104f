"""Warmth by place and day as running sums: the days behind as they were read or are usual, those ahead as paths."""

from datetime import date, timedelta

import numpy as np

from model.facts import Crop, Stay
from model.rules.grounds import Grounds
from model.rules.warmth import light_at
from model.science.growth_learning import Numbers
from model.science.outlook import daily_warmth, temperature_paths

FORECAST_DAYS = 120
"""Days ahead that are looked at; what isn't reached by then is told as never [d]. Ours."""

Group = tuple[int, float, float]
"""Place, and base and cap of a crop [°C]."""


class WarmthTable:
    """Running sums of degree-days for each place and kind of crop, from a first day on."""

    def __init__(self, on: Grounds, first: date, today: date) -> None:
        self.first = first
        self.today = today
        self._on = on
        self._air: dict[int, tuple[Numbers, Numbers]] = {}
        self._sums: dict[Group, Numbers] = {}
        self._ahead: dict[Group, Numbers] = {}

    def between(self, stays: tuple[Stay, ...], crop: Crop, start: date, end: date) -> float:
        """Degree-days from a day until another at the places where a tray stood [°C d]."""
        total = 0.0
        for index, stay in enumerate(stays):
            until = stays[index + 1].since if index + 1 < len(stays) else end
            since = start if index == 0 else max(start, stay.since)
            if since < min(until, end):
                sums = self._sums_at(stay.place_id, crop)
                total += sums[self._at(min(until, end))] - sums[self._at(since)]
        return float(total)

    def day_behind(self, stays: tuple[Stay, ...], crop: Crop, earliest: date, warmth: float) -> date:
        """The last day since which at least so much warmth has come; the earliest where it never was so much."""
        day, missing = self.today, warmth
        for index in range(len(stays) - 1, -1, -1):
            since = earliest if index == 0 else max(earliest, stays[index].since)
            if since >= day:
                continue
            sums = self._sums_at(stays[index].place_id, crop)
            here = sums[self._at(day)] - sums[self._at(since) : self._at(day) + 1]
            if here[0] >= missing:
                return since + timedelta(days=int(np.flatnonzero(here >= missing)[-1]))
            day, missing = since, missing - float(here[0])
            if day <= earliest:
                break
        return earliest

    def ahead(self, place_id: int, crop: Crop) -> Numbers:
        """Sums from today on at a place, path by path; column 0 is this morning, shape (paths, days) [°C d]."""
        key = (place_id, crop.base_c, crop.cap_c)
        if key not in self._ahead:
            place = self._on.places[place_id]
            usual = np.ones(FORECAST_DAYS)
            lows, highs = temperature_paths(usual * place.low_c, usual * place.high_c, recorded=0)
            daily = daily_warmth(lows, highs, crop.base_c, crop.cap_c) * self._light(place_id)
            self._ahead[key] = np.concatenate([np.zeros((len(daily), 1)), np.cumsum(daily, axis=1)], axis=1)
        return self._ahead[key]

    def _at(self, day: date) -> int:
        return max(0, (day - self.first).days)

    def _sums_at(self, place_id: int, crop: Crop) -> Numbers:
        key = (place_id, crop.base_c, crop.cap_c)
        if key not in self._sums:
            low, high = self._air_at(place_id)
            daily = daily_warmth(low, high, crop.base_c, crop.cap_c) * self._light(place_id)
            self._sums[key] = np.concatenate([[0.0], np.cumsum(daily)])
        return self._sums[key]

    def _air_at(self, place_id: int) -> tuple[Numbers, Numbers]:
        if place_id not in self._air:
            place = self._on.places[place_id]
            days = max(1, (self.today - self.first).days + 1)
            low, high = np.full(days, place.low_c), np.full(days, place.high_c)
            for day, (cold, warm) in self._on.weather.get(place_id, {}).items():
                if 0 <= (day - self.first).days < days:
                    low[self._at(day)], high[self._at(day)] = cold, warm
            self._air[place_id] = low, high
        return self._air[place_id]

    def _light(self, place_id: int) -> float:
        return light_at(self._on.places[place_id])
