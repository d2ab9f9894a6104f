"""The water note: three truths and the lack of them."""

from dataclasses import replace

import pytest

from model.facts import Mark, Tray
from model.rules.verdict import Today
from model.rules.water import seen_today, water_note
from tests.builders import TODAY
from tests.rules.builders import ago, sown, tray


def marked(**days: int | None) -> Tray:
    """A tray with marks so many days ago: `watered=2`."""
    plain = tray(sown(), seen=None, watered=None)
    return replace(plain, **{name: None if n is None else Mark(ago(n), "Jory") for name, n in days.items()})


@pytest.mark.parametrize(
    ("days", "now"),
    [
        ({}, Today.UNSEEN),
        ({"seen": 1, "watered": 1}, Today.UNSEEN),
        ({"seen": 0}, Today.LOOKED),
        ({"seen": 0, "left": 0}, Today.LEFT),
        ({"seen": 0, "watered": 0}, Today.WATERED),
        ({"seen": 0, "watered": 0, "left": 0}, Today.WATERED),
        ({"seen": 0, "watered": 1, "left": 1}, Today.LOOKED),
    ],
)
def test_unseen_looked_left_and_watered_are_four_different_things(days: dict[str, int], now: Today):
    assert seen_today(marked(**days), TODAY) is now
    assert water_note(marked(**days), TODAY).today is now


@pytest.mark.parametrize(
    ("days", "text"),
    [
        ({}, "not seen today; no watering on record"),
        ({"seen": 0}, "no watering on record; looked at today by Jory"),
        ({"seen": 1, "watered": 1}, "not seen today; watered yesterday by Jory"),
        ({"seen": 0, "watered": 3}, "watered 3 d ago by Jory; looked at today by Jory"),
        ({"seen": 0, "watered": 0}, "watered today by Jory"),
        ({"seen": 0, "watered": 2, "left": 0}, "watered 2 d ago by Jory; left dry today by Jory"),
        ({"seen": 1, "watered": 1, "left": 2}, "not seen today; watered yesterday by Jory"),
        ({"seen": 1, "left": 1}, "not seen today; left dry yesterday by Jory"),
        ({"seen": 0, "watered": 0, "left": 0}, "watered today by Jory; left dry today by Jory"),
    ],
)
def test_the_note_says_what_by_whom_and_whether_anyone_has_looked(days: dict[str, int], text: str):
    assert water_note(marked(**days), TODAY).text == text


def test_the_note_carries_its_days():
    note = water_note(marked(seen=1, watered=4, left=1), TODAY)
    assert (note.last_on, note.by, note.left_on) == (ago(4), "Jory", ago(1))
    none = water_note(marked(), TODAY)
    assert (none.last_on, none.by, none.left_on) == (None, "", None)


def test_nobody_is_asked_to_look_at_a_tray_that_is_gone():
    gone = replace(marked(seen=3, watered=4), ended_on=ago(3))
    assert water_note(gone, TODAY).text == "watered 4 d ago by Jory"
