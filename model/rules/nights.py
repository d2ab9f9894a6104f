"""What the forecast tells of the nights ahead, and how old it is."""

from collections.abc import Iterable
from datetime import date, datetime, timedelta

from model.ahead import NightTold
from model.facts import Reading, ReadingKind

FEW_CHANCE = 0.1
"""Chance of a night under its line that a plant is left to without a cover [fraction]. Ours."""
MOST_NIGHTS = 14
"""Nights that a forecast may tell of: further on it says no more than the season does [nights]. Ours."""
OLD_FORECAST_H = 24.0
"""Age from which a forecast decides nothing [h]. Ours."""
SECONDS_AN_HOUR = 3600.0
"""Seconds in an hour [s]."""


def nights_told(readings: Iterable[Reading], today: date, now: datetime) -> tuple[NightTold, ...]:
    """The nights from tonight on that a forecast tells of, without a gap; of two for one night the last entered holds.

    What was issued after the instant that is looked at isn't known then.
    """
    told = {
        read.day: NightTold(
            read.day, read.low_c, read.issued_at, (now - read.issued_at).total_seconds() / SECONDS_AN_HOUR
        )
        for read in readings
        if read.what is ReadingKind.FORECAST
        and read.low_c is not None
        and read.issued_at is not None
        and read.issued_at <= now
    }
    found: list[NightTold] = []
    while (night := told.get(today + timedelta(days=len(found)))) is not None:
        found.append(night)
    return tuple(found)


def fresh(nights: Iterable[NightTold]) -> bool:
    """Whether there is a forecast, and none of it is too old to decide anything."""
    ages = [night.age_h for night in nights]
    return bool(ages) and max(ages) <= OLD_FORECAST_H
