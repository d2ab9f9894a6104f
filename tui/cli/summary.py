"""trayround summary: the farm on one page of text."""

import argparse

from tui.cli.common import FINE, Register, opened_now
from tui.cli.written import add_file, put_out


def add(command: Register) -> None:
    """The command and its options."""
    made = command("summary", _summary, "write the farm on one page of text")
    add_file(made)
    made.add_argument("--names", action="store_true", help="say who was at work")


def _summary(asked: argparse.Namespace) -> int:
    from model.views import summary

    store, today, now = opened_now(asked)
    page = summary.text(summary.read(store, today, now, names=asked.names), ascii_only=asked.ascii)
    put_out(asked, f"{page}\n".encode(), f"The summary was written to {asked.file}.")
    return FINE
