"""trayround summary: the farm on one page of text."""

import argparse
from collections.abc import Callable

from tui.cli.written import add_file, put_out


def add(command: Callable[..., argparse.ArgumentParser]) -> None:
    """The command and its options."""
    made = command("summary", _summary, "write the farm on one page of text")
    add_file(made)
    made.add_argument("--names", action="store_true", help="say who was at work")


def _summary(asked: argparse.Namespace) -> int:
    from model.views import summary
    from tui.__main__ import FINE, _open

    store, today = _open(asked)
    page = summary.text(summary.read(store, today, names=asked.names), ascii_only=asked.ascii)
    put_out(asked, f"{page}\n".encode(), f"The summary was written to {asked.file}.")
    return FINE
