"""What hands have to know of a tray before they touch it: that it looked sick, and what a label forbids for some hours."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime

from model.days import farm_day, say_at, say_day
from model.facts import Place, Tray, Withheld
from model.labels import label
from model.rules.verdict import HANDS_OFF, SICK

SHORT: Mapping[str, str] = {HANDS_OFF: "don't touch", SICK: "sick"}
"""What each flag of hands asks in few words, what forbids first: where a row has no room for the whole."""
LAST = "last, wash hands"
"""When and how a sick tray is done: what one carries on goes no further. Common practice, no source."""
SICK_DAYS = 14
"""Days for which a tray that looked sick is told as such [d]. Ours."""


def sick_lately(tray: Tray, today: date) -> bool:
    """Whether a tray looked sick on one of the last days."""
    return bool(tray.sick) and 0 <= (today - tray.sick[-1]).days <= SICK_DAYS


def touch_from(spell: Withheld, today: date, zone: str) -> datetime | None:
    """Until when what was sprayed forbids hands; None where the day has none of it.

    The day on which it ends still counts: the hour is told, and whoever reads it has a clock.
    """
    at = spell.touch_from
    return at if at and spell.day <= today <= farm_day(at, zone) else None


def hands_off(tray: Tray, today: date, zone: str) -> datetime | None:
    """Until when a label forbids to handle the tray, by whatever was sprayed."""
    return max((at for spell in tray.withheld if (at := touch_from(spell, today, zone))), default=None)


@dataclass(frozen=True, slots=True)
class Caution:
    """One thing to know, in few words and whole."""

    short: str
    words: str


def cautions(tray: Tray, today: date, zone: str) -> Iterator[Caution]:
    """All of it, what forbids first."""
    if until := hands_off(tray, today, zone):
        yield Caution(SHORT[HANDS_OFF], f"{SHORT[HANDS_OFF]} until {say_at(until, zone)}, label")
    if sick_lately(tray, today):
        yield Caution(SHORT[SICK], f"looked sick {say_day(tray.sick[-1])}: {LAST}")


def withheld_on(tray: Tray, day: date) -> Withheld | None:
    """What a label forbids on a day, cutting and handing over, by what forbids it longest; None where nothing does."""
    spells = [spell for spell in tray.withheld if spell.day <= day < spell.until]
    return max(spells, key=lambda spell: spell.until, default=None)


def withheld_words(tray: Tray, spell: Withheld) -> tuple[str, str]:
    """What a label forbids, and until when."""
    return (
        f"Tray {label(tray.number)} was sprayed with {spell.what} on {say_day(spell.day)}.",
        f"By the label as you typed it not before {say_day(spell.until)}.",
    )


def apart_words(tray: Tray, place: Place, what: str) -> tuple[str, str]:
    """What nothing in quarantine is there for, and what to do: it stays apart until it is moved out."""
    return (
        f"Tray {label(tray.number)} stands in {place.name}: quarantine stock is {what}.",
        "Move it out once it is clean.",
    )


def careful(tray: Tray, today: date, zone: str) -> tuple[str, ...]:
    """All of it in whole words."""
    return tuple(caution.words for caution in cautions(tray, today, zone))


def together(told: Iterable[tuple[str, Iterable[str]]], most: int | None = None) -> Iterator[str]:
    """What is told of several trays, the same words once: "25W, 28M: don't touch until Tue 14 Apr 18:00, label".

    Where more than `most` trays share words the others are counted.
    """
    labels: dict[str, list[str]] = {}
    for tray, words in told:
        for one in words:
            labels.setdefault(one, []).append(tray)
    for words, named in labels.items():
        more = f" and {len(named) - most} more" if most and len(named) > most else ""
        yield f"{', '.join(named[:most])}{more}: {words}"
