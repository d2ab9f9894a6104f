"""Who entered what on a day or of it: every such entry, the newest first, standing or taken back."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta

from model.days import farm_day, local_time, say_day, say_told
from model.store import reading
from model.store.database import Rows, Store
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
    entered_on: date | None = None
    """The day on which it was entered, where that is another than the page's."""
    told: str = ""
    """When it was done, where it was entered from paper: "7:10", "Mon 13 Apr 7:10"."""


@dataclass(frozen=True, slots=True)
class EntriesPage:
    """The entries of one day, the newest first."""

    on: date
    lines: tuple[EntryLine, ...]


def read(store: Store, today: date, now: datetime) -> EntriesPage:
    """What was entered on a day, of whatever day; what was entered of it later; and what is entered at this instant.

    Where a day is asked for that isn't the clock's, what is entered on its screen is of it, and was entered now.
    """
    with store.reading() as rows:
        zone = reading.settings(rows).get("zone", "UTC")
        dead = reading.dead_entries(rows)
        of_it = {entry_id for (entry_id,) in rows("SELECT DISTINCT entry_id FROM act WHERE day = ?", today)}
        found = reading.entries(rows, _since(rows, today, now))
    days = {today, farm_day(now, zone)}
    of_day = [entry for entry in found if entry.id in of_it or farm_day(entry.at, zone) in days]
    turns = {entry.undoes: entry for entry in found if entry.undoes is not None}
    lines = [
        EntryLine(
            entry.id,
            local_time(entry.at, zone),
            entry.who,
            entry.words,
            entry.id not in dead,
            tuple(_turned(entry, turns, zone)),
            entered_on if (entered_on := farm_day(entry.at, zone)) != today else None,
            say_told(entry.told_at, today, zone) if entry.told_at else "",
        )
        for entry in reversed(of_day)
        if entry.undoes is None
    ]
    return EntriesPage(today, tuple(lines))


def _since(rows: Rows, today: date, now: datetime) -> datetime:
    """An instant before all that can stand on a day's page."""
    ((first,),) = rows(
        "SELECT min(entered_at) FROM act JOIN entry ON entry.id = entry_id WHERE day = ?", today
    )
    instants = [now, datetime.combine(today, time(), UTC)]
    if first is not None:
        instants.append(datetime.fromisoformat(str(first)).replace(tzinfo=UTC))
    # A day begins at most a day before it does in Greenwich, or after.
    return min(instants) - timedelta(days=2)


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
    head += _entered_else(page)
    lines = tuple(
        AnswerLine(_line(line), _why(line), "" if line.stands else "quiet", line.entry_id)
        for line in page.lines
    )
    return Answer("entries", (head,), lines, f"{'time':<{TIME}}{'who':<{WHO}}{'':<{STATE}}what")


def _entered_else(page: EntriesPage) -> str:
    """How many of a day's entries were entered on another, and on which."""
    days = [line.entered_on for line in page.lines if line.entered_on is not None]
    if not days:
        return ""
    when = say_day(days[0]) if len(set(days)) == 1 else "other days"
    return f" {len(days) if len(days) < len(page.lines) else 'All'} entered on {when}."


def _line(line: EntryLine) -> str:
    state = "" if line.stands else "taken back"
    head = f"{line.time:>5} {fit(line.who, WHO - 1, '…')} {state:<{STATE}}"
    # When it was done stands whole, however long the words are.
    return head + cut(line.words, WIDTH - TIME - WHO - STATE - len(_told(line))) + _told(line)


def _told(line: EntryLine) -> str:
    return f", told for {line.told}" if line.told else ""


def _why(line: EntryLine) -> tuple[str, ...]:
    on = f"{say_day(line.entered_on)} " if line.entered_on else ""
    return (line.words, f"entered {on}{line.time} by {line.who}{_told(line)}", *line.turned[-2:])
