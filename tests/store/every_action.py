"""Every action that puts down an entry, each as one ordinary wish on the three trays of the bench."""

from collections.abc import Callable, Mapping

import pytest

from model.actions import (
    frost,
    growth,
    health,
    helping,
    labelling,
    nights,
    plan,
    promises,
    record,
    season,
    seed,
    shift,
    sow,
    stock,
    walk,
    weather,
)
from model.actions.desk import Receipt, Stamp
from model.actions.shift import PotUp
from model.actions.sow import Sow, SowPart
from model.ahead import SeasonVerdict, VerdictWord
from model.facts import ActKind, LossCause, Treated
from model.store import reading
from model.store.database import Store
from tests.builders import TODAY, day
from tests.store.looking import the_tray
from tests.store.names import FLAT, FRAME, KALE, MAT, SHELF, SLATS, TOMATO

Ids = Mapping[str, int]
Wish = Callable[[Store, Stamp, Ids], Receipt]


def part_of(store: Store, tray_id: int, part: int) -> int:
    """Id of the sowing in a part of a tray."""
    return next(sowing.id for sowing in the_tray(store, tray_id).sowings if sowing.part == part)


def act_of(store: Store, tray_id: int, kind: ActKind) -> int:
    """Id of the newest act of a kind on a tray."""
    with store.reading() as rows:
        return max(act.id for act in reading.acts_of(rows, [tray_id]) if act.kind is kind)


WISHES: dict[str, Wish] = {
    "sow": lambda store, stamp, ids: sow.sow(
        store, stamp, Sow(ids["72-cell tray"], MAT, (SowPart("pepper", "Long Ash", 72, 1, "P7"),), TODAY)
    ),
    "sow a mixed flat days later": lambda store, stamp, ids: sow.sow(
        store,
        stamp,
        Sow(ids["open flat"], SHELF, (SowPart("mizuna", "Fern", 30), SowPart("kale", "Rill", 30)), day(-4)),
    ),
    "resow": lambda store, stamp, ids: sow.resow(
        store, stamp, KALE, None, SowPart("kale", "Rill", 12, 2, "K2")
    ),
    "first up": lambda store, stamp, ids: growth.first_up(store, stamp, FLAT, part_of(store, FLAT, 2)),
    "half up": lambda store, stamp, ids: growth.half_up(store, stamp, FLAT, part_of(store, FLAT, 2), 20),
    "count": lambda store, stamp, ids: growth.count_stand(store, stamp, KALE, None, 60),
    "thin": lambda store, stamp, ids: growth.thin(store, stamp, TOMATO),
    "cut": lambda store, stamp, ids: growth.cut(store, stamp, FLAT, part_of(store, FLAT, 1)),
    "root look": lambda store, stamp, ids: growth.root_look(store, stamp, KALE, 3),
    "finger test": lambda store, stamp, ids: growth.finger(store, stamp, KALE, 0),
    "night reading": lambda store, stamp, ids: weather.keep_air(store, stamp, SLATS, 4.5, 17.0),
    "soil reading": lambda store, stamp, ids: weather.keep_soil(store, stamp, SLATS, 9.5),
    "soil in the ground": lambda store, stamp, ids: weather.keep_soil(store, stamp, None, 9.5),
    "forecast": lambda store, stamp, ids: weather.keep_forecast(store, stamp, [-1.0]),
    "note": lambda store, stamp, ids: growth.note(store, stamp, KALE, "pale below [b] 🌱"),
    "call": lambda store, stamp, ids: growth.call(store, stamp, KALE, "wilting at the door"),
    "relabel": lambda store, stamp, ids: labelling.relabel(store, stamp, {KALE: 57}),
    "labels were swapped": lambda store, stamp, ids: labelling.swapped(
        store, stamp, (KALE, TOMATO), day(-10), renumber=True
    ),
    "promise": lambda store, stamp, ids: promises.promise(
        store, stamp, promises.Given("plot 4", "tomato", "", 6, day(30))
    ),
    "plan": lambda store, stamp, ids: plan.add_targets(
        store, stamp, plan.Want("kale", "Rill", 40, day(40), day(46), ids["72-cell tray"])
    ),
    "help": lambda store, stamp, ids: helping.mark(store, stamp, ActKind.WATERED, KALE),
    "doubt the variety": lambda store, stamp, ids: labelling.doubt(store, stamp, KALE, None),
    "look sick": lambda store, stamp, ids: health.looked_sick(store, stamp, KALE, "spots"),
    "spray": lambda store, stamp, ids: health.spray(store, stamp, [KALE, TOMATO], "soap", 3),
    "hand over": lambda store, stamp, ids: promises.hand_over(
        store, stamp, [promises.Share(KALE, None, 6)], "plot 4"
    ),
    "look": lambda store, stamp, ids: walk.mark_trays(store, stamp, ActKind.LOOKED, [KALE]),
    "water two": lambda store, stamp, ids: walk.mark_trays(store, stamp, ActKind.WATERED, [FLAT, KALE]),
    "leave dry": lambda store, stamp, ids: walk.mark_trays(store, stamp, ActKind.LEFT_DRY, [KALE]),
    "feed a place": lambda store, stamp, ids: walk.mark_place(store, stamp, ActKind.FED, SLATS),
    "water a place but one": lambda store, stamp, ids: walk.mark_place(
        store, stamp, ActKind.WATERED, SLATS, [FLAT]
    ),
    "close the round": lambda store, stamp, ids: walk.close_round(store, stamp),
    "move two": lambda store, stamp, ids: shift.move(store, stamp, [FLAT, KALE], FRAME),
    "set out": lambda store, stamp, ids: shift.set_out(store, stamp, KALE, None, 36, "north bed"),
    "set out against the gate": lambda store, stamp, ids: shift.set_out(
        store, stamp, KALE, None, 10, "bed 4", "WAIT: roots. rain tomorrow"
    ),
    "answer for a night": lambda store, stamp, ids: nights.answer(
        store, stamp, {KALE: ActKind.BROUGHT_IN, FLAT: ActKind.COVERED, TOMATO: ActKind.STAYED_OUT}
    ),
    "judge a season": lambda store, stamp, ids: season.judge(
        store,
        stamp,
        SeasonVerdict(
            TODAY.year, "kale", ids["72-cell tray"], VerdictWord.CHANGE, "too early / sow in April"
        ),
    ),
    "tell of a seed lot": lambda store, stamp, ids: seed.keep_lot(
        store, stamp, seed.SeedLot("kale", "Rill", "K9", 2025, 20, 17, day(-2), Treated.NO, 21.0)
    ),
    "keep in": lambda store, stamp, ids: nights.keep_in(store, stamp, [KALE, FLAT]),
    "last freezes": lambda store, stamp, ids: frost.keep_dates(
        store, stamp, "Low Weir", {0.0: (day(10), day(30))}
    ),
    "count the mix": lambda store, stamp, ids: stock.count_mix(store, stamp, 80),
    "count trays": lambda store, stamp, ids: stock.count_containers(store, stamp, ids["72-cell tray"], 12),
    "wash trays": lambda store, stamp, ids: stock.wash(store, stamp, ids["72-cell tray"], 12),
    "set out all": lambda store, stamp, ids: shift.set_out(store, stamp, KALE, None, 72),
    "lose": lambda store, stamp, ids: shift.lose(store, stamp, TOMATO, None, 6, LossCause.DAMPED_OFF),
    "retire": lambda store, stamp, ids: shift.retire(store, stamp, FLAT, part_of(store, FLAT, 3), 24),
    "pot up": lambda store, stamp, ids: shift.pot_up(
        store,
        stamp,
        TOMATO,
        None,
        [PotUp(40, ids["10 cm pot"], SLATS), PotUp(20, ids["9 cm pot"], SHELF, 77)],
        lost=6,
    ),
    "correct a sowing": lambda store, stamp, ids: record.correct_sowing(
        store, stamp, TOMATO, None, "sown_on", day(-41).isoformat()
    ),
    "correct an act": lambda store, stamp, ids: record.correct_act(
        store, stamp, act_of(store, TOMATO, ActKind.HALF_UP), "count", "61"
    ),
    "strike": lambda store, stamp, ids: record.correct_act(
        store, stamp, act_of(store, KALE, ActKind.HALF_UP), "struck", ""
    ),
}

TURNS: dict[str, Wish] = {
    "undo": lambda store, stamp, ids: record.undo(store, stamp, "UTC"),
    "redo": lambda store, stamp, ids: record.redo(store, stamp, "UTC"),
}

every_wish = pytest.mark.parametrize("wish", WISHES.values(), ids=WISHES.keys())
