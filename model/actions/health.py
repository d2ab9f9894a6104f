"""What is wrong with plants, what was done about it, and what its label forbids meanwhile."""

from collections.abc import Collection
from datetime import date

from model.actions.desk import Receipt, Stamp, entry
from model.entered import HOURS
from model.errors import BadInput
from model.facts import ActKind, PlaceKind, Tray
from model.labels import label
from model.rules.careful import apart_words, withheld_on, withheld_words
from model.store import reading
from model.store.database import Rows, Store
from model.text import clean, several
from model.units import LABEL_DAYS, LABEL_HOURS


def looked_sick(store: Store, stamp: Stamp, tray_id: int, text: str = "") -> Receipt:
    """Somebody saw that a tray looked sick, and in what way."""
    with entry(store, stamp) as pen:
        (tray,) = pen.standing([tray_id])
        pen.act(ActKind.LOOKED_SICK, tray_id, text=text or None)
        pen.say(f"looked sick: {label(tray.number)}")
    return pen.done()


def spray(
    store: Store, stamp: Stamp, tray_ids: Collection[int], what: str, days: int, hours: int = 0
) -> Receipt:
    """Trays were sprayed or drenched; the label forbids cutting and handing over for some days, handling for hours."""
    if not (what := clean(what).strip()):
        raise BadInput("It isn't said what was used.", "Type it as it stands on the label.")
    for count, (least, most), unit in ((days, LABEL_DAYS, "days"), (hours, LABEL_HOURS, "hours")):
        if not least <= count <= most:
            raise BadInput(f"{count} is no interval.", f"Give the label's {unit}, {least} to {most}.")
    touch = {"field": HOURS, "new": str(hours)} if hours else {}
    with entry(store, stamp) as pen:
        trays = pen.standing(tray_ids)
        for tray in trays:
            pen.act(ActKind.SPRAYED, tray.id, text=what, count=days, **touch)
        until = several(days, "day") + (f", hands off for {several(hours, 'hour')}" if hours else "")
        pen.say(f"sprayed with {what}, {until}: {', '.join(label(tray.number) for tray in trays)}")
    return pen.done()


def refuse_apart(store: Store, tray_id: int, what: str) -> None:
    """Refuse before anything is asked what an entry would refuse."""
    with store.reading() as rows:
        for tray in reading.trays(rows, [tray_id]).values():
            refuse_quarantine(rows, tray, what)


def refuse_quarantine(rows: Rows, tray: Tray, what: str) -> None:
    """Refuse what nothing in quarantine is there for: it stays apart until it is moved out."""
    place = next(place for place in reading.places(rows) if place.id == tray.place_id)
    if place.kind is PlaceKind.QUARANTINE:
        raise BadInput(*apart_words(tray, place, what))


def refuse_withheld(tray: Tray, day: date) -> None:
    """Refuse what a label forbids on a day: cutting, and handing over."""
    if spell := withheld_on(tray, day):
        raise BadInput(*withheld_words(tray, spell))
