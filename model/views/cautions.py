"""Cautions that nobody has seen yet this season."""

from datetime import date

from model.crops.cautions import Caution, load_cautions
from model.store import reading_ahead
from model.store.database import Store


def waiting(store: Store, step: str, today: date) -> tuple[Caution, ...]:
    """Cautions of a step that nobody has seen this year."""
    with store.reading() as rows:
        seen = reading_ahead.cautions(rows, today.year)
    return tuple(caution for caution in load_cautions() if caution.step == step and caution.key not in seen)
