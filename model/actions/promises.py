"""Plants promised to roles and order numbers, and plants handed over."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING

from model.actions.desk import Pen, Receipt, Stamp, entry
from model.actions.growth import sowing_of
from model.actions.health import refuse_quarantine, refuse_withheld
from model.actions.plan import MOST_PLANTS
from model.actions.shift import at_least_one, container_of
from model.actions.sow import variety_of
from model.ahead import Promise
from model.crops import crop_name, variety_name
from model.days import say_day
from model.errors import BadInput, NotEnough
from model.facts import ActKind, Sowing, Tray
from model.labels import label
from model.store import reading_owed
from model.store.database import Store
from model.text import clean

if TYPE_CHECKING:
    from model.store import tables


@dataclass(frozen=True, slots=True)
class Given:
    """Plants of one promise, to a role or an order number."""

    to_whom: str
    crop: str
    variety: str
    """Empty for any variety of the crop."""
    plants: int
    due_on: date
    container_id: int | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Share:
    """Plants that go out of one sowing of a tray."""

    tray_id: int
    sowing_id: int | None
    count: int


def promise(store: Store, stamp: Stamp, wish: Given) -> Receipt:
    """Put a promise on record. It may exceed what there is: then it is short, and the list says so."""
    with entry(store, stamp) as pen:
        _check(pen, wish)
        pen.add(_row(pen, wish))
        pen.say(f"promised {_said(wish)}")
    return pen.done()


def change_promise(store: Store, stamp: Stamp, promise_id: int, wish: Given) -> Receipt:
    """A newer form takes a promise's place; what was given of it stays given."""
    with entry(store, stamp) as pen:
        _held(pen, promise_id)
        _check(pen, wish)
        pen.add(_row(pen, wish, promise_id))
        pen.say(f"changed the promise to {_said(wish)}")
    return pen.done()


def drop_promise(store: Store, stamp: Stamp, promise_id: int) -> Receipt:
    """A promise doesn't hold any more."""
    with entry(store, stamp) as pen:
        old = given_of(_held(pen, promise_id))
        pen.add(_row(pen, replace(old, plants=0), promise_id))
        pen.say(f"dropped the promise of {_said(old)}")
    return pen.done()


def given_of(held: Promise) -> Given:
    """What a promise says, to be changed."""
    return Given(
        held.to_whom, held.crop, held.variety, held.plants, held.due_on, held.container_id, held.note
    )


def hand_over(
    store: Store, stamp: Stamp, shares: Sequence[Share], to_whom: str = "", promise_id: int | None = None
) -> Receipt:
    """Plants of one or more trays went to somebody else; what remains is still living trays.

    Refused: more than there are, quarantine stock, and what a label still withholds; of a promise also another
    crop or variety, one that isn't certain where a name was promised, and more than is left of it.
    """
    with entry(store, stamp) as pen:
        held = _held(pen, promise_id) if promise_id is not None else None
        to_whom = held.to_whom if held else clean(to_whom).strip()
        names = set()
        for share in shares:
            (tray,) = pen.standing([share.tray_id])
            sowing = sowing_of(tray, share.sowing_id)
            at_least_one(share.count)
            refuse_quarantine(pen.rows, tray, "handed to nobody")
            refuse_withheld(tray, stamp.act_day)
            if held:
                _refuse_other(tray, sowing, held)
            pen.act(
                ActKind.HANDED_OVER,
                tray.id,
                sowing_id=sowing.id,
                count=share.count,
                text=to_whom or None,
                promise_id=promise_id,
            )
            names.add(f"{label(tray.number)} {variety_name(sowing.crop, sowing.variety)}")
        count = sum(share.count for share in shares)
        at_least_one(count)
        if held:
            _refuse_more(pen, held, count)
        tail = f" to {to_whom}" if to_whom else ""
        pen.say(f"handed over {count}: {', '.join(sorted(names))}{tail}")
    return pen.done()


def _refuse_other(tray: Tray, sowing: Sowing, held: Promise) -> None:
    wanted = variety_name(held.crop, held.variety)
    if sowing.crop != held.crop or held.variety not in ("", sowing.variety):
        raise BadInput(
            f"{held.to_whom} is promised {wanted}; {label(tray.number)} holds {crop_name(sowing.crop)} "
            f"{sowing.variety}.",
            "Take another tray, or hand it over without the promise.",
        )
    if held.variety and sowing.uncertain:
        raise BadInput(
            f"Tray {label(tray.number)} may not be {sowing.variety}: its variety is uncertain.",
            "Give it where only the crop was promised.",
        )


def _refuse_more(pen: Pen, held: Promise, count: int) -> None:
    left = held.plants - reading_owed.given(pen.rows).get(held.id, 0)
    if count > left:
        raise NotEnough(
            f"{held.to_whom} is promised {left} more, not {count}.",
            "Give what was promised, or change the promise first.",
        )


def _held(pen: Pen, promise_id: int) -> Promise:
    held = next((one for one in reading_owed.promises(pen.rows) if one.id == promise_id), None)
    if held is None:
        raise BadInput(
            "That is promised no longer: it was changed, dropped or taken back.", "Look at the list again."
        )
    return held


def _check(pen: Pen, wish: Given) -> None:
    if not clean(wish.to_whom).strip():
        raise BadInput("It isn't said to whom.", "Give a role or an order number, like plot 4.")
    if not 1 <= wish.plants <= MOST_PLANTS:
        raise BadInput(f"{wish.plants} plants can't be promised.", f"Give from 1 to {MOST_PLANTS}.")
    if wish.due_on < pen.stamp.today:
        raise BadInput(f"{say_day(wish.due_on)} has gone by.", "Give a day from today on.")
    if wish.container_id is not None:
        container_of(pen, wish.container_id)


def _row(pen: Pen, wish: Given, replaces: int | None = None) -> "tables.Promise":
    from model.store import tables

    return tables.Promise(
        entry_id=pen.entry_id,
        to_whom=clean(wish.to_whom).strip(),
        crop=wish.crop,
        variety_id=variety_of(pen.session, wish.crop, wish.variety) if wish.variety else None,
        plants=wish.plants,
        due_on=wish.due_on,
        container_id=wish.container_id,
        note=clean(wish.note).strip(),
        replaces=replaces,
    )


def _said(wish: Given) -> str:
    name = variety_name(wish.crop, wish.variety)
    return f"{wish.plants} {name} to {clean(wish.to_whom).strip()} for {say_day(wish.due_on)}"
