"""When a sowing should come up, worked by hand from the printed table, and what shows that it has.

Harrington and Minges 1954 as printed in Knott's Handbook 1997: tomato 14, 8 and 6 days at 15, 20 and 25 °C,
pepper 25, 13 and 8 days. Days are counted from sowing, which is day 0.
"""

from datetime import date

import pytest

from model.facts import Place
from model.rules.coming_up import ComingUp, Stand, coming_up, stand_of
from model.rules.grounds import Grounds
from model.science.emergence import Standing
from tests.builders import TODAY
from tests.rules.builders import (
    CELLAR,
    CELLS_72,
    COOL_MAT,
    FLAT,
    HOT_MAT,
    MAT,
    PLACES,
    PORCH,
    POT_10,
    ROOM,
    SHELF,
    STILL,
    ago,
    crop,
    judged,
    sown,
    tray,
    up,
)

SOWN = 30


def expected(key: str, at: Place | list[tuple[Place, int]]) -> ComingUp:
    """What is expected of a sowing of thirty days ago; a list says since which of its days it stood where."""
    where = at if isinstance(at, Place) else [(spot, SOWN - since) for spot, since in at]
    sowing = sown(key, SOWN)
    return coming_up(sowing, tray(sowing, at=where), crop(key), Grounds(PLACES, {}, {}), TODAY)


def day_numbers(found: ComingUp) -> tuple[int | None, ...]:
    """First, median and slow end as days since sowing."""
    return tuple(day and (day - ago(SOWN)).days for day in (found.first, found.median, found.slow_end))


def test_tomato_on_a_warm_mat_comes_up_between_day_five_and_nine():
    found = expected("tomato", MAT)
    assert (found.standing, found.mean_c) == (Standing.TESTED, 24)
    # Rate at 24 °C: 1/8 + 0.8 (1/6 - 1/8) = 0.15833 a day, so half is up after 6.32 d.
    # A tenth: 6.32 exp(-1.2816 x 0.20) = 4.89 d; slow end: 6.32 exp(1.2816 x hypot(0.20, 0.15)) = 8.70 d.
    assert day_numbers(found) == (5, 7, 9)


def test_a_tray_that_is_moved_adds_up_what_both_places_gave():
    # 3 days at 25 °C are 3/6, the other half takes 4 days at 20 °C (4/8).
    assert expected("tomato", [(HOT_MAT, 0), (ROOM, 3)]).median == ago(SOWN - 7)
    # Pepper: 4 days at 25 °C are 4/8; 18 °C gives 1/25 + 0.6 (1/13 - 1/25) = 0.06215 a day: 4 + 8.05 days.
    assert expected("pepper", [(HOT_MAT, 0), (SHELF, 4)]).median == ago(SOWN - 13)


def test_two_moves_on_one_day_count_the_last_place_only():
    assert expected("tomato", [(HOT_MAT, 0), (STILL, 3), (ROOM, 3)]).median == ago(SOWN - 7)


def test_days_in_the_cold_only_put_it_off():
    # 6 days at 24 °C are 0.95, 4 days at 2 °C nothing, and one more day at 24 °C carries it over 1.
    assert expected("tomato", [(MAT, 0), (STILL, 6), (MAT, 10)]).median == ago(SOWN - 11)


@pytest.mark.parametrize(
    ("key", "at", "standing"),
    [
        ("pepper", CELLAR, Standing.NEVER),  # none came at 5 nor at 10 °C
        ("celery", HOT_MAT, Standing.UNKNOWN),  # its row isn't trusted above 20 °C
        ("eggplant", PORCH, Standing.UNKNOWN),  # 10 and 15 °C were not tested
        ("rue", MAT, Standing.UNKNOWN),  # no crop of the file
    ],
)
def test_never_and_not_known_are_kept_apart_and_have_no_dates(key: str, at: Place, standing: Standing):
    found = expected(key, at)
    assert found.standing is standing
    assert day_numbers(found) == (None, None, None)


def test_seed_in_the_cold_never_comes_up_and_untested_seed_is_not_known_to():
    never, unknown = (
        judged(tray(sown(key, 9), at=at)) for key, at in (("pepper", CELLAR), ("eggplant", PORCH))
    )
    assert never.flags == ("never up here",)
    assert never.leading.reasons[0].text == "at 8 °C, in Cellar, it never comes up (default)"
    assert never.leading.why_now == "never comes up at 8 °C"
    assert unknown.flags == ()
    assert unknown.leading.reasons[0].text == "day 9; 12 °C, on Porch, is outside what was tested: no date"
    assert unknown.due == ()


@pytest.mark.parametrize(
    ("moved_on", "days"), [(0, (None, None, None)), (6, (5, None, None)), (7, (5, 7, None)), (10, (5, 7, 9))]
)
def test_what_passed_before_a_tray_went_into_the_cold_still_stands(
    moved_on: int, days: tuple[int | None, ...]
):
    found = expected("tomato", [(MAT, 0), (STILL, moved_on)])
    assert found.standing is Standing.NEVER
    assert day_numbers(found) == days


def test_two_cold_places_in_a_row_are_as_one():
    found = expected("tomato", [(MAT, 0), (STILL, 7), (CELLAR, 9)])
    # 8 °C lies between nodes where none and 43 days came, so there the table speaks again.
    assert (found.standing, found.median) == (Standing.TESTED, ago(SOWN - 7))
    found = expected("pepper", [(MAT, 0), (STILL, 3), (CELLAR, 9)])
    assert (found.standing, found.first) == (Standing.NEVER, None)


def test_it_is_late_from_the_day_after_the_slow_end():
    for age, late in ((9, False), (10, True)):
        assert ("late up" in judged(tray(sown("tomato", age), at=MAT)).flags) is late
    assert judged(tray(sown("tomato", 12), at=MAT)).leading.why_now == "late up by 3 d; nothing seen"


def test_a_crop_that_borrows_a_row_says_so():
    (reason,) = judged(tray(sown("kale", 2), at=MAT)).leading.reasons
    # 1/6 + 0.8 (1/5 - 1/6) = 0.19333 a day: half in 5.17 d, a tenth in 4.27 d, the slow end 6.79 d.
    assert reason.text == "day 2 of 5-7 to come up, on Mat at 24 °C (default, as cabbage)"
    assert reason.source == "Harrington and Minges 1954, as cabbage"


@pytest.mark.parametrize("key", ["lettuce", "celery", "spinach"])
def test_seed_that_heat_harms_is_too_warm_on_a_hot_mat_until_it_is_up(key: str):
    assert "too warm" in judged(tray(sown(key, 2), at=MAT)).flags
    assert "too warm" not in judged(tray(sown(key, 2), at=COOL_MAT)).flags
    assert "too warm" not in judged(tray(sown(key, 2), at=ROOM)).flags
    assert "too warm" not in judged(tray(up(key, 1), at=MAT)).flags
    assert "too warm" not in judged(tray(sown("tomato", 2), at=MAT)).flags


UP = ComingUp(Standing.TESTED, 24, ago(25), ago(23), ago(21))
NO_DATES = ComingUp(Standing.UNKNOWN, 12)


def stand(expect: ComingUp = UP, days: int = SOWN, **seen: object) -> Stand:
    sowing = sown("tomato", days, **seen)
    return stand_of(sowing, tray(sowing), expect, TODAY)


def test_nothing_seen_is_nothing_up():
    assert stand() == Stand(None, None, None, assumed=False)


def test_half_up_that_was_ticked_is_the_day_growth_counts_from():
    assert stand(first_up=ago(22), half_up=ago(20)) == Stand(ago(22), ago(20), ago(20))


def test_without_it_the_expected_day_stands_in_no_sooner_than_first_up():
    assert stand(first_up=ago(24)).emerged == ago(23)
    assert stand(first_up=ago(4)).emerged == ago(4)
    assert stand(NO_DATES, first_up=ago(4)).emerged == ago(4)
    late_row = ComingUp(Standing.TESTED, 18, ago(2), ago(-3), ago(-6))
    assert stand(late_row, first_up=ago(4)).emerged == TODAY
    assert stand(first_up=ago(24)).assumed


@pytest.mark.parametrize(("expect", "first_up", "taken"), [(UP, 7, None), (UP, 8, 1), (UP, 25, 18)])
def test_half_up_is_taken_for_granted_a_week_after_first_up(
    expect: ComingUp, first_up: int, taken: int | None
):
    assert stand(expect, first_up=ago(first_up)).half == (None if taken is None else ago(taken))


def test_not_before_the_slow_end_though():
    slow = ComingUp(Standing.TESTED, 12, ago(20), ago(10), ago(3))
    assert stand(slow, first_up=ago(15)).half == ago(3)


@pytest.mark.parametrize(
    ("seen", "day"), [({"thinned_on": ago(12)}, ago(12)), ({"cuts": (ago(5), ago(1))}, ago(5))]
)
def test_what_can_only_be_done_to_plants_shows_that_they_are_up(seen: dict[str, object], day: date):
    assert stand(**seen) == Stand(day, day, ago(23), assumed=True)
    assert stand(first_up=ago(1), **seen) == Stand(ago(1), ago(1), ago(1), assumed=True)


def test_plants_that_were_potted_up_are_up_and_what_is_resown_among_them_is_not():
    old, new = sown("tomato", SOWN), sown("tomato", 3, 2)
    potted = tray(
        old, new, into=[(CELLS_72, SOWN), (POT_10, 10)], parent_id=9, made_on=ago(10), at=[(SHELF, SOWN)]
    )
    assert stand_of(old, potted, UP, TODAY) == Stand(ago(10), ago(10), ago(23), assumed=True)
    assert stand_of(old, potted, NO_DATES, TODAY).emerged == ago(10)
    assert stand_of(new, potted, NO_DATES, TODAY) == Stand()


def test_roots_in_sight_show_it_too_where_only_one_sowing_can_have_them():
    sowing, other = sown("tomato", SOWN), sown("kale", SOWN, 2)
    assert stand_of(sowing, tray(sowing, looks=((9, 0), (6, 1))), UP, TODAY).first == ago(6)
    assert stand_of(sowing, tray(sowing, looks=((6, 0),)), UP, TODAY) == Stand()
    both = tray(sowing, other, into=FLAT, looks=((6, 2),))
    assert stand_of(sowing, both, UP, TODAY) == Stand()
