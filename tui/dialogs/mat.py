"""Questions about a pin of the mat rota."""

from collections.abc import Callable
from datetime import date, timedelta

from model.actions.rota import PinWish
from model.actions.rota import pin as keep_pin
from model.days import parse_ahead, say_day
from model.errors import BadInput
from model.views.mat import MatSowing, MatView
from tui.dialogs.ask import Choose, Flow, Option, Type
from tui.dialogs.flows import Wish

OPEN = "-"
"""Typed where the rota is to choose the day."""


def pin(sowing: MatSowing, view: MatView) -> Flow[Wish]:
    """Which day, on which mat or on none, and why."""
    window = f"{say_day(sowing.first_day)} to {say_day(sowing.last_day)}"
    day: date | None = yield Type(
        f"Sow {sowing.name} on which day?",
        _coming(view.on, sowing.day),
        say_day(sowing.day) if sowing.day else OPEN,
        f"window {window}; like 16 apr, tomorrow or +3; {OPEN} leaves the day to the rota",
    )
    if day is not None and not sowing.first_day <= day <= sowing.last_day:
        sure: bool = yield Choose(
            f"{say_day(day)} is outside its window, {window}. Pin it all the same?",
            [Option("no, nothing is pinned", False, "n"), Option("yes", True, "y")],
        )
        if not sure:
            raise BadInput("Nothing was pinned.", f"Give a day from {window}, or move the target (A).")
    mats = [Option(f"on {mat.name}", mat.place_id) for mat in view.mats]
    where: int | None = yield Choose(
        "Where does it come up?",
        [*mats, Option("without heat", 0, "w"), *([Option("the rota chooses", None, "r")] if day else [])],
    )
    reason: str = yield Type("Why? (may stay empty)", lambda text: text)
    wish = PinWish(sowing.target_id, day, where or None, where == 0, reason)
    return lambda store, stamp: keep_pin(store, stamp, wish)


def _coming(today: date, likely: date | None) -> Callable[[str], date | None]:
    """Reads a day from today on; the likely one comes back as it was offered, with its weekday."""

    def parse(text: str) -> date | None:
        typed = text.strip()
        if typed == OPEN:
            return None
        if likely is not None and typed == say_day(likely):
            return likely
        if typed in ("today", "tomorrow"):
            return today + timedelta(days=typed == "tomorrow")
        first, last = parse_ahead(typed, today)
        if first != last:
            raise BadInput("A week is no day.", "Give one day, like 16 apr.")
        if first < today:
            raise BadInput(f"{say_day(first)} is gone.", "Give today or a later day.")
        return first

    return parse
