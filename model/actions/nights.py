"""What was done in the evening with what stands outside, and days on which it was kept in."""

from collections.abc import Collection, Mapping
from datetime import date, timedelta

from model.actions.desk import Pen, Receipt, Stamp, entry
from model.days import say_day, short_day
from model.errors import BadInput
from model.facts import ActKind, PlaceKind, Tray
from model.labels import label
from model.rules.tonight import ANSWER, OF_NIGHTS
from model.store import reading
from model.store.database import Rows, Store

TOLD = (ActKind.STAYED_OUT, ActKind.BROUGHT_IN)
"""What can be told of nights that are over."""


def answer(store: Store, stamp: Stamp, answers: Mapping[int, ActKind]) -> Receipt:
    """Trays and what was done with each for the night: brought in, covered or left out."""
    if unfit := set(answers.values()) - set(ANSWER.values()):
        raise ValueError(f"{unfit} is no answer for a night")
    with entry(store, stamp) as pen:
        trays = pen.standing(answers)
        for tray in trays:
            pen.act(answers[tray.id], tray.id)
        parts = []
        for kind in ANSWER.values():
            done = [label(tray.number) for tray in trays if answers[tray.id] is kind]
            if done:
                parts.append(f"{kind} {done[0] if len(done) == 1 else f'{len(done)} trays'}")
        pen.say(f"tonight: {', '.join(parts)}")
    return pen.done()


def tell_out(
    store: Store, stamp: Stamp, tray_ids: Collection[int], since: date, at_night: ActKind
) -> Receipt:
    """Trays stood in a hardening area from a day on, as somebody tells it afterwards: its days count as told."""
    if at_night not in TOLD:
        raise ValueError(f"{at_night} doesn't tell of nights that are over")
    if since >= stamp.act_day:
        raise BadInput(f"{say_day(since)} isn't over.", "Give the first day on which it stood out.")
    with entry(store, stamp) as pen:
        places = {place.id: place for place in reading.places(pen.rows)}
        trays, told = pen.standing(tray_ids), f"told {short_day(stamp.act_day)}"
        answered = answered_days(pen.rows, trays)
        for tray in trays:
            here = places[tray.place_id]
            if here.kind is not PlaceKind.HARDENING:
                raise BadInput(
                    f"{label(tray.number)} doesn't harden.", "Move it to a hardening area first (m)."
                )
            _stood_there(pen, tray, since, told)
            for back in range((stamp.act_day - since).days):
                day = since + timedelta(days=back)
                if day not in answered[tray.id]:
                    pen.act(at_night, tray.id, day=day, text=told)
        which = label(trays[0].number) if len(trays) == 1 else f"{len(trays)} trays"
        pen.say(f"stood out since {say_day(since)}: {which}")
    return pen.done()


def _stood_there(pen: Pen, tray: Tray, since: date, told: str) -> None:
    """Put the tray into its hardening area from a day on, where the record has it come there later."""
    stays = tray.stays
    if since < stays[0].since:
        raise BadInput(
            f"{label(tray.number)} is on record from {say_day(stays[0].since)} on.",
            "Give that day or a later one.",
        )
    if since >= stays[-1].since:
        return
    if since <= stays[-2].since:
        raise BadInput(
            f"{label(tray.number)} came to another place on {say_day(stays[-2].since)}.", "Give a later day."
        )
    pen.act(ActKind.MOVED, tray.id, day=since, place_id=tray.place_id, text=told)


def answered_days(rows: Rows, trays: Collection[Tray]) -> dict[int, set[date]]:
    """Days of which somebody said what was done for the night, or that it was kept in."""
    dead, found = reading.dead_entries(rows), {tray.id: set[date]() for tray in trays}
    for act in reading.acts_of(rows, [tray.id for tray in trays]):
        if act.entry_id not in dead and act.tray_id is not None and act.kind in OF_NIGHTS:
            found[act.tray_id].add(act.day)
    return found


def keep_in(store: Store, stamp: Stamp, tray_ids: Collection[int]) -> Receipt:
    """Trays that harden were kept inside today: the day doesn't count."""
    if not tray_ids:
        raise BadInput("No tray is named.", "Name at least one.")
    with entry(store, stamp) as pen:
        trays = pen.standing(tray_ids)
        for tray in trays:
            pen.act(ActKind.KEPT_IN, tray.id)
        which = label(trays[0].number) if len(trays) == 1 else f"{len(trays)} trays"
        pen.say(f"kept in today: {which}")
    return pen.done()
