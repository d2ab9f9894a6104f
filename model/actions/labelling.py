"""What stands on a label: another number, another tray's, and whether the name on it is certain."""

from collections.abc import Mapping
from datetime import date

from model.actions.desk import Pen, Receipt, Stamp, entry
from model.actions.growth import sowing_of
from model.crops import variety_name
from model.days import say_day, short_day
from model.entered import STRUCK
from model.errors import BadInput
from model.facts import Act, ActKind, Tray
from model.labels import HIGHEST, label
from model.rules.ledger import corrected
from model.store import births, reading
from model.store.database import Store

OF_THE_PLANTS = frozenset({ActKind.SOWN, ActKind.RELABELLED, ActKind.CORRECTED})
"""Acts that belong to their tray whatever its label said."""
NOT_TO_BE_MOVED = frozenset({ActKind.RESOWN, ActKind.POTTED_UP})
"""Acts that made new sowings and trays, on which others stand."""


def relabel(store: Store, stamp: Stamp, numbers: Mapping[int, int]) -> Receipt:
    """Trays get other numbers, two of them each other's if need be; the old number still leads to its tray."""
    with entry(store, stamp) as pen:
        said = [_relabel(pen, tray, numbers[tray.id]) for tray in pen.standing(numbers)]
        pen.say(f"relabelled: {', '.join(said)}")
    return pen.done()


def _relabel(pen: Pen, tray: Tray, new: int) -> str:
    if not 1 <= new <= HIGHEST:
        raise BadInput(f"{new} is no tray number.", f"Use a number from 1 to {HIGHEST}.")
    if new == tray.number:
        raise BadInput(f"That tray is {label(new)} already.", "Give it another number.")
    pen.act(ActKind.RELABELLED, tray.id, field="number", old=str(tray.number), new=str(new))
    return f"{label(tray.number)} is {label(new)}"


def swapped(
    store: Store, stamp: Stamp, tray_ids: tuple[int, int], since: date, *, renumber: bool = False
) -> Receipt:
    """The labels of two trays were swapped on a day: what was entered since then belongs to the other one.

    Each such act is struck where it stands and put down for the other tray, on its own day, by who did it. With
    `renumber` the labels stay where they are, and the trays take each other's numbers; else they were put back.
    """
    with entry(store, stamp) as pen:
        if len(set(tray_ids)) != len(tray_ids):
            raise BadInput("That is one tray.", "Name the other one that its label was swapped with.")
        first, second = pen.standing(tray_ids)
        if since < max(first.made_on, second.made_on):
            raise BadInput(
                f"On {say_day(since)} one of the two wasn't there yet.",
                f"Give {say_day(max(first.made_on, second.made_on))} or a later day.",
            )
        acts = {tray.id: _since(pen, tray, since) for tray in (first, second)}
        if not renumber and not any(acts.values()):
            raise BadInput(f"Nothing was entered for either since {say_day(since)}.", "Give an earlier day.")
        for tray, other in ((first, second), (second, first)):
            for act in acts[tray.id]:
                _reattach(pen, act, tray, other)
        if renumber:
            _relabel(pen, first, second.number)
            _relabel(pen, second, first.number)
        many = sum(map(len, acts.values()))
        pen.say(_said_of_swap(f"{label(first.number)} and {label(second.number)}", many, since, renumber))
    return pen.done()


def _said_of_swap(both: str, many: int, since: date, renumber: bool) -> str:
    """What became of two labels, and of what was entered while they were wrong."""
    entered = f"{'1 entry' if many == 1 else f'{many} entries'} since {short_day(since)}"
    if renumber:
        return f"{both} took each other's numbers, the labels stay; {entered} stay with their label"
    return f"labels of {both} put back; {entered} went to the other tray"


def _since(pen: Pen, tray: Tray, since: date) -> list[Act]:
    """What was entered for a tray since a day and still counts, as it was put right since."""
    acts = births.live_acts(pen.rows, [tray.id], reading.dead_entries(pen.rows))[tray.id]
    counting = corrected(acts, tray.sowings)
    found = [act for act in counting if act.day >= since and act.kind not in OF_THE_PLANTS]
    made = next((act for act in found if act.kind in NOT_TO_BE_MOVED), None)
    if made is not None:
        raise BadInput(
            f"Tray {label(tray.number)} was {made.kind} on {say_day(made.day)}; trays or sowings came of it.",
            "Take that back first, or give a later day.",
        )
    return found


def _reattach(pen: Pen, act: Act, tray: Tray, other: Tray) -> None:
    pen.act(ActKind.CORRECTED, tray.id, of_act_id=act.id, field=STRUCK, old="", new="", day=pen.stamp.today)
    pen.act(
        act.kind,
        other.id,
        day=act.day,
        sowing_id=_same_part(act, tray, other),
        place_id=act.place_id,
        count=act.count,
        score=act.score,
        cause=act.cause,
        text=act.text,
        field=act.field,
        old=act.old,
        new=act.new,
        promise_id=act.promise_id,
        # Where it was entered first tells who did it, and when.
        of_act_id=act.of_act_id or act.id,
    )


def _same_part(act: Act, tray: Tray, other: Tray) -> int | None:
    """The sowing of the other tray that an act on a sowing was about."""
    if act.sowing_id is None:
        return None
    part = next((sowing.part for sowing in tray.sowings if sowing.id == act.sowing_id), None)
    same = [sowing.id for sowing in other.sowings if len(other.sowings) == 1 or sowing.part == part]
    if not same or len(tray.sowings) != len(other.sowings):
        raise BadInput(
            f"{label(tray.number)} holds {len(tray.sowings)} sowings and {label(other.number)} {len(other.sowings)}: "
            f"whose {act.kind} of {say_day(act.day)} is can't be told.",
            "Strike that one with C first, and enter it anew.",
        )
    return same[0]


def doubt(store: Store, stamp: Stamp, tray_id: int, sowing_id: int | None, text: str = "") -> Receipt:
    """Two varieties may have been mixed up: which one this is isn't certain any more."""
    with entry(store, stamp) as pen:
        (tray,) = pen.standing([tray_id])
        sowing = sowing_of(tray, sowing_id)
        pen.act(ActKind.UNCERTAIN, tray_id, sowing_id=sowing.id, text=text or None)
        pen.say(f"variety uncertain: {label(tray.number)} {variety_name(sowing.crop, sowing.variety)}")
    return pen.done()
