"""How much of a sowing should be up by now, what its looks and counts teach, and whether seed is slow or dead.

numpy is loaded when this is asked, never on the way to the round.
"""

from dataclasses import dataclass
from datetime import date
from math import isnan
from typing import TYPE_CHECKING

from model.days import say_window
from model.facts import Crop, Place, Sowing, Tray
from model.rules.grounds import Grounds
from model.rules.warmth import DailySum, emergence_progress
from model.science.emergence import Standing, normal_share, standing

if TYPE_CHECKING:
    from model.science.emergence_looks import Looks

POOR = 0.5
"""A lot of which fewer seeds than this can come up is told as poor seed [fraction]. Ours."""
SURE = 0.9
"""Chance from which a lot is told to be poor [-]. Ours."""
TELLS_FROM = 1.4
"""Progress before which dead seed isn't told from slow seed [-]. Own runs: counts leave the two mixed up until then."""
LEAST_PROGRESS = 0.3
"""Progress below which nothing is told: hardly a seed of any lot is up by then [-]. Ours."""
FEW_NORMAL = 0.85
"""Share of normal seedlings, against the best temperature, below which heat or cold is warned of [fraction]. Ours."""


@dataclass(frozen=True, slots=True)
class Sprouting:
    """Cells that should show a plant by today, with the 80 % band, and what follows for the seed."""

    expected: float
    low: float
    high: float
    cells: int
    counted: int | None
    half_from: date | None
    """Half up lies between these two days, 8 times in 10."""
    half_to: date | None
    poor: float
    """Chance that fewer than POOR of the seeds can come up [-]."""
    progress: float
    """Sum of progress since sowing: the median seed of a usual lot is up at 1 [-]."""
    tested: bool
    """Whether a germination test stands behind it."""


def sprouting(
    sowing: Sowing, tray: Tray, on: Grounds, test: tuple[int, int] | None, today: date
) -> Sprouting | None:
    """What is known of a sowing coming up; None before anything can be told, and where the table doesn't tell.

    `test` is how many seeds came up of how many, in the lot's germination test.
    """
    from model.science.emergence_learning import (
        half_up_progress,
        learn,
        share_up,
        slow_or_dead,
        viability_after_test,
        viability_untested,
    )

    crop, place = on.crops[sowing.crop], on.places[tray.place_id]
    progress = emergence_progress(crop, tray.stays, on)
    now = progress.between(sowing.sown_on, today)
    mean = (place.low_c + place.high_c) / 2
    if isnan(now) or now < LEAST_PROGRESS or standing(crop.emergence_days, mean) is not Standing.TESTED:
        return None
    least = None if isnan(crop.min_germination) else crop.min_germination
    prior = viability_after_test(*test) if test else viability_untested(least)
    lot = learn([_looks(sowing, tray, progress)], crop.spread, prior)
    band = share_up(lot, now, sowing.seeds_per_cell)
    low, high = (float(p) for p in half_up_progress(lot, seeds_per_cell=sowing.seeds_per_cell))
    return Sprouting(
        expected=float(band.mean) * sowing.cells,
        low=float(band.low) * sowing.cells,
        high=float(band.high) * sowing.cells,
        cells=sowing.cells,
        counted=sowing.counts[-1][1] if sowing.counts else None,
        half_from=progress.day_of(sowing.sown_on, low),
        half_to=progress.day_of(sowing.sown_on, high),
        poor=slow_or_dead(lot, POOR).chance_poor,
        progress=now,
        tested=test is not None,
    )


def _looks(sowing: Sowing, tray: Tray, progress: DailySum) -> "Looks":
    """Every look that tells of coming up, as progress: counts, ticks between two looks, and nothing seen so far."""
    from model.science.emergence_looks import Looks

    def at(day: date | None) -> float:
        return progress.between(sowing.sown_on, day) if day else 0.0

    counts = [(at(day), min(count, sowing.cells)) for day, count in sowing.counts]
    seen = tray.seen.day if tray.seen else sowing.sown_on
    if sowing.first_up is None and seen > sowing.sown_on:
        counts.append((at(seen), 0))
    first = (at(sowing.first_up_after), at(sowing.first_up)) if sowing.first_up else None
    return Looks(sowing.cells, sowing.seeds_per_cell, tuple(counts), first_up=first)


def words(found: Sprouting, today: date) -> str:
    """What is known, in one sentence for the tray's page."""
    counted = f", {found.counted} counted" if found.counted is not None else ""
    told = f"about {found.expected:.0f} of {found.cells} cells up by now ({found.low:.0f}-{found.high:.0f}){counted}"
    if found.half_from and found.half_to and found.half_to >= today:
        told += f"; half up {say_window(found.half_from, found.half_to, today)}, 8 in 10"
    if found.poor >= SURE and found.progress >= TELLS_FROM:
        return f"{told}; the seed is likely poor, or it dried out"
    if found.poor > 1 - SURE:
        return f"{told}; slow seed or dead seed can't be told apart yet"
    return told


def heat_words(crop: Crop, place: Place, percents: tuple[float, ...]) -> str:
    """What the warmth of a place costs in normal seedlings, for the one who is about to sow there; "" for little."""
    temp_c = (place.low_c + place.high_c) / 2
    share = normal_share(percents, temp_c)
    if isnan(share) or share >= FEW_NORMAL:
        return ""
    return f"{crop.name} makes only {share:.0%} of its normal seedlings there (Harrington)"
