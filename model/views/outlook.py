"""The forecast of a morning: reckoned from the whole record, apart from the keys; numpy is imported only here."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from model.facts import Tray
from model.rules.outlook import Outlook, from_text
from model.store import reading
from model.store.database import Rows, Store
from model.views.asof import standing_on
from model.views.grounds import grounds

if TYPE_CHECKING:
    from model.rules.learning import Past


@dataclass(frozen=True, slots=True)
class Reckoned:
    """Outlooks by sowing, and what the crops' growth was learned from."""

    on: date
    outlooks: dict[int, Outlook]
    past: "Past"


def kept_outlooks(rows: Rows) -> dict[int, Outlook]:
    """The outlooks that were reckoned last."""
    kept = map(from_text, reading.outlooks(rows))
    return {outlook.sowing_id: outlook for outlook in kept}


def reckon(store: Store, today: date) -> Reckoned:
    """The forecast of every standing tray on a day."""
    from model.rules.forecast import outlooks
    from model.rules.learning import Past

    with store.reading() as rows:
        standing = standing_on(rows, today)
        gone = [t for t in reading.gone_and_looked_at(rows) if (t.ended_on or today) <= today]
        everything = {tray.id: tray for tray in (*gone, *standing)}
        on = grounds(rows, everything.values())
        past = Past(gone, everything, reading.timings(rows), on, today)
        return Reckoned(today, outlooks(standing, everything, past, on, today), past)


def reckon_some(store: Store, before: Reckoned, tray_ids: Collection[int]) -> Reckoned:
    """The same after an entry: only the trays it touched are reckoned anew."""
    from model.rules.forecast import outlooks

    with store.reading() as rows:
        trays = reading.trays(rows, tray_ids)
        family = dict(trays)
        while missing := {t.parent_id for t in family.values() if t.parent_id and t.parent_id not in family}:
            family |= reading.trays(rows, missing)
        on = grounds(rows, family.values())
        fresh = outlooks(_standing(trays.values()), family, before.past, on, before.on)
    touched = {sowing.id for tray in trays.values() for sowing in tray.sowings}
    kept = {sowing_id: found for sowing_id, found in before.outlooks.items() if sowing_id not in touched}
    return Reckoned(before.on, kept | fresh, before.past)


def _standing(trays: Collection[Tray]) -> list[Tray]:
    return [tray for tray in trays if tray.standing]
