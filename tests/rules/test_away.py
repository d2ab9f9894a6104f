"""An absence: which nights trays come in, what runs out of room, and where sowings go instead."""

from datetime import date

import pytest

from model.errors import BadInput
from model.rules.away import Absence, AwayNight, Move, away_night, ends_meanwhile, move_of
from model.rules.tonight import NightCase, NightWord
from model.rules.verdict import Due, Task, Window

AWAY = Absence(date(2027, 4, 22), date(2027, 4, 27))
"""Thursday evening to Tuesday."""
LINE_C = 4.4


def april(day: int) -> date:
    return date(2027, 4, day)


def a_night(low_c: float | None, chance: float | None) -> NightCase:
    return NightCase(NightWord.FINE, LINE_C, "a handout", low_c, chance, None)


def test_five_days_and_five_nights_lie_between_thursday_evening_and_tuesday():
    assert AWAY.days == tuple(april(day) for day in (23, 24, 25, 26, 27))
    assert AWAY.nights == tuple(april(day) for day in (22, 23, 24, 25, 26))


@pytest.mark.parametrize(("leaves", "back"), [(22, 22), (22, 21)])
def test_nobody_is_back_before_they_leave(leaves: int, back: int):
    with pytest.raises(BadInput, match="Give the day you leave first"):
        Absence(april(leaves), april(back))


def test_a_sheet_holds_a_month_and_no_more():
    assert len(Absence(april(1), date(2027, 5, 1)).days) == 30
    with pytest.raises(BadInput, match="31 days are too many"):
        Absence(april(1), date(2027, 5, 2))


@pytest.mark.parametrize(
    ("low_c", "chance", "word"),
    [
        (4.3, 0.52, AwayNight.BRING_IN),
        (4.4, 0.5, AwayNight.CHECK),
        (6.0, 0.1, AwayNight.CHECK),
        (6.7, 0.09, AwayNight.FINE),
        (None, None, AwayNight.UNKNOWN),
    ],
)
def test_trays_come_in_below_their_line_and_are_looked_at_again_near_it(
    low_c: float | None, chance: float | None, word: AwayNight
):
    assert away_night(a_night(low_c, chance)) is word


def test_a_night_without_a_forecast_is_never_fine():
    assert away_night(a_night(None, None)) is not AwayNight.FINE


@pytest.mark.parametrize(
    ("start", "end", "pinned", "move"),
    [
        (7, 24, None, Move(earlier=april(22), later=None)),
        (26, 30, None, Move(earlier=None, later=april(27))),
        (24, 25, None, Move(earlier=None, later=None)),
        (19, 30, None, None),
        (19, 30, 24, Move(earlier=april(22), later=april(27))),
        (7, 24, 21, None),
        (7, 22, None, None),
        (27, 30, None, None),
    ],
)
def test_a_sowing_that_falls_into_the_days_away_moves_to_a_side_that_is_open(
    start: int, end: int, pinned: int | None, move: Move | None
):
    sow = Window(april(start), april(end))
    assert move_of(sow, april(pinned) if pinned else None, AWAY) == move


@pytest.mark.parametrize(
    ("task", "end", "ends"),
    [
        (Task.HARDEN, 25, True),
        (Task.HARDEN, 27, True),
        (Task.HARDEN, 28, False),
        (Task.OFF_MAT, 23, True),
        (Task.LOOK, 25, False),
        (Task.POT_UP, None, False),
        (Task.PAST, None, True),
    ],
)
def test_only_what_takes_the_last_room_is_told_before_leaving(task: Task, end: int | None, ends: bool):
    due = Due(task, Window(april(20), april(end) if end else None), "")
    assert ends_meanwhile(due, AWAY) is ends
