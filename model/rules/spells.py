"""From the record to spells: since when a tray dries, and what people felt and decided in between."""

from collections.abc import Iterator, Mapping
from datetime import date, timedelta

from model.facts import Finger, Tray
from model.rules.coming_up import HALF_UP_TAKEN
from model.rules.drying import AHEAD, Spell, easy_millimetres
from model.rules.grounds import Grounds
from model.science.finger import Touch
from model.science.water_balance import CLOSED_COVER, SMALL_VEGETABLES

LONGEST_DAYS = 14
"""Days since a watering after which nothing is reckoned: the record can't be whole [d]. Ours."""
TAUGHT_DAYS = 60
"""Days for which a finger test teaches how fast its place dries: vents and fans change with the season [d]. Ours."""
CLOSED_LEAVES = {"tomato": 1.15, "cucumber": 1.0, "lettuce": 1.0}
"""Crop coefficients of closed leaves that aren't those of small vegetables [-] (FAO-56 Table 12, retyped)."""

Fills = Mapping[int, float | None]
"""Expected root fill of trays today [fraction]; None, or not there, where it isn't known."""


def watered_on(tray: Tray, today: date) -> date | None:
    """The day of the last watering on record."""
    return tray.watered.day if tray.watered is not None and tray.watered.day <= today else None


def since(tray: Tray, today: date) -> date | None:
    """The day from which a tray dries: that of the last watering, or of the first finger where there is none."""
    watered = watered_on(tray, today)
    felt = [test.day for test in _felt(tray, watered, today) if (today - test.day).days <= LONGEST_DAYS]
    return watered or min(felt, default=None)


def stood_at(tray: Tray, start: date, days: int) -> tuple[int, ...]:
    """The place where a tray stood on each of so many days; before its first stay it stood there already."""
    stays = tray.stays
    each = (start + timedelta(days=step) for step in range(days))
    return tuple(
        next((stay.place_id for stay in reversed(stays) if stay.since <= day), stays[0].place_id)
        for day in each
    )


def present(tray: Tray, on: Grounds, fills: Fills, today: date) -> Spell:
    """The spell that a tray is in; it has one."""
    start = since(tray, today)
    if start is None:
        raise RuntimeError(f"tray {tray.id} is in no spell")
    left = tray.left.day if tray.left is not None else start
    spell = _spell(tray, on, fills.get(tray.id), (start, today), watered_on(tray, today))
    return spell if not start < left <= today else spell.left_on(left)


def past(tray: Tray, on: Grounds, fills: Fills, today: date) -> Iterator[Spell]:
    """The spells before that in which a finger felt, each until the last one."""
    now = watered_on(tray, today)
    for watered in dict.fromkeys(test.watered for test in tray.fingers):
        felt = [test.day for test in _felt(tray, watered, today)]
        if watered is None or watered == now or not felt:
            continue
        if (max(felt) - watered).days <= LONGEST_DAYS and (today - max(felt)).days <= TAUGHT_DAYS:
            yield _spell(tray, on, fills.get(tray.id), (watered, max(felt)), watered)


def felt_dry(tray: Tray, today: date) -> bool:
    """Whether the last finger of today felt it dry, and nobody has watered since."""
    felt = [test.score for test in _felt(tray, watered_on(tray, today), today) if test.day == today]
    return bool(felt) and list(Touch)[felt[-1]] is Touch.DRY


def _felt(tray: Tray, watered: date | None, today: date) -> list[Finger]:
    """The fingers between a watering and the next."""
    return [test for test in tray.fingers if test.watered == watered and test.day <= today]


def _spell(
    tray: Tray, on: Grounds, fill: float | None, between: tuple[date, date], watered: date | None
) -> Spell:
    start, end = between
    living = [sowing for sowing in tray.sowings if sowing.have > 0] or list(tray.sowings)
    homes = [vessel for vessel in tray.vessels if vessel.since <= end] or tray.vessels[:1]
    return Spell(
        tray_id=tray.id,
        places=stood_at(tray, start, (end - start).days + AHEAD + 1),
        start=start,
        days=(end - start).days,
        watered=watered is not None,
        # Of two fingers on one day the last one holds.
        touches=tuple(
            {
                (test.day - start).days: list(Touch)[test.score]
                for test in _felt(tray, watered, end)
                if start <= test.day
            }.items()
        ),
        left=None,
        easy_mm=easy_millimetres(on.containers[homes[-1].container_id]),
        root_fill=_cover(tray, fill, end),
        leaves=max(CLOSED_LEAVES.get(sowing.crop, SMALL_VEGETABLES.value) for sowing in living),
    )


def little_up(tray: Tray, today: date) -> bool:
    """Whether nothing or little is up: no half up on record, and first up not long ago."""
    taken = today - timedelta(days=HALF_UP_TAKEN)
    grown = tray.parent_id is not None or any(look.score > 0 for look in tray.looks)
    return not grown and all(
        sowing.half_up is None
        and sowing.thinned_on is None
        and not sowing.cuts
        and (sowing.first_up is None or sowing.first_up > taken)
        for sowing in tray.sowings
        if sowing.have > 0
    )


def _cover(tray: Tray, fill: float | None, today: date) -> float:
    """Root fill to reckon with; where it isn't known and plants are up, leaves are closed: that dries soonest."""
    if fill is not None and 0.0 <= fill <= 1.0:
        return fill
    return 0.0 if little_up(tray, today) else CLOSED_COVER.value
