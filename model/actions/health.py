"""What is wrong with plants, what was done about it, and what its label forbids meanwhile."""

from collections.abc import Collection
from datetime import date

from model.actions.desk import Receipt, Stamp, entry
from model.days import say_day
from model.errors import BadInput
from model.facts import ActKind, Tray
from model.labels import label
from model.store.database import Store
from model.text import clean

LONGEST_INTERVAL = 120
"""An interval on a label beyond this is a slip of the finger [d] (ours)."""


def looked_sick(store: Store, stamp: Stamp, tray_id: int, text: str = "") -> Receipt:
    """Somebody saw that a tray looked sick, and in what way."""
    with entry(store, stamp) as pen:
        (tray,) = pen.standing([tray_id])
        pen.act(ActKind.LOOKED_SICK, tray_id, text=text or None)
        pen.say(f"looked sick: {label(tray.number)}")
    return pen.done()


def spray(store: Store, stamp: Stamp, tray_ids: Collection[int], what: str, days: int) -> Receipt:
    """Trays were sprayed or drenched; the label forbids cutting and handing over for some days."""
    if not (what := clean(what).strip()):
        raise BadInput("It isn't said what was used.", "Type it as it stands on the label.")
    if not 0 <= days <= LONGEST_INTERVAL:
        raise BadInput(f"{days} is no interval.", f"Give the label's days, 0 to {LONGEST_INTERVAL}.")
    with entry(store, stamp) as pen:
        trays = pen.standing(tray_ids)
        for tray in trays:
            pen.act(ActKind.SPRAYED, tray.id, text=what, count=days)
        pen.say(f"sprayed with {what}, {days} days: {', '.join(label(tray.number) for tray in trays)}")
    return pen.done()


def refuse_withheld(tray: Tray, day: date) -> None:
    """Refuse what a label forbids on a day: cutting, and handing over."""
    for spell in tray.withheld:
        if spell.day <= day < spell.until:
            raise BadInput(
                f"Tray {label(tray.number)} was sprayed with {spell.what} on {say_day(spell.day)}.",
                f"By the label as you typed it not before {say_day(spell.until)}.",
            )
