"""Decisions of the mat rota by hand: a sowing is pinned to a day, to a mat or to no mat, and released again."""

from dataclasses import dataclass
from datetime import date

from model.actions.desk import Pen, Receipt, Stamp, entry
from model.crops import variety_name
from model.days import say_day
from model.errors import BadInput
from model.facts import PlaceKind
from model.store import reading, reading_ahead
from model.store.database import Store
from model.text import clean


@dataclass(frozen=True, slots=True)
class PinWish:
    """What is decided about the sowing of a target; what is left open stays the rota's choice."""

    target_id: int
    day: date | None = None
    place_id: int | None = None
    """The mat."""
    without: bool = False
    reason: str = ""


def pin(store: Store, stamp: Stamp, wish: PinWish) -> Receipt:
    """Pin a sowing; the newest pin of a target holds.

    Raises BadInput where nothing is decided, for a mat and no mat at once, a day that is gone, and what isn't a mat.
    """
    if wish.without and wish.place_id is not None:
        raise BadInput("On a mat and without one can't both be.", "Pin it to the mat, or to no mat.")
    if wish.day is None and wish.place_id is None and not wish.without:
        raise BadInput(
            "Nothing is decided.", "Give a day, a mat or no mat; r gives a sowing back to the rota."
        )
    if wish.day is not None and wish.day < stamp.today:
        raise BadInput(f"{say_day(wish.day)} is gone.", "Pin today or a later day.")
    with entry(store, stamp) as pen:
        name, mat = _target(pen, wish.target_id), _mat(pen, wish.place_id)
        day = f" for {say_day(wish.day)}" if wish.day else ""
        where = " without heat" if wish.without else f" on {mat}" if mat else ""
        pen.say(f"pinned {name}{day}{where}")
        _put(pen, wish)
    return pen.done()


def release(store: Store, stamp: Stamp, target_id: int) -> Receipt:
    """Give the sowing of a target back to the rota. Raises BadInput where it isn't pinned."""
    with entry(store, stamp) as pen:
        name, held = _target(pen, target_id), reading_ahead.pins(pen.rows).get(target_id)
        if held is None or (held.day is None and held.place_id is None and not held.without):
            raise BadInput(f"{name} isn't pinned.", "p pins it to a day, to a mat or to no mat.")
        pen.say(f"released {name}: the rota decides again")
        _put(pen, PinWish(target_id))
    return pen.done()


def _target(pen: Pen, target_id: int) -> str:
    found = next((t for t in reading_ahead.targets(pen.rows) if t.id == target_id), None)
    if found is None:
        raise BadInput("That target was dropped or changed.", "Open the plan again and take it from there.")
    return variety_name(found.crop, found.variety)


def _mat(pen: Pen, place_id: int | None) -> str:
    if place_id is None:
        return ""
    place = next((p for p in reading.places(pen.rows) if p.id == place_id), None)
    if place is None or place.kind is not PlaceKind.HEAT_MAT:
        raise BadInput("That is no mat.", "Take one of the farm's mats, or add one with P.")
    return place.name


def _put(pen: Pen, wish: PinWish) -> None:
    from model.store import tables

    pen.add(
        tables.Pin(
            entry_id=pen.entry_id,
            target_id=wish.target_id,
            day=wish.day,
            place_id=wish.place_id,
            without=wish.without,
            reason=clean(wish.reason).strip(),
        )
    )
