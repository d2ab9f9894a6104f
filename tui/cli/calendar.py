"""trayround calendar: the days to come as a file that calendar programs take in."""

import argparse

from tui.cli.common import FINE, Register, opened_now
from tui.cli.written import add_file, put_out


def add(command: Register) -> None:
    """The command and its options."""
    calendar = command("calendar", _calendar, "write what is to come as a calendar file")
    add_file(calendar)
    calendar.add_argument("--names", action="store_true", help="say too to whom plants are promised")


def _calendar(asked: argparse.Namespace) -> int:
    from model.views import calendar

    store, today, now = opened_now(asked)
    view = calendar.read(store, today, now, names=asked.names)
    put_out(asked, calendar.as_ical(view, now), f"{view.said} to {asked.file}.")
    return FINE
