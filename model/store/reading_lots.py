"""Which seed lots have failed and which varieties are in use: derived from what stands, and never stored."""

from model.entered import STRUCK
from model.facts import ActKind, LossCause
from model.store.database import Rows, listed
from model.store.set_aside import aside

FAILED_SHARE = 0.5
"""Share of a sowing's cells that didn't come up, from which its lot has failed [fraction]. Ours."""


def failed_lots(rows: Rows) -> frozenset[int]:
    """Ids of lots of which some sowing failed, by the losses on record that weren't taken back, struck or in doubt."""
    away = aside(rows)
    mended = {
        act_id: 0 if field == STRUCK else int(new)
        for act_id, field, new, entry_id in rows(
            "SELECT of_act_id, field, new, entry_id FROM act WHERE kind = ? AND field IN (?, 'count') ORDER BY id",
            ActKind.CORRECTED,
            STRUCK,
        )
        if entry_id not in away.entries
    }
    gone: dict[tuple[int, int, int], int] = {}
    found = rows(
        "SELECT act.id, act.entry_id, act.count, sowing.id, sowing.lot_id, sowing.cells FROM act "
        "JOIN sowing ON sowing.id = act.sowing_id WHERE act.kind = ? AND act.cause = ? AND sowing.lot_id IS NOT NULL",
        ActKind.LOST,
        LossCause.NOT_UP,
    )
    for act_id, entry_id, count, sowing_id, lot_id, cells in found:
        if entry_id not in away.entries and act_id not in away.acts:
            key = (sowing_id, lot_id, cells)
            gone[key] = gone.get(key, 0) + mended.get(act_id, count or 0)
    return frozenset(lot_id for (_, lot_id, cells), lost in gone.items() if lost >= FAILED_SHARE * cells)


def varieties_in_use(rows: Rows) -> frozenset[int]:
    """Ids of varieties that something on record still names; what was taken back names none."""
    stands = f"entry_id NOT IN ({listed(aside(rows).entries)})"
    named = " UNION ".join(
        f"SELECT variety_id FROM {table} WHERE {stands}" for table in ("sowing", "target", "promise")
    )
    found = rows(
        f"SELECT id FROM variety WHERE id IN ({named}) "
        f"OR crop || '/' || name IN (SELECT new FROM act WHERE field = 'variety' AND {stands}) "
        "OR id IN (SELECT variety_id FROM lot WHERE packed_year IS NOT NULL OR tested_seeds IS NOT NULL "
        f"OR treated <> 'unknown' OR source <> '' OR id IN (SELECT lot_id FROM packet WHERE {stands}))"
    )
    return frozenset(i for (i,) in found)
