"""Expected root fill: how full the container is of roots, when it is ready, and when roots will circle.

The prior of the crop file drives it; a look by the grower sets it anew, whatever the estimate said.
"""

from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import hypot, isnan, log
from statistics import NormalDist
from typing import NamedTuple

from model.facts import Container, ContainerKind, Crop, Look, Sowing, Tray
from model.rules.coming_up import Stand
from model.rules.grounds import Grounds
from model.rules.verdict import Fill, Risk, Window
from model.rules.warmth import DailySum, growth_warmth
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

LOW_SHARE, MIDDLE_SHARE, HIGH_SHARE = 0.1, 0.5, 0.9
"""Shares of trays that grow slower than the three curves: the outer two bound the 80 % band [-]."""
LOW, MIDDLE, HIGH = (plant_band_growth(share) for share in (LOW_SHARE, MIDDLE_SHARE, HIGH_SHARE))
"""Growth of the three curves as a multiple of the crop's own [-]."""

LOOK_AHEAD_DAYS = 7
"""Days ahead for which the chance of root-bound is told [d]. Common practice, no source."""
WATCH_CHANCE, ACT_CHANCE = 0.15, 0.5
"""Chance of root-bound within LOOK_AHEAD_DAYS from which it is watch, and act [-]. Ours, no source."""

FEW, HOLDS, FULL, CIRCLING = 1, 2, 3, 4
"""Looks at the roots: few, holds together, full, circling [-]."""

LEAST_TOLD, MOST_TOLD = 0.02, 0.98
"""Fill at the open ends of the outermost two classes of look [fraction]. Ours, no source."""
EDGES = (logit(LEAST_TOLD), *CUTS, logit(MOST_TOLD))
"""Logit of fill between which each look lies [-]."""

GROWTH_SD = hypot(CROP_SD.value, TRAY_SD.value)
"""Standard deviation of ln(growth) of a tray before anyone has looked [-]."""

_NORMAL = NormalDist()


@dataclass(frozen=True, slots=True)
class Curve:
    """One growth curve in the present container: the logit of fill climbs straight with warmth."""

    start: date
    logit: float
    """Logit of fill on the first day [-]."""
    rate: float
    """Climb a degree-day [1/(°C d)]."""
    warmth: DailySum

    def on(self, day: date) -> float:
        """Fill on a day [fraction]."""
        return fill(self.logit + self.rate * self.warmth.between(self.start, day))

    def pinned(self, day: date, known: float) -> "Curve":
        """The same growth, moved so that it has a known fill on a day."""
        if not 0.0 < known < 1.0:
            return self
        return replace(self, logit=logit(known) - self.rate * self.warmth.between(self.start, day))

    def reaches(self, target: float) -> date | None:
        """First day with a fill; its first day where it was there already, None where it never is."""
        return self.warmth.day_of(self.start, (logit(target) - self.logit) / self.rate)


class Pin(NamedTuple):
    """What is known of a fill: on which day, how much, and in which of the tray's containers."""

    day: date
    fill: float
    home: int


@dataclass(frozen=True, slots=True)
class Filling:
    """Root fill of a sowing today and the days that hang on it."""

    fill: Fill
    ready: Window | None = None
    """From the day the middle tray holds together to the day it is full."""
    early: date | None = None
    """The quickest tenth of such trays hold together from this day."""
    bound: date | None = None
    """Roots of the middle tray circle from this day."""
    chance_bound: float = 0.0
    """Chance that roots circle within LOOK_AHEAD_DAYS [-]."""
    risk: Risk = Risk.ROOM
    look: Look | None = None
    """The look that set the estimate, if there was one in this container."""
    assumed_up: bool = True
    """Nobody ticked half up; the expected day stands in for it."""
    past: int = 0
    """Earlier trays of this farm that the growth was learned from; 0 where the crop file's holds."""
    taught: int = 0
    """Looks at these plants that taught their growth, those before a potting up too."""
    late: date | None = None
    """Nine in ten such trays hold together by this day; None where a look has moved what is told, or none knows."""
    value_of_look: float = 0.0
    """How much a look today lowers the chance of acting wrongly [-]."""


def looks_here(tray: Tray, stand: Stand) -> tuple[Look, ...]:
    """The looks that tell of a sowing in its present container, the first one first; none before it is up."""
    if stand.first is None:
        return ()
    since = max(tray.vessels[-1].since, stand.first)
    return tuple(look for look in tray.looks if look.day >= since)


def seen_since(looks: tuple[Look, ...], score: int) -> date | None:
    """Day from which every look has shown at least a score; None where the last one doesn't."""
    since: date | None = None
    for look in reversed(looks):
        if look.score < score:
            break
        since = look.day
    return since


def look_risk(look: Look | None) -> Risk:
    """What a look alone says of root-bound."""
    if look is None or look.score < FULL:
        return Risk.ROOM
    return Risk.ACT if look.score >= CIRCLING else Risk.WATCH


def growth_known(crop: Crop) -> bool:
    """Whether the crop file has every figure of the crop's growth."""
    return not isnan(crop.growth_rate * crop.start_mass_mg * crop.base_c * crop.cap_c)


def filling(
    sowing: Sowing,
    tray: Tray,
    crop: Crop,
    on: Grounds,
    stand: Stand,
    today: date,
) -> Filling | None:
    """Expected fill of one sowing; None where nothing is known of the crop's growth."""
    if not growth_known(crop):
        return None
    if stand.emerged is None:
        return Filling(Fill(0.0, 0.0, 0.0))
    warmth = growth_warmth(crop, tray.stays, on)
    looks = looks_here(tray, stand)
    if looks:
        low, middle, high = _after_look(looks[-1], crop, warmth)
    else:
        low, middle, high = _unseen(sowing, tray, crop, on, stand.emerged)
    look = looks[-1] if looks else None
    holds = seen_since(looks, HOLDS)
    start = holds or middle.reaches(HOLDS_FILL.value)
    full = seen_since(looks, FULL) or middle.reaches(FULL_FILL.value)
    chance = _chance_bound(middle, today)
    return Filling(
        fill=Fill(middle.on(today), low.on(today), high.on(today)),
        ready=Window(start, full) if start else None,
        early=holds or high.reaches(HOLDS_FILL.value),
        bound=seen_since(looks, CIRCLING) or middle.reaches(BOUND_FILL.value),
        chance_bound=chance,
        risk=risk_of(chance, look),
        look=look,
        assumed_up=stand.assumed,
    )


def _after_look(look: Look, crop: Crop, warmth: DailySum) -> tuple[Curve, Curve, Curve]:
    """The curves from the last look on: they start apart by what one look leaves open."""
    below, above = EDGES[look.score], EDGES[look.score + 1]
    starts = ((LOW, below), (MIDDLE, (below + above) / 2), (HIGH, above))
    low, middle, high = (
        Curve(look.day, start, growth * crop.growth_rate, warmth) for growth, start in starts
    )
    return low, middle, high


def _unseen(
    sowing: Sowing,
    tray: Tray,
    crop: Crop,
    on: Grounds,
    emerged: date,
) -> tuple[Curve, Curve, Curve]:
    """The curves from half up on, by the crop file alone."""
    low, middle, high = (
        through(sowing, tray, crop, on, emerged, growth)[-1] for growth in (LOW, MIDDLE, HIGH)
    )
    return low, middle, high


def through(
    sowing: Sowing,
    tray: Tray,
    crop: Crop,
    on: Grounds,
    emerged: date,
    growth: float,
    pin: Pin | None = None,
) -> list[Curve]:
    """The growth curve in each container the plants have had, or will have, the first since half up.

    The curve of the container that a pin names is moved to go through it.
    """
    homes = [(vessel.since, on.containers[vessel.container_id]) for vessel in tray.vessels]
    volumes = [volume_each(container, tray) for _, container in homes]
    plants = plants_each(sowing, tray, crop, [container for _, container in homes])
    warmth = growth_warmth(crop, tray.stays, on)
    empty = -capacity_log(volumes[0], crop.start_mass_mg, plants)
    curves: list[Curve] = []

    def begin(curve: Curve) -> Curve:
        if pin is not None and pin.home == len(curves):
            curve = curve.pinned(pin.day, pin.fill)
        curves.append(curve)
        return curve

    now = begin(Curve(emerged, empty, growth * crop.growth_rate, warmth))
    for (since, _), old, new in zip(homes[1:], volumes, volumes[1:], strict=False):
        moved = max(emerged, since)
        grown = now.logit + now.rate * warmth.between(now.start, moved)
        now = begin(Curve(moved, logit_after_pot_up(grown, old, new, plants), now.rate, warmth))
    return curves


def volume_each(container: Container, tray: Tray) -> float:
    """Mix that a cell of plants has [mL]; what was sown in an open flat, and is left of it, shares the whole."""
    if container.kind is not ContainerKind.OPEN_FLAT:
        return container.volume_ml
    sown = sum(sowing.cells - sowing.empty - sowing.lost for sowing in tray.sowings)
    return container.volume_ml / max(1, sown)


def plants_each(sowing: Sowing, tray: Tray, crop: Crop, homes: list[Container]) -> int:
    """Plants that share a cell. Spares to be thinned don't count: the growth rates were set on single plants."""
    flat = homes[-1].kind is ContainerKind.OPEN_FLAT
    pricked_out = not flat and homes[0].kind is ContainerKind.OPEN_FLAT
    together = (flat or crop.doubles_wanted) and not pricked_out and sowing.thinned_on is None
    return sowing.seeds_per_cell if together else 1


def _chance_bound(middle: Curve, today: date) -> float:
    """Chance that a tray's own growth carries it to circling roots within LOOK_AHEAD_DAYS."""
    to_go = logit(BOUND_FILL.value) - middle.logit
    climb = middle.rate * middle.warmth.between(middle.start, today + timedelta(days=LOOK_AHEAD_DAYS))
    if to_go <= 0:
        return 1.0
    return _NORMAL.cdf(log(climb / to_go) / GROWTH_SD) if climb > 0 else 0.0


def risk_of(chance: float, look: Look | None) -> Risk:
    """Root-bound risk from the chance within LOOK_AHEAD_DAYS, and from a look."""
    seen = look_risk(look)
    if chance >= ACT_CHANCE or seen is Risk.ACT:
        return Risk.ACT
    return Risk.WATCH if chance >= WATCH_CHANCE else seen
