"""Days away: which they may be, what a night told ahead asks for, and on which days a planned sowing still fits."""

from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from statistics import NormalDist

from model.ahead import NightTold
from model.days import say_day
from model.errors import BadInput
from model.facts import PlaceKind
from model.rules.nights import FEW_CHANCE
from model.rules.tonight import FRAME_C, NightCase, NightWord, Outside, night_case
from model.rules.verdict import Window
from model.science.frost import TONIGHT_SD_C

MOST_DAYS = 21
"""Days away that one sheet tells of [d]. Ours: further off, neither forecast nor root fill says enough."""
FEW_DAYS = 7
"""Days left of a window up to which a sowing is named: with more it can be sown at leisure [d]. Ours."""
A_DAY = timedelta(days=1)


class Evening(StrEnum):
    """What a sheet asks for on an evening; the newest forecast of that evening outranks it."""

    BRING_IN = "bring in"
    COVER = "cover"
    CLOSE = "close"
    """Told above the line, though not surely: the evening's own forecast decides."""
    FINE = "fine"
    UNKNOWN = "not known"


@dataclass(frozen=True, slots=True)
class Fits:
    """Days on which a planned sowing can be sown without the days away."""

    before: Window | None
    """Up to the day of leaving; None where none is left."""
    after: Window | None
    """From the day of coming back on; None where its window has closed."""


def check_days(first: date, last: date, today: date) -> None:
    """Refuse days away that can't be.

    Raises BadInput where they are backwards, begin in the past or are more than 21 days; says what to give instead.
    """
    if first < today:
        raise BadInput(f"{say_day(first)} has gone by.", f"Give a first day from {say_day(today)} on.")
    if last < first:
        raise BadInput(
            f"{say_day(last)} is before {say_day(first)}.",
            "Give the day of leaving, then that of coming back.",
        )
    days = (last - first).days
    if days > MOST_DAYS:
        raise BadInput(
            f"{days} days away are too many for one sheet.",
            f"Give at most {MOST_DAYS}, to {say_day(first + timedelta(days=MOST_DAYS))}, then a second sheet.",
        )


def evening(
    out: Outside, night: NightTold | None, today: date, offset_c: float = 0.0, cover_c: float = 0.0
) -> tuple[Evening, NightCase]:
    """What to ask for on a night that is told ahead of it.

    Under its line a tray comes in, or is covered where that does. Above it, while more than one chance in ten is left,
    it is close: the error of a forecast days ahead is larger than that of the evening, so that one is waited for.
    """
    case = night_case(out, night, today, offset_c, cover_c)
    above = case.low_c is not None and case.low_c >= case.line_c
    if case.word is NightWord.BRING_IN and above:
        return Evening.CLOSE, case
    return Evening(case.word.value), case


def enough_c(out: Outside, line_c: float, offset_c: float = 0.0) -> float:
    """The forecast of the evening itself from which a tray may stay out without a cover [°C].

    It leaves one chance in ten to fall under the line, by the error of a forecast for the same night.
    """
    margin = NormalDist(sigma=TONIGHT_SD_C.value).inv_cdf(1.0 - FEW_CHANCE)
    frame = FRAME_C if out.kind is PlaceKind.COLD_FRAME else 0.0
    return line_c + margin + offset_c - frame


def fits(window: Window, first: date, last: date, today: date) -> Fits:
    """Days of a window that lie before somebody leaves, and after they are back; both of those days are theirs."""
    ends = window.end or date.max
    begins, back = max(window.start, today), max(window.start, last)
    before = Window(begins, min(first, ends)) if begins <= min(first, ends) else None
    after = Window(back, window.end) if back <= ends else None
    return Fits(before, after)


def must_move(window: Window, first: date, last: date, today: date) -> bool:
    """Whether days away take so much of a sowing's window that at most a week of it is left on both sides."""
    if window.end is None or window.end < first or window.start >= last:
        return False
    found = fits(window, first, last, today)
    return sum(_days(part) for part in (found.before, found.after)) <= FEW_DAYS


def _days(window: Window | None) -> int:
    return (window.end - window.start).days + 1 if window is not None and window.end is not None else 0
