"""Where trays and targets come from: the entry that made them, by the id that stays the same wherever the record goes."""

from collections import defaultdict
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import date

from model.store.database import Rows
from model.store.reading import rows_in


@dataclass(frozen=True, slots=True)
class Origin:
    """The entry that first put something on record."""

    uid: str
    nth: int
    """The how manieth of its kind in that entry, from 1: one entry may plan three sowings."""
    revisions: int
    """Entries that touched it since, those that took something back among them: a number that never falls."""

    @property
    def name(self) -> str:
        """One name for it, the same in every copy of the record."""
        return f"{self.uid}-{self.nth}"


@dataclass(frozen=True, slots=True)
class Dropped:
    """A target that nobody wants any more, as it was last."""

    origin: Origin
    crop: str
    variety: str
    first_day: date


def tray_origins(rows: Rows, tray_ids: Collection[int]) -> dict[int, Origin]:
    """The origin of some trays."""
    made = rows_in(
        rows,
        "SELECT tray.id, uid, (SELECT count(*) FROM tray AS other WHERE other.entry_id = tray.entry_id "
        "AND other.id <= tray.id) FROM tray JOIN entry ON entry.id = tray.entry_id WHERE tray.id IN ({})",
        tray_ids,
    )
    touched: dict[int, set[int]] = defaultdict(set)
    for tray_id, entry_id in rows_in(
        rows, "SELECT DISTINCT tray_id, entry_id FROM act WHERE tray_id IN ({})", tray_ids
    ):
        touched[tray_id].add(entry_id)
    undoing = _undoing(rows)
    return {tray_id: Origin(uid, nth, _revisions(touched[tray_id], undoing)) for tray_id, uid, nth in made}


def target_origins(rows: Rows) -> tuple[dict[int, Origin], list[tuple[Origin, int]]]:
    """The origin of every target, a newer form having that of the first; and the newest form of each, by origin."""
    found = rows(
        "SELECT target.id, entry_id, uid, replaces FROM target JOIN entry ON entry.id = entry_id ORDER BY target.id"
    )
    nth: dict[int, int] = defaultdict(int)
    root: dict[int, int] = {}
    first: dict[int, tuple[str, int]] = {}
    touched: dict[int, set[int]] = defaultdict(set)
    for target, entry_id, uid, replaces in found:
        nth[entry_id] += 1
        root[target] = root.get(replaces, target)
        first[target] = uid, nth[entry_id]
        touched[root[target]].add(entry_id)
    for target, entry_id in rows("SELECT target_id, entry_id FROM sowing WHERE target_id IS NOT NULL"):
        touched[root[target]].add(entry_id)
    undoing = _undoing(rows)
    origins = {of: Origin(*first[of], _revisions(touched[of], undoing)) for of in touched}
    newest = {of: target for target, of in root.items()}
    return (
        {target: origins[of] for target, of in root.items()},
        [(origins[of], target) for of, target in newest.items()],
    )


def dropped_targets(rows: Rows, held: Iterable[int], since: date) -> list[Dropped]:
    """Targets for days from `since` on that were dropped or taken back: none of their forms is among those held."""
    origins, newest = target_origins(rows)
    living = {origins[target].name for target in held}
    gone = {target: origin for origin, target in newest if origin.name not in living}
    found = rows_in(
        rows,
        "SELECT target.id, crop, name, first_day, last_day FROM target JOIN variety ON variety.id = variety_id "
        "WHERE target.id IN ({}) ORDER BY target.id",
        gone,
    )
    return [
        Dropped(gone[target], crop, variety, date.fromisoformat(first))
        for target, crop, variety, first, last in found
        if last >= since.isoformat()
    ]


def _undoing(rows: Rows) -> dict[int, int]:
    """The entry that took back each entry."""
    return dict(rows("SELECT undoes, id FROM entry WHERE undoes IS NOT NULL"))


def _revisions(entries: Iterable[int], undoing: dict[int, int]) -> int:
    count = 0
    for entry in entries:
        while entry in undoing:
            count, entry = count + 1, undoing[entry]
        count += 1
    return count
