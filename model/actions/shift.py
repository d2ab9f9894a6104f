"""Plants on the move: to another place, into pots, into the ground, or lost. Counts always balance."""

from collections.abc import Sequence
from dataclasses import dataclass

from model.actions.desk import Pen, Receipt, Stamp, entry
from model.actions.growth import sowing_of
from model.actions.numbers import free_number
from model.crops import variety_name
from model.errors import BadInput, FullPlace, NotEnough
from model.facts import ActKind, Container, ContainerKind, LossCause, Place, Sowing, Tray
from model.labels import label
from model.store import reading
from model.store.database import Store
from model.text import several


@dataclass(frozen=True, slots=True)
class PotUp:
    """Some plants of a sowing go into one kind of container at one place."""

    count: int
    container_id: int
    place_id: int
    number: int | None = None


def place_of(pen: Pen, place_id: int) -> Place:
    """A place that is on record."""
    for place in reading.places(pen.rows):
        if place.id == place_id:
            return place
    raise BadInput("That place isn't on record.", "Pick one of the places of the farm.")


def container_of(pen: Pen, container_id: int) -> Container:
    """A container that is on record."""
    for container in reading.containers(pen.rows):
        if container.id == container_id:
            return container
    raise BadInput("That container isn't on record.", "Pick one of the containers of the farm.")


def room_at(pen: Pen, place: Place, trays: int, stack: bool) -> None:
    """Raise FullPlace when a place has no slots for some more trays, unless they are to be stacked."""
    taken = sum(tray.place_id == place.id for tray in reading.standing_trays(pen.rows))
    if trays > max(place.slots - taken, 0) and not stack:
        raise FullPlace(
            f"{place.name} has {place.slots} slots and {several(taken, 'tray')}.",
            "Pick another place, or say that it is a stack.",
        )


def move(
    store: Store, stamp: Stamp, tray_ids: Sequence[int], place_id: int, *, stack: bool = False
) -> Receipt:
    """Trays change their place."""
    with entry(store, stamp) as pen:
        place = place_of(pen, place_id)
        trays = pen.standing(tray_ids)
        for tray in trays:
            if tray.place_id == place.id:
                raise BadInput(
                    f"Tray {label(tray.number)} already stands at {place.name}.", "Pick another place."
                )
        room_at(pen, place, len(trays), stack)
        for tray in trays:
            pen.act(ActKind.MOVED, tray.id, place_id=place.id)
        pen.say(f"moved to {place.name}: {', '.join(label(tray.number) for tray in trays)}")
    return pen.done()


def _take(
    store: Store,
    stamp: Stamp,
    kind: ActKind,
    tray_id: int,
    sowing_id: int | None,
    count: int,
    against: str = "",
    **values: str,
) -> Receipt:
    with entry(store, stamp) as pen:
        (tray,) = pen.standing([tray_id])
        sowing = sowing_of(tray, sowing_id)
        at_least_one(count)
        if against:
            pen.act(ActKind.AGAINST_GATE, tray_id, sowing_id=sowing.id, text=against)
        pen.act(kind, tray_id, sowing_id=sowing.id, count=count, **values)
        tail = f" ({values['cause']})" if "cause" in values else ""
        pen.say(f"{kind} {count}: {label(tray.number)} {variety_name(sowing.crop, sowing.variety)}{tail}")
    return pen.done()


def at_least_one(count: int) -> None:
    """Refuse a count of nothing."""
    if count < 1:
        raise BadInput(f"{count} is no count.", "Give a whole number from 1 up.")


def set_out(
    store: Store,
    stamp: Stamp,
    tray_id: int,
    sowing_id: int | None,
    count: int,
    where: str = "",
    against: str = "",
) -> Receipt:
    """Plants went into the ground; what remains is still a living tray.

    `against` is what the gate said and why they went all the same; it is kept with them.
    """
    values = {"text": where} if where else {}
    return _take(store, stamp, ActKind.SET_OUT, tray_id, sowing_id, count, against, **values)


def lose(
    store: Store,
    stamp: Stamp,
    tray_id: int,
    sowing_id: int | None,
    count: int,
    cause: LossCause,
    text: str = "",
) -> Receipt:
    """Plants were lost, and why; the text says more of the cause."""
    more = {"text": text} if text else {}
    return _take(store, stamp, ActKind.LOST, tray_id, sowing_id, count, cause=cause, **more)


def retire(store: Store, stamp: Stamp, tray_id: int, sowing_id: int | None, count: int) -> Receipt:
    """What is left of a sowing has done its work and is composted or given away."""
    return _take(store, stamp, ActKind.RETIRED, tray_id, sowing_id, count)


def pot_up(
    store: Store,
    stamp: Stamp,
    tray_id: int,
    sowing_id: int | None,
    parts: Sequence[PotUp],
    *,
    lost: int = 0,
    cause: LossCause = LossCause.WEAK,
    stack: bool = False,
) -> Receipt:
    """Plants go into bigger containers: each part becomes a tray of its own that keeps its sowing date."""
    with entry(store, stamp) as pen:
        (tray,) = pen.standing([tray_id])
        sowing = sowing_of(tray, sowing_id)
        if not parts:
            raise BadInput("Nothing is named that was potted up.", "Give a count, a container and a place.")
        for part in parts:
            at_least_one(part.count)
        if lost < 0:
            raise BadInput(f"{lost} is no count.", "Give a whole number from 0 up.")
        wanted = sum(part.count for part in parts) + lost
        if wanted > sowing.have:
            raise NotEnough(
                f"Tray {label(tray.number)} has {sowing.have} plants, not {wanted}.",
                f"Give {sowing.have} or fewer in all.",
            )
        _room_for(pen, parts, tray if wanted == tray.have else None, stack)
        numbers = [_pot_part(pen, tray, sowing, part) for part in parts]
        if lost:
            pen.act(ActKind.LOST, tray_id, sowing_id=sowing.id, count=lost, cause=cause)
        into = ", ".join(
            f"{part.count} as {label(number)}" for part, number in zip(parts, numbers, strict=True)
        )
        tail = f"; lost {lost} ({cause})" if lost else ""
        pen.say(f"potted up {label(tray.number)} {variety_name(sowing.crop, sowing.variety)}: {into}{tail}")
    return pen.done()


def _room_for(pen: Pen, parts: Sequence[PotUp], emptied: Tray | None, stack: bool) -> None:
    """Every place has room for all of its new trays; a tray that is emptied makes room for one."""
    for place_id in {part.place_id for part in parts}:
        freed = emptied is not None and emptied.place_id == place_id
        trays = sum(part.place_id == place_id for part in parts)
        room_at(pen, place_of(pen, place_id), trays - freed, stack)


def _pot_part(pen: Pen, tray: Tray, sowing: Sowing, part: PotUp) -> int:
    from model.store import tables

    container = container_of(pen, part.container_id)
    if container.kind is ContainerKind.CELL_TRAY and part.count > container.cells:
        raise NotEnough(
            f"A {container.name} holds {container.cells} plants, not {part.count}.",
            "Use two trays, or another kind.",
        )
    place = place_of(pen, part.place_id)
    number = free_number(pen.rows, pen.stamp.today, part.number)
    child = pen.add(
        tables.Tray(
            entry_id=pen.entry_id,
            number=number,
            made_on=pen.stamp.act_day,
            container_id=container.id,
            place_id=place.id,
            parent_id=tray.id,
        )
    )
    ((variety_id, lot_id),) = pen.rows("SELECT variety_id, lot_id FROM sowing WHERE id = ?", sowing.id)
    pen.add(
        tables.Sowing(
            entry_id=pen.entry_id,
            tray_id=child,
            part=1,
            variety_id=variety_id,
            lot_id=lot_id,
            cells=part.count,
            seeds_per_cell=sowing.seeds_per_cell,
            sown_on=sowing.sown_on,
            from_sowing_id=sowing.id,
        )
    )
    pen.act(ActKind.POTTED_UP, tray.id, sowing_id=sowing.id, count=part.count, place_id=place.id)
    pen.act(ActKind.LOOKED, child)
    return number
