"""What is in hand: what was counted, less what was used since."""

from collections.abc import Collection, Iterable, Mapping, Sequence

from model.ahead import Stocked, StockKind, Use
from model.facts import Container, ContainerKind
from model.science.quantities import SETTLING

ML_A_LITRE = 1000.0
"""Millilitres of a litre [mL/L]."""


def filled_litres(container: Container, cells: int) -> float:
    """Mix that filling takes, settling counted: a whole tray or flat, or so many pots [L]."""
    if container.kind is ContainerKind.OPEN_FLAT:
        volume = container.volume_ml
    else:
        volume = container.volume_ml * (cells if container.kind is ContainerKind.POT else container.cells)
    return volume * (1.0 + SETTLING.value) / ML_A_LITRE


def containers_of(container: Container, cells: int) -> int:
    """How many are taken out of the store: pots are counted one by one, trays and flats whole."""
    return cells if container.kind is ContainerKind.POT else 1


def in_hand(counted: Stocked, uses: Iterable[Use], containers: Mapping[int, Container]) -> float:
    """What is left of a count [L, containers or seeds]: never less than nothing.

    What was entered before the count, or is dated before its day, was gone when it was counted.
    """
    since = [use for use in uses if use.entry_id > counted.entry_id and use.day >= counted.day]
    filled = [(containers[use.container_id], use.cells) for use in since if use.container_id is not None]
    if counted.what is StockKind.MIX:
        used: float = sum(filled_litres(box, cells) for box, cells in filled)
    elif counted.what is StockKind.CONTAINER:
        used = sum(containers_of(box, cells) for box, cells in filled if box.id == counted.container_id)
    else:
        used = sum(use.seeds for use in since if use.lot_id == counted.lot_id)
    return max(0.0, counted.amount - used)


def dirty(
    counts: Sequence[Stocked],
    uses: Collection[Use],
    emptied: Collection[Use],
    containers: Mapping[int, Container],
) -> int:
    """Containers of one kind that were emptied since the first count and not washed since; `counts` in order of entry.

    A count that finds more clean ones than the one before left was washed for them. What stood dirty at the first
    count isn't known.
    """
    found = 0.0
    for number, counted in enumerate(counts):
        after = counts[number + 1] if number + 1 < len(counts) else None
        mine = [use for use in emptied if use.container_id == counted.container_id and use.day >= counted.day]
        found += sum(
            containers_of(containers[use.container_id], use.cells)
            for use in mine
            if use.container_id is not None
            and counted.entry_id < use.entry_id
            and (after is None or use.entry_id <= after.entry_id)
        )
        if after is not None:
            left = in_hand(counted, [use for use in uses if use.entry_id < after.entry_id], containers)
            found = max(0.0, found - max(0.0, after.amount - left))
    return round(found)
