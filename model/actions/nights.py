"""What was done in the evening with what stands outside, and days on which it was kept in."""

from collections.abc import Collection, Mapping

from model.actions.desk import Receipt, Stamp, entry
from model.errors import BadInput
from model.facts import ActKind
from model.labels import label
from model.rules.tonight import ANSWER
from model.store.database import Store


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
