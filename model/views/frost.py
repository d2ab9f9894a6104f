"""The chance of a later freeze: by date, in words, and as a curve."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from math import inf, isfinite

from model.ahead import FreezeFrom, Freezes
from model.days import say_day, short_day
from model.rules.outlook import Outlooks
from model.science.frost import (
    LastFreeze,
    chance_of_later,
    counted_chance,
    cover_credit,
    day_of_chance,
    last_freeze_of_dates,
    last_freeze_of_record,
    season_day,
)
from model.store import reading, reading_ahead
from model.store.database import Store
from model.units import Temperature, show_beside, show_offset, show_temperature
from model.views.answer import Answer, AnswerLine
from model.views.outdoors import cover_of, number_of

WEEKS = 8
"""Weeks ahead for which a chance is told. Ours."""
HALF, TENTH = 0.5, 0.1
"""Chances whose dates are told: those of the published tables [fraction]."""
FIRST_CURVE_DAY = 60
"""Day of the season on which the curve begins: 1 March north [day]. Ours."""
BLOCKS = "▁▂▃▄▅▆▇█"
CURVE_ROWS = 4
"""Rows of the curve."""
CURVE_STEP = 2
"""Days that a column of the curve stands for [d]."""
CURVE_COLUMNS = 60
FREEZE_C = 0.0
"""Water freezes [°C]."""
NEAR_C = 0.06
"""Two temperatures that are taken for the same one [°C]: 2.2 and 2.25, as 36 °F may be kept. Ours."""
WARNING = (
    "A freeze may come later than any date here. Covers count for {credit} in trials; on a clear, still night or in",
    "moving cold air a cover may give nothing. Your own thermometer at the tables tells more than a station.",
)


@dataclass(frozen=True, slots=True)
class FreezeChance:
    """Chance of a later freeze at one temperature."""

    at_c: float
    station: str
    source: FreezeFrom
    years: int
    """Springs of the record; 0 for published dates."""
    weeks: tuple[float, ...]
    """Chance today and after each week ahead [fraction]."""
    counted: float | None
    """The same for today, counted in the years of a record [fraction]."""
    half_on: date | None
    """After this day a freeze comes in half of years; None where fewer years than that have one."""
    tenth_on: date | None
    curve: tuple[float, ...]
    """Chance on every second day from the first of the curve [fraction]."""


@dataclass(frozen=True, slots=True)
class FrostView:
    """The chances of a day."""

    on: date
    chances: tuple[FreezeChance, ...]
    """The warmest temperature first."""
    curve_from: date
    offset_c: float
    cover: str
    credit_c: float
    scale: Temperature


def read(store: Store, today: date, now: datetime, outlooks: Outlooks | None = None) -> FrostView:
    """The chances of a day; neither the hour nor the roots matter to them."""
    with store.reading() as rows:
        settings = reading.settings(rows)
        south = float(settings.get("latitude") or 0.0) < 0
        found = tuple(chance_at(freezes, today, south) for freezes in reading_ahead.freezes(rows))
    cover = cover_of(settings)
    return FrostView(
        on=today,
        chances=found,
        curve_from=calendar_day(FIRST_CURVE_DAY, today, south),
        offset_c=number_of(settings, "offset_c"),
        cover=cover.value,
        credit_c=cover_credit(cover),
        scale=Temperature(settings.get("temperature", Temperature.CELSIUS)),
    )


def normal_of(freezes: Freezes, south: bool = False) -> tuple[LastFreeze, list[float]]:
    """The last freeze as a normal, and the last days of each year of a record (none for published dates)."""
    if freezes.source is FreezeFrom.PUBLISHED:
        half, tenth = (_season_number(text, south) for text in (freezes.half_on, freezes.tenth_on))
        return last_freeze_of_dates(half, tenth), []
    days = [
        -inf if text == "-" else float(text)
        for _, text in (year.split(":") for year in freezes.years.split())
    ]
    return last_freeze_of_record(days), days


def _season_number(month_day: str, south: bool) -> float:
    # A leap year, so that 29 February may stand there.
    return float(season_day(date.fromisoformat(f"2000-{month_day}"), south)[1])


def chance_at(freezes: Freezes, today: date, south: bool) -> FreezeChance:
    """Chance of a later freeze at one temperature, today and in the weeks ahead."""
    freeze, days = normal_of(freezes, south)
    number = season_day(today, south)[1]
    return FreezeChance(
        at_c=freezes.at_c,
        station=freezes.station,
        source=freezes.source,
        years=len(days),
        weeks=tuple(chance_of_later(freeze, number + 7 * week) for week in range(WEEKS + 1)),
        counted=counted_chance(days, number).chance if days else None,
        half_on=_day_of(freeze, HALF, today, south),
        tenth_on=_day_of(freeze, TENTH, today, south),
        curve=tuple(
            chance_of_later(freeze, FIRST_CURVE_DAY + CURVE_STEP * step) for step in range(CURVE_COLUMNS)
        ),
    )


def _day_of(freeze: LastFreeze, chance: float, today: date, south: bool) -> date | None:
    number = day_of_chance(freeze, chance)
    return calendar_day(round(number), today, south) if isfinite(number) else None


def calendar_day(number: int, today: date, south: bool) -> date:
    """The calendar day of a day of this season, in the season that today lies in."""
    start = date(season_day(today, south)[0], 7 if south else 1, 1)
    return start + timedelta(days=number - 1)


def answer(view: FrostView) -> Answer:
    """The chances in lines; the curve of freezing below them."""
    if not view.chances:
        return Answer(
            "frost",
            (
                "No station is on record, so no chance can be told.",
                "d types the 50 % and 10 % dates of a station near you; trayround frost FILE reads a daily record.",
            ),
        )
    freezing = min(view.chances, key=lambda chance: abs(chance.at_c))
    return Answer(
        title="frost",
        answer=_answer(view, freezing),
        lines=tuple(_line(chance, view) for chance in view.chances),
        heading=f"{'at':<7}{'today':>7}{'in 1 wk':>9}{'2 wk':>7}{'4 wk':>7}{'8 wk':>7}   {'1 in 2':<8}{'1 in 10':<8} station",
        notes=(*curve_rows(freezing, view), "", *_warning(view)),
    )


def bounds(view: FrostView) -> tuple[FreezeChance | None, FreezeChance | None]:
    """Between which lines of the station a low of 0 °C lies here; None where no colder or no warmer one is on record."""
    colder = [chance for chance in view.chances if chance.at_c <= view.offset_c + NEAR_C]
    warmer = [chance for chance in view.chances if chance.at_c >= view.offset_c - NEAR_C]
    return (
        max(colder, key=lambda chance: chance.at_c, default=None),
        min(warmer, key=lambda chance: chance.at_c, default=None),
    )


def _here(view: FrostView) -> tuple[str, ...]:
    """The answer for a spot that is colder or warmer than the station: between two of its lines, or beyond one."""
    low, high = bounds(view)
    known = [chance for chance in dict.fromkeys((low, high)) if chance is not None]
    years = " to ".join(per_cent(chance.weeks[0]) for chance in known)
    more, later, lacks = "", "", ""
    if high is None:
        more, later, lacks = " or more", " or a later day", "No warmer line is on record; d types one."
    elif low is None:
        more, later, lacks = " or less", " or an earlier day", "No colder line is on record; d types one."
    at, here = show_temperature(FREEZE_C, view.scale), show_offset(view.offset_c, view.scale)
    days = [say_day(chance.tenth_on) for chance in known if chance.tenth_on is not None]
    tenth = f"a day from {days[0]} to {days[1]}" if len(days) > 1 else f"{days[0]}{later}" if days else ""
    rows = (
        f"{here}: a low of {at} or less still comes in {years} of years{more}.",
        f"After {tenth} still in about 1 year of 10." if len(days) == len(known) else "",
        lacks,
    )
    return tuple(row for row in rows if row)


def _answer(view: FrostView, freezing: FreezeChance) -> tuple[str, ...]:
    if view.offset_c:
        return _here(view)
    at = show_temperature(freezing.at_c, view.scale)
    first = f"After today a low of {at} or less comes in {in_years(freezing.weeks[0])}."
    tenth = freezing.tenth_on
    second = f"After {say_day(tenth)} still in about 1 year of 10." if tenth else ""
    return tuple(row for row in (first, second) if row)


def in_years(chance: float) -> str:
    """A chance in words that never promise."""
    if chance < 0.005:
        return "fewer than 1 year of 200"
    if chance > 0.995:
        return "nearly every year"
    return f"about {100 * chance:.0f} of 100 years"


def per_cent(chance: float) -> str:
    """A chance in per cent: never nothing, and never certain."""
    if chance < 0.005:
        return "<1 %"
    return ">99 %" if chance > 0.995 else f"{100 * chance:.0f} %"


def _line(chance: FreezeChance, view: FrostView) -> AnswerLine:
    shown = [chance.weeks[week] for week in (0, 1, 2, 4, 8)]
    figures = "".join(
        f"{per_cent(part):>{width}}" for part, width in zip(shown, (7, 9, 7, 7, 7), strict=True)
    )
    half = short_day(chance.half_on) if chance.half_on else "never"
    tenth = short_day(chance.tenth_on) if chance.tenth_on else "never"
    at = show_temperature(chance.at_c, view.scale)
    record = f"{chance.years} springs" if chance.years else str(chance.source)
    why = [f"chance of a later {at} or colder at {chance.station}, from {record}"]
    if chance.counted is not None:
        why.append(
            f"counted in its years {per_cent(chance.counted)} today; the normal through them {per_cent(shown[0])}"
        )
    if view.offset_c:
        here = show_beside(chance.at_c - view.offset_c, chance.at_c, view.scale)[0]
        why.append(
            f"{show_offset(view.offset_c, view.scale)}: {at} there is about {here} where the plants stand"
        )
    why.append("d types published dates; trayround frost FILE --station NAME reads a daily record")
    return AnswerLine(
        f"{at:<7}{figures}   {half:<8}{tenth:<8} {chance.station}", tuple(why), key=round(chance.at_c * 10)
    )


def curve_rows(chance: FreezeChance, view: FrostView) -> list[str]:
    """The chance from March on, drawn in blocks: four rows of eight steps each."""
    steps = len(BLOCKS) * CURVE_ROWS
    heights = [round(part * steps) for part in chance.curve]
    rows = []
    for row in reversed(range(CURVE_ROWS)):
        filled = [min(len(BLOCKS), max(0, height - row * len(BLOCKS))) for height in heights]
        blocks = "".join(BLOCKS[fill - 1] if fill else " " for fill in filled)
        rows.append(f"{100 * (row + 1) // CURVE_ROWS:>4} % {blocks}")
    return [*rows, f"       {_scale(view.curve_from, view.on)}"]


def _scale(start: date, today: date) -> str:
    """First days of months under the curve, and today where it lies on it."""
    marks = [" "] * CURVE_COLUMNS
    for step in range(CURVE_COLUMNS):
        days = [start + timedelta(days=step * CURVE_STEP + part) for part in range(CURVE_STEP)]
        first = next((day for day in days if day.day == 1), None)
        if first is not None:
            name = short_day(first)
            marks[step : step + len(name)] = list(name)
    at = (today - start).days // CURVE_STEP
    if 0 <= at < CURVE_COLUMNS:
        marks[at] = "^"
    return "".join(marks[:CURVE_COLUMNS]).rstrip() + ("   ^ today" if 0 <= at < CURVE_COLUMNS else "")


def _warning(view: FrostView) -> Sequence[str]:
    credit = f"{view.credit_c:g} °C ({view.cover})" if view.credit_c else "1 to 2 °C (light to medium fabric)"
    return [row.format(credit=credit) for row in WARNING]
