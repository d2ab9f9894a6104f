"""The plan: what to sow when and what that takes, what was planned and not done, and which place overflows when."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from math import isfinite

from model.ahead import Target
from model.crops import emergence_row, load_crops, unknown_crop
from model.crops.direct import direct_words
from model.facts import Container, ContainerKind, Crop, Place, PlaceKind
from model.numbering import about, next_numbers
from model.rules.grounds import Grounds
from model.rules.mat import comes_up_on
from model.rules.outlook import Outlooks
from model.rules.planning import WEEK, Germination, Here, Planned, plan_one
from model.rules.seeding import range_words
from model.rules.standing import Standing, weekly_load
from model.store import reading, reading_ahead
from model.store.database import Rows, Store
from model.units import Measure, Temperature
from model.views.answer import Answer
from model.views.grounds import as_set, grounds
from model.views.lines import TrayLine
from model.views.outlook import or_reckoned, own_growth
from model.views.round import read_round

WEEKS = 12
"""Weeks for which places are looked at [weeks]."""


@dataclass(frozen=True, slots=True)
class PlaceLoad:
    """How many trays a place holds and will have to, week by week from the Monday of this week."""

    place_id: int
    name: str
    slots: int
    trays: tuple[int, ...]

    def over(self) -> tuple[int, int] | None:
        """The first week with more trays than slots, counted from this one, and by how many trays."""
        return next(
            ((week, trays - self.slots) for week, trays in enumerate(self.trays) if trays > self.slots), None
        )


@dataclass(frozen=True, slots=True)
class Aside:
    """What is said of a planned sowing beside its figures."""

    container: str
    kind: ContainerKind
    place: str
    germination: str
    """How the germination is known: the test, a guess, or nothing."""
    too_many: str
    """Which place can't hold it; "" where it fits."""
    depth_mm: float
    warm_c: float


@dataclass(frozen=True, slots=True)
class PlanView:
    """Everything planned, in the order in which it needs a hand."""

    on: date
    planned: tuple[Planned, ...]
    """Missed first, then what can be sown this week, then the rest by day, then what is sown."""
    asides: Mapping[int, Aside]
    """By target."""
    uncounted: tuple[Target, ...]
    """Targets of which neither place nor weeks tell how long they take."""
    loads: tuple[PlaceLoad, ...]
    crowd: Mapping[int, str]
    """By place, what is planned to stand there in the first week that it is over."""
    next_numbers: tuple[int, ...]
    """Numbers for the labels of what is still to be sown, in the order of the lines."""
    scale: Temperature = Temperature.CELSIUS
    measure: Measure = Measure.METRIC

    @property
    def missed(self) -> tuple[Planned, ...]:
        """Planned, not done, and its last sowing day gone by."""
        return tuple(one for one in self.planned if one.missed(self.on))

    @property
    def this_week(self) -> tuple[Planned, ...]:
        """What can be sown within a week, missed ones not among it."""
        ends = self.on + timedelta(days=WEEK)
        return tuple(
            one for one in self.planned if one.left and not one.missed(self.on) and one.sow.start < ends
        )


def planned(rows: Rows, today: date, since: date | None = None) -> list[Planned]:
    """Targets that can be counted back, by the day on which sowing begins; those that were sown are among them.

    Those that are wanted from today on, or from an earlier day on.
    """
    on, seeds, sown, here_of = _on(rows), _germinations(rows), _sown(rows), _raised(rows, today)
    settings = reading.settings(rows)
    found = [
        plan_one(
            target,
            as_set(crop_of(target), settings),
            on,
            seeds.get((target.crop, target.variety, target.lot), _guess(crop_of(target))),
            here_of(target, on),
            tuple(sown.get(target.id, {})),
            direct_words(target.crop),
            sum(sown.get(target.id, {}).values()),
        )
        for target in reading_ahead.targets(rows)
        if target.last_day >= (since or today) and target.container_id in on.containers
    ]
    return sorted((one for one in found if one), key=lambda one: (one.sow.start, one.target.id))


def crop_of(target: Target) -> Crop:
    """The crop of a target; one of the grower's own has no figures."""
    return load_crops().get(target.crop) or unknown_crop(target.crop)


def _raised(rows: Rows, today: date) -> Callable[[Target, Grounds], Here]:
    """How each target is raised here: on which mat it comes up, and how fast it grows."""
    pins, grown = reading_ahead.pins(rows), own_growth(rows, today)

    def here(target: Target, on: Grounds) -> Here:
        home, crop = on.places.get(target.place_id or 0), crop_of(target)
        row, pin = emergence_row(target.crop), pins.get(target.id)
        mat = comes_up_on(crop, row, on.places.values(), home, pin) if home else None
        return Here(mat, *grown.get(target.crop, (1.0, 0)))

    return here


def _on(rows: Rows) -> Grounds:
    return replace(grounds(rows, ()), weather={})


def _guess(crop: Crop) -> Germination:
    return Germination(None, crop.min_germination)


def _germinations(rows: Rows) -> dict[tuple[str, str, str], Germination]:
    """What is known of each lot that was tested."""
    names = {row.id: (row.crop, row.name) for row in reading.varieties(rows)}
    return {
        (*names[lot.variety_id], lot.name): Germination(lot.test, float("nan"))
        for lot in reading.lots(rows)
        if lot.test
    }


def _sown(rows: Rows) -> dict[int, dict[int, int]]:
    """Cells by tray that were sown for each target or an older form of it; what was taken back isn't on record."""
    by_target, older = reading_ahead.sown_for(rows), reading_ahead.older_forms(rows)
    there = reading.trays(rows, {tray for cells in by_target.values() for tray in cells})
    found: dict[int, dict[int, int]] = {}
    for target in {*by_target, *older}:
        form: int | None = target
        cells: dict[int, int] = {}
        while form is not None:
            cells |= {tray: n for tray, n in by_target.get(form, {}).items() if tray in there}
            form = older.get(form)
        found[target] = dict(sorted(cells.items()))
    return found


def read(store: Store, today: date, now: datetime, outlooks: Outlooks | None = None) -> PlanView:
    """The plan of a day. `now` isn't needed here; every page is read alike."""
    lines = read_round(store, today, or_reckoned(store, today, outlooks)).lines
    with store.reading() as rows:
        on = _on(rows)
        ones = planned(rows, today)
        targets = [target for target in reading_ahead.targets(rows) if target.last_day >= today]
        seeds = _germinations(rows)
        numbers = next_numbers(rows, about(rows, today), sum(one.left for one in ones))
        measure = Measure(reading.settings(rows).get("measure", Measure.METRIC))
    counted = {one.target.id for one in ones}
    stands = [*_standing(lines, today), *planned_stands(ones, on.places, today)]
    monday = today - timedelta(days=today.weekday())
    loads = tuple(
        PlaceLoad(place.id, place.name, place.slots, weekly_load(stands, place.id, monday, WEEKS))
        for place in on.places.values()
        if place.kind is not PlaceKind.HEAT_MAT
    )
    return PlanView(
        on=today,
        planned=tuple(sorted(ones, key=lambda one: _order(one, today))),
        asides={one.target.id: _aside(one, on, seeds) for one in ones},
        uncounted=tuple(target for target in targets if target.id not in counted),
        loads=loads,
        crowd={load.place_id: _crowd(load, ones, on.places, today, monday) for load in loads if load.over()},
        next_numbers=numbers,
        scale=on.scale,
        measure=measure,
    )


def _order(one: Planned, today: date) -> tuple[int, date, int]:
    rank = 3 if not one.left else 0 if one.missed(today) else 1
    return rank, one.sow.start, one.target.id


def _aside(one: Planned, on: Grounds, seeds: Mapping[tuple[str, str, str], Germination]) -> Aside:
    target, crop = one.target, crop_of(one.target)
    pot = on.containers.get(target.pot_id) if target.pot_id is not None else None
    place = on.places.get(target.place_id) if target.place_id is not None else None
    mat = crop.figures.get("mat_c")
    return Aside(
        container=_container_words(on.containers[target.container_id], pot),
        kind=on.containers[target.container_id].kind,
        place=place.name if place else "",
        germination=_germination_words(seeds.get((target.crop, target.variety, target.lot)), crop, one),
        too_many=_too_many(one, place, on.places),
        depth_mm=crop.depth_mm,
        warm_c=mat.value if mat else float("nan"),
    )


def _container_words(container: Container, pot: Container | None) -> str:
    return f"{container.name}, then {pot.name}" if pot else container.name


def _germination_words(seed: Germination | None, crop: Crop, one: Planned) -> str:
    if seed and seed.test:
        up = f"{seed.test.sprouted} of {seed.test.tested} up"
        return f"{up} ({range_words(seed.test)})" if one.sure else f"{up}: take another lot"
    if isfinite(crop.min_germination):
        return (
            f"guess {crop.min_germination:.0%}, {'lot' if one.target.lot else 'seed'} untested: test it (G)"
        )
    return "untested, no spares: test it (G)"


def _too_many(one: Planned, place: Place | None, places: Mapping[int, Place]) -> str:
    most = place.slots if place else max((p.slots for p in places.values()), default=0)
    if one.trays <= most:
        return ""
    where = place.name if place else "any place"
    return f"{one.trays} trays are more than {where} holds ({most}): smaller cells, or in turns"


def planned_stands(ones: Iterable[Planned], places: Mapping[int, Place], today: date) -> list[Standing]:
    """Where planned trays will stand: where they grow from their first sowing day until hardening, then outside."""
    outside = next((place.id for place in places.values() if place.kind is PlaceKind.HARDENING), None)
    found: list[Standing] = []
    for one in ones:
        target, left = one.target, one.left
        if not left:
            continue
        leaves = target.first_day - timedelta(days=one.days.harden.hi)
        if not one.days.harden.hi:
            leaves = target.last_day + timedelta(days=1)
        since = max(today, one.sow.start)
        if target.place_id is not None:
            found.append(Standing(target.place_id, since, leaves, left))
        if outside is not None and one.days.harden.hi:
            found.append(Standing(outside, max(today, leaves), target.last_day + timedelta(days=1), left))
    return found


def _standing(lines: Iterable[TrayLine], today: date) -> list[Standing]:
    """Standing trays until they are ready; where nobody knows when, they are taken to stay."""
    far = today + timedelta(days=(WEEKS + 1) * WEEK)
    return [
        Standing(
            line.place_id, today, max(today + timedelta(days=WEEK), line.ready[0]) if line.ready else far, 1
        )
        for line in lines
    ]


def _crowd(
    load: PlaceLoad, ones: Iterable[Planned], places: Mapping[int, Place], today: date, monday: date
) -> str:
    """What is planned to stand at a place in its first week over."""
    over = load.over()
    week = over[0] if over else 0
    names = []
    for one in ones:
        stands = planned_stands([one], places, today)
        if weekly_load(stands, load.place_id, monday + timedelta(days=week * WEEK), 1)[0]:
            names.append(one.target.variety)
    return ", ".join(dict.fromkeys(names))


def answer(view: PlanView) -> Answer:
    """The plan in words."""
    from model.views.plan_words import plan_answer

    return plan_answer(view)
