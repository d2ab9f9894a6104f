"""Days of hardening that plants really had: out of doors, with somebody there to say so."""

from dataclasses import dataclass
from datetime import date, timedelta

from model.facts import ActKind, PlaceKind, Tray
from model.rules.grounds import Grounds


@dataclass(frozen=True, slots=True)
class Exposure:
    """What a tray had of the open air up to this morning."""

    days: int
    """Days that count: in a hardening area, marked by somebody, not kept inside [d]."""
    unmarked: int
    """Days in a hardening area on which nobody marked it: they don't count [d]."""
    nights_out: int
    """Nights that it stood out, the answered ones and those nobody answered for [nights]."""
    low_c: float | None
    """Lowest that was read there while it stood out [°C]; None where nothing was read."""


def exposure(tray: Tray, on: Grounds, first: date, today: date) -> Exposure:
    """Days of hardening from the day a tray was up until this morning.

    A night on which it was brought in doesn't spoil the day. Where nobody asked for the marks, every day counts.
    """
    days = unmarked = nights_out = 0
    lows: list[float] = []
    marks = on.marks.get(tray.id, frozenset()) if on.marks is not None else None
    answered = on.nights.get(tray.id, {})
    for stay, until in zip(tray.stays, [*(stay.since for stay in tray.stays[1:]), today], strict=True):
        if on.places[stay.place_id].kind is not PlaceKind.HARDENING:
            continue
        read = on.weather.get(stay.place_id, {})
        day = max(stay.since, first)
        while day < min(until, today):
            kept_in = ActKind.KEPT_IN in answered.get(day, ())
            marked = marks is None or day in marks
            days += marked and not kept_in
            unmarked += not marked and not kept_in
            if ActKind.BROUGHT_IN not in answered.get(day, ()) and not kept_in:
                nights_out += 1
                lows += [read[day][0]] if day in read else []
            day += timedelta(days=1)
    return Exposure(days, unmarked, nights_out, min(lows, default=None))
