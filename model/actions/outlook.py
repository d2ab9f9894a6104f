"""Keep what the forecast made of the trays, so that the next opening shows it at once. It is no act of anybody's."""

from collections.abc import Iterable
from datetime import date

from model.rules.outlook import Outlook, to_text
from model.store.database import Store, rows_of


def keep_outlooks(store: Store, outlooks: Iterable[Outlook]) -> None:
    """Keep these outlooks in the place of those kept before."""
    with store.transaction() as session:
        rows = rows_of(session)
        rows("DELETE FROM outlook")
        known = {i for (i,) in rows("SELECT id FROM sowing")}
        for outlook in outlooks:
            if outlook.sowing_id in known:
                rows(
                    "INSERT INTO outlook (sowing_id, reckoned_on, facts) VALUES (?, ?, ?)",
                    *(outlook.sowing_id, outlook.reckoned_on.isoformat(), to_text(outlook)),
                )


def agree(store: Store, crop: str, used: bool, today: date) -> None:
    """Whether a crop's own growth, learned at this farm, holds from now on in the place of the default."""
    from model.store import tables

    with store.transaction() as session:
        session.merge(tables.Timing(crop=crop, used=used, asked_on=today))
