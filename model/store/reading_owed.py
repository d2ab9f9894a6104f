"""Plain SQL reads of what is promised and what was given."""

from collections import Counter
from collections.abc import Mapping
from datetime import date

from model.ahead import Promise
from model.facts import ActKind
from model.store.database import Rows
from model.store.reading import dead_entries, listed, trays


def promises(rows: Rows) -> list[Promise]:
    """Promises that hold: neither taken back, nor replaced, nor dropped; by the day they are due."""
    found = rows(
        "SELECT promise.id, to_whom, promise.crop, coalesce(variety.name, ''), plants, due_on, container_id, note, "
        "replaces FROM promise LEFT JOIN variety ON variety.id = variety_id "
        f"WHERE entry_id NOT IN ({listed(dead_entries(rows))}) ORDER BY due_on, promise.id"
    )
    made = [
        Promise(i, whom, crop, variety, plants, date.fromisoformat(due), box, note, replaces)
        for i, whom, crop, variety, plants, due, box, note, replaces in found
    ]
    older = {promise.replaces for promise in made}
    return [promise for promise in made if promise.id not in older and promise.plants]


def given(rows: Rows) -> dict[int, int]:
    """Plants given of each promise or of an older form of it, by the promise that holds now."""
    ids = [
        tray
        for (tray,) in rows("SELECT DISTINCT tray_id FROM act WHERE kind = ?", ActKind.HANDED_OVER.value)
        if tray is not None
    ]
    newer = newer_forms(rows)
    total: Counter[int] = Counter()
    for tray in trays(rows, ids).values():
        for sowing in tray.sowings:
            for promise, count in sowing.given:
                total[newest(promise, newer)] += count
    return dict(total)


def newer_forms(rows: Rows) -> dict[int, int]:
    """The form that replaces a promise, where one does."""
    return {
        replaces: i
        for i, replaces in rows(
            "SELECT id, replaces FROM promise WHERE replaces IS NOT NULL "
            f"AND entry_id NOT IN ({listed(dead_entries(rows))}) ORDER BY id"
        )
    }


def newest(promise: int, newer: Mapping[int, int]) -> int:
    """The form of a promise that holds now."""
    while promise in newer:
        promise = newer[promise]
    return promise
