"""The forecast of a morning: reckoned from the whole record, apart from the keys; numpy is imported only here."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from math import exp
from typing import TYPE_CHECKING

from model.asof import standing_on, trays_on, with_ancestors
from model.facts import Tray
from model.rules.grounds import Grounds
from model.rules.outlook import Outlook, Outlooks, from_text
from model.rules.thirst import thirsts
from model.rules.verdict import Thirst
from model.store import reading
from model.store.database import Rows, Store
from model.views.grounds import grounds

if TYPE_CHECKING:
    from model.rules.learning import Past


@dataclass(frozen=True, slots=True)
class Reckoned:
    """Outlooks by sowing, and what the crops' growth was learned from."""

    on: date
    outlooks: dict[int, Outlook]
    thirsts: dict[int, Thirst]
    past: "Past"


def kept_outlooks(rows: Rows) -> dict[int, Outlook]:
    """The outlooks that were reckoned last."""
    kept = map(from_text, reading.outlooks(rows))
    return {outlook.sowing_id: outlook for outlook in kept}


def reckon(store: Store, today: date) -> Reckoned:
    """The forecast of every standing tray on a day."""
    from model.rules.forecast import outlooks

    with store.reading() as rows:
        standing = standing_on(rows, today)
        past, everything, on = _past(rows, standing, today)
        found = outlooks(standing, everything, past, on, today)
        return Reckoned(today, found, _thirsts(rows, standing, on, found, today), past)


def or_reckoned(store: Store, today: date, outlooks: Outlooks | None) -> Outlooks:
    """The outlooks that are given; reckoned where none are, as a command has none."""
    return reckon(store, today).outlooks if outlooks is None else outlooks


def _past(rows: Rows, standing: Iterable[Tray], today: date) -> "tuple[Past, dict[int, Tray], Grounds]":
    """What the trays that are gone teach, with every tray it stands on and the grounds."""
    from model.rules.learning import Past

    gone = [tray for tray in reading.gone_and_looked_at(rows) if (tray.ended_on or today) <= today]
    everything = {tray.id: tray for tray in (*gone, *standing)}
    on = grounds(rows, everything.values())
    return Past(gone, everything, reading.timings(rows), on, today), everything, on


def own_growth(rows: Rows, today: date) -> dict[str, tuple[float, int]]:
    """Growth of each crop whose own timings hold, as a multiple of the default, and from how many trays."""
    if not any(reading.timings(rows).values()):
        return {}
    past, _, _ = _past(rows, standing_on(rows, today), today)
    return {crop: (exp(past.growth(crop)[0]), past.used(crop)) for crop in past.crops if past.used(crop)}


def reckon_some(store: Store, before: Reckoned, tray_ids: Collection[int]) -> Reckoned:
    """The same after an entry: only the trays it touched are reckoned anew; all, where one of them is gone and teaches."""
    from model.rules.forecast import outlooks

    with store.reading() as rows:
        trays = trays_on(rows, tray_ids, before.on)
        if not all(tray.standing for tray in trays.values()):
            return reckon(store, before.on)
        family = with_ancestors(rows, trays)
        on = grounds(rows, family.values())
        fresh = outlooks(trays.values(), family, before.past, on, before.on)
        thirsty = _thirsts(rows, trays.values(), on, fresh, before.on)
    touched = {sowing.id for tray in trays.values() for sowing in tray.sowings}
    kept = {sowing_id: found for sowing_id, found in before.outlooks.items() if sowing_id not in touched}
    return Reckoned(before.on, kept | fresh, before.thirsts | thirsty, before.past)


def _thirsts(
    rows: Rows, trays: Collection[Tray], on: Grounds, outlooks: Mapping[int, Outlook], today: date
) -> dict[int, Thirst]:
    """What is reckoned of the water of some trays; the fullest sowing of a tray drinks for all."""
    from model.views.thirst import felt

    fills = {
        tray.id: max((o.fills[0].expected for s in tray.sowings if (o := outlooks.get(s.id))), default=None)
        for tray in trays
    }
    return thirsts(trays, on, fills, today, felt(rows, today))
