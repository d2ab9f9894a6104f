"""What is in hand now, from the counts on record and what was sown and potted up since."""

from model.ahead import Stocked
from model.rules.stock import dirty, in_hand
from model.store import reading, reading_ahead
from model.store.database import Rows


def in_store(rows: Rows) -> list[tuple[Stocked, float]]:
    """Everything that was ever counted, and what is left of it."""
    containers = {container.id: container for container in reading.containers(rows)}
    uses = reading_ahead.uses(rows)
    return [(counted, in_hand(counted, uses, containers)) for counted in reading_ahead.stock(rows)]


def dirty_boxes(rows: Rows) -> dict[int, int]:
    """Of each kind of container that was ever counted, how many stand empty and unwashed."""
    containers = {container.id: container for container in reading.containers(rows)}
    uses, emptied = reading_ahead.uses(rows), reading_ahead.emptied(rows)
    counts: dict[int, list[Stocked]] = {}
    for counted in reading_ahead.counts(rows):
        if counted.container_id is not None:
            counts.setdefault(counted.container_id, []).append(counted)
    return {box: dirty(found, uses, emptied, containers) for box, found in counts.items()}
