"""Plain CSV out and in: some files that hold the whole record, readable by any spreadsheet.

Trays, sowings, acts and entries keep their numbers. People, places, containers, varieties and lots go by name
and are written in the order in which they were put on record, so that they come back in that order.
"""

import csv
import os
import re
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from model.errors import BadInput, ImportRefused, StoreTrouble
from model.store.cells import Problems, Row, read_file
from model.store.checks import DAYS, check
from model.store.columns import Answer, Column, File
from model.store.database import Rows, Store
from model.store.layout import FILES

if TYPE_CHECKING:
    from sqlmodel import Session

_OUT = {
    "farm.csv": "SELECT name, value FROM setting ORDER BY name",
    "people.csv": "SELECT name FROM person ORDER BY id",
    "places.csv": "SELECT name, kind, walk, slots, low_c, high_c, probe, lamp_hours, lamp_gap_mm, lamp_umol "
    "FROM place ORDER BY id",
    "containers.csv": "SELECT name, kind, cells, volume_ml, bottom, source FROM container ORDER BY id",
    "varieties.csv": "SELECT crop, name FROM variety ORDER BY id",
    "lots.csv": "SELECT crop, variety.name, lot.name, packed_year, tested_seeds, tested_up, tested_on, treated, "
    "tested_c, lot.source FROM lot JOIN variety ON variety.id = variety_id ORDER BY lot.id",
    "entries.csv": "SELECT entry.id, uid, person.name, entered_at, words, undoes, told_at "
    "FROM entry JOIN person ON person.id = person_id ORDER BY entry.id",
    "trays.csv": "SELECT tray.id, entry_id, number, number, made_on, container.name, place.name, parent_id "
    "FROM tray JOIN container ON container.id = container_id JOIN place ON place.id = place_id ORDER BY tray.id",
    "sowings.csv": "SELECT sowing.id, entry_id, tray_id, part, crop, variety.name, lot.name, cells, "
    "seeds_per_cell, sown_on, from_sowing_id, target_id FROM sowing JOIN variety ON variety.id = sowing.variety_id "
    "LEFT JOIN lot ON lot.id = lot_id ORDER BY sowing.id",
    "acts.csv": "SELECT act.id, entry_id, day, act.kind, tray_id, sowing_id, place.name, count, score, cause, text, "
    "of_act_id, field, old, new, promise_id FROM act LEFT JOIN place ON place.id = place_id ORDER BY act.id",
    "packets.csv": "SELECT packet.id, entry_id, crop, variety.name, lot.name, packet.packed_year, packet.tested_seeds, "
    "packet.tested_up, packet.tested_on, packet.treated, packet.tested_c FROM packet JOIN lot ON lot.id = lot_id "
    "JOIN variety ON variety.id = variety_id ORDER BY packet.id",
    "readings.csv": "SELECT reading.id, entry_id, day, what, place.name, reading.low_c, reading.high_c, issued_at, "
    "source FROM reading LEFT JOIN place ON place.id = place_id ORDER BY reading.id",
    "timings.csv": "SELECT crop, used, asked_on FROM timing ORDER BY crop",
    "targets.csv": "SELECT target.id, entry_id, crop, variety.name, lot.name, plants, purpose, first_day, last_day, "
    "stage, container.name, pot.name, place.name, seeds_per_cell, until, bed, replaces FROM target "
    "JOIN variety ON variety.id = target.variety_id JOIN container ON container.id = container_id "
    "LEFT JOIN container AS pot ON pot.id = pot_id LEFT JOIN place ON place.id = place_id "
    "LEFT JOIN lot ON lot.id = lot_id ORDER BY target.id",
    "pins.csv": "SELECT pin.id, entry_id, target_id, day, place.name, without, reason FROM pin "
    "LEFT JOIN place ON place.id = place_id ORDER BY pin.id",
    "stock.csv": "SELECT stock.id, entry_id, day, what, container.name, crop, variety.name, lot.name, amount FROM stock "
    "LEFT JOIN container ON container.id = container_id LEFT JOIN lot ON lot.id = lot_id "
    "LEFT JOIN variety ON variety.id = variety_id ORDER BY stock.id",
    "freezes.csv": 'SELECT id, entry_id, station, at_c, source, half_on, tenth_on, years FROM "freeze" ORDER BY id',
    "promises.csv": "SELECT promise.id, entry_id, to_whom, promise.crop, variety.name, plants, due_on, container.name, "
    "note, replaces FROM promise LEFT JOIN variety ON variety.id = variety_id "
    "LEFT JOIN container ON container.id = container_id ORDER BY promise.id",
    "verdicts.csv": "SELECT verdict.id, entry_id, season, crop, container.name, word, lines FROM verdict "
    "LEFT JOIN container ON container.id = container_id ORDER BY verdict.id",
    "clashes.csv": "SELECT id, entry_id, what, tray_id, ours, theirs, settled_in FROM clash ORDER BY id",
    "cautions.csv": "SELECT key, season, seen_on, person.name FROM caution JOIN person ON person.id = person_id "
    "ORDER BY season, key",
}
"""What goes into each file, in the order of its columns."""


_ISO_DAY = re.compile(r"\b[0-9]{4}-[0-9]{2}-[0-9]{2}\b")


MONTH_DAYS = frozenset({"half_on", "tenth_on"})
"""Columns of days of any year."""
A_LEAP_YEAR = 2000
"""So that 29 February can stand there."""


@dataclass(frozen=True)
class Bundle:
    """The rows of all files, checked."""

    sheets: Mapping[str, Sequence[Row]]

    @cached_property
    def act_lines(self) -> dict[int, int]:
        """Line of acts.csv on which each act stands."""
        return {row.cells["act"]: row.line for row in self.sheets["acts.csv"]}


def export_folder(store: Store, folder: Path) -> None:
    """Write the whole record as CSV files; other files in the folder stay as they are."""
    with store.reading() as rows:
        texts = {file: [_cells(file, row) for row in rows(_OUT[file.name])] for file in FILES}
    written: list[tuple[Path, Path]] = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for file, found in texts.items():
            path = folder / file.name
            draft = path.with_name(f".{file.name}.{os.getpid()}.part")
            written.append((draft, path))
            _write(draft, file, found)
        for draft, path in written:
            draft.replace(path)
    except OSError as error:
        raise StoreTrouble(
            f"{folder} can't be written to ({error.strerror}).", "Name another folder, or make room."
        ) from error
    finally:
        for draft, _ in written:
            draft.unlink(missing_ok=True)


def _cells(file: File, row: Sequence[Any]) -> list[str]:
    return [_written(column, value) for column, value in zip(file.columns, row, strict=True)]


def _write(path: Path, file: File, rows: Iterable[Sequence[str]]) -> None:
    with path.open("w", encoding="utf-8", newline="") as stream:
        out = csv.writer(stream, lineterminator="\n")
        out.writerow(file.header)
        out.writerows(rows)


def _written(column: Column, value: Any) -> str:
    return "" if value is None else column.write(value)


def read_folder(
    folder: Path,
    shift_days: int = 0,
    choices: Mapping[str, Collection[str]] | None = None,
    now: datetime | None = None,
) -> Bundle:
    """Read and check all files; every day and instant moved by some days.

    `choices` are the words that a setting may have, by its name; what was done after `now` is refused.

    Raises ImportRefused with every problem found. Whether counts balance is left to the fold.
    """
    if not folder.is_dir():
        raise BadInput(f"There is no folder {folder}.", "Name the folder that holds the CSV files.")
    problems = Problems()
    sheets: dict[str, Sequence[Row]] = {}
    for file in FILES:
        rows = read_file(folder, file, problems)
        if rows is not None:
            sheets[file.name] = rows
    check(sheets, problems, choices or {}, now)
    found = problems.said()
    if found:
        raise ImportRefused(found)
    return Bundle(_moved(sheets, timedelta(shift_days)) if shift_days else sheets)


def _moved(sheets: Mapping[str, Sequence[Row]], by: timedelta) -> dict[str, Sequence[Row]]:
    try:
        return {
            name: [Row(row.line, _moved_cells(row.cells, by)) for row in rows]
            for name, rows in sheets.items()
        }
    except OverflowError as error:
        raise BadInput(
            f"The days can't be moved by {by.days}: the calendar ends first.", "Give a day nearer to today."
        ) from error


def _moved_cells(cells: Mapping[str, Any], by: timedelta) -> dict[str, Any]:
    moved = {name: value + by if isinstance(value, date) else value for name, value in cells.items()}
    if "words" in cells:
        # What a correction says of itself names its days.
        moved["words"] = _ISO_DAY.sub(lambda day: _moved_text(day[0], by) or "", cells["words"] or "")
    if {"season", "seen_on"} <= cells.keys():
        moved["season"] = moved["seen_on"].year
    for name in MONTH_DAYS & cells.keys():
        moved[name] = _moved_month_day(cells[name], by)
    if cells.get("field") in DAYS:
        for name in ("old", "new"):
            moved[name] = _moved_text(cells[name], by)
    return moved


def _moved_month_day(text: str | None, by: timedelta) -> str | None:
    """A day of any year, like 04-24, moved within a leap year."""
    return (date.fromisoformat(f"{A_LEAP_YEAR}-{text}") + by).strftime("%m-%d") if text else text


def _moved_text(text: str | None, by: timedelta) -> str | None:
    try:
        return (date.fromisoformat(text) + by).isoformat() if text else text
    except ValueError:
        return text


def load(session: "Session", bundle: Bundle) -> None:
    """Put the rows of a bundle into an empty record, inside the transaction that is open."""
    from model.store.tables import metadata

    connection = session.connection()
    for table, rows in _tables(bundle).items():
        # An insert of no rows at all would put in one row of defaults.
        if rows:
            connection.execute(metadata.tables[table].insert(), rows)


TABLES = (
    *(
        "setting",
        "person",
        "place",
        "container",
        "variety",
        "lot",
        "entry",
        "tray",
        "target",
        "sowing",
        "promise",
        "act",
    ),
    *("packet", "reading", "timing", "pin", "stock", "freeze", "caution", "verdict", "clash"),
)
"""The table of each file, in the order of the files."""

Sheets = Mapping[str, list[dict[str, Any]]]
Ids = Mapping[tuple[Any, ...], int]


class _Numbers(NamedTuple):
    """The number of each row that goes by name."""

    people: Ids
    places: Ids
    containers: Ids
    varieties: Ids
    lots: Ids


def _tables(bundle: Bundle) -> dict[str, list[dict[str, Any]]]:
    """Rows for each table, those that others point at first."""
    sheets = {name: [dict(row.cells) for row in rows] for name, rows in bundle.sheets.items()}
    people, places, containers = (
        _numbered(sheets[name], "name") for name in ("people.csv", "places.csv", "containers.csv")
    )
    varieties = _numbered(sheets["varieties.csv"], "crop", "name")
    lots = _numbered(sheets["lots.csv"], "crop", "variety", "lot")
    numbers = _Numbers(people, places, containers, varieties, lots)
    _farm(sheets, numbers)
    _record(sheets, numbers)
    _ahead(sheets, numbers)
    _owed(sheets, numbers)
    _answers(sheets)
    return {
        table: sorted(sheets[file.name], key=lambda row: row.get("id", 0))
        for table, file in zip(TABLES, FILES, strict=True)
    }


def _farm(sheets: Sheets, numbers: _Numbers) -> None:
    """Rows of the farm itself."""
    for lot in sheets["lots.csv"]:
        lot.update(variety_id=numbers.varieties[lot.pop("crop"), lot.pop("variety")], name=lot.pop("lot"))
        lot["source"] = lot.get("source") or ""
    for setting in sheets["farm.csv"]:
        setting["value"] = setting["value"] or ""
    for container in sheets["containers.csv"]:
        container["source"] = container["source"] or ""


def _record(sheets: Sheets, numbers: _Numbers) -> None:
    """Rows of what was done and read."""
    containers, places = numbers.containers, numbers.places
    for entry in sheets["entries.csv"]:
        who = numbers.people[(entry.pop("who"),)]
        entry.update(id=entry.pop("entry"), person_id=who, words=entry["words"] or "")
    for tray in sheets["trays.csv"]:
        del tray["letter"]
        tray.update(id=tray.pop("tray"), entry_id=tray.pop("entry"), parent_id=tray.pop("parent"))
        tray.update(container_id=containers[(tray.pop("container"),)], place_id=places[(tray.pop("place"),)])
    for sowing in sheets["sowings.csv"]:
        _seed(sowing, numbers)
        sowing.update(id=sowing.pop("sowing"), entry_id=sowing.pop("entry"), tray_id=sowing.pop("tray"))
        sowing.update(from_sowing_id=sowing.pop("from_sowing"), target_id=sowing.pop("target", None))
    for act in sheets["acts.csv"]:
        act.update(id=act.pop("act"), entry_id=act.pop("entry"), tray_id=act.pop("tray"))
        act.update(sowing_id=act.pop("sowing"), of_act_id=act.pop("of_act"))
        act.update(place_id=places.get((act.pop("place"),)), promise_id=act.pop("promise", None))
    for packet in sheets["packets.csv"]:
        lot = numbers.lots[packet.pop("crop"), packet.pop("variety"), packet.pop("lot")]
        packet.update(id=packet.pop("packet"), entry_id=packet.pop("entry"), lot_id=lot)
    for read in sheets["readings.csv"]:
        read.update(id=read.pop("reading"), entry_id=read.pop("entry"), source=read["source"] or "")
        read["place_id"] = places.get((read.pop("place"),))


def _ahead(sheets: Sheets, numbers: _Numbers) -> None:
    """Rows of what is to come and what is in hand."""
    containers = numbers.containers
    for target in sheets["targets.csv"]:
        _seed(target, numbers)
        target.update(
            container_id=containers[(target.pop("container"),)],
            pot_id=containers.get((target.pop("pot"),)),
            stage=target["stage"] or "",
            bed=target["bed"] or "",
        )
    for stock in sheets["stock.csv"]:
        lot = (stock.pop("crop"), stock.pop("variety"), stock.pop("lot"))
        stock.update(container_id=containers.get((stock.pop("container"),)), lot_id=numbers.lots.get(lot))
    for pin in sheets["pins.csv"]:
        pin.update(target_id=pin.pop("target"), reason=pin["reason"] or "")
    for freeze in sheets["freezes.csv"]:
        freeze.update({name: freeze[name] or "" for name in ("half_on", "tenth_on", "years")})
    for name, key in (("targets", "target"), ("pins", "pin"), ("stock", "stock"), ("freezes", "freeze")):
        for row in sheets[f"{name}.csv"]:
            row.update(id=row.pop(key), entry_id=row.pop("entry"))
            if "place" in row:
                row["place_id"] = numbers.places.get((row.pop("place"),))
    for caution in sheets["cautions.csv"]:
        caution["person_id"] = numbers.people[(caution.pop("who"),)]


def _owed(sheets: Sheets, numbers: _Numbers) -> None:
    """Rows of what is promised, judged and still to be settled."""
    for promise in sheets["promises.csv"]:
        promise.update(id=promise.pop("promise"), entry_id=promise.pop("entry"), note=promise["note"] or "")
        promise["variety_id"] = numbers.varieties.get((promise["crop"], promise.pop("variety")))
        promise["container_id"] = numbers.containers.get((promise.pop("container"),))
    for verdict in sheets["verdicts.csv"]:
        verdict.update(id=verdict.pop("verdict"), entry_id=verdict.pop("entry"), lines=verdict["lines"] or "")
        verdict["container_id"] = numbers.containers.get((verdict.pop("container"),))
    for clash in sheets["clashes.csv"]:
        clash.update(id=clash.pop("clash"), entry_id=clash.pop("entry"), tray_id=clash.pop("tray"))


def _seed(row: dict[str, Any], numbers: _Numbers) -> None:
    """The variety and the lot of a row, by number."""
    crop, variety, lot = row.pop("crop"), row.pop("variety"), row.pop("lot")
    row.update(variety_id=numbers.varieties[crop, variety], lot_id=numbers.lots.get((crop, variety, lot)))


def _answers(sheets: Sheets) -> None:
    """Words of yes and no as truths; what an earlier release hadn't is no."""
    for place in sheets["places.csv"]:
        place["probe"] = place.get("probe") == Answer.YES
    for timing in sheets["timings.csv"]:
        timing["used"] = timing["used"] == Answer.YES
    for pin in sheets["pins.csv"]:
        pin["without"] = pin["without"] == Answer.YES


def _numbered(rows: list[dict[str, Any]], *columns: str) -> dict[tuple[Any, ...], int]:
    """Number rows from 1 in their order; the numbers by key."""
    for number, row in enumerate(rows, 1):
        row["id"] = number
    return {tuple(row[column] for column in columns): row["id"] for row in rows}


def first_tray_ids(rows: Rows) -> list[int]:
    """Every tray that came of no other; the others are reached through these."""
    return [i for (i,) in rows("SELECT id FROM tray WHERE parent_id IS NULL ORDER BY id")]


def forget_all(rows: Rows) -> None:
    """Throw away what was kept of every tray; the acts stay."""
    rows("DELETE FROM tray_now")
