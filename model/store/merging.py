"""The rows of another copy of the record put into this one, inside the transaction that is open.

Entries are known by their uid, what they made by its turn in them, people, places, containers, varieties and lots
by name. Ids follow the agreed order, since everything that is "the last" is the last by id: entries and acts from
the first newcomer on get ids that nobody has seen before, so that what another window still holds on to leads
nowhere. Trays and sowings keep theirs.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from model.entered import Written
from model.errors import BadInput
from model.store.database import Rows, rows_of

if TYPE_CHECKING:
    from sqlmodel import Session

    from model.store.named import Names

THINGS = frozenset({"tray", "sowing", "clash"})
"""Tables whose rows others hold on to; of the other ones that entries make, the last row holds."""


@dataclass(frozen=True, slots=True)
class Head:
    """An entry of a copy, with the uid of the one that it takes back."""

    id: int
    uid: str
    at: datetime
    undoes: str | None

    @property
    def written(self) -> Written:
        return Written(self.uid, self.at)


@dataclass(frozen=True, slots=True)
class Turns:
    """The entries of both copies in the agreed order, and the id of each."""

    ours: Sequence[Head]
    theirs: Sequence[Head]
    order: Sequence[str]
    ids: Mapping[str, int]

    @property
    def moved(self) -> dict[int, int]:
        """Ids of our entries that change."""
        return {head.id: self.ids[head.uid] for head in self.ours if head.id != self.ids[head.uid]}

    @property
    def new(self) -> dict[int, int]:
        """Their entries that are new here, by their id there, and what they are here."""
        known = {head.uid for head in self.ours}
        return {head.id: self.ids[head.uid] for head in self.theirs if head.uid not in known}

    def of(self, uids: Iterable[str]) -> frozenset[int]:
        """The ids of some entries."""
        return frozenset(self.ids[uid] for uid in uids)


def heads(rows: Rows) -> list[Head]:
    """The entries of a copy in its own order."""
    found = rows("SELECT id, uid, coalesce(told_at, entered_at), undoes FROM entry ORDER BY id")
    uids = {i: uid for i, uid, _, _ in found}
    return [
        Head(i, uid, datetime.fromisoformat(at).replace(tzinfo=UTC), uids.get(undoes))
        for i, uid, at, undoes in found
    ]


def turns(ours: Sequence[Head], theirs: Sequence[Head], order: Sequence[str]) -> Turns:
    """Ids in the agreed order: our entries keep theirs up to the first newcomer, all after it get fresh ones."""
    ids: dict[str, int] = {}
    fresh = max((head.id for head in ours), default=0) + 1
    same = True
    for at, uid in enumerate(order):
        same = same and at < len(ours) and ours[at].uid == uid
        ids[uid] = ours[at].id if same else fresh
        fresh += not same
    return Turns(ours, theirs, order, ids)


class Join:
    """Puts their rows into ours; what was decided on the way stands in `notes`."""

    def __init__(self, session: "Session", theirs: Rows, names: "Names", turns: Turns) -> None:
        from model.store.tables import metadata

        self.session = session
        self.ours = rows_of(session)
        self.theirs = theirs
        self.turns = turns
        self.names = names
        self.tables = [table for table in metadata.sorted_tables if "entry_id" in table.columns]
        self.ids: dict[str, dict[int, int]] = {"entry": dict(turns.new)}
        """Ids here by table and their id there."""

    @property
    def notes(self) -> list[str]:
        return self.names.notes

    def run(self) -> None:
        """All of it; trays are to be reckoned anew afterwards."""
        # Rows point at each other by ids that change until all of them have changed.
        self.ours("PRAGMA defer_foreign_keys=ON")
        self._pair()
        self.ids |= self.names.join(self.session, self.theirs, self.ids)
        shared = {head.uid for head in self.turns.ours}
        self.ids["entry"] |= {
            head.id: self.turns.ids[head.uid] for head in self.turns.theirs if head.uid in shared
        }
        moved = {table.name: self._number(table.name) for table in self.tables}
        moved["entry"] = self.turns.moved
        for name, ids in moved.items():
            self._move(name, ids)
        self._undoes()
        for table in self.tables:
            self._insert(table)
        self._parts()
        for name in ("target", "promise"):
            self._newer_form(name)

    def _pair(self) -> None:
        """Find what the entries of both copies made by its turn in them."""
        ours = {head.uid: head.id for head in self.turns.ours}
        there = {head.id: ours[head.uid] for head in self.turns.theirs if head.uid in ours}
        for table in self.tables:
            mine, yours = _made(self.ours, table.name), _made(self.theirs, table.name)
            pairs: dict[int, int] = {}
            for their_entry, our_entry in there.items():
                made, same = yours.get(their_entry, []), mine.get(our_entry, [])
                if len(made) != len(same):
                    raise BadInput(
                        "The two files tell one entry differently: they are no copies of one record.",
                        "Nothing was changed; trayround check looks whether a file is sound.",
                    )
                pairs.update(zip(made, same, strict=True))
            self.ids[table.name] = pairs

    def _number(self, table: str) -> dict[int, int]:
        """Give ids to what is new, and to rows of ours whose entry comes after a newcomer; those of ours that change."""
        moved, new = self.turns.moved, self.turns.new
        waiting = [
            (new[entry], i, False)
            for entry, made in _made(self.theirs, table).items()
            if entry in new
            for i in made
        ]
        mine = _made(self.ours, table)
        if table not in THINGS:
            waiting += [
                (moved[entry], i, True) for entry, made in mine.items() if entry in moved for i in made
            ]
        fresh = max((i for made in mine.values() for i in made), default=0) + 1
        changed: dict[int, int] = {}
        for number, (_entry, old, ours) in enumerate(sorted(waiting), fresh):
            (changed if ours else self.ids[table])[old] = number
        if changed:
            new_rows = {old for _, old, ours in waiting if not ours}
            paired = self.ids[table]
            self.ids[table] = {
                old: here if old in new_rows else changed.get(here, here) for old, here in paired.items()
            }
        return changed

    def _move(self, name: str, ids: Mapping[int, int]) -> None:
        """Change ids of ours, and whatever points at them."""
        from model.store.tables import metadata

        if not ids:
            return
        self.ours("CREATE TEMP TABLE IF NOT EXISTS moved (old INTEGER PRIMARY KEY, new INTEGER NOT NULL)")
        self.ours("DELETE FROM moved")
        self._many("INSERT INTO moved VALUES (?, ?)", list(ids.items()))
        for table in metadata.sorted_tables:
            for column in table.columns:
                points = column.name == "id" and table.name == name
                if points or _target(column) == name:
                    self.ours(
                        f"UPDATE {table.name} SET {column.name} = (SELECT new FROM moved WHERE old = {column.name}) "
                        f"WHERE {column.name} IN (SELECT old FROM moved)"
                    )

    def _many(self, sql: str, values: Sequence[Sequence[Any]]) -> None:
        self.session.flush()
        if values:
            self.session.connection().exec_driver_sql(sql, [tuple(row) for row in values])

    def _undoes(self) -> None:
        """Put in their entries. What both took back is taken back once: by the first that still stands."""
        undoes = {head.uid: head.undoes for head in (*self.turns.theirs, *self.turns.ours) if head.undoes}
        dead: set[str] = set()
        for uid in reversed(self.turns.order):
            if uid in undoes and uid not in dead:
                dead.add(undoes[uid])
        holds: dict[str, str] = {}
        for uid in (uid for uid in self.turns.order if uid in undoes):
            before = holds.get(undoes[uid])
            if before is None or (before in dead and uid not in dead):
                holds[undoes[uid]] = uid
        wanted = {uid: target for target, uid in holds.items()}
        ids = self.turns.ids
        mine = [head for head in self.turns.ours if head.undoes != wanted.get(head.uid)]
        self._many("UPDATE entry SET undoes = NULL WHERE id = ?", [(ids[head.uid],) for head in mine])
        words = {
            i: rest
            for i, *rest in self.theirs("SELECT id, uid, person_id, entered_at, words, told_at FROM entry")
        }
        self._many(
            "INSERT INTO entry (id, uid, person_id, entered_at, words, told_at) VALUES (?, ?, ?, ?, ?, ?)",
            [
                (here, uid, self.ids["person"][person], *rest)
                for there, here in self.turns.new.items()
                for uid, person, *rest in [words[there]]
            ],
        )
        said = [head.uid for head in mine] + [words[there][0] for there in self.turns.new]
        self._many(
            "UPDATE entry SET undoes = ? WHERE id = ?",
            [(ids[wanted[uid]], ids[uid]) for uid in said if uid in wanted],
        )
        for uid in undoes.keys() - wanted.keys():
            ((what,),) = self.ours("SELECT words FROM entry WHERE id = ?", ids[undoes[uid]])
            self.notes.append(f"Both took back: {what}. It is taken back once.")

    def _insert(self, table: Any) -> None:
        """Their rows of one table that belong to new entries, pointing at what is here."""
        columns = [column.name for column in table.columns]
        targets = [_target(column) for column in table.columns]
        new, own = self.turns.new, self.ids[table.name]
        at_id, at_entry = columns.index("id"), columns.index("entry_id")
        rows = []
        for row in self.theirs(f"SELECT {', '.join(columns)} FROM {table.name} ORDER BY id"):
            if row[at_entry] not in new:
                continue
            here = [
                self.ids[to][value] if to and value is not None else value
                for to, value in zip(targets, row, strict=True)
            ]
            here[at_id] = own[row[at_id]]
            if table.name == "sowing":
                # The part may be taken here; it is put right once all are in.
                here[columns.index("part")] = -here[at_id]
            rows.append(here)
        marks = ", ".join("?" * len(columns))
        self._many(f"INSERT INTO {table.name} ({', '.join(columns)}) VALUES ({marks})", rows)
        if table.name == "sowing":
            self._wanted_parts = {
                own[i]: part
                for i, entry, part in self.theirs("SELECT id, entry_id, part FROM sowing")
                if entry in new
            }

    _wanted_parts: Mapping[int, int] = {}

    def _parts(self) -> None:
        """Sown into one tray by both: the parts are counted on in the agreed order."""
        wanted = self._wanted_parts
        trays = {tray for (tray,) in self.ours("SELECT DISTINCT tray_id FROM sowing WHERE part < 0")}
        for tray in sorted(trays):
            rows = [
                (i, entry, wanted.get(i, part))
                for i, entry, part in self.ours(
                    "SELECT id, entry_id, part FROM sowing WHERE tray_id = ?", tray
                )
            ]
            parts = {i: part for i, _, part in rows}
            if len(set(parts.values())) < len(parts):
                in_order = sorted(rows, key=lambda row: (row[1], row[2]))
                parts = {i: part for part, (i, _, _) in enumerate(in_order, min(parts.values()))}
            self._many("UPDATE sowing SET part = -id WHERE id = ?", [(i,) for i in parts])
            self._many("UPDATE sowing SET part = ? WHERE id = ?", [(part, i) for i, part in parts.items()])

    def _newer_form(self, table: str) -> None:
        """What both changed has two newer forms: the later one replaces the earlier one, which replaces the old."""
        found = self.ours(
            f"SELECT replaces, id FROM {table} WHERE replaces IS NOT NULL ORDER BY entry_id, id"
        )
        last: dict[int, int] = {}
        for old, form in found:
            if old in last:
                self.ours(f"UPDATE {table} SET replaces = ? WHERE id = ?", last[old], form)
                self.notes.append(f"Both changed one {NAMES[table]}: the later form holds.")
            last[old] = form


NAMES = {"target": "line of the plan", "promise": "promise"}


def _made(rows: Rows, table: str) -> dict[int, list[int]]:
    """Ids of the rows that each entry made, in their order."""
    made: dict[int, list[int]] = {}
    for entry, i in rows(f"SELECT entry_id, id FROM {table} ORDER BY id"):
        made.setdefault(entry, []).append(i)
    return made


def _target(column: Any) -> str | None:
    """The table that a column points at."""
    return next((key.column.table.name for key in column.foreign_keys), None)


def settled_there(join: Join, dead: Collection[int]) -> list[tuple[int, int]]:
    """Take over what was settled in the other copy; pairs of decisions where both settled one clash: out, stays."""
    twice = []
    here = dict(join.ours("SELECT id, settled_in FROM clash"))
    for i, settled in join.theirs("SELECT id, settled_in FROM clash WHERE settled_in IS NOT NULL"):
        clash, theirs = join.ids["clash"][i], join.ids["entry"][settled]
        decisions = {theirs, here[clash]} - {None}
        standing = decisions - {*dead}
        holds = max(standing or decisions)
        twice += [(out, holds) for out in standing - {holds}]
        join.ours("UPDATE clash SET settled_in = ? WHERE id = ?", holds, clash)
    return twice
