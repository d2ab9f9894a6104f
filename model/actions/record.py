"""Taking back, bringing back and correcting. Nothing is erased: each of these is an entry of its own."""

from collections.abc import Collection
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta

from model.actions.desk import Pen, Receipt, Stamp, entry
from model.actions.growth import a_look, a_touch, sowing_of
from model.actions.shift import at_least_one, container_of
from model.actions.sow import refuse_treated, seeds_a_cell, variety_of
from model.crops import said_variety
from model.days import farm_day, say_day
from model.entered import MERGE, STRUCK
from model.errors import BadInput, NotEnough, UndoRefused
from model.facts import Act, ActKind, ContainerKind, Sowing, Tray
from model.labels import label
from model.rules.balance import cells_sown
from model.rules.ledger import COUNTS, correctable
from model.store import births, reading
from model.store.database import Store
from model.store.reading import EntryRow
from model.store.reading_packets import trays_sown_from
from model.store.set_aside import trays_at_odds
from model.text import clean


def undo(store: Store, stamp: Stamp, zone: str, only: Collection[ActKind] | None = None) -> Receipt:
    """Take back the person's newest entry of today that still stands; `only` where all of it is of some kinds."""
    return _turn(store, stamp, zone, back=True, only=only)


def redo(store: Store, stamp: Stamp, zone: str) -> Receipt:
    """Bring back what was taken back last, as long as nothing new was entered since."""
    return _turn(store, stamp, zone, back=False)


def take_back(store: Store, stamp: Stamp, zone: str, entry_id: int) -> Receipt:
    """Take back one entry that the person made today, the newest or not, where no later entry stands on it."""
    return _turn(store, stamp, zone, back=True, entry_id=entry_id)


def bring_back(store: Store, stamp: Stamp, zone: str, entry_id: int) -> Receipt:
    """Bring back one entry that the person took back today."""
    return _turn(store, stamp, zone, back=False, entry_id=entry_id)


def _turn(
    store: Store,
    stamp: Stamp,
    zone: str,
    *,
    back: bool,
    entry_id: int | None = None,
    only: Collection[ActKind] | None = None,
) -> Receipt:
    chosen = None
    try:
        # Taking back is done now, whatever time is told of what is entered.
        with entry(store, replace(stamp, told_at=None)) as pen:
            mine, dead = _of_the_day(pen, zone), reading.dead_entries(pen.rows)
            if entry_id is not None:
                chosen = _asked_for(pen, mine, entry_id, dead, back=back)
            else:
                chosen = _newest(mine, dead) if back else _last_undone(mine, dead)
            if chosen is None:
                raise UndoRefused(
                    f"There is nothing of {stamp.who}'s today to {'take' if back else 'bring'} back.",
                    "C at the tray corrects the record of an older entry, or of somebody else's.",
                )
            if only is not None:
                _refuse_others(pen, chosen, only)
            (_refuse_if_stood_on if back else _refuse_if_gone)(pen, chosen.id)
            pen.undoes = _tip(chosen, mine).id
            pen.touched |= _trays_of(reading.acts_in(pen.rows, chosen.id))
            pen.touched |= trays_at_odds(pen.rows, chosen.id) | trays_sown_from(pen.rows, chosen.id)
            pen.say(f"{'took back' if back else 'brought back'}: {chosen.words}")
    except (BadInput, NotEnough) as error:
        words = chosen.words if chosen else ""
        raise UndoRefused(
            f"{words!r} can't be {'taken' if back else 'brought'} back: {error.what_happened}",
            "Take back the later entries first, or correct the record."
            if back
            else "Bring back first what it stands on.",
        ) from error
    return pen.done()


def _of_the_day(pen: Pen, zone: str) -> list[EntryRow]:
    """The person's entries of today, but for the one that is being written."""
    # The day on which they were entered, which isn't the day they are for when a round is entered later.
    today, who = farm_day(pen.stamp.at, zone), pen.stamp.who
    # Nowhere does a day begin more than a day before it begins in Greenwich.
    since = datetime.combine(today - timedelta(days=1), time.min, UTC)
    return [
        row
        for row in reading.entries(pen.rows, since)
        if row.who == who and farm_day(row.at, zone) == today and row.id != pen.entry_id
    ]


def _asked_for(
    pen: Pen, mine: list[EntryRow], entry_id: int, dead: frozenset[int], *, back: bool
) -> EntryRow:
    """An entry of the person's today that stands, or that is taken back."""
    chosen = next((row for row in mine if row.id == entry_id and row.undoes is None), None)
    if chosen is None:
        raise _of_another(pen, entry_id)
    if (entry_id in dead) is back:
        raise UndoRefused(
            f"{chosen.words!r} {'is taken back already' if back else 'stands'}.", "Nothing needs to be done."
        )
    return chosen


def _of_another(pen: Pen, entry_id: int) -> UndoRefused:
    """Why an entry isn't the person's to take back, and the key that puts it right."""
    made_by = next((row.who for row in reading.entries(pen.rows) if row.id == entry_id), "")
    if made_by == MERGE:
        return UndoRefused(
            "A merge made that entry, no person.", "! shows what two copies are at odds about; decide there."
        )
    tray_ids = _trays_of(reading.acts_in(pen.rows, entry_id))
    trays = [label(tray.number) for tray in reading.trays(pen.rows, sorted(tray_ids)).values()]
    way = f"C at tray {trays[0]} corrects the record" if trays else "Enter what is right anew"
    if made_by == pen.stamp.who:
        return UndoRefused(f"{made_by} made that entry on an earlier day.", f"{way}.")
    return UndoRefused(
        f"{made_by or 'Nobody'} made that entry, not {pen.stamp.who}.",
        f"{way}, or {made_by} takes it back (y says who is on).",
    )


def _trays_of(acts: Collection[Act]) -> set[int]:
    return {act.tray_id for act in acts if act.tray_id is not None}


def _newest(mine: list[EntryRow], dead: frozenset[int]) -> EntryRow | None:
    return next((row for row in reversed(mine) if row.undoes is None and row.id not in dead), None)


def _last_undone(mine: list[EntryRow], dead: frozenset[int]) -> EntryRow | None:
    """The act whose undo is the newest entry that still stands, if nothing new came after it."""
    by_id = {row.id: row for row in mine}
    for row in reversed(mine):
        if row.undoes is None:
            return None
        root = row
        while root.undoes is not None:
            if root.undoes not in by_id:
                return None
            root = by_id[root.undoes]
        if root.id in dead:
            return root
    return None


def _tip(chosen: EntryRow, mine: list[EntryRow]) -> EntryRow:
    """The end of the chain of undos that hangs on an entry: the one that is to be undone next."""
    by_target = {row.undoes: row for row in mine if row.undoes is not None}
    tip = chosen
    while tip.id in by_target:
        tip = by_target[tip.id]
    return tip


def _refuse_others(pen: Pen, chosen: EntryRow, only: Collection[ActKind]) -> None:
    """Refuse an entry that is more than acts of some kinds: a reading, a tray that was sown."""
    acts = reading.acts_in(pen.rows, chosen.id)
    one_tray = len(_trays_of(acts)) == 1
    # A word strikes the opposite one at its own tray; a strike alone, or for another tray's sake, is a correction.
    kinds = {act.kind for act in acts if not (one_tray and act.field == STRUCK)}
    if not kinds or not kinds <= set(only):
        raise UndoRefused(f"{chosen.words!r} is an entry of the grower's.", "The grower takes it back.")


def _refuse_if_stood_on(pen: Pen, entry_id: int) -> None:
    """Refuse to take back what later entries stand on: a tray, a sowing, an act put right, a line of the plan."""
    made_trays, made_sowings = births.made_by(pen.rows, entry_id)
    dead = reading.dead_entries(pen.rows)
    for tray_id in made_trays:
        later = [a for a in reading.acts_of(pen.rows, [tray_id]) if a.entry_id not in {entry_id, *dead}]
        _refuse(later)
    for act in _acts_on_sowings(pen, made_sowings):
        if act.entry_id not in {entry_id, *dead}:
            _refuse([act])
    for words in births.standing_on(pen.rows, entry_id, dead):
        raise UndoRefused(f"{words!r} stands on it.", "Take that back first, or correct the record.")


def _refuse_if_gone(pen: Pen, entry_id: int) -> None:
    """Refuse to bring back what was done to a tray or sowing that was itself taken back since."""
    made_trays, made_sowings = births.made_by(pen.rows, entry_id)
    acts = reading.acts_in(pen.rows, entry_id)
    for tray_id in _trays_of(acts) - set(made_trays):
        known = {sowing.id for sowing in pen.tray(tray_id).sowings} | set(made_sowings)
        if any(act.tray_id == tray_id and act.sowing_id not in {None, *known} for act in acts):
            raise BadInput("That sowing isn't on record.", "Bring it back first.")


def _acts_on_sowings(pen: Pen, sowing_ids: list[int]) -> list[Act]:
    found = reading.rows_in(pen.rows, "SELECT DISTINCT entry_id FROM act WHERE sowing_id IN ({})", sowing_ids)
    return [act for (i,) in found for act in reading.acts_in(pen.rows, i) if act.sowing_id in sowing_ids]


def _refuse(later: list[Act]) -> None:
    if later:
        raise UndoRefused(
            f"It was {later[0].kind} on {say_day(later[0].day)} since.",
            "Take back the later entries first, or correct the record.",
        )


def correct_sowing(
    store: Store, stamp: Stamp, tray_id: int, sowing_id: int | None, field: str, new: str
) -> Receipt:
    """Put right what was entered at sowing: sown_on, cells, seeds_per_cell or variety ("crop/variety").

    The old value stays in the story; every date that hangs on it moves.
    """
    with entry(store, stamp) as pen:
        tray = pen.tray(tray_id)
        sowing = sowing_of(tray, sowing_id)
        if sowing.from_parent:
            raise BadInput(
                "These plants were potted up.", "Correct the tray they were sown in; this one will follow."
            )
        new = _of_sowing(pen, tray, sowing, field, new)
        old = f"{sowing.crop}/{sowing.variety}" if field == "variety" else str(getattr(sowing, field))
        pen.act(
            ActKind.CORRECTED, tray_id, sowing_id=sowing.id, field=field, old=old, new=new, day=stamp.today
        )
        was, now = (said_variety(text) if field == "variety" else text for text in (old, new))
        pen.say(f"corrected {label(tray.number)}: {field.replace('_', ' ')} {was} is {now}")
    return pen.done()


def _of_sowing(pen: Pen, tray: Tray, sowing: Sowing, field: str, new: str) -> str:
    """What a sowing is to have instead, as it is kept; refused where it can't be."""
    match field:
        case "sown_on":
            return _past_day(new, pen.stamp.today)
        case "cells":
            at_least_one(_whole(new))
            _refuse_too_many_cells(pen, tray, _whole(new) - sowing.cells)
            return str(_whole(new))
        case "seeds_per_cell":
            seeds_a_cell(_whole(new))
            return str(_whole(new))
        case "variety":
            crop, _, name = (part.strip() for part in clean(new).partition("/"))
            variety_of(pen.session, crop, name)
            refuse_treated(container_of(pen, tray.container_id), crop, sowing.lot, sowing.treated)
            return f"{crop}/{name}"
    raise BadInput(f"{field} can't be corrected.", "Correct the sowing day, cells, seeds or variety.")


def _past_day(text: str, today: date) -> str:
    try:
        day = date.fromisoformat(text)
    except ValueError as error:
        raise BadInput(f"{text!r} is no day.", "Give it like 2026-04-14.") from error
    if day > today:
        raise BadInput(f"{say_day(day)} is still to come.", "Give today or an earlier day.")
    return day.isoformat()


def _whole(text: str) -> int:
    if not text.isdecimal():
        raise BadInput(f"{text!r} is no count.", "Give a whole number.")
    return int(text)


def _refuse_too_many_cells(pen: Pen, tray: Tray, more: int) -> None:
    container = container_of(pen, tray.container_id)
    acts = births.live_acts(pen.rows, [tray.id], reading.dead_entries(pen.rows))[tray.id]
    cells = cells_sown(tray, acts) + more
    if container.kind is ContainerKind.CELL_TRAY and cells > container.cells:
        raise NotEnough(f"A {container.name} has {container.cells} cells, not {cells}.", "Give fewer cells.")


def correct_act(store: Store, stamp: Stamp, act_id: int, field: str, new: str) -> Receipt:
    """Put right the day, count or score of an older act."""
    with entry(store, stamp) as pen:
        act = _correctable(pen, act_id, field)
        tray = pen.tray(act.tray_id or 0)
        old = _standing_value(pen, act, field)
        new = _of_act(act, field, new, stamp.today)
        pen.act(ActKind.CORRECTED, tray.id, of_act_id=act_id, field=field, old=old, new=new, day=stamp.today)
        what = "struck" if field == STRUCK else f"{field} {old or 'none'} is {new}"
        pen.say(f"corrected {label(tray.number)}: {act.kind} of {say_day(act.day)} {what}")
    return pen.done()


def _correctable(pen: Pen, act_id: int, field: str) -> Act:
    """The act, if that of it can be put right without its entry falling apart."""
    found = pen.rows("SELECT entry_id FROM act WHERE id = ?", act_id)
    together = [act for (i,) in found for act in reading.acts_in(pen.rows, i)]
    act = next((act for act in together if act.id == act_id), None)
    if (
        act is None
        or act.entry_id in reading.dead_entries(pen.rows)
        or field not in correctable(act, together)
    ):
        raise BadInput(
            "That entry can't be corrected singly.", "Correct the sowing, or undo the entry it came with."
        )
    return act


def _standing_value(pen: Pen, act: Act, field: str) -> str:
    """What the record says now of an act, with the corrections that were made before."""
    tray_id = act.tray_id or 0
    acts = births.live_acts(pen.rows, [tray_id], reading.dead_entries(pen.rows))[tray_id]
    earlier = sorted((other for other in acts if other.of_act_id == act.id), key=lambda other: other.id)
    if any(other.field == STRUCK for other in earlier):
        raise BadInput("That entry is struck already.", "Enter it anew if it was right after all.")
    values: dict[str, object] = {"day": act.day, "count": act.count, "score": act.score}
    values |= {other.field or "": other.new for other in earlier}
    value = values.get(field)
    return "" if value is None else str(value)


def _of_act(act: Act, field: str, new: str, today: date) -> str:
    """What an act is to have instead, as it is kept; refused where it can't be."""
    match field:
        case "day":
            return _past_day(new, today)
        case "count":
            if act.kind in COUNTS:
                at_least_one(_whole(new))
            return str(_whole(new))
        case "score":
            return str((a_touch if act.kind is ActKind.FINGER else a_look)(_whole(new)))
    return ""
