"""What the grower sees in one tray: up, counted, thinned, roots, cut, a note."""

from collections.abc import Callable

from model.actions.desk import Receipt, Stamp, entry
from model.actions.health import refuse_withheld
from model.crops import variety_name
from model.days import say_day, short_day
from model.errors import BadInput
from model.facts import ActKind, Sowing, Tray, Treated
from model.labels import label
from model.rules.reasons import FINGER_WORDS, LOOK_WORDS
from model.store.database import Store
from model.text import several

SCORES = LOOK_WORDS
"""The look at the roots, 0 to 4, in words."""
UP = frozenset({ActKind.FIRST_UP, ActKind.HALF_UP})
"""What may have happened some days before somebody saw it."""


def sowing_of(tray: Tray, sowing_id: int | None) -> Sowing:
    """The sowing that is meant; a tray with one sowing needs no naming."""
    if sowing_id is None and len(tray.sowings) == 1:
        return tray.sowings[0]
    for sowing in tray.sowings:
        if sowing.id == sowing_id:
            return sowing
    held = several(len(tray.sowings), "sowing")
    raise BadInput(f"Tray {label(tray.number)} holds {held}.", "Say which one is meant.")


def _one(
    store: Store,
    stamp: Stamp,
    kind: ActKind,
    tray_id: int,
    sowing_id: int | None = None,
    count: int | None = None,
    refuse: Callable[[Tray, Sowing], None] = lambda _tray, _sowing: None,
) -> Receipt:
    if count is not None and count < 0:
        raise BadInput(f"{count} is no count.", "Give a whole number from 0 up.")
    with entry(store, stamp) as pen:
        (tray,) = pen.standing([tray_id])
        sowing = sowing_of(tray, sowing_id)
        refuse(tray, sowing)
        pen.act(kind, tray_id, sowing_id=sowing.id, count=count)
        since = ""
        if kind in UP and stamp.act_day != stamp.today:
            # Up since an earlier day is what somebody says who stands at the tray today.
            pen.act(ActKind.LOOKED, tray_id, day=stamp.today)
            since = f", since {short_day(stamp.act_day)}"
        said = f"{kind}{'' if count is None else f' {count}'}"
        pen.say(f"{said}: {label(tray.number)} {variety_name(sowing.crop, sowing.variety)}{since}")
    return pen.done()


def first_up(store: Store, stamp: Stamp, tray_id: int, sowing_id: int | None = None) -> Receipt:
    """A first hook was seen. What is half up can't come up for the first time later."""

    def refuse(tray: Tray, sowing: Sowing) -> None:
        half = sowing.half_up
        if half is not None and half < stamp.act_day:
            raise BadInput(
                f"Tray {label(tray.number)} is half up since {say_day(half)}.",
                "Nothing needs to be ticked; C corrects the day.",
            )

    return _one(store, stamp, ActKind.FIRST_UP, tray_id, sowing_id, refuse=refuse)


def half_up(
    store: Store, stamp: Stamp, tray_id: int, sowing_id: int | None = None, count: int | None = None
) -> Receipt:
    """Half of the sown cells show; `count` cells were up, where somebody counted."""
    return _one(store, stamp, ActKind.HALF_UP, tray_id, sowing_id, count)


def count_stand(store: Store, stamp: Stamp, tray_id: int, sowing_id: int | None, count: int) -> Receipt:
    """So many cells hold a good plant; the rest of the sowing is empty."""
    return _one(store, stamp, ActKind.COUNTED, tray_id, sowing_id, count)


def thin(store: Store, stamp: Stamp, tray_id: int, sowing_id: int | None = None) -> Receipt:
    """The spare seedlings were clipped; they are no losses."""
    return _one(store, stamp, ActKind.THINNED, tray_id, sowing_id)


def cut(store: Store, stamp: Stamp, tray_id: int, sowing_id: int | None = None) -> Receipt:
    """A flat, or a part of it, was cut to grow again; treated seed is never eaten."""

    def refuse(tray: Tray, sowing: Sowing) -> None:
        if sowing.treated is Treated.YES:
            raise BadInput(
                f"Tray {label(tray.number)} was sown with treated seed, which is never cut to be eaten.",
                "The tag on the seed decides what it is for.",
            )
        refuse_withheld(tray, stamp.act_day)

    return _one(store, stamp, ActKind.CUT, tray_id, sowing_id, refuse=refuse)


def root_look(store: Store, stamp: Stamp, tray_id: int, score: int) -> Receipt:
    """A look at the roots: 0 none at the edge, 1 few, 2 holds together, 3 full, 4 circling."""
    a_look(score)
    with entry(store, stamp) as pen:
        (tray,) = pen.standing([tray_id])
        if all(sowing.first_up is None for sowing in tray.sowings):
            raise BadInput(
                f"Nothing is up in tray {label(tray.number)} yet.",
                "Tick first up before you look at its roots.",
            )
        pen.act(ActKind.ROOT_LOOK, tray_id, score=score)
        pen.say(f"root look {score}, {SCORES[score]}: {label(tray.number)}")
    return pen.done()


def finger(store: Store, stamp: Stamp, tray_id: int, score: int) -> Receipt:
    """A finger was put in the mix: 0 dry, 1 just moist, 2 wet."""
    a_touch(score)
    with entry(store, stamp) as pen:
        (tray,) = pen.standing([tray_id])
        pen.act(ActKind.FINGER, tray_id, score=score)
        pen.say(f"finger test {score}, {FINGER_WORDS[score]}: {label(tray.number)}")
    return pen.done()


def a_look(score: int) -> int:
    """The score, if there is such a look."""
    if not 0 <= score < len(SCORES):
        raise BadInput(f"{score} is no look.", "Give 0 none, 1 few, 2 holds, 3 full or 4 circling.")
    return score


def a_touch(score: int) -> int:
    """The score, if a finger can feel that."""
    if not 0 <= score < len(FINGER_WORDS):
        raise BadInput(f"{score} is no finger test.", "Give 0 dry, 1 just moist or 2 wet.")
    return score


def call(store: Store, stamp: Stamp, tray_id: int, text: str) -> Receipt:
    """Somebody at the tray calls for the grower; it stands open until somebody else has stood there."""
    if not text.strip():
        raise BadInput("The call says nothing.", "Type what was seen, or leave with Esc.")
    with entry(store, stamp) as pen:
        (tray,) = pen.standing([tray_id])
        pen.act(ActKind.CALLED, tray_id, text=text)
        pen.say(f"called: {label(tray.number)}")
    return pen.done()


def note(store: Store, stamp: Stamp, tray_id: int, text: str) -> Receipt:
    """Words about a tray."""
    if not text.strip():
        raise BadInput("The note is empty.", "Type something, or leave with Esc.")
    with entry(store, stamp) as pen:
        (tray,) = pen.standing([tray_id])
        pen.act(ActKind.NOTE, tray_id, text=text)
        pen.say(f"note: {label(tray.number)}")
    return pen.done()
