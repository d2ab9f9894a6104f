"""What is reckoned of the trays' water, beside what the record says of it: for the page, for JSON, for a second pass."""

from collections.abc import Collection
from dataclasses import replace
from datetime import date, timedelta

from model.facts import Tray
from model.rules.grounds import Grounds
from model.rules.thirst import NO_LATITUDE, NO_WATERING, second_pass, thirsts
from model.rules.verdict import Dries, SecondPass, Thirst
from model.store import reading
from model.store.database import Rows, Store
from model.views.asof import standing_on
from model.views.grounds import grounds
from model.views.lines import RoundView, TrayLine
from model.views.round import line_of

NOT_SEEN = "not seen today; "
WHY_WIDTH = 72
"""Characters of a row of the why on a screen of 80 columns."""


def thirst_of(rows: Rows, tray: Tray, on: Grounds, line: TrayLine, today: date) -> TrayLine:
    """A tray's line with what is reckoned of its water; one that is gone stays as it is."""
    if not tray.standing:
        return line
    return with_thirst(line, _reckoned(rows, [tray], on, [line], today)[tray.id])


def forecast(store: Store, view: RoundView) -> RoundView:
    """The round with what is reckoned of the water of each tray."""
    with store.reading() as rows:
        trays = standing_on(rows, view.on)
        found = _reckoned(rows, trays, grounds(rows, trays), view.lines, view.on)
    return replace(
        view,
        lines=tuple(
            with_thirst(line, found[line.tray_id]) if line.tray_id in found else line for line in view.lines
        ),
    )


def read_second_pass(store: Store, today: date) -> tuple[tuple[SecondPass, ...], str]:
    """The places that a second pass should go to, and what isn't known; without any place, why there is none."""
    with store.reading() as rows:
        trays = standing_on(rows, today)
        on = grounds(rows, trays)
        lines = [line_of(tray, on, today) for tray in trays]
        found = _reckoned(rows, trays, on, lines, today)
    passes = second_pass(found, [(tray.id, tray.place_id) for tray in trays], on.places.values())
    return passes, _remark(found.values(), none=not passes)


def _remark(found: Collection[Thirst], *, none: bool) -> str:
    """Why no place is named, and of how many trays it isn't known."""
    blind = sum(thirst.word == NO_LATITUDE for thirst in found)
    unknown = sum(thirst.dries is Dries.UNKNOWN for thirst in found) - blind
    remarks = ["No tray is likely dry before evening."] if none else []
    if blind:
        remarks.append(f"Not known of {blind} without a latitude: S sets it.")
    if unknown and none:
        remarks.append(f"Not known of {unknown}: no watering on record.")
    return " ".join(remarks)


def _reckoned(
    rows: Rows, trays: Collection[Tray], on: Grounds, lines: Collection[TrayLine], today: date
) -> dict[int, Thirst]:
    fills = {line.tray_id: line.fill.expected if line.fill else None for line in lines}
    return thirsts(trays, on, fills, today, _felt(rows, today))


def _felt(rows: Rows, today: date) -> Collection[Tray]:
    """The trays, gone ones too, that a finger was in lately."""
    from model.rules.spells import LONGEST_DAYS, TAUGHT_DAYS

    ids = reading.fingered(rows, today - timedelta(days=TAUGHT_DAYS + LONGEST_DAYS))
    return reading.trays(rows, ids).values()


def with_thirst(line: TrayLine, thirst: Thirst) -> TrayLine:
    """A line whose note, and last line of its why, say what is reckoned. What people said stands first and stays."""
    if thirst.word == NO_WATERING:
        return replace(line, thirst=thirst)
    known, note = thirst.dries is not Dries.UNKNOWN, line.water.text
    short = note.removeprefix(NOT_SEEN)
    whole = f"{note}; {thirst.word} ({thirst.how})" if known else f"{note}; {thirst.word}"
    tries = [whole, whole.removeprefix(NOT_SEEN), f"{short}; {thirst.word}"]
    # That something isn't known takes no room from what people said.
    last = f"{thirst.word}; {short}" if known else note
    why = next((words for words in tries if len(words) <= WHY_WIDTH), last)
    return replace(line, thirst=thirst, water=replace(line.water, text=whole), why=(*line.why[:-1], why))
