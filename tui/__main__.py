"""The command: the app, the demo, the plain round, import, export and weather. See README for exit codes."""

import argparse
import gc
import os
import sys
from collections.abc import Sequence
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from model.errors import ImportRefused, TrayroundError
from tui.cli import care

if TYPE_CHECKING:
    from model.actions.desk import Stamp
    from model.actions.opening import Store
    from model.weather.reading import WeatherFile
    from tui.session import Session

FINE, REFUSED, MISUSED = 0, 1, 2
"""Exit codes: done; refused or failed with a sentence that says what to do; the command was mistyped or has no terminal."""


PRINTED = {
    "plan": "print what to sow when, and what it takes",
    "mat": "print who stands on the mat when",
    "gate": "print whether today is the day to set out",
    "tonight": "print what must come in tonight",
    "cold": "print whom to rescue first in a cold spell, and what that costs",
    "stock": "print what is in hand, what to buy and what to wash",
    "entries": "print who entered what today",
}
"""Answers that are printed without the screen, and what each is."""


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
    top.add_argument("--version", action="version", version=f"trayround {_version()}")
    top.set_defaults(run=_app, db=None, on=None, ascii=False)
    commands = top.add_subparsers(metavar="COMMAND")

    def command(name: str, run: object, words: str) -> argparse.ArgumentParser:
        made = commands.add_parser(
            name, parents=[_options()], help=words, description=words.capitalize() + "."
        )
        made.set_defaults(run=run)
        return made

    command("demo", _demo, "open the app on a throwaway copy of the demo farm, as if today were its morning")
    plain = command("round", _round, "print the morning's list")
    plain.add_argument("--json", action="store_true", help="as one JSON object")
    for name, words in PRINTED.items():
        printed = command(name, _printed, words)
        printed.add_argument("--json", action="store_true", help="as one JSON object")
        printed.set_defaults(view=name)
    cover = command("cover", _cover, "print a sheet for whoever covers some days away")
    cover.add_argument("first", type=_day, metavar="FROM", help="the day of leaving, in the evening")
    cover.add_argument("last", type=_day, metavar="TO", help="the day of coming back")
    cover.add_argument("--for", dest="for_whom", default="", metavar="NAME", help="who covers")
    cover.add_argument("--json", action="store_true", help="as one JSON object")
    taken_in = command("import", _import, "read a folder of CSV files into a new database")
    taken_in.add_argument("folder", type=Path, metavar="FOLDER")
    written = command("export", _export, "write everything as a folder of CSV files")
    written.add_argument("folder", type=Path, metavar="FOLDER")
    frost = command("frost", _frost, "read a record of daily lows for the last freezes of a station")
    frost.add_argument("file", type=Path, metavar="FILE")
    frost.add_argument("--station", required=True, metavar="NAME", help="where it was kept")
    weather = command("import-weather", _import_weather, "read daily lows and highs of a file into a place")
    weather.add_argument("file", type=Path, metavar="FILE")
    weather.add_argument("--place", required=True, metavar="NAME", help="the place where they were read")
    care.add(command)
    return top


def _options() -> argparse.ArgumentParser:
    """The options of every command. Each parser needs its own: a default set on one would hold for all."""
    options = argparse.ArgumentParser(add_help=False, argument_default=argparse.SUPPRESS)
    options.add_argument("--db", type=Path, metavar="FILE", help="the farm's file")
    options.add_argument("--on", type=_day, metavar="DATE", help="a day, like 2026-04-14")
    options.add_argument(
        "--ascii", action="store_true", default=argparse.SUPPRESS, help="draw with plain signs"
    )
    return options


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is no day; write it like 2026-04-14") from None


def _version() -> str:
    from importlib.metadata import PackageNotFoundError, version

    try:
        return version("trayround")
    except PackageNotFoundError:
        return "(not installed)"


def _path(asked: argparse.Namespace) -> Path:
    from model.actions.opening import default_path

    return asked.db or default_path()


def _app(asked: argparse.Namespace) -> int:
    return _show(asked, _path(asked), make=True) if _has_terminal() else MISUSED


def _has_terminal() -> bool:
    """Whether there is a terminal to draw on; where there is none it says so."""
    streams = (sys.stdin, sys.stdout, sys.stderr)
    if all(stream.isatty() for stream in streams) and os.environ.get("TERM") != "dumb":
        return True
    print("trayround needs a terminal; trayround round prints the list without one.", file=sys.stderr)
    return False


def _show(asked: argparse.Namespace, path: Path, *, make: bool) -> int:
    from model.days import SystemClock
    from tui.headstart import found, read_ahead

    reader = read_ahead(path, SystemClock(), asked.on)
    # Nothing made while starting is garbage; looking for some takes a tenth of the start. The app turns it on again.
    gc.disable()
    from tui.session import Session

    ahead = (lambda: found(reader)) if reader is not None else (lambda: None)
    session = Session(path, SystemClock(), on=asked.on, make=make, ahead=ahead)
    from tui.app import TrayroundApp
    from tui.words import ASCII, UNICODE

    return _run_app(TrayroundApp(session, ASCII if asked.ascii else UNICODE), session)


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
        path = asked.db or Path(folder) / "demo.db"
        # The day is settled once: the demo farm's zone may be on another day than this machine.
        asked.on = asked.on or date.today()  # noqa: DTZ011
        store = make_demo(path, asked.on)
        store.close()
        return _show(asked, path, make=False)


def _open(asked: argparse.Namespace) -> "tuple[Store, date]":
    from model.actions.opening import open_farm
    from model.days import SystemClock, farm_day
    from model.views.settings import read_settings

    store = open_farm(_path(asked))
    zone = read_settings(store).get("zone", "UTC")
    return store, asked.on or farm_day(SystemClock().now(), zone)


def _round(asked: argparse.Namespace) -> int:
    from model.views.outlook import reckon
    from model.views.plain import as_json, as_text
    from model.views.round import read_round

    store, today = _open(asked)
    reckoned = reckon(store, today)
    view = read_round(store, today, reckoned.outlooks, reckoned.thirsts)
    print(as_json(view) if asked.json else as_text(view))
    return FINE


def _printed(asked: argparse.Namespace) -> int:
    from importlib import import_module

    from model.views.answer import as_json, as_text

    store, today, now = _opened_now(asked)
    view = import_module(f"model.views.{asked.view}")
    found = view.read(store, today, now)
    print(as_json(found) if asked.json else as_text(view.answer(found), ascii_only=asked.ascii))
    return FINE


def _opened_now(asked: argparse.Namespace) -> "tuple[Store, date, datetime]":
    from model.days import SystemClock, as_if
    from model.views.settings import read_settings

    store, today = _open(asked)
    return store, today, as_if(SystemClock().now(), today, read_settings(store).get("zone", "UTC"))


def _cover(asked: argparse.Namespace) -> int:
    from model.text import clean
    from model.views import cover
    from model.views.answer import as_json

    store, today, now = _opened_now(asked)
    sheet = cover.read(store, asked.first, asked.last, today, now, for_whom=clean(asked.for_whom).strip())
    print(as_json(sheet) if asked.json else cover.text(sheet, ascii_only=asked.ascii))
    return FINE


def _import(asked: argparse.Namespace) -> int:
    from model.actions.files import import_folder

    path = _path(asked)
    import_folder(path, asked.folder).close()
    print(f"{asked.folder} is now in {path}.")
    return FINE


def _export(asked: argparse.Namespace) -> int:
    from model.actions.files import export_folder

    store, _today = _open(asked)
    export_folder(store, asked.folder)
    print(f"{store.path} was written to {asked.folder}.")
    return FINE


def _frost(asked: argparse.Namespace) -> int:
    from model.actions.frost import keep_record

    store, stamp = _pen(asked)
    receipt, found = keep_record(store, stamp, asked.file, asked.station)
    _say_defects(asked.file, found)
    print(f"{receipt.words}; {len(found.defects)} defects named.")
    return FINE


def _pen(asked: argparse.Namespace) -> "tuple[Store, Stamp]":
    from model.actions.desk import Stamp
    from model.days import SystemClock
    from model.views.settings import read_settings

    store, today = _open(asked)
    return store, Stamp(read_settings(store).get("person", "grower"), SystemClock().now(), today)


def _say_defects(path: Path, found: "WeatherFile") -> int:
    from model.actions.weather import defects_said

    defects = defects_said(path, found)
    if defects:
        print(*defects, sep="\n", file=sys.stderr)
    return len(defects)


def _import_weather(asked: argparse.Namespace) -> int:
    from model.actions.weather import import_weather

    store, stamp = _pen(asked)
    receipt, found = import_weather(store, stamp, asked.file, asked.place)
    defects = _say_defects(asked.file, found)
    print(f"{receipt.words}; {defects} defect{'s' if defects != 1 else ''} named.")
    if found.ignored:
        print(f"{found.ignored} other values, such as rain, were passed over.")
    print("u in the app takes it back today.")
    return FINE


if TYPE_CHECKING:
    from tui.app import TrayroundApp

if __name__ == "__main__":
    main()
