"""Tray numbers: one number stands on one living tray."""

from datetime import date

from model.errors import BadInput
from model.labels import HIGHEST, label
from model.numbering import about, next_number
from model.store import reading
from model.store.database import Rows


def free_number(rows: Rows, today: date, wanted: int | None = None) -> int:
    """The number asked for if no living tray carries it, else the next that is on no label."""
    following = next_number(rows, about(rows, today))
    if wanted is None:
        if not following:
            raise BadInput("Every tray number is in use.", "Retire trays that are gone.")
        return following
    if not 1 <= wanted <= HIGHEST:
        raise BadInput(f"{wanted} is no tray number.", f"Use a number from 1 to {HIGHEST}.")
    if any(tray.number == wanted for tray in reading.standing_trays(rows)):
        raise BadInput(
            f"Tray {label(wanted)} is still standing.", f"The next free number is {label(following)}."
        )
    return wanted
