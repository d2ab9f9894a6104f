"""New sowing and resowing: the last sowing of a variety is offered whole, and Enter repeats it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from model.actions import sow
from model.crops import variety_name
from model.days import say_day
from model.errors import BadInput
from model.facts import Container, ContainerKind, Place
from model.labels import HIGHEST, label
from model.views.choices import Choices, Numbers, heat_warning, mixed_warning
from model.views.tray import TrayPage
from tui.dialogs.ask import Choose, Flow, Option, Type
from tui.dialogs.flows import MOST, Wish, day_gone, which_place, which_sowing, whole_number
from tui.dialogs.numbering import which_number
from tui.dialogs.packets import enough_seeds, fit_to_eat, lot_words, which_lot, which_lots
from tui.dialogs.variety import JOIN, PART_HINT, which_varieties, which_variety


@dataclass(frozen=True, slots=True)
class Plan:
    """A sowing as it stands while the questions are asked."""

    what: tuple[tuple[str, str], ...]
    lots: tuple[str, ...]
    """The lot of each part; "" where none is named."""
    container: Container
    place_id: int
    cells: int
    seeds: int
    sown_on: date
    number: int
    stack: bool = False
    target_id: int | None = None
    """The target it is sown for."""

    def words(self, choices: Choices, today: date) -> str:
        """The sowing in one line."""
        place = next(room.place.name for room in choices.places if room.place.id == self.place_id)
        day = "today" if self.sown_on == today else say_day(self.sown_on)
        lots = [_said_lot(choices, kind, lot, today) for kind, lot in zip(self.what, self.lots, strict=True)]
        lot = f" {JOIN} ".join(lots if any(self.lots) else lots[:1])
        each = "" if len(self.what) == 1 else " each"
        what = f" {JOIN} ".join(variety_name(crop, variety) for crop, variety in self.what)
        sown = f"{self.cells} cells{each}, {self.seeds} a cell"
        if self.container.kind is ContainerKind.OPEN_FLAT:
            sown = f"{self.cells * self.seeds} seeds in {self.cells} clumps{each}"
        how = f"{self.container.name}, {sown}, {lot}, {place}, sown {day}"
        return f"{what}: {how}"


def _said_lot(choices: Choices, kind: tuple[str, str], name: str, today: date) -> str:
    known = [lot for lot in choices.lots if (lot.crop, lot.variety, lot.name) == (*kind, name)]
    return f"lot {lot_words(known[0], today) if known else name}" if name else "no lot"


def new_sowing(choices: Choices, numbers: Numbers, today: date) -> Flow[Wish]:
    """What is sown; then everything as the last time, or question by question."""
    if not choices.places:
        raise BadInput("The farm has no place yet.", "Add one with P, then sow.")
    last = choices.last[0] if choices.last else None
    likely = variety_name(last.crop, last.variety) if last else ""
    hint = f"{PART_HINT}; {JOIN} between the parts of a mixed flat"
    what = yield from which_varieties(choices, "Sow what?", likely, hint)
    plan = plan_like_last(choices, what, numbers.following, today)
    if plan is not None:
        return (yield from sow_so(plan, choices, numbers, today))
    return (yield from _room((yield from ask_all(choices, numbers, what, plan, today)), choices))


def sow_so(plan: Plan, choices: Choices, numbers: Numbers, today: date, word: str = "") -> Flow[Wish]:
    """A sowing as it is proposed, or with something changed; a word about it may stand beside."""
    as_proposed: bool = yield Choose(
        f"{label(plan.number)}  {plan.words(choices, today)}{f'. {word}.' if word else ''}",
        [Option("sow it so", True, "y"), Option("change something", False, "c")],
    )
    if not as_proposed:
        changed = yield from ask_all(choices, numbers, plan.what, plan, today)
        plan = replace(changed, target_id=plan.target_id)
    return (yield from _room(plan, choices))


def plan_like_last(
    choices: Choices, what: Sequence[tuple[str, str]], number: int, today: date
) -> Plan | None:
    """The sowing as it was the last time; None where a variety never was sown, or not as the others of the mix."""
    latest = {(sown.crop, sown.variety): sown for sown in reversed(choices.last)}
    containers = {container.id: container for container in choices.containers}
    before = latest.get(what[0])
    ways = {(s.container_id, s.cells, s.seeds_per_cell) if (s := latest.get(pair)) else None for pair in what}
    if before is None or before.container_id not in containers or len(ways) > 1:
        return None
    container = containers[before.container_id]
    if container.kind is ContainerKind.CELL_TRAY and before.cells * len(what) > container.cells:
        return None
    return Plan(
        what=tuple(what),
        lots=tuple(latest[kind].lot for kind in what),
        container=container,
        place_id=before.place_id,
        cells=before.cells,
        seeds=before.seeds_per_cell,
        sown_on=today,
        number=number,
    )


def ask_all(
    choices: Choices, numbers: Numbers, what: Sequence[tuple[str, str]], like: Plan | None, today: date
) -> Flow[Plan]:
    """Every part of a sowing, each with its likely answer."""
    containers = choices.containers
    at = next((i for i, c in enumerate(containers) if like and c.id == like.container.id), _usual(containers))
    container: Container = yield Choose("Into:", [Option(c.name, c) for c in containers], at)
    same = like is not None and like.container.id == container.id
    each = " for each" if len(what) > 1 else ""
    flat = container.kind is ContainerKind.OPEN_FLAT
    share = max(1, container.cells // len(what))
    cells: int = yield Type(
        f"How many {'clumps' if flat else 'cells'}{each}?",
        whole_number(1, share if container.kind is ContainerKind.CELL_TRAY else MOST),
        str(like.cells if like and same else share),
    )
    seeds = yield from seeds_each(cells, flat, like.seeds if like else 1)
    lots = yield from which_lots(choices, what, like.lots if like else [""] * len(what), today, container)
    place = yield Choose(
        "Where?",
        [
            Option(f"{r.place.name}   {r.trays} of {r.place.slots} slots taken", r.place.id)
            for r in choices.places
        ],
        next((i for i, r in enumerate(choices.places) if like and r.place.id == like.place_id), 0),
    )
    sown_on: date = yield Type("Sown on?", day_gone(today), "today")
    number = yield from which_number(
        "Label number?", numbers, numbers.following, f"the letter is worked out, up to {HIGHEST}"
    )
    return Plan(tuple(what), lots, container, place, cells, seeds, sown_on, number)


def seeds_each(cells: int, flat: bool, likely: int) -> Flow[int]:
    """Seeds of a cell; of an open flat all of them are asked for, as one sows it, and shared out over its clumps."""
    if not flat:
        each: int = yield Type("Seeds a cell?", whole_number(1, sow.MOST_SEEDS), str(likely))
        return each
    total: int = yield Type(
        "Seeds in the flat, about?",
        whole_number(1, cells * sow.MOST_SEEDS),
        str(cells * likely),
        f"over its {cells} clumps; for a mixed flat those of one part",
    )
    return max(1, round(total / cells))


def _usual(containers: Sequence[Container]) -> int:
    return next((i for i, container in enumerate(containers) if container.name == "72-cell tray"), 0)


def _room(plan: Plan, choices: Choices) -> Flow[Wish]:
    """The wish; where the place is full, another place or a stack is asked for first."""
    room = next(room for room in choices.places if room.place.id == plan.place_id)
    yield from fit_to_eat(choices, plan.what, plan.lots, plan.container)
    yield from _together(plan, room.place)
    seeds = []
    for kind, lot in zip(plan.what, plan.lots, strict=True):
        seeds.append((yield from enough_seeds(choices, kind, lot, plan.seeds)))
    warnings = [words for crop, _ in plan.what if (words := heat_warning(crop, room.place))]
    if warnings:
        sure: bool = yield Choose(
            f"{'; '.join(dict.fromkeys(warnings))}. Sow it at {room.place.name} all the same?",
            [Option("no, another place", False, "n"), Option("yes", True, "y")],
        )
        if not sure:
            place_id, stack = yield from which_place(choices.places, "Where does it go?", but=room.place.id)
            return _wish(replace(plan, place_id=place_id, stack=stack), seeds)
    if room.full:
        place_id, stack = yield from which_place(
            choices.places, f"{room.place.name} has no slot left. Where does it go?", likely=plan.place_id
        )
        plan = replace(plan, place_id=place_id, stack=stack)
    return _wish(plan, seeds)


def _together(plan: Plan, place: Place) -> Flow[None]:
    """Whether crops of very different speed shall share a flat all the same."""
    words = mixed_warning([crop for crop, _ in plan.what], place)
    if not words:
        return
    sure: bool = yield Choose(
        f"{words}. Sow them in one flat all the same?",
        [Option("no, nothing is sown", False, "n"), Option("yes", True, "y")],
    )
    if not sure:
        raise BadInput("Nothing was sown.", "Sow each in a flat of its own with s.")


def _wish(plan: Plan, seeds: Sequence[int]) -> Wish:
    """The sowing, with so many seeds a cell in each part."""
    parts = tuple(
        sow.SowPart(crop, variety, plan.cells, each, lot, plan.target_id)
        for (crop, variety), lot, each in zip(plan.what, plan.lots, seeds, strict=True)
    )
    wish = sow.Sow(plan.container.id, plan.place_id, parts, plan.sown_on, plan.number)
    return lambda store, stamp: sow.sow(store, stamp, wish, stack=plan.stack)


def resow(page: TrayPage, choices: Choices, today: date) -> Flow[Wish]:
    """Cells that didn't come up are sown again."""
    failed = yield from which_sowing(page)
    cells: int = yield Type(
        f"Sow again how many cells of {page.line.label} {failed.variety}?",
        whole_number(1, failed.growing),
        "",
        "they count as not come up; the first sowing keeps its date",
    )
    kind = yield from which_variety(choices, "With what?", variety_name(failed.crop, failed.variety))
    lot = yield from which_lot(choices, kind, "", today, failed.lot)
    container = next((held for held in choices.containers if held.name == page.line.container), None)
    if container is not None:
        yield from fit_to_eat(choices, [kind], [lot], container)
    seeds = yield from enough_seeds(choices, kind, lot, failed.seeds_per_cell)
    part = sow.SowPart(kind[0], kind[1], cells, seeds, lot)
    return lambda store, stamp: sow.resow(store, stamp, page.line.tray_id, failed.sowing_id, part)
