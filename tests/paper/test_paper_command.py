"""trayround sheet and trayround labels: what they print and write, and what they refuse."""

from pathlib import Path

import pypdf
import pytest

from model.actions.files import DEMO_MORNING
from tui.__main__ import run
from tui.cli.common import FINE, REFUSED

Printed = pytest.CaptureFixture[str]


def at(farm: Path, *words: str) -> int:
    return run([*words, "--db", str(farm), "--on", DEMO_MORNING.isoformat()])


def test_the_sheet_is_printed_in_pages_and_is_plain_where_that_is_asked_for(
    farm: Path, capsys: Printed
) -> None:
    assert at(farm, "sheet") == FINE
    printed = capsys.readouterr().out
    assert printed.count("\f") == 1
    assert "[ ][ ][ ] 58N   tomato Ostrel" in printed
    assert at(farm, "sheet", "--ascii") == FINE
    assert capsys.readouterr().out.isascii()


def test_a_pdf_is_written_and_nothing_is_written_over_unasked(
    farm: Path, tmp_path: Path, capsys: Printed
) -> None:
    file = tmp_path / "round.pdf"
    assert at(farm, "sheet", "--pdf", str(file)) == FINE
    assert capsys.readouterr().out == f"60 trays were written to {file}.\n"
    assert len(pypdf.PdfReader(file).pages) == 2
    before = file.read_bytes()
    assert at(farm, "labels", "12", "--pdf", str(file)) == REFUSED
    assert "Name another file, or add --over." in capsys.readouterr().err
    assert file.read_bytes() == before
    assert at(farm, "labels", "12", "--pdf", str(file), "--over") == FINE
    assert capsys.readouterr().out == f"1 label was written to {file}.\n"
    assert len(pypdf.PdfReader(file).pages) == 1


def test_the_record_itself_is_never_written_over_by_a_sheet(farm: Path, capsys: Printed) -> None:
    before = farm.read_bytes()
    assert at(farm, "sheet", "--pdf", str(farm)) == REFUSED
    assert "There is something at" in capsys.readouterr().err
    assert at(farm, "sheet", "--pdf", str(farm), "--over") == REFUSED
    assert f"{farm} holds a farm. Name another file" in capsys.readouterr().err
    assert farm.read_bytes() == before


def test_labels_are_printed_by_number_and_a_slip_is_asked_about(farm: Path, capsys: Printed) -> None:
    assert at(farm, "labels", "12N", "43") == FINE
    assert capsys.readouterr().out.startswith("12N\neggplant Morrow\nsown 27 Feb 2026\nlot EG-25\n\n43C\n")
    assert at(farm, "labels", "43W") == REFUSED
    assert "43 ends in C, not in W. Read the label again: 43C or 48W?" in capsys.readouterr().err
    assert at(farm, "labels", "43x8") == REFUSED
    assert "is no tray number" in capsys.readouterr().err


def test_what_can_not_be_labelled_says_what_to_do(farm: Path, tmp_path: Path, capsys: Printed) -> None:
    assert at(farm, "labels") == REFUSED
    assert "Name the trays by their numbers." in capsys.readouterr().err
    assert at(farm, "labels", "12", "--skip", "24", "--pdf", str(tmp_path / "x.pdf")) == REFUSED
    assert "A sheet holds 24: give 0 to 23." in capsys.readouterr().err
    assert not (tmp_path / "x.pdf").exists()
