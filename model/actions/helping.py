"""What somebody who stands in may enter, and nothing else: looked, watered, left, a note, a call for the grower."""

from contextlib import suppress
from dataclasses import replace

from model.actions import growth, record, walk
from model.actions.desk import Receipt, Stamp, new_uid
from model.errors import AlreadyKept, BadInput, UndoRefused
from model.facts import HELPING, Act, ActKind
from model.rules.helping import HELPS, instead_of
from model.store import reading
from model.store.database import Store


def mark(store: Store, stamp: Stamp, kind: ActKind, tray_id: int) -> Receipt:
    """One tray was looked at, watered or left moist by somebody who stands in; once a day, and the last word holds.

    Raises AlreadyKept where they said so today.
    """
    if kind not in HELPS:
        raise BadInput("A helper doesn't enter that.", "Leave it to the grower, or call.")
    own = _own_marks(store, stamp, tray_id)
    if any(act.kind is kind for act in own):
        raise AlreadyKept(f"You said so of this tray today: {kind}.", "Nothing more was entered.")
    receipt = walk.mark_trays(store, stamp, kind, [tray_id], HELPING)
    # The new word is safe before the old one goes: an end by force between the two leaves both.
    for act in own:
        if instead_of(kind, act.kind):
            with suppress(UndoRefused):
                back = record.take_back(store, replace(stamp, uid=new_uid()), _zone(store), act.entry_id)
                words = f"{receipt.words}; took back that it was {act.kind}"
                receipt = Receipt(back.entry_id, words, receipt.tray_ids)
    return receipt


def _own_marks(store: Store, stamp: Stamp, tray_id: int) -> list[Act]:
    """What the same helper said of a tray on that day, one tray an entry, and didn't take back."""
    with store.reading() as rows:
        dead = reading.dead_entries(rows)
        return [
            act
            for act in reading.acts_of(rows, [tray_id])
            if act.day == stamp.act_day
            and act.who == stamp.who
            and act.text == HELPING
            and act.entry_id not in dead
        ]


def _zone(store: Store) -> str:
    with store.reading() as rows:
        return reading.settings(rows).get("zone", "UTC")


def note(store: Store, stamp: Stamp, tray_id: int, text: str) -> Receipt:
    """Words about a tray."""
    return growth.note(store, stamp, tray_id, text)


def call(store: Store, stamp: Stamp, tray_id: int, text: str) -> Receipt:
    """The grower is wanted at a tray; it stands first for them until one of the house has been at it."""
    return growth.call(store, stamp, tray_id, text)


def take_back(store: Store, stamp: Stamp, zone: str) -> Receipt:
    """Take back one's own last entry of today, where a helper could have made it."""
    return record.undo(store, stamp, zone, only=HELPS)
