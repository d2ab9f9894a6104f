"""Who shared a bench with whom, and when."""

from collections.abc import Iterable
from datetime import date, timedelta

from model.facts import Tray

SHARED_DAYS = 3
"""Days up to the one on which a tray looked sick, in which its neighbours count as exposed [d]. Ours."""


def places_of(tray: Tray, day: date) -> frozenset[int]:
    """Places at which a tray, or the one its plants came from, stood on a day; on that of a move it stood at both."""
    ends = [*(stay.since for stay in tray.stays[1:]), tray.ended_on or date.max]
    return frozenset(
        stay.place_id for stay, end in zip(tray.stays, ends, strict=True) if stay.since <= day <= end
    )


def shared(sick: Tray, trays: Iterable[Tray], seen_on: date) -> tuple[Tray, ...]:
    """Trays that stood at one place with a sick one on the same day, in the three days up to the one it was seen.

    Plants of a tray that is gone count too: they may be where nobody looks.
    """
    days = [seen_on - timedelta(days=back) for back in range(SHARED_DAYS + 1)]
    stood = {day: places_of(sick, day) for day in days}
    found = (
        tray
        for tray in trays
        if tray.id != sick.id and any(places_of(tray, day) & stood[day] for day in days)
    )
    return tuple(sorted(found, key=lambda tray: (tray.number, tray.id)))
