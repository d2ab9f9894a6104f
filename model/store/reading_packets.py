"""What was told of seed lots, entry by entry; the newest that stands holds."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from typing import Any

from model.facts import Treated
from model.store.database import Rows, listed


@dataclass(frozen=True, slots=True)
class Packet:
    """What somebody told of a lot; what wasn't told is None."""

    entry_id: int
    lot_id: int
    packed_year: int | None
    tested_seeds: int | None
    tested_up: int | None
    tested_on: date | None
    tested_c: float | None
    treated: Treated | None

    @property
    def says(self) -> dict[str, Any]:
        """What of the lot is otherwise from here on."""
        found: dict[str, Any] = {}
        if self.packed_year is not None:
            found["packed_year"] = self.packed_year or None
        if self.tested_seeds is not None:
            # A test is one thing: its day and warmth never outlive its counts.
            found |= {"tested_seeds": self.tested_seeds or None, "tested_on": self.tested_on}
            found |= {"tested_up": self.tested_up if self.tested_seeds else None, "tested_c": self.tested_c}
        if self.treated is not None:
            found["treated"] = self.treated
        return found


_SQL = (
    "SELECT entry_id, lot_id, packed_year, tested_seeds, tested_up, tested_on, tested_c, treated FROM packet"
)


def told(rows: Rows) -> list[Packet]:
    """Everything that was told, in the order of entry, taken back or not."""
    return [_packet(row) for row in rows(f"{_SQL} ORDER BY id")]


def told_in(rows: Rows, entry_id: int) -> list[Packet]:
    """What one entry told."""
    return [_packet(row) for row in rows(f"{_SQL} WHERE entry_id = ? ORDER BY id", entry_id)]


def _packet(row: Any) -> Packet:
    entry_id, lot_id, year, seeds, up, day, warmth, treated = row
    on, kind = date.fromisoformat(day) if day else None, Treated(treated) if treated else None
    return Packet(entry_id, lot_id, year, seeds, up, on, warmth, kind)


def lots_taken_back(rows: Rows, dead: Collection[int]) -> frozenset[int]:
    """Lots that stand nowhere but in entries that were taken back."""
    pointers = " UNION ".join(
        f"SELECT lot_id FROM {table} WHERE lot_id IS NOT NULL" for table in ("sowing", "target", "stock")
    )
    found = rows(
        "SELECT id FROM lot WHERE id IN (SELECT lot_id FROM packet) AND packed_year IS NULL AND tested_seeds IS NULL "
        f"AND treated = 'unknown' AND source = '' AND id NOT IN ({pointers}) "
        f"AND id NOT IN (SELECT lot_id FROM packet WHERE entry_id NOT IN ({listed(dead)}))"
    )
    return frozenset(i for (i,) in found)


def treated_now(dead: Collection[int]) -> str:
    """SQL for whether the lot of a row is treated, by what stands; NULL where there is no lot."""
    return (
        "coalesce((SELECT told.treated FROM packet AS told WHERE told.lot_id = lot.id AND told.treated IS NOT NULL "
        f"AND told.entry_id NOT IN ({listed(dead)}) ORDER BY told.id DESC LIMIT 1), lot.treated)"
    )


def trays_sown_from(rows: Rows, entry_id: int) -> set[int]:
    """Trays that were sown from the lots that an entry tells of: they carry whether their seed is treated."""
    found = rows(
        "SELECT DISTINCT tray_id FROM sowing JOIN packet ON packet.lot_id = sowing.lot_id WHERE packet.entry_id = ?",
        entry_id,
    )
    return {tray_id for (tray_id,) in found}
