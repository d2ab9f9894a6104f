"""Where two copies of a record are at odds after their entries were joined: found, told and kept, never dropped."""

from collections import defaultdict
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import UTC
from hashlib import sha256
from typing import TYPE_CHECKING, Any

from model.actions.desk import Stamp, add_row, reckon
from model.actions.seed import told_words
from model.entered import MERGE, ClashKind, TrayBirth
from model.errors import BadInput, NotEnough
from model.facts import Act, ActKind, Tray, Treated
from model.labels import label
from model.numbering import about, next_number
from model.rules.clash_words import TOLD_TWICE, TREATED_IN_ONE, Teller, both_decided
from model.rules.ledger import corrected, fold
from model.rules.merging import Clash, Sides, at_odds, given_twice, in_doubt, rival
from model.store import births, exchange, reading, reading_owed
from model.store.database import Rows, rows_of
from model.store.reading_clashes import acts_by_id, names
from model.store.reading_packets import Packet, trays_sown_from
from model.store.reading_packets import told as packets_told
from model.text import clean

if TYPE_CHECKING:
    from sqlmodel import Session


@dataclass(frozen=True, slots=True)
class Known:
    """What each copy knew, by ids of entries."""

    sides: Sides
    sure: Collection[int]
    """Entries that stood in both."""
    back_in_ours: Collection[int]
    """Entries that were taken back in our copy."""
    back_in_theirs: Collection[int]


class Clashing:
    """Finds what is at odds. Each clash is an entry of the merge's own, the same in whichever copy it is found."""

    def __init__(self, session: "Session", stamp: Stamp, known: Known) -> None:
        self.session = session
        self.stamp = stamp
        self.known = known
        self.rows: Rows = rows_of(session)
        self.notes: list[str] = []
        """What was decided on the way, in words."""

    def run(self, settled_twice: Iterable[tuple[int, int]]) -> None:
        """All of it; every tray is reckoned anew on the way."""
        self._decided_twice(settled_twice)
        self._taken_back()
        trays = self._counts()
        dead = reading.dead_entries(self.rows)
        acts = births.live_acts(self.rows, list(trays), dead)
        aside = set()
        told = self._told_of()
        for tray in trays.values():
            for clash in at_odds(tray, acts.get(tray.id, ()), self.known.sides, told.get(tray.id, ())):
                if self._keep(clash, tray.number) and clash.what is ClashKind.NIGHT:
                    aside.add(tray.id)
        reckon(self.rows, aside)
        self._numbers()
        self._treated()
        self._packets()
        self._given()

    def _told_of(self) -> dict[int, set[int]]:
        """The entries of which clashes tell that are on record, by tray."""
        told: dict[int, set[int]] = {}
        for tray, entry in self.rows(
            "SELECT clash.tray_id, act.entry_id FROM clash JOIN act ON act.id IN (ours, theirs)"
        ):
            told.setdefault(tray, set()).add(entry)
        return told

    def _counts(self) -> dict[int, Tray]:
        """Reckon every tray; what can't be counted beside the rest is set aside."""
        exchange.forget_all(self.rows)
        trays: dict[int, Tray] = {}
        todo = births.all_tray_ids(self.rows)
        while todo:
            dead = reading.dead_entries(self.rows)
            acts = births.live_acts(self.rows, todo, dead)
            todo_now, todo = births.births(self.rows, todo, dead), []
            for turn, birth in enumerate(todo_now):
                parent = trays.get(birth.parent_id or 0)
                try:
                    trays[birth.id] = fold(birth, acts.get(birth.id, ()), parent)
                except (BadInput, NotEnough):
                    self._doubt(birth, acts[birth.id], parent)
                    todo = [later.id for later in todo_now[turn:]]
                    break
        for tray in trays.values():
            births.keep(self.rows, tray)
        return trays

    def _doubt(self, birth: TrayBirth, acts: Collection[Act], parent: Tray | None) -> None:
        act = in_doubt(birth, acts, parent, self.known.sure)
        first = rival(act, acts, self.known.sides)
        if not self._keep(Clash(ClashKind.MORE, birth.id, first, act), birth.number):
            raise BadInput(
                f"What both copies say of tray {label(birth.number)} can't be counted together.",
                "Nothing was changed; decide the open clashes in both copies first.",
            )

    def _taken_back(self) -> None:
        """What one took back, and the other went on with: it stands until somebody decides."""
        dead = reading.dead_entries(self.rows)
        last: dict[tuple[int, int], int] = {}
        for act, entry, tray, *makers in self.rows(
            "SELECT act.id, act.entry_id, act.tray_id, tray.entry_id, sowing.entry_id FROM act "
            "JOIN tray ON tray.id = act.tray_id LEFT JOIN sowing ON sowing.id = sowing_id ORDER BY act.id"
        ):
            own = (
                self.known.back_in_ours
                if entry in self.known.sides.ours
                else self.known.back_in_theirs
                if entry in self.known.sides.theirs
                else None
            )
            if own is None or entry in dead:
                continue
            for maker in makers:
                if maker is not None and maker in dead and maker not in own:
                    last[maker, tray] = act
        for (maker, tray), act in last.items():
            ((made, number),) = self.rows(
                "SELECT min(act.id), number FROM act JOIN tray ON tray.id = tray_id "
                "WHERE act.entry_id = ? AND tray_id = ? GROUP BY number",
                maker,
                tray,
            )
            acts = acts_by_id(self.rows, [made, act])
            self._keep(Clash(ClashKind.BACK, tray, acts[made], acts[act]), number)

    def _numbers(self) -> None:
        """Two living trays with one number: the newcomer gets the next free one."""
        everything = births.all_tray_ids(self.rows)
        # Not today: both laptops choose the same number, whenever each merges.
        labels = about(self.rows, reading.last_day(self.rows))
        for number in sorted(births.numbers_shared(self.rows, everything)):
            standing = [tray for tray in reading.trays_numbered(self.rows, number) if tray.standing]
            sharing = [tray for tray in standing if tray.number == number]
            for tray in sorted(sharing, key=self._numbered_in)[1:]:
                self._renumber(tray, labels)

    def _treated(self) -> None:
        """A lot that one copy knows as treated is treated, whatever the other said of it: it may be eaten else."""
        dead, sides = reading.dead_entries(self.rows), self.known.sides
        last: dict[int, dict[bool, Packet]] = {}
        for told in packets_told(self.rows):
            if told.treated and told.entry_id not in dead and told.entry_id in {*sides.ours, *sides.theirs}:
                last.setdefault(told.lot_id, {})[told.entry_id in sides.ours] = told
        now = {lot.id: lot for lot in reading.lots(self.rows)}
        for lot_id, by_side in last.items():
            yes = [told for told in by_side.values() if told.treated is Treated.YES]
            if yes and now[lot_id].treated is not Treated.YES:
                self._say_treated(lot_id, now[lot_id].name, by_side.values())

    def _say_treated(self, lot_id: int, name: str, told: Iterable[Packet]) -> None:
        from model.store import tables

        uids = dict(self.rows("SELECT id, uid FROM entry"))
        words = f"{TREATED_IN_ONE} {name} is treated in one copy and not in the other: it counts as treated until G says no"
        entry_id = self._entry(self._uid("treated", sorted(uids[one.entry_id] for one in told)), words)
        if entry_id is not None:
            add_row(self.session, tables.Packet(entry_id=entry_id, lot_id=lot_id, treated=Treated.YES))
            reckon(self.rows, trays_sown_from(self.rows, entry_id))
            self.notes.append(f"{words[0].upper()}{words[1:]}.")

    def _packets(self) -> None:
        """Of a year or a test that both told of a lot, and differently, the later holds; that is said."""
        dead, sides = reading.dead_entries(self.rows), self.known.sides
        said: dict[int, tuple[dict[str, Any], dict[str, Any]]] = {}
        uids, by = dict(self.rows("SELECT id, uid FROM entry")), defaultdict[int, list[str]](list)
        for told in packets_told(self.rows):
            for side, entries in enumerate((sides.ours, sides.theirs)):
                if told.entry_id in entries and told.entry_id not in dead:
                    said.setdefault(told.lot_id, ({}, {}))[side].update(told.says)
                    by[told.lot_id].append(uids[told.entry_id])
        for lot in reading.lots(self.rows):
            mine, yours = said.get(lot.id, ({}, {}))
            differ = {what for what in mine.keys() & yours.keys() if mine[what] != yours[what]}
            holds: dict[str, Any] = {"packed_year": lot.packed_year} if "packed_year" in differ else {}
            if any(what.startswith("tested") for what in differ):
                holds["tested_seeds"] = lot.tested_seeds
            if holds:
                words = f"{TOLD_TWICE} {lot.name}: the later holds, {told_words(holds, lot.test)}"
                # On record, so that the other copy says it too when it takes this one in.
                if self._entry(self._uid("told twice", sorted(by[lot.id])), words) is not None:
                    self.notes.append(f"{words[0].upper()}{words[1:]}.")

    def _numbered_in(self, tray: Tray) -> int:
        """The entry by which a tray has its number."""
        dead = reading.dead_entries(self.rows)
        acts = births.live_acts(self.rows, [tray.id], dead)[tray.id]
        given = [act.entry_id for act in acts if act.kind is ActKind.RELABELLED]
        ((made_in,),) = self.rows("SELECT entry_id FROM tray WHERE id = ?", tray.id)
        return max([*given, int(made_in)])

    def _renumber(self, tray: Tray, labels: Collection[int]) -> None:
        whose = "the other copy" if self._numbered_in(tray) in self.known.sides.theirs else "this copy"
        new = next_number(self.rows, labels, tray.number)
        if not new:
            raise BadInput("Every tray number is in use.", "Retire trays that are gone, in either copy.")
        made = self.rows("SELECT min(id) FROM act WHERE tray_id = ?", tray.id)[0][0]
        first = acts_by_id(self.rows, [made])[made]
        words = f"{ClashKind.NUMBER}: two trays {label(tray.number)}, {Teller(*names(self.rows)).newcomer(first, new)}"
        from model.store import tables

        uid = self._uid(ClashKind.NUMBER, [self._name(made), str(new)])
        entry_id = self._entry(uid, words)
        if entry_id is None:
            return
        act = tables.Act(
            entry_id=entry_id,
            kind=ActKind.RELABELLED,
            day=max(self.stamp.act_day, tray.made_on),
            tray_id=tray.id,
            field="number",
            old=str(tray.number),
            new=str(new),
        )
        act_id = add_row(self.session, act)
        self._row(
            entry_id,
            Clash(ClashKind.NUMBER, tray.id, first, acts_by_id(self.rows, [act_id])[act_id]),
            tray.number,
        )
        reckon(self.rows, {tray.id})
        self.notes.append(
            f"{label(tray.number)} of {whose} is {label(new)} here now and needs a new label "
            f"({first.kind} by {first.who})."
        )

    def _given(self) -> None:
        """Promises of which both handed over plants, more than was promised."""
        dead, newer = reading.dead_entries(self.rows), reading_owed.newer_forms(self.rows)
        found = self.rows("SELECT DISTINCT tray_id FROM act WHERE promise_id IS NOT NULL")
        trays = reading.trays(self.rows, [tray_id for (tray_id,) in found])
        acts = births.live_acts(self.rows, list(trays), dead)
        given: dict[int, list[Act]] = {}
        for tray in trays.values():
            for act in corrected(acts[tray.id], tray.sowings):
                if act.promise_id is not None:
                    given.setdefault(reading_owed.newest(act.promise_id, newer), []).append(act)
        for held in reading_owed.promises(self.rows):
            clash = given_twice(given.get(held.id, ()), held.plants, self.known.sides)
            if clash is not None:
                self._keep(clash, trays[clash.tray_id].number)

    def _decided_twice(self, settled_twice: Iterable[tuple[int, int]]) -> None:
        """Both decided one clash: the later decision holds, and where they decided differently that is said."""
        for out, stays in settled_twice:
            (gone, lost), (kept, holds) = self._told(out), self._told(stays)
            words, differ = both_decided(lost, holds)
            entry_id = self._entry(self._uid("decided twice", [gone, kept]), words)
            if entry_id is None:
                continue
            if differ:
                self.notes.append(f"{words[0].upper()}{words[1:]}.")
            # It may have been taken back and brought back before.
            tip = out
            while later := self.rows("SELECT id FROM entry WHERE undoes = ?", tip):
                tip = later[0][0]
            self.rows("UPDATE entry SET undoes = ? WHERE id = ?", tip, entry_id)

    def _told(self, entry_id: int) -> tuple[str, tuple[str, str]]:
        """The uid of an entry; who made it, and its words."""
        ((uid, who, words),) = self.rows(
            "SELECT uid, name, words FROM entry JOIN person ON person.id = person_id WHERE entry.id = ?",
            entry_id,
        )
        return uid, (who, words)

    def _keep(self, clash: Clash, number: int) -> bool:
        """Put a clash on record; whether it wasn't there yet."""
        acts = [act for act in (clash.first, clash.later) if act is not None]
        uid = self._uid(clash.what, [self._name(act.id) for act in acts])
        told = acts_by_id(self.rows, [act.id for act in acts])
        first, later = (told[act.id] if act else None for act in (clash.first, clash.later))
        entry_id = self._entry(uid, Teller(*names(self.rows)).said(clash.what, number, (first, later)))
        if entry_id is None:
            return False
        self._row(entry_id, clash, number)
        return True

    def _row(self, entry_id: int, clash: Clash, number: int) -> None:
        from model.store import tables

        add_row(
            self.session,
            tables.Clash(
                entry_id=entry_id,
                what=clash.what,
                tray_id=clash.tray_id,
                ours=clash.first.id if clash.first else None,
                theirs=clash.later.id if clash.later else None,
            ),
        )

    def _entry(self, uid: str, words: str) -> int | None:
        """An entry of the merge's own; None where it is on record."""
        from model.store import tables

        if self.rows("SELECT 1 FROM entry WHERE uid = ?", uid):
            return None
        found = self.rows("SELECT id FROM person WHERE name = ?", MERGE)
        person = int(found[0][0]) if found else add_row(self.session, tables.Person(name=MERGE))
        head = tables.Entry(
            uid=uid, person_id=person, entered_at=self.stamp.at.astimezone(UTC), words=clean(words)
        )
        return add_row(self.session, head)

    def _name(self, act_id: int) -> str:
        """What an act is called in every copy: the uid of its entry, and its turn there."""
        ((uid, turn),) = self.rows(
            "SELECT uid, (SELECT count(*) FROM act AS other WHERE other.entry_id = act.entry_id AND other.id < act.id) "
            "FROM act JOIN entry ON entry.id = entry_id WHERE act.id = ?",
            act_id,
        )
        return f"{uid} {turn}"

    def _uid(self, what: Any, names: Iterable[str]) -> str:
        return sha256("\n".join([str(what), *names]).encode()).hexdigest()[:32]
