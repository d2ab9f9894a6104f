"""Sums over the days at places, worked by hand."""

from datetime import date, timedelta
from math import inf, nan

import pytest

from model.rules.grounds import Grounds
from model.rules.warmth import HORIZON_DAYS, DailySum, emergence_progress, growth_warmth
from tests.rules.builders import HOT_MAT, PATCH, PLACES, ROOM, SHELF, STILL, YARD, ago, crop, sown, tray

START = date(2026, 3, 1)


def later(days: int) -> date:
    return START + timedelta(days=days)


TWO_PLACES = DailySum(((START, 2.0), (later(5), 10.0)))


@pytest.mark.parametrize(
    ("start", "end", "total"),
    [(0, 3, 6), (0, 5, 10), (0, 7, 30), (4, 6, 12), (6, 9, 30), (3, 3, 0), (3, 1, 0)],
)
def test_days_add_up_place_by_place(start: int, end: int, total: float):
    assert TWO_PLACES.between(later(start), later(end)) == total


def test_a_day_before_the_first_stay_counts_as_there():
    assert TWO_PLACES.between(later(-2), later(1)) == 6


@pytest.mark.parametrize(
    ("target", "day"), [(2, 1), (10, 5), (10.5, 6), (30, 7), (0, 0), (-4, 0), (-inf, 0), (9, 5)]
)
def test_a_target_is_reached_on_the_first_whole_day_and_one_that_has_passed_at_once(target: float, day: int):
    assert TWO_PLACES.day_of(START, target) == later(day)


def test_counting_can_begin_at_the_second_place():
    assert TWO_PLACES.day_of(later(6), 15) == later(8)


@pytest.mark.parametrize("target", [inf, nan])
def test_a_target_that_cannot_be_reached_has_no_day(target: float):
    assert TWO_PLACES.day_of(START, target) is None


def test_what_adds_nothing_never_gets_there():
    assert DailySum(((START, 0.0),)).day_of(START, 1) is None
    assert DailySum(((START, nan),)).day_of(START, 1) is None
    assert DailySum(((START, 0.1),)).day_of(START, 0.1 * (HORIZON_DAYS + 1)) is None


@pytest.mark.parametrize("days", range(1, 60))
def test_a_row_that_prints_whole_days_gives_whole_days(days: int):
    assert DailySum(((START, 1 / days),)).day_of(START, 1.0) == later(days)


def test_warmth_and_progress_are_told_by_the_places():
    sowing = sown("tomato", 30)
    stays = tray(sowing, at=[(SHELF, 30), (STILL, 20), (YARD, 10), (PATCH, 5), (HOT_MAT, 4), (ROOM, 2)]).stays
    tomato = crop("tomato")
    # 18 °C above a base of 8 °C for 10 days; nothing at 2 °C.
    assert growth_warmth(tomato, stays, Grounds(PLACES, {}, {})).between(ago(30), ago(10)) == 100
    # 2 days at 25 °C (6 days to come up) and 2 at 20 °C (8 days).
    assert emergence_progress(tomato, stays, Grounds(PLACES, {}, {})).between(
        ago(4), ago(0)
    ) == pytest.approx(2 / 6 + 2 / 8)
