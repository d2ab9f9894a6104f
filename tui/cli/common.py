"""What every command needs: the farm opened, its day, a pen, and the words of exit codes."""

import argparse
from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from model.errors import NoDatabase

if TYPE_CHECKING:
    from model.actions.desk import Stamp
    from model.actions.opening import Store, Where

FINE, REFUSED, MISUSED = 0, 1, 2
"""Exit codes: done; refused or failed with a sentence that says what to do; the command was mistyped or has no terminal."""


class Register(Protocol):
    """Makes the parser of one command."""

    def __call__(
        self, name: str, run: Callable[[argparse.Namespace], int], words: str, /
    ) -> argparse.ArgumentParser: ...


def a_day(text: str) -> date:
    """A day as it is typed."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is no day; write it like 2026-04-14") from None


def path_of(asked: argparse.Namespace) -> "Where":
    """The farm's file that is asked for, or the server. A folder that was mistyped is refused, and never made."""
    from model.actions.opening import default_path, where_of

    if not asked.db:
        return default_path()
    where = where_of(asked.db)
    if isinstance(where, Path) and not where.parent.is_dir():
        raise NoDatabase(
            f"There is no folder {where.parent}.",
            f"Make it first, or check the name after --db ({where.name} is looked for in it). Nothing was made.",
        )
    return where


def opened(asked: argparse.Namespace) -> "tuple[Store, date]":
    """The farm, and the day that is asked for."""
    from model.actions.opening import open_farm
    from model.days import SystemClock, farm_day
    from model.views.settings import read_settings

    store = open_farm(path_of(asked))
    zone = read_settings(store).get("zone", "UTC")
    return store, asked.on or farm_day(SystemClock().now(), zone)


def opened_now(asked: argparse.Namespace) -> "tuple[Store, date, datetime]":
    """The farm, the day that is asked for, and the instant as if it were that day."""
    from model.days import SystemClock, as_if
    from model.views.settings import read_settings

    store, today = opened(asked)
    return store, today, as_if(SystemClock().now(), today, read_settings(store).get("zone", "UTC"))


def pen(asked: argparse.Namespace) -> "tuple[Store, Stamp]":
    """The farm, and a stamp for an entry."""
    from model.actions.desk import Stamp
    from model.days import SystemClock
    from model.views.settings import read_settings

    store, today = opened(asked)
    return store, Stamp(read_settings(store).get("person", "grower"), SystemClock().now(), today)
