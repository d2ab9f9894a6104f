"""The fold of plants that were potted up: what they keep of the tray they were sown in, and what they don't."""

from dataclasses import replace
from typing import Any

import pytest

from model.entered import TrayBirth
from model.errors import BadInput
from model.facts import (
    Act,
    ActKind,
    Stay,
    Tray,
    Vessel,
)
from model.rules.ledger import fold
from tests.builders import day
from tests.store.lives import (
    A_LIFE,
    CELLS_72,
    MAT,
    POT,
    SLATS,
    SOWN_ON,
    a_birth,
    a_sowing_birth,
    an_act,
    correction,
    out_of_it,
)


def a_child(**changes: Any) -> TrayBirth:
    sowing = a_sowing_birth(id=21, cells=40, from_sowing_id=11, sown_on=SOWN_ON)
    usual = TrayBirth(2, 28, day(-6), POT, SLATS, 1, (), (sowing,))
    return replace(usual, **changes)


def a_parent(*more: Act) -> Tray:
    potted = out_of_it(30, ActKind.POTTED_UP, day(-6), 40)
    return fold(a_birth(children=(2,)), [*A_LIFE[:8], potted, *more])


def test_potted_up_plants_keep_their_sowing_day_and_the_warm_days_they_stood() -> None:
    child = fold(a_child(), [], a_parent())
    (sowing,) = child.sowings
    assert (sowing.sown_on, sowing.first_up, sowing.half_up) == (SOWN_ON, day(-24), day(-23))
    assert (sowing.thinned_on, sowing.up_count, sowing.have) == (day(-18), None, 40)
    assert child.made_on == day(-6)
    assert child.stays == (Stay(MAT, SOWN_ON), Stay(SLATS, day(-22)), Stay(SLATS, day(-6)))
    assert child.vessels == (Vessel(CELLS_72, SOWN_ON), Vessel(POT, day(-6)))


def test_where_the_rest_was_moved_on_the_day_of_the_potting_up_is_not_where_the_potted_stood() -> None:
    child = fold(a_child(), [], a_parent(an_act(41, ActKind.MOVED, day(-6), place_id=5)))
    assert child.stays == (Stay(MAT, SOWN_ON), Stay(SLATS, day(-22)), Stay(SLATS, day(-6)))


def test_a_corrected_sowing_reaches_the_plants_that_were_potted_up() -> None:
    changes = [("sown_on", day(-40).isoformat()), ("variety", "pepper/Long Ash"), ("seeds_per_cell", "1")]
    corrected = [correction(40 + i, field, new, sowing_id=11) for i, (field, new) in enumerate(changes)]
    (sowing,) = fold(a_child(), [], a_parent(*corrected)).sowings
    assert (sowing.sown_on, sowing.crop, sowing.variety) == (day(-40), "pepper", "Long Ash")
    assert sowing.seeds_per_cell == 1


def test_what_was_done_to_the_rest_after_the_potting_up_was_not_done_to_the_potted() -> None:
    later = [
        an_act(41, ActKind.THINNED, day(-2), sowing_id=11),
        an_act(42, ActKind.MOVED, day(-2), place_id=5),
        an_act(43, ActKind.WATERED, day(-2)),
    ]
    child = fold(a_child(), [], a_parent(*later))
    assert child.sowings[0].thinned_on is None
    assert (child.place_id, child.watered, child.seen) == (SLATS, None, None)


def test_nothing_happens_to_potted_plants_before_they_were_potted() -> None:
    with pytest.raises(BadInput, match="before tray 28M was made"):
        fold(a_child(), [an_act(1, ActKind.WATERED, day(-7), tray_id=2)], a_parent())


def test_a_potted_sowing_of_another_parent_is_taken_as_it_was_entered() -> None:
    stray = replace(a_child().sowings[0], from_sowing_id=99, variety="Brisk Nine")
    (sowing,) = fold(a_child(sowings=(stray,)), [], a_parent()).sowings
    assert (sowing.variety, sowing.first_up) == ("Brisk Nine", None)


def test_a_tray_without_a_sowing_is_as_old_as_it_was_entered() -> None:
    tray = fold(replace(a_birth(), sowings=()), [])
    assert (tray.made_on, tray.have, tray.standing) == (SOWN_ON, 0, True)
