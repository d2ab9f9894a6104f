"""What is wanted, and when: targets are added, changed and dropped; nothing is sown by it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

from model.actions.desk import Pen, Receipt, Stamp, entry
from model.actions.shift import container_of, place_of
from model.actions.sow import seeds_a_cell, variety_of
from model.ahead import Purpose, Target
from model.crops import variety_name
from model.days import say_day
from model.errors import BadInput
from model.store import reading_ahead
from model.store.database import Store
from model.text import clean

if TYPE_CHECKING:
    from model.store import tables

MOST_PLANTS = 10_000
"""Plants wanted beyond which it is a slip of the finger. Ours."""
MOST_TIMES, MOST_APART = 30, 90
"""Successions [-] and days between them [d] beyond which it is a slip of the finger. Ours."""


@dataclass(frozen=True, slots=True)
class Want:
    """Plants of one variety wanted from a day to a day."""

    crop: str
    variety: str
    plants: int
    first_day: date
    last_day: date
    container_id: int
    purpose: Purpose = Purpose.SET_OUT
    stage: str = ""
    lot: str = ""
    pot_id: int | None = None
    place_id: int | None = None
    seeds_per_cell: int | None = None
    until: date | None = None
    bed: str = ""

    def later(self, days: int) -> "Want":
        """The same, so many days later."""
        by = timedelta(days=days)
        until = self.until + by if self.until else None
        return replace(self, first_day=self.first_day + by, last_day=self.last_day + by, until=until)


def want_of(target: Target) -> Want:
    """What a target asks for, to be changed."""
    return Want(
        crop=target.crop,
        variety=target.variety,
        plants=target.plants,
        first_day=target.first_day,
        last_day=target.last_day,
        container_id=target.container_id,
        purpose=target.purpose,
        stage=target.stage,
        lot=target.lot,
        pot_id=target.pot_id,
        place_id=target.place_id,
        seeds_per_cell=target.seeds_per_cell,
        until=target.until,
        bed=target.bed,
    )


def add_targets(store: Store, stamp: Stamp, want: Want, every: int = 0, times: int = 1) -> Receipt:
    """Put a target on record, or a succession of them `every` so many days [d]: one entry, taken back as one.

    Raises BadInput for a day gone by, a window backwards, no plants, or a container that isn't there.
    """
    if not 1 <= times <= MOST_TIMES:
        raise BadInput(f"{times} sowings can't be.", f"Give from 1 to {MOST_TIMES}.")
    if times > 1 and not 1 <= every <= MOST_APART:
        raise BadInput(f"{every} days apart can't be.", f"Give from 1 to {MOST_APART} days.")
    with entry(store, stamp) as pen:
        _check(pen, want)
        for turn in range(times):
            pen.add(_row(pen, want.later(turn * every)))
        again = f", then every {every} days, {times} in all" if times > 1 else ""
        pen.say(f"planned {_said(want)}{again}")
    return pen.done()


def change_target(store: Store, stamp: Stamp, target_id: int, want: Want) -> Receipt:
    """A newer form takes a target's place; the older one stays on record."""
    with entry(store, stamp) as pen:
        _held(pen, target_id)
        _check(pen, want)
        pen.add(_row(pen, want, target_id))
        pen.say(f"changed the plan to {_said(want)}")
    return pen.done()


def drop_target(store: Store, stamp: Stamp, target_id: int) -> Receipt:
    """A target isn't wanted any more."""
    with entry(store, stamp) as pen:
        old = _held(pen, target_id)
        pen.add(_row(pen, replace(want_of(old), plants=0), target_id))
        pen.say(f"dropped {_said(want_of(old))}")
    return pen.done()


def _held(pen: Pen, target_id: int) -> Target:
    found: Sequence[Target] = reading_ahead.targets(pen.rows)
    held = next((target for target in found if target.id == target_id), None)
    if held is None:
        raise BadInput(
            "That is planned no longer: it was changed, dropped or taken back.", "Look at the plan again."
        )
    return held


def _check(pen: Pen, want: Want) -> None:
    if not 1 <= want.plants <= MOST_PLANTS:
        raise BadInput(
            f"{want.plants} plants can't be planned.", f"Give from 1 to {MOST_PLANTS}, or drop the line."
        )
    if want.last_day < want.first_day:
        raise BadInput(
            f"The window ends on {say_day(want.last_day)}, before it begins.",
            "Give its first day, then its last.",
        )
    if want.last_day < pen.stamp.today:
        raise BadInput(f"{say_day(want.last_day)} has gone by.", "Give a day from today on.")
    if want.until is not None and want.until < want.first_day:
        raise BadInput(
            f"{say_day(want.until)} is before the plants are wanted.",
            "Give the last day it is still worth it.",
        )
    container_of(pen, want.container_id)
    if want.pot_id is not None:
        container_of(pen, want.pot_id)
    if want.place_id is not None:
        place_of(pen, want.place_id)
    if want.seeds_per_cell is not None:
        seeds_a_cell(want.seeds_per_cell)


def _row(pen: Pen, want: Want, replaces: int | None = None) -> "tables.Target":
    from model.store import tables

    variety_id = variety_of(pen.session, want.crop, want.variety)
    lot = pen.rows(
        "SELECT id FROM lot WHERE variety_id = ? AND name = ?", variety_id, clean(want.lot).strip()
    )
    return tables.Target(
        entry_id=pen.entry_id,
        variety_id=variety_id,
        lot_id=lot[0][0] if lot else None,
        plants=want.plants,
        purpose=want.purpose,
        first_day=want.first_day,
        last_day=want.last_day,
        stage=clean(want.stage).strip(),
        container_id=want.container_id,
        pot_id=want.pot_id,
        place_id=want.place_id,
        seeds_per_cell=want.seeds_per_cell,
        until=want.until,
        bed=clean(want.bed).strip(),
        replaces=replaces,
    )


def _said(want: Want) -> str:
    days = say_day(want.first_day)
    if want.last_day != want.first_day:
        days += f" to {say_day(want.last_day)}"
    return f"{want.plants} {variety_name(want.crop, want.variety)} for {days}"
