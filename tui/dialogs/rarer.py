"""The rarer acts on a tray, behind one key: handed over, sick, sprayed, another number, a variety in doubt, a trace."""

from collections.abc import Callable
from datetime import date

from model.actions import health, labelling, nights
from model.facts import ActKind
from model.units import LABEL_DAYS, LABEL_HOURS
from model.views.choices import Numbers
from model.views.lines import RoundView
from model.views.promises import PromisesView
from model.views.tray import TrayPage
from tui.dialogs import promises
from tui.dialogs.ask import Choose, Flow, Option, Type
from tui.dialogs.flows import Wish, day_gone, some_text, which_sowing, whole_number
from tui.dialogs.paper import relabel

CAUTION = "the label has dose, re-entry and harvest intervals; it decides"


def more(page: TrayPage, numbers: Numbers, owed: PromisesView, round_: RoundView) -> Flow[Wish]:
    """Which of the rarer acts, and what it needs."""
    acts: list[Option] = [
        Option("handed over to somebody", lambda: promises.hand_over(page, owed), "h"),
        Option("looks sick", lambda: _sick(page), "s"),
        Option("sprayed or drenched", lambda: _sprayed(page, round_), "p"),
        Option(
            "another label: a new number, or one that was swapped", lambda: _label(page, round_, numbers), "n"
        ),
        Option("stood out already before it was on record", lambda: _stood_out(page, round_), "o"),
        Option("variety uncertain: may have been mixed up", lambda: _doubt(page), "v"),
    ]
    chosen: Callable[[], Flow[Wish]] = yield Choose(f"{page.line.label}: what happened?", acts, -1)
    return (yield from chosen())


def _sick(page: TrayPage) -> Flow[Wish]:
    text: str = yield Type("What does it look like?", some_text, "", "spots, wilting, grey mould at the stem")
    return lambda store, stamp: health.looked_sick(store, stamp, page.line.tray_id, text)


def _label(page: TrayPage, round_: RoundView, numbers: Numbers) -> Flow[Wish]:
    return (yield from relabel(page.line, round_.lines, numbers, round_.on))


def _this_or_all(page: TrayPage, round_: RoundView, prompt: str) -> Flow[list[int]]:
    """A tray alone, or all trays of its place."""
    here = [line for line in round_.lines if line.place_id == page.line.place_id]
    trays = [page.line.tray_id]
    if len(here) > 1:
        trays = yield Choose(
            prompt,
            [
                Option(f"{page.line.label} alone", trays, "1"),
                Option(f"all {len(here)} trays of {page.line.place}", [line.tray_id for line in here], "a"),
            ],
        )
    return trays


def _stood_out(page: TrayPage, round_: RoundView) -> Flow[Wish]:
    """Days of hardening that nobody marked, as somebody tells them now."""
    trays = yield from _this_or_all(page, round_, f"What stood at {page.line.place} already?")
    since: date = yield Type(
        "Since which day?",
        day_gone(round_.on),
        "",
        "like -7 or 7 apr; days that were marked stay as they are",
    )
    at_night: ActKind = yield Choose(
        "And in those nights?",
        [
            Option("it stayed out", ActKind.STAYED_OUT, "o"),
            Option("it was brought in", ActKind.BROUGHT_IN, "i"),
        ],
        -1,
    )
    return lambda store, stamp: nights.tell_out(store, stamp, trays, since, at_night)


def _sprayed(page: TrayPage, round_: RoundView) -> Flow[Wish]:
    trays = yield from _this_or_all(page, round_, f"Sprayed what?   ({CAUTION})")
    what: str = yield Type("With what?", some_text, "", "as it stands on the label")
    days: int = yield Type(
        "Days the label forbids cutting and handing over?",
        whole_number(*LABEL_DAYS),
        "",
        "as it stands on the label; 0 only where it says so",
    )
    hours: int = yield Type(
        "From the label: hours before anyone handles them?",
        whole_number(*LABEL_HOURS),
        "",
        "re-entry, as it stands on the label; 0 only where it says so",
    )
    return lambda store, stamp: health.spray(store, stamp, trays, what, days, hours)


def _doubt(page: TrayPage) -> Flow[Wish]:
    sowing = yield from which_sowing(page)
    text: str = yield Type("How did it come about?", some_text, "", "fell down together with another tray")
    return lambda store, stamp: labelling.doubt(store, stamp, page.line.tray_id, sowing.sowing_id, text)
