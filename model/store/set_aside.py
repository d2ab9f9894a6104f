"""What doesn't count: entries that were taken back, and what a clash between two copies has set aside.

While a clash is open the later of two acts that took more than there was isn't counted, and a tray that one took
back and the other went on with stands; of two answers for one night the later holds. What a person decided
holds from then on.
"""

from collections.abc import Collection
from dataclasses import dataclass

from model.entered import STRUCK, ClashKind
from model.facts import ActKind
from model.store.database import Rows

WHOLE = frozenset({ActKind.POTTED_UP, ActKind.RESOWN, ActKind.CORRECTED})
"""Acts that other records hang on: with one of these its whole entry is set aside."""

KEPT = "kept"
"""Field of an act by which somebody decided that what was taken back stands."""


@dataclass(frozen=True, slots=True)
class ClashRow:
    """A clash as the record holds it, with the entries and kinds of its two acts."""

    id: int
    entry_id: int
    what: str
    tray_id: int | None
    first_id: int | None
    later_id: int | None
    settled_in: int | None
    first_entry: int | None
    later_entry: int | None
    later_kind: str | None


@dataclass(frozen=True, slots=True)
class Aside:
    """What doesn't count: whole entries, and single acts."""

    entries: frozenset[int]
    acts: frozenset[int]
    open: tuple[ClashRow, ...]
    """Clashes that are for a person to decide."""
    settled: tuple[ClashRow, ...] = ()
    """Clashes that somebody decided."""


def aside(rows: Rows) -> Aside:
    """What doesn't count at this moment."""
    undoes = rows("SELECT id, undoes FROM entry WHERE undoes IS NOT NULL ORDER BY id DESC")
    clashes = _clashes(rows)
    dead = _taken_back(undoes, ())
    if not clashes:
        return Aside(frozenset(dead), frozenset(), ())
    spared, lost = _decided(rows, dead)
    standing = [row for row in clashes if row.entry_id not in dead]
    undecided = {None, *dead}
    settled = [row for row in standing if row.settled_in not in undecided]
    unsettled = [row for row in standing if row.settled_in in undecided]
    spared |= {
        row.first_entry
        for row in unsettled
        if row.what == ClashKind.BACK and row.first_entry and row.later_entry not in dead
    }
    dead = _taken_back(undoes, spared) | lost
    # Where one of the two was taken back there is nothing left to decide.
    still_open = [row for row in unsettled if not {row.first_entry, row.later_entry} & dead]
    doubted = [row for row in still_open if row.what == ClashKind.MORE]
    whole = {row.later_entry for row in doubted if row.later_entry and row.later_kind in WHOLE}
    acts = {row.later_id for row in doubted if row.later_id and row.later_kind not in WHOLE}
    # Of two answers for one night the later one holds; hardening would go by both.
    acts |= {row.first_id for row in still_open if row.what == ClashKind.NIGHT and row.first_id}
    return Aside(frozenset(dead | whole), frozenset(acts), tuple(still_open), tuple(settled))


def _taken_back(undoes: Collection[tuple[int, int]], spared: Collection[int]) -> set[int]:
    """Entries that are taken back, newest first. An undo that is itself undone takes nothing back."""
    dead: set[int] = set()
    for entry_id, undone in undoes:
        if entry_id not in dead and undone not in spared:
            dead.add(undone)
    return dead


def _decided(rows: Rows, dead: Collection[int]) -> tuple[set[int], set[int]]:
    """Entries that a decision keeps though they were taken back, and entries that it takes out whole."""
    spared, lost = set(), set()
    for entry_id, field, made, kind in rows(
        "SELECT act.entry_id, act.field, made.entry_id, made.kind FROM clash JOIN act ON act.entry_id = settled_in "
        "JOIN act AS made ON made.id = act.of_act_id"
    ):
        if entry_id not in dead and field == KEPT:
            spared.add(made)
        elif entry_id not in dead and field == STRUCK and kind in WHOLE:
            lost.add(made)
    return spared, lost


def _clashes(rows: Rows) -> list[ClashRow]:
    found = rows(
        "SELECT clash.id, clash.entry_id, what, clash.tray_id, ours, theirs, settled_in, one.entry_id, "
        "other.entry_id, other.kind FROM clash LEFT JOIN act AS one ON one.id = ours "
        "LEFT JOIN act AS other ON other.id = theirs ORDER BY clash.id"
    )
    return [ClashRow(*row) for row in found]


def settle(rows: Rows, clash_id: int, entry_id: int) -> None:
    """A clash is decided in an entry; once that is taken back it is open again."""
    rows("UPDATE clash SET settled_in = ? WHERE id = ?", entry_id, clash_id)


def trays_at_odds(rows: Rows, entry_id: int) -> set[int]:
    """Trays for which it matters whether an entry stands, because it is one side of a clash or decides it."""
    found = rows(
        "SELECT DISTINCT touched.tray_id FROM clash LEFT JOIN act AS one ON one.id = ours "
        "LEFT JOIN act AS other ON other.id = theirs JOIN act AS touched "
        "ON touched.entry_id = one.entry_id OR touched.entry_id = other.entry_id "
        "WHERE ? IN (settled_in, one.entry_id, other.entry_id) AND touched.tray_id IS NOT NULL",
        entry_id,
    )
    return {tray_id for (tray_id,) in found}
