"""What is due, as a window in words that fit the due column."""

from datetime import date

import pytest

from model.rules.verdict import Due, Task, Window
from model.views.round import due_words
from tests.builders import TODAY, day


@pytest.mark.parametrize(
    ("task", "start", "end", "text"),
    [
        (Task.SET_OUT, date(2026, 4, 9), date(2026, 4, 16), "set out 9-16 Apr"),
        (Task.SET_OUT, date(2026, 4, 9), date(2026, 5, 3), "out 9 Apr-3 May"),
        (Task.SET_OUT, date(2026, 4, 28), date(2026, 5, 13), "out 28 Apr-13 May"),
        (Task.SET_OUT, date(2026, 4, 28), None, "out from 28 Apr"),
        (Task.SET_OUT, date(2026, 4, 2), date(2026, 4, 9), "set out now"),
        (Task.LOOK, date(2026, 5, 12), date(2026, 5, 19), "look 12-19 May"),
        (Task.LOOK, date(2026, 4, 28), date(2026, 5, 13), "look 28 Apr-13 May"),
        (Task.LOOK, date(2026, 4, 12), date(2026, 4, 14), "look 12-14 Apr"),
        (Task.LOOK, date(2026, 4, 1), date(2026, 4, 4), "look now"),
        (Task.HARDEN, date(2026, 4, 9), date(2026, 4, 16), "harden 9-16 Apr"),
        (Task.HARDEN, date(2026, 3, 29), date(2026, 4, 16), "harden now-16 Apr"),
        (Task.HARDEN, date(2026, 4, 28), date(2026, 5, 13), "harden from 28 Apr"),
        (Task.HARDEN, date(2026, 4, 1), None, "harden now"),
        (Task.POT_UP, date(2026, 4, 14), date(2026, 4, 14), "pot up 14 Apr"),
        (Task.POT_UP, date(2026, 4, 28), date(2026, 5, 13), "pot 28 Apr-13 May"),
        (Task.OFF_MAT, date(2026, 4, 13), date(2026, 4, 14), "off mat 13-14 Apr"),
        (Task.OFF_MAT, date(2026, 4, 1), date(2026, 4, 2), "off the mat now"),
        (Task.FIRST_UP, date(2026, 4, 12), date(2026, 4, 16), "first up 12-16 Apr"),
        (Task.FIRST_UP, date(2026, 3, 30), date(2026, 4, 16), "up 30 Mar-16 Apr"),
        (Task.FIRST_UP, date(2026, 3, 1), date(2026, 3, 9), "first up now"),
        (Task.HALF_UP, date(2026, 4, 28), date(2026, 5, 13), "half 28 Apr-13 May"),
        (Task.THIN, date(2026, 4, 28), date(2026, 5, 13), "thin 28 Apr-13 May"),
        (Task.CUT, date(2026, 4, 28), date(2026, 5, 13), "cut 28 Apr-13 May"),
        (Task.RETIRE, date(2026, 4, 9), None, "retire now"),
        (Task.PAST, date(2026, 4, 9), None, "past window now"),
    ],
)
def test_what_is_due_is_a_window_in_at_most_eighteen_letters(
    task: Task, start: date, end: date | None, text: str
):
    assert due_words(Due(task, Window(start, end), ""), TODAY) == text
    assert len(text) <= 18


@pytest.mark.parametrize("task", Task)
def test_every_window_fits_and_one_to_come_names_its_first_day(task: Task):
    for start in range(-40, 41):
        for length in (None, 0, 1, 5, 20, 40, 300):
            window = Window(day(start), None if length is None else day(start + length))
            text = due_words(Due(task, window, ""), TODAY)
            assert len(text) <= 18, (window, text)
            if start > 0:
                assert f"{window.start.day}" in text, (window, text)
            elif length is None or start + length < 0:
                assert text.endswith("now"), (window, text)
            else:
                assert window.end is not None
                assert f"{window.end.day}" in text or text.endswith("now"), (window, text)
