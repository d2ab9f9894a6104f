"""Is the record sound? The file itself, and then what it says: counts, trays, undo, days."""

import shlex
from collections import Counter
from collections.abc import Iterator, Mapping
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from itertools import pairwise
from pathlib import Path
from tempfile import TemporaryDirectory

from model.days import farm_day, say_day
from model.entered import TrayBirth
from model.errors import BadInput, NoDatabase, NotEnough, TrayroundError
from model.facts import Tray
from model.labels import label
from model.rules.balance import apart
from model.rules.clash_words import TOLD_TWICE
from model.rules.ledger import COUNTS, fold
from model.store import backup, births, exchange, migrate, projection, reading, soundness
from model.store.address import Server, Where
from model.store.database import STRANGE, FileStore, Rows, Store, open_store
from model.text import clean, several
from model.views.answer import Answer, AnswerLine

MOST = 20
"""Findings of one kind that are told."""
HAS_ROWS = (
    *("act", "tray", "sowing", "reading", "stock", "target", "pin", "freeze"),
    *("promise", "verdict", "clash", "packet"),
)
"""Tables of what an entry can put down."""
CURES = {
    "the file": "What can be done stands below.",
    "counts": "Correct the act that takes too much, or undo it.",
    "trays": "trayround check --rebuild reckons every tray anew from its acts; no act is touched.",
    "orphans": "Export the record and look at the rows; a backup may still have them whole.",
    "undo": "Go back to a backup: trayround restore lists them.",
    "days": "Put the clock of this computer right; correct the day of what was entered for it.",
}
"""What to do about a finding of each kind."""


@dataclass(frozen=True, slots=True)
class Checked:
    """One kind of check."""

    what: str
    counted: str
    """What was looked at: "412 entries"."""
    found: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CheckPage:
    """Every check of one record."""

    file: str
    checks: tuple[Checked, ...]
    notes: tuple[str, ...] = ()

    @property
    def sound(self) -> bool:
        return not any(check.found for check in self.checks)


def read(where: Where, now: datetime) -> CheckPage:
    """Check a record without changing it. How it lies on the disk of a server is checked by the server itself."""
    if not isinstance(where, Server):
        return _read_file(where, now)
    with closing(open_store(where)) as store:
        return _page(store, now, ())


def _read_file(path: Path, now: datetime) -> CheckPage:
    """Check a file. One of an earlier release is checked as a file only."""
    if not path.is_file():
        raise NoDatabase(
            f"There is no database at {path}.", backup.way_back(path) or "Name another with --db."
        )
    defects = tuple(soundness.defects(path))
    of_file = Checked("the file", f"{path.stat().st_size // 1024 + 1} kB", defects[:MOST])
    if defects:
        return CheckPage(str(path), (of_file,), tuple(_ways(path)))
    if migrate.known_version(path) != migrate.HEAD:
        note = "The file is of an earlier release; open it once, then check what it says."
        return CheckPage(str(path), (of_file,), (note,))
    return _page(FileStore(path), now, (of_file,))


def _ways(path: Path) -> Iterator[str]:
    """What can be done about a damaged file: the way back, and what can still be read."""
    yield backup.way_back(path) or backup.no_backup(path, checked=True)
    many = len(backup.written(path))
    yield f"Of its entries {many:,} can still be read."
    try:
        with TemporaryDirectory(prefix="trayround-check-") as folder:
            exchange.export_folder(FileStore(path), Path(folder))
    except (TrayroundError, *STRANGE):
        return
    name = shlex.quote(str(path))
    yield (
        f"All its tables can be read: trayround export FOLDER --db {name} writes them, and trayround import FOLDER "
        "--db NEW makes a new record of them."
    )


def _page(store: Store, now: datetime, first: tuple[Checked, ...]) -> CheckPage:
    with store.reading() as rows:
        zone = reading.settings(rows).get("zone", "UTC")
        found = (*first, *_of_the_record(rows, now, zone))
        return CheckPage(store.name, found, _clock_notes(reading.entries(rows)))


def _of_the_record(rows: Rows, now: datetime, zone: str) -> Iterator[Checked]:
    entries = reading.entries(rows)
    trays = births.all_tray_ids(rows)
    folded, counts = _folded(rows)
    yield Checked("counts", f"{sum(len(tray.sowings) for tray in folded.values())} sowings", _few(counts))
    yield Checked("trays", f"{len(trays)} trays", _few(_not_as_acts(rows, folded)))
    yield Checked("orphans", f"{len(entries)} entries", _few(_orphans(rows)))
    undone = sum(entry.undoes is not None for entry in entries)
    yield Checked("undo", f"{undone} taken back", _few(_undo(rows)))
    yield Checked(
        "days", f"until {say_day(farm_day(now, zone))}", _few(_days(rows, now, farm_day(now, zone)))
    )


def _few(found: list[str]) -> tuple[str, ...]:
    more = len(found) - MOST
    return (*found[:MOST], f"and {more} more") if more > 0 else tuple(found)


def _folded(rows: Rows) -> tuple[dict[int, Tray], list[str]]:
    """Every tray reckoned anew from its acts, and where that doesn't come out."""
    dead = reading.dead_entries(rows)
    ids = births.all_tray_ids(rows)
    acts, made = births.live_acts(rows, ids, dead), births.births(rows, ids, dead)
    folded: dict[int, Tray] = {}
    found = []
    for birth in made:
        source = folded.get(birth.parent_id) if birth.parent_id else None
        if birth.parent_id and source is None:
            found.append(f"tray {label(birth.number)} came of a tray that doesn't reckon")
            continue
        try:
            folded[birth.id] = fold(birth, acts.get(birth.id, ()), source)
        except (BadInput, NotEnough) as error:
            found.append(f"tray {label(birth.number)}: {error.what_happened}")
    return folded, found + _unbalanced(folded, made) + _shared(folded)


def _unbalanced(folded: Mapping[int, Tray], made: list[TrayBirth]) -> list[str]:
    """Sowings whose plants aren't all somewhere, or whose potted plants aren't in pots."""
    found = []
    for tray in folded.values():
        for sowing in tray.sowings:
            gone = sum(getattr(sowing, column) for column in COUNTS.values())
            if min(sowing.have, sowing.empty) < 0 or sowing.have + sowing.empty + gone != sowing.cells:
                found.append(
                    f"tray {label(tray.number)}: {sowing.have} stand of {sowing.cells}, {gone} are gone"
                )
    found += [
        f"tray {label(tray.number)}: {sowing.potted} were potted up, {pots} are in pots"
        for tray, sowing, pots in apart(folded, made)
    ]
    return found


def _shared(folded: Mapping[int, Tray]) -> list[str]:
    numbers = Counter(tray.number for tray in folded.values() if tray.standing)
    return [f"{count} trays {label(number)} are standing" for number, count in numbers.items() if count > 1]


def _not_as_acts(rows: Rows, folded: Mapping[int, Tray]) -> list[str]:
    """Trays whose kept facts aren't what their acts say."""
    kept: dict[int, tuple[object, ...]] = {
        i: tuple(row) for i, *row in rows("SELECT tray_id, standing, number, facts FROM tray_now")
    }
    found = []
    for tray_id, tray in folded.items():
        if kept.pop(tray_id, None) != (tray.standing, tray.number, projection.to_text(tray)):
            found.append(f"what is kept of tray {label(tray.number)} isn't what its acts say")
    return found + [f"something is kept of tray id {i}, which was taken back" for i in kept]


_NO_ROWS = ("decided, ", "took back: ", "brought back: ", TOLD_TWICE)
"""How words of entries begin that may put nothing down: it was decided what holds, both copies took it back, or it tells."""

_ORPHANS = {
    "entry {} has no words": "SELECT id FROM entry WHERE words = ''",
    "entry {} put nothing down": "SELECT id FROM entry WHERE undoes IS NULL"
    + "".join(f' AND id NOT IN (SELECT entry_id FROM "{table}")' for table in HAS_ROWS)
    + "".join(f" AND substr(words, 1, {len(begin)}) <> '{begin}'" for begin in _NO_ROWS),
    "tray id {} was never sown": "SELECT id FROM tray WHERE id NOT IN (SELECT tray_id FROM sowing)",
    "act {} is of a sowing in another tray": "SELECT act.id FROM act JOIN sowing ON sowing.id = sowing_id "
    "WHERE coalesce(act.tray_id, 0) <> sowing.tray_id",
    "act {} corrects an act of another tray": "SELECT act.id FROM act JOIN act AS older ON older.id = act.of_act_id "
    # What was entered by a swapped label counts for the other tray, and points at the act that it was.
    "WHERE act.kind = 'corrected' AND coalesce(act.tray_id, 0) <> coalesce(older.tray_id, 0) OR older.id >= act.id",
    "tray id {} came of a later one": "SELECT id FROM tray WHERE parent_id >= id",
    "sowing {} came of a later one": "SELECT id FROM sowing WHERE from_sowing_id >= id",
}
"""Rows that hang on nothing, or on the wrong thing, and how to find them."""

_UNDO = {
    "entry {} takes back one that came after it": "SELECT id FROM entry WHERE undoes >= id",
}


def _orphans(rows: Rows) -> list[str]:
    return _told(rows, _ORPHANS)


def _undo(rows: Rows) -> list[str]:
    return _told(rows, _UNDO)


def _told(rows: Rows, queries: Mapping[str, str]) -> list[str]:
    return [words.format(i) for words, sql in queries.items() for (i,) in rows(sql)]


def _days(rows: Rows, now: datetime, today: date) -> list[str]:
    """What is on record for a day that is still to come."""
    instant = now.astimezone(UTC).strftime("%Y-%m-%d %H:%M:%S.%f")
    asked: tuple[tuple[str, str, str], ...] = (
        ("entry {} was made at {} UTC", "SELECT id, entered_at FROM entry WHERE entered_at > ?", instant),
        ("act {} is for {}", "SELECT id, day FROM act WHERE day > ?", today.isoformat()),
        ("tray id {} was made on {}", "SELECT id, made_on FROM tray WHERE made_on > ?", today.isoformat()),
        ("sowing {} is of {}", "SELECT id, sown_on FROM sowing WHERE sown_on > ?", today.isoformat()),
        (
            "reading {} is of {}",
            "SELECT id, day FROM reading WHERE what <> 'forecast' AND day > ?",
            today.isoformat(),
        ),
    )
    return [
        f"{words.format(i, day)}, still to come" for words, sql, until in asked for i, day in rows(sql, until)
    ]


def _clock_notes(entries: list[reading.EntryRow]) -> tuple[str, ...]:
    """Where the clock was set back between two entries: no fault, since they go by their order."""
    back = [
        (before.at - after.at, after)
        for before, after in pairwise(entries)
        if before.at - after.at > timedelta(minutes=1)
    ]
    if not back:
        return ()
    most, entry = max(back, key=lambda found: found[0])
    hours = most.total_seconds() / 3600
    times = f"{len(back)} times" if len(back) > 1 else "once"
    return (
        f"The clock went back {times}, at most about {hours:.1f} h before entry {entry.id}. "
        "Entries go by their order, so nothing is lost by that.",
    )


def answer(page: CheckPage) -> Answer:
    """The checks in words: the answer first, then each kind with what was found."""
    found = sum(len(check.found) for check in page.checks)
    head = "The record is sound." if page.sound else f"{several(found, 'finding')} in the record."
    lines = []
    for check in page.checks:
        state = "fine" if not check.found else f"{len(check.found)} found"
        lines.append(AnswerLine(f"{check.what:<10} {state:<10} {check.counted}", _why(check)))
    return Answer("check", (head, page.file), tuple(lines), "what       is         looked at", page.notes)


def _why(check: Checked) -> tuple[str, ...]:
    return (*(clean(words) for words in check.found), CURES[check.what]) if check.found else ()
