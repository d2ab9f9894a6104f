"""A word found again: notes, words of acts, beds, lots, calls and to whom plants went, of all seasons."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from model.crops import variety_name
from model.days import named_among
from model.errors import BadInput
from model.labels import label
from model.store import reading_season
from model.store.database import Rows, Store
from model.store.reading_season import Written
from model.text import clean, cut, fit, folded, several
from model.views.answer import WIDTH, Answer, AnswerLine

MOST = 200
"""Finds that are listed; the newest. Ours."""


@dataclass(frozen=True, slots=True)
class FoundView:
    """What was looked for, and where it stands, the newest first."""

    asked: str
    found: tuple[Written, ...]


def read_notes(store: Store, asked: str, today: date) -> FoundView:
    """Everything people wrote in which every one of some words occurs; of trays until a day. Raises BadInput where none is typed.

    Accents, capitals and the order of words don't matter; no sign stands for another. What a line is, "looked sick",
    is among its words. Words that name a day or a month hold too of what was written then.
    """
    words = folded(clean(asked)).split()
    if not words:
        raise BadInput("No word was typed.", "Type a word of a note, a bed, a lot, or to whom plants went.")
    with store.reading() as rows:
        found = list(_everything(rows, words, today))

    def newest(one: Written) -> tuple[bool, int, str, int]:
        day = one.day or date.min
        # What is still to come stands after what was done.
        return day > today, -day.toordinal(), one.what, one.number or 0

    return FoundView(clean(asked).strip(), tuple(sorted(found, key=newest)))


def _everything(rows: Rows, words: list[str], today: date) -> Iterator[Written]:
    day, others = named_among(words)

    def fits(one: Written) -> bool:
        if day is not None and one.day is not None and day.holds(one.day):
            return has_all(one.shown, others)
        return has_all(one.shown, words)

    # Most acts say what thousands of others say: each text is looked at once.
    texts = reading_season.act_texts(rows)
    said = {text for text in {text for _, text in texts} if has_all(text, others)}
    acts = reading_season.written_acts(rows, [i for i, text in texts if text in said])
    lots = filter(fits, reading_season.written_lots(rows, variety_name))
    for one in (*(acts if day is None else filter(fits, acts)), *lots):
        if one.day is None or one.day <= today:
            yield one
    # What is planned or promised is of a day to come; pins and verdicts carry the clock's day, whatever day is shown.
    yield from filter(fits, reading_season.written_elsewhere(rows))


def has_all(text: str, words: list[str]) -> bool:
    """Whether every word, folded already, occurs in a text."""
    there = folded(text)
    return all(word in there for word in words)


def answer(view: FoundView) -> Answer:
    """How much was found, then each of it."""
    shown = view.found[:MOST]
    seasons = sorted({one.day.year for one in view.found if one.day})
    span = (
        f" in {seasons[0]}"
        if len(seasons) == 1
        else f" from {seasons[0]} to {seasons[-1]}"
        if seasons
        else ""
    )
    head = f"{view.asked!r}: found {several(len(view.found), 'time')}{span}."
    more = f"The newest {MOST} are listed; another word beside it narrows it down."
    return Answer(
        title="found",
        answer=(head, more) if len(view.found) > MOST else (head,),
        lines=tuple(_line(one) for one in shown),
        heading=f"{'day':<12}{'tray':<7}{'who':<9}what" if shown else "",
        notes=(
            "Notes, words of acts, beds, lots, calls, to whom, verdicts; of all seasons. A day (14 Apr) or month (Apr 2026) too.",
        ),
    )


def _line(one: Written) -> AnswerLine:
    day = f"{one.day:%Y-%m-%d}" if one.day else "-"
    tray = label(one.number) if one.number is not None else "-"
    words = " ".join(one.shown.splitlines())
    text = f"{day:<12}{tray:<7}{fit(one.who, 8)} {words}"
    return AnswerLine(cut(text, WIDTH), (words,), "", one.tray_id, one.number)
