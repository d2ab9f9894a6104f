"""Questions about the last freezes of spring at a station."""

from collections.abc import Mapping
from datetime import date

from model.actions import frost
from model.days import parse_day
from model.errors import BadInput
from model.units import Temperature, show_temperature
from tui.dialogs.ask import Flow, Type
from tui.dialogs.flows import Wish, some_text

PAIR = 2
"""Dates that are typed for one temperature."""


def dates(today: date, settings: Mapping[str, str]) -> Flow[Wish]:
    """The 50 % and 10 % dates of a station, for up to three temperatures."""
    scale = Temperature(settings.get("temperature", Temperature.CELSIUS))
    station: str = yield Type("Which station?", some_text, "", "the nearest one with published normals")
    found: dict[float, tuple[date, date]] = {}
    for at_c in sorted(frost.AT_C, key=abs):
        pair: tuple[date, date] | None = yield Type(
            f"50 % and 10 % date of the last {show_temperature(at_c, scale)}:",
            lambda text, at_c=at_c: _checked(text, at_c, found, today, scale),  # type: ignore[misc]
            "",
            "like 24 apr, 14 may; empty where they aren't published",
        )
        if pair is not None:
            found[at_c] = pair
    return lambda store, stamp: frost.keep_dates(store, stamp, station, found)


def _checked(
    text: str, at_c: float, found: Mapping[float, tuple[date, date]], today: date, scale: Temperature
) -> tuple[date, date] | None:
    """Two days, refused at once where they can't stand beside those that were typed before."""
    pair = two_days(text, today)
    if pair is not None:
        frost.check_dates({**found, at_c: pair}, scale)
    return pair


def two_days(text: str, today: date) -> tuple[date, date] | None:
    """Two days of any year, the 50 % date first; None where nothing is typed."""
    words = [word for word in text.replace(";", ",").split(",") if word.strip()]
    if not words:
        return None
    if len(words) != PAIR:
        raise BadInput("That isn't two dates.", "Type both with a comma between, like 24 apr, 14 may.")
    half, tenth = (parse_day(word, today) for word in words)
    return half, tenth
