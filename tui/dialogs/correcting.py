"""Correct the record: the sowing, or one older entry, without touching what came after."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date

from model.actions import growth, record
from model.crops import variety_name
from model.days import parse_day, say_day
from model.errors import BadInput
from model.facts import ActKind
from model.rules.ledger import COUNTS
from model.rules.reasons import FINGER_WORDS
from model.views.choices import Choices
from model.views.tray import StoryLine, TrayPage
from tui.dialogs.ask import Choose, Flow, Option, Type
from tui.dialogs.flows import Wish, which_sowing, whole_number
from tui.dialogs.variety import read_one

PAGE = 12
"""Entries that are offered at once."""
OF_SOWING = {
    "sown_on": "the day of sowing",
    "cells": "how many cells were sown",
    "seeds_per_cell": "seeds a cell",
    "variety": "crop and variety",
}
OF_ACT = {
    "struck": ("strike it: it didn't happen", "s"),
    "day": ("it was on another day", "d"),
    "count": ("the count was another", "c"),
    "score": ("it looked or felt otherwise", "r"),
}
DAY_HINT = "like 12 mar, 2026-03-12, or -3 for three days ago"


def correct(page: TrayPage, choices: Choices, today: date) -> Flow[Wish]:
    """What is to be put right: the sowing, or an entry; older ones a page further on."""
    entries = [line for line in page.story if line.can_correct]
    page = replace(page, sowings=tuple(sowing for sowing in page.sowings if not sowing.from_parent))
    sowing = [Option(words, field) for field, words in OF_SOWING.items()] if page.sowings else []
    if not entries and not sowing:
        raise BadInput("There is nothing to correct here.", "Correct the tray these plants came from.")
    first = 0
    while True:
        shown = entries[first : first + PAGE]
        options = [Option(f"{say_day(line.day)}  {line.words}  {line.who}", line) for line in shown]
        further = [Option("older entries", None, "o")] if entries[first + PAGE :] else []
        chosen: str | StoryLine | None = yield Choose(
            f"Correct what of {page.line.label}?", [*sowing, *options, *further], likely=-1
        )
        if isinstance(chosen, StoryLine):
            return (yield from _correct_act(chosen, today))
        if chosen is not None:
            return (yield from _correct_sowing(page, choices, chosen, today))
        sowing, first = [], first + PAGE


def _correct_sowing(page: TrayPage, choices: Choices, field: str, today: date) -> Flow[Wish]:
    sowing = yield from which_sowing(page)
    match field:
        case "sown_on":
            now, hint, parse = say_day(sowing.sown_on), DAY_HINT, _day(today)
        case "variety":
            now, hint = variety_name(sowing.crop, sowing.variety), "crop and variety, like tomato Ostrel"
            parse = lambda text: "/".join(read_one(choices, text))  # noqa: E731  (one of three parsers)
        case _:
            now, hint, parse = str(getattr(sowing, field)), "a whole number", _count(1)
    new: str = yield Type(f"{field.replace('_', ' ')} is on record as {now}; it was:", parse, "", hint)
    return lambda store, stamp: record.correct_sowing(
        store, stamp, page.line.tray_id, sowing.sowing_id, field, new
    )


def _correct_act(chosen: StoryLine, today: date) -> Flow[Wish]:
    options = [
        Option(words, field, key) for field, (words, key) in OF_ACT.items() if field in chosen.can_correct
    ]
    field: str = yield Choose(f"{say_day(chosen.day)}  {chosen.words}:", options, likely=-1)
    new = ""
    if field == "day":
        new = yield Type("Which day was it?", _day(today), "", DAY_HINT)
    elif field == "score":
        scores = FINGER_WORDS if chosen.kind is ActKind.FINGER else growth.SCORES
        looks = [Option(words, str(score), str(score)) for score, words in enumerate(scores)]
        new = yield Choose("What was it?", looks, likely=-1)
    elif field == "count":
        new = yield Type("What was it?", _count(1 if chosen.kind in COUNTS else 0), "", "a whole number")
    return lambda store, stamp: record.correct_act(store, stamp, chosen.act_id, field, new)


def _day(today: date) -> Callable[[str], str]:
    return lambda text: parse_day(text, today).isoformat()


def _count(least: int) -> Callable[[str], str]:
    return lambda text: str(whole_number(least)(text))
