"""What somebody who stands in may enter, and nothing else: looked, watered, left, a note, a call for the grower."""

from model.actions import growth, record
from model.actions.desk import Receipt, Stamp, entry
from model.actions.twice import MARKS
from model.actions.walk import own_acts
from model.entered import STRUCK
from model.errors import BadInput, SaidAlready
from model.facts import HELPING, ActKind
from model.labels import label
from model.rules.helping import HELPS, instead_of
from model.store.database import Store


def mark(store: Store, stamp: Stamp, kind: ActKind, tray_id: int) -> Receipt:
    """One tray was looked at, watered or left moist by somebody who stands in; once a day, and the last word holds.

    The opposite word is struck in the same entry, so that taking the new one back brings it back. Raises SaidAlready
    where they said so today.
    """
    if kind not in HELPS & MARKS:
        raise BadInput("A helper doesn't enter that.", "Leave it to the grower, or call.")
    with entry(store, stamp) as pen:
        (tray,) = pen.standing([tray_id])
        own = [act for act in own_acts(pen, [tray]) if act.text == HELPING]
        if any(act.kind is kind for act in own):
            raise SaidAlready(f"You said so of this tray today: {kind}.", "Nothing more was entered.")
        words = f"{kind} {label(tray.number)}"
        for act in own:
            if instead_of(kind, act.kind):
                pen.act(ActKind.CORRECTED, tray_id, of_act_id=act.id, field=STRUCK, day=stamp.today)
                words += f" instead of {act.kind}"
        pen.act(kind, tray_id, text=HELPING)
        pen.say(words)
    return pen.done()


def note(store: Store, stamp: Stamp, tray_id: int, text: str) -> Receipt:
    """Words about a tray."""
    return growth.note(store, stamp, tray_id, text)


def call(store: Store, stamp: Stamp, tray_id: int, text: str) -> Receipt:
    """The grower is wanted at a tray; it stands first for them until one of the house has been at it."""
    return growth.call(store, stamp, tray_id, text)


def take_back(store: Store, stamp: Stamp, zone: str) -> Receipt:
    """Take back one's own last entry of today, where a helper could have made it."""
    return record.undo(store, stamp, zone, only=HELPS)
