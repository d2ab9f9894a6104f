"""What stands on a label: another number, and whether the name on it is certain."""

from collections.abc import Mapping

from model.actions.desk import Receipt, Stamp, entry
from model.actions.growth import sowing_of
from model.crops import crop_name
from model.errors import BadInput
from model.facts import ActKind
from model.labels import HIGHEST, label
from model.store.database import Store


def relabel(store: Store, stamp: Stamp, numbers: Mapping[int, int]) -> Receipt:
    """Trays get other numbers, two of them each other's if need be; the old number still leads to its tray."""
    with entry(store, stamp) as pen:
        said = []
        for tray in pen.standing(numbers):
            new = numbers[tray.id]
            if not 1 <= new <= HIGHEST:
                raise BadInput(f"{new} is no tray number.", f"Use a number from 1 to {HIGHEST}.")
            if new == tray.number:
                raise BadInput(f"That tray is {label(new)} already.", "Give it another number.")
            pen.act(ActKind.RELABELLED, tray.id, field="number", old=str(tray.number), new=str(new))
            said.append(f"{label(tray.number)} is {label(new)}")
        pen.say(f"relabelled: {', '.join(said)}")
    return pen.done()


def doubt(store: Store, stamp: Stamp, tray_id: int, sowing_id: int | None, text: str = "") -> Receipt:
    """Two varieties may have been mixed up: which one this is isn't certain any more."""
    with entry(store, stamp) as pen:
        (tray,) = pen.standing([tray_id])
        sowing = sowing_of(tray, sowing_id)
        pen.act(ActKind.UNCERTAIN, tray_id, sowing_id=sowing.id, text=text or None)
        pen.say(f"variety uncertain: {label(tray.number)} {crop_name(sowing.crop)} {sowing.variety}")
    return pen.done()
