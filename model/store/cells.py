"""From a folder of CSV files to rows of checked cells, with every problem on the way noted."""

import csv
import io
import re
from codecs import BOM_UTF8
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from model.store.columns import Column, File, Wrong, said
from model.store.layout import FILES
from model.text import several

MOST_PROBLEMS = 200
"""A longer list is one mistake many times over; nobody reads on."""

COMMA, SEMICOLON = ",", ";"

_UNFIT = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029\ufeff]")
"""Characters that move the cursor, colour the screen or can't be seen at all."""


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a file. A cell that could not be taken is missing; one that was empty is None."""

    line: int
    cells: Mapping[str, Any]


class Problems:
    """Collects what is wrong, and says it in the order of the files."""

    def __init__(self) -> None:
        self._found: list[tuple[int, int, int, str]] = []

    def add(self, file: File, line: int | None, column: str | None, what: str, cure: str) -> None:
        """Note one problem; line and column where there is one to point at."""
        where = file.name
        if line is not None:
            where += f" line {line}"
        if column is not None:
            where += f", column {column}"
        order = file.place_of(column) if column in file.header else -1
        self._found.append((FILES.index(file), line or 0, order, f"{where}: {what} {cure}"))

    def said(self) -> list[str]:
        """The problems in order, no more than fit a list."""
        return no_more_than_fit([text for *_, text in sorted(self._found)])


def no_more_than_fit(lines: list[str]) -> list[str]:
    """A list of problems, cut where nobody would read on."""
    if len(lines) <= MOST_PROBLEMS:
        return lines
    kept = lines[: MOST_PROBLEMS - 1]
    return [*kept, f"... and {len(lines) - len(kept)} more. Mend these first."]


def read_file(folder: Path, file: File, problems: Problems) -> list[Row] | None:
    """The rows of one file; None where it can't be read to its end."""
    text = _text_of(folder / file.name, file, problems)
    if text is None:
        return None
    lines = csv.reader(io.StringIO(text, newline=""), delimiter=_between(text), strict=True)
    rows: list[Row] = []
    line = 1
    try:
        header = next(lines, [])
        if not _header_fits(header, file, problems):
            return None
        columns = [file.columns[file.place_of(name)] for name in header]
        for line, fields in _numbered(lines):
            # A spreadsheet leaves rows of nothing but commas under the last one.
            if len(fields) == 1 or any(field.strip() for field in fields):
                rows.append(_row(line, fields, columns, file, problems))
    except csv.Error as error:
        problems.add(
            file,
            max(line, lines.line_num),
            None,
            f"the line can't be split into fields ({error}).",
            "Check its quotation marks: a text with a comma stands between two of them.",
        )
        return None
    return rows


def _between(text: str) -> str:
    """What stands between the fields: a semicolon where a spreadsheet put one between the names of the columns."""
    first = text.partition("\n")[0]
    return SEMICOLON if SEMICOLON in first and COMMA not in first else COMMA


def _numbered(lines: Any) -> Any:
    while True:
        first = lines.line_num + 1
        fields = next(lines, None)
        if fields is None:
            return
        yield first, fields


def _text_of(path: Path, file: File, problems: Problems) -> str | None:
    try:
        data = path.read_bytes().removeprefix(BOM_UTF8)
    except FileNotFoundError:
        if file.since:
            return ",".join(file.header)
        problems.add(file, None, None, "the file isn't in the folder.", "Put it there; it is needed.")
        return None
    except OSError as error:
        problems.add(
            file, None, None, f"the file can't be read ({error.strerror}).", "Check your rights to it."
        )
        return None
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        line, column = _where(data, error.start, file)
        problems.add(file, line, column, "the text isn't UTF-8.", "Save the file as CSV in UTF-8.")
        return None


def _where(data: bytes, start: int, file: File) -> tuple[int, str | None]:
    """Line of a byte, and its column where the file's own header can be read."""
    first = data.split(b"\n", 1)[0].decode("utf-8", "replace").strip()
    between = _between(first)
    header = first.split(between)
    before = data[data.rfind(b"\n", 0, start) + 1 : start].decode("utf-8", "replace")
    # Quotation marks come in pairs, so a comma after an odd number of them is part of a text.
    commas = [at for at, char in enumerate(before) if char == between and before.count('"', 0, at) % 2 == 0]
    line = data.count(b"\n", 0, start) + 1
    column = header[len(commas)] if len(commas) < len(header) else ""
    return line, column if line > 1 and column in file.header else None


def _header_fits(header: list[str], file: File, problems: Problems) -> bool:
    fits = True
    wanted = ",".join(file.header)
    for name in (column.name for column in file.columns if not column.since):
        if name not in header:
            problems.add(file, 1, name, "the column is missing.", f"The first line must be {wanted}")
            fits = False
    for at, name in enumerate(header):
        if name not in file.header or name in header[:at]:
            what = "stands there twice." if name in file.header else "is no column of this file."
            problems.add(file, 1, None, f"{said(name)} {what}", f"The first line must be {wanted}")
            fits = False
    return fits


def _row(line: int, fields: list[str], columns: list[Column], file: File, problems: Problems) -> Row:
    if len(fields) != len(columns):
        at = columns[min(len(fields), len(columns) - 1)].name
        problems.add(
            file,
            line,
            at,
            f"the line has {several(len(fields), 'field')}, not {len(columns)}.",
            "Mend its commas, or semicolons, so that it has as many as the first line.",
        )
    cells: dict[str, Any] = {}
    for column, text in zip(columns, fields, strict=False):
        try:
            cells[column.name] = _cell(column, text)
        except Wrong as wrong:
            problems.add(file, line, column.name, wrong.what, wrong.cure)
    return Row(line, cells)


def _cell(column: Column, text: str) -> Any:
    if _UNFIT.search(text):
        raise Wrong(f"{said(text)} holds a character that can't be shown.", "Take it out, or type a space.")
    if text:
        return column.read(text)
    if column.empty:
        return None
    raise Wrong("nothing stands there.", _wanted(column))


def _wanted(column: Column) -> str:
    """What has to stand in a column: the words it takes, or what it is."""
    try:
        column.read("")
    except Wrong as wrong:
        return wrong.cure
    return f"Give the {column.name.replace('_', ' ')}."
