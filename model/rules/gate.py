"""The gate: whether today is the day to set out, each condition by itself.

GO asks that every condition holds. One that fails makes it WAIT; one that can't be told, because a reading or the
forecast is missing or old, makes it UNKNOWN, and never GO.

References:
    1. University of Delaware, Transplanting Time: nights above 45 °F on a warming trend, about a week of hardening.
    2. Texas A&M AgriLife, Soil Temperature and Spring Planting: soil read on three mornings.
    3. University of California, Santa Cruz, unit 1.4: roots knit and leaves enough, at least three days of full
       exposure, dull or late hours for planting.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from math import ceil

from model.ahead import CropLines, NightTold
from model.days import say_day, short_day
from model.rules.nights import OLD_FORECAST_H
from model.units import Temperature, show_temperature

MORNINGS = 3
"""Mornings whose soil readings are taken together (Texas A&M AgriLife)."""
OLD_SOIL_DAYS = 3
"""Age of the newest soil reading from which it decides nothing [d]. Ours."""
SOIL_SPAN_DAYS = 6
"""Days within which the three mornings lie [d]. Ours."""
NIGHTS = 5
"""Nights ahead that must stand above the line [nights]. Ours."""
FLOOR_DAYS = 3
"""Fewest days of hardening, whatever is set [d] (University of California, Santa Cruz, unit 1.4)."""
TREND_C = 1.0
"""By how much the last nights may be colder than the first and still count as a warming trend [°C]. Ours."""
GAIN_C = 0.1
"""Warming of the soil a day from which its day can be told [°C/d]. Ours."""


class GateWord(StrEnum):
    """What the gate says."""

    GO = "GO"
    WAIT = "WAIT"
    UNKNOWN = "UNKNOWN"


@dataclass(frozen=True, slots=True)
class Ripe:
    """What is known of plants that may go out."""

    holds: bool
    """Whether the plug holds together, by a look or by what is expected."""
    roots: str
    """That in words: "roots 2 seen Sun 12 Apr"."""
    ready_on: date | None
    """The day on which it is expected to hold, where it doesn't yet."""
    hardened: int
    """Days of real exposure [d]."""
    harden_days: int
    """Days that are wanted [d]."""
    outside: bool
    """Whether they stand in a hardening area now."""


@dataclass(frozen=True, slots=True)
class Outdoors:
    """What is known of the ground and the nights ahead."""

    soil: tuple[tuple[date, float], ...]
    """Readings of soil outdoors by day, the oldest first [°C]."""
    nights: tuple[NightTold, ...]
    """Nights that the forecast tells, tonight first."""
    offset_c: float = 0.0
    """How much colder it gets here than the forecast's station [°C]."""
    cover_c: float = 0.0
    """What a cover over the plants is credited with [°C]."""
    scale: Temperature = Temperature.CELSIUS


@dataclass(frozen=True, slots=True)
class Condition:
    """One condition of the gate."""

    name: str
    holds: bool | None
    """None where it can't be told."""
    words: str
    """The figure and the line, or what is missing."""
    source: str
    lacks: str = ""
    """In few words what is missing or old, where it doesn't hold."""
    soonest: date | None = None
    """The first day on which it may hold, where it fails today and that can be told."""


@dataclass(frozen=True, slots=True)
class Gate:
    """What the gate says of some plants today."""

    word: GateWord
    conditions: tuple[Condition, ...]
    soonest: date | None
    """Of WAIT: the soonest likely day, once every failing condition can tell one."""

    @property
    def lacks(self) -> tuple[str, ...]:
        """What is missing or old."""
        return tuple(condition.lacks for condition in self.conditions if condition.lacks)


def gate(ripe: Ripe, lines: CropLines, out: Outdoors, tender: bool, today: date) -> Gate:
    """What the gate says of some plants on a day.

    Tender plants also want a warming trend. A crop without a soil line has no such condition.
    """
    conditions = tuple(
        found
        for found in (
            _roots(ripe),
            _hardening(ripe, today),
            _soil(lines, out, today),
            _nights(lines, out, today),
            _trend(out) if tender else None,
        )
        if found is not None
    )
    failing = [condition for condition in conditions if condition.holds is False]
    if failing:
        days = [condition.soonest for condition in failing]
        soonest = max((day for day in days if day is not None), default=None) if None not in days else None
        return Gate(GateWord.WAIT, conditions, soonest)
    unknown = any(condition.holds is None for condition in conditions)
    return Gate(GateWord.UNKNOWN if unknown else GateWord.GO, conditions, None)


def _roots(ripe: Ripe) -> Condition:
    lacks = "" if ripe.holds else "roots"
    return Condition("roots", ripe.holds, ripe.roots, "the tray itself", lacks, ripe.ready_on)


def _hardening(ripe: Ripe, today: date) -> Condition:
    wanted = max(FLOOR_DAYS, ripe.harden_days)
    left = wanted - ripe.hardened
    words = f"hardened {ripe.hardened} of {wanted} days"
    if not ripe.outside and left > 0:
        words += ", not outside yet"
    source = "about a week: University of Delaware; at least 3 days: University of California, Santa Cruz"
    lacks = "" if left <= 0 else f"{left} d of hardening"
    return Condition("hardening", left <= 0, words, source, lacks, today + timedelta(days=max(0, left)))


def mornings(soil: Sequence[tuple[date, float]], today: date) -> list[tuple[date, float]]:
    """The last three mornings on which soil was read, one reading a day, the oldest first."""
    of_day = {day: degrees for day, degrees in soil if today - timedelta(days=SOIL_SPAN_DAYS) < day <= today}
    return sorted(of_day.items())[-MORNINGS:]


def _soil(lines: CropLines, out: Outdoors, today: date) -> Condition | None:
    line = lines.soil_line
    if line is None:
        return None
    wanted = show_temperature(line.value, out.scale)
    read = mornings(out.soil, today)
    source = "; ".join(
        f"{show_temperature(f.value, out.scale)}: {f.source.split(':')[0]}" for f in lines.soil
    )
    if not read or (today - read[-1][0]).days > OLD_SOIL_DAYS:
        last = f"last read {say_day(max(day for day, _ in out.soil))}" if out.soil else "never read"
        return Condition("soil", None, f"soil {last}; line {wanted}", source, f"soil {last}")
    if len(read) < MORNINGS:
        more = MORNINGS - len(read)
        words = f"soil read on {len(read)} of {MORNINGS} mornings; line {wanted}"
        return Condition("soil", None, words, source, f"soil: {more} more morning{'s' if more > 1 else ''}")
    mean = sum(degrees for _, degrees in read) / MORNINGS
    told = ", ".join(show_temperature(degrees, out.scale).split()[0] for _, degrees in read)
    words = f"soil {show_temperature(mean, out.scale)}, mean of {told}; line {wanted}"
    holds = mean >= line.value
    lacks = "" if holds else f"soil {show_temperature(mean, out.scale)} of {wanted}"
    return Condition("soil", holds, words, source, lacks, _soil_day(read, line.value - mean, today))


def _soil_day(read: Sequence[tuple[date, float]], short_c: float, today: date) -> date | None:
    """The day on which the soil reaches its line if it goes on warming as it did; None where it doesn't."""
    (first, cold), (last, warm) = read[0], read[-1]
    gain = (warm - cold) / max(1, (last - first).days)
    if gain < GAIN_C:
        return None
    return today + timedelta(days=max(0, ceil(short_c / gain)))


def _nights(lines: CropLines, out: Outdoors, today: date) -> Condition:
    line = lines.setout_night
    wanted = show_temperature(line.value, out.scale)
    lows = [(night.night, night.low_c - out.offset_c + out.cover_c) for night in out.nights[:NIGHTS]]
    ages = [night.age_h for night in out.nights[:NIGHTS]]
    if not lows:
        return Condition("nights", None, f"no forecast; line {wanted}", line.source, "forecast missing")
    if max(ages) > OLD_FORECAST_H:
        words = f"forecast {max(ages):.0f} h old; line {wanted}"
        return Condition("nights", None, words, line.source, f"forecast {max(ages):.0f} h old")
    cold = [(night, low) for night, low in lows if low < line.value]
    lowest = min(low for _, low in lows)
    words = (
        f"lowest {show_temperature(lowest, out.scale)} of {len(lows)} nights; line {wanted}{_corrected(out)}"
    )
    if cold:
        night, low = min(cold, key=lambda found: found[1])
        lacks = f"low of {show_temperature(low, out.scale)} {short_day(night)}, line {wanted}"
        return Condition("nights", False, words, line.source, lacks, _mild_from(lines, out, today))
    if len(lows) < NIGHTS:
        lacks = f"forecast of {len(lows)} of {NIGHTS} nights"
        return Condition("nights", None, words, line.source, lacks)
    return Condition("nights", True, words, line.source)


def _corrected(out: Outdoors) -> str:
    parts = []
    if out.offset_c:
        parts.append(f"{out.offset_c:g} °C colder here")
    if out.cover_c:
        parts.append(f"cover {out.cover_c:g} °C, on a clear night perhaps nothing")
    return f" ({'; '.join(parts)})" if parts else ""


def _mild_from(lines: CropLines, out: Outdoors, today: date) -> date:
    """The day after the last told night under the line: sooner it can't be."""
    line = lines.setout_night.value
    cold = [night.night for night in out.nights if night.low_c - out.offset_c + out.cover_c < line]
    return max(cold, default=today - timedelta(days=1)) + timedelta(days=1)


def _trend(out: Outdoors) -> Condition | None:
    """Tender plants go out on a warming trend; told only where the nights themselves can be."""
    lows = [night.low_c for night in out.nights[:NIGHTS]]
    if len(lows) < NIGHTS or max(night.age_h for night in out.nights[:NIGHTS]) > OLD_FORECAST_H:
        return None
    first, last = (lows[0] + lows[1]) / 2, (lows[-2] + lows[-1]) / 2
    holds = last >= first - TREND_C
    way = "warming or level" if holds else "turning colder"
    words = f"nights {way}: {show_temperature(first, out.scale)}, then {show_temperature(last, out.scale)}"
    source = "University of Delaware, Transplanting Time"
    nights = out.nights[NIGHTS - 1].night
    return Condition("trend", holds, words, source, "" if holds else "nights turn colder", nights)


def why_lines(found: Gate) -> Iterator[str]:
    """Each condition in words, the ones that fail first."""
    signs = {True: "yes", False: "NO", None: "not known"}
    for condition in sorted(found.conditions, key=lambda c: (c.holds is True, c.holds is None)):
        yield f"{condition.name} {signs[condition.holds]}: {condition.words}"
