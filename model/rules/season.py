"""What a season tells of one crop in one kind of container: sums over its trays, acts and plans.

Nothing is summed over two kinds of container: a plug and a pot of the same crop take different days. Days to ready
come from looks at roots, never from the day of leaving: weather and hands decide that one.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from math import ceil, floor
from statistics import median

from model.facts import Act, ActKind, Crop, Place, PlaceKind, Sowing, Tray
from model.rules.due import OFF_MAT_DAYS
from model.rules.filling import HOLDS
from model.rules.planning import Planned
from model.rules.season_page import Aimed, Days, Gone, Met, OnMat, Page, Stood, Timed

FAILED_SHARE = 0.5
"""A sowing that lost more of its cells than this failed: a failed tray is not a slow one [-]. Ours."""
AFTER_DAYS = 14
"""Days after plants went out in which a loss is put beside their going [d]. Ours."""
EMPTY = "empty at a count"
"""What a count found without a plant, and nobody entered as lost."""
LEAVES = (ActKind.SET_OUT, ActKind.HANDED_OVER)
TELLS = (ActKind.LOST, *LEAVES, ActKind.AGAINST_GATE, ActKind.NOTE)
"""Acts that a season is told from; the rest is in the trays themselves."""


@dataclass(frozen=True, slots=True)
class Season:
    """The facts that a season is told from."""

    year: int
    today: date
    trays: Mapping[int, Tray]
    """Every tray ever made until today."""
    acts: Mapping[int, Sequence[Act]]
    """Acts that count, by tray, corrected."""
    places: Mapping[int, Place]
    crops: Mapping[str, Crop]
    planned: Sequence[Planned] = ()
    """Lines of the plan wanted in this year."""
    targets: Mapping[int, int] = field(default_factory=dict)
    """The line of the plan that each tray was sown for."""


Pair = tuple[Tray, Sowing]


def pages(season: Season) -> tuple[Page, ...]:
    """A page for each crop and container, the most telling first: missed windows, sowings for nobody, then losses."""
    groups: dict[tuple[str, int], list[Pair]] = defaultdict(list)
    for tray in season.trays.values():
        for sowing in tray.sowings:
            if sowing.sown_on.year == season.year:
                groups[sowing.crop, tray.container_id].append((tray, sowing))
    for one in season.planned:
        groups.setdefault((one.target.crop, one.target.container_id), [])
    found = [_page(season, crop, container, pairs) for (crop, container), pairs in groups.items()]
    return tuple(sorted(found, key=_telling))


def _telling(page: Page) -> tuple[int, int, int, str, int]:
    return (
        *(-page.missed - len(page.for_nobody) - sum(bool(gone.against) for gone in page.gone), -page.lost),
        *(-page.trays, page.crop, page.container_id),
    )


def _page(season: Season, crop: str, container: int, pairs: Sequence[Pair]) -> Page:
    sown = [pair for pair in pairs if not pair[1].from_parent]
    potted = [pair for pair in pairs if pair[1].from_parent]
    ups = [(s.variety, t.stays[0].place_id, days) for t, s in sown if (days := days_to_up(s)) is not None]
    ready, in_pots = list(_ready(sown)), list(_ready(potted))
    return Page(
        crop=crop,
        container_id=container,
        sowings=len(sown),
        trays=len({tray.id for tray, _ in sown}),
        cells=sum(sowing.cells for _, sowing in sown),
        potted=len({tray.id for tray, _ in potted}),
        plants=sum(sowing.cells for _, sowing in potted),
        standing=len({tray.id for tray, sowing in pairs if tray.standing and sowing.have}),
        up=tuple(_timed(season, ups, potted=False)),
        up_all=days_of([days for *_, days in ups]),
        ready=(*_timed(season, ready, potted=False), *_timed(season, in_pots, potted=True)),
        ready_all=days_of([days for *_, days in (ready if sown else in_pots)]),
        stood=tuple(_stood(sown)),
        losses=tuple(_losses(season, pairs)),
        aims=tuple(
            _aimed(season, one)
            for one in season.planned
            if (one.target.crop, one.target.container_id) == (crop, container)
        ),
        mat=_on_mat(season, sown),
        gone=tuple(_gone(season, pairs)),
        for_nobody=tuple(sorted({tray.number for tray, sowing in sown if _for_nobody(season, tray, sowing)})),
    )


def days_of(found: Sequence[float]) -> Days | None:
    """The middle of some days and their spread; None of none."""
    return Days(median(found), floor(min(found)), ceil(max(found)), len(found)) if found else None


def days_to_up(sowing: Sowing) -> float | None:
    """Days from sowing to first up, in the middle between the look that found none and the one that found some.

    Whoever sowed it found nothing up that day, which tells nothing: without a look since, the day it was seen stands.
    """
    if sowing.first_up is None:
        return None
    latest = (sowing.first_up - sowing.sown_on).days
    earliest = (sowing.first_up_after - sowing.sown_on).days if sowing.first_up_after else 0
    return ((earliest or latest) + latest) / 2


def days_to_ready(tray: Tray, sowing: Sowing) -> int | None:
    """Days from sowing, or from potting up, to the first look that found the roots to hold.

    None where no look did, where the tray holds several sowings (a look can't tell them apart), and where it failed.
    """
    held = ready_on(tray)
    failed = sowing.lost + sowing.empty > FAILED_SHARE * sowing.cells
    if held is None or failed or len(tray.sowings) > 1:
        return None
    return (held - (tray.made_on if sowing.from_parent else sowing.sown_on)).days


def ready_on(tray: Tray) -> date | None:
    """The day of the first look that found the roots to hold."""
    return next((look.day for look in tray.looks if look.score >= HOLDS), None)


def _ready(pairs: Iterable[Pair]) -> Iterator[tuple[str, int, float]]:
    for tray, sowing in pairs:
        days, held = days_to_ready(tray, sowing), ready_on(tray)
        if days is not None and held is not None:
            place = next(stay.place_id for stay in reversed(tray.stays) if stay.since <= held)
            yield sowing.variety, place, days


def _timed(season: Season, found: Iterable[tuple[str, int, float]], *, potted: bool) -> Iterator[Timed]:
    groups: dict[tuple[str, int], list[float]] = defaultdict(list)
    for variety, place, days in found:
        groups[variety, place].append(days)
    for (variety, place), of_them in sorted(groups.items()):
        if told := days_of(of_them):
            yield Timed(variety, season.places[place].name, potted, told)


def _stood(sown: Iterable[Pair]) -> Iterator[Stood]:
    lots: dict[tuple[str, str], list[Sowing]] = defaultdict(list)
    for _, sowing in sown:
        lots[sowing.variety, sowing.lot].append(sowing)
    for (variety, lot), sowings in sorted(lots.items()):
        counted = [sowing for sowing in sowings if sowing.counts]
        # Plants leave between two counts: the highest one is what came up.
        up = sum(max(count for _, count in sowing.counts) for sowing in counted)
        yield Stood(variety, lot, sum(sowing.cells for sowing in counted), up, len(sowings) - len(counted))


def _losses(season: Season, pairs: Iterable[Pair]) -> Iterator[tuple[str, int]]:
    causes: Counter[str] = Counter()
    for tray, sowing in pairs:
        for act in _acts_on(season, tray, sowing, ActKind.LOST):
            causes[act.cause or "unknown"] += act.count or 0
        causes[EMPTY] += sowing.empty
    return ((cause, count) for cause, count in causes.most_common() if count)


def _acts_on(season: Season, tray: Tray, sowing: Sowing, *kinds: ActKind) -> Iterator[Act]:
    return (act for act in season.acts.get(tray.id, ()) if act.kind in kinds and act.sowing_id == sowing.id)


def family(trays: Mapping[int, Tray], tray: Tray) -> Iterator[Tray]:
    """A tray and all that was potted up from it."""
    yield tray
    for child in tray.children:
        if child in trays:
            yield from family(trays, trays[child])


def _left(season: Season, tray: Tray, crop: str, variety: str) -> Iterator[tuple[date, int]]:
    """Plants of a variety that left a tray or what was potted up from it, and its cuts."""
    for one in family(season.trays, tray):
        for sowing in one.sowings:
            if (sowing.crop, sowing.variety) == (crop, variety):
                yield from ((act.day, act.count or 0) for act in _acts_on(season, one, sowing, *LEAVES))
                yield from ((day, sowing.have) for day in sowing.cuts)


def _for_nobody(season: Season, tray: Tray, sowing: Sowing) -> bool:
    if tray.id in season.targets or any(one.standing for one in family(season.trays, tray)):
        return False
    return not any(_left(season, tray, sowing.crop, sowing.variety))


def _aimed(season: Season, one: Planned) -> Aimed:
    target = one.target
    trays = [season.trays[i] for i in one.sown if i in season.trays]
    mine = [
        (tray, sowing)
        for tray in trays
        for sowing in tray.sowings
        if (sowing.crop, sowing.variety) == (target.crop, target.variety)
    ]
    sown = sorted(sowing.sown_on for _, sowing in mine)
    # A tray that is resown is still one tray: what it was sown for left it once.
    of_mine = {tray.id: tray for tray, _ in mine}.values()
    left = sorted(x for tray in of_mine for x in _left(season, tray, target.crop, target.variety))
    kin = [member for tray in of_mine for member in family(season.trays, tray)]
    last = [day for tray in kin if not tray.children and (day := ready_on(tray))]
    return Aimed(
        target=target,
        sow=one.sow,
        trays=one.trays,
        sown=tuple(sown),
        sowing=how_met(sown[0] if sown else None, one.sow.start, one.sow.end or date.max, season.today),
        left=tuple(left),
        leaving=how_met(left[0][0] if left else None, target.first_day, target.last_day, season.today),
        ready_on=min(last, default=None),
        lost=sum(sowing.lost + sowing.empty for tray in kin for sowing in tray.sowings),
    )


def how_met(day: date | None, first: date, last: date, today: date) -> Met:
    """How a window went that something was done in on a day, or on none."""
    if day is None:
        return Met.OPEN if today <= last else Met.NEVER
    return Met.EARLY if day < first else Met.LATE if day > last else Met.IN


def _on_mat(season: Season, sown: Iterable[Pair]) -> OnMat:
    trays: dict[int, list[Pair]] = defaultdict(list)
    for tray, sowing in sown:
        trays[tray.id].append((tray, sowing))
    days = over = in_time = known = used = 0
    for pairs in trays.values():
        spells = list(_spells(season, pairs[0][0]))
        if not spells:
            continue
        used += 1
        days += sum((until - since).days for since, until in spells)
        due = _due_off(season, pairs)
        if due is None:
            continue
        late = sum(max(0, (until - max(since, due)).days) for since, until in spells)
        known, over, in_time = known + 1, over + late, in_time + (not late)
    return OnMat(used, days, over, in_time, known)


def _spells(season: Season, tray: Tray) -> Iterator[tuple[date, date]]:
    """From when until when a tray stood on a heat mat."""
    ends = [*(stay.since for stay in tray.stays[1:]), tray.ended_on or season.today]
    for stay, until in zip(tray.stays, ends, strict=True):
        if season.places[stay.place_id].kind is PlaceKind.HEAT_MAT:
            yield stay.since, until


def _due_off(season: Season, pairs: Iterable[Pair]) -> date | None:
    """The last day on which a tray is off the heat in time: a day after half up, of crops that stretch after first up."""
    days = []
    for _, sowing in pairs:
        fast = season.crops[sowing.crop].stretches_fast
        if (seen := sowing.first_up if fast else sowing.half_up) is not None:
            days.append(seen + timedelta(days=OFF_MAT_DAYS))
    return max(days, default=None)


def _gone(season: Season, pairs: Iterable[Pair]) -> Iterator[Gone]:
    """Every setting out, in the order of days."""
    found = [gone for tray, sowing in pairs for gone in _gone_of(season, tray, sowing)]
    return iter(sorted(found, key=lambda gone: (gone.day, gone.number)))


def _gone_of(season: Season, tray: Tray, sowing: Sowing) -> Iterator[Gone]:
    reasons = {
        act.day: act.text or "no reason" for act in _acts_on(season, tray, sowing, ActKind.AGAINST_GATE)
    }
    counts: Counter[date] = Counter()
    for act in _acts_on(season, tray, sowing, ActKind.SET_OUT):
        counts[act.day] += act.count or 0
    for day, count in counts.items():
        until = day + timedelta(days=AFTER_DAYS)
        after = [act for act in season.acts.get(tray.id, ()) if day <= act.day <= until]
        yield Gone(
            *(day, tray.number, sowing.variety, count, reasons.get(day, "")),
            over=until < season.today,
            lost=sum(
                act.count or 0 for act in after if act.kind is ActKind.LOST and act.sowing_id == sowing.id
            ),
            notes=tuple(act.text or "" for act in after if act.kind is ActKind.NOTE),
        )
