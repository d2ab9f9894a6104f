"""The comparer that every published value goes through, and the constants that carry their source."""

import pytest

from model.science.root_fill import HOLDS_FILL
from tests.science.published import Published, assert_published


def test_a_value_that_rounds_to_the_printed_digit_passes_and_the_next_fails():
    case = Published("a book", "table 1", "days", 6.86, 0.01)
    assert_published(case, 6.8649)
    with pytest.raises(AssertionError, match="off by"):
        assert_published(case, 6.8651)


def test_a_wider_tolerance_needs_its_reason():
    with pytest.raises(AssertionError, match="needs a reason"):
        assert_published(Published("a book", "table 1", "days", 6.86, 0.01, tolerance=0.02), 6.86)


def test_a_sourced_constant_is_a_number_when_asked():
    assert float(HOLDS_FILL) == HOLDS_FILL.value == 0.30
    assert HOLDS_FILL.unit == "fraction"
    assert HOLDS_FILL.quality == "assumed"
