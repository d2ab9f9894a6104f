"""What is in hand, what the sowings of the next weeks need, what to buy, what to wash and what to test."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from math import ceil

from model.ahead import StockKind
from model.crops import crop_name
from model.days import say_day
from model.facts import Container, ContainerKind
from model.instock import in_store
from model.rules.outlook import Outlooks
from model.rules.planning import Planned
from model.rules.stock import filled_litres
from model.science.quantities import SeedTest, germination_limits
from model.store import reading
from model.store.database import Rows, Store
from model.store.reading import LotRow
from model.views.answer import Answer, AnswerLine
from model.views.plan import planned

AHEAD_DAYS = 14
"""Days of sowings that the store is held against [d]: two weeks before the first that lacks something."""
WASH_DAYS = 2
"""Days before a sowing by which its trays are washed [d]. Ours."""
TEST_DAYS = 28
"""Days before its first sowing by which a lot is tested [d]. Ours."""
OLD_YEARS = 2
"""Years after which a lot is to be tested again [years]. Common practice, no source."""
MIX = "mix"


@dataclass(frozen=True, slots=True)
class StockLine:
    """One thing of the store."""

    what: StockKind
    name: str
    unit: str
    in_hand: float | None
    """None while nobody has counted it."""
    counted_on: date | None
    needed: float
    """For the sowings of the next two weeks."""
    for_whom: tuple[str, ...]
    """What it is needed for."""
    container_id: int | None = None
    lot_id: int | None = None

    @property
    def short(self) -> float:
        """What is missing; nothing while nobody has counted it."""
        return max(0.0, self.needed - self.in_hand) if self.in_hand is not None else 0.0


@dataclass(frozen=True, slots=True)
class LotNamed:
    """A seed lot by its whole name."""

    lot_id: int
    name: str


def read_lots(store: Store) -> tuple[LotNamed, ...]:
    """Every seed lot, by its whole name."""
    with store.reading() as rows:
        return tuple(LotNamed(lot_id, name) for lot_id, name in _names(rows).items())


def _names(rows: Rows) -> dict[int, str]:
    varieties = {row.id: f"{crop_name(row.crop)} {row.name}" for row in reading.varieties(rows)}
    return {lot.id: f"{varieties[lot.variety_id]} {lot.name}" for lot in reading.lots(rows)}


@dataclass(frozen=True, slots=True)
class ToTest:
    """A lot that wants a germination test before it is sown."""

    name: str
    words: str


@dataclass(frozen=True, slots=True)
class StockView:
    """The store."""

    on: date
    until: date
    lines: tuple[StockLine, ...]
    bag_l: float
    wash_by: date | None
    """The day of the next sowing that needs more clean trays than there are."""
    wash: tuple[tuple[str, int], ...]
    """What to wash before it."""
    tests: tuple[ToTest, ...]


def read(store: Store, today: date, now: datetime, outlooks: Outlooks | None = None) -> StockView:
    """The store as it is now, against the plan."""
    with store.reading() as rows:
        settings = reading.settings(rows)
        containers = {container.id: container for container in reading.containers(rows)}
        lots = reading.lots(rows)
        varieties = {row.id: (row.crop, row.name) for row in reading.varieties(rows)}
        coming = [
            p for p in planned(rows, today) if p.left and p.sow.start <= today + timedelta(days=AHEAD_DAYS)
        ]
        later = [
            p for p in planned(rows, today) if p.left and p.sow.start <= today + timedelta(days=TEST_DAYS)
        ]
        counted, names = in_store(rows), _names(rows)
    found: dict[tuple[StockKind, int | None, int | None], StockLine] = {}
    for stocked, left in counted:
        container = containers.get(stocked.container_id or 0)
        name = container.name if container else names.get(stocked.lot_id or 0, MIX)
        key = (stocked.what, stocked.container_id, stocked.lot_id)
        found[key] = StockLine(stocked.what, name, _unit(stocked.what), left, stocked.day, 0.0, (), *key[1:])
    by_name = {(*varieties[lot.variety_id], lot.name): lot.id for lot in lots}
    for key, name, amount, whom in needs(coming, containers, by_name, names):
        old = found.get(key) or StockLine(key[0], name, _unit(key[0]), None, None, 0.0, (), *key[1:])
        whose = (*old.for_whom, whom)
        found[key] = StockLine(
            old.what, old.name, old.unit, old.in_hand, old.counted_on, old.needed + amount, whose, *key[1:]
        )
    order = {StockKind.MIX: 0, StockKind.CONTAINER: 1, StockKind.SEED: 2}
    lines = tuple(sorted(found.values(), key=lambda line: (not line.short, order[line.what], line.name)))
    wash_by, wash = to_wash(coming, lines, containers, today)
    return StockView(
        on=today,
        until=today + timedelta(days=AHEAD_DAYS),
        lines=lines,
        bag_l=float(settings.get("mix_bag_l") or DEFAULT_BAG_L),
        wash_by=wash_by,
        wash=wash,
        tests=tuple(to_test(later, lots, varieties, today)),
    )


DEFAULT_BAG_L = 40.0
"""A bag of mix, while nobody has said [L]. Ours."""


def _unit(what: StockKind) -> str:
    return {StockKind.MIX: "L", StockKind.CONTAINER: "", StockKind.SEED: "seeds"}[what]


Key = tuple[StockKind, int | None, int | None]


def needs(
    coming: Iterable[Planned],
    containers: Mapping[int, Container],
    lots: Mapping[tuple[str, str, str], int],
    names: Mapping[int, str],
) -> Iterator[tuple[Key, str, float, str]]:
    """Mix, containers and seed that planned sowings take: the thing, its name, how much, and for whom."""
    for plan in coming:
        target = plan.target
        whom = f"{crop_name(target.crop)} {target.variety}"
        box = containers[target.container_id]
        trays = plan.left
        pots = box.kind is ContainerKind.POT
        count = min(plan.cells, trays * box.cells) if pots else trays
        litres = filled_litres(box, count) if pots else trays * filled_litres(box, box.cells)
        yield (StockKind.MIX, None, None), MIX, litres, whom
        yield (StockKind.CONTAINER, box.id, None), box.name, count, whom
        pot = containers.get(target.pot_id or 0)
        if pot is not None:
            yield (StockKind.MIX, None, None), MIX, filled_litres(pot, target.plants), f"{whom}, potting up"
            yield (StockKind.CONTAINER, pot.id, None), pot.name, target.plants, f"{whom}, potting up"
        lot = lots.get((target.crop, target.variety, target.lot))
        if lot is not None:
            seeds = ceil(plan.seeds * trays / max(1, plan.trays))
            yield (StockKind.SEED, None, lot), names[lot], seeds, whom


def to_wash(
    coming: Sequence[Planned], lines: Sequence[StockLine], containers: Mapping[int, Container], today: date
) -> tuple[date | None, tuple[tuple[str, int], ...]]:
    """The next sowing day within two days that needs more clean trays than there are, and how many of each to wash."""
    soon = [plan for plan in coming if plan.sow.start <= today + timedelta(days=WASH_DAYS)]
    clean = {line.container_id: line.in_hand for line in lines if line.what is StockKind.CONTAINER}
    wanted: dict[int, int] = {}
    for plan in soon:
        wanted[plan.target.container_id] = wanted.get(plan.target.container_id, 0) + plan.left
    lacking = [
        (containers[box].name, ceil(count - have))
        for box, count in wanted.items()
        if (have := clean.get(box)) is not None and count > have
    ]
    day = min((max(today, plan.sow.start) for plan in soon), default=None)
    return (day if lacking else None), tuple(sorted(lacking))


def to_test(
    later: Iterable[Planned], lots: Iterable[LotRow], varieties: Mapping[int, tuple[str, str]], today: date
) -> Iterator[ToTest]:
    """Lots of planned sowings that are old, or were never tested."""
    wanted = {(p.target.crop, p.target.variety, p.target.lot) for p in later if p.target.lot}
    for lot in lots:
        crop, variety = varieties[lot.variety_id]
        old = lot.packed_year is not None and today.year - lot.packed_year >= OLD_YEARS
        tested = lot.tested_on is not None and today.year - lot.tested_on.year < OLD_YEARS
        if (crop, variety, lot.name) in wanted and old and not tested:
            yield ToTest(
                f"{crop_name(crop)} {variety} {lot.name}", f"packed {lot.packed_year}, {test_words(lot)}"
            )


def test_words(lot: LotRow) -> str:
    """A germination test with its limits; never a bare per cent."""
    if not lot.tested_seeds or lot.tested_up is None:
        return "never tested: lay out 20 to 50 seeds"
    low, high = germination_limits(SeedTest(lot.tested_up, lot.tested_seeds))
    return f"{lot.tested_up} of {lot.tested_seeds} came up: somewhere {100 * low:.0f}-{100 * high:.0f} %"


def answer(view: StockView) -> Answer:
    """The store in lines: what to buy stands first."""
    return Answer(
        title="stock",
        answer=tuple(_answer(view)),
        lines=tuple(_line(line, view) for line in view.lines),
        heading=f"{'what':<38}{'in hand':>10}{'needed':>10}{'short':>10}",
        notes=tuple(f"Test {test.name}: {test.words}." for test in view.tests),
    )


def _answer(view: StockView) -> Iterator[str]:
    yield shopping(view)
    if view.wash_by is not None:
        trays = ", ".join(f"{count} {name}" for name, count in view.wash)
        yield f"Wash before {say_day(view.wash_by)}: {trays}."
    uncounted = [line.name for line in view.lines if line.in_hand is None]
    if uncounted:
        more = f" and {len(uncounted) - 3} more" if len(uncounted) > 3 else ""
        yield f"Not counted yet: {', '.join(uncounted[:3])}{more}. c counts them."


def shopping(view: StockView) -> str:
    """One line to take along."""
    parts = []
    for line in view.lines:
        if not line.short:
            continue
        if line.what is StockKind.MIX:
            bags = ceil(line.short / view.bag_l)
            parts.append(f"{bags} bag{'s' if bags > 1 else ''} of mix of {view.bag_l:g} L")
        elif line.what is StockKind.CONTAINER:
            parts.append(f"{ceil(line.short)} x {line.name}")
        else:
            parts.append(f"{ceil(line.short)} seeds {line.name}")
    until = say_day(view.until)
    if not view.lines:
        return "Nothing is counted and nothing is planned: c counts, A plans."
    return (
        f"Buy for the sowings until {until}: {', '.join(parts)}."
        if parts
        else f"Nothing is short until {until}."
    )


def _line(line: StockLine, view: StockView) -> AnswerLine:
    def told(amount: float | None) -> str:
        if amount is None:
            return "?"
        return f"{amount:,.0f} {line.unit}".strip() if amount else "-"

    text = f"{line.name[:37]:<38}{told(line.in_hand):>10}{told(line.needed):>10}{told(line.short):>10}"
    return AnswerLine(text, tuple(_why(line, view)), "crowding" if line.short else "", None)


def _why(line: StockLine, view: StockView) -> Iterator[str]:
    if line.counted_on is None:
        yield "nobody has counted it; c does"
    else:
        yield f"counted {say_day(line.counted_on)}, less what was sown and potted up since"
    if line.for_whom:
        whose = list(dict.fromkeys(line.for_whom))
        more = f" and {len(whose) - 3} more" if len(whose) > 3 else ""
        yield f"needed until {say_day(view.until)} for {', '.join(whose[:3])}{more}"
    if line.what is StockKind.MIX:
        yield f"filled cells and pots with 15 % for settling; a bag holds {view.bag_l:g} L (S changes it)"
