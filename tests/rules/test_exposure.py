"""Days of hardening that really were: outside, marked, not kept in."""

from model.facts import ActKind
from model.rules.exposure import Exposure, exposure
from model.rules.grounds import Grounds
from tests.rules.builders import PATCH, PLACES, ROOM, SHELF, TODAY, YARD, ago, sown, tray


def seen(tray_id: int, *days: int) -> dict[int, frozenset]:
    return {tray_id: frozenset(ago(day) for day in days)}


def had(at, marks=None, nights=None, weather=None, first=40) -> Exposure:
    this = tray(sown("kale", 40), at=at)
    on = Grounds(
        PLACES,
        {},
        {},
        marks=marks and seen(this.id, *marks),
        nights={this.id: nights or {}},
        weather=weather or {},
    )
    return exposure(this, on, ago(first), TODAY)


def test_days_from_one_hardening_area_to_another_are_counted_and_those_inside_are_not():
    assert had([(SHELF, 30), (YARD, 10), (PATCH, 5), (ROOM, 2)]).days == 8


def test_a_day_that_nobody_marked_is_not_counted_and_is_named():
    assert had([(SHELF, 30), (YARD, 5)], marks=[5, 4, 1]) == Exposure(3, 2, 5, None)


def test_a_mark_on_a_day_inside_counts_for_nothing():
    assert had([(SHELF, 30), (YARD, 3)], marks=[9, 8, 3, 2, 1]).days == 3


def test_a_night_brought_in_keeps_the_day_and_a_day_kept_in_loses_it():
    nights = {ago(3): frozenset({ActKind.BROUGHT_IN}), ago(2): frozenset({ActKind.KEPT_IN})}
    assert had([(SHELF, 30), (YARD, 4)], marks=[4, 3, 2, 1], nights=nights) == Exposure(3, 0, 2, None)


def test_the_lowest_is_that_of_nights_it_stood_out():
    weather = {YARD.id: {ago(3): (2.0, 14.0), ago(2): (-1.0, 12.0), ago(1): (6.0, 15.0)}}
    nights = {ago(2): frozenset({ActKind.BROUGHT_IN})}
    assert had([(SHELF, 30), (YARD, 4)], nights=nights, weather=weather).low_c == 2.0


def test_today_is_not_over_and_days_before_it_was_up_are_not_its_own():
    assert had([(YARD, 10)], first=4).days == 4
