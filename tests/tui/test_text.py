"""Text is cut and wrapped by the columns it takes, whatever people typed."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rich.cells import cell_len

from model.text import clean
from tests.hard_text import HARD
from tui.text import fit, fit_right, fit_words, wrap


@given(st.text(), st.integers(0, 40))
@settings(max_examples=200, deadline=None, derandomize=True)
def test_fitted_text_takes_exactly_its_width(text: str, width: int) -> None:
    assert cell_len(fit(clean(text), width)) == width
    assert cell_len(fit_right(clean(text), width)) == width


@pytest.mark.parametrize("text", HARD)
@pytest.mark.parametrize("width", [0, 1, 2, 3, 16, 17])
def test_hard_text_takes_exactly_its_width(text: str, width: int) -> None:
    assert cell_len(fit(clean(text), width)) == width


@given(st.text(), st.integers(0, 40))
@settings(max_examples=200, deadline=None, derandomize=True)
def test_text_cut_after_a_word_takes_exactly_its_width_too(text: str, width: int) -> None:
    shown = clean(text)
    found = fit_words(shown, width)
    assert cell_len(found) == width
    assert found == fit(shown, width) or found.rstrip(" ").endswith(" …")


def test_a_number_is_shown_whole_or_not_at_all() -> None:
    assert fit_words("low of -12 °C on Thu", 9) == "low of … "
    assert fit_words("low of -12 °C on Thu", 11) == "low of -12…"
    assert fit_words("low of -12 °C on Thu", 20) == "low of -12 °C on Thu"
    assert fit_words("a wordthatismuchtoolongtobeleftout", 20) == fit(
        "a wordthatismuchtoolongtobeleftout", 20
    )


def test_cut_text_says_so() -> None:
    assert fit("brussels sprouts", 10) == "brussels …"
    assert fit("brussels sprouts", 10, "~") == "brussels ~"
    assert fit("leek", 6) == "leek  "
    assert fit_right("leek", 6) == "  leek"


def test_a_wide_sign_is_never_cut_in_half() -> None:
    assert fit("🍅🍅🍅", 4) == "🍅… "
    assert fit("番茄番茄", 5) == "番茄…"


@given(st.text(), st.integers(2, 40))
@settings(max_examples=200, deadline=None, derandomize=True)
def test_wrapped_rows_are_never_wider_than_asked(text: str, width: int) -> None:
    assert all(cell_len(row) <= width for row in wrap(clean(text), width))


def test_wrapping_keeps_every_word_and_the_blanks_inside_a_row() -> None:
    text = "full by Thu,  root-bound 1 in 3 by Tue."
    assert wrap(text, 80) == [text]
    assert wrap(text, 20) == ["full by Thu,", "root-bound 1 in 3 by", "Tue."]
    assert "".join(wrap("x" * 45, 20)) == "x" * 45
