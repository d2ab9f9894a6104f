"""Answers printed without the screen: the round, the plan and its kin, the cover sheet."""

import argparse

from tui.cli.common import FINE, Register, a_day, opened, opened_now

PRINTED = {
    "plan": "print what to sow when, and what it takes",
    "mat": "print who stands on the mat when",
    "gate": "print whether today is the day to set out",
    "tonight": "print what must come in tonight",
    "cold": "print whom to rescue first in a cold spell, and what that costs",
    "promises": "print who is promised what, and what is short",
    "health": "print what looked sick, what stood beside it, and what a label withholds",
    "lots": "print the seed lots with their tests and what these leave open",
    "stock": "print what is in hand, what to buy and what to wash",
    "clashes": "print what two copies that were merged are at odds about",
    "entries": "print who entered what today, or on the day of --on and of it",
}
"""Answers that are printed without the screen, and what each is."""


def add(command: Register) -> None:
    """Put down the commands that print an answer."""
    plain = command("round", _round, "print the morning's list")
    plain.add_argument("--json", action="store_true", help="as one JSON object")
    for name, words in PRINTED.items():
        printed = command(name, _printed, words)
        printed.add_argument("--json", action="store_true", help="as one JSON object")
        printed.set_defaults(view=name)
    trace = command(
        "trace", _trace, "print where plants of a lot or a tray went, or of which lot somebody's plants came"
    )
    trace.add_argument(
        "what", metavar="WHAT", help="a tray's label, a lot's name, a bed, or who has the plants"
    )
    trace.add_argument("--json", action="store_true", help="as one JSON object")
    cover = command("cover", _cover, "print a sheet for whoever covers some days away")
    cover.add_argument("first", type=a_day, metavar="FROM", help="the day of leaving, in the evening")
    cover.add_argument("last", type=a_day, metavar="TO", help="the day of coming back")
    cover.add_argument("--for", dest="for_whom", default="", metavar="NAME", help="who covers")
    cover.add_argument("--json", action="store_true", help="as one JSON object")


def _round(asked: argparse.Namespace) -> int:
    from model.views.outlook import reckon
    from model.views.plain import as_json, as_text
    from model.views.round import read_round

    store, today = opened(asked)
    reckoned = reckon(store, today)
    view = read_round(store, today, reckoned.outlooks, reckoned.thirsts)
    print(as_json(view) if asked.json else as_text(view))
    return FINE


def _printed(asked: argparse.Namespace) -> int:
    from importlib import import_module

    from model.views.answer import as_json, as_text

    store, today, now = opened_now(asked)
    view = import_module(f"model.views.{asked.view}")
    found = view.read(store, today, now)
    print(as_json(found) if asked.json else as_text(view.answer(found), ascii_only=asked.ascii))
    return FINE


def _trace(asked: argparse.Namespace) -> int:
    from model.text import clean
    from model.views import trace
    from model.views.answer import as_json, as_text

    store, today = opened(asked)
    found = trace.read_trace(store, clean(asked.what), today)
    print(as_json(found) if asked.json else as_text(trace.answer(found), ascii_only=asked.ascii))
    return FINE


def _cover(asked: argparse.Namespace) -> int:
    from model.text import clean
    from model.views import cover
    from model.views.answer import as_json

    store, today, now = opened_now(asked)
    sheet = cover.read(store, asked.first, asked.last, today, now, for_whom=clean(asked.for_whom).strip())
    print(as_json(sheet) if asked.json else cover.text(sheet, ascii_only=asked.ascii))
    return FINE
