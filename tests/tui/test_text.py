"""Text is cut and wrapped by the columns it takes, whatever people typed."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rich.cells import cell_len

from model.text import clean
from tests.hard_text import HARD
from tui.text import fit, fit_right, wrap


@given(st.text(), st.integers(0, 40))
@settings(max_examples=200, deadline=None, derandomize=True)
def test_fitted_text_takes_exactly_its_width(text: str, width: int) -> None:
    assert cell_len(fit(clean(text), width)) == width
    assert cell_len(fit_right(clean(text), width)) == width


@pytest.mark.parametrize("text", HARD)
@pytest.mark.parametrize("width", [0, 1, 2, 3, 16, 17])
def test_hard_text_takes_exactly_its_width(text: str, width: int) -> None:
    assert cell_len(fit(clean(text), width)) == width


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
