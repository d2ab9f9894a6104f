"""What somebody who stands in may enter, and nothing else: looked, watered, left, a note, a call for the grower."""

from model.actions import growth, record, walk
from model.actions.desk import Receipt, Stamp
from model.errors import BadInput
from model.facts import HELPING, ActKind
from model.rules.helping import HELPS
from model.store.database import Store


def mark(store: Store, stamp: Stamp, kind: ActKind, tray_id: int) -> Receipt:
    """One tray was looked at, watered or left moist by somebody who stands in."""
    if kind not in HELPS:
        raise BadInput("A helper doesn't enter that.", "Leave it to the grower, or call.")
    return walk.mark_trays(store, stamp, kind, [tray_id], HELPING)


def note(store: Store, stamp: Stamp, tray_id: int, text: str) -> Receipt:
    """Words about a tray."""
    return growth.note(store, stamp, tray_id, text)


def call(store: Store, stamp: Stamp, tray_id: int, text: str) -> Receipt:
    """The grower is wanted at a tray; it stands first for them until one of the house has been at it."""
    return growth.call(store, stamp, tray_id, text)


def take_back(store: Store, stamp: Stamp, zone: str) -> Receipt:
    """Take back one's own last entry of today, where a helper could have made it."""
    return record.undo(store, stamp, zone, only=HELPS)
