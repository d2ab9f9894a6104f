"""What is in hand, what the sowings of the next weeks need, what to buy, what to wash and what to test."""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from math import ceil

from model.ahead import PinnedSowing, StockKind
from model.crops import variety_name
from model.days import say_day
from model.facts import Container, ContainerKind, Treated
from model.instock import dirty_boxes, in_store
from model.rules.outlook import Outlooks
from model.rules.planning import Planned
from model.rules.seeding import OLD_YEARS, TEST_WITH, Packet, spread_words
from model.rules.stock import filled_litres
from model.store import reading, reading_ahead
from model.store.database import Rows, Store
from model.store.reading import LotRow
from model.store.reading_lots import failed_lots
from model.text import several
from model.views.answer import Answer, AnswerLine
from model.views.outdoors import number_of
from model.views.plan import planned

AHEAD_DAYS = 14
"""Days of sowings that the store is held against [d]: two weeks before the first that lacks something."""
WASH_DAYS = 2
"""Days before a sowing by which its trays are washed [d]. Ours."""
TEST_DAYS = 28
"""Days before its first sowing by which a lot is tested [d]. Ours."""
NAME, AMOUNT = 36, 13
"""Columns of a name and of an amount."""
MIX = "mix"
NO_LOT = "no lot"
"""Stands beside seed of which the plan names no lot."""


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
    covered: float = 0.0
    """Of what is missing, what other lots of the variety have to spare."""
    covered_by: tuple[str, ...] = ()
    dirty: int = 0
    """Containers that were emptied since they were counted, and have only to be washed."""

    @property
    def short(self) -> float:
        """What is missing; nothing while nobody has counted it."""
        return max(0.0, self.needed - self.in_hand - self.covered) if self.in_hand is not None else 0.0

    @property
    def to_buy(self) -> float:
        """What is missing and can't be washed."""
        return max(0.0, self.short - self.dirty)

    @property
    def spare(self) -> float:
        """What is in hand beyond what is needed."""
        return max(0.0, self.in_hand - self.needed) if self.in_hand is not None else 0.0


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
    varieties = {row.id: variety_name(row.crop, row.name) for row in reading.varieties(rows)}
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
    """The store as it is now, against the plan. Neither the instant nor the forecast matters here."""
    with store.reading() as rows:
        settings = reading.settings(rows)
        containers = {container.id: container for container in reading.containers(rows)}
        lots, pins = reading.lots(rows), reading_ahead.pins(rows)
        varieties = {row.id: (row.crop, row.name) for row in reading.varieties(rows)}
        ones = [one for one in planned(rows, today) if one.left or one.target.pot_id]
        trays = reading.trays(rows, {tray for one in ones for tray in one.sown})
        counted, names, failed = in_store(rows), _names(rows), failed_lots(rows)
        unwashed = dirty_boxes(rows)
    dated = sorted(((_sowing_day(one, pins, today), one) for one in ones), key=lambda pair: pair[0])
    coming = [(on, one) for on, one in dated if on <= today + timedelta(days=AHEAD_DAYS)]
    potted = {
        one.target.id: sum(sowing.potted for tray in one.sown for sowing in trays[tray].sowings)
        for one in ones
    }
    later = [one for on, one in dated if one.left and on <= today + timedelta(days=TEST_DAYS)]
    found: dict[Key, StockLine] = {}
    for stocked, left in counted:
        container = containers.get(stocked.container_id or 0)
        name = container.name if container else names.get(stocked.lot_id or 0, MIX)
        key = (stocked.what, stocked.container_id, stocked.lot_id, name)
        dirty = unwashed.get(stocked.container_id or 0, 0)
        found[key] = replace(_nothing(key), in_hand=left, counted_on=stocked.day, dirty=dirty)
    by_name = {(*varieties[lot.variety_id], lot.name): lot.id for lot in lots}
    for key, amount, whom in needs((one for _, one in coming), containers, by_name, names, potted):
        old = found.get(key) or _nothing(key)
        found[key] = replace(old, needed=old.needed + amount, for_whom=(*old.for_whom, whom))
    found |= shared(found, lots, failed)
    order = {StockKind.MIX: 0, StockKind.CONTAINER: 1, StockKind.SEED: 2}
    lines = tuple(sorted(found.values(), key=lambda line: (not line.short, order[line.what], line.name)))
    wash_by, wash = to_wash(coming, lines, containers, today)
    return StockView(
        on=today,
        until=today + timedelta(days=AHEAD_DAYS),
        lines=lines,
        bag_l=number_of(settings, "mix_bag_l") or DEFAULT_BAG_L,
        wash_by=wash_by,
        wash=wash,
        tests=tuple(to_test(later, lots, varieties, today)),
    )


DEFAULT_BAG_L = 40.0
"""A bag of mix, while nobody has said [L]. Ours."""

_UNITS = {StockKind.MIX: "L", StockKind.CONTAINER: "", StockKind.SEED: "seeds"}

Key = tuple[StockKind, int | None, int | None, str]
"""Kind, container, lot and name of a thing: seed of which no lot is named goes by its name alone."""


def shared(
    lines: Mapping[Key, StockLine], lots: Iterable[LotRow], failed: Collection[int]
) -> dict[Key, StockLine]:
    """Lines of lots that run short, with what others of the variety have to spare.

    A lot that failed gives nothing, and treated seed stands in for treated seed only.
    """
    by_id = {lot.id: lot for lot in lots}
    spare = {line.lot_id: line.spare for line in lines.values() if line.lot_id and line.lot_id not in failed}
    found: dict[Key, StockLine] = {}
    for key, line in lines.items():
        own = by_id.get(line.lot_id or 0)
        alike = [lot for lot in by_id.values() if own and lot.variety_id == own.variety_id]
        for other in alike:
            taken = min(line.short, spare.get(other.id, 0.0))
            if taken and (other.treated is not Treated.YES or (own and own.treated is Treated.YES)):
                spare[other.id] -= taken
                line = replace(line, covered=line.covered + taken, covered_by=(*line.covered_by, other.name))
                found[key] = line
    return found


def _nothing(key: Key) -> StockLine:
    what, container_id, lot_id, name = key
    return StockLine(what, name, _UNITS[what], None, None, 0.0, (), container_id, lot_id)


def _sowing_day(one: Planned, pins: Mapping[int, PinnedSowing], today: date) -> date:
    """The day it is pinned to, else the first of its window; today where that has gone by."""
    pin = pins.get(one.target.id)
    return max(today, pin.day if pin and pin.day else one.sow.start)


def needs(
    coming: Iterable[Planned],
    containers: Mapping[int, Container],
    lots: Mapping[tuple[str, str, str], int],
    names: Mapping[int, str],
    potted: Mapping[int, int],
) -> Iterator[tuple[Key, float, str]]:
    """Mix, containers and seed that planned sowings take: the thing, how much of it, and for whom.

    What is sown takes its pots until as many as are wanted are potted up.
    """
    for plan in coming:
        target = plan.target
        whom = variety_name(target.crop, target.variety)
        box = containers[target.container_id]
        pot, plants = containers.get(target.pot_id or 0), target.plants - potted.get(target.id, 0)
        if pot is not None and plants > 0:
            later = f"{whom}, potting up"
            yield (StockKind.MIX, None, None, MIX), filled_litres(pot, plants), later
            yield (StockKind.CONTAINER, pot.id, None, pot.name), plants, later
        if not plan.left:
            continue
        count = _taken(plan, box)
        filled = filled_litres(box, count) * (1 if box.kind is ContainerKind.POT else count)
        yield (StockKind.MIX, None, None, MIX), filled, whom
        yield (StockKind.CONTAINER, box.id, None, box.name), count, whom
        lot = lots.get((target.crop, target.variety, target.lot))
        seeds = ceil(plan.seeds * plan.left / max(1, plan.trays))
        yield (StockKind.SEED, None, lot, names[lot] if lot else f"{whom} ({NO_LOT})"), seeds, whom


def _taken(plan: Planned, box: Container) -> int:
    """Trays or flats still to be filled; pots one by one."""
    return min(plan.cells, plan.left * box.cells) if box.kind is ContainerKind.POT else plan.left


def to_wash(
    coming: Iterable[tuple[date, Planned]],
    lines: Sequence[StockLine],
    containers: Mapping[int, Container],
    today: date,
) -> tuple[date | None, tuple[tuple[str, int], ...]]:
    """How many of each to wash within two days, and the first day on which the clean ones run out.

    Sowings come in the order of their days. What nobody has counted isn't told.
    """
    clean = {line.container_id: line.in_hand for line in lines if line.what is StockKind.CONTAINER}
    wanted: dict[int, int] = {}
    first: date | None = None
    for on, plan in coming:
        box = plan.target.container_id
        have = clean.get(box)
        if on > today + timedelta(days=WASH_DAYS) or have is None:
            continue
        wanted[box] = wanted.get(box, 0) + _taken(plan, containers[box])
        if wanted[box] > have and first is None:
            first = on
    lacking = [
        (containers[box].name, ceil(count - (clean[box] or 0.0)))
        for box, count in wanted.items()
        if count > (clean[box] or 0.0)
    ]
    return first, tuple(sorted(lacking))


def to_test(
    later: Iterable[Planned], lots: Iterable[LotRow], varieties: Mapping[int, tuple[str, str]], today: date
) -> Iterator[ToTest]:
    """Lots of planned sowings that are old, and weren't tested of late."""
    wanted = {(p.target.crop, p.target.variety, p.target.lot) for p in later if p.target.lot}
    for lot in lots:
        crop, variety = varieties[lot.variety_id]
        recent = lot.tested_on is not None and today.year - lot.tested_on.year < OLD_YEARS
        old = Packet(lot.name, lot.packed_year).old(today)
        if (crop, variety, lot.name) in wanted and old and not recent:
            test = spread_words(lot.test) if lot.test else f"never tested: lay out {TEST_WITH}"
            yield ToTest(f"{variety_name(crop, variety)} {lot.name}", f"packed {lot.packed_year}, {test}")


def answer(view: StockView) -> Answer:
    """The store in lines: what to buy stands first."""
    return Answer(
        title="stock",
        answer=tuple(_answer(view)),
        lines=tuple(_line(line, view) for line in view.lines),
        heading=f"{'what':<{NAME}}{'in hand':>{AMOUNT}}{'needed':>{AMOUNT}}{'short':>{AMOUNT}}",
        notes=tuple(f"Test {test.name}: {test.words}." for test in view.tests),
    )


def _answer(view: StockView) -> Iterator[str]:
    yield shopping(view)
    if view.wash_by is not None:
        dirty = {line.name: line.dirty for line in view.lines if line.what is StockKind.CONTAINER}
        when = "today" if view.wash_by == view.on else f"before {say_day(view.wash_by)}"
        # What isn't known to stand dirty may do so all the same: it was emptied before anybody counted.
        parts = (
            (f"Wash {when}", [(name, min(count, dirty[name])) for name, count in view.wash]),
            (f"Needed {when}, washed or bought", [(name, count - dirty[name]) for name, count in view.wash]),
        )
        told = [(words, [f"{n} x {name}" for name, n in counts if n > 0]) for words, counts in parts]
        yield ". ".join(f"{words}: {', '.join(trays)}" for words, trays in told if trays) + "."
    uncounted = [line.name for line in view.lines if line.in_hand is None]
    if uncounted:
        more = f" and {len(uncounted) - 3} more" if len(uncounted) > 3 else ""
        yield f"Not counted yet: {', '.join(uncounted[:3])}{more}. c counts them."


def shopping(view: StockView) -> str:
    """One line to take along."""
    parts = []
    for line in view.lines:
        if not line.to_buy:
            continue
        if line.what is StockKind.MIX:
            bags = ceil(line.to_buy / view.bag_l)
            parts.append(f"{several(bags, 'bag')} of mix of {view.bag_l:g} L")
        elif line.what is StockKind.CONTAINER:
            parts.append(f"{ceil(line.to_buy)} x {line.name}")
        else:
            parts.append(f"{ceil(line.to_buy)} seeds {line.name}")
    until = say_day(view.until)
    if not view.lines:
        return "Nothing is counted and nothing is planned: c counts, A plans."
    return (
        f"Buy for the sowings until {until}: {', '.join(parts)}."
        if parts
        else f"Nothing has to be bought until {until}."
        if any(line.short for line in view.lines)
        else f"Nothing is short until {until}."
    )


def _line(line: StockLine, view: StockView) -> AnswerLine:
    def told(amount: float | None) -> str:
        if amount is None:
            return "?"
        return f"{amount:,.0f} {line.unit}".strip() if amount else "-"

    # What nobody counted may be short or not.
    short = None if line.in_hand is None and line.needed else line.short
    amounts = "".join(f"{told(amount):>{AMOUNT}}" for amount in (line.in_hand, line.needed, short))
    text = f"{line.name[: NAME - 1]:<{NAME}}{amounts}"
    return AnswerLine(text, tuple(_why(line, view)), "crowding" if line.short else "", _key(line))


def _key(line: StockLine) -> int | None:
    """A number of its own for each thing, so that the hand stays on it when a count changes the order."""
    if line.container_id is not None:
        return 2 * line.container_id + 1
    if line.lot_id is not None:
        return 2 * line.lot_id
    return 0 if line.what is StockKind.MIX else None


def _why(line: StockLine, view: StockView) -> Iterator[str]:
    if line.counted_on is None:
        counts = "the plan names no lot: G adds one, then c counts its seed"
        unnamed = line.what is StockKind.SEED and line.lot_id is None
        yield counts if unnamed else "nobody has counted it; c does"
    else:
        yield f"counted {say_day(line.counted_on)}, less what was sown and potted up since"
    if line.for_whom:
        whose = list(dict.fromkeys(line.for_whom))
        more = f" and {len(whose) - 3} more" if len(whose) > 3 else ""
        yield f"needed until {say_day(view.until)} for {', '.join(whose[:3])}{more}"
    if line.dirty:
        yield f"{line.dirty} were emptied since they were counted: w says that they are washed"
    if line.covered:
        yield f"{line.covered:,.0f} of what is missing come from lot {', '.join(line.covered_by)}, which has them to spare"
    if line.what is StockKind.MIX:
        yield f"15 % for settling counted in; a bag holds {view.bag_l:g} L, S changes that"
