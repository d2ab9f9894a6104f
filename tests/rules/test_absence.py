"""Days away: which they may be, which evening asks for what, and where a sowing still fits."""

from datetime import UTC, date, datetime, timedelta

import pytest

from model.ahead import CropLines, Line, NightTold
from model.errors import BadInput
from model.facts import PlaceKind
from model.rules.absence import Evening, Fits, check_days, enough_c, evening, fits, must_move
from model.rules.tonight import NightWord, Outside, night_case
from model.rules.verdict import Window
from model.units import Temperature, celsius

TODAY = date(2027, 4, 22)
BACK = date(2027, 4, 27)


def day(number: int) -> date:
    return date(2027, 4, number)


def told(ahead: int, low_c: float, age_h: float = 1.0) -> NightTold:
    return NightTold(TODAY + timedelta(days=ahead), low_c, datetime(2027, 4, 22, 5, tzinfo=UTC), age_h)


def begun(kind: PlaceKind = PlaceKind.HARDENING) -> Outside:
    """Hardy plants in their first days outside: line 40 °F."""
    line = Line(0.0, Temperature.CELSIUS, "published", "nobody", "freezing")
    return Outside(CropLines((), line, line, tender=False), "hardy", 2, kind)


@pytest.mark.parametrize(
    ("low_f", "word"),
    [
        (44, Evening.FINE),
        (41, Evening.CLOSE),
        (37, Evening.BRING_IN),
        (35, Evening.BRING_IN),
        (46, Evening.FINE),
    ],
)
def test_five_nights_told_ahead_come_in_where_they_are_told_under_the_line(low_f: int, word: Evening) -> None:
    ahead = (44, 41, 37, 35, 46).index(low_f)
    assert evening(begun(), told(ahead, celsius(low_f)), TODAY)[0] is word


def test_a_night_that_nobody_tells_or_that_was_told_long_ago_is_not_known() -> None:
    assert evening(begun(), None, TODAY)[0] is Evening.UNKNOWN
    assert evening(begun(), told(1, 20.0, age_h=25.0), TODAY)[0] is Evening.UNKNOWN
    assert evening(begun(), told(8, 20.0), TODAY)[0] is Evening.UNKNOWN


def test_a_cover_that_does_is_asked_for_above_the_line_and_under_it() -> None:
    assert evening(begun(), told(0, celsius(41)), TODAY, cover_c=3.0)[0] is Evening.COVER
    assert evening(begun(), told(0, celsius(36)), TODAY, cover_c=1.0)[0] is Evening.BRING_IN


@pytest.mark.parametrize("kind", [PlaceKind.HARDENING, PlaceKind.COLD_FRAME])
@pytest.mark.parametrize("offset_c", [0.0, 2.0])
def test_from_the_degree_on_the_sheet_the_evening_itself_calls_it_fine(
    kind: PlaceKind, offset_c: float
) -> None:
    out = begun(kind)
    least = enough_c(out, evening(out, None, TODAY)[1].line_c, offset_c)
    for low_c, word in ((least + 0.01, NightWord.FINE), (least - 0.01, NightWord.BRING_IN)):
        assert night_case(out, told(0, low_c), TODAY, offset_c).word is word


@pytest.mark.parametrize(
    ("window", "before", "after"),
    [
        (Window(day(20), day(28)), Window(day(22), day(22)), Window(day(27), day(28))),
        (Window(day(24), day(30)), None, Window(day(27), day(30))),
        (Window(day(10), day(24)), Window(day(22), day(22)), None),
        (Window(day(24), day(26)), None, None),
        (Window(day(10), day(20)), None, None),
        (Window(day(24), None), None, Window(day(27), None)),
    ],
)
def test_a_sowing_fits_up_to_the_day_of_leaving_and_from_that_of_coming_back(
    window: Window, before: Window | None, after: Window | None
) -> None:
    assert fits(window, TODAY, BACK, TODAY) == Fits(before, after)


@pytest.mark.parametrize(
    ("window", "moves"),
    [
        (Window(day(24), day(26)), True),
        (Window(day(20), day(28)), True),
        (Window(day(24), date(2027, 5, 3)), True),
        (Window(day(24), date(2027, 5, 4)), False),
        (Window(day(24), None), False),
        (Window(day(27), day(28)), False),
        (Window(day(10), day(21)), False),
    ],
)
def test_a_sowing_is_named_where_little_of_its_window_is_left_at_home(window: Window, moves: bool) -> None:
    assert must_move(window, TODAY, BACK, TODAY) is moves


@pytest.mark.parametrize(
    ("first", "last", "words"),
    [
        (day(21), day(23), "Wed 21 Apr has gone by. Give a first day from Thu 22 Apr on."),
        (day(25), day(23), "Fri 23 Apr is before Sun 25 Apr. Give the day of leaving"),
        (
            day(22),
            date(2027, 5, 14),
            "22 days away are too many for one sheet. Give at most 21, to Thu 13 May",
        ),
    ],
)
def test_days_that_cannot_be_say_what_to_give(first: date, last: date, words: str) -> None:
    with pytest.raises(BadInput) as refused:
        check_days(first, last, TODAY)
    assert words in str(refused.value)


def test_a_day_and_three_weeks_are_taken() -> None:
    check_days(TODAY, TODAY, TODAY)
    check_days(TODAY, date(2027, 5, 13), TODAY)
