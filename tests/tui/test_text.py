"""Text that people typed never steers the terminal and never breaks a column."""

import unicodedata

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rich.cells import cell_len

from model.text import LIMIT, MARKS, clean
from tui.text import fit, fit_right, wrap

HARD = [
    "",
    "kale Sedge Blue",
    "[b]bold[/b] [/] [/oops] [@click=app.quit]click[/]",
    "番茄 🍅🍅 tomate",
    "e\u0301" * 40,
    "Z" + "\u0335" * 300 + "algo",
    "x" * 500,
    "🍅" * 500,
    "👩‍🌾 grower ❤️ 🇩🇪",
]


@pytest.mark.parametrize(
    "hostile", ["\x1b[2J", "\x1b]0;title\x07", "\u009b31m", "\u202e", "\u200d", "\x00", "\ufe0f", "\ud800"]
)
def test_nothing_that_steers_a_terminal_gets_through(hostile: str) -> None:
    cleaned = clean(f"leek{hostile}s")
    assert cleaned.isprintable()
    assert not set(hostile) & set(cleaned) - set("[2J]0;title31m")


@pytest.mark.parametrize("text", HARD)
def test_cleaned_text_is_composed_and_no_longer_than_the_limit(text: str) -> None:
    cleaned = clean(text)
    assert unicodedata.is_normalized("NFC", cleaned)
    assert len(cleaned) <= LIMIT


def test_brackets_are_kept_as_they_were_typed() -> None:
    assert clean("50% [x] [/]") == "50% [x] [/]"


def test_a_letter_and_its_accent_become_one_letter() -> None:
    assert clean("cafe\u0301") == "café"


def test_a_pile_of_marks_is_cut_down_to_a_few() -> None:
    piled = clean("q" + "\u0335" * 300 + "u")
    assert piled == "q" + "\u0335" * MARKS + "u"


def test_line_ends_stay_only_where_lines_are_wanted() -> None:
    assert clean("one\r\ntwo\nthree", lines=True) == "one\ntwo\nthree"
    assert "\n" not in clean("one\ntwo")


def test_a_tab_or_a_line_end_keeps_two_words_apart() -> None:
    assert clean("one\ttwo\nthree\u00a0four") == "one two three four"


def test_a_limit_cuts_the_text() -> None:
    assert clean("abcdef", 3) == "abc"
    assert clean("äbcdef", 3) == "äbc"


@given(st.text())
@settings(max_examples=200, deadline=None, derandomize=True)
def test_cleaning_twice_changes_nothing(text: str) -> None:
    assert clean(clean(text)) == clean(text)


@given(st.text(), st.booleans())
@settings(max_examples=200, deadline=None, derandomize=True)
def test_cleaned_text_is_printable(text: str, lines: bool) -> None:
    assert clean(text, lines=lines).replace("\n", "").isprintable()


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
