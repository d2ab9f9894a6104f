"""The gate: whether today is the day to set out, each condition by itself.

GO asks that every condition holds. One that fails makes it WAIT; one that can't be told, because a reading or the
forecast is missing or old, makes it UNKNOWN, and never GO.

References:
    1. University of Delaware, Transplanting Time: nights above 45 °F on a warming trend, about a week of hardening.
    2. Texas A&M AgriLife, Soil Temperature and Spring Planting: soil read on three mornings.
    3. University of California, Santa Cruz, unit 1.4: roots knit and leaves enough, at least three days of full
       exposure, dull or late hours for planting.
"""

from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from enum import StrEnum
from math import ceil, inf

from model.ahead import CropLines, Line, NightTold
from model.days import farm_day, say_day, short_day
from model.rules.careful import untouched
from model.rules.nights import FEW_CHANCE, MOST_NIGHTS, fresh
from model.science.frost import FORECAST_DAYS, MEDIUM_COVER_C, chance_of_night
from model.text import several
from model.units import PLACES, Temperature, show_beside, show_difference, show_offset, show_temperature

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
QUICK_GAIN_C = 0.5
"""Warming of the soil a day that is reckoned with while it doesn't warm [°C/d]. Ours: rather too quick."""
LAST_SOIL_DAYS = 14
"""Age of the newest soil reading up to which hardening is counted back from it [d]. Ours."""
EVEN_RISK = 0.5
"""Chance of a night under the line that is taken while nobody has said: that of a low told at the line itself."""
HARDLY = 0.005
"""Chance below which it is told as less than one in a hundred, never as nothing [fraction]."""
MOST_COVER_C = MEDIUM_COVER_C.value
"""What a cover is credited with at most, however heavy: what trials show for floating covers [°C]."""


class GateWord(StrEnum):
    """What the gate says."""

    GO = "GO"
    WAIT = "WAIT"
    UNKNOWN = "UNKNOWN"


@dataclass(frozen=True, slots=True)
class Ripe:
    """What is known of plants that may go out."""

    holds: bool | None
    """Whether the plug holds together, by a look or by what is expected; None where the two don't agree."""
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
    unmarked: int = 0
    """Days there that nobody marked: they don't count [d]."""
    apart: str = ""
    """The place of quarantine in which they stand; "" for none."""
    touch_from: datetime | None = None
    """Until when the label of what was sprayed forbids hands; None where none does."""


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
    """What a cover that will lie over the plants is credited with [°C]."""
    risk: float = EVEN_RISK
    """Chance of a night under the line that the grower takes [fraction]."""
    scale: Temperature = Temperature.CELSIUS
    zone: str = "UTC"
    """The farm's clock, by which a label lets go."""
    now: datetime | None = None
    """The hour; None counts the whole day on which a label lets go."""

    @property
    def nights_here(self) -> tuple[NightTold, ...]:
        """The same nights where the plants stand, bare."""
        return tuple(replace(night, low_c=night.low_c - self.offset_c) for night in self.nights)


@dataclass(frozen=True, slots=True)
class OpenAir:
    """What was last read of the ground and told of the nights, to see how far off the gate is."""

    soil: Sequence[tuple[date, float]] = ()
    """The last readings of soil outdoors by day, the oldest first [°C]."""
    lows: Mapping[date, float] = field(default_factory=dict)
    """Lows that are told, where the plants stand [°C]."""


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
    given: str = ""
    """What has to be done for it to hold."""


@dataclass(frozen=True, slots=True)
class Gate:
    """What the gate says of some plants today."""

    word: GateWord
    conditions: tuple[Condition, ...]
    soonest: date | None
    """Of WAIT: the soonest likely day, once every failing condition can tell one."""
    mild_from: date | None = None
    """The first day from which every night that is told keeps the line; None without a fresh forecast."""

    @property
    def unknown(self) -> tuple[str, ...]:
        """Conditions that can't be told. As long as there are any, the soonest day is only a provisional one."""
        return tuple(condition.name for condition in self.conditions if condition.holds is None)

    @property
    def failing(self) -> tuple[str, ...]:
        """What isn't so yet, of WAIT; what can't be told stands apart."""
        return tuple(condition.lacks for condition in self.conditions if condition.holds is False)

    @property
    def given(self) -> str:
        """What has to be done for GO to hold."""
        return "; ".join(condition.given for condition in self.conditions if condition.given)

    @property
    def lacks(self) -> tuple[str, ...]:
        """What is missing or old."""
        return tuple(condition.lacks for condition in self.conditions if condition.lacks)


def gate(ripe: Ripe, lines: CropLines, out: Outdoors, today: date) -> Gate:
    """What the gate says of some plants on a day.

    Tender plants also want a warming trend. Where no soil line is known the soil isn't judged, and that is said.
    """
    conditions = tuple(
        found
        for found in (
            _apart(ripe) if ripe.apart else None,
            _label(ripe.touch_from, out, today) if ripe.touch_from else None,
            _roots(ripe),
            _hardening(ripe, today),
            _soil(lines, out, today),
            _nights(lines, out, today),
            _trend(out) if lines.tender else None,
        )
        if found is not None
    )
    mild = _mild_from(lines.setout_night, out, today)
    failing = [condition for condition in conditions if condition.holds is False]
    if failing:
        days = [condition.soonest for condition in failing]
        soonest = max((day for day in days if day is not None), default=None) if None not in days else None
        return Gate(GateWord.WAIT, conditions, soonest, mild)
    unknown = any(condition.holds is None for condition in conditions)
    return Gate(GateWord.UNKNOWN if unknown else GateWord.GO, conditions, None, mild)


def _apart(ripe: Ripe) -> Condition:
    words = f"kept apart in {ripe.apart}: neither set out nor handed over until it is moved out"
    return Condition("quarantine", False, words, "ours", "in quarantine")


def _label(until: datetime, out: Outdoors, today: date) -> Condition | None:
    """What the label of a spray forbids, which holds for hands whoever they are."""
    day = farm_day(until, out.zone)
    if day < today or (out.now is not None and until <= out.now):
        return None
    words = untouched(until, out.zone)
    return Condition("label", False, words, "the label", words, day)


def _roots(ripe: Ripe) -> Condition:
    lacks = {True: "", False: "roots", None: "roots: look again"}[ripe.holds]
    return Condition("roots", ripe.holds, ripe.roots, "the tray itself", lacks, ripe.ready_on)


def _hardening(ripe: Ripe, today: date) -> Condition:
    wanted = max(FLOOR_DAYS, ripe.harden_days)
    left = wanted - ripe.hardened
    words = f"hardened {ripe.hardened} of {wanted} days"
    if not ripe.outside and left > 0:
        words += ", not outside yet"
    elif ripe.unmarked and left > 0:
        words += f", {ripe.unmarked} nobody marked (. o tells them)"
    source = "about a week: University of Delaware; at least 3 days: University of California, Santa Cruz"
    lacks = "" if left <= 0 else f"harden {left} d more"
    return Condition("hardening", left <= 0, words, source, lacks, today + timedelta(days=max(0, left)))


def mornings(soil: Sequence[tuple[date, float]], today: date) -> list[tuple[date, float]]:
    """The last three mornings on which soil was read, one reading a day, the oldest first."""
    of_day = {day: degrees for day, degrees in soil if today - timedelta(days=SOIL_SPAN_DAYS) < day <= today}
    return sorted(of_day.items())[-MORNINGS:]


def _soil(lines: CropLines, out: Outdoors, today: date) -> Condition:
    line = lines.soil_line
    if line is None:
        return Condition("soil", True, "soil: no line known, not judged", "no source gives one")
    read = mornings(out.soil, today)
    source = "; ".join(f"{_told(other, out)}, {other.source}" for other in reversed(lines.soil))
    wanted = "line " + _of_all(lines.soil, show_temperature(line.celsius, out.scale), out)
    if not read or (today - read[-1][0]).days > OLD_SOIL_DAYS:
        last = f"last read {say_day(max(day for day, _ in out.soil))}" if out.soil else "never read"
        return Condition("soil", None, f"soil {last}, {wanted}", source, f"soil {last}")
    if len(read) < MORNINGS:
        more = MORNINGS - len(read)
        words = f"soil read on {len(read)} of {MORNINGS} mornings, {wanted}"
        return Condition("soil", None, words, source, f"soil: {several(more, 'more morning')}")
    mean = sum(degrees for _, degrees in read) / MORNINGS
    shown, beside = show_beside(mean, line.celsius, out.scale)
    told = ", ".join(show_beside(degrees, line.celsius, out.scale)[0].split()[0] for _, degrees in read)
    words = f"soil {shown} ({told}), line {_of_all(lines.soil, beside, out)}"
    if round(mean, PLACES) >= round(line.celsius, PLACES):
        return Condition("soil", True, words, source)
    warm_on = _soil_day(read, line.celsius - mean)
    warm_on = warm_on and max(today, warm_on)
    return Condition("soil", False, words, source, f"soil {shown} of {beside}", warm_on)


def _told(line: Line, out: Outdoors) -> str:
    return f"{show_temperature(line.celsius, out.scale)} {line.by}"


def _of_all(soil: Sequence[Line], shown: str, out: Outdoors) -> str:
    """The line that holds, who gives it, and what the others give."""
    *others, line = soil
    rest = ", ".join(_told(other, out) for other in reversed(others))
    return f"{shown} {line.by}" + (f" ({rest})" if rest else "")


def _soil_day(read: Sequence[tuple[date, float]], short_c: float) -> date | None:
    """The day on which the soil reaches its line if it goes on warming as it did; None where it doesn't."""
    (first, cold), (last, warm) = read[0], read[-1]
    gain = (warm - cold) / max(1, (last - first).days)
    if gain < GAIN_C:
        return None
    return last + timedelta(days=ceil(short_c / gain))


def _nights(lines: CropLines, out: Outdoors, today: date) -> Condition:
    line, told = lines.setout_night, out.nights[:NIGHTS]
    if not fresh(told):
        lacks = f"forecast {max(night.age_h for night in told):.0f} h old" if told else "forecast missing"
        return Condition("nights", None, f"{lacks}, line {_told(line, out)}", line.source, lacks)
    lowest = min(told, key=lambda night: night.low_c)
    shown, beside = show_beside(_here(lowest, out), line.celsius, out.scale)
    words = f"lowest {shown} of {len(told)} nights, {_told_by(lowest, line, beside, out)} {line.by}{_corrected(out)}"
    cold = [night for night in told if _too_cold(night, line, out)]
    if cold:
        worst = min(cold, key=lambda night: night.low_c)
        shown, beside = show_beside(_here(worst, out), line.celsius, out.scale)
        lacks = f"low of {shown} {short_day(worst.night)}, {_told_by(worst, line, beside, out)}"
        return Condition("nights", False, words, line.source, lacks, _mild_from(line, out, today))
    if len(told) < NIGHTS:
        lacks = f"forecast of {len(told)} of {NIGHTS} nights"
        return Condition("nights", None, words, line.source, lacks)
    bare = replace(out, cover_c=0.0)
    close = [night for night in told if _chance(night, line, bare) >= FEW_CHANCE]
    if close and not out.cover_c and out.risk == EVEN_RISK:
        words += f"; {100 * max(_chance(night, line, bare) for night in close):.0f} % at worst"
    return Condition("nights", True, words, line.source, given=_cover(close, told[0], out))


def _cover(close: Sequence[NightTold], tonight: NightTold, out: Outdoors) -> str:
    """What plants in a bed want on nights on which a tray would be brought in."""
    if not close or out.cover_c:
        return "with its cover on" if close else ""
    first = "tonight" if close[0] == tonight else short_day(close[0].night)
    return f"cover {'from ' if len(close) > 1 else ''}{first}"


def _here(night: NightTold, out: Outdoors) -> float:
    """Low of a night where the plants stand [°C]."""
    return night.low_c - out.offset_c + out.cover_c


def _chance(night: NightTold, line: Line, out: Outdoors) -> float:
    """Chance that a night falls under a line [fraction]."""
    ahead = min((night.night - out.nights[0].night).days, FORECAST_DAYS.value)
    return chance_of_night(round(_here(night, out), PLACES), round(line.celsius, PLACES), ahead)


def _too_cold(night: NightTold, line: Line, out: Outdoors) -> bool:
    return _chance(night, line, out) > out.risk


def _told_by(night: NightTold, line: Line, beside: str, out: Outdoors) -> str:
    """The line; where the grower said which chance they take, also the chance that the night falls under it."""
    if out.risk == EVEN_RISK:
        return f"line {beside}"
    chance = _chance(night, line, out)
    return f"{f'{100 * chance:.0f}' if chance >= HARDLY else '<1'} % under {beside}"


def _corrected(out: Outdoors) -> str:
    parts = [] if out.risk == EVEN_RISK else [f"{100 * out.risk:.0f} % taken"]
    if out.offset_c:
        parts.append(show_offset(out.offset_c, out.scale))
    if out.cover_c:
        parts.append(f"cover {show_difference(out.cover_c, out.scale)}, on a clear night perhaps nothing")
    return f" ({'; '.join(parts)})" if parts else ""


def _mild_from(line: Line, out: Outdoors, today: date) -> date | None:
    """The day after the last told night that is too cold: sooner it can't be. None without a fresh forecast."""
    if not fresh(out.nights):
        return None
    cold = [night.night for night in out.nights if _too_cold(night, line, out)]
    return max(cold) + timedelta(days=1) if cold else today


def _trend(out: Outdoors) -> Condition | None:
    """Tender plants go out on a warming trend; told only where the nights themselves can be."""
    lows = [night.low_c for night in out.nights[:NIGHTS]]
    if len(lows) < NIGHTS or not fresh(out.nights[:NIGHTS]):
        return None
    first, last = (lows[0] + lows[1]) / 2, (lows[-2] + lows[-1]) / 2
    holds = last >= first - TREND_C
    way = "warming or level" if holds else "turning colder"
    words = f"nights {way}: {show_temperature(first, out.scale)}, then {show_temperature(last, out.scale)}"
    source = "University of Delaware, Transplanting Time"
    nights = out.nights[NIGHTS - 1].night
    return Condition("trend", holds, words, source, "" if holds else "nights turn colder", nights)


def opens_on(lines: CropLines, open_air: OpenAir, today: date) -> date | None:
    """The soonest day on which soil and nights may let plants out, by what was read and is told, however old; None
    where nothing stands against it. Hardening is counted back from it, so it is the soonest, never the likely one."""
    nights = (today + timedelta(days=ahead) for ahead in range(MOST_NIGHTS))
    cold = lines.setout_night.celsius
    days = [night + timedelta(days=1) for night in nights if open_air.lows.get(night, inf) < cold]
    read = open_air.soil[: bisect_right(open_air.soil, (today, inf))][-MORNINGS:]
    line = lines.soil_line
    if line is not None and read and (today - read[-1][0]).days <= LAST_SOIL_DAYS:
        mean, last = sum(degrees for _, degrees in read) / len(read), read[-1][0]
        short = line.celsius - mean
        if short > 0:
            days.append(_soil_day(read, short) or last + timedelta(days=ceil(short / QUICK_GAIN_C)))
    return max((day for day in days if day > today), default=None)


def why_lines(found: Gate) -> Iterator[str]:
    """Each condition in words, the ones that fail first; what holds needs no sign."""
    signs = {True: "", False: "NO: ", None: "not known: "}
    for condition in sorted(found.conditions, key=lambda c: (c.holds is True, c.holds is None)):
        yield signs[condition.holds] + condition.words
