"""The fold: from how a tray was entered and what happened to it, to what it is now."""

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from model.entered import STRUCK
from model.errors import BadInput, NotEnough
from model.facts import (
    Act,
    ActKind,
    LossCause,
    Mark,
    Stay,
    Vessel,
)
from model.rules.ledger import fold
from tests.builders import day
from tests.store.lives import (
    A_LIFE,
    CELLS_72,
    MAT,
    SLATS,
    SOWN_ON,
    a_birth,
    a_sowing_birth,
    an_act,
    correction,
    out_of_it,
)


def test_a_whole_life_is_told_in_facts() -> None:
    tray = fold(a_birth(), A_LIFE)
    (sowing,) = tray.sowings
    assert (sowing.first_up, sowing.half_up, sowing.up_count) == (day(-24), day(-23), 40)
    assert (sowing.thinned_on, sowing.cuts) == (day(-18), (day(-1),))
    assert (sowing.empty, sowing.lost, sowing.out, sowing.have) == (6, 3, 36, 27)
    assert tray.stays == (Stay(MAT, SOWN_ON), Stay(SLATS, day(-22)))
    assert tray.vessels == (Vessel(CELLS_72, SOWN_ON),)
    assert [(look.day, look.score) for look in tray.looks] == [(day(-8), 1), (day(-3), 2)]
    assert (tray.watered, tray.fed) == (Mark(day(-29), "Jory"), Mark(day(-12), "Wren"))
    assert (tray.left, tray.looked) == (Mark(day(-2), "Wren"), Mark(day(-1), "Wren"))
    assert (tray.note, tray.standing, tray.place_id) == ("pale below", True, SLATS)


def test_a_note_or_correction_is_not_a_look_at_the_tray() -> None:
    assert fold(a_birth(), A_LIFE).seen == Mark(day(-1), "Wren")


@given(st.permutations(A_LIFE))
def test_acts_in_any_order_give_the_same_facts(acts: list[Act]) -> None:
    assert fold(a_birth(), acts) == fold(a_birth(), A_LIFE)


def test_two_acts_on_one_day_count_in_the_order_of_their_entry() -> None:
    first, second = (
        an_act(1, ActKind.MOVED, day(-5), place_id=4),
        an_act(2, ActKind.MOVED, day(-5), place_id=5),
    )
    assert fold(a_birth(), [second, first]).place_id == 5
    assert fold(a_birth(), [second, first]).stays == (Stay(MAT, SOWN_ON), Stay(4, day(-5)), Stay(5, day(-5)))


def test_an_act_that_was_entered_late_counts_on_its_own_day() -> None:
    late = [an_act(1, ActKind.WATERED, day(-1), who="Wren"), an_act(2, ActKind.WATERED, day(-2), who="Jory")]
    assert fold(a_birth(), late).watered == Mark(day(-1), "Wren")


def test_half_a_tray_set_out_leaves_a_living_half() -> None:
    tray = fold(a_birth(), [out_of_it(1, ActKind.SET_OUT, day(0), 36)])
    assert (tray.have, tray.sowings[0].out, tray.standing) == (36, 36, True)


def test_a_tray_ends_on_the_day_its_last_plant_leaves() -> None:
    acts = [out_of_it(1, ActKind.SET_OUT, day(-9), 40), out_of_it(2, ActKind.LOST, day(-4), 32)]
    tray = fold(a_birth(), [*acts, an_act(3, ActKind.CUT, day(-2), sowing_id=11)])
    assert (tray.standing, tray.ended_on, tray.have) == (False, day(-4), 0)


def test_a_corrected_count_opens_an_ended_tray_again() -> None:
    acts = [out_of_it(1, ActKind.SET_OUT, day(-4), 72), correction(2, "count", "70", of_act_id=1)]
    tray = fold(a_birth(), acts)
    assert (tray.standing, tray.ended_on, tray.have) == (True, None, 2)


def test_a_later_count_opens_a_tray_that_an_earlier_count_had_ended() -> None:
    acts = [out_of_it(1, ActKind.COUNTED, day(-9), 0), out_of_it(2, ActKind.COUNTED, day(-4), 5)]
    tray = fold(a_birth(), acts)
    assert (tray.standing, tray.ended_on, tray.have) == (True, None, 5)


def test_a_mixed_flat_ends_only_with_its_last_part() -> None:
    thirds = [a_sowing_birth(id=i, part=i, variety=f"Third {i}", cells=24) for i in (1, 2, 3)]
    acts = [out_of_it(i, ActKind.RETIRED, day(-i), 24, sowing_id=i) for i in (1, 2)]
    tray = fold(a_birth(*thirds), acts)
    assert (tray.standing, [sowing.have for sowing in tray.sowings]) == (True, [0, 0, 24])
    ended = fold(a_birth(*thirds), [*acts, out_of_it(3, ActKind.RETIRED, day(0), 24, sowing_id=3)])
    assert ended.ended_on == day(0)


def test_a_count_makes_the_rest_empty_and_a_later_count_may_find_more() -> None:
    first = out_of_it(1, ActKind.COUNTED, day(-12), 60)
    lost = out_of_it(2, ActKind.LOST, day(-11), 5, cause=LossCause.DAMPED_OFF)
    (sowing,) = fold(a_birth(), [first, lost]).sowings
    assert (sowing.empty, sowing.lost, sowing.have) == (12, 5, 55)
    (sowing,) = fold(a_birth(), [first, lost, out_of_it(3, ActKind.COUNTED, day(-9), 64)]).sowings
    assert (sowing.empty, sowing.lost, sowing.have) == (3, 5, 64)
    with pytest.raises(NotEnough, match="has 67 of Ostrel, not 68"):
        fold(a_birth(), [first, lost, out_of_it(3, ActKind.COUNTED, day(-9), 68)])


def test_cells_that_were_counted_empty_are_not_lost_a_second_time() -> None:
    counted = out_of_it(1, ActKind.COUNTED, day(-12), 60)
    not_up = out_of_it(2, ActKind.LOST, day(-11), 15, cause=LossCause.NOT_UP)
    (sowing,) = fold(a_birth(), [counted, not_up]).sowings
    assert (sowing.empty, sowing.lost, sowing.have) == (0, 15, 57)
    with pytest.raises(NotEnough):
        fold(a_birth(), [counted, replace(not_up, count=73)])


@pytest.mark.parametrize(
    "kind",
    [ActKind.SET_OUT, ActKind.LOST, ActKind.POTTED_UP, ActKind.RETIRED, ActKind.COUNTED, ActKind.HALF_UP],
)
def test_no_more_plants_than_there_are(kind: ActKind) -> None:
    assert fold(a_birth(), [out_of_it(1, kind, day(0), 72)]).sowings[0].cells == 72
    with pytest.raises(NotEnough, match="has 72 of Ostrel, not 73"):
        fold(a_birth(), [out_of_it(1, kind, day(0), 73)])


@pytest.mark.parametrize("kind", [kind for kind in ActKind if kind not in {ActKind.CORRECTED, ActKind.SOWN}])
def test_nothing_happens_to_a_tray_before_it_was_made(kind: ActKind) -> None:
    with pytest.raises(BadInput, match="is before tray 27G was made"):
        fold(a_birth(), [an_act(1, kind, day(-31), count=1, score=1, place_id=SLATS)])


def test_nothing_happens_to_a_sowing_before_its_own_day() -> None:
    early, late = a_sowing_birth(), a_sowing_birth(id=12, part=2, sown_on=day(-10))
    with pytest.raises(BadInput, match="first up on .* is before that sowing"):
        fold(a_birth(early, late), [an_act(1, ActKind.FIRST_UP, day(-11), sowing_id=12)])


def test_half_up_says_that_the_first_was_up() -> None:
    (sowing,) = fold(a_birth(), [an_act(1, ActKind.HALF_UP, day(-20), sowing_id=11)]).sowings
    assert (sowing.first_up, sowing.half_up, sowing.up_count) == (day(-20), day(-20), None)


def test_the_first_first_up_stands_and_the_last_count_does() -> None:
    acts = [
        an_act(1, ActKind.FIRST_UP, day(-24), sowing_id=11),
        an_act(2, ActKind.FIRST_UP, day(-23), sowing_id=11),
        out_of_it(3, ActKind.HALF_UP, day(-22), 38),
        out_of_it(4, ActKind.HALF_UP, day(-21), 45),
        an_act(5, ActKind.HALF_UP, day(-20), sowing_id=11),
    ]
    (sowing,) = fold(a_birth(), acts).sowings
    assert (sowing.first_up, sowing.half_up, sowing.up_count) == (day(-24), day(-22), 45)


def test_an_earlier_sowing_day_moves_the_tray_with_it() -> None:
    acts = [*A_LIFE, correction(20, "sown_on", day(-61).isoformat(), sowing_id=11)]
    tray = fold(a_birth(), acts)
    assert (tray.made_on, tray.sowings[0].sown_on, tray.stays[0]) == (day(-61), day(-61), Stay(MAT, day(-61)))


def test_a_later_sowing_day_moves_the_sowing_itself_and_refuses_only_what_came_before() -> None:
    acts = [*A_LIFE, correction(20, "sown_on", day(-29).isoformat(), sowing_id=11)]
    assert fold(a_birth(), acts).made_on == day(-29)
    with pytest.raises(BadInput, match="watered on .* is before tray 27G was made"):
        fold(a_birth(), [*A_LIFE, correction(20, "sown_on", day(-28).isoformat(), sowing_id=11)])


def test_the_correction_that_was_entered_last_stands_whatever_day_it_carries() -> None:
    first = correction(1, "cells", "70", sowing_id=11)
    last = replace(correction(2, "cells", "71", sowing_id=11), day=day(-1))
    assert fold(a_birth(), [first, last]).sowings[0].cells == 71


@pytest.mark.parametrize(
    ("field", "new", "expected"),
    [
        ("cells", "64", {"cells": 64}),
        ("seeds_per_cell", "1", {"seeds_per_cell": 1}),
        ("variety", "pepper/Long Ash", {"crop": "pepper", "variety": "Long Ash"}),
        ("variety", "pepper/A/B", {"crop": "pepper", "variety": "A/B"}),
    ],
)
def test_what_was_entered_at_sowing_can_be_put_right(field: str, new: str, expected: dict[str, Any]) -> None:
    (sowing,) = fold(a_birth(), [correction(1, field, new, sowing_id=11)]).sowings
    assert {name: getattr(sowing, name) for name in expected} == expected


def test_a_field_that_no_sowing_has_is_refused() -> None:
    with pytest.raises(BadInput, match="'lot' of a sowing can't be corrected"):
        fold(a_birth(), [correction(1, "lot", "B2", sowing_id=11)])


def test_fewer_cells_than_were_taken_out_are_refused() -> None:
    acts = [out_of_it(1, ActKind.SET_OUT, day(-4), 40), correction(2, "cells", "39", sowing_id=11)]
    with pytest.raises(NotEnough, match="has 39 of Ostrel, not 40"):
        fold(a_birth(), acts)


def test_striking_an_older_act_leaves_the_later_ones() -> None:
    tray = fold(a_birth(), [*A_LIFE, correction(20, STRUCK, "", of_act_id=10)])
    whole = fold(a_birth(), A_LIFE)
    assert [look.score for look in tray.looks] == [2]
    assert tray.corrected
    assert replace(tray, looks=whole.looks, corrected=False) == whole


def test_the_day_and_score_of_an_older_act_can_be_put_right() -> None:
    acts = [
        *A_LIFE,
        correction(20, "day", day(-9).isoformat(), of_act_id=10),
        correction(21, "score", "0", of_act_id=10),
        correction(22, "day", day(-7).isoformat(), of_act_id=10),
    ]
    assert [(look.day, look.score) for look in fold(a_birth(), acts).looks] == [(day(-7), 0), (day(-3), 2)]


def test_a_correction_of_what_is_struck_or_taken_back_changes_nothing() -> None:
    acts = [
        an_act(1, ActKind.ROOT_LOOK, day(-8), score=1),
        correction(2, STRUCK, "", of_act_id=1),
        correction(3, "score", "4", of_act_id=1),
        correction(4, "score", "4", of_act_id=99),
    ]
    assert fold(a_birth(), acts).looks == ()


def test_a_word_of_a_correction_that_no_act_has_changes_nothing() -> None:
    acts = [an_act(1, ActKind.ROOT_LOOK, day(-8), score=1), correction(2, "cause", "frost", of_act_id=1)]
    assert [look.score for look in fold(a_birth(), acts).looks] == [1]


@pytest.mark.parametrize("kind", [ActKind.MOVED, ActKind.ROOT_LOOK, ActKind.SET_OUT])
def test_an_act_that_lacks_what_it_needs_only_counts_as_seeing_the_tray(kind: ActKind) -> None:
    bare = fold(a_birth(), [])
    tray = fold(a_birth(), [an_act(1, kind, day(-3))])
    assert tray == replace(bare, seen=Mark(day(-3), "Wren"))


def test_a_resown_part_has_its_own_day_and_its_cells_stand_once() -> None:
    first, again = a_sowing_birth(), a_sowing_birth(id=12, part=2, cells=20, sown_on=day(-10))
    acts = [
        out_of_it(1, ActKind.SOWN, SOWN_ON, 72),
        out_of_it(2, ActKind.LOST, day(-10), 20, cause=LossCause.NOT_UP),
        out_of_it(3, ActKind.RESOWN, day(-10), 20, sowing_id=12),
    ]
    tray = fold(a_birth(first, again), acts)
    assert [(sowing.sown_on, sowing.have) for sowing in tray.sowings] == [(SOWN_ON, 52), (day(-10), 20)]
    assert (tray.made_on, tray.have) == (SOWN_ON, 72)


# Whatever happens, counts balance

TAKES = [ActKind.SET_OUT, ActKind.LOST, ActKind.POTTED_UP, ActKind.RETIRED, ActKind.COUNTED]


@st.composite
def some_acts(draw: st.DrawFn) -> list[Act]:
    count = draw(st.integers(1, 8))
    return [
        out_of_it(
            number,
            draw(st.sampled_from(TAKES)),
            day(-draw(st.integers(0, 30))),
            draw(st.integers(0, 40)),
            cause=draw(st.sampled_from([LossCause.NOT_UP, LossCause.EATEN])),
        )
        for number in range(1, count + 1)
    ]


@given(some_acts(), st.randoms(use_true_random=False))
def test_whatever_happens_no_count_falls_below_nothing_and_none_is_refused_by_order(
    acts: list[Act], random: Any
) -> None:
    shuffled = random.sample(acts, len(acts))
    try:
        tray = fold(a_birth(), acts)
    except NotEnough:
        with pytest.raises(NotEnough):
            fold(a_birth(), shuffled)
        return
    (sowing,) = tray.sowings
    assert min(sowing.have, sowing.empty, sowing.lost, sowing.potted, sowing.out, sowing.retired) >= 0
    assert tray.standing is (sowing.have > 0)
    assert fold(a_birth(), shuffled) == tray
