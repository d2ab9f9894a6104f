"""What setting out asks of one crop, and whether it is met: roots, hardening, soil, nights.

A condition that isn't met says WAIT; one that can't be judged says UNKNOWN where nothing else says WAIT.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from model.ahead import NightTold
from model.facts import Crop
from model.rules.nights import OLD_FORECAST_H
from model.units import Temperature, celsius, show_temperature

NIGHTS = 5
"""Nights ahead that must all hold [d]. Ours."""
SOIL_MORNINGS = 3
"""Mornings over which soil is averaged [d]. East Texas A&M AgriLife, soil temperature and spring planting."""
WARM_NIGHT_C = celsius(45)
"""Low that tender crops are set out at or above. University of Delaware, transplanting time."""
COOL_NIGHT_C = celsius(28)
"""Low that hardened hardy and half-hardy crops are set out at or above. Ours."""
TENDER = "tender"

SOIL_F = {
    "tomato": 55,
    "pepper": 60,
    "eggplant": 60,
    "cucumber": 60,
    "muskmelon": 60,
    "watermelon": 65,
    "sweet_corn": 55,
    "lettuce": 45,
    "summer_squash": 70,
}
"""Least soil temperature at setting out [°F]. A Kansas horticulture column on soil temperature; watermelon and summer
squash: East Texas A&M AgriLife, whose lines for the others are up to 10 °F higher."""


class Word(StrEnum):
    """Whether today is a day to set out."""

    GO = "GO"
    WAIT = "WAIT"
    UNKNOWN = "UNKNOWN"


@dataclass(frozen=True, slots=True)
class Gate:
    """The word for one sowing, and what is missing."""

    word: Word
    missing: tuple[str, ...]
    """What isn't met, or isn't known, each in a few words with its line."""
    wait_days: int | None
    """Least days until the nights can be warm enough, as far as they are told; 0 where they are, None where not known."""


@dataclass(frozen=True, slots=True)
class Outside:
    """What is known of soil and nights."""

    soil_c: tuple[float, ...]
    """Soil of the last mornings, the oldest first [°C]; fewer than three where they weren't read."""
    nights: tuple[NightTold, ...]
    scale: Temperature


def night_line(crop: Crop) -> float:
    """Low at or above which a hardened crop is set out [°C]."""
    return WARM_NIGHT_C if crop.frost_class == TENDER else COOL_NIGHT_C


def soil_line(crop: Crop) -> float | None:
    """Least soil temperature at setting out [°C]; None where none was found."""
    return celsius(SOIL_F[crop.key]) if crop.key in SOIL_F else None


def recent_soil(read: Sequence[tuple[date, float]], today: date) -> tuple[float, ...]:
    """Soil of the last three mornings that were read, of each the last reading [°C]; none that is older."""
    days = dict(read)
    return tuple(
        days[day] for back in reversed(range(SOIL_MORNINGS)) if (day := today - timedelta(days=back)) in days
    )


def gate(crop: Crop, holds: bool, hardened: int, outside: Outside) -> Gate:
    """Whether plants can be set out today, each condition by itself.

    Args:
        crop: Its class, its days of hardening and its line for the soil.
        holds: Whether the plug holds together, seen or by the forecast.
        hardened: Days of hardening that count [d].
        outside: Soil and nights.
    """
    waits: list[str] = []
    unknown: list[str] = []
    if not holds:
        waits.append("roots don't hold the plug yet")
    if hardened < crop.harden_days:
        waits.append(f"hardened {hardened} of {crop.harden_days} days")
    for found, sure in (_soil(crop, outside), _nights(crop, outside)):
        if found:
            (waits if sure else unknown).append(found)
    word = Word.WAIT if waits else Word.UNKNOWN if unknown else Word.GO
    return Gate(word, (*waits, *unknown), nights_to_wait(outside.nights, night_line(crop)))


def _soil(crop: Crop, outside: Outside) -> tuple[str, bool]:
    line = soil_line(crop)
    if line is None:
        return "", True
    if len(outside.soil_c) < SOIL_MORNINGS:
        return f"soil read on {len(outside.soil_c)} of the last {SOIL_MORNINGS} mornings (N reads it)", False
    mean = sum(outside.soil_c) / len(outside.soil_c)
    show = outside.scale
    if mean < line:
        return f"soil {show_temperature(mean, show)}, its line {show_temperature(line, show)}", True
    return "", True


def _nights(crop: Crop, outside: Outside) -> tuple[str, bool]:
    line, told = night_line(crop), outside.nights[:NIGHTS]
    if not told:
        return "no forecast of the nights (N takes one)", False
    if max(night.age_h for night in told) > OLD_FORECAST_H:
        return "the forecast is older than a day (N takes a new one)", False
    low = min(night.low_c for night in told)
    if low < line:
        return (
            f"lows down to {show_temperature(low, outside.scale)}, its line {show_temperature(line, outside.scale)}",
            True,
        )
    if len(told) < NIGHTS:
        return f"the forecast tells of {len(told)} of {NIGHTS} nights", False
    return "", True


def nights_to_wait(nights: Sequence[NightTold], line_c: float) -> int | None:
    """Least days until every night from there on that is told of keeps a line [d]; None without a forecast."""
    if not nights:
        return None
    below = [index for index, night in enumerate(nights) if night.low_c < line_c]
    return below[-1] + 1 if below else 0
