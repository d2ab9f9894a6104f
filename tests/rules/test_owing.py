"""Promises are filled by the day they are due, from what there is to give."""

from datetime import date
from random import Random
from typing import Any

import pytest

from model.ahead import Promise
from model.facts import Stay, Withheld
from model.rules.owing import Batch, Owed, drawn, fill, sow_again, to_give
from tests.builders import TODAY, a_crop, a_sowing, a_tray, day

POT = 9


def promise(i: int, plants: int, due: int = 10, variety: str = "Orlen", **changes: Any) -> Promise:
    usual = {"to_whom": f"plot {i}", "crop": "tomato", "container_id": None, "note": "", "replaces": None}
    return Promise(**{"id": i, "variety": variety, "plants": plants, "due_on": day(due), **usual, **changes})


def batch(tray: int, plants: int, variety: str = "Orlen", **changes: Any) -> Batch:
    usual = {"crop": "tomato", "uncertain": False, "container_id": POT, "withheld_until": None}
    return Batch(
        **{
            "tray_id": tray,
            "sowing_id": tray,
            "number": tray,
            "variety": variety,
            "plants": plants,
            **usual,
            **changes,
        }
    )


def covered(owed: tuple[Owed, ...]) -> dict[int, int]:
    return {one.promise.id: one.covered for one in owed}


def test_the_earlier_day_takes_first_and_of_one_day_the_earlier_promise() -> None:
    owed = fill([promise(1, 40, due=12), promise(2, 30, due=10), promise(3, 20, due=10)], {}, [batch(1, 60)])
    assert covered(owed) == {2: 30, 3: 20, 1: 10}
    assert [(one.left, one.short) for one in owed] == [(30, 0), (20, 0), (40, 30)]


def test_what_was_given_is_no_longer_owed() -> None:
    (one,) = fill([promise(1, 40)], {1: 25}, [batch(1, 10)])
    assert (one.given, one.left, one.covered, one.short) == (25, 15, 10, 5)
    (done,) = fill([promise(1, 40)], {1: 45}, [batch(1, 10)])
    assert (done.left, done.covered, done.short) == (0, 0, 0)


def test_a_name_takes_no_other_variety_and_nothing_uncertain_but_a_crop_takes_that_first() -> None:
    stock = [batch(1, 10), batch(2, 10, uncertain=True), batch(3, 10, "Brisk Nine")]
    owed = fill([promise(1, 15, due=9, variety=""), promise(2, 20)], {}, stock)
    # Any variety: the uncertain ten, then five that nobody was promised by name.
    assert covered(owed) == {1: 15, 2: 10}


def test_only_what_stands_in_the_promised_container_counts() -> None:
    (one,) = fill([promise(1, 12, container_id=POT)], {}, [batch(1, 5), batch(2, 20, container_id=3)])
    assert one.short == 7


@pytest.mark.parametrize("seed", range(30))
def test_no_plant_is_promised_twice_and_none_is_left_while_somebody_goes_short(seed: int) -> None:
    die = Random(seed)
    names = ["Orlen", "Brisk Nine", ""]
    promises = [promise(i, die.randint(1, 40), die.randint(0, 5), die.choice(names)) for i in range(8)]
    stock = [
        batch(i, die.randint(1, 40), die.choice(names[:2]), uncertain=die.random() < 0.2) for i in range(5)
    ]
    owed = fill(promises, {}, stock)
    dealt, there = sum(one.covered for one in owed), sum(b.plants for b in stock)
    assert dealt <= there
    for name in names[:2]:
        certain = sum(b.plants for b in stock if b.variety == name and not b.uncertain)
        assert sum(o.covered for o in owed if o.promise.variety == name) <= certain
    if any(one.short and not one.promise.variety for one in owed):
        assert dealt == there


def test_quarantine_and_what_is_not_up_are_nothing_to_give() -> None:
    up = a_sowing(first_up=day(-10), empty=6)
    trays = [
        a_tray(id=1, number=1, sowings=(up,)),
        a_tray(id=2, number=2, sowings=(up,), stays=(Stay(7, day(-30)),)),
        a_tray(id=3, number=3, sowings=(a_sowing(),)),
        a_tray(
            id=4,
            number=4,
            sowings=(up,),
            withheld=(Withheld(day(-2), "Wren", "soap", day(3)), Withheld(day(-9), "Wren", "soap", day(-1))),
        ),
    ]
    found = to_give(trays, frozenset({7}), TODAY)
    assert [(b.number, b.plants, b.withheld_until) for b in found] == [(1, 66, None), (4, 66, day(3))]


def test_rows_that_are_grown_to_be_cut_are_nothing_to_give() -> None:
    up, rows = a_sowing(id=1, first_up=day(-10)), a_sowing(id=2, first_up=day(-10))
    trays = [a_tray(id=1, number=1, sowings=(up,)), a_tray(id=2, number=2, sowings=(rows,))]
    assert [b.number for b in to_give(trays, frozenset(), TODAY, salad={2})] == [1]


def test_a_hand_over_draws_on_the_oldest_trays_and_on_none_that_is_withheld() -> None:
    stock = [batch(1, 10), batch(2, 10, withheld_until=day(2)), batch(3, 10)]
    assert [(b.tray_id, n) for b, n in drawn(stock, promise(1, 30), 14, TODAY)] == [(1, 10), (3, 4)]


def test_the_days_to_sow_again_are_the_day_due_less_the_published_weeks() -> None:
    # Delaware, table A-4, tomato: 5 to 7 weeks; by the calendar.
    found = sow_again(a_crop(weeks=(5.0, 7.0)), date(2026, 5, 16))
    assert found is not None
    assert (found.surely, found.last) == (date(2026, 3, 28), date(2026, 4, 11))
    assert sow_again(a_crop(weeks=None), date(2026, 5, 16)) is None


def test_what_is_ready_or_free_of_a_label_only_after_the_day_due_covers_nothing() -> None:
    stock = [
        batch(1, 10, ready_on=day(9)),
        batch(2, 10, ready_on=day(11)),
        batch(3, 10, withheld_until=day(12)),
    ]
    (one,) = fill([promise(1, 30, due=10)], {}, stock)
    assert (one.covered, one.short) == (10, 20)
    # Of what is there today the ready ones are proposed first; what a label withholds never is.
    assert [b.tray_id for b, _ in drawn([*stock, batch(4, 10)], promise(1, 30), 30, TODAY)] == [4, 1, 2]
