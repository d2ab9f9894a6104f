"""The trays as they stood on an earlier day: what was entered for later days is left out, corrections are kept."""

from datetime import date

from model.facts import ActKind, Tray
from model.rules.ledger import fold
from model.store import births, reading
from model.store.database import Rows


def standing_on(rows: Rows, day: date) -> list[Tray]:
    """Every tray that held plants or seed at the end of a day."""
    if reading.last_day(rows) <= day:
        return reading.standing_trays(rows)
    return [tray for tray in _folded(rows, day).values() if tray.standing]


def tray_on(rows: Rows, tray_id: int, day: date) -> Tray | None:
    """One tray at the end of a day, standing or gone; as it is now where it wasn't made yet."""
    now = reading.trays(rows, [tray_id]).get(tray_id)
    return now if reading.last_day(rows) <= day else _folded(rows, day).get(tray_id, now)


def _folded(rows: Rows, day: date) -> dict[int, Tray]:
    dead = reading.dead_entries(rows)
    ids = births.all_tray_ids(rows)
    acts = births.live_acts(rows, ids, dead)
    trays: dict[int, Tray] = {}
    for birth in births.births(rows, ids, dead):
        until = [act for act in acts.get(birth.id, ()) if act.day <= day or act.kind is ActKind.CORRECTED]
        tray = fold(birth, until, trays.get(birth.parent_id) if birth.parent_id else None)
        if tray.made_on <= day:
            trays[tray.id] = tray
    return trays
