"""Deciding between two acts that two copies of the record hold; a decision is an entry and can be taken back."""

from model.actions.desk import Pen, Receipt, Stamp, entry
from model.entered import STRUCK, ClashKind
from model.errors import BadInput, NotEnough
from model.facts import Act, ActKind
from model.rules.clash_words import Choice, Teller, asks, decided, decision, ends
from model.store.database import Store
from model.store.reading_clashes import OpenClash, names, open_clashes, settled_clashes
from model.store.set_aside import KEPT, settle, trays_at_odds


def decide(store: Store, stamp: Stamp, clash_id: int, choice: Choice) -> Receipt:
    """Settle one clash. Where both are to count there must be enough; the fold refuses what there isn't."""
    try:
        with entry(store, stamp) as pen:
            clash = _to_decide(pen, clash_id)
            end = ends(clash.what, clash.acts).get(choice)
            if end is None:
                raise BadInput(f"{choice} decides nothing here.", f"Press {asks(clash.what, clash.acts)}.")
            settle(pen.rows, clash_id, pen.entry_id)
            # With an act that makes trays its whole entry is in or out.
            pen.touched |= {clash.tray_id, *trays_at_odds(pen.rows, pen.entry_id)}
            for act, field in _taken_out(clash, choice):
                pen.act(ActKind.CORRECTED, act.tray_id, of_act_id=act.id, field=field, day=stamp.today)
            pen.say(decision(end, Teller(*names(pen.rows)).said(clash.what, clash.number, clash.acts)))
    except NotEnough as error:
        raise NotEnough(
            error.what_happened, "Enter opens the tray: C corrects a count, k counts it. Then decide."
        ) from error
    return pen.done()


def _to_decide(pen: Pen, clash_id: int) -> OpenClash:
    for clash in open_clashes(pen.rows):
        if clash.id == clash_id:
            return clash
    for settled in settled_clashes(pen.rows):
        if settled.clash.id == clash_id:
            raise BadInput(
                f"That is decided already, by {settled.entry.who}: {decided(settled.entry.words)}.",
                f"{settled.entry.who} takes it back with u, or later among the day's entries (j).",
            )
    raise BadInput(
        "There is nothing left to decide there: one of the two was taken back.", "Look at the list again."
    )


STRUCK_OF_TWO = frozenset(
    {ClashKind.MORE, ClashKind.CORRECTED, ClashKind.GIVEN, ClashKind.NIGHT, ClashKind.TWICE}
)
"""Clashes of which whichever act doesn't count is struck."""


def _taken_out(clash: OpenClash, choice: Choice) -> list[tuple[Act, str]]:
    """Acts that a choice takes out of the reckoning, or keeps in it though they were taken back."""
    first, later, what = clash.first, clash.later, clash.what
    if choice is Choice.FIRST and later and what in {*STRUCK_OF_TWO, ClashKind.MOVED}:
        return [(later, STRUCK)]
    if choice is Choice.LATER and first and what in {*STRUCK_OF_TWO, ClashKind.GONE}:
        return [(first, STRUCK)]
    if choice is Choice.LATER and first and what is ClashKind.BACK:
        return [(first, KEPT)]
    return []
