"""Deciding between two acts that two copies of the record hold; a decision is an entry and can be taken back."""

from enum import StrEnum

from model.actions.desk import Receipt, Stamp, entry
from model.entered import STRUCK, ClashKind
from model.errors import BadInput
from model.facts import Act, ActKind
from model.rules.clash_words import ENDS, said
from model.store import reading
from model.store.database import Store
from model.store.reading_clashes import OpenClash, open_clashes
from model.store.set_aside import KEPT, settle, trays_at_odds


class Choice(StrEnum):
    """Which of two acts counts."""

    FIRST = "the first"
    LATER = "the later"
    BOTH = "both"


MEANWHILE = dict.fromkeys((ClashKind.MOVED, ClashKind.CORRECTED, ClashKind.BACK), Choice.LATER)
"""What holds while a clash is open, where it isn't the first."""


def decide(store: Store, stamp: Stamp, clash_id: int, choice: Choice) -> Receipt:
    """Settle one clash. Where both are to count there must be enough; the fold refuses what there isn't."""
    with entry(store, stamp) as pen:
        clash = next((found for found in open_clashes(pen.rows) if found.id == clash_id), None)
        if clash is None:
            raise BadInput("That is decided already.", "Look at the list again.")
        # What decides nothing of its own decides what holds meanwhile.
        if not ENDS[clash.what][list(Choice).index(choice)]:
            choice = MEANWHILE.get(clash.what, Choice.FIRST)
        settle(pen.rows, clash_id, pen.entry_id)
        # With an act that makes trays its whole entry is in or out.
        pen.touched |= {clash.tray_id, *trays_at_odds(pen.rows, pen.entry_id)}
        for act, field in _taken_out(clash, choice):
            pen.act(ActKind.CORRECTED, act.tray_id, of_act_id=act.id, field=field, day=stamp.today)
        names = {place.id: place.name for place in reading.places(pen.rows)}
        zone = reading.settings(pen.rows).get("zone", "UTC")
        told = said(clash.what, clash.number, clash.acts, names, zone).partition(";")[0]
        end = ENDS[clash.what][list(Choice).index(choice)]
        pen.say(f"decided, {end}: {told}")
    return pen.done()


def _taken_out(clash: OpenClash, choice: Choice) -> list[tuple[Act, str]]:
    """Acts that a choice takes out of the reckoning, or keeps in it though they were taken back."""
    first, later = clash.first, clash.later
    match clash.what, choice:
        case ((ClashKind.MOVED | ClashKind.MORE | ClashKind.CORRECTED), Choice.FIRST) if later:
            return [(later, STRUCK)]
        case ((ClashKind.MORE | ClashKind.CORRECTED | ClashKind.GONE), Choice.LATER) if first:
            return [(first, STRUCK)]
        case (ClashKind.BACK, Choice.LATER) if first:
            return [(first, KEPT)]
    return []
