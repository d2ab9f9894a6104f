"""Clashes read for people: with their two acts."""

from collections.abc import Iterable
from dataclasses import dataclass

from model.entered import ClashKind
from model.facts import Act
from model.store import reading
from model.store.database import Rows
from model.store.set_aside import ClashRow, aside


@dataclass(frozen=True, slots=True)
class OpenClash:
    """Two acts at odds that nobody has decided between."""

    id: int
    what: ClashKind
    tray_id: int
    number: int
    """The number that the tray had when it was made."""
    first: Act | None
    later: Act | None

    @property
    def acts(self) -> tuple[Act | None, Act | None]:
        return self.first, self.later


def open_clashes(rows: Rows) -> list[OpenClash]:
    """What waits for somebody to decide, in the order in which it was found."""
    found = [row for row in aside(rows).open if row.tray_id is not None]
    acts = acts_by_id(rows, (i for row in found for i in (row.first_id, row.later_id) if i))
    numbers = dict(
        reading.rows_in(
            rows,
            "SELECT tray.id, coalesce(tray_now.number, tray.number) FROM tray "
            "LEFT JOIN tray_now ON tray_id = tray.id WHERE tray.id IN ({})",
            {row.tray_id for row in found},
        )
    )
    return [_open(row, acts, numbers[row.tray_id]) for row in found if row.what in set(ClashKind)]


def _open(row: ClashRow, acts: dict[int, Act], number: int) -> OpenClash:
    first, later = acts.get(row.first_id or 0), acts.get(row.later_id or 0)
    if row.what == ClashKind.NUMBER and later and later.old:
        number = int(later.old)
    return OpenClash(row.id, ClashKind(row.what), row.tray_id or 0, number, first, later)


def acts_by_id(rows: Rows, ids: Iterable[int]) -> dict[int, Act]:
    """Some acts by their ids."""
    return {act.id: act for act in reading.acts_of_ids(rows, ids)}
