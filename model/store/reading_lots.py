"""Which seed lots have failed: derived from what was lost, and never stored."""

from model.entered import STRUCK
from model.facts import ActKind, LossCause
from model.store.database import Rows
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
