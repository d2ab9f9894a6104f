"""The trays as they stood on an earlier day: what was done on later days is left out, corrections are kept."""

from collections.abc import Collection, Mapping
from datetime import date

from model.facts import Act, Tray
from model.rules.ledger import corrected, fold
from model.store import births, reading
from model.store.database import Rows


def standing_on(rows: Rows, day: date) -> list[Tray]:
    """Every tray that held plants or seed at the end of a day."""
    if reading.last_day(rows) <= day:
        return reading.standing_trays(rows)
    return [tray for tray in _folded(rows, births.all_tray_ids(rows), day).values() if tray.standing]


def trays_on(rows: Rows, tray_ids: Collection[int], day: date) -> dict[int, Tray]:
    """Some trays at the end of a day, standing or gone; as they are now where they weren't made yet."""
    now = reading.trays(rows, tray_ids)
    if reading.last_day(rows) <= day:
        return now
    then = _folded(rows, with_ancestors(rows, now).keys(), day)
    return {tray_id: then.get(tray_id, tray) for tray_id, tray in now.items()}


def with_ancestors(rows: Rows, trays: Mapping[int, Tray]) -> dict[int, Tray]:
    """Some trays, and those that their plants came through."""
    family = dict(trays)
    while missing := {t.parent_id for t in family.values() if t.parent_id} - family.keys():
        found = reading.trays(rows, missing)
        if not found:
            break
        family |= found
    return family


def acts_that_count(
    rows: Rows, dead: frozenset[int], trays: Collection[Tray], since: date
) -> dict[int, list[Act]]:
    """Acts on some trays from a day on, with every correction put in, by day and entry: what the fold goes by."""
    acts = births.live_acts(rows, [tray.id for tray in trays], dead, since)
    return {tray.id: corrected(acts.get(tray.id, ()), tray.sowings) for tray in trays}


def _folded(rows: Rows, tray_ids: Collection[int], day: date) -> dict[int, Tray]:
    dead = reading.dead_entries(rows)
    acts = births.live_acts(rows, tray_ids, dead)
    trays: dict[int, Tray] = {}
    for birth in births.births(rows, tray_ids, dead, day):
        trays[birth.id] = fold(birth, acts.get(birth.id, ()), trays.get(birth.parent_id or 0), day)
    return {tray_id: tray for tray_id, tray in trays.items() if tray.made_on <= day}
