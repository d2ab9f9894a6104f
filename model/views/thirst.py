"""What is reckoned of the trays' water, beside what the record says of it: for the page, for JSON, for a second pass."""

from collections.abc import Collection
from datetime import date, timedelta

from model.asof import standing_on
from model.facts import Tray
from model.rules.grounds import Grounds
from model.rules.thirst import NO_LATITUDE, second_pass, thirsts
from model.rules.verdict import Dries, SecondPass, Thirst
from model.store import reading
from model.store.database import Rows, Store
from model.views.grounds import grounds
from model.views.lines import TrayLine
from model.views.round import line_of
from model.views.water_words import with_thirst


def thirst_of(rows: Rows, tray: Tray, on: Grounds, line: TrayLine, today: date) -> TrayLine:
    """A tray's line with what is reckoned of its water; one that is gone stays as it is."""
    if not tray.standing:
        return line
    return with_thirst(line, _reckoned(rows, [tray], on, [line], today)[tray.id])


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
    return thirsts(trays, on, fills, today, felt(rows, today))


def felt(rows: Rows, today: date) -> Collection[Tray]:
    """The trays, gone ones too, that a finger was in lately."""
    from model.rules.spells import LONGEST_DAYS, TAUGHT_DAYS

    ids = reading.fingered(rows, today - timedelta(days=TAUGHT_DAYS + LONGEST_DAYS))
    return reading.trays(rows, ids).values()
