"""Questions about the store: what was counted, what was washed, and a bleach bath."""

from collections.abc import Callable, Sequence

from model.actions import stock
from model.errors import BadInput
from model.facts import Container
from model.units import Measure, parse_litres
from model.views.bleach import USUAL_BATH
from model.views.choices import Choices
from model.views.stock import LotNamed, StockLine
from tui.dialogs.ask import Choose, Flow, Option, Type
from tui.dialogs.flows import MOST, Wish, whole_number

MIX, SEED = "mix", "seed"


def count(choices: Choices, lots: tuple[LotNamed, ...]) -> Flow[Wish]:
    """Mix, clean containers of a kind, or seeds of a lot."""
    options = [Option("mix", MIX, "m"), Option("seed of a lot", SEED, "s")]
    options += [Option(box.name, box) for box in choices.containers]
    what: Container | str = yield Choose("Counted what?", options)
    measure = Measure(choices.settings.get("measure", Measure.METRIC))
    if what == MIX:
        litres: float = yield Type(
            "How much mix is there?", lambda text: parse_litres(text, measure), "", "like 60 or 60l, 2ft3"
        )
        return lambda store, stamp: stock.count_mix(store, stamp, litres)
    if isinstance(what, Container):
        box = what
        count: int = yield Type(f"How many clean {box.name}?", whole_number(0, MOST))
        return lambda store, stamp: stock.count_containers(store, stamp, box.id, count)
    if not lots:
        raise BadInput("No seed lot is on record.", "Add one with G.")
    lot: LotNamed = yield Choose("Seed of which lot?", [Option(lot.name, lot) for lot in lots])
    seeds: int = yield Type(
        f"How many seeds of {lot.name}?", whole_number(0, MOST), "", "about is good enough"
    )
    return lambda store, stamp: stock.count_seeds(store, stamp, lot.lot_id, seeds)


def washed(choices: Choices, lines: Sequence[StockLine]) -> Flow[Wish]:
    """How many containers of a kind were washed; asked about where fewer stand dirty."""
    boxes, by_box = choices.containers, {line.container_id: line for line in lines if line.container_id}
    likely = next((line.container_id for line in lines if line.short and line.container_id), None)
    at = next((i for i, box in enumerate(boxes) if box.id == likely), 0)
    box: Container = yield Choose("Washed what?", [Option(box.name, box) for box in boxes], at)
    count: int = yield Type(f"How many {box.name}?", whole_number(1, MOST))
    line = by_box.get(box.id)
    if line is not None and line.in_hand is not None and count > line.dirty:
        sure: bool = yield Choose(
            f"{line.dirty or 'No'} dirty {box.name}{'s' if line.dirty != 1 else ''} on record since they were "
            f"counted. Were {count} more washed? {line.in_hand + count:.0f} are clean then.",
            [Option("no, nothing is entered", False, "n"), Option("yes", True, "y")],
        )
        if not sure:
            raise BadInput("Nothing was entered.", "c counts the clean ones anew.")
    return lambda store, stamp: stock.wash(store, stamp, box.id, count)


def bleach() -> Flow[tuple[float, float, float]]:
    """Strength on the label, strength of the bath, and its litres."""
    label: float = yield Type(
        "Sodium hypochlorite on the label, %:", _above_nothing("%"), "", "like 5.25 or 8.25"
    )
    bath: float = yield Type(
        "Wanted in the bath, %:", _above_nothing("%"), f"{USUAL_BATH:g}", "as the label has it for trays"
    )
    litres: float = yield Type("How many litres?", _above_nothing("L"), "10")
    return label, bath, litres


def _above_nothing(unit: str) -> Callable[[str], float]:
    def parse(text: str) -> float:
        try:
            value = float(text.strip().removesuffix("%").replace(",", "."))
        except ValueError:
            value = 0.0
        if not 0.0 < value < MOST:
            raise BadInput(f"{text.strip()!r} is no figure in {unit}.", "Type a number above 0, like 5.25.")
        return value

    return parse
