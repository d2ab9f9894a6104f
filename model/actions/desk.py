"""The one way to write: an entry is opened, acts are put down, the touched trays are reckoned anew, all or nothing."""

from collections.abc import Collection, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Any
from uuid import uuid4

from model.actions.twice import stands_already, told_already
from model.asof import trays_on
from model.days import say_day
from model.errors import AlreadyKept, BadInput
from model.facts import ActKind, Tray
from model.labels import label
from model.rules.ledger import fold
from model.store import births, reading
from model.store.database import Rows, Store, rows_of
from model.text import clean

if TYPE_CHECKING:
    from sqlmodel import Session


def new_uid() -> str:
    """An id for an entry, made where the wish is made, so that a retry can't be applied twice."""
    return uuid4().hex


@dataclass(frozen=True, slots=True)
class Stamp:
    """Who does something, at which instant, on which day of the farm."""

    who: str
    at: datetime
    today: date
    uid: str = field(default_factory=new_uid)
    day: date | None = None
    """The day the act belongs to, where it isn't today."""
    told_at: datetime | None = None
    """The time that was told, where it was written down before it was entered."""

    def __post_init__(self) -> None:
        if self.at.tzinfo is None:
            raise ValueError("the instant of a stamp needs a zone")

    @property
    def act_day(self) -> date:
        return self.day or self.today


@dataclass(frozen=True, slots=True)
class Receipt:
    """What was durably written: the entry, in words, and the trays it touched."""

    entry_id: int
    words: str
    tray_ids: tuple[int, ...]


class Pen:
    """Puts down the acts of one entry. Made by `entry`."""

    def __init__(self, session: "Session", stamp: Stamp) -> None:
        self.session = session
        self.stamp = stamp
        self.rows: Rows = rows_of(session)
        self.entry_id = 0
        self.touched: set[int] = set()
        self.words = ""
        self.undoes: int | None = None
        """The entry that this one takes back."""
        self._receipt: Receipt | None = None

    def say(self, words: str) -> None:
        """Put the entry into words; they stand in the story and in what undo says."""
        self.words = clean(words)

    def done(self) -> Receipt:
        """The receipt, once the entry is durable."""
        if self._receipt is None:
            raise RuntimeError("the entry is still open")
        return self._receipt

    def hold_back(self) -> None:
        """Drop what stands already for the time that was told; `entry` calls this. Raises SaidAlready for all of it."""
        own = reading.acts_in(self.rows, self.entry_id)
        held = told_already(self.rows, own)
        if held and len(held) == len(own):
            raise stands_already(self.words, {act.kind for act in own})
        reading.rows_in(self.rows, "DELETE FROM act WHERE id IN ({})", [act.id for act in held])
        trays = {act.tray_id for act in held if act.tray_id is not None and act.kind is not ActKind.LOOKED}
        if trays:
            named = ", ".join(label(self.tray(tray_id).number) for tray_id in sorted(trays))
            self.say(f"{self.words}; of {named} it stood already")

    def keep(self) -> None:
        """Reckon the touched trays and write the receipt; `entry` calls this last."""
        touched = reckon(self.rows, self.touched)
        _refuse_shared_numbers(self.rows, touched)
        self._receipt = Receipt(self.entry_id, self.words, tuple(sorted(touched)))

    def tray(self, tray_id: int) -> Tray:
        """A tray as it stands before this entry."""
        found = reading.trays(self.rows, [tray_id]).get(tray_id)
        if found is None:
            raise BadInput("That tray isn't on record.", "Find it by the number on its label.")
        return found

    def standing(self, tray_ids: Iterable[int]) -> list[Tray]:
        """Some trays, each once, as they stood on the day of the act; all of them must have stood then."""
        wanted = list(dict.fromkeys(tray_ids))
        if not wanted:
            raise BadInput("No tray is named.", "Name at least one.")
        found = trays_on(self.rows, wanted, self.stamp.act_day)
        for tray_id in wanted:
            tray = found.get(tray_id) or self.tray(tray_id)
            if not tray.standing:
                raise BadInput(
                    f"Tray {label(tray.number)} is gone since {say_day(tray.ended_on or tray.made_on)}.",
                    "Take another tray, or undo what emptied it.",
                )
        return [found[tray_id] for tray_id in wanted]

    def add(self, row: Any) -> int:
        """Put down a row and give its id."""
        return add_row(self.session, row)

    def act(self, kind: ActKind, tray_id: int | None, **values: Any) -> int:
        """Put down one act on the stamp's day."""
        from model.store import tables

        if tray_id is not None:
            self.touched.add(tray_id)
        day = values.pop("day", self.stamp.act_day)
        if values.get("text"):
            values["text"] = clean(values["text"])
        return self.add(tables.Act(entry_id=self.entry_id, kind=kind, day=day, tray_id=tray_id, **values))

    def person_id(self) -> int:
        """The person of the stamp, put on record when new."""
        from model.store import tables

        found = self.rows("SELECT id FROM person WHERE name = ?", self.stamp.who)
        return int(found[0][0]) if found else self.add(tables.Person(name=self.stamp.who))


def add_row(session: "Session", row: Any) -> int:
    """Put down a row in the transaction that is open, and give its id."""
    session.add(row)
    session.flush()
    return int(row.id)


@contextmanager
def entry(store: Store, stamp: Stamp) -> Iterator[Pen]:
    """One action: everything put down inside is kept whole, or nothing is.

    The receipt is the pen's once the block has ended. Raises AlreadyKept where the stamp's uid is on record.
    """
    from model.store import tables

    if stamp.act_day > stamp.today:
        raise BadInput(f"{say_day(stamp.act_day)} is still to come.", "Give today or an earlier day.")
    with store.transaction() as session:
        pen = Pen(session, stamp)
        if pen.rows("SELECT 1 FROM entry WHERE uid = ?", stamp.uid):
            raise AlreadyKept("That was already saved.", "Nothing needs to be done.")
        head = tables.Entry(
            uid=stamp.uid,
            person_id=pen.person_id(),
            entered_at=stamp.at.astimezone(UTC),
            words="",
            told_at=stamp.told_at.astimezone(UTC) if stamp.told_at else None,
        )
        pen.entry_id = pen.add(head)
        yield pen
        if stamp.told_at is not None:
            pen.hold_back()
        head.words, head.undoes = pen.words, pen.undoes
        session.add(head)
        pen.keep()


def reckon(rows: Rows, tray_ids: Collection[int]) -> set[int]:
    """Fold trays and their descendants anew from their acts and keep what they are now."""
    dead = reading.dead_entries(rows)
    done: set[int] = set()
    level = set(tray_ids)
    while level:
        _reckon_level(rows, level, dead)
        done |= level
        # A tray that was reckoned before its parent was is reckoned once more; one that was taken back is forgotten.
        children = births.children_of(rows, level, frozenset())
        level = {child for made in children.values() for child in made}
    return done


def _reckon_level(rows: Rows, level: set[int], dead: frozenset[int]) -> None:
    live = births.births(rows, level, dead)
    acts = births.live_acts(rows, level, dead)
    parents = reading.trays(rows, {tray.parent_id for tray in live if tray.parent_id})
    gone = level - {tray.id for tray in live}
    if births.children_of(rows, gone, dead):
        raise BadInput("Plants were potted up from it.", "Take that back first, or let the tray stand.")
    for tray_id in gone:
        births.forget(rows, tray_id)
    for tray in live:
        now = fold(tray, acts.get(tray.id, ()), parents.get(tray.parent_id) if tray.parent_id else None)
        births.keep(rows, now)


def _refuse_shared_numbers(rows: Rows, tray_ids: Iterable[int]) -> None:
    """One number stands on one living tray, also when a tray comes back."""
    for number in births.numbers_shared(rows, tray_ids):
        raise BadInput(f"Two trays {label(number)} would be standing.", "Give one of them another number.")
