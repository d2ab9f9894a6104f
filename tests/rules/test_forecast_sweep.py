"""The forecast of any tray the record could hold: never a NaN, days in order, words that can be said."""

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from math import isfinite

from model.rules.forecast import outlooks
from model.rules.grounds import Grounds
from model.rules.learning import Past
from model.rules.outlook import Outlook, from_text, to_text
from model.rules.verdict import Risk
from model.views.round import line_of
from tests.builders import TODAY
from tests.rules.builders import CONTAINERS, PLACES, SHELF, crop, judged, tray, up
from tests.rules.test_sweep import FORBIDDEN, KEYS, trays

SWEPT = 1200
"""Sowings share their number with others of the sweep, so each tray is forecast apart."""


@cache
def found() -> tuple[dict[int, Outlook], ...]:
    past = Past((), {}, {}, on(), TODAY)
    return tuple(outlooks([this], {}, past, on(), TODAY) for this in trays()[:SWEPT])


def on() -> Grounds:
    return Grounds(PLACES, CONTAINERS, {key: crop(key) for key in KEYS})


def every() -> Iterator[Outlook]:
    for outlook in found():
        yield from outlook.values()


def test_the_sweep_reaches_hundreds_of_forecasts():
    assert sum(1 for _ in every()) > 400


def test_no_figure_is_ever_nan_and_every_share_lies_between_none_and_all():
    for outlook in every():
        for fill in outlook.fills:
            assert 0 <= fill.low <= fill.expected <= fill.high <= 1
        assert all(-1e-9 <= chance <= 1 + 1e-9 for chance in outlook.chances_bound)
        assert all(map(isfinite, outlook.growth))
        assert 0 <= outlook.value_of_look <= 0.5


def test_days_stand_in_order():
    for outlook in every():
        days = [day for day in outlook.ready if day]
        assert days == sorted(days)
        # What comes later at the middle comes later, and what is never reached is followed by nothing.
        stages = (outlook.ready[1], outlook.full, outlook.bound)
        assert [day for day in stages if day] == sorted(day for day in stages if day)
        assert all(later is None or earlier for earlier, later in zip(stages, stages[1:], strict=False))


def test_the_lines_on_them_can_be_said():
    for this, outlook in zip(trays(), found(), strict=False):
        line = line_of(this, replace(on(), outlooks=outlook), TODAY)
        words = " ".join((*line.why, line.due_words, line.why_now, *line.flags))
        assert not FORBIDDEN.search(words), words
        assert len(line.why) <= 4
        assert line.fill is None or 0 <= line.fill.low <= line.fill.expected <= line.fill.high <= 1


def test_every_outlook_comes_back_from_its_text():
    for outlook in every():
        assert from_text(to_text(outlook)) == outlook


def test_a_tray_held_a_week_past_full_shows_the_act_band():
    """Common practice, no source: a tomato in a 72 at 18 °C is full on day 30 after half up."""
    for days in (37, 44):
        assert judged(tray(up("tomato", days), at=SHELF)).leading.risk is Risk.ACT
        past = Past((), {}, {}, on(), TODAY)
        this = tray(up("tomato", days), at=SHELF, looks=[(days - 31, 3)])
        told = replace(on(), outlooks=outlooks([this], {}, past, on(), TODAY))
        assert line_of(this, told, TODAY).risk is Risk.ACT
