"""Handing plants over."""

from model.actions.desk import Receipt, Stamp, entry
from model.actions.growth import sowing_of
from model.actions.health import refuse_withheld
from model.actions.shift import at_least_one
from model.crops import crop_name
from model.errors import BadInput
from model.facts import ActKind, PlaceKind
from model.labels import label
from model.store import reading
from model.store.database import Store


def hand_over(
    store: Store, stamp: Stamp, tray_id: int, sowing_id: int | None, count: int, to_whom: str = ""
) -> Receipt:
    """Plants went to somebody else; what remains is still a living tray."""
    with entry(store, stamp) as pen:
        (tray,) = pen.standing([tray_id])
        sowing = sowing_of(tray, sowing_id)
        at_least_one(count)
        place = next(place for place in reading.places(pen.rows) if place.id == tray.place_id)
        if place.kind is PlaceKind.QUARANTINE:
            raise BadInput(
                f"Tray {label(tray.number)} stands in {place.name}: quarantine stock is handed to nobody.",
                "Move it out once it is clean.",
            )
        refuse_withheld(tray, stamp.act_day)
        pen.act(ActKind.HANDED_OVER, tray_id, sowing_id=sowing.id, count=count, text=to_whom or None)
        tail = f" to {to_whom}" if to_whom else ""
        pen.say(f"handed over {count}: {label(tray.number)} {crop_name(sowing.crop)} {sowing.variety}{tail}")
    return pen.done()
