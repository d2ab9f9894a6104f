"""Files in and out: the farm as CSV, records of weather and of frost."""

import argparse
import sys
from datetime import time
from pathlib import Path
from typing import TYPE_CHECKING

from model.errors import BadInput
from model.text import several
from tui.cli.common import FINE, Register, opened, path_of, pen

if TYPE_CHECKING:
    from model.weather.reading import WeatherFile


def add(command: Register) -> None:
    """Put down the commands that read or write files."""
    taken_in = command("import", _import, "read a folder of CSV files into a new database")
    taken_in.add_argument("folder", type=Path, metavar="FOLDER")
    written = command("export", _export, "write everything as a folder of CSV files")
    written.add_argument("folder", type=Path, metavar="FOLDER")
    written.add_argument("--over", action="store_true", help="over an export that is there")
    frost = command("frost", _frost, "read a record of daily lows for the last freezes of a station")
    frost.add_argument("file", type=Path, metavar="FILE")
    frost.add_argument("--station", required=True, metavar="NAME", help="where it was kept")
    weather = command("import-weather", _import_weather, "read daily lows and highs of a file into a place")
    weather.add_argument("file", type=Path, metavar="FILE")
    weather.add_argument("--place", required=True, metavar="NAME", help="the place where they were read")


def _import(asked: argparse.Namespace) -> int:
    from model.actions.files import import_folder
    from model.days import FixedClock, SystemClock

    # The farm's zone stands in the folder; at noon in Greenwich it is that day at nearly every farm.
    clock = FixedClock(asked.on, time(12)) if asked.on else SystemClock()
    path = path_of(asked)
    import_folder(path, asked.folder, now=clock.now()).close()
    print(f"{asked.folder} is now in {path}.")
    return FINE


def _export(asked: argparse.Namespace) -> int:
    from model.actions.files import export_folder

    store, _today = opened(asked)
    if (asked.folder / "farm.csv").exists() and not asked.over:
        raise BadInput(
            f"There is an export in {asked.folder} already.", "Name another folder, or add --over."
        )
    export_folder(store, asked.folder)
    print(f"{store.name} was written to {asked.folder}.")
    return FINE


def _frost(asked: argparse.Namespace) -> int:
    from model.actions.frost import keep_record
    from model.views.frost import dates_said, read

    store, stamp = pen(asked)
    receipt, found = keep_record(store, stamp, asked.file, asked.station)
    _say_defects(asked.file, found)
    print(f"{receipt.words}; {len(found.defects)} defects named.")
    print(*dates_said(read(store, stamp.today, stamp.at)), sep="\n")
    return FINE


def _say_defects(path: Path, found: "WeatherFile") -> int:
    from model.actions.weather import defects_said

    defects = defects_said(path, found)
    if defects:
        print(*defects, sep="\n", file=sys.stderr)
    return len(defects)


def _import_weather(asked: argparse.Namespace) -> int:
    from model.actions.weather import import_weather

    store, stamp = pen(asked)
    receipt, found = import_weather(store, stamp, asked.file, asked.place)
    defects = _say_defects(asked.file, found)
    print(f"{receipt.words}; {several(defects, 'defect')} named.")
    if found.ignored:
        print(f"{found.ignored} other values, such as rain, were passed over.")
    print("u in the app takes it back today.")
    return FINE
