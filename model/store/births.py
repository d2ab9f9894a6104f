"""What the fold needs of a tray: how it was entered, and its acts that still count."""

from collections import Counter, defaultdict
from collections.abc import Collection, Iterable
from datetime import date
from typing import Any

from model.entered import SowingBirth, TrayBirth
from model.facts import Act, Tray, Treated
from model.store import projection, reading
from model.store.database import Rows
from model.store.reading import rows_in
from model.store.reading_packets import treated_now
from model.store.set_aside import aside


def births(
    rows: Rows, tray_ids: Collection[int], dead: frozenset[int], until: date = date.max
) -> list[TrayBirth]:
    """Live trays among some ids, parents before children; of their children those made until a day."""
    found = rows_in(
        rows,
        "SELECT entry_id, id, number, made_on, container_id, place_id, parent_id FROM tray WHERE id IN ({})",
        tray_ids,
    )
    sowings = _sowings(rows, tray_ids, dead)
    children = children_of(rows, tray_ids, dead, until)
    return [
        TrayBirth(
            tray_id,
            number,
            date.fromisoformat(made_on),
            container_id,
            place_id,
            parent_id,
            tuple(children.get(tray_id, ())),
            tuple(sowings.get(tray_id, ())),
        )
        for entry_id, tray_id, number, made_on, container_id, place_id, parent_id in sorted(found, key=_by_id)
        if entry_id not in dead
    ]


def _by_id(row: tuple[int, ...]) -> int:
    return row[1]


def _sowings(rows: Rows, tray_ids: Collection[int], dead: frozenset[int]) -> dict[int, list[SowingBirth]]:
    found = rows_in(
        rows,
        f"SELECT sowing.entry_id, tray_id, sowing.id, part, crop, variety.name, lot.name, {treated_now(dead)}, cells, "
        "seeds_per_cell, sown_on, from_sowing_id FROM sowing JOIN variety ON variety.id = sowing.variety_id "
        "LEFT JOIN lot ON lot.id = lot_id WHERE tray_id IN ({}) ORDER BY part",
        tray_ids,
    )
    by_tray: dict[int, list[SowingBirth]] = defaultdict(list)
    for entry_id, tray_id, i, part, crop, variety, lot, treated, cells, seeds, sown_on, source in found:
        if entry_id not in dead:
            kind = Treated(treated) if treated else Treated.UNKNOWN
            day = date.fromisoformat(sown_on)
            by_tray[tray_id].append(
                SowingBirth(i, part, crop, variety, lot or "", kind, cells, seeds, day, source)
            )
    return by_tray


def live_acts(
    rows: Rows, tray_ids: Collection[int], dead: frozenset[int], since: date = date.min
) -> dict[int, list[Act]]:
    """Acts that still count, by tray; from a day on, and what may be put right to be."""
    by_tray: dict[int, list[Act]] = defaultdict(list)
    doubted = aside(rows).acts
    for act in reading.acts_of(rows, tray_ids, since):
        if act.entry_id not in dead and act.id not in doubted and act.tray_id is not None:
            by_tray[act.tray_id].append(act)
    return by_tray


def children_of(
    rows: Rows, tray_ids: Collection[int], dead: frozenset[int], until: date = date.max
) -> dict[int, list[int]]:
    """Live children of some trays that were made until a day, by parent."""
    by_parent: dict[int, list[int]] = defaultdict(list)
    found = rows_in(
        rows,
        "SELECT entry_id, id, parent_id, made_on FROM tray WHERE parent_id IN ({}) ORDER BY id",
        tray_ids,
    )
    for entry_id, tray_id, parent_id, made_on in found:
        if entry_id not in dead and date.fromisoformat(made_on) <= until:
            by_parent[parent_id].append(tray_id)
    return by_parent


def made_by(rows: Rows, entry_id: int) -> tuple[list[int], list[int]]:
    """Trays and sowings that one entry made."""
    trays = [i for (i,) in rows("SELECT id FROM tray WHERE entry_id = ?", entry_id)]
    sowings = [i for (i,) in rows("SELECT id FROM sowing WHERE entry_id = ?", entry_id)]
    return trays, sowings


def sown_alike(rows: Rows, entry_id: int) -> Counter[tuple[Any, ...]]:
    """What one entry sowed or potted up, without the numbers it got: two entries that made the same have the same."""
    return Counter(
        tuple(row)
        for row in rows(
            "SELECT parent_id, container_id, place_id, variety_id, lot_id, cells, seeds_per_cell, from_sowing_id "
            "FROM sowing JOIN tray ON tray.id = tray_id WHERE sowing.entry_id = ?",
            entry_id,
        )
    )


_POINTERS = (
    ("act", "of_act_id", "act"),
    ("sowing", "target_id", "target"),
    ("target", "replaces", "target"),
    ("pin", "target_id", "target"),
    ("promise", "replaces", "promise"),
    ("act", "promise_id", "promise"),
)
"""Rows that point at a row of an earlier entry, besides those that stand in a tray: table, column, where to."""


def standing_on(rows: Rows, entry_id: int, dead: Collection[int]) -> list[str]:
    """Words of the later entries that put right, replace or carry out what one entry put down."""
    later: set[int] = set()
    for table, column, to in _POINTERS:
        later |= {
            i
            for (i,) in rows(
                f"SELECT later.entry_id FROM {table} AS later JOIN {to} AS made ON made.id = later.{column} "
                "WHERE made.entry_id = ? AND later.entry_id <> ?",
                entry_id,
                entry_id,
            )
        }
    return [
        words
        for (words,) in rows_in(rows, "SELECT words FROM entry WHERE id IN ({}) ORDER BY id", later - {*dead})
    ]


def numbers_shared(rows: Rows, tray_ids: Iterable[int]) -> list[int]:
    """Numbers of some trays that more than one standing tray carries."""
    found = rows_in(
        rows,
        "SELECT number FROM tray_now WHERE standing AND number IN "
        "(SELECT number FROM tray_now WHERE tray_id IN ({})) GROUP BY number HAVING count(*) > 1",
        tray_ids,
    )
    return [number for (number,) in found]


def all_tray_ids(rows: Rows) -> list[int]:
    """Every tray ever entered."""
    return [i for (i,) in rows("SELECT id FROM tray ORDER BY id")]


def unreckoned(rows: Rows) -> bool:
    """Whether there are trays of which nothing is kept: a new release threw away what the last one kept."""
    ((there, kept),) = rows("SELECT EXISTS (SELECT 1 FROM tray), EXISTS (SELECT 1 FROM tray_now)")
    return bool(there and not kept)


def keep(rows: Rows, tray: Tray) -> None:
    """Keep what a tray is now."""
    rows(
        "INSERT INTO tray_now (tray_id, standing, number, facts) VALUES (?, ?, ?, ?) ON CONFLICT (tray_id) "
        "DO UPDATE SET standing = excluded.standing, number = excluded.number, facts = excluded.facts",
        *(tray.id, tray.standing, tray.number, projection.to_text(tray)),
    )


def forget(rows: Rows, tray_id: int) -> None:
    """Drop what was kept of a tray that was taken back; its acts stay on record."""
    rows("DELETE FROM tray_now WHERE tray_id = ?", tray_id)
