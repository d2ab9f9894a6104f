"""Numbers on labels: which tray one leads to, and which labels may still be about."""

from collections.abc import Iterable, Iterator
from datetime import date, timedelta
from typing import Protocol, TypeVar

from model.days import say_day
from model.facts import Tray
from model.labels import Alias, label

ABOUT_DAYS = 60
"""Days for which the label of a tray that is gone may still stand in a pot or lie on a bench [d].

Common practice, no source.
"""


class Numbered(Protocol):
    """Something with a label: a tray, or its line."""

    @property
    def number(self) -> int: ...

    @property
    def aliases(self) -> tuple[Alias, ...]: ...


T = TypeVar("T", bound=Numbered)


def carried_until(number: int, tray: Numbered) -> date | None:
    """The day until which a tray carried a number that it doesn't carry now; None where it never did."""
    days = [alias.until for alias in tray.aliases if alias.number == number != tray.number]
    return max(days, default=None)


def leads_to(number: int, standing: Iterable[T]) -> T | None:
    """The standing tray that a number leads to: the one that carries it now, else the last that carried it."""
    found: T | None = None
    last = date.min
    for tray in standing:
        if tray.number == number:
            return tray
        until = carried_until(number, tray)
        if until is not None and until >= last:
            found, last = tray, until
    return found


def _carried_too(number: int, found: T, standing: Iterable[T], today: date) -> Iterator[tuple[T, date]]:
    """Other standing trays that carried a number this season, and until when: their old labels may be meant."""
    for tray in standing:
        until = carried_until(number, tray)
        if tray is not found and until is not None and until.year == today.year:
            yield tray, until


def number_words(number: int, found: T, standing: Iterable[T], today: date) -> Iterator[str]:
    """What is to be known of a number that led to a tray: that it is an old one, and whose else it was."""
    if found.number != number:
        yield f"{label(number)} is {label(found.number)} now."
    for other, until in _carried_too(number, found, standing, today):
        yield f"{label(number)} was also on {label(other.number)} until {say_day(until)}."


def labels_about(trays: Iterable[Tray], today: date) -> dict[int, tuple[Tray, date]]:
    """Numbers that no standing tray carries but whose labels may be about: who had each last, and until when.

    Those are the old numbers of standing trays, and the numbers of trays that left in the last 60 days.
    """
    since = today - timedelta(days=ABOUT_DAYS)
    about: dict[int, tuple[Tray, date]] = {}
    carried = set()
    for tray in trays:
        had = [(alias.number, alias.until) for alias in tray.aliases]
        if tray.ended_on is None:
            carried.add(tray.number)
        else:
            had = [
                (number, until) for number, until in (*had, (tray.number, tray.ended_on)) if until >= since
            ]
        for number, until in had:
            if number not in about or about[number][1] <= until:
                about[number] = (tray, until)
    return {number: last for number, last in about.items() if number not in carried}
