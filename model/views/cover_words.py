"""The sheet for an absence in words: plain lines with boxes to tick, the same on paper and on the screen."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from math import ceil
from textwrap import wrap

from model.days import WEEKDAYS, say_day
from model.rules.absence import Evening
from model.rules.verdict import Window
from model.text import fit
from model.units import Temperature, fahrenheit, show_temperature
from model.views.answer import MOST_WHY, WIDTH, Answer, AnswerLine, as_text
from model.views.calling import BLANK, call_if
from model.views.cover import (
    CIRCLE,
    IN_PLUG,
    BeforeLeaving,
    CoverDay,
    CoverSheet,
    NightWork,
    SowingToMove,
)
from model.views.cover_jobs import Job
from model.views.round import WORDS

IN_BY = "17:00"
"""Hour by which trays are in for a night: while there is still light to carry them. Ours."""
BOX = "[ ] "
AT_RISK = "  ! at risk: "
MOST_NAME, MOST_NAMED = 30, 4
"""Characters of a name [-], and nights named one by one [-]; more are counted."""
WORST_FIRST = (Evening.BRING_IN, Evening.UNKNOWN, Evening.CLOSE, Evening.COVER)
NIGHTS_OF = {
    Evening.BRING_IN: "bring in",
    Evening.UNKNOWN: "no forecast",
    Evening.CLOSE: "near the line",
    Evening.COVER: "cover",
}
ROW_WIDTH = WIDTH - 1
"""Columns of a line: the screen keeps one for its scroll bar."""
WHY_WIDTH = WIDTH - 8
"""Columns of a reason: it stands further in than its line."""


def cover_answer(sheet: CoverSheet) -> Answer:
    """The sheet: who, when and whom to call; when to call; before leaving; then day by day."""
    return Answer(
        title="away",
        answer=(
            f"For {sheet.for_whom[:MOST_NAME] or BLANK}: {say_day(sheet.first)} to {say_day(sheet.last)} {sheet.last.year}",
            f"call: {sheet.phone}   before leaving: {_counts(sheet)}",
            *wrap(_nights(sheet), WIDTH),
        ),
        heading="CALL IF",
        lines=(
            *(line for words in call_if(sheet.usual, sheet.scale) for line in _rows(words, "  - ")),
            AnswerLine(""),
            *_careful(sheet),
            *_before(sheet),
            *(line for day in sheet.days for line in _day(day, sheet)),
        ),
        notes=tuple(row for note in _notes(sheet) for row in wrap(note, WIDTH)),
    )


def cover_text(sheet: CoverSheet, *, ascii_only: bool = False) -> str:
    """The sheet on paper, 78 columns: reasons only under trays that run out of time, the rest stands on the screen."""
    found = cover_answer(sheet)
    lines = tuple(line if line.key is not None else replace(line, why=()) for line in found.lines)
    return as_text(replace(found, lines=lines), ascii_only=ascii_only)


def _counts(sheet: CoverSheet) -> str:
    counts = ((len(sheet.before), "tray"), (len(sheet.sowings), "sowing"))
    return ", ".join(f"{n} {what}{'s' if n > 1 else ''}" for n, what in counts if n) or "nothing"


def _nights(sheet: CoverSheet) -> str:
    """Which nights ask for something; each night counts once, by the most that it asks of any tray."""
    asked: dict[Evening, list[date]] = {}
    for day in sheet.days:
        here = {work.word for work in day.nights}
        worst = next((word for word in WORST_FIRST if word in here), None)
        if worst:
            asked.setdefault(worst, []).append(day.day)
    if not any(day.nights for day in sheet.days):
        return "Nothing stands outside at night."
    parts = [f"{NIGHTS_OF[word]} {_listed(asked[word])}" for word in WORST_FIRST if word in asked]
    words = "; ".join(parts) or "every night is fine"
    return f"{words[0].upper()}{words[1:]}."


def _listed(nights: list[date]) -> str:
    """Nights by name, or how many there are."""
    if len(nights) > MOST_NAMED:
        return f"on {len(nights)} nights from {say_day(nights[0])}"
    return ", ".join(f"{WEEKDAYS[night.weekday()]} {night.day}" for night in nights)


def _rows(words: str, lead: str, why: tuple[str, ...] = (), tone: str = "") -> Iterator[AnswerLine]:
    """Words over as many lines as they take; the reasons hang on the first."""
    # A figure stays with its degree sign.
    kept = wrap(words.replace(" °", "\N{NO-BREAK SPACE}°"), ROW_WIDTH - len(lead))
    for number, row in enumerate(row.replace("\N{NO-BREAK SPACE}", " ") for row in kept):
        yield AnswerLine(" " * len(lead) + row, tone=tone) if number else AnswerLine(lead + row, why, tone)


def _careful(sheet: CoverSheet) -> Iterator[AnswerLine]:
    if sheet.careful:
        yield AnswerLine("TAKE CARE")
        for words in sheet.careful:
            yield from _rows(words, "  ! ", tone="crowding")
        yield AnswerLine("")


def _before(sheet: CoverSheet) -> Iterator[AnswerLine]:
    yield AnswerLine("BEFORE YOU LEAVE")
    for tray in sheet.before:
        yield _tray(tray, sheet)
    for sowing in sheet.sowings:
        yield from _sowing(sowing, sheet)
    for mat, labels in sheet.coming_up.items():
        words = f"{mat}: due up while you are away; say where they go then: {', '.join(labels)}"
        yield from _rows(words, BOX, tone="crowding")
    if sheet.not_told:
        nights = ", ".join(say_day(night) for night in sheet.not_told)
        words = (
            f"no forecast for the night{'s' if len(sheet.not_told) > 1 else ''} of {nights}: N f takes them"
        )
        yield from _rows(words, BOX, tone="crowding")
    if not (sheet.before or sheet.sowings or sheet.coming_up or sheet.not_told):
        yield AnswerLine("    nothing runs out of time while you are away")
    yield AnswerLine("")


def _tray(tray: BeforeLeaving, sheet: CoverSheet) -> AnswerLine:
    when = f"by {say_day(tray.by)}" if tray.by >= sheet.first else "now"
    if tray.words == CIRCLE:
        when = f"about {say_day(tray.by)}" if tray.by >= sheet.first else "now"
    text = f"{BOX}{tray.label:<6}{fit(tray.what, 21)} {fit(tray.place, 9)} {tray.words}, {when}"
    why = tuple(row for reason in tray.why for row in wrap(reason, WHY_WIDTH))[:MOST_WHY]
    return AnswerLine(text[:ROW_WIDTH], why, "crowding", tray.tray_id, tray.number)


def _sowing(sowing: SowingToMove, sheet: CoverSheet) -> Iterator[AnswerLine]:
    """Both sides of the days away on which a planned sowing still fits."""
    fits, parts = sowing.fits, ["today, or drop it"] if sowing.missed else []
    if fits.before:
        parts.append(f"earlier ({_span(fits.before, sheet.on)})")
    if fits.after:
        parts.append(f"later ({_span(fits.after, sheet.on)})")
    moved = " or ".join(parts) or "no other day fits; sow it early, or leave it to the helper"
    window = _span(Window(sowing.start, sowing.end), sheet.on)
    if sowing.missed and sowing.end:
        moved = f"its last day was {say_day(sowing.end)}; {moved}"
    yield from _rows(
        f"sow {sowing.what}: {moved}",
        BOX,
        why=(f"its window: {window}", "the days of leaving and of coming back count as days at home"),
        tone="" if parts else "crowding",
    )


def _span(window: Window, today: date) -> str:
    first = "today" if window.start == today else say_day(window.start)
    if window.end is None:
        return f"{first} on"
    return first if window.end == window.start else f"{first} to {say_day(window.end)}"


def _day(day: CoverDay, sheet: CoverSheet) -> Iterator[AnswerLine]:
    told = f"   low {show_temperature(day.told_c, sheet.scale)} told" if day.told_c is not None else ""
    until = "   until they are back" if day.day == sheet.last != sheet.first else ""
    leaving = "   from the evening on" if day.day == sheet.first != sheet.last else ""
    yield AnswerLine(f"{say_day(day.day).upper()}{leaving}{until}{told}")
    if not leaving and sheet.places:
        yield from _rows(f"water: look at each, morning: {', '.join(sheet.places)}", BOX)
    for job in day.jobs:
        yield from _job(job)
    for work in day.nights:
        yield from _night(work, sheet.scale)
    for tray in sheet.before:
        if tray.by == day.day:
            yield from _rows(
                f"{tray.label} {tray.what}, {tray.place}: {_runs_out(tray)}", AT_RISK, tone="crowding"
            )
    yield AnswerLine("")


def _runs_out(tray: BeforeLeaving) -> str:
    """What happens to a tray on the day on which it runs out of time."""
    if tray.words == CIRCLE:
        return "its roots begin to circle about now"
    return tray.words if tray.words.endswith(IN_PLUG) else f"last day to {tray.words}"


def _job(job: Job) -> Iterator[AnswerLine]:
    long = WORDS.get(job.task, (job.task.value,))[0]
    when = f"by {say_day(job.by)}" if job.by else "can wait"
    then = f", {job.then}" if job.then else ""
    yield from _rows(f"{job.place}: {long}{then}, {when}: {', '.join(job.labels)}", BOX)


def _night(work: NightWork, scale: Temperature) -> Iterator[AnswerLine]:
    labels, place = ", ".join(work.labels), work.place
    enough, line = _at_least(work.enough_c, scale), show_temperature(work.line_c, scale)
    tone = "" if work.word is Evening.FINE else "crowding" if work.word is Evening.UNKNOWN else "cold"
    words = {
        Evening.BRING_IN: f"bring in {place} by {IN_BY} (line {line}): {labels}",
        Evening.COVER: f"cover {place} by {IN_BY} (line {line}): {labels}",
        Evening.CLOSE: f"near the line, {place}: bring in by {IN_BY} if the evening's forecast is under {enough}: {labels}",
        Evening.FINE: f"{place}: fine tonight, stay out (line {line}): {labels}",
        Evening.UNKNOWN: f"no forecast for this night, {place}: bring in if under {enough}: {labels}",
    }[work.word]
    told = (
        f"low {show_temperature(work.low_c, scale)} told where they stand; " if work.low_c is not None else ""
    )
    spare = f"told {enough} that evening, about one chance in ten is left"
    reasons = (f"{told}line {line}", work.line_source, spare)
    why = tuple(row for reason in reasons for row in wrap(reason, WHY_WIDTH))[:MOST_WHY]
    yield from _rows(words, BOX, why=why, tone=tone)


def _at_least(degrees_c: float, scale: Temperature) -> str:
    """A temperature rounded up to a whole degree, so that what is written is never short of it."""
    degrees = fahrenheit(degrees_c) if scale is Temperature.FAHRENHEIT else degrees_c
    return f"{ceil(round(degrees, 6))} {scale}"


def _notes(sheet: CoverSheet) -> Iterator[str]:
    if any(work.word in {Evening.BRING_IN, Evening.CLOSE} for day in sheet.days for work in day.nights):
        rooms = (
            ", ".join(f"{room.place}: {room.free}" for room in sheet.room) or "none, stack or use the floor"
        )
        yield f"Room inside for what comes in: {rooms}. In the morning it goes out again."
    if sheet.waiting:
        yield f"Hardening waits, their nights are too cold or not told: {', '.join(sheet.waiting)}."
    if sheet.shut_out:
        yield f"Set out none of these, the gate says WAIT and tells no day yet: {', '.join(sheet.shut_out)}."
    yield "The evening's newest forecast outranks this sheet."
    yield "What nobody marks or ticks stays unseen; such a day outside isn't counted as hardening."
