"""Tray numbers: one number stands on one living tray."""

from model.errors import BadInput
from model.labels import HIGHEST, label
from model.store import reading
from model.store.database import Rows


def free_number(rows: Rows, wanted: int | None = None) -> int:
    """The number asked for if no living tray carries it, else the one after the newest tray's."""
    taken = {tray.number for tray in reading.standing_trays(rows)}
    if wanted is None:
        return next_number(rows, taken)
    if not 0 <= wanted <= HIGHEST:
        raise BadInput(f"{wanted} is no tray number.", f"Use a number from 1 to {HIGHEST}.")
    if wanted in taken:
        raise BadInput(
            f"Tray {label(wanted)} is still standing.",
            f"The next free number is {label(next_number(rows, taken))}.",
        )
    return wanted


def next_number(rows: Rows, taken: set[int]) -> int:
    """The number after the newest tray's; after 9999 it begins again at 1."""
    newest = rows("SELECT number FROM tray ORDER BY id DESC LIMIT 1")
    number = int(newest[0][0]) if newest else 0
    for step in range(1, HIGHEST + 1):
        candidate = (number + step - 1) % HIGHEST + 1
        if candidate not in taken:
            return candidate
    raise BadInput("Every tray number is in use.", "Retire trays that are gone.")
