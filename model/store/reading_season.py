"""Plain SQL reads for looking back: verdicts, what trays were sown for, reminders, and everything that people wrote."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date

from model.ahead import SeasonVerdict, VerdictWord
from model.entered import STRUCK
from model.facts import HELPING, ActKind
from model.store.database import Rows, listed
from model.store.reading import acts_of_ids, dead_entries
from model.store.reading_packets import lots_taken_back

_day = date.fromisoformat


@dataclass(frozen=True, slots=True)
class Written:
    """Words on record: of an act, a lot, a line of the plan, a promise, a pin or a verdict."""

    what: str
    """What they belong to."""
    text: str
    day: date | None
    who: str
    tray_id: int | None
    number: int | None

    @property
    def shown(self) -> str:
        """What it is and its words, as people read them."""
        return f"{self.what}: {self.text}"


def verdicts(rows: Rows, season: int) -> dict[tuple[str, int | None], SeasonVerdict]:
    """The newest verdict of a season on each crop and container that wasn't taken back."""
    found = rows(
        "SELECT crop, container_id, word, lines FROM verdict WHERE season = ? "
        f"AND entry_id NOT IN ({listed(dead_entries(rows))}) ORDER BY id",
        season,
    )
    return {
        (crop, box): SeasonVerdict(season, crop, box, VerdictWord(word), lines)
        for crop, box, word, lines in found
    }


def tray_targets(rows: Rows) -> dict[int, int]:
    """The line of the plan that each tray was sown for."""
    return dict(rows("SELECT tray_id, target_id FROM sowing WHERE target_id IS NOT NULL"))


def years_sown(rows: Rows) -> list[int]:
    """Years in which something was sown that wasn't taken back, the newest first."""
    found = rows(
        "SELECT DISTINCT sown_on FROM sowing WHERE from_sowing_id IS NULL "
        f"AND entry_id NOT IN ({listed(dead_entries(rows))})"
    )
    return sorted({_day(day).year for (day,) in found}, reverse=True)


def trays_standing(rows: Rows) -> int:
    """How many trays stand."""
    ((count,),) = rows("SELECT count(*) FROM tray_now WHERE standing")
    return int(count)


def was_shown(rows: Rows, key: str) -> bool:
    """Whether something that is shown once was shown in any year."""
    return bool(rows("SELECT 1 FROM caution WHERE key = ?", key))


def act_texts(rows: Rows) -> list[tuple[int, str]]:
    """Every act that has words, as it is shown, with its id; that somebody stood in isn't among them."""
    found = rows(
        "SELECT id, kind || ': ' || text FROM act WHERE text <> '' AND text <> ? ORDER BY id", HELPING
    )
    return [(i, text) for i, text in found]


def written_acts(rows: Rows, act_ids: list[int]) -> Iterator[Written]:
    """Some acts with their words; those that were taken back or struck are left out, corrected days are kept."""
    dead = dead_entries(rows)
    mended: dict[int, dict[str, str]] = {}
    for entry_id, act_id, field, new in rows(
        "SELECT entry_id, of_act_id, field, new FROM act WHERE kind = ? AND of_act_id IS NOT NULL ORDER BY id",
        ActKind.CORRECTED.value,
    ):
        if entry_id not in dead:
            mended.setdefault(act_id, {})[field] = new or ""
    numbers = dict(rows("SELECT tray_id, number FROM tray_now"))
    for act in acts_of_ids(rows, act_ids):
        mends = mended.get(act.id, {})
        gone = act.tray_id is not None and act.tray_id not in numbers
        if act.entry_id not in dead and STRUCK not in mends and not gone:
            day = _day(mends["day"]) if "day" in mends else act.day
            yield Written(act.kind, act.text or "", day, act.who, act.tray_id, numbers.get(act.tray_id or 0))


def written_lots(rows: Rows, said: Callable[[str, str], str]) -> Iterator[Written]:
    """Every lot by its name and source: a line for each tray sown from it, one alone where none was."""
    dead = dead_entries(rows)
    found = rows(
        "SELECT lot.name, lot.source, variety.crop, variety.name, sowing.sown_on, person.name, tray_now.tray_id, "
        "tray_now.number FROM lot JOIN variety ON variety.id = lot.variety_id "
        "LEFT JOIN sowing ON sowing.lot_id = lot.id AND sowing.from_sowing_id IS NULL "
        f"AND sowing.entry_id NOT IN ({listed(dead)}) "
        "LEFT JOIN entry ON entry.id = sowing.entry_id LEFT JOIN person ON person.id = entry.person_id "
        "LEFT JOIN tray_now ON tray_now.tray_id = sowing.tray_id "
        f"WHERE lot.id NOT IN ({listed(lots_taken_back(rows, dead))}) ORDER BY lot.id, sowing.id"
    )
    for lot, source, crop, variety, sown_on, who, tray_id, number in found:
        text = f"{lot}, {source}" if source else lot
        day = _day(sown_on) if sown_on else None
        yield Written(f"lot of {said(crop, variety)}", text, day, who or "", tray_id, number)


_ELSEWHERE = (
    ("planned for", "bed", "target", "first_day"),
    ("promised to", "to_whom", "promise", "due_on"),
    ("promise", "note", "promise", "due_on"),
    ("pinned", "reason", "pin", "entered_at"),
    ("verdict", "lines", "verdict", "entered_at"),
)
"""What the words are, their column and table, and the day they are about."""


def written_elsewhere(rows: Rows) -> Iterator[Written]:
    """Words of plans, promises, pins and verdicts that weren't taken back."""
    dead = listed(dead_entries(rows))
    for what, column, table, day in _ELSEWHERE:
        found = rows(
            f"SELECT {table}.{column}, {day}, person.name FROM {table} JOIN entry ON entry.id = entry_id "
            f"JOIN person ON person.id = person_id WHERE {table}.{column} <> '' AND entry_id NOT IN ({dead})"
        )
        yield from (Written(what, text, _day(str(on)[:10]), who, None, None) for text, on, who in found)
