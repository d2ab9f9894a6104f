"""Who entered what on a day: every entry of the day, the newest first, standing or taken back."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from model.days import farm_day, local_time, say_day, say_told
from model.store import reading
from model.store.database import Store
from model.store.reading import EntryRow
from model.text import cut, fit
from model.views.answer import WIDTH, Answer, AnswerLine

TIME, WHO, STATE = 6, 11, 11
"""Widths of the columns before the words."""


@dataclass(frozen=True, slots=True)
class EntryLine:
    """One entry of the day."""

    entry_id: int
    time: str
    who: str
    words: str
    stands: bool
    turned: tuple[str, ...] = ()
    """When it was taken back and brought back, and by whom."""
    told: str = ""
    """When it was done, where it was entered from paper: "7:10", "Mon 13 Apr 7:10"."""


@dataclass(frozen=True, slots=True)
class EntriesPage:
    """The entries of one day, the newest first."""

    on: date
    lines: tuple[EntryLine, ...]


def read(store: Store, _today: date, now: datetime) -> EntriesPage:
    """What was entered on the farm's day of an instant, whatever day it was entered for."""
    with store.reading() as rows:
        zone = reading.settings(rows).get("zone", "UTC")
        dead = reading.dead_entries(rows)
        # A day begins at most a day before it does in Greenwich, or after.
        found = reading.entries(rows, now - timedelta(days=2))
    on = farm_day(now, zone)
    of_day = [entry for entry in found if farm_day(entry.at, zone) == on]
    turns = {entry.undoes: entry for entry in of_day if entry.undoes is not None}
    lines = [
        EntryLine(
            entry.id,
            local_time(entry.at, zone),
            entry.who,
            entry.words,
            entry.id not in dead,
            tuple(_turned(entry, turns, zone)),
            say_told(entry.told_at, on, zone) if entry.told_at else "",
        )
        for entry in reversed(of_day)
        if entry.undoes is None
    ]
    return EntriesPage(on, tuple(lines))


def _turned(entry: EntryRow, turns: Mapping[int, EntryRow], zone: str) -> list[str]:
    """What became of an entry since: taken back, brought back, taken back again."""
    said: list[str] = []
    while (turn := turns.get(entry.id)) is not None:
        word = "brought back" if len(said) % 2 else "taken back"
        said.append(f"{word} {local_time(turn.at, zone)} by {turn.who}")
        entry = turn
    return said


def answer(page: EntriesPage) -> Answer:
    """The day's entries in words: how many and whose, then each."""
    if not page.lines:
        return Answer("entries", (f"Nothing was entered on {say_day(page.on)} yet.",))
    people = ", ".join(dict.fromkeys(line.who for line in reversed(page.lines)))
    count, back = len(page.lines), sum(not line.stands for line in page.lines)
    head = f"{say_day(page.on)}: {count} entr{'y' if count == 1 else 'ies'} by {people}"
    head += f"; {back} taken back." if back else "."
    lines = tuple(
        AnswerLine(_line(line), _why(line), "" if line.stands else "quiet", line.entry_id)
        for line in page.lines
    )
    return Answer("entries", (head,), lines, f"{'time':<{TIME}}{'who':<{WHO}}{'':<{STATE}}what")


def _line(line: EntryLine) -> str:
    state = "" if line.stands else "taken back"
    head = f"{line.time:>5} {fit(line.who, WHO - 1, '…')} {state:<{STATE}}"
    # When it was done stands whole, however long the words are.
    return head + cut(line.words, WIDTH - TIME - WHO - STATE - len(_told(line))) + _told(line)


def _told(line: EntryLine) -> str:
    return f", told for {line.told}" if line.told else ""


def _why(line: EntryLine) -> tuple[str, ...]:
    return (line.words, f"entered {line.time} by {line.who}{_told(line)}", *line.turned[-2:])
