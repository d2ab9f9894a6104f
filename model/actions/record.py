"""Taking back, bringing back and correcting. Nothing is erased: each of these is an entry of its own."""

from datetime import date

from model.actions.desk import Pen, Receipt, Stamp, entry
from model.actions.growth import sowing_of
from model.actions.sow import variety_of
from model.days import farm_day, say_day
from model.errors import BadInput, TrayroundError, UndoRefused
from model.facts import Act, ActKind
from model.labels import label
from model.rules.ledger import STRUCK
from model.store import births, reading
from model.store.database import Store
from model.store.reading import EntryRow


def undo(store: Store, stamp: Stamp, zone: str) -> Receipt:
    """Take back the person's newest entry of today that still stands."""
    return _turn(store, stamp, zone, back=True)


def redo(store: Store, stamp: Stamp, zone: str) -> Receipt:
    """Bring back what was taken back last, as long as nothing new was entered since."""
    return _turn(store, stamp, zone, back=False)


def _turn(store: Store, stamp: Stamp, zone: str, *, back: bool) -> Receipt:
    with store.reading() as rows:
        mine = [row for row in _of_the_day(reading.entries(rows), stamp, zone) if row.who == stamp.who]
        dead = reading.dead_entries(rows)
    acts = [row for row in mine if row.undoes is None]
    chosen = _newest(acts, dead) if back else _last_undone(mine, acts, dead)
    if chosen is None:
        raise UndoRefused(
            f"There is nothing of {stamp.who}'s today to {'take' if back else 'bring'} back.",
            "An older entry is mended with correct the record.",
        )
    tip = _tip(chosen, mine)
    try:
        with entry(store, stamp, undoes=tip.id) as pen:
            if back:
                _refuse_if_stood_on(pen, chosen.id)
            acts_of_it = reading.acts_in(pen.rows, chosen.id)
            pen.touched |= {act.tray_id for act in acts_of_it if act.tray_id is not None}
            pen.say(f"{'took back' if back else 'brought back'}: {chosen.words}")
    except UndoRefused:
        raise
    except TrayroundError as error:
        raise UndoRefused(
            f"{chosen.words!r} can't be {'taken' if back else 'brought'} back: {error.what_happened}",
            "Take back the later entries first, or correct the record.",
        ) from error
    return pen.done()


def _of_the_day(entries: list[EntryRow], stamp: Stamp, zone: str) -> list[EntryRow]:
    return [row for row in entries if farm_day(row.at, zone) == stamp.today]


def _newest(acts: list[EntryRow], dead: frozenset[int]) -> EntryRow | None:
    return next((row for row in reversed(acts) if row.id not in dead), None)


def _last_undone(mine: list[EntryRow], acts: list[EntryRow], dead: frozenset[int]) -> EntryRow | None:
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


def _refuse_if_stood_on(pen: Pen, entry_id: int) -> None:
    """Refuse to take back a tray or sowing that later entries stand on."""
    made_trays, made_sowings = births.made_by(pen.rows, entry_id)
    dead = reading.dead_entries(pen.rows)
    for tray_id in made_trays:
        later = [a for a in reading.acts_of(pen.rows, [tray_id]) if a.entry_id not in {entry_id, *dead}]
        _refuse(later)
    for act in _acts_on_sowings(pen, made_sowings):
        if act.entry_id not in {entry_id, *dead}:
            _refuse([act])


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
        if tray.parent_id is not None:
            raise BadInput(
                "These plants were potted up.", "Correct the tray they were sown in; this one will follow."
            )
        old = f"{sowing.crop}/{sowing.variety}" if field == "variety" else str(getattr(sowing, field))
        _check_new(pen, field, new, stamp.today)
        pen.act(
            ActKind.CORRECTED, tray_id, sowing_id=sowing.id, field=field, old=old, new=new, day=stamp.today
        )
        pen.say(f"corrected {label(tray.number)}: {field.replace('_', ' ')} {old} is {new}")
    return pen.done()


def _check_new(pen: Pen, field: str, new: str, today: date) -> None:
    match field:
        case "sown_on":
            if date.fromisoformat(new) > today:
                raise BadInput(
                    f"{say_day(date.fromisoformat(new))} is still to come.", "Give an earlier day."
                )
        case "cells" | "seeds_per_cell":
            if not new.isdigit() or int(new) < 1:
                raise BadInput(f"{new!r} is no count.", "Give a whole number from 1 up.")
        case "variety":
            crop, _, name = new.partition("/")
            variety_of(pen, crop, name)
        case _:
            raise BadInput(f"{field} can't be corrected.", "Correct the sowing day, cells, seeds or variety.")


def strike(store: Store, stamp: Stamp, act_id: int) -> Receipt:
    """Take one older act out of the reckoning without touching the acts after it."""
    return _correct_act(store, stamp, act_id, STRUCK, "")


def correct_act(store: Store, stamp: Stamp, act_id: int, field: str, new: str) -> Receipt:
    """Put right the day, count or score of an older act."""
    return _correct_act(store, stamp, act_id, field, new)


CORRECTABLE = {"day": "day", STRUCK: "", "count": "count", "score": "score"}
"""What can be corrected of an act, and the column it stands in."""

MAKES_OR_MOVES_PLANTS = frozenset({ActKind.SOWN, ActKind.RESOWN, ActKind.POTTED_UP, ActKind.CORRECTED})
"""Acts that other records hang on: these are undone whole, never corrected singly."""


def _correct_act(store: Store, stamp: Stamp, act_id: int, field: str, new: str) -> Receipt:
    with entry(store, stamp) as pen:
        acts = reading.rows_in(pen.rows, "SELECT entry_id FROM act WHERE id IN ({})", [act_id])
        act = next((a for (i,) in acts for a in reading.acts_in(pen.rows, i) if a.id == act_id), None)
        if (
            act is None
            or act.tray_id is None
            or act.kind in MAKES_OR_MOVES_PLANTS
            or field not in CORRECTABLE
        ):
            raise BadInput(
                "That entry can't be corrected singly.", "Correct the sowing, or undo the entry it came with."
            )
        if field == "day" and date.fromisoformat(new) > stamp.today:
            raise BadInput(f"{say_day(date.fromisoformat(new))} is still to come.", "Give an earlier day.")
        if field in {"count", "score"} and not new.isdigit():
            raise BadInput(f"{new!r} is no {field}.", "Give a whole number.")
        old = "" if field == STRUCK else str(getattr(act, CORRECTABLE[field]))
        pen.act(
            ActKind.CORRECTED, act.tray_id, of_act_id=act_id, field=field, old=old, new=new, day=stamp.today
        )
        tray = pen.tray(act.tray_id)
        what = "struck" if field == STRUCK else f"{field} {old} is {new}"
        pen.say(f"corrected {label(tray.number)}: {act.kind} of {say_day(act.day)} {what}")
    return pen.done()
