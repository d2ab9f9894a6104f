"""Days of the farm: calendar dates, never hours across a clock change.

Instants are aware UTC datetimes; a day is a date in the farm's own zone. Pendulum reads and says dates at
the edges and is imported only there, since the round must be on the screen before it is.
"""

import re
from calendar import monthrange
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Protocol
from zoneinfo import ZoneInfo

from model.errors import BadInput

WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
LONG_MONTHS = (
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
)


class Clock(Protocol):
    """Tells the instant."""

    def now(self) -> datetime:
        """Aware UTC datetime."""
        ...


class SystemClock:
    """The machine's clock."""

    def now(self) -> datetime:
        return datetime.now(UTC)


class FixedClock:
    """A clock that stands on one day, at the time of day it is asked for (06:30 unless told)."""

    def __init__(self, day: date, at: time = time(6, 30), zone: str = "UTC") -> None:
        self._now = datetime.combine(day, at, ZoneInfo(zone)).astimezone(UTC)

    def now(self) -> datetime:
        return self._now


def farm_day(now: datetime, zone: str) -> date:
    """Calendar day at the farm at an instant."""
    return now.astimezone(ZoneInfo(zone)).date()


def as_if(now: datetime, today: date, zone: str) -> datetime:
    """The instant as many days off as a day that is looked at is from the farm's own: its forecasts aren't old then."""
    return now + (today - farm_day(now, zone))


def check_zone(zone: str) -> str:
    """The zone's name, if there is one like that."""
    try:
        ZoneInfo(zone)
    except (ValueError, OSError, KeyError) as error:
        raise BadInput(
            f"{zone!r} is no time zone.", "Use a name like America/New_York or Europe/London."
        ) from error
    return zone


YEAR_DAYS = 366
"""Days for which a change of the clock is looked for [d]."""


def clock_moved(day: date, zone: str) -> timedelta:
    """How far the clocks of a zone are put forward on a day; back where it is below nothing."""
    noons = (datetime.combine(day + timedelta(days=days), time(12), ZoneInfo(zone)) for days in (-1, 0))
    before, after = (noon.utcoffset() or timedelta(0) for noon in noons)
    return after - before


def next_clock_change(today: date, zone: str) -> date | None:
    """The next day on which the clocks of a zone are put forward or back, today or later; None within a year."""
    days = (today + timedelta(days=ahead) for ahead in range(YEAR_DAYS))
    return next((day for day in days if clock_moved(day, zone)), None)


_HOUR = re.compile(r"(\d{1,2})(?:[:.h](\d{2}))?\s*h?")


def parse_hour(text: str, now: datetime, zone: str) -> datetime:
    """The latest instant, not after now, at which the farm's clock showed what was typed: 6, 5:30, 18, now.

    Instants are aware; an hour that is still to come today was yesterday's.
    """
    typed = text.strip().lower()
    if typed == "now":
        return now
    match = _HOUR.fullmatch(typed)
    try:
        if match is None:
            raise ValueError(typed)
        hour = time(int(match[1]), int(match[2] or 0))
    except ValueError as error:
        raise BadInput(f"{text.strip()!r} is no hour.", "Type it like 6, 5:30 or 18, or now.") from error
    there = datetime.combine(now.astimezone(ZoneInfo(zone)).date(), hour, ZoneInfo(zone))
    instant = there.astimezone(UTC)
    return instant if instant <= now else (there - timedelta(days=1)).astimezone(UTC)


TOLD_BACK = 31
"""Days back beyond which a day on paper is a slip, of a year mostly [d]. Ours."""


def parse_told(text: str, shown: date, today: date, now: datetime, zone: str) -> datetime:
    """The instant at which something was done, from a time on paper: 7:10, 7.10, yesterday 7:10, 13 apr 7:10.

    A day that is named counts from today; without one it is the day shown, that of the line before. Raises BadInput for
    what is still to come or long ago.
    """
    *day, hour = text.split() or [""]
    match = _HOUR.fullmatch(hour.lower())
    try:
        if match is None:
            raise ValueError(hour)
        at = time(int(match[1]), int(match[2] or 0))
    except ValueError as error:
        raise BadInput(
            f"{text.strip()!r} is no time.", "Type the time on the sheet, like 7:10 or yesterday 7:10."
        ) from error
    on = parse_day(" ".join(day), today) if day else shown
    if (today - on).days > TOLD_BACK:
        raise BadInput(
            f"{say_day(on, today)} is more than {TOLD_BACK} days back.",
            "Type a day of this sheet; an older one is put right with C at the tray.",
        )
    told = datetime.combine(on, at, ZoneInfo(zone)).astimezone(UTC)
    if told > now:
        raise BadInput(
            f"{say_day(on)} {at:%H:%M} is still to come.",
            f"An earlier day goes before it, like yesterday {hour}.",
        )
    return told


def say_told(told: datetime, today: date, zone: str) -> str:
    """A time that was told as it is written: "7:10", with its day where that isn't the one looked at."""
    return local_time(told, zone) if farm_day(told, zone) == today else say_at(told, zone)


def say_at(instant: datetime, zone: str) -> str:
    """An instant at the farm: "Tue 14 Apr 18:00"."""
    return f"{say_day(farm_day(instant, zone))} {local_time(instant, zone)}"


_SHORT = re.compile(r"(\d{1,2})\s*([A-Za-z]{3,9})\.?\s*(\d{4})?|(-\d{1,3})|([A-Za-z]+)")
_WHOLE = re.compile(r"\d{4}-\d{1,2}-\d{1,2}")
_LEAP_DAYS_APART = 8
"""The most years from one leap day to the next: 1896 and 1904, 2096 and 2104."""


def parse_day(text: str, today: date) -> date:
    """A day from what was typed: 2026-04-14, 14 apr, -3 (days ago), today, yesterday.

    A day and month without a year is the latest such day that isn't in the future.
    """
    import pendulum

    typed = text.strip()
    match = _SHORT.fullmatch(typed)
    try:
        if _WHOLE.fullmatch(typed):
            parsed = pendulum.from_format(typed, "YYYY-M-D")
            return date(parsed.year, parsed.month, parsed.day)
        if match is None:
            raise ValueError(typed)
        if match[4]:
            return today + timedelta(days=int(match[4]))
        if match[5]:
            return {"today": today, "yesterday": today - timedelta(days=1)}[match[5].lower()]
        month, day = _month(match[2]), int(match[1])
        return date(int(match[3]), month, day) if match[3] else _latest(month, day, today)
    except (ValueError, KeyError) as error:
        raise BadInput(
            f"{typed!r} is no day.", "Type it like 2026-04-14, 14 apr, yesterday, or -3 for three days ago."
        ) from error


_NAMED = re.compile(
    r"(?:(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*\s+)?(?:(?P<day>\d{1,2})\s+)?(?P<month>[a-z]{3,9})\.?(?:\s+(?P<year>\d{4}))?"
    r"|(?P<iso_year>\d{4})-(?P<iso_month>\d{1,2})(?:-(?P<iso_day>\d{1,2}))?"
)


@dataclass(frozen=True, slots=True)
class Named:
    """A day or a month as people name it: of a year, or of every year."""

    year: int | None
    month: int
    day: int | None

    def holds(self, day: date) -> bool:
        """Whether a day is the one that is meant, or lies in the month."""
        return self.year in (None, day.year) and self.month == day.month and self.day in (None, day.day)


def named(text: str) -> Named | None:
    """The day or month that a text names: 14 Apr, Tue 14 Apr 2026, Apr 2026, 2026-04-14, 2026-04; None for others.

    A month alone is none: may is also a word.
    """
    match = _NAMED.fullmatch(" ".join(text.split()).lower())
    if match is None:
        return None
    year, day = match["year"] or match["iso_year"], match["day"] or match["iso_day"]
    word = match["month"]
    if word is not None and (
        (day is None and year is None) or not any(m.startswith(word) for m in LONG_MONTHS)
    ):
        return None
    month = _month(word) if word is not None else int(match["iso_month"])
    return Named(int(year) if year else None, month, int(day) if day else None)


def named_among(words: Sequence[str]) -> tuple[Named | None, list[str]]:
    """The day or month that some words beside each other name, in as many of them as do; and the other words."""
    for size in range(min(_MOST_WORDS, len(words)), 0, -1):
        for at in range(len(words) - size + 1):
            if found := named(" ".join(words[at : at + size])):
                return found, [*words[:at], *words[at + size :]]
    return None, [*words]


_MOST_WORDS = 4
"""Words of a day: Tue 14 Apr 2026."""


def _month(typed: str) -> int:
    return min(i for i, name in enumerate(LONG_MONTHS, 1) if name.startswith(typed.lower()))


def _latest(month: int, day: int, today: date) -> date:
    years = range(today.year, today.year - _LEAP_DAYS_APART - 1, -1)
    days = (date(year, month, day) for year in years if day <= monthrange(year, month)[1])
    return max(found for found in days if found <= today)


def say_day(day: date, today: date | None = None) -> str:
    """Weekday, day and month: "Tue 14 Apr"; with the year too where it isn't today's."""
    year = f" {day.year}" if today is not None and day.year != today.year else ""
    return f"{WEEKDAYS[day.weekday()]} {short_day(day)}{year}"


def short_day(day: date) -> str:
    """Day and month: "14 Apr"."""
    return f"{day.day} {MONTHS[day.month - 1]}"


def say_window(start: date, end: date | None, today: date) -> str:
    """A window of days in words: "9-16 Apr", "28 Apr-3 May", "from 9 Apr", "now" once past its end."""
    if end is None:
        return "now" if start <= today else f"from {short_day(start)}"
    if end < today:
        return "now"
    if start == end:
        return short_day(end)
    if (start.year, start.month) == (end.year, end.month):
        return f"{start.day}-{short_day(end)}"
    return f"{short_day(start)}-{short_day(end)}"


def ago(day: date, today: date) -> str:
    """How long ago in days: "today", "1 d"."""
    days = (today - day).days
    return "today" if days == 0 else f"{days} d"


def local_time(instant: datetime, zone: str) -> str:
    """Clock time at the farm, said as hours and minutes."""
    at = instant.astimezone(ZoneInfo(zone))
    return f"{at.hour}:{at.minute:02d}"


_AHEAD = re.compile(
    r"(week of\s+|week\s+)?(?:(\d{4})-(\d{1,2})-(\d{1,2})|(\d{1,2})\s*([a-z]{3,9})\.?\s*(\d{4})?|\+(\d{1,3})|(today|tomorrow))"
)


def parse_ahead(text: str, today: date) -> tuple[date, date]:
    """The first and last of the days typed, still to come: 12 may, 2026-05-12, +21, today, "week of 4 may" (its Monday
    to Sunday).

    A day and month without a year is the next such day, today at the soonest.
    """
    typed = text.strip().lower()
    match = _AHEAD.fullmatch(typed)
    try:
        if match is None:
            raise ValueError(typed)
        week, year, month, number, day, name, its_year, days, near = match.groups()
        if days or near:
            found = today + timedelta(days=int(days or (near == "tomorrow")))
        elif year:
            found = date(int(year), int(month), int(number))
        elif its_year:
            found = date(int(its_year), _month(name), int(day))
        else:
            found = _next(_month(name), int(day), today)
    except (ValueError, KeyError) as error:
        raise BadInput(
            f"{text.strip()!r} is no day or week to come.",
            "Type it like 12 may, 2026-05-12, +21 for in 21 days, or week of 4 may.",
        ) from error
    if not week:
        return found, found
    monday = found - timedelta(days=found.weekday())
    return monday, monday + timedelta(days=len(WEEKDAYS) - 1)


def _next(month: int, day: int, today: date) -> date:
    years = range(today.year, today.year + _LEAP_DAYS_APART + 1)
    days = (date(year, month, day) for year in years if day <= monthrange(year, month)[1])
    return min(found for found in days if found >= today)
