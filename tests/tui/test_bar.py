"""The bar says no more and no less than the band."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.rules.verdict import Fill
from tui.widgets.bar import (
    MARKS,
    bar,
    covered,
    fill_tone,
    mark_cell,
    scale,
    scale_words,
    steps,
    track,
)
from tui.words import ASCII, UNICODE

WIDTHS = [10, 11, 13, 14, 18, 24, 40]
FRACTIONS = st.floats(0, 1.2)


@given(FRACTIONS, st.sampled_from(WIDTHS))
@settings(max_examples=200, derandomize=True)
def test_a_bar_covers_a_mark_exactly_when_the_fill_has_reached_it(fill: float, width: int) -> None:
    for mark in MARKS:
        assert (covered(fill, width) > mark_cell(mark, width)) == (fill >= mark)


@given(st.lists(FRACTIONS, min_size=3, max_size=3).map(sorted), st.sampled_from(WIDTHS))
@settings(max_examples=200, derandomize=True)
def test_the_parts_of_a_bar_fill_its_width(band: list[float], width: int) -> None:
    low, expected, high = band
    parts = bar(Fill(expected=expected, low=low, high=high), width, ASCII)
    assert len("".join(parts)) == width
    assert len(parts[0]) == covered(low, width)


@pytest.mark.parametrize("width", WIDTHS)
def test_each_cell_asks_for_more_fill_than_the_one_before(width: int) -> None:
    assert list(steps(width)) == sorted(set(steps(width)))


def test_a_bar_is_solid_then_dense_then_light_then_empty() -> None:
    fill = Fill(expected=0.55, low=0.35, high=0.75)
    assert "".join(bar(fill, 20, ASCII)) == "#######++++----...:."
    assert "".join(bar(fill, 20, UNICODE)) == "███████▓▓▓▓▒▒▒▒···╎·"


def test_plants_that_are_up_always_show() -> None:
    assert bar(Fill(expected=0.001, low=0.0, high=0.002), 13, ASCII)[2] == "-"


def test_the_tone_changes_at_the_marks() -> None:
    tones = [fill_tone(Fill(expected=f, low=0, high=1)) for f in (0.29, 0.30, 0.69, 0.70)]
    assert tones == ["young", "ready", "ready", "crowding"]


@pytest.mark.parametrize("width", WIDTHS)
def test_the_ticks_of_the_scale_stand_over_the_marks_of_the_bars(width: int) -> None:
    ticks = {index for index, sign in enumerate(scale(width, UNICODE)) if sign == UNICODE.tee}
    marks = {index for index, sign in enumerate(track(width, UNICODE)) if sign == UNICODE.mark}
    assert ticks == marks == {mark_cell(mark, width) for mark in MARKS}


@pytest.mark.parametrize("width", [13, 18, 24])
def test_the_names_begin_over_their_ticks(width: int) -> None:
    words = scale_words(width, width + 20)
    assert words.index("ready") == mark_cell(0.30, width)
    assert words.index("full") == mark_cell(0.70, width)


def test_the_third_mark_has_its_name_where_there_is_room() -> None:
    assert scale_words(24, 44).index("root-bound") == mark_cell(0.90, 24)
    assert "root-bound" not in scale_words(13, 33)
