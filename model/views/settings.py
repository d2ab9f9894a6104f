"""The farm's settings."""

from model.store import reading
from model.store.database import Store


def read_settings(store: Store) -> dict[str, str]:
    """Every setting of the farm."""
    with store.reading() as rows:
        return reading.settings(rows)
