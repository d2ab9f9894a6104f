"""What is left of a count: by hand, with the day, the order of entry and the kind of container counted in."""

from datetime import date

import pytest

from model.ahead import Stocked, StockKind, Use
from model.rules.stock import containers_of, filled_litres, in_hand
from tests.builders import TODAY, day
from tests.rules.builders import CELLS_72, CONTAINERS, FLAT, POT_10

LOT = 7


def counted(
    what: StockKind, amount: float, container_id: int | None = None, lot_id: int | None = None
) -> Stocked:
    """A count of today, entry 100."""
    return Stocked(what, container_id, lot_id, TODAY, amount, entry_id=100)


def use(container_id: int | None, cells: int, seeds: int = 0, on: date = TODAY, entry_id: int = 101) -> Use:
    """A sowing of the lot after the count."""
    return Use(entry_id, on, container_id, LOT, cells, seeds)


def test_a_tray_is_filled_whole_and_pots_one_by_one() -> None:
    # By hand: 72 x 43 mL x 1.15 = 3.56 L, also where 40 cells are sown; 10 pots x 484 mL x 1.15 = 5.57 L;
    # a flat 7.42 L x 1.15 = 8.53 L, however many plants are sown in it.
    assert filled_litres(CELLS_72, 40) == pytest.approx(3.56, abs=0.005)
    assert filled_litres(POT_10, 10) == pytest.approx(5.57, abs=0.005)
    assert filled_litres(FLAT, 300) == pytest.approx(8.53, abs=0.005)
    assert (containers_of(CELLS_72, 40), containers_of(POT_10, 10), containers_of(FLAT, 300)) == (1, 10, 1)


def test_each_count_loses_only_what_was_taken_of_it() -> None:
    uses = [use(CELLS_72.id, 72, 144), use(POT_10.id, 10), use(None, 12, 24)]
    mix = counted(StockKind.MIX, 50)
    trays = counted(StockKind.CONTAINER, 5, CELLS_72.id)
    pots = counted(StockKind.CONTAINER, 45, POT_10.id)
    seeds = counted(StockKind.SEED, 500, lot_id=LOT)
    # By hand: 50 - 3.56 - 5.57; a resowing fills no tray but takes its seed, 144 + 24.
    assert in_hand(mix, uses, CONTAINERS) == pytest.approx(40.87, abs=0.01)
    assert in_hand(trays, uses, CONTAINERS) == 4
    assert in_hand(pots, uses, CONTAINERS) == 35
    assert in_hand(seeds, uses, CONTAINERS) == 500 - 168
    assert in_hand(counted(StockKind.SEED, 500, lot_id=LOT + 1), uses, CONTAINERS) == 500


@pytest.mark.parametrize(
    ("on", "entry_id", "left"),
    [
        (TODAY, 101, 4),
        (day(1), 101, 4),
        # Sown before the day of the count, though entered after it: it was gone when somebody counted.
        (day(-1), 101, 5),
        # Entered before the count of the same day.
        (TODAY, 99, 5),
    ],
)
def test_what_was_gone_when_it_was_counted_is_not_taken_twice(on: date, entry_id: int, left: int) -> None:
    used = use(CELLS_72.id, 72, on=on, entry_id=entry_id)
    assert in_hand(counted(StockKind.CONTAINER, 5, CELLS_72.id), [used], CONTAINERS) == left


def test_there_is_never_less_than_nothing() -> None:
    uses = [use(CELLS_72.id, 72)] * 3
    assert in_hand(counted(StockKind.CONTAINER, 2, CELLS_72.id), uses, CONTAINERS) == 0
