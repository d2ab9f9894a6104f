"""How trays dried since they were watered, and how soon they will be dry: all trays of a farm at once.

A spell is one tray from a watering to a morning. Its days come from the air of the places where it stood, finger
tests within it say how wet it was, and those of the spells at one place teach how fast that place dries.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cache

import numpy as np
from numpy.typing import NDArray

from model.facts import Bottom, Container, ContainerKind, Place, PlaceKind
from model.rules.grounds import Grounds
from model.science.evapotranspiration import (
    extraterrestrial_radiation,
    lamp_evaporation,
    reference_evapotranspiration,
)
from model.science.finger import (
    LOG_FACTORS,
    TRAY_SD,
    Belief,
    Touch,
    after_day,
    after_left,
    after_touch,
    chance_of_touch,
    estimate,
    first_belief,
)
from model.science.water_balance import (
    DEPTH_MM,
    INSIDE,
    ISOLATED,
    ML_A_LITRE,
    MM_A_CM,
    TAPER,
    mat_factor,
    millimetres,
    water_held,
)

Grid = NDArray[np.float64]

MM_A_METRE = 1000.0
"""Millimetres in a metre."""
TRAY_M2 = 0.54 * 0.28
"""Area of a tray [m²]. A usual tray's outside; ours to take every tray for one."""
CELL_VOLUMES, CELL_DEPTHS = (7.0, 11.0, 23.0, 43.0, 66.0, 171.0), (32.0, 40.0, 45.0, 45.0, 60.0, 65.0)
"""Volume [mL] and depth [mm] of a cell of 288, 200, 128, 72, 50 and 24. The depth of the 72 was measured (Zhou et al.
2019), the others are assumed; between them it is straight."""
POT_DEPTH, POT_WIDTH, POT_TAPER = 1.02, 1.25, 0.75
"""Depth over the side of a cube as big, width over depth, and base over top of a pot [-]: those the container file
reckons with."""
LAMP_UMOL, LAMP_HOURS = 200.0, 16.0
"""Light [µmol/(m² s)] and hours a day [h] of a lit shelf where nobody said. Ours, assumed."""
ROOM_C, ROOM_DAMP = 20.0, 50.0
"""Air over a heat mat where nobody read it [°C], and its damp indoors [%]. Ours, assumed."""
WATERED, WATERED_SD = 1.0, 0.1
"""Easy water after a watering, and how unsure that is [fraction]. Ours: watered through, here and there not quite."""
NEVER, NEVER_SD = 0.55, 0.18
"""Easy water before the first finger where no watering is on record [fraction]. Ours."""
MISSED = 0.05
"""Chance that a watering missed a tray or ran off it, so that any water may be left [fraction]. Ours: without it a
finger that finds a watered tray dry would be put down to its place alone."""
WATERED_ROWS, NEVER_ROWS = np.array([0.1, 0.25, 0.4, 0.55, 0.7, 0.8, 0.9, 1.0]), np.linspace(0.06, 1.0, 8)
"""Rows of the grid in either case [fraction]."""
OWN_SD = 0.15
"""A tray at a place is never known better than this, however many fingers its neighbours had: standard deviation of
ln(own factor) [-]. Ours."""
NOON_SHARE = 0.4
"""Share of a day's loss that is gone by noon [fraction]. Ours: half of the sun, and less of the warm dry air."""
AHEAD = 3
"""Days after today that are looked at [d]. Ours: the band is too wide to tell more."""
LOW, HIGH = 0.1, 0.9
"""Shares of the weight below the band of easy water and below its top [fraction]."""


@dataclass(frozen=True, slots=True)
class Spell:
    """One tray from a watering, or from a finger where no watering is on record, to a morning."""

    tray_id: int
    places: tuple[int, ...]
    """Where it stood on each day from the start on, today and the days ahead included."""
    start: date
    days: int
    """Days of drying that are over by that morning."""
    watered: bool
    touches: tuple[tuple[int, Touch], ...]
    """What fingers felt, by days since the start: in the morning, one a day."""
    left: int | None
    """Days since the start when it was left dry on purpose, in the morning."""
    easy_mm: float
    root_fill: float
    leaves: float
    """Crop coefficient of closed leaves [-]."""

    @property
    def at(self) -> int:
        """The place where it stood that morning."""
        return self.places[self.days]

    def left_on(self, day: date) -> "Spell":
        """The same, left dry on purpose on a day."""
        return replace(self, left=(day - self.start).days)

    @property
    def teaches(self) -> bool:
        """Whether it tells of its place: felt by a finger, and never moved since a watering on record."""
        return bool(self.touches) and self.watered and len(set(self.places[: self.days + 1])) == 1


@dataclass(frozen=True, slots=True)
class Air:
    """Evapotranspiration [mm/d] and the factor of a heat mat [-] by place and day, from a first day on."""

    first: date
    rows: Mapping[int, int]
    loss_mm: Grid
    mat: Grid

    def along(self, spells: Sequence[Spell], days: int) -> tuple[Grid, Grid]:
        """Both for the first so many days of each spell; what they are after its end doesn't count."""
        row = np.zeros((len(spells), days), dtype=np.intp)
        for each, spell in zip(row, spells, strict=True):
            each[: len(spell.places)] = [self.rows[at] for at in spell.places[:days]]
        start = np.array([(spell.start - self.first).days for spell in spells])[:, None]
        day = np.minimum(start + np.arange(days), self.loss_mm.shape[1] - 1)
        return self.loss_mm[row, day], self.mat[row, day]


@dataclass(frozen=True, slots=True)
class Drying:
    """What is reckoned of each spell's tray: NaN where the air of a place isn't known."""

    easy_water: Grid
    low: Grid
    high: Grid
    wet: Grid
    """Chance that a finger would call it wet this morning [fraction]."""
    dry: Grid
    """Chance that a finger would call it dry: now, at noon, in the evening, and on the evenings after [fraction]."""
    tests: tuple[int, ...]
    """Finger tests that shaped each."""


@cache
def easy_millimetres(container: Container) -> float:
    """Easy water of a container that was watered through, as a depth over its own area [mm]."""
    volume = container.volume_ml
    match container.kind:
        case ContainerKind.OPEN_FLAT:
            depth, taper, area = volume / (ML_A_LITRE * TRAY_M2), 1.0, TRAY_M2
        case ContainerKind.CELL_TRAY:
            depth, taper = float(np.interp(volume, CELL_VOLUMES, CELL_DEPTHS)), TAPER.value
            area = TRAY_M2 / container.cells
        case ContainerKind.POT:
            block = container.bottom is Bottom.OPEN
            depth = (1.0 if block else POT_DEPTH) * MM_A_CM * float(np.cbrt(volume))
            taper, wide = (1.0, 1.0) if block else (POT_TAPER, POT_WIDTH)
            area = (wide * depth / MM_A_METRE) ** 2
    shallow, deep = DEPTH_MM
    held = water_held(min(max(depth, shallow), deep), taper)
    return float(millimetres(volume * float(held.easy), area))


def air_of(on: Grounds, places: Sequence[int], first: date, last: date) -> Air:
    """The air of some places from one day to another: as it was read there, else their usual day."""
    days = [first + timedelta(days=step) for step in range((last - first).days + 1)]
    both = [_air_at(on.places[place], on, days) for place in places]
    return Air(
        first,
        {place: row for row, place in enumerate(places)},
        np.array([loss for loss, _ in both]),
        np.array([mat for _, mat in both]),
    )


def _air_at(place: Place, on: Grounds, days: Sequence[date]) -> tuple[Grid, Grid]:
    none = np.ones(len(days))
    if place.kind is PlaceKind.LIT_SHELF:
        umol, hours = place.lamp_umol or LAMP_UMOL, place.lamp_hours or LAMP_HOURS
        return np.asarray(
            lamp_evaporation(umol, hours, _range_of(place, on, days).mean(axis=0), ROOM_DAMP)
        ), none
    if place.kind is PlaceKind.HEAT_MAT:
        read = on.weather.get(place.id, {})
        air = np.array([sum(read[day]) / 2 if day in read else ROOM_C for day in days])
        hours = place.lamp_hours or 0.0
        mix = np.full(len(days), (place.low_c + place.high_c) / 2)
        lamps = lamp_evaporation(place.lamp_umol or LAMP_UMOL, hours, air, ROOM_DAMP)
        return np.asarray(lamps), np.asarray(mat_factor(mix, air, ROOM_DAMP))
    if on.latitude is None:
        return np.full(len(days), np.nan), none
    hardening = place.kind is PlaceKind.HARDENING
    low, high = _range_of(place if hardening else outdoors(place, on), on, days)
    sun = extraterrestrial_radiation(on.latitude, np.array([day.timetuple().tm_yday for day in days]))
    outside = reference_evapotranspiration(low, high, sun)
    return np.asarray(outside * (ISOLATED.value if hardening else INSIDE.value)), none


def outdoors(place: Place, on: Grounds) -> Place:
    """Where the air outdoors is known: the first place on the walk that stands outdoors; else the place itself."""
    outside = [each for each in on.places.values() if each.kind is PlaceKind.HARDENING]
    return min(outside, key=lambda each: (each.walk, each.id), default=place)


def _range_of(place: Place, on: Grounds, days: Sequence[date]) -> Grid:
    """Lows and highs of a place [°C]."""
    read = on.weather.get(place.id, {})
    pairs = [sorted(read.get(day, (place.low_c, place.high_c))) for day in days]
    return np.array(pairs).T


def reckon(spells: Sequence[Spell], taught: Sequence[Spell], air: Air) -> Drying:
    """What is reckoned of trays this morning and for the days ahead.

    Args:
        spells: Of the trays that are asked for, up to today.
        taught: Of any trays, those that teach: a spell that is among the first doesn't teach itself.
        air: Of every place and day in them, until AHEAD days after today.

    Returns:
        One figure a spell, in their order.
    """
    order = sorted(range(len(spells)), key=lambda i: -spells[i].days)
    back = np.argsort(order)
    sorted_spells = [spells[i] for i in order]
    factors, tests = _factors(sorted_spells, taught, air)
    now = _dried(sorted_spells, air, _first(sorted_spells, *factors))
    dry = [_chance(now, Touch.DRY)]
    then = now
    for share, day in (
        (NOON_SHARE, 0),
        (1 - NOON_SHARE, 0),
        *((1.0, ahead) for ahead in range(1, AHEAD + 1)),
    ):
        then = _one_more(then, sorted_spells, air, day, share)
        dry.append(_chance(then, Touch.DRY))
    told, band = estimate(now), _quantiles(now)
    return Drying(
        easy_water=np.asarray(told.easy_water)[back],
        low=band[0][back],
        high=band[1][back],
        wet=_chance(now, Touch.WET)[back],
        dry=np.array(dry).T[back],
        tests=tuple(tests[i] for i in back),
    )


def _first(spells: Sequence[Spell], log_factor: Grid, log_factor_sd: Grid) -> Belief:
    """What is believed at the start of each spell."""
    watered = np.array([spell.watered for spell in spells])
    rows = np.where(watered[:, None], WATERED_ROWS, NEVER_ROWS)
    water, sd = np.where(watered, WATERED, NEVER), np.where(watered, WATERED_SD, NEVER_SD)
    belief = first_belief(water, sd, log_factor, log_factor_sd, rows)
    anything = belief.weight.mean(axis=1, keepdims=True)
    missed = np.where(watered, MISSED, 0.0)[:, None, None]
    return replace(belief, weight=(1 - missed) * belief.weight + missed * anything)


def _dried(spells: Sequence[Spell], air: Air, belief: Belief) -> Belief:
    """What is believed at the end of each spell; the longest comes first."""
    water, weight = belief.easy_water.copy(), belief.weight.copy()
    days = np.array([spell.days for spell in spells])
    longest = int(days.max())
    loss, mat = air.along(spells, longest)
    fill, leaves, easy = _inputs(spells)
    for step in range(longest + 1):
        for row, spell in enumerate(spells):
            for touch in (felt for at, felt in spell.touches if at == step):
                weight[row] = after_touch(Belief(water[row], weight[row]), touch).weight
            if spell.left == step:
                weight[row] = after_left(Belief(water[row], weight[row])).weight
        going = int((days > step).sum())
        if going:
            part = Belief(water[:going], weight[:going])
            lost, warmed = loss[:going, step], mat[:going, step]
            water[:going] = after_day(
                part, lost, fill[:going], leaves[:going], easy[:going], mat=warmed
            ).easy_water
    return Belief(water, weight)


def _one_more(belief: Belief, spells: Sequence[Spell], air: Air, ahead: int, share: float) -> Belief:
    """What is believed after a part of a day that is so many days after the end of each spell."""
    rows = [air.rows[spell.at] for spell in spells]
    day = [(spell.start - air.first).days + spell.days + ahead for spell in spells]
    fill, leaves, easy = _inputs(spells)
    return after_day(belief, air.loss_mm[rows, day] * share, fill, leaves, easy, mat=air.mat[rows, day])


def _inputs(spells: Sequence[Spell]) -> Grid:
    """Root fill, crop coefficient and easy water of each spell."""
    return np.array([(spell.root_fill, spell.leaves, spell.easy_mm) for spell in spells]).T


def _factors(
    spells: Sequence[Spell], taught: Sequence[Spell], air: Air
) -> tuple[tuple[Grid, Grid], list[int]]:
    """ln(own factor) of the place of each spell, by fingers in other spells there, and finger tests in all.

    The spell's own fingers come in when it dries: they would count twice.
    """
    prior = -((LOG_FACTORS / TRAY_SD.value) ** 2) / 2
    said = _lessons(sorted({*taught, *(s for s in spells if s.teaches)}, key=lambda s: -s.days), air)
    total: dict[int, Grid] = {}
    tests: dict[int, int] = {}
    for spell, lesson in said.items():
        total[spell.at] = total.get(spell.at, 0.0) + lesson
        tests[spell.at] = tests.get(spell.at, 0) + len(spell.touches)
    log = np.array([prior + total.get(s.at, 0.0) - said.get(s, 0.0) for s in spells])
    weight = np.exp(log - log.max(axis=1, keepdims=True))
    weight /= weight.sum(axis=1, keepdims=True)
    mean = weight @ LOG_FACTORS
    sd = np.sqrt((weight * (LOG_FACTORS - mean[:, None]) ** 2).sum(axis=1))
    counted = [tests.get(s.at, 0) + (0 if s in said else len(s.touches)) for s in spells]
    return (mean, np.maximum(sd, OWN_SD)), counted


def _lessons(spells: Sequence[Spell], air: Air) -> dict[Spell, Grid]:
    """Log-likelihood of ln(own factor) by the fingers of each spell; none where the air isn't known."""
    if not spells:
        return {}
    none = np.zeros(len(spells))
    first = _first(spells, none, none + TRAY_SD.value)
    found = np.maximum(_dried(spells, air, first).weight.sum(axis=1), np.finfo(np.float64).tiny)
    said = np.log(found) - np.log(first.weight.sum(axis=1))
    return {spell: one for spell, one in zip(spells, said, strict=True) if not np.isnan(one).any()}


def _chance(belief: Belief, touch: Touch) -> Grid:
    """Chance that a finger would feel this [fraction]."""
    return np.asarray((belief.weight * chance_of_touch(touch, belief.easy_water)).sum(axis=(-2, -1)))


def _quantiles(belief: Belief) -> tuple[Grid, Grid]:
    """Easy water that LOW and HIGH of the weight lie below."""
    water = belief.easy_water.reshape(len(belief.easy_water), -1)
    order = np.argsort(water, axis=1)
    below = np.cumsum(np.take_along_axis(belief.weight.reshape(water.shape), order, axis=1), axis=1)
    rows = np.arange(len(water))
    low, high = (
        water[rows, order[rows, np.minimum((below < share).sum(axis=1), water.shape[1] - 1)]]
        for share in (LOW, HIGH)
    )
    return low, high
