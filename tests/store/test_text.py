"""Text that people typed never steers the terminal, whichever screen or paper shows it."""

import unicodedata

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.text import LIMIT, MARKS, clean
from tests.hard_text import HARD


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
