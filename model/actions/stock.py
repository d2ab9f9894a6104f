"""Counting the store, and washing what goes back into it."""

from model.actions.desk import Pen, Receipt, Stamp, entry
from model.actions.shift import container_of
from model.ahead import StockKind
from model.errors import BadInput
from model.instock import in_store
from model.store import reading
from model.store.database import Store

MOST = 1_000_000
"""More of a thing than any store of this kind holds: a slip of the finger. Ours."""


def count_mix(store: Store, stamp: Stamp, litres: float) -> Receipt:
    """Litres of mix in hand."""
    with entry(store, stamp) as pen:
        _keep(pen, StockKind.MIX, litres)
        pen.say(f"counted: {litres:g} L of mix")
    return pen.done()


def count_containers(store: Store, stamp: Stamp, container_id: int, count: int) -> Receipt:
    """Clean trays, flats or pots of one kind in hand."""
    with entry(store, stamp) as pen:
        container = container_of(pen, container_id)
        _keep(pen, StockKind.CONTAINER, count, container_id=container.id)
        pen.say(f"counted: {count} x {container.name}, clean")
    return pen.done()


def count_seeds(store: Store, stamp: Stamp, lot_id: int, seeds: int) -> Receipt:
    """Seeds of one lot in hand."""
    with entry(store, stamp) as pen:
        name = next((lot.name for lot in reading.lots(pen.rows) if lot.id == lot_id), None)
        if name is None:
            raise BadInput("That lot isn't on record.", "Add it with G first.")
        _keep(pen, StockKind.SEED, seeds, lot_id=lot_id)
        pen.say(f"counted: {seeds} seeds of {name}")
    return pen.done()


def wash(store: Store, stamp: Stamp, container_id: int, count: int) -> Receipt:
    """Trays, flats or pots were washed, and go back into the store beside the clean ones."""
    if count < 1:
        raise BadInput(f"{count} can't be washed.", "Give a whole number from 1 up.")
    with entry(store, stamp) as pen:
        container = container_of(pen, container_id)
        clean = sum(
            left
            for counted, left in in_store(pen.rows)
            if counted.what is StockKind.CONTAINER and counted.container_id == container.id
        )
        _keep(pen, StockKind.CONTAINER, clean + count, container_id=container.id)
        pen.say(f"washed {count} x {container.name}")
    return pen.done()


def _keep(
    pen: Pen, what: StockKind, amount: float, container_id: int | None = None, lot_id: int | None = None
) -> None:
    from model.store import tables

    if not 0 <= amount <= MOST:
        raise BadInput(f"{amount:g} can't be in hand.", f"Give a number from 0 to {MOST}.")
    pen.add(
        tables.Stock(
            entry_id=pen.entry_id,
            day=pen.stamp.act_day,
            what=what,
            container_id=container_id,
            lot_id=lot_id,
            amount=amount,
        )
    )
