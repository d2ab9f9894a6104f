"""Births and acts for the fold, and one whole life of a tray."""

from dataclasses import replace
from datetime import UTC, date, datetime
from typing import Any

from model.entered import SowingBirth, TrayBirth
from model.facts import (
    Act,
    ActKind,
    LossCause,
    Treated,
)
from tests.builders import day

SOWN_ON = day(-30)
MAT, SLATS = 1, 3
CELLS_72, POT = 6, 17


def a_sowing_birth(**changes: Any) -> SowingBirth:
    usual = SowingBirth(
        id=11,
        part=1,
        crop="tomato",
        variety="Ostrel",
        lot="A1",
        treated=Treated.NO,
        cells=72,
        seeds_per_cell=2,
        sown_on=SOWN_ON,
    )
    return replace(usual, **changes)


def a_birth(*sowings: SowingBirth, **changes: Any) -> TrayBirth:
    usual = TrayBirth(
        id=1,
        number=27,
        made_on=SOWN_ON,
        container_id=CELLS_72,
        place_id=MAT,
        parent_id=None,
        children=(),
        sowings=sowings or (a_sowing_birth(),),
    )
    return replace(usual, **changes)


def an_act(act_id: int, kind: ActKind, on: date, **values: Any) -> Act:
    usual = Act(
        id=act_id,
        kind=kind,
        day=on,
        who="Wren",
        at=datetime(2026, 4, 14, 6, 30, tzinfo=UTC),
        entry_id=act_id,
        tray_id=1,
    )
    return replace(usual, **values)


def out_of_it(act_id: int, kind: ActKind, on: date, count: int, sowing_id: int = 11, **values: Any) -> Act:
    return an_act(act_id, kind, on, sowing_id=sowing_id, count=count, **values)


def correction(act_id: int, field: str, new: str, **values: Any) -> Act:
    return an_act(act_id, ActKind.CORRECTED, day(0), field=field, new=new, **values)


A_LIFE = (
    out_of_it(1, ActKind.SOWN, SOWN_ON, 72),
    an_act(2, ActKind.WATERED, day(-29), who="Jory"),
    an_act(3, ActKind.FIRST_UP, day(-24), sowing_id=11),
    out_of_it(4, ActKind.HALF_UP, day(-23), 40),
    an_act(5, ActKind.MOVED, day(-22), place_id=SLATS),
    an_act(6, ActKind.THINNED, day(-18), sowing_id=11),
    an_act(7, ActKind.FED, day(-12)),
    out_of_it(8, ActKind.COUNTED, day(-12), 66),
    out_of_it(9, ActKind.LOST, day(-10), 4, cause=LossCause.EATEN),
    an_act(10, ActKind.ROOT_LOOK, day(-8), score=1),
    an_act(11, ActKind.ROOT_LOOK, day(-3), score=2),
    an_act(12, ActKind.LEFT_DRY, day(-2)),
    out_of_it(13, ActKind.SET_OUT, day(-1), 36),
    an_act(14, ActKind.NOTE, day(0), text="pale below"),
    an_act(15, ActKind.CUT, day(-1), sowing_id=11),
    an_act(16, ActKind.LOOKED, day(-1)),
    correction(17, "count", "3", of_act_id=9),
)
