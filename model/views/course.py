"""The course of a tray's root fill as it is drawn, and what would change it."""

from dataclasses import dataclass, replace
from datetime import date, timedelta

from model.errors import BadInput
from model.facts import Sowing, Tray
from model.rules.course import Change, Dates, Plants, growth_of
from model.rules.grounds import Grounds
from model.rules.outlook import Outlooks
from model.rules.readiness import case
from model.science.root_fill import BOUND_FILL, FEW_FILL, FULL_FILL, HOLDS_FILL
from model.store import reading
from model.store.database import Store
from model.views.curve import CurveData
from model.views.grounds import grounds

AHEAD_DAYS = 21
"""Days that a curve runs on after today [d]."""
LONGEST_CURVE = 200
"""Days that a curve shows at most [d]."""
EDGES = (0.0, FEW_FILL.value, HOLDS_FILL.value, FULL_FILL.value, BOUND_FILL.value, 1.0)
"""Fills between which each look lies [fraction]."""


@dataclass(frozen=True, slots=True)
class WhatIf:
    """What a change would make of a tray: the three dates without and with it, and its curve beside the other."""

    before: Dates
    after: Dates
    curve: CurveData


def curve_of(tray: Tray, on: Grounds, today: date) -> CurveData | None:
    """Fill of the sowing with most plants from the day it was up until some days after today."""
    plants = _plants(tray, on, today)
    if plants is None:
        return None
    days = _days(plants, tray, today)
    outlook = on.outlooks.get(plants.sowing.id)
    course = plants.fills(on, days, growth_of(outlook))
    default = plants.default(on, days) if outlook and (outlook.past or outlook.looks) else []
    ready = plants.filling.ready
    age = plants.sowing.sown_on

    def number(day: date) -> int:
        return (day - age).days

    window = (number(ready.start), number(ready.end) if ready.end else None) if ready else None
    return CurveData(
        days=tuple(number(day) for day in days),
        low=tuple(fill.low for fill in course),
        expected=tuple(fill.expected for fill in course),
        high=tuple(fill.high for fill in course),
        today=number(today),
        window=window,
        looks=tuple(
            (number(look.day), (EDGES[look.score] + EDGES[look.score + 1]) / 2, look.score)
            for look in tray.looks
            if look.day >= days[0]
        ),
        beside=tuple(default),
        beside_name="default" if default else "",
    )


def read_what_if(
    store: Store, tray_id: int, today: date, change: Change, outlooks: Outlooks | None = None
) -> WhatIf:
    """What a change would make of a tray; nothing is kept of it."""
    with store.reading() as rows:
        tray = reading.trays(rows, [tray_id])[tray_id]
        on = grounds(rows, [tray], outlooks)
    plants = _plants(tray, on, today)
    if plants is None:
        raise BadInput(
            "Nothing here fills a cell with roots yet, or nothing is known of its growth.",
            "Tick first up once plants are up.",
        )
    growths = growth_of(on.outlooks.get(plants.sowing.id))
    changed, there = plants.changed(change, on)
    curve = curve_of(tray, on, today)
    assert curve is not None
    other = changed.fills(there, _days(plants, tray, today), growths)
    before, after = plants.told(), changed.dates(there, growths[1])
    return WhatIf(
        before=before,
        after=after if change.container_id is not None else _what_is_gone_stays(before, after, today),
        curve=replace(curve, beside=tuple(fill.expected for fill in other), beside_name="what if"),
    )


def _what_is_gone_stays(before: Dates, after: Dates, today: date) -> Dates:
    """A day that is gone by isn't moved by what is done today, unless plants get more room."""
    pairs = zip(before, after, strict=True)
    return Dates(*(was if was is not None and was <= today else then for was, then in pairs))


def most_of(tray: Tray) -> Sowing:
    """The sowing with most plants: a tray's page draws and tells of that one."""
    return max(tray.sowings, key=lambda sowing: sowing.have)


def _plants(tray: Tray, on: Grounds, today: date) -> Plants | None:
    sowing = most_of(tray)
    at = case(sowing, tray, on, today)
    if at.filling is None or at.for_cutting or at.stand.emerged is None:
        return None
    return Plants(sowing, tray, at.crop, at.stand.emerged, at.filling, today)


def _days(plants: Plants, tray: Tray, today: date) -> list[date]:
    start = plants.emerged
    last = min((tray.ended_on or today) + timedelta(days=AHEAD_DAYS), start + timedelta(days=LONGEST_CURVE))
    return [start + timedelta(days=step) for step in range((last - start).days + 1)]
