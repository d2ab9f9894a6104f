"""The exported files in other hands: read by the csv of the standard library, saved anew by a spreadsheet."""

import csv
import io
import re
from collections.abc import Callable
from pathlib import Path

import pytest

from model.actions import growth
from model.actions.files import demo_folder, export_folder, import_folder
from model.errors import ImportRefused
from model.store.database import Store
from model.store.layout import FILES
from tests.conftest import StampMaker
from tests.store.small_farm import brought_in, kept, texts

Rows = list[list[str]]
HARD = 'says "no", then; a, b\\c — ü, 番茄 🍅'


def as_spreadsheet(rows: Rows) -> str:
    """A byte order mark, lines that end as on another system, everything in quotation marks, a blank line at the end."""
    out = io.StringIO(newline="")
    csv.writer(out, quoting=csv.QUOTE_ALL, lineterminator="\r\n").writerows(rows)
    return "\ufeff" + out.getvalue() + "\r\n"


def saved_anew(folder: Path, name: str, change: Callable[[Rows], None] = lambda rows: None) -> None:
    path = folder / name
    rows = list(csv.reader(io.StringIO(path.read_text("utf-8"), newline="")))
    change(rows)
    path.write_bytes(as_spreadsheet(rows).encode())


@pytest.fixture
def out(tmp_path: Path, stamp: StampMaker) -> tuple[Store, Path]:
    """The small farm with a hard note, and its export."""
    store = brought_in(tmp_path)
    growth.note(store, stamp(), 2, HARD)
    export_folder(store, tmp_path / "out")
    return store, tmp_path / "out"


def test_the_csv_of_the_standard_library_reads_every_file(tmp_path: Path) -> None:
    export_folder(import_folder(tmp_path / "demo.db", demo_folder()), tmp_path / "out")
    for file in FILES:
        with (tmp_path / "out" / file.name).open(encoding="utf-8", newline="") as stream:
            header, *rows = list(csv.reader(stream, strict=True))
        assert header == list(file.header), file.name
        assert {len(row) for row in rows} <= {len(header)}, file.name


def test_a_person_finds_their_words_there(out: tuple[Store, Path]) -> None:
    with (out[1] / "acts.csv").open(encoding="utf-8", newline="") as stream:
        notes = [row["text"] for row in csv.DictReader(stream) if row["kind"] == "note"]
    assert notes == ["pale below", HARD]


def test_a_spreadsheet_that_saves_every_file_anew_changes_nothing(
    out: tuple[Store, Path], tmp_path: Path
) -> None:
    store, folder = out
    before = texts(folder)
    for file in FILES:
        saved_anew(folder, file.name)
    again = import_folder(tmp_path / "again.db", folder)
    assert kept(again) == kept(store)
    export_folder(again, tmp_path / "out2")
    assert texts(tmp_path / "out2") == before


def test_a_cell_that_a_person_edits_there_is_taken_in(out: tuple[Store, Path], tmp_path: Path) -> None:
    def rename(rows: Rows) -> None:
        at = rows[0].index("value")
        next(row for row in rows if row[0] == "farm")[at] = 'Nether "Weir", lower field'

    saved_anew(out[1], "farm.csv", rename)
    again = import_folder(tmp_path / "again.db", out[1])
    with again.reading() as rows:
        assert rows("SELECT value FROM setting WHERE name = 'farm'") == [('Nether "Weir", lower field',)]


@pytest.mark.parametrize(
    ("name", "change", "words"),
    [
        ("trays.csv", lambda rows: rows[1].__setitem__(4, "01/03/2026"), "trays.csv line 2, column made_on"),
        ("sowings.csv", lambda rows: rows[1].__setitem__(7, "72.0"), "sowings.csv line 2, column cells"),
        ("acts.csv", lambda rows: rows[1].append(""), "acts.csv line 2, column promise"),
    ],
    ids=["a day its own way", "a count with a point", "a field too many"],
)
def test_what_a_spreadsheet_makes_of_a_cell_is_named_with_its_line(
    out: tuple[Store, Path], tmp_path: Path, name: str, change: Callable[[Rows], None], words: str
) -> None:
    saved_anew(out[1], name, change)
    with pytest.raises(ImportRefused) as refused:
        import_folder(tmp_path / "again.db", out[1])
    assert refused.value.problems[0].startswith(words), refused.value.problems
    assert not (tmp_path / "again.db").exists()


def with_semicolons(folder: Path) -> None:
    """Every file as a spreadsheet saves it where a comma parts a number's decimals."""
    for file in FILES:
        path = folder / file.name
        out = io.StringIO(newline="")
        rows = csv.reader(io.StringIO(path.read_text("utf-8"), newline=""))
        saved = ([re.sub(r"^(-?\d+)\.(\d{1,2})$", r"\1,\2", field) for field in row] for row in rows)
        csv.writer(out, delimiter=";", lineterminator="\r\n").writerows(saved)
        path.write_bytes(("\ufeff" + out.getvalue()).encode())


def test_a_folder_saved_with_semicolons_is_the_same_farm(out: tuple[Store, Path], tmp_path: Path) -> None:
    store, folder = out
    before = texts(folder)
    with_semicolons(folder)
    assert b";" in (folder / "trays.csv").read_bytes().splitlines()[0]
    again = import_folder(tmp_path / "again.db", folder)
    assert kept(again) == kept(store)
    export_folder(again, tmp_path / "out2")
    assert texts(tmp_path / "out2") == before


def test_a_bad_cell_among_semicolons_is_named_once_with_its_column(
    out: tuple[Store, Path], tmp_path: Path
) -> None:
    with_semicolons(out[1])
    path = out[1] / "places.csv"
    assert b"180,5" in path.read_bytes()
    path.write_bytes(path.read_bytes().replace(b"180,5", b"1,805"))
    with pytest.raises(ImportRefused) as refused:
        import_folder(tmp_path / "again.db", out[1])
    (problem,) = refused.value.problems
    assert problem.startswith("places.csv line 3, column lamp_umol: ")
    path.write_bytes(path.read_bytes().replace(b"1,805", b"180,5").replace(b"Slats", b"Sl\xe4ts"))
    with pytest.raises(ImportRefused, match="problem") as refused:
        import_folder(tmp_path / "again.db", out[1])
    assert refused.value.problems[0].startswith("places.csv line 2, column name: the text isn't UTF-8.")


def test_empty_rows_that_a_spreadsheet_leaves_are_passed_over(
    out: tuple[Store, Path], tmp_path: Path
) -> None:
    for file in FILES:
        path = out[1] / file.name
        blank = "," * (len(file.columns) - 1)
        path.write_bytes(path.read_bytes() + f"{blank}\n\n , ,\n{blank}\n".encode())
    assert kept(import_folder(tmp_path / "again.db", out[1])) == kept(out[0])


def test_a_row_of_blanks_hides_no_line(out: tuple[Store, Path], tmp_path: Path) -> None:
    path = out[1] / "places.csv"
    head, *rows = path.read_text("utf-8").splitlines()
    rows[-1] = rows[-1].replace("heat mat", "hot mat")
    path.write_text("\n".join([head, ",,,", *rows]) + "\n", "utf-8")
    with pytest.raises(ImportRefused) as refused:
        import_folder(tmp_path / "again.db", out[1])
    assert refused.value.problems[0].startswith(f"places.csv line {2 + len(rows)}, column kind: ")


def test_what_is_missing_is_said_in_words(out: tuple[Store, Path], tmp_path: Path) -> None:
    path = out[1] / "lots.csv"
    path.write_text(path.read_text("utf-8").replace(",unknown,", ",,"), "utf-8")
    with pytest.raises(ImportRefused) as refused:
        import_folder(tmp_path / "again.db", out[1])
    assert refused.value.problems == [
        "lots.csv line 3, column treated: nothing stands there. Use one of: yes, no, unknown."
    ]
