"""The course of root fill over days, and what would change it: another place, another warmth, more room, waiting."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import exp
from typing import NamedTuple

from model.facts import Crop, Place, Sowing, Stay, Tray, Vessel
from model.rules.coming_up import Z80
from model.rules.filling import GROWTH_SD, Curve, Filling, Pin, through
from model.rules.grounds import Grounds
from model.rules.outlook import Outlook
from model.rules.verdict import Fill
from model.science.root_fill import BOUND_FILL, FULL_FILL, HOLDS_FILL

NOWHERE = -1
"""Number of a place that is only thought of."""


@dataclass(frozen=True, slots=True)
class Change:
    """Something that could be done with a tray, some days from now; None leaves a thing as it is."""

    place_id: int | None = None
    temp_c: float | None = None
    """Held steadily at this temperature [°C]."""
    container_id: int | None = None
    wait_days: int = 0


class Dates(NamedTuple):
    """When the plug holds together, is full, and goes root-bound, in the middle; None where it never does."""

    ready: date | None
    full: date | None
    bound: date | None


def growth_of(outlook: Outlook | None) -> tuple[float, float, float]:
    """Growth of the slow tenth, the middle and the quick tenth as multiples of the crop's own [-]."""
    mean, spread = outlook.growth if outlook else (0.0, GROWTH_SD)
    return exp(mean - Z80 * spread), exp(mean), exp(mean + Z80 * spread)


@dataclass(frozen=True, slots=True)
class Plants:
    """One sowing in its tray, up since a day: what a course is drawn of."""

    sowing: Sowing
    tray: Tray
    crop: Crop
    emerged: date
    filling: Filling
    """What the round tells of it today: every curve goes through its fill."""
    today: date
    told_of: Tray | None = None
    """The tray as it stands, where this one is only thought of: what is told is told of its last container."""

    def _curves(self, on: Grounds, growth: float, told: float | None) -> list[Curve]:
        home = len((self.told_of or self.tray).vessels) - 1
        pin = Pin(self.today, told, home) if told is not None else None
        return through(self.sowing, self.tray, self.crop, on, self.emerged, growth, pin)

    def fills(self, on: Grounds, days: Sequence[date], growths: tuple[float, float, float]) -> list[Fill]:
        """Fill with its band on some days."""
        fill = self.filling.fill
        told = (fill.low, fill.expected, fill.high)
        courses = [self._curves(on, *pair) for pair in zip(growths, told, strict=True)]
        found = [sorted(_on(curves, day) for curves in courses) for day in days]
        return [Fill(middle, low, high) for low, middle, high in found]

    def told(self) -> Dates:
        """The three days as the round tells them, what was seen included."""
        ready = self.filling.ready
        return Dates(ready.start if ready else None, ready.end if ready else None, self.filling.bound)

    def default(self, on: Grounds, days: Sequence[date]) -> list[float]:
        """The middle course by the crop file alone."""
        curves = self._curves(on, growth_of(None)[1], None)
        return [_on(curves, day) for day in days]

    def dates(self, on: Grounds, growth: float) -> Dates:
        """The three days in the last container."""
        last = self._curves(on, growth, self.filling.fill.expected)[-1]
        return Dates(*(last.reaches(stage.value) for stage in (HOLDS_FILL, FULL_FILL, BOUND_FILL)))

    def changed(self, change: Change, on: Grounds) -> "tuple[Plants, Grounds]":
        """The same plants after something was done with them, and the grounds on which it could be."""
        day, tray, places = self.today + timedelta(days=change.wait_days), self.tray, dict(on.places)
        if change.temp_c is not None:
            here = places[tray.place_id]
            places[NOWHERE] = _steady(here, change.temp_c)
            tray = replace(tray, stays=(*tray.stays, Stay(NOWHERE, day)))
        elif change.place_id is not None:
            tray = replace(tray, stays=(*tray.stays, Stay(change.place_id, day)))
        if change.container_id is not None:
            tray = replace(tray, vessels=(*tray.vessels, Vessel(change.container_id, day)))
        return replace(self, tray=tray, told_of=self.tray), replace(on, places=places)


def _steady(place: Place, temp_c: float) -> Place:
    return replace(place, id=NOWHERE, low_c=temp_c, high_c=temp_c)


def _on(curves: Sequence[Curve], day: date) -> float:
    """Fill on a day, in the container of that day."""
    begun = [curve for curve in curves if curve.start <= day] or curves[:1]
    return begun[-1].on(day)
