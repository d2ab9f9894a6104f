"""The command: the app and the demo; what only prints or reads stands in tui.cli. See README for exit codes."""

import argparse
import gc
import os
import sys
from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from model.errors import BadInput, ImportRefused, TrayroundError
from tui.cli import answers, calendar, care, files, merge, paper, season, summary
from tui.cli.common import FINE, MISUSED, REFUSED, a_day, path_of

if TYPE_CHECKING:
    from model.actions.opening import Where
    from tui.app import TrayroundApp
    from tui.session import Session

MOST_NAME = 40
"""Characters of a helper's name that are kept."""


def main(arguments: Sequence[str] | None = None) -> None:
    """Run the command and exit with its code."""
    sys.exit(run(arguments))


def run(arguments: Sequence[str] | None = None) -> int:
    """Run the command; the exit code."""
    # The forecast's sums are small: threads for them only get in each other's way.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    asked = parser().parse_args(arguments)
    try:
        code = int(asked.run(asked))
        # A reader that went away is found out here, not when Python closes its streams.
        sys.stdout.flush()
        return code
    except ImportRefused as error:
        print(*error.problems, sep="\n", file=sys.stderr)
        print(f"trayround: {error.title}. {error}", file=sys.stderr)
    except TrayroundError as error:
        print(f"trayround: {error.title}. {error}", file=sys.stderr)
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return REFUSED


def parser() -> argparse.ArgumentParser:
    """Every command and its options; what stands before the command's name counts as well as what stands after."""
    top = argparse.ArgumentParser(
        prog="trayround",
        description="The morning round of vegetable transplants: which trays need something today, and why.",
        parents=[_options()],
    )
    top.add_argument("--version", action=_Version, nargs=0, help="show the version and exit")
    top.add_argument("--helper", metavar="NAME", help="open a plain round for somebody who stands in")
    top.set_defaults(run=_app, db=None, on=None, ascii=False)
    commands = top.add_subparsers(metavar="COMMAND")

    def command(name: str, run: Callable[[argparse.Namespace], int], words: str) -> argparse.ArgumentParser:
        made = commands.add_parser(
            name, parents=[_options()], help=words, description=words.capitalize() + "."
        )
        made.set_defaults(run=run)
        return made

    command("demo", _demo, "open the app on a throwaway copy of the demo farm, on its own morning in April")
    for module in (answers, calendar, summary, paper, care, season, files, merge):
        module.add(command)
    return top


def _options() -> argparse.ArgumentParser:
    """The options of every command. Each parser needs its own: a default set on one would hold for all."""
    options = argparse.ArgumentParser(add_help=False, argument_default=argparse.SUPPRESS)
    options.add_argument("--db", metavar="FILE", help="the farm's file, or postgresql://user@host/name")
    options.add_argument("--on", type=a_day, metavar="DATE", help="a day, like 2026-04-14")
    options.add_argument(
        "--ascii", action="store_true", default=argparse.SUPPRESS, help="draw with plain signs"
    )
    return options


class _Version(argparse.Action):
    """Says the version; looking it up is a twentieth of the start, so it is done only where it is asked for."""

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> None:
        from importlib.metadata import PackageNotFoundError, version

        try:
            found = version("trayround")
        except PackageNotFoundError:
            found = "(not installed)"
        print(f"trayround {found}")
        parser.exit()


def _app(asked: argparse.Namespace) -> int:
    return _show(asked, path_of(asked), make=asked.helper is None) if _has_terminal() else MISUSED


def _has_terminal() -> bool:
    """Whether there is a terminal to draw on; where there is none it says so."""
    streams = (sys.stdin, sys.stdout, sys.stderr)
    if all(stream.isatty() for stream in streams) and os.environ.get("TERM") != "dumb":
        return True
    print("trayround needs a terminal; trayround round prints the list without one.", file=sys.stderr)
    return False


def _show(asked: argparse.Namespace, path: "Where", *, make: bool) -> int:
    from model.days import SystemClock
    from tui.headstart import found, read_ahead

    helper = _helper(asked)
    # Nothing made while starting is garbage; looking for some takes a tenth of the start. The app turns it on again.
    gc.disable()
    reader = read_ahead(path, SystemClock(), asked.on)
    from tui.session import Session

    ahead = (lambda: found(reader)) if reader is not None else (lambda: None)
    session = Session(path, SystemClock(), on=asked.on, make=make, helper=helper, ahead=ahead)
    from tui.words import ASCII, UNICODE

    signs = ASCII if asked.ascii else UNICODE
    if helper:
        from tui.helper import HelperApp

        return _run_app(HelperApp(session, signs), session)
    from tui.app import TrayroundApp

    return _run_app(TrayroundApp(session, signs), session)


def _helper(asked: argparse.Namespace) -> str:
    """Who stands in; "" where nobody does."""
    from model.text import clean

    if asked.helper is None:
        return ""
    name = clean(asked.helper, MOST_NAME).strip()
    if not name:
        raise BadInput(
            "The helper has no name.", "Give one after --helper; what is entered is kept under it."
        )
    return name


def _run_app(app: "TrayroundApp", session: "Session") -> int:
    try:
        words = app.run()
    finally:
        session.close()
    if words:
        print(f"trayround: {words}", file=sys.stderr)
    return app.return_code or FINE


def _demo(asked: argparse.Namespace) -> int:
    import tempfile

    if not _has_terminal():
        return MISUSED
    from model.actions.files import make_demo

    with tempfile.TemporaryDirectory(prefix="trayround-demo-") as folder:
        path = path_of(asked) if asked.db else Path(folder) / "demo.db"
        asked.on = asked.on or _last_april(date.today())  # noqa: DTZ011
        store = make_demo(path, asked.on)
        store.close()
        return _show(asked, path, make=False)


def _last_april(today: date) -> date:
    """The demo farm's own morning in the last spring that has come: in autumn nobody sets out tomatoes."""
    from model.actions.files import DEMO_MORNING

    this = DEMO_MORNING.replace(year=today.year)
    return this if this <= today else DEMO_MORNING.replace(year=today.year - 1)


if __name__ == "__main__":
    main()
