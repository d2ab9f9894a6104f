"""Expected root fill: how full the container is of roots, when it is ready, and when roots will circle.

The prior of the crop file drives it; a look by the grower sets it anew, whatever the estimate said.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from math import hypot, inf, isnan, log
from statistics import NormalDist

from model.facts import Container, ContainerKind, Crop, Look, Place, Sowing, Tray
from model.rules.coming_up import ComingUp
from model.rules.verdict import Fill, Risk, Window
from model.rules.warmth import PerDay, day_when, total, warmth_for
from model.science.root_fill import (
    BOUND_FILL,
    CROP_SD,
    CUTS,
    FULL_FILL,
    HOLDS_FILL,
    TRAY_SD,
    capacity_log,
    fill,
    logit,
    logit_after_pot_up,
    plant_band_growth,
)

LOW, MIDDLE, HIGH = 0.1, 0.5, 0.9
"""Shares of trays that grow slower than the three curves: the outer two bound the 80 % band [-]."""

LOOK_AHEAD_DAYS = 7
"""Days ahead for which the chance of root-bound is told [d]. Common practice, no source."""

WATCH_CHANCE, ACT_CHANCE = 0.15, 0.5
"""Chance of root-bound within LOOK_AHEAD_DAYS from which it is watch, and act [-]. Ours, no source."""

HOLDS, FULL, CIRCLING = 2, 3, 4
"""Looks at the roots: holds together, full, circling [-]."""

NONE_YET, ALL_ROUND = logit(0.02), logit(0.98)
"""Ends of the outermost classes of look, where fill has no cut of its own [logit]. Ours, no source."""

EDGES = (NONE_YET, *CUTS, ALL_ROUND)

GROWTH_SD = hypot(CROP_SD.value, TRAY_SD.value)
GROWTH = {share: plant_band_growth(share) for share in (LOW, MIDDLE, HIGH)}

_NORMAL = NormalDist()


@dataclass(frozen=True, slots=True)
class Filling:
    """Root fill of a sowing today and the days that hang on it."""

    fill: Fill
    ready: Window | None
    early: date | None
    """The quickest tenth of such trays hold together from this day."""
    bound: date | None
    """Roots of the middle tray circle from this day."""
    chance_bound: float
    """Chance that roots circle within LOOK_AHEAD_DAYS [-]."""
    risk: Risk
    look: Look | None
    """The look that set the estimate, if there was one in this container."""
    assumed_up: bool
    """Nobody saw half up; the expected day stands in for it."""


@dataclass(frozen=True, slots=True)
class _Curve:
    """One growth curve in the present container: logit fill at its start, and its growth factor."""

    start: date
    logit: float
    growth: float


def volume_each(container: Container, tray: Tray) -> float:
    """Mix that a cell of plants has [mL]; the plants of an open flat share the whole of it."""
    if container.kind is not ContainerKind.OPEN_FLAT:
        return container.volume_ml
    return container.volume_ml / max(1, sum(sowing.cells for sowing in tray.sowings))


def filling(
    sowing: Sowing,
    tray: Tray,
    crop: Crop,
    places: Mapping[int, Place],
    containers: Mapping[int, Container],
    up: ComingUp,
    today: date,
) -> Filling | None:
    """Expected fill of one sowing; None where nothing is known of the crop's growth or of its emergence."""
    if isnan(crop.growth_rate) or isnan(crop.start_mass_mg):
        return None
    if sowing.first_up is None:
        return Filling(Fill(0.0, 0.0, 0.0), None, None, None, 0.0, Risk.ROOM, None, assumed_up=True)
    emerged = sowing.half_up or max(sowing.first_up, min(up.median or sowing.first_up, today))
    warmth = warmth_for(crop)
    look = next((look for look in reversed(tray.looks) if look.day >= tray.vessels[-1].since), None)
    curves = [
        _curve(share, sowing, tray, crop, places, containers, emerged, look) for share in (LOW, MIDDLE, HIGH)
    ]

    def now(curve: _Curve) -> float:
        degrees = total(tray.stays, places, warmth, curve.start, today)
        return fill(curve.logit + curve.growth * crop.growth_rate * degrees)

    def reaches(curve: _Curve, target: float) -> date | None:
        needed = (logit(target) - curve.logit) / (curve.growth * crop.growth_rate)
        return day_when(tray.stays, places, warmth, curve.start, needed)

    low, middle, high = curves
    start = reaches(middle, HOLDS_FILL.value)
    chance = _chance_bound(middle, tray, crop, places, warmth, today)
    return Filling(
        fill=Fill(now(middle), now(low), now(high)),
        ready=Window(start, reaches(middle, FULL_FILL.value)) if start else None,
        early=reaches(high, HOLDS_FILL.value),
        bound=reaches(middle, BOUND_FILL.value),
        chance_bound=chance,
        risk=_risk(chance, look),
        look=look,
        assumed_up=sowing.half_up is None,
    )


def _curve(
    share: float,
    sowing: Sowing,
    tray: Tray,
    crop: Crop,
    places: Mapping[int, Place],
    containers: Mapping[int, Container],
    emerged: date,
    look: Look | None,
) -> _Curve:
    growth = GROWTH[share]
    if look is not None:
        below, above = EDGES[look.score], EDGES[look.score + 1]
        return _Curve(look.day, {LOW: below, MIDDLE: (below + above) / 2, HIGH: above}[share], growth)
    vessels = tray.vessels
    plants = 1 if sowing.thinned_on or not crop.doubles_wanted else sowing.seeds_per_cell
    volumes = [volume_each(containers[vessel.container_id], tray) for vessel in vessels]
    reached = -capacity_log(volumes[0], crop.start_mass_mg, plants)
    since = emerged
    for index in range(1, len(vessels)):
        degrees = total(tray.stays, places, warmth_for(crop), since, vessels[index].since)
        reached = logit_after_pot_up(
            reached + growth * crop.growth_rate * degrees, volumes[index - 1], volumes[index], plants
        )
        since = max(since, vessels[index].since)
    return _Curve(since, reached, growth)


def _chance_bound(
    middle: _Curve, tray: Tray, crop: Crop, places: Mapping[int, Place], warmth: PerDay, today: date
) -> float:
    """Chance that a tray's own growth carries it to circling roots within LOOK_AHEAD_DAYS."""
    ahead = today + timedelta(days=LOOK_AHEAD_DAYS)
    degrees = total(tray.stays, places, warmth, middle.start, ahead)
    to_go = logit(BOUND_FILL.value) - middle.logit
    if to_go <= 0:
        return 1.0
    if degrees <= 0:
        return 0.0
    needed = to_go / (crop.growth_rate * degrees)
    return 1 - _NORMAL.cdf(log(needed) / GROWTH_SD) if needed < inf else 0.0


def _risk(chance: float, look: Look | None) -> Risk:
    if chance >= ACT_CHANCE or (look and look.score >= CIRCLING):
        return Risk.ACT
    if chance >= WATCH_CHANCE or (look and look.score >= FULL):
        return Risk.WATCH
    return Risk.ROOM
