"""When a sowing should come up: the published table at the warmth of the places it stood in."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from math import exp, hypot

from model.facts import Crop, Place, Sowing, Tray
from model.rules.warmth import day_when, progress_for
from model.science.emergence import LOT_SD, Standing, standing

Z80 = 1.2816
"""Standard normal deviate that leaves a tenth on either side [-]."""


@dataclass(frozen=True, slots=True)
class ComingUp:
    """The window in which a sowing should come up; without dates where the table doesn't give any."""

    standing: Standing
    mean_c: float
    """Mean temperature where it stands now [°C]."""
    first: date | None = None
    """A tenth of the seeds of a usual lot are up."""
    median: date | None = None
    slow_end: date | None = None
    """Nine in ten seeds of a slow lot are up; later than this is late up."""


def coming_up(sowing: Sowing, tray: Tray, crop: Crop, places: Mapping[int, Place]) -> ComingUp:
    """Window of emergence of one sowing.

    Source: Harrington and Minges 1954 by rate summation; spread within a lot from the crop file, between lots
    LOT_SD. Where the place it stands in is outside the tested range, no date is given.
    """
    here = places[tray.place_id]
    mean = (here.low_c + here.high_c) / 2
    known = standing(crop.emergence_days, mean)
    if known is not Standing.TESTED:
        return ComingUp(known, mean)
    slow = hypot(crop.spread, LOT_SD.value)
    first, median, slow_end = (
        day_when(tray.stays, places, progress_for(crop), sowing.sown_on, target)
        for target in (exp(-Z80 * crop.spread), 1.0, exp(Z80 * slow))
    )
    return ComingUp(known, mean, first, median, slow_end)
