"""What is in hand now, from the counts on record and what was sown and potted up since."""

from model.ahead import Stocked
from model.rules.stock import in_hand
from model.store import reading, reading_ahead
from model.store.database import Rows


def in_store(rows: Rows) -> list[tuple[Stocked, float]]:
    """Everything that was ever counted, and what is left of it."""
    containers = {container.id: container for container in reading.containers(rows)}
    uses = reading_ahead.uses(rows)
    return [(counted, in_hand(counted, uses, containers)) for counted in reading_ahead.stock(rows)]
