"""How much should be up, what counts teach, and when slow seed can be told from dead seed."""

from dataclasses import replace

import pytest

from model.crops import normal_seedlings
from model.facts import Mark
from model.rules.grounds import Grounds
from model.rules.sprouting import TELLS_FROM, Sprouting, heat_words, sprouting, words
from tests.builders import TODAY
from tests.rules.builders import CELLAR, CONTAINERS, MAT, PLACES, ago, crop, sown, tray

GROUNDS = Grounds(PLACES, CONTAINERS, {key: crop(key) for key in ("tomato", "spinach", "lettuce", "cabbage")})


def found(days: int, test: tuple[int, int] | None = (18, 20), seen: int = 0, **changes: object) -> Sprouting:
    """Tomato on the mat at 24 °C: the table's median seed is up in about 6 days."""
    this = tray(sown("tomato", days, **changes), at=MAT, seen=None)
    told = sprouting(this.sowings[0], replace(this, seen=Mark(ago(seen), "Wren")), GROUNDS, test, TODAY)
    assert told is not None
    return told


def test_before_a_seed_can_be_up_nothing_is_told():
    this = tray(sown("tomato", 1), at=MAT)
    assert sprouting(this.sowings[0], this, GROUNDS, None, TODAY) is None


def test_where_nobody_tested_nothing_is_told():
    this = tray(sown("cabbage", 20), at=CELLAR)
    assert sprouting(this.sowings[0], this, GROUNDS, None, TODAY) is None


def test_the_share_rises_with_the_days_and_ends_at_what_can_come_up():
    counts = [found(days, seen=days, first_up=ago(0)).expected for days in (5, 6, 8, 12)]
    assert counts == sorted(counts)
    # 18 of 20 came up in the test, so about 0.9 of 72 cells.
    assert 55 <= counts[-1] <= 70


def test_a_count_pulls_the_estimate_and_narrows_it():
    before = found(7, first_up=ago(1), first_up_after=ago(2))
    after = found(7, first_up=ago(1), first_up_after=ago(2), counts=((TODAY, 20),))
    assert after.counted == 20
    assert abs(after.expected - 20) < abs(before.expected - 20)
    assert after.high - after.low < before.high - before.low


def test_nothing_up_long_after_it_should_be_is_poor_seed_and_not_before():
    early, late = found(8), found(14)
    assert late.poor > 0.95
    assert "the seed is likely poor, or it dried out" in words(late, TODAY)
    assert early.progress < TELLS_FROM <= late.progress
    assert "can't be told apart yet" in words(early, TODAY)


def test_slow_and_dead_are_not_told_apart_too_soon():
    half = found(8, test=None, counts=((TODAY, 20),), first_up=ago(0))
    assert "can't be told apart yet" in words(half, TODAY)


def test_it_says_when_half_should_be_up():
    told = words(found(5, first_up=ago(0), first_up_after=ago(1)), TODAY)
    assert "half up" in told
    assert "8 in 10" in told


@pytest.mark.parametrize(
    ("key", "row", "place", "warned"),
    [
        ("spinach", "Spinach", MAT, True),
        ("spinach", "Spinach", CELLAR, False),
        ("tomato", "Tomato", MAT, False),
        ("lettuce", "Lettuce", MAT, False),
    ],
)
def test_heat_that_costs_normal_seedlings_is_warned_of(key, row, place, warned):
    assert bool(heat_words(crop(key), place, normal_seedlings()[row])) is warned
