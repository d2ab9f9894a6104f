"""What only several cells or rows together can get wrong: there twice, pointing nowhere, at odds."""

from collections.abc import Collection, Mapping, Sequence
from datetime import date, datetime
from typing import Any

from model.days import check_zone, farm_day, say_day
from model.entered import HOURS
from model.errors import BadInput
from model.facts import ActKind, ReadingKind
from model.labels import letter_of
from model.papers import read_label_sheet
from model.store.cells import Problems, Row
from model.store.columns import File, Pointer, Wrong, number, said, whole
from model.store.layout import (
    ACTS,
    FARM,
    FILES,
    LOTS,
    PACKETS,
    PLACES,
    READINGS,
    SOWINGS,
    STOCK,
    TARGETS,
    TRAYS,
)
from model.store.set_aside import KEPT
from model.units import BAG_L, HARDEN_DAYS, LABEL_DAYS, LABEL_HOURS, MOST_OFFSET_C, POLE_DEG, RISK_PERCENT

Sheets = Mapping[str, Sequence[Row]]
"""Rows by file; a file that can't be read isn't there."""


def _any_day(text: str) -> date:
    """A day as the fold reads it."""
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise Wrong(f"{said(text)} is no day.", "Write a day of the calendar like 2026-04-14.") from error


OF_ACT = {
    "struck": None,
    "day": _any_day,
    "count": whole("count", 0),
    "score": whole("look at the roots", 0, 4),
}
"""What can be corrected of an act, and how its new value reads."""

OF_SOWING = {
    "sown_on": _any_day,
    "cells": whole("number of cells", 1),
    "seeds_per_cell": whole("number of seeds", 1),
    "variety": None,
}
"""What can be corrected of a sowing, and how its new value reads."""

_NUMBERS = {
    "latitude": number("latitude in degrees, south negative", -POLE_DEG, POLE_DEG),
    "offset_c": number("difference in °C", -MOST_OFFSET_C, MOST_OFFSET_C),
    "mix_bag_l": number("bag in litres", *BAG_L),
    "harden_days": whole("number of days of hardening", *HARDEN_DAYS),
    "frost_risk": whole("chance in per cent", *RISK_PERCENT),
}
"""Settings that are numbers where they aren't empty, and how each reads."""

DAYS = frozenset({"day", "sown_on"})
"""Corrected fields whose old and new values are days."""

_GONE_BY = (
    *((ACTS, "day"), (TRAYS, "made_on"), (SOWINGS, "sown_on")),
    *((LOTS, "tested_on"), (PACKETS, "tested_on"), (READINGS, "day"), (STOCK, "day")),
)
"""Columns of days on which something was done."""

_TAKEN = (
    *(ActKind.COUNTED, ActKind.LOST, ActKind.POTTED_UP),
    *(ActKind.SET_OUT, ActKind.HANDED_OVER, ActKind.RETIRED),
)
_NO_TRAY = (ActKind.NOTE, ActKind.ROUND_CLOSED)
NEEDS: dict[str, tuple[str, ...]] = {kind: ("tray",) for kind in ActKind if kind not in _NO_TRAY}
"""Cells without which an act of a kind would change nothing."""
NEEDS |= dict.fromkeys((ActKind.FIRST_UP, ActKind.HALF_UP, ActKind.THINNED, ActKind.CUT), ("tray", "sowing"))
NEEDS |= dict.fromkeys(_TAKEN, ("tray", "sowing", "count"))
NEEDS[ActKind.LOST] = ("tray", "sowing", "count", "cause")
NEEDS[ActKind.MOVED] = ("tray", "place")
NEEDS[ActKind.ROOT_LOOK] = NEEDS[ActKind.FINGER] = ("tray", "score")
NEEDS[ActKind.CORRECTED] = ("tray", "field")
NEEDS[ActKind.RELABELLED] = ("tray", "old", "new")
NEEDS[ActKind.SPRAYED] = ("tray", "count")
NEEDS[ActKind.UNCERTAIN] = ("tray", "sowing")


def check(
    sheets: Sheets, problems: Problems, choices: Mapping[str, Collection[str]], now: datetime | None
) -> None:
    """Note what is wrong between cells and rows of the files; `choices` are the words of each setting.

    Nothing can have been done on a day after `now`.
    """
    for file in FILES:
        rows = sheets.get(file.name, ())
        for columns in file.once:
            _check_once(file, rows, columns, problems)
        for pointer in file.points:
            if pointer.file in sheets:
                _check_pointer(file, rows, pointer, sheets, problems)
    _check_settings(sheets, problems, choices)
    for file in (PLACES, READINGS):
        _check_temperatures(file, sheets, problems)
    _check_readings(sheets, problems)
    _check_targets(sheets, problems)
    _check_lots(sheets, problems)
    _check_letters(sheets, problems)
    _check_potted(sheets, problems)
    _check_acts(sheets, problems)
    if now is not None:
        _check_days(sheets, problems, now)


def _check_days(sheets: Sheets, problems: Problems, now: datetime) -> None:
    zones = [row.cells.get("value") for row in sheets.get(FARM.name, ()) if row.cells.get("name") == "zone"]
    try:
        today = farm_day(now, check_zone(zones[0] or "")) if zones else farm_day(now, "UTC")
    except BadInput:
        # The zone itself is refused.
        return
    found = [(file, row, column) for file, column in _GONE_BY for row in sheets.get(file.name, ())]
    found += [
        (ACTS, row, "new")
        for row in sheets.get(ACTS.name, ())
        if row.cells.get("kind") == ActKind.CORRECTED and row.cells.get("field") in DAYS
    ]
    for file, row, column in found:
        day = _as_day(row.cells.get(column))
        if day is not None and day > today and row.cells.get("what") != ReadingKind.FORECAST:
            problems.add(
                *(file, row.line, column, f"{say_day(day)} {day.year} is still to come."),
                f"Give a day until {say_day(today)} {today.year}, or put the clock of this computer right.",
            )


def _as_day(cell: Any) -> date | None:
    try:
        return date.fromisoformat(cell) if isinstance(cell, str) else cell
    except ValueError:
        return None


def key_of(row: Row, columns: Sequence[str]) -> tuple[Any, ...] | None:
    """Some cells of a row; None unless all of them are there."""
    key = tuple(row.cells.get(column) for column in columns)
    return None if None in key else key


def _check_once(file: File, rows: Sequence[Row], columns: tuple[str, ...], problems: Problems) -> None:
    lines: dict[tuple[Any, ...], int] = {}
    for row in rows:
        key = key_of(row, columns)
        if key is None:
            continue
        first = lines.setdefault(key, row.line)
        if first != row.line:
            problems.add(
                file,
                row.line,
                columns[-1],
                f"{said(' '.join(map(str, key)))} stands on line {first} already.",
                "Take one of the two out, or change it.",
            )


def _check_pointer(
    file: File, rows: Sequence[Row], pointer: Pointer, sheets: Sheets, problems: Problems
) -> None:
    known = {key_of(row, pointer.to) for row in sheets[pointer.file]}
    for row in rows:
        key = key_of(row, pointer.columns)
        if key is None:
            continue
        at, shown = pointer.columns[-1], said(" ".join(map(str, key)))
        if key not in known:
            problems.add(
                file,
                row.line,
                at,
                f"{shown} isn't in {pointer.file}.",
                "Write it as it stands there, or add it.",
            )
        own = row.cells.get(pointer.to[0])
        if pointer.earlier and own is not None and key[0] >= own:
            problems.add(
                file, row.line, at, f"{shown} isn't before {own}.", "Point at one with a lower number."
            )


def _check_settings(sheets: Sheets, problems: Problems, choices: Mapping[str, Collection[str]]) -> None:
    rows = sheets.get(FARM.name)
    if rows is not None and all(row.cells.get("name") != "zone" for row in rows):
        problems.add(FARM, None, None, "no time zone is named.", "Add a line like zone,Europe/London.")
    for row in rows or ():
        name, value = row.cells.get("name", ""), row.cells.get("value") or ""
        if name == "zone":
            try:
                check_zone(value)
            except BadInput as error:
                problems.add(FARM, row.line, "value", f"{said(value)} is no time zone.", error.what_to_do)
        elif name in _NUMBERS and value:
            try:
                _NUMBERS[name](value)
            except Wrong as wrong:
                problems.add(FARM, row.line, "value", wrong.what, wrong.cure)
        elif name == "label_sheet" and value:
            try:
                read_label_sheet(value)
            except BadInput as error:
                problems.add(FARM, row.line, "value", error.what_happened, error.what_to_do)
        elif name in choices and value not in choices[name]:
            cure = f"Use one of: {', '.join(sorted(choices[name]))}."
            problems.add(FARM, row.line, "value", f"{said(value)} is no {name}.", cure)


def _check_temperatures(file: File, sheets: Sheets, problems: Problems) -> None:
    for row in sheets.get(file.name, ()):
        low, high = row.cells.get("low_c"), row.cells.get("high_c")
        if low is not None and high is not None and low > high:
            what = f"the low of {low:g} is above the high of {high:g}."
            problems.add(file, row.line, "high_c", what, "Swap the two.")


def _check_readings(sheets: Sheets, problems: Problems) -> None:
    for row in sheets.get(READINGS.name, ()):
        nowhere = "place" in row.cells and row.cells["place"] is None
        if nowhere and row.cells.get("what") is ReadingKind.AIR:
            what = "a reading of the air needs one."
            problems.add(READINGS, row.line, "place", what, "Give the place where it was read.")


def _check_targets(sheets: Sheets, problems: Problems) -> None:
    for row in sheets.get(TARGETS.name, ()):
        first, last = row.cells.get("first_day"), row.cells.get("last_day")
        if first is not None and last is not None and first > last:
            problems.add(TARGETS, row.line, "last_day", f"{last} is before {first}.", "Swap the two.")


def _check_lots(sheets: Sheets, problems: Problems) -> None:
    for file in (LOTS, PACKETS):
        for row in sheets.get(file.name, ()):
            seeds, up = row.cells.get("tested_seeds"), row.cells.get("tested_up")
            if seeds is not None and up is not None and up > seeds:
                what = f"{up} of {seeds} seeds can't have come up."
                problems.add(file, row.line, "tested_up", what, "Swap the two.")
            elif {"tested_seeds", "tested_up"} <= row.cells.keys() and (seeds is None) != (up is None):
                column = "tested_up" if up is None else "tested_seeds"
                cure = "Give how many seeds were laid out, and how many came up."
                problems.add(file, row.line, column, "half of the test is missing.", cure)


def _check_letters(sheets: Sheets, problems: Problems) -> None:
    for row in sheets.get(TRAYS.name, ()):
        number, letter = row.cells.get("number"), row.cells.get("letter")
        if number is not None and letter is not None and letter != letter_of(number):
            problems.add(
                TRAYS,
                row.line,
                "letter",
                f"{number} ends in {letter_of(number)}, not in {said(letter)}.",
                "Read the label again: the number or the letter is wrong.",
            )


def _check_potted(sheets: Sheets, problems: Problems) -> None:
    """Plants that came of a sowing stand in a tray that came of that sowing's tray, or they came of nowhere."""
    parent_of = {row.cells.get("tray"): row.cells.get("parent") for row in sheets.get(TRAYS.name, ())}
    rows = sheets.get(SOWINGS.name, ())
    tray_of = {row.cells.get("sowing"): row.cells.get("tray") for row in rows}
    for row in rows:
        source, tray = row.cells.get("from_sowing"), row.cells.get("tray")
        if source not in tray_of or tray not in parent_of or None in (source, tray_of[source]):
            continue
        if parent_of[tray] != tray_of[source]:
            problems.add(
                SOWINGS,
                row.line,
                "from_sowing",
                f"{source} belongs to tray {tray_of[source]}, and tray {tray} didn't come of that.",
                "Make it agree with the parent of the tray.",
            )


def _check_acts(sheets: Sheets, problems: Problems) -> None:
    acts = sheets.get(ACTS.name, ())
    tray_of = {row.cells.get("sowing"): row.cells.get("tray") for row in sheets.get("sowings.csv", ())}
    act_tray = {row.cells.get("act"): row.cells.get("tray") for row in acts}
    for row in acts:
        for column in NEEDS.get(row.cells.get("kind", ""), ()):
            if column in row.cells and row.cells[column] is None:
                problems.add(
                    ACTS, row.line, column, f'"{row.cells["kind"]}" needs one.', f"Give the {column}."
                )
        if row.cells.get("kind") == ActKind.SPRAYED:
            _check_sprayed(row, problems)
        _check_same_tray(row, "sowing", tray_of, problems)
        # Any other act that points at one was entered for the wrong tray first.
        if row.cells.get("kind") == ActKind.CORRECTED:
            _check_same_tray(row, "of_act", act_tray, problems)
            _check_correction(row, problems)


def _check_sprayed(row: Row, problems: Problems) -> None:
    """What a label forbids, and for how long."""
    days, hours = row.cells.get("count"), row.cells.get("new")
    told = [("count", days, "number of days", LABEL_DAYS)] if days is not None else []
    if row.cells.get("field") == HOURS and "new" in row.cells:
        told.append(("new", hours or "", "number of hours", LABEL_HOURS))
    for column, text, noun, span in told:
        try:
            whole(noun, *span)(str(text))
        except Wrong as wrong:
            problems.add(ACTS, row.line, column, wrong.what, wrong.cure)


def _check_same_tray(row: Row, column: str, trays: Mapping[Any, Any], problems: Problems) -> None:
    """An act on a sowing of another tray would change nothing, and nobody would be told."""
    pointed, tray = row.cells.get(column), row.cells.get("tray")
    there = trays.get(pointed)
    if pointed is None or there is None or "tray" not in row.cells or tray == there:
        return
    here = f"tray {tray}" if tray is not None else "no tray"
    problems.add(
        ACTS,
        row.line,
        column,
        f"{pointed} belongs to tray {there}, and the act to {here}.",
        "Make the two agree.",
    )


def _check_correction(row: Row, problems: Problems) -> None:
    field, new = row.cells.get("field"), row.cells.get("new")
    of_act, sowing = row.cells.get("of_act"), row.cells.get("sowing")
    if field is None or "new" not in row.cells:
        return
    if of_act is None and sowing is None:
        problems.add(
            ACTS, row.line, "of_act", "a correction must say of what.", "Give the act or the sowing."
        )
        return
    readers = {**OF_ACT, KEPT: None} if of_act is not None else OF_SOWING
    if field not in readers:
        problems.add(
            ACTS,
            row.line,
            "field",
            f"{said(field)} can't be corrected there.",
            f"Use one of: {', '.join(readers)}.",
        )
        return
    read = readers[field]
    try:
        if read is not None:
            read(new or "")
        elif field == "variety" and not all((new or "").partition("/")):
            raise Wrong(f"{said(new or '')} is no variety.", "Write crop/variety.")
    except Wrong as wrong:
        problems.add(ACTS, row.line, "new", wrong.what, wrong.cure)
