"""trayround sheet and trayround labels: the round and its labels on paper."""

import argparse
import sys
from pathlib import Path

from tui.cli.common import FINE, Register, opened, opened_now


def add(command: Register) -> None:
    """The commands and their options."""
    sheet = command("sheet", _sheet, "print the round as a sheet to tick by hand")
    _add_pdf(sheet)
    labels = command("labels", _labels, "print labels for trays, or for every plant in them")
    labels.add_argument(
        "numbers",
        nargs="*",
        metavar="NUMBER",
        help="trays; without any, those that need a new label since the day",
    )
    labels.add_argument("--plants", action="store_true", help="a label for every plant")
    labels.add_argument(
        "--skip", type=int, default=0, metavar="N", help="labels of the first sheet that are used up"
    )
    _add_pdf(labels)


def _add_pdf(command: argparse.ArgumentParser) -> None:
    command.add_argument("--pdf", type=Path, metavar="FILE", help="write a PDF instead of printing text")
    command.add_argument("--over", action="store_true", help="write over a file that is there")


def _sheet(asked: argparse.Namespace) -> int:
    from model.actions.files import write_file
    from model.views import sheet
    from model.views.outlook import reckon
    from model.views.settings import read_settings

    store, today, now = opened_now(asked)
    reckoned = reckon(store, today)
    found = sheet.read(store, today, now, reckoned.outlooks, reckoned.thirsts)
    if asked.pdf is None:
        print(sheet.text(found, ascii_only=asked.ascii))
        return FINE
    from model.paper.pdf import of_sheet

    write_file(asked.pdf, of_sheet(found, read_settings(store)), over=asked.over)
    print(f"{found.trays} trays were written to {asked.pdf}.")
    return FINE


def _labels(asked: argparse.Namespace) -> int:
    from model.actions.files import write_file
    from model.views import label_sheet
    from model.views.settings import read_settings

    store, today = opened(asked)
    read = label_sheet.plant_labels if asked.plants else label_sheet.tray_labels
    numbers = label_sheet.numbered(store, today, asked.numbers)
    labels = read(store, today, numbers)
    found = labels.found
    for said in labels.renamed:
        print(said, file=sys.stderr)
    if asked.pdf is None:
        print(label_sheet.text(found))
        return FINE
    from model.paper.pdf import of_labels

    write_file(asked.pdf, of_labels(found, read_settings(store), asked.skip), over=asked.over)
    many = "1 label was" if len(found) == 1 else f"{len(found)} labels were"
    print(f"{many} written to {asked.pdf}.")
    return FINE
