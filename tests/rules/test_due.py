"""What is due and when, each window worked by hand from the day it hangs on."""

from math import isfinite

import pytest

from model.crops import load_crops
from model.facts import Container, Sowing
from model.rules.due import due_in
from model.rules.verdict import Task
from tests.builders import TODAY, day
from tests.rules.builders import (
    APART,
    CELLAR,
    CELLS_72,
    COOL_MAT,
    FLAT,
    HOT_MAT,
    MAT,
    PATCH,
    PORCH,
    POT_10,
    SHELF,
    STILL,
    STILL_YARD,
    YARD,
    ago,
    case_of,
    container,
    due_of,
    judged,
    sown,
    tray,
    up,
    window_of,
)


def tasks(*args: object, **changes: object) -> list[Task]:
    return [due.task for due in judged(tray(*args, **changes)).due]  # type: ignore[arg-type]


# Coming up.


def test_hooks_are_looked_for_from_the_quick_seeds_to_the_slow_end():
    due = due_of(tray(sown("tomato", 4), at=MAT), Task.FIRST_UP)
    assert due is not None
    assert (due.window.start, due.window.end) == (ago(4 - 5), ago(4 - 9))
    assert due.why == "day 4 of 5-9 to come up"
    assert tasks(sown("tomato", 4), at=MAT) == [Task.FIRST_UP]


def test_half_up_is_counted_from_the_middle_day_on_and_after_first_up():
    early, late = sown("tomato", 6, first_up=ago(1)), sown("tomato", 9, first_up=ago(1))
    # Tomato at 24 °C: half on day 7, slow end on day 9.
    assert window_of(tray(early, at=MAT), Task.HALF_UP) == (ago(6 - 7), ago(6 - 9))
    assert window_of(tray(late, at=MAT), Task.HALF_UP) == (TODAY, TODAY)
    due = due_of(tray(early, at=MAT), Task.HALF_UP)
    assert due is not None
    assert due.why == "first up 13 Apr, half by d9"


def test_half_up_is_asked_for_without_an_end_where_no_day_is_known():
    this = tray(sown("eggplant", 20, first_up=ago(2)), at=PORCH)
    assert window_of(this, Task.HALF_UP) == (ago(1), None)
    due = due_of(this, Task.HALF_UP)
    assert due is not None
    assert due.why == "first up 12 Apr; half not seen"


def test_first_up_after_the_slow_end_promises_no_day_for_half():
    assert window_of(tray(sown("tomato", 20, first_up=ago(2)), at=MAT), Task.HALF_UP) == (ago(1), None)


def test_half_up_is_not_asked_for_once_plants_show_it_or_a_week_has_gone():
    for sowing in (
        up("tomato", 3),
        sown("tomato", 20, first_up=ago(5), thinned_on=ago(1)),
        sown("tomato", 20, first_up=ago(8)),
    ):
        assert Task.HALF_UP not in tasks(sowing)


# Off the heat mat.


def test_half_up_takes_most_crops_off_the_mat():
    assert window_of(tray(up("tomato", 0, days=7), at=MAT), Task.OFF_MAT) == (TODAY, day(1))
    assert Task.OFF_MAT not in tasks(sown("tomato", 7, first_up=ago(1)), at=MAT)
    assert Task.OFF_MAT not in tasks(up("tomato", 0, days=7), at=SHELF)


@pytest.mark.parametrize("key", ["broccoli", "lettuce", "cucumber"])
def test_first_hooks_take_fast_stretchers_off_the_mat(key: str):
    due = due_of(tray(sown(key, 5, first_up=TODAY), at=COOL_MAT), Task.OFF_MAT)
    assert due is not None
    assert (due.window.start, due.window.end) == (TODAY, day(1))
    assert due.why == "up since 14 Apr; stretches on heat"


def test_half_up_that_nobody_ticked_takes_them_off_in_the_end():
    due = due_of(tray(sown("tomato", 16, first_up=ago(9)), at=MAT), Task.OFF_MAT)
    assert due is not None
    assert (due.window.start, due.why) == (ago(2), "half up likely since 12 Apr")


def test_seed_that_heat_harms_leaves_a_hot_mat_at_once():
    due = due_of(tray(sown("celery", 3), at=MAT), Task.OFF_MAT)
    assert due is not None
    assert (due.window.start, due.window.end) == (ago(3), ago(2))
    assert due.why == "24 °C is too warm for this seed"
    moved = tray(sown("celery", 9), at=[(SHELF, 9), (MAT, 1)])
    assert window_of(moved, Task.OFF_MAT) == (ago(1), TODAY)


def test_plants_put_on_heat_when_they_were_up_may_stay():
    assert Task.OFF_MAT not in tasks(up("pepper", 20), at=[(SHELF, 28), (MAT, 3)])


# Thinning.


def test_doubles_are_thinned_five_to_eight_days_after_half_up():
    due = due_of(tray(up("kale", 6, seeds_per_cell=2)), Task.THIN)
    assert due is not None
    assert (due.window.start, due.window.end) == (ago(1), day(2))
    assert due.why == "2 seeds a cell, half up 8 Apr"


@pytest.mark.parametrize("key", ["onion", "leek", "chives", "parsley", "basil", "dill"])
def test_clumps_of_onions_and_herbs_are_left(key: str):
    assert Task.THIN not in tasks(up(key, 6, seeds_per_cell=4))


@pytest.mark.parametrize(
    "changes",
    [
        {"seeds_per_cell": 1},
        {"seeds_per_cell": 2, "thinned_on": ago(1)},
        {"seeds_per_cell": 2, "half_up": None},
    ],
)
def test_nothing_is_thinned_that_is_single_done_or_not_half_up(changes: dict[str, object]):
    assert Task.THIN not in tasks(up("kale", 6, **changes))


def test_flats_potted_plants_and_hardening_ones_are_not_thinned():
    sowing = up("kale", 6, seeds_per_cell=3)
    assert Task.THIN not in tasks(sowing, into=FLAT)
    assert Task.THIN not in tasks(sowing, parent_id=4, made_on=ago(2), at=[(SHELF, 14)])
    assert Task.THIN not in tasks(sowing, at=[(SHELF, 14), (YARD, 2)])


# Looks underneath.


def test_the_first_look_waits_for_the_quickest_tenth():
    # Tomato at 18 °C: the quickest hold together on day 15 after half up, the middle tray on day 23.
    due = due_of(tray(up("tomato", 16)), Task.LOOK)
    assert due is not None
    assert (due.window.start, due.window.end) == (ago(1), day(7))
    assert due.why == "day 24; plug may hold from 13 Apr"


@pytest.mark.parametrize(("score", "pause"), [(0, 7), (1, 3)])
def test_the_next_look_comes_sooner_once_roots_show(score: int, pause: int):
    this = tray(up("tomato", 16), looks=((2, score),))
    assert window_of(this, Task.LOOK) == (ago(2 - pause), ago(2 - pause - 3))
    due = due_of(this, Task.LOOK)
    assert due is not None
    assert due.why == f"roots {score} on 12 Apr; look again"


@pytest.mark.parametrize("score", [2, 3, 4])
def test_no_look_is_asked_for_once_the_plug_has_held(score: int):
    assert Task.LOOK not in tasks(up("tomato", 16), looks=((2, score),))
    assert Task.LOOK in tasks(up("tomato", 16), looks=((4, score), (2, 1)))


def test_no_look_is_asked_for_where_nothing_grows_nor_before_plants_are_up():
    assert Task.LOOK not in tasks(up("tomato", 16), at=STILL)
    assert Task.LOOK not in tasks(sown("tomato", 2))
    assert Task.LOOK not in tasks(up("rue", 30))
    assert Task.LOOK in tasks(up("rue", 30), looks=((4, 1),))


# The next home.


@pytest.mark.parametrize(
    ("key", "into", "wanted"),
    [
        ("tomato", CELLS_72, [Task.POT_UP]),
        ("tomato", container("48-cell tray"), [Task.POT_UP]),  # 82 mL
        ("tomato", container("38-cell tray"), [Task.HARDEN, Task.SET_OUT]),  # 106 mL
        ("tomato", POT_10, [Task.HARDEN, Task.SET_OUT]),
        ("kale", CELLS_72, [Task.HARDEN, Task.SET_OUT]),
    ],
)
def test_the_tomato_family_goes_into_pots_and_the_rest_out_to_harden(
    key: str, into: Container, wanted: list[Task]
):
    this = tray(up(key, 40), into=into, looks=((0, 2),))
    assert [due.task for due in judged(this).due] == wanted


@pytest.mark.parametrize(("key", "into"), [("tomato", CELLS_72), ("kale", CELLS_72), ("tomato", POT_10)])
def test_what_stands_in_quarantine_is_potted_hardened_and_set_out_by_nobody(key: str, into: Container):
    this = tray(up(key, 40), into=into, at=APART, looks=((0, 2),))
    assert not {due.task for due in judged(this).due} & {Task.POT_UP, Task.HARDEN, Task.SET_OUT}


def test_potting_up_is_due_from_the_day_the_plug_holds_until_it_is_full():
    due = due_of(tray(up("tomato", 24)), Task.POT_UP)
    assert due is not None
    # 22.76 and 30.22 days after half up on 21 March; sown on 13 March: days 31 and 39.
    assert (due.window.start, due.window.end) == (ago(1), day(7))
    assert due.why == "day 32 of 31-39; not looked at"


def test_a_look_opens_the_window_before_its_time_and_its_why_says_who_knows():
    due = due_of(tray(up("tomato", 10), looks=((3, 2),)), Task.POT_UP)
    assert due is not None
    assert (due.window.start, due.why) == (ago(3), "roots 2 seen 11 Apr")


def test_a_look_that_found_few_roots_puts_it_off():
    due = due_of(tray(up("tomato", 30), looks=((0, 1),)), Task.POT_UP)
    assert due is not None
    # From the middle of "few", logit -1.5222, to hold: 0.6750/0.227 = 2.97 d.
    assert (due.window.start, due.why) == (day(3), "roots 1 seen; ready about 17 Apr")


def test_setting_out_waits_for_the_days_of_hardening():
    this = tray(up("kale", 40), looks=((2, 2),))
    # Seven days from today; from F = 0.5 roots circle after 2.1972/0.225 = 9.8 d, on day 8.
    assert window_of(this, Task.SET_OUT) == (day(7), day(8))
    assert window_of(this, Task.HARDEN) == (ago(2), day(2))


@pytest.mark.parametrize(("key", "days"), [("kale", 7), ("cucumber", 3), ("watermelon", 3)])
def test_hardening_takes_a_week_and_three_days_for_cucurbits(key: str, days: int):
    this = tray(up(key, 40), at=[(SHELF, 48), (YARD, 2)], looks=((4, 2),))
    due = due_of(this, Task.SET_OUT)
    assert due is not None
    assert due.window.start == ago(2 - days)
    assert due.why == f"day 2 of {days} hardening"
    assert Task.HARDEN not in [due.task for due in judged(this).due]


def test_only_nights_in_a_hardening_area_count():
    brought_in = [(SHELF, 48), (YARD, 6), (SHELF, 4), (PATCH, 3)]
    due = due_of(tray(up("kale", 40), at=brought_in, looks=((8, 2),)), Task.SET_OUT)
    assert due is not None
    assert due.why == "day 5 of 7 hardening"  # two days in the yard, three in the patch
    assert due.window.start == day(2)


def test_hardened_plants_go_out_within_a_week_unless_roots_circle_before():
    still = tray(up("kale", 40), at=[(SHELF, 48), (STILL_YARD, 9)], looks=((9, 2),))
    due = due_of(still, Task.SET_OUT)
    assert due is not None
    assert due.window.start == ago(2)
    assert due.window.end is None  # at 2 °C it never fills
    assert due.why == "9 days hardened, 7 wanted"
    full = tray(up("kale", 40), at=[(SHELF, 48), (STILL_YARD, 9)], looks=((9, 3),))
    assert window_of(full, Task.SET_OUT) == (ago(2), day(5))
    circling = tray(up("kale", 40), at=[(SHELF, 48), (YARD, 9)], looks=((1, 4),))
    assert window_of(circling, Task.SET_OUT) == (ago(1), ago(1))


def test_plants_that_harden_too_young_are_not_set_out_before_they_hold():
    young = tray(up("kale", 2), at=[(SHELF, 10), (YARD, 1)])
    due = due_of(young, Task.SET_OUT)
    assert due is not None
    assert due.window.start > day(14)
    assert Task.SET_OUT not in tasks(sown("kale", 10), at=[(SHELF, 10), (YARD, 9)])


def test_a_crop_of_the_growers_own_is_set_out_once_hardened():
    assert window_of(tray(up("rue", 40), at=[(SHELF, 48), (YARD, 9)]), Task.SET_OUT) == (ago(2), None)
    held = tray(up("rue", 40), looks=((1, 2),))
    assert window_of(held, Task.HARDEN) == (ago(1), None)
    assert window_of(held, Task.SET_OUT) == (day(7), None)
    assert tasks(up("rue", 40)) == []


# Past the window.


def test_past_the_window_is_told_by_age_or_by_a_look():
    by_age = due_of(tray(up("tomato", 40)), Task.PAST)
    assert by_age is not None
    # 36.17 days after half up on 5 March is 11 April.
    assert (by_age.window.start, by_age.window.end) == (ago(3), None)
    assert by_age.why == "roots circle since about 11 Apr"
    seen = due_of(tray(up("tomato", 10), looks=((2, 4), (1, 4))), Task.PAST)
    assert seen is not None
    assert (seen.window.start, seen.why) == (ago(2), "roots circling, seen 12 Apr")
    assert Task.PAST not in tasks(up("tomato", 40), looks=((0, 1),))
    assert Task.PAST not in tasks(up("tomato", 30))


# Salad flats.


def flat(**changes: object) -> Sowing:
    return up("lettuce", 20, days=30, cells=8, seeds_per_cell=30, **changes)


@pytest.mark.parametrize(
    ("cuts", "task", "start", "end", "why"),
    [
        ((), Task.CUT, ago(2), day(5), "day 30 of 28-35 to first cut"),
        ((ago(10),), Task.CUT, day(4), day(11), "cut 1 was 4 Apr"),
        ((ago(20), ago(15)), Task.CUT, ago(1), day(6), "cut 2 was 30 Mar"),
        ((ago(40), ago(20), ago(3)), Task.RETIRE, ago(3), None, "cut 3 times"),
    ],
)
def test_a_salad_flat_is_cut_three_times_and_then_retired(cuts, task, start, end, why):
    this = tray(flat(cuts=cuts), into=FLAT)
    (due,) = judged(this).due
    assert (due.task, due.window.start, due.window.end, due.why) == (task, start, end, why)


def test_in_a_cold_place_the_first_cut_comes_later_by_as_much_as_it_is_colder():
    # Lettuce grows above 4.5 °C: 11.5 degree-days a day at 16 °C, 3.5 at a steady 8 °C, so 28 and 35 days take 92 and
    # 115. Warmer than 16 °C they stay what they are.
    cold = tray(up("lettuce", 80, days=89, cells=8), into=FLAT, at=CELLAR)
    assert window_of(cold, Task.CUT) == (ago(89 - 92), ago(89 - 115))
    assert case_of(cold).spent is False
    assert window_of(tray(flat(), into=FLAT, at=SHELF), Task.CUT) == (ago(2), day(5))


def test_regrowth_waits_for_warmth_too():
    # 14 and 21 days of regrowth take 46 and 69 at 8 °C.
    cold = tray(up("lettuce", 100, cells=8, cuts=(ago(10),)), into=FLAT, at=CELLAR)
    assert window_of(cold, Task.CUT) == (day(36), day(59))


def test_where_it_is_too_cold_to_grow_no_cut_is_promised_and_nothing_retired():
    still = tray(up("lettuce", 20, cells=8, cuts=(ago(3),)), into=FLAT, at=STILL)
    assert judged(still).due == ()
    assert (
        judged(still).leading.reasons[0].text
        == "day 28; too cold to grow to a cut, open flat on Still bench (default)"
    )


@pytest.mark.parametrize("key", [key for key, known in load_crops().items() if known.cut_again])
def test_what_is_cut_again_has_the_figures_of_its_growth(key):
    assert isfinite(load_crops()[key].base_c + load_crops()[key].cap_c)


def test_a_salad_flat_is_never_set_out_nor_looked_at_underneath():
    assert tasks(flat(), into=FLAT, looks=((1, 4),)) == [Task.CUT]
    assert tasks(up("onion", 60, cells=300), into=FLAT, looks=((1, 2),)) == [Task.HARDEN, Task.SET_OUT]
    assert Task.CUT not in tasks(up("lettuce", 20, days=30))


def test_a_flat_that_is_not_up_is_not_cut():
    assert tasks(sown("lettuce", 30), into=FLAT) == [Task.FIRST_UP]


# All together.


def test_nothing_is_due_in_what_is_gone():
    this = tray(up("tomato", 30, lost=12, potted=60))
    assert due_in(case_of(this)) == ()


def test_what_is_due_in_one_sowing_is_in_the_order_of_the_days():
    starts = [due.window.start for due in due_in(case_of(tray(up("kale", 12, seeds_per_cell=2))))]
    assert starts == sorted(starts)
    assert len(starts) == 4


def test_the_most_pressing_comes_first_what_is_past_last_and_then_what_is_to_come():
    both = tray(
        up("broccoli", 0, days=6, seeds_per_cell=2), sown("tomato", 6, 2, first_up=ago(1)), at=HOT_MAT
    )
    # Broccoli: 0 days left on the mat, tomorrow; tomato half up between today and tomorrow leaves 5.
    assert [due.task for due in judged(both).due[:2]] == [Task.OFF_MAT, Task.HALF_UP]
    late = judged(tray(up("tomato", 40)))
    assert [due.task for due in late.due] == [Task.POT_UP, Task.LOOK, Task.PAST]
    young = judged(tray(up("kale", 3, seeds_per_cell=2)))
    starts = [due.window.start for due in young.due]
    assert starts == sorted(starts)
    assert starts[0] > TODAY
