"""What can die soonest comes first: the room of each claim, and about thirty trays in the order worked by hand.

Room is days. A cell of 25 mL or less may go a day without anyone looking, a larger one two. What is due leaves the
days until its window ends and its patience after that. The least room of a tray counts; of two with the same room
the tray with more plants comes first, then the lower number.
"""

from dataclasses import replace
from math import inf
from random import Random

import pytest

from model.facts import Call, Mark, Tray
from model.rules.rank import PATIENCE, room_dry
from model.rules.verdict import Task
from model.views.round import Grounds, line_of, ranked
from tests.builders import TODAY
from tests.rules.builders import (
    CELLAR,
    CELLS_72,
    CELLS_128,
    CELLS_200,
    CONTAINERS,
    COOL_MAT,
    FLAT,
    MAT,
    PLACES,
    SHELF,
    STILL,
    STILL_YARD,
    YARD,
    ago,
    crop,
    judged,
    sown,
    tray,
    up,
)


def room(this: Tray) -> float:
    return judged(this).leading.room_days


def why(this: Tray) -> str:
    return judged(this).leading.why_now


def test_a_call_comes_before_everything_else_and_says_who():
    this = replace(
        tray(up(), watered=9), calls=(Call(ago(1), "Ann Lee of the lower field house", "lies flat"),)
    )
    assert room(this) == -inf
    assert why(this) == "Ann Lee of called, 1 d"
    assert len(why(this).split()) <= 8
    assert "call" in judged(this).flags


@pytest.mark.parametrize(
    ("days", "small", "large"), [(0, inf, inf), (1, inf, inf), (2, 0, inf), (3, -1, 1), (5, -3, -1)]
)
def test_a_small_cell_dries_two_days_before_a_large_one(days: int, small: float, large: float):
    this = tray(up(), watered=days)
    assert room_dry(this, CELLS_128, TODAY) == small
    assert room_dry(this, CELLS_72, TODAY) == large


@pytest.mark.parametrize(("volume_ml", "left"), [(7, -1), (25, -1), (26, 1), (484, 1)])
def test_a_cell_of_twenty_five_millilitres_is_still_small(volume_ml: float, left: float):
    assert room_dry(tray(up(), watered=3), replace(CELLS_72, volume_ml=volume_ml), TODAY) == left


def test_a_tray_that_was_never_watered_counts_from_the_day_it_was_made():
    assert room_dry(tray(sown("kale", 4), watered=None), CELLS_72, TODAY) == 0


def test_a_tray_left_dry_on_purpose_makes_no_claim_while_that_word_holds():
    assert room_dry(replace(tray(up(), watered=5), left=Mark(ago(1), "Wren")), CELLS_72, TODAY) == inf
    assert room_dry(replace(tray(up(), watered=5), left=Mark(ago(2), "Wren")), CELLS_72, TODAY) == -1


def test_a_tray_seen_yesterday_makes_no_claim_and_says_what_it_waits_for():
    # The quickest tomatoes hold together 14.5 d after half up three days ago: 26 April.
    assert why(tray(up("tomato", 3))) == "nothing due before 26 Apr"
    assert why(tray(up("rue", 3))) == "nothing due"
    assert room(tray(up("rue", 3))) == inf


def test_a_dry_small_cell_outranks_a_tray_to_thin_however_late():
    dry = tray(up("lettuce", 6), into=CELLS_128, watered=2)
    for half in (6, 9, 20):
        to_thin = tray(up("pepper", half, seeds_per_cell=2))
        assert why(to_thin) == f"2 seeds a cell, half up {ago(half).day} {'Apr' if half < 14 else 'Mar'}"
        assert room(dry) < room(to_thin)


def test_root_bound_now_outranks_a_look_underneath():
    by_age, seen = tray(up("tomato", 40)), tray(up("tomato", 20), looks=((3, 4),))
    to_look = tray(up("cabbage", 30), at=STILL, looks=((30, 1),))
    assert judged(to_look).due[0].task is Task.LOOK
    assert room(seen) < room(by_age) < room(to_look)
    assert why(by_age) == "root-bound now, not looked at"
    assert why(seen) == "roots circling, seen 11 Apr"


def test_hooks_of_broccoli_on_the_mat_outrank_plants_to_set_out():
    hooks = tray(sown("broccoli", 5, first_up=ago(0)), at=MAT)
    out = tray(up("cabbage", 40), at=[(SHELF, 48), (STILL_YARD, 40)], looks=((39, 3),))
    assert judged(out).due[0].task is Task.SET_OUT
    assert room(hooks) < room(out)
    assert why(hooks) == "up since 14 Apr; stretches on heat"


def test_plants_that_should_harden_leave_two_days_once_their_window_is_shut():
    full = tray(up("cabbage", 40), at=STILL, looks=((3, 3),))
    assert (why(full), room(full)) == ("roots 3 seen 11 Apr", 2)


def test_roots_that_will_circle_soon_are_told_and_far_ones_are_not():
    # 36.17 days after half up.
    assert why(tray(up("tomato", 20), looks=((0, 2),))) == "roots 2 seen 14 Apr"
    assert why(tray(up("tomato", 35), looks=((4, 3),))) == "root-bound now, roots 3"
    # In the yard cabbage climbs 0.0975 a day: 2.1972/0.0975 = 22.5 d to circle, seven to harden.
    far = tray(up("cabbage", 20), looks=((0, 2),), at=[(SHELF, 28), (YARD, 0)])
    assert (why(far), room(far)) == ("nothing due before 21 Apr", 23)
    # Four days on the shelf before it went out gave 0.9: (2.1972 - 0.9)/0.0975 = 13.3 d; three days, 15.6 d.
    soon, later = (
        tray(up("cabbage", 20), looks=((days, 2),), at=[(SHELF, 28), (YARD, 0)]) for days in (4, 3)
    )
    assert (why(soon), room(soon)) == ("root-bound in 14 d, roots 2", 14)
    assert (why(later), room(later)) == ("nothing due before 21 Apr", 16)


def test_patience_is_named_for_everything_that_has_an_end():
    assert set(Task) - set(PATIENCE) == {Task.RETIRE, Task.PAST}


SALAD = {"cells": 8, "seeds_per_cell": 30}

# Rank, room, plants, the tray, and why it stands there.
ORDER: list[tuple[float, int, Tray, str]] = [
    (-3, 72, tray(up("lettuce", 6), into=CELLS_128, watered=5), "small cell, five days: 2 - 5"),
    (-1, 180, tray(up("celery", 6, cells=180), into=CELLS_200, watered=3), "small cell, three days: 2 - 3"),
    (-1, 72, tray(up("kale", 4), watered=5), "larger cell, five days: 4 - 5"),
    (-1, 60, tray(up("tomato", 20, cells=60), looks=((3, 4),)), "roots circle, and somebody saw it"),
    (0, 128, tray(up("lettuce", 6, cells=128), into=CELLS_128, watered=2), "small cell, two days: 2 - 2"),
    (0, 100, tray(sown("lettuce", 3, cells=100), at=MAT), "too warm since it was sown: window long shut"),
    (
        0,
        90,
        tray(sown("broccoli", 6, first_up=ago(2), cells=90), at=MAT),
        "hooks two days ago, still on heat",
    ),
    (0, 72, tray(up("tomato", 2, days=9), at=MAT), "half up two days ago, still on heat"),
    (0, 50, tray(up("rue", 9, cells=50), into=CELLS_128, watered=2), "no figures, and dry all the same"),
    (1, 80, tray(sown("broccoli", 5, first_up=ago(0), cells=80), at=MAT), "hooks today: until tomorrow"),
    (1, 72, tray(up("tomato", 40)), "root-bound by age since the 37th day"),
    (1, 60, tray(up("kale", 4, cells=60), watered=3), "larger cell, three days: 4 - 3"),
    (2, 128, tray(sown("pepper", 40, cells=128)), "late up"),
    (2, 100, tray(sown("pepper", 20, cells=100), at=CELLAR), "never comes up at 8 °C"),
    (2, 72, tray(up("tomato", 33)), "pot up: window shut on day 31, root-bound in 4 d"),
    (
        2,
        60,
        tray(up("cabbage", 40, cells=60), at=[(SHELF, 48), (STILL_YARD, 40)], looks=((39, 3),)),
        "set out: hardened long ago, nothing grows at 2 °C",
    ),
    (3, 110, tray(sown("tomato", 9, cells=110), at=MAT), "last day to come up by: 0 + 3"),
    (3, 100, tray(up("cabbage", 40, cells=100), at=STILL, looks=((9, 1),)), "look again: window shut, 0 + 3"),
    (3, 90, tray(up("pepper", 10, cells=90, seeds_per_cell=2)), "thin: window shut on day 8, 0 + 3"),
    (3, 72, tray(up("tomato", 27)), "first look: window shut on day 23, before pot up with 4 + 2"),
    (
        4,
        100,
        tray(sown("tomato", 14, first_up=ago(5), cells=100), at=COOL_MAT),
        "last day to count half up: 0 + 4",
    ),
    (4, 8, tray(up("lettuce", 30, days=36, **SALAD), into=FLAT), "first cut: window shut on day 35, 0 + 4"),
    (5, 72, tray(up("pepper", 6, seeds_per_cell=2)), "thin: until day 8, 2 + 3"),
    (
        6,
        100,
        tray(up("cabbage", 40, cells=100), at=STILL, looks=((3, 1),)),
        "look again until the third day, 3 + 3",
    ),
    (6, 72, tray(up("tomato", 20), looks=((0, 2),)), "pot up: full in 3.73 d, 4 + 2"),
    (9, 8, tray(up("lettuce", 20, days=30, **SALAD), into=FLAT), "first cut until day 35: 5 + 4"),
    (inf, 200, tray(sown("celery", 1, cells=200), into=CELLS_200), "sown yesterday"),
    (inf, 90, tray(up("rue", 30, cells=90)), "no figures, seen yesterday"),
    (
        inf,
        72,
        tray(up("cabbage", 40), at=STILL, looks=((1, 1),)),
        "look again in two days; nothing grows at 2 °C",
    ),
    (inf, 8, tray(up("lettuce", 20, days=20, **SALAD), into=FLAT), "first cut in eight days"),
]


def numbered() -> list[Tray]:
    """The trays of the list, numbered so that the number tells nothing about the order."""
    return [
        replace(this, id=n, number=n)
        for n, (_, _, this, _) in zip(Random(4).sample(range(100, 999), len(ORDER)), ORDER, strict=True)
    ]


@pytest.mark.parametrize(("expected", "plants", "this", "reason"), ORDER, ids=[row[3] for row in ORDER])
def test_each_tray_leaves_the_room_worked_by_hand(expected: float, plants: int, this: Tray, reason: str):
    assert (room(this), this.have) == (expected, plants), reason


def test_thirty_trays_come_in_the_order_worked_by_hand():
    trays = numbered()
    on = Grounds(PLACES, CONTAINERS, {s.crop: crop(s.crop) for this in trays for s in this.sowings})
    lines = [line_of(this, on, TODAY) for this in Random(7).sample(trays, len(trays))]
    in_order = ranked(lines)
    assert [line.number for line in in_order] == [this.number for this in trays]
    assert [line.rank for line in in_order] == list(range(1, len(ORDER) + 1))


def test_two_alike_trays_come_by_their_number():
    on = Grounds(PLACES, CONTAINERS, {"kale": crop("kale")})
    lines = [line_of(tray(up("kale", 4), number=number), on, TODAY) for number in (9, 3)]
    assert [line.number for line in ranked(lines)] == [3, 9]
