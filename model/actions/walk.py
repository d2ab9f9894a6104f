"""The marks of the round: looked at, watered, left dry, fed, one tray or a whole place; and closing the round."""

from collections import Counter
from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import date

from model.actions.desk import Pen, Receipt, Stamp, entry
from model.actions.twice import MARKS, stands_already
from model.asof import standing_on
from model.errors import BadInput
from model.facts import Act, ActKind, Tray
from model.labels import label
from model.rules.helping import instead_of
from model.rules.ledger import corrected
from model.rules.water import marked
from model.store import births, reading
from model.store.database import Store
from model.text import several


def mark_trays(store: Store, stamp: Stamp, kind: ActKind, tray_ids: Sequence[int]) -> Receipt:
    """Say of some trays that they were looked at, watered, left dry or fed."""
    with entry(store, stamp) as pen:
        if kind not in MARKS:
            raise BadInput(f"{kind} is no mark.", "Mark trays as looked at, watered, left dry or fed.")
        trays = pen.standing(tray_ids)
        for tray in trays:
            pen.act(kind, tray.id)
        pen.say(f"{kind} {_named(trays)}")
    return pen.done()


def mark_place(
    store: Store, stamp: Stamp, kind: ActKind, place_id: int, exceptions: Collection[int] = (), text: str = ""
) -> Receipt:
    """Say of a whole place that it was watered (looked at, left dry, fed), but for some trays.

    A tray left out of a watering is left dry, on purpose; a tray left out of anything else stays as it was.
    A tray that was watered or left today keeps that, unless the whole place was: then this is a second pass.
    """
    with entry(store, stamp) as pen:
        place = next((p for p in reading.places(pen.rows) if p.id == place_id), None)
        if place is None or kind not in MARKS:
            raise BadInput("That can't be said of a whole place.", "Name a place and what was done there.")
        here = [tray for tray in standing_on(pen.rows, stamp.act_day) if tray.place_id == place_id]
        if not here:
            raise BadInput(f"No tray stands at {place.name}.", "Go on to the next place.")
        stray = set(exceptions) - {tray.id for tray in here}
        if stray:
            raise BadInput(
                f"A tray that was named doesn't stand at {place.name}.", "Name trays of this place only."
            )
        wanted, told = trays_to_mark(here, kind, stamp.act_day), _told(pen, kind, here)
        if kind is not ActKind.FED and any(tray.id in told for tray in wanted):
            wanted = _in_one_stroke(wanted, told)
        chosen = [tray for tray in wanted if tray.id not in exceptions]
        left = [tray for tray in wanted if tray.id in exceptions] if kind is ActKind.WATERED else []
        if not chosen and not left and not told:
            raise BadInput(f"Every tray at {place.name} is left out.", "Name fewer exceptions.")
        chosen, left = _not_told(chosen, kind, told, text), _not_told(left, ActKind.LEFT_DRY, told)
        if not chosen and not left:
            raise stands_already(f"{kind} {place.name}", MARKS)
        for tray in chosen:
            pen.act(kind, tray.id, text=text or None)
        for tray in left:
            pen.act(ActKind.LEFT_DRY, tray.id)
        words = [f"{kind} {place.name}, {several(len(chosen), 'tray')}"] if chosen else []
        pen.say("; ".join([*words, *([f"left dry {_named(left)}"] if left else [])]))
    return pen.done()


def own_acts(pen: Pen, trays: Sequence[Tray]) -> list[Act]:
    """What the same person said of some trays on the day of the act, and that still counts."""
    acts = births.live_acts(pen.rows, [tray.id for tray in trays], reading.dead_entries(pen.rows))
    return [
        act
        for tray in trays
        for act in corrected(acts[tray.id], tray.sowings)
        if act.day == pen.stamp.act_day and act.who == pen.stamp.who
    ]


def _told(pen: Pen, kind: ActKind, trays: Sequence[Tray]) -> dict[int | None, Act]:
    """The same person's last word of each tray for the same time on paper: that kind of mark, or its opposite."""
    told_at = pen.stamp.told_at
    if told_at is None:
        return {}
    return {
        act.tray_id: act
        for act in own_acts(pen, trays)
        if act.told_at == told_at and (act.kind is kind or instead_of(kind, act.kind))
    }


def _in_one_stroke(trays: Iterable[Tray], told: Mapping[int | None, Act]) -> list[Tray]:
    """Those of some trays of which it was told together with others.

    A sheet that is entered again is no second pass: what was said of a tray alone, or by somebody else, stays.
    """
    together = Counter(act.entry_id for act in told.values())
    return [tray for tray in trays if (act := told.get(tray.id)) and together[act.entry_id] > 1]


def _not_told(
    trays: Iterable[Tray], kind: ActKind, told: Mapping[int | None, Act], text: str = ""
) -> list[Tray]:
    """Those of some trays of which a mark would say something new; a feed that is named does, beside another."""

    def stands(act: Act | None) -> bool:
        return act is not None and act.kind is kind and text in ("", act.text)

    return [tray for tray in trays if not stands(told.get(tray.id))]


def trays_to_mark(here: Sequence[Tray], kind: ActKind, day: date) -> list[Tray]:
    """The trays of a place that one stroke will mark, before exceptions."""
    if kind is ActKind.FED:
        return list(here)
    rest = [tray for tray in here if not _settled(tray, kind, day)]
    return rest or list(here)


def _settled(tray: Tray, kind: ActKind, day: date) -> bool:
    """Whether somebody has said today what this stroke would say, or more."""
    marks = [tray.watered, tray.left] + ([tray.seen] if kind is ActKind.LOOKED else [])
    return any(marked(mark, day) for mark in marks)


def _named(trays: Sequence[Tray]) -> str:
    return ", ".join(label(tray.number) for tray in trays)


def close_round(store: Store, stamp: Stamp) -> Receipt:
    """Close the day's round: complete when every tray was seen, else partial with what is missing."""
    with entry(store, stamp) as pen:
        unseen = _unseen(pen, stamp.act_day)
        words = "complete" if unseen == 0 else "partial"
        pen.act(ActKind.ROUND_CLOSED, None, count=unseen, text=words)
        pen.say(f"round closed, {words}" + (f": {unseen} not seen" if unseen else ""))
    return pen.done()


def _unseen(pen: Pen, day: date) -> int:
    return sum(not marked(tray.seen, day) for tray in standing_on(pen.rows, day))
