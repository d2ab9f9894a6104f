"""A year on a small farm with figures that can be worked out by hand: 2025, tomatoes in cells and in pots."""

from datetime import date

from model.actions import growth, promises, shift, sow
from model.actions.shift import PotUp
from model.actions.sow import Sow, SowPart
from model.facts import LossCause
from model.store.database import Store
from tests.conftest import StampMaker
from tests.store.names import FRAME, MAT, SHELF, SLATS
from tests.targets import keep_target

YEAR = 2025
QUIET = date(YEAR, 12, 6)


def the(month: int, day: int) -> date:
    """A day of that year."""
    return date(YEAR, month, day)


def a_year(store: Store, stamp: StampMaker, boxes: dict[str, int]) -> None:
    """Tray 1 is sown for the plan, its spares are potted up as tray 3; tray 2 is sown for nobody; one line is never sown.

    Tray 1: 72 cells, up on day 6, 60 counted on day 8, on the mat for 13 days though due off it on day 9, roots hold
    on day 35, 6 damped off, 8 potted up, 50 set out in time. Tray 2: up on day 6, 66 counted, off the mat in time.
    Tray 3: roots hold 21 days after potting up, 5 go out against the gate, 2 of the others freeze within the fortnight.
    """
    wanted = keep_target(
        store,
        stamp(today=the(2, 1)),
        "tomato Ostrel",
        the(5, 18),
        last_day=the(5, 24),
        plants=50,
        place_id=SLATS,
        bed="bed 4",
    )
    keep_target(
        store,
        stamp(today=the(2, 1)),
        "tomato Ostrel",
        the(6, 1),
        last_day=the(6, 7),
        plants=20,
        place_id=SLATS,
        bed="bed 7",
    )
    _first(store, stamp, boxes, wanted)
    _second(store, stamp, boxes)
    _pots(store, stamp, boxes)


def _first(store: Store, stamp: StampMaker, boxes: dict[str, int], wanted: int) -> None:
    part = SowPart("tomato", "Ostrel", 72, 1, "A1", wanted)
    sow.sow(store, stamp(today=the(3, 18)), Sow(boxes["72-cell tray"], MAT, (part,), the(3, 18)))
    growth.first_up(store, stamp(today=the(3, 24)), 1)
    growth.half_up(store, stamp(today=the(3, 26)), 1, None, 60)
    shift.lose(store, stamp(today=the(3, 29)), 1, None, 6, LossCause.DAMPED_OFF)
    shift.move(store, stamp(today=the(3, 31)), [1], SLATS)
    growth.root_look(store, stamp(today=the(4, 12)), 1, 1)
    growth.root_look(store, stamp(today=the(4, 22)), 1, 2)


def _second(store: Store, stamp: StampMaker, boxes: dict[str, int]) -> None:
    part = SowPart("tomato", "Ostrel", 72, 1, "A2")
    sow.sow(store, stamp(today=the(3, 20)), Sow(boxes["72-cell tray"], MAT, (part,), the(3, 20)))
    growth.first_up(store, stamp("Jory", today=the(3, 26)), 2)
    growth.half_up(store, stamp("Jory", today=the(3, 28)), 2, None, 66)
    shift.move(store, stamp("Jory", today=the(3, 29)), [2], SHELF)
    growth.note(store, stamp("Jory", today=the(4, 20)), 2, "Gläserne Blätter, 50% pale_green")
    shift.retire(store, stamp(today=the(6, 30)), 2, None, 72)


def _pots(store: Store, stamp: StampMaker, boxes: dict[str, int]) -> None:
    pots = [PotUp(8, boxes["10 cm pot"], FRAME)]
    shift.pot_up(store, stamp(today=the(4, 24)), 1, None, pots)
    growth.root_look(store, stamp(today=the(5, 15)), 3, 2)
    shift.set_out(store, stamp(today=the(5, 19)), 3, None, 5, "tunnel", "WAIT: nights. under fleece")
    growth.note(store, stamp(today=the(5, 20)), 3, "ice on the fleece")
    shift.lose(store, stamp(today=the(5, 22)), 3, None, 2, LossCause.FROST)
    promises.hand_over(store, stamp(today=the(5, 30)), [promises.Share(3, None, 1)], "plot 4")
    shift.set_out(store, stamp(today=the(5, 20)), 1, None, 50, "bed 4")
    shift.retire(store, stamp(today=the(6, 2)), 1, None, 8)
