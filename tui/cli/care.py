"""Never lose it: backup, restore and check on the command line."""

import argparse
from pathlib import Path

from tui.cli.common import FINE, REFUSED, Register, path_of


def add(command: Register) -> None:
    """Put down the commands that keep the record safe."""
    kept = command("backup", _backup, "make a whole copy of the record, beside it or under a name")
    kept.add_argument("file", nargs="?", type=Path, metavar="FILE", help="a new file for the copy")
    back = command("restore", _restore, "list the backups, or put one in the place of the record")
    back.add_argument("wanted", nargs="?", metavar="newest|NUMBER|FILE", help="which copy; none lists them")
    checked = command("check", _check, "look whether the record is sound")
    checked.add_argument("--rebuild", action="store_true", help="first reckon every tray anew from its acts")
    checked.add_argument("--json", action="store_true", help="as one JSON object")


def _backup(asked: argparse.Namespace) -> int:
    from model.actions.care import back_up, file_of
    from model.days import SystemClock

    print(back_up(file_of(path_of(asked)), SystemClock().now(), asked.file))
    return FINE


def _restore(asked: argparse.Namespace) -> int:
    from model.actions.care import file_of, listed, restore
    from model.days import SystemClock

    path = file_of(path_of(asked))
    lines = listed(path) if asked.wanted is None else restore(path, asked.wanted, SystemClock().now())
    print(*lines, sep="\n")
    return FINE


def _check(asked: argparse.Namespace) -> int:
    from model.days import SystemClock
    from model.views import check
    from model.views.answer import as_json, as_text

    where = path_of(asked)
    if asked.rebuild:
        from model.actions.files import rebuild
        from model.actions.opening import open_farm

        rebuild(open_farm(where))
    page = check.read(where, SystemClock().now())
    print(as_json(page) if asked.json else as_text(check.answer(page), ascii_only=asked.ascii))
    return FINE if page.sound else REFUSED
