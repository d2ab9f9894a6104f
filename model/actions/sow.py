"""Sowing and resowing."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from model.actions.desk import Pen, Receipt, Stamp, add_row, entry
from model.actions.growth import sowing_of
from model.actions.numbers import free_number
from model.actions.shift import at_least_one, container_of, place_of, room_at
from model.crops import load_crops, variety_name
from model.days import say_day
from model.errors import BadInput, NotEnough
from model.facts import ActKind, Container, ContainerKind, LossCause, Treated
from model.labels import label
from model.store import reading
from model.store.database import Store, rows_of
from model.store.reading_packets import treated_now
from model.text import clean

if TYPE_CHECKING:
    from sqlmodel import Session

MOST_SEEDS = 50
"""Seeds a cell beyond which it is a slip of the finger. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class SowPart:
    """One variety in one part of a tray."""

    crop: str
    variety: str
    cells: int
    seeds_per_cell: int = 1
    lot: str = ""
    target_id: int | None = None
    """The target it is sown for."""


@dataclass(frozen=True, slots=True)
class Sow:
    """A tray to be sown; without a number it takes the next free one."""

    container_id: int
    place_id: int
    parts: tuple[SowPart, ...]
    sown_on: date
    number: int | None = None


def sow(store: Store, stamp: Stamp, wish: Sow, *, stack: bool = False) -> Receipt:
    """A tray is filled, sown, numbered and put in its place."""
    from model.store import tables

    with entry(store, stamp) as pen:
        _sowing_day(wish.sown_on, stamp.today)
        container = container_of(pen, wish.container_id)
        place = place_of(pen, wish.place_id)
        _fits(container, wish.parts)
        room_at(pen, place, 1, stack)
        number = free_number(pen.rows, stamp.today, wish.number)
        tray_id = pen.add(
            tables.Tray(
                entry_id=pen.entry_id,
                number=number,
                made_on=wish.sown_on,
                container_id=container.id,
                place_id=place.id,
            )
        )
        for position, part in enumerate(wish.parts, start=1):
            _sow_part(pen, tray_id, position, part, wish.sown_on, container, ActKind.SOWN)
        what = ", ".join(variety_name(part.crop, part.variety) for part in wish.parts)
        pen.say(f"sowed {label(number)} {what}, {container.name}, {place.name}")
    return pen.done()


def resow(store: Store, stamp: Stamp, tray_id: int, sowing_id: int | None, part: SowPart) -> Receipt:
    """Cells that didn't come up are sown again: a second sowing in the same tray with its own date."""
    with entry(store, stamp) as pen:
        (tray,) = pen.standing([tray_id])
        failed = sowing_of(tray, sowing_id)
        _possible(part)
        most = failed.have + failed.empty
        if part.cells > most:
            raise NotEnough(
                f"Tray {label(tray.number)} has {most} cells of {failed.variety}, not {part.cells}.",
                f"Give {most} or fewer.",
            )
        container = container_of(pen, tray.container_id)
        pen.act(ActKind.LOST, tray_id, sowing_id=failed.id, count=part.cells, cause=LossCause.NOT_UP)
        # A resowing that was taken back keeps its part, so that it can be brought back.
        ((position,),) = pen.rows("SELECT max(part) + 1 FROM sowing WHERE tray_id = ?", tray_id)
        _sow_part(pen, tray_id, position, part, stamp.act_day, container, ActKind.RESOWN)
        pen.say(f"resowed {part.cells} of {label(tray.number)} with {variety_name(part.crop, part.variety)}")
    return pen.done()


def _sowing_day(sown_on: date, today: date) -> None:
    if sown_on > today:
        raise BadInput(
            f"{say_day(sown_on)} is still to come.", "Give the day it was sown, today at the latest."
        )


def _fits(container: Container, parts: Sequence[SowPart]) -> None:
    if not parts:
        raise BadInput("Nothing is named that was sown.", "Name at least one crop and variety.")
    for part in parts:
        _possible(part)
    cells = sum(part.cells for part in parts)
    if container.kind is ContainerKind.CELL_TRAY and cells > container.cells:
        raise NotEnough(f"A {container.name} has {container.cells} cells, not {cells}.", "Sow fewer cells.")


def _possible(part: SowPart) -> None:
    at_least_one(part.cells)
    seeds_a_cell(part.seeds_per_cell)


def seeds_a_cell(seeds: int) -> None:
    """Refuse what is a slip of the finger."""
    if not 1 <= seeds <= MOST_SEEDS:
        raise BadInput(f"{seeds} seeds a cell can't be.", f"Give a number from 1 to {MOST_SEEDS}.")


def _sow_part(
    pen: Pen, tray_id: int, position: int, part: SowPart, sown_on: date, container: Container, kind: ActKind
) -> None:
    from model.store import tables

    variety_id = variety_of(pen.session, part.crop, part.variety)
    lot_id = _lot_sown(pen, variety_id, part, container)
    sowing_id = pen.add(
        tables.Sowing(
            entry_id=pen.entry_id,
            tray_id=tray_id,
            part=position,
            variety_id=variety_id,
            lot_id=lot_id,
            cells=part.cells,
            seeds_per_cell=part.seeds_per_cell,
            sown_on=sown_on,
            target_id=part.target_id,
        )
    )
    pen.act(kind, tray_id, sowing_id=sowing_id, count=part.cells, day=sown_on)


def variety_of(session: "Session", crop: str, name: str) -> int:
    """Id of a variety, put on record when new."""
    from model.store import tables

    crop, name = clean(crop).strip(), clean(name).strip()
    if not crop or not name:
        raise BadInput("Crop or variety is empty.", "Name both; a crop of your own is welcome too.")
    if "/" in crop:
        raise BadInput(f"{crop!r} holds a slash.", "Name the crop without one; it parts crop and variety.")
    found = rows_of(session)("SELECT id FROM variety WHERE crop = ? AND name = ?", crop, name)
    return int(found[0][0]) if found else add_row(session, tables.Variety(crop=crop, name=name))


def lot_of(pen: Pen, variety_id: int, name: str) -> int:
    """Id of a lot, put on record when new."""
    from model.store import tables

    found = pen.rows("SELECT id FROM lot WHERE variety_id = ? AND name = ?", variety_id, name)
    return int(found[0][0]) if found else pen.add(tables.Lot(variety_id=variety_id, name=name))


def _lot_sown(pen: Pen, variety_id: int, part: SowPart, container: Container) -> int | None:
    """Id of the lot that a part is sown from; None where none is named."""
    name = clean(part.lot).strip()
    if not name:
        return None
    lot_id = lot_of(pen, variety_id, name)
    now = treated_now(reading.dead_entries(pen.rows))
    ((treated,),) = pen.rows(f"SELECT {now} FROM lot WHERE id = ?", lot_id)
    refuse_treated(container, clean(part.crop).strip(), name, Treated(treated))
    return lot_id


def refuse_treated(container: Container, crop_key: str, lot: str, treated: Treated) -> None:
    """Treated seed never goes into a flat that is cut to be eaten."""
    crop = load_crops().get(crop_key)
    to_eat = container.kind is ContainerKind.OPEN_FLAT and crop is not None and crop.cut_again
    if to_eat and treated is Treated.YES:
        raise BadInput(
            f"Lot {lot} is treated seed and this flat is cut to be eaten.",
            "Sow it in cells to set out, or take another lot; the tag decides what treated seed is for.",
        )
