"""When a sowing should come up, by the published table at its places, and when it was seen to have."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import exp, hypot

from model.facts import Crop, Place, Sowing, Tray
from model.rules.grounds import Grounds
from model.rules.warmth import days_read, emergence_progress
from model.science.emergence import LOT_SD, Standing, standing

Z80 = 1.2816
"""Standard normal deviate that leaves a tenth on either side [-]."""
HALF_UP_TAKEN = 7
"""Days after first up from which half up is taken for granted, if nobody ticked it [d]. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class ComingUp:
    """The window in which a sowing should come up; without dates where the table doesn't give any."""

    standing: Standing
    """What the table says of where it stands now."""
    mean_c: float
    """Mean temperature where it stands now [°C]."""
    first: date | None = None
    """A tenth of the seeds of a usual lot are up."""
    median: date | None = None
    slow_end: date | None = None
    """Nine in ten seeds of a slow lot are up; later than this is late up."""
    days_read: int = 0
    """Days since sowing on which somebody read the thermometer there [d]."""
    later: int = 0
    """Days by which the readings push the median back, against usual days; below 0 where they bring it on [d]."""


@dataclass(frozen=True, slots=True)
class Stand:
    """What was seen of a sowing coming up, or follows from what was done to it since."""

    first: date | None = None
    """Somebody saw plants on this day; None while nothing is up."""
    half: date | None = None
    """Half up: as ticked, or shown by what was done since, or taken for granted long after first up."""
    emerged: date | None = None
    """Growth is counted from this day."""
    assumed: bool = False
    """Nobody ticked half up; the expected day stands in for it."""


def coming_up(sowing: Sowing, tray: Tray, crop: Crop, on: Grounds, today: date) -> ComingUp:
    """Window of emergence of one sowing.

    Source: Harrington and Minges 1954 by rate summation; spread within a lot from the crop file, between lots
    LOT_SD. Where the place it stands in is outside the tested range, only dates from before it came there stand.
    """
    mean = _mean(on.places[tray.place_id])
    known = standing(crop.emergence_days, mean)
    known_until = date.max if known is Standing.TESTED else _tested_until(tray, crop, on)
    if known_until <= sowing.sown_on:
        return ComingUp(known, mean)
    progress = emergence_progress(crop, tray.stays, on)
    slow = hypot(crop.spread, LOT_SD.value)
    targets = (exp(-Z80 * crop.spread), 1.0, exp(Z80 * slow))
    days = (progress.day_of(sowing.sown_on, target) for target in targets)
    first, median, slow_end = (day if day and day <= known_until else None for day in days)
    read = days_read(tray.stays, on, sowing.sown_on, today)
    usual = (
        emergence_progress(crop, tray.stays, replace(on, weather={})).day_of(sowing.sown_on, 1.0)
        if read
        else median
    )
    later = (median - usual).days if median and usual else 0
    return ComingUp(known, mean, first, median, slow_end, read, later)


def _mean(place: Place) -> float:
    return (place.low_c + place.high_c) / 2


def _tested_until(tray: Tray, crop: Crop, on: Grounds) -> date:
    """Day on which a tray left the last place that the table knows; the day it was made where there was none."""
    until = tray.made_on
    for stay in reversed(tray.stays):
        if standing(crop.emergence_days, _mean(on.places[stay.place_id])) is Standing.TESTED:
            break
        until = stay.since
    return until


def stand_of(sowing: Sowing, tray: Tray, up: ComingUp, today: date) -> Stand:
    """What is known of a sowing's coming up. Thinning, cutting, potting up or roots in sight show that it is."""
    shown = min(_shown(sowing, tray), default=None)
    first = sowing.first_up or shown
    if first is None:
        return Stand()
    if sowing.half_up is not None:
        return Stand(first, sowing.half_up, sowing.half_up)
    taken = max(first + timedelta(days=HALF_UP_TAKEN), up.slow_end or first)
    half = max(first, shown) if shown else (taken if taken < today else None)
    earliest, latest = sowing.first_up or sowing.sown_on, shown or today
    guess = up.median or sowing.first_up or latest
    return Stand(first, half, max(earliest, min(guess, latest)), assumed=True)


def _shown(sowing: Sowing, tray: Tray) -> Iterator[date]:
    """Days on which something was done that can only be done to a stand of plants."""
    if sowing.thinned_on is not None:
        yield sowing.thinned_on
    yield from sowing.cuts
    if tray.parent_id is not None and sowing.sown_on < tray.made_on:
        yield tray.made_on
    if len(tray.sowings) == 1:
        yield from (look.day for look in tray.looks if look.score > 0)
