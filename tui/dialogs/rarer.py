"""The rarer acts on a tray, behind one key: handed over, sick, sprayed, another number, a variety in doubt, a trace."""

from collections.abc import Callable, Sequence

from model.actions import health, labelling
from model.errors import BadInput
from model.labels import label, read_label
from model.views.choices import Choices
from model.views.lines import TrayLine
from model.views.promises import PromisesView
from model.views.tray import TrayPage
from tui.dialogs import promises
from tui.dialogs.ask import Choose, Flow, Option, Type
from tui.dialogs.flows import Wish, some_text, which_sowing, whole_number

CAUTION = "the label has dose, re-entry and harvest intervals; it decides"


def more(page: TrayPage, choices: Choices, owed: PromisesView, here: Sequence[TrayLine]) -> Flow[Wish]:
    """Which of the rarer acts, and what it needs. `here` are the trays of the same place."""
    acts: list[Option] = [
        Option("handed over to somebody", lambda: promises.hand_over(page, owed), "h"),
        Option("looks sick", lambda: _sick(page), "s"),
        Option("sprayed or drenched", lambda: _sprayed(page, here), "p"),
        Option("another number on its label", lambda: _renumber(page, choices), "n"),
        Option("variety uncertain: may have been mixed up", lambda: _doubt(page), "v"),
    ]
    chosen: Callable[[], Flow[Wish]] = yield Choose(f"{page.line.label}: what happened?", acts, -1)
    return (yield from chosen())


def _sick(page: TrayPage) -> Flow[Wish]:
    text: str = yield Type("What does it look like?", some_text, "", "spots, wilting, grey mould at the stem")
    return lambda store, stamp: health.looked_sick(store, stamp, page.line.tray_id, text)


def _sprayed(page: TrayPage, here: Sequence[TrayLine]) -> Flow[Wish]:
    trays = [page.line.tray_id]
    if len(here) > 1:
        trays = yield Choose(
            f"Sprayed what?   ({CAUTION})",
            [
                Option(f"{page.line.label} alone", trays, "1"),
                Option(f"all {len(here)} trays of {page.line.place}", [line.tray_id for line in here], "a"),
            ],
        )
    what: str = yield Type("With what?", some_text, "", "as it stands on the label")
    days: int = yield Type(
        "Days the label forbids cutting and handing over?", whole_number(0, health.LONGEST_INTERVAL), "0"
    )
    return lambda store, stamp: health.spray(store, stamp, trays, what, days)


def _renumber(page: TrayPage, choices: Choices) -> Flow[Wish]:
    taken = choices.taken - {page.line.number}

    def parse(text: str) -> int:
        number = read_label(text)
        if number in taken:
            raise BadInput(f"{label(number)} stands on another tray.", "Give a number that is free.")
        return number

    new: int = yield Type(
        f"{page.line.label} gets which number?",
        parse,
        label(choices.next_number),
        "the old one still finds it",
    )
    return lambda store, stamp: labelling.relabel(store, stamp, {page.line.tray_id: new})


def _doubt(page: TrayPage) -> Flow[Wish]:
    sowing = yield from which_sowing(page)
    text: str = yield Type("How did it come about?", some_text, "", "fell down together with another tray")
    return lambda store, stamp: labelling.doubt(store, stamp, page.line.tray_id, sowing.sowing_id, text)
