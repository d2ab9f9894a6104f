"""A germination test as it is typed, and what a small one tells."""

import pytest

from model.errors import BadInput
from model.rules.seeding import below_minimum, read_test, words_of_test
from model.science.quantities import SeedTest


@pytest.mark.parametrize("typed", ["8/10", "8 / 10", "8 of 10", "8 OF 10", "8 10", " 8  10 ", "08 of 010"])
def test_a_test_is_read_as_people_write_it(typed: str) -> None:
    assert read_test(typed) == SeedTest(8, 10)


def test_a_test_is_below_a_minimum_only_where_its_upper_limit_is() -> None:
    # Clopper and Pearson's upper limits: 9 of 20 reach 68.5 %, 12 of 20 80.9 %.
    assert below_minimum(SeedTest(9, 20), 0.80)
    assert not below_minimum(SeedTest(12, 20), 0.80)
    assert not below_minimum(SeedTest(20, 20), 0.99)


@pytest.mark.parametrize("typed", ["0", "-", "none", " NO "])
def test_no_test_is_none(typed: str) -> None:
    assert read_test(typed) is None


@pytest.mark.parametrize(
    "typed",
    ["", "8", "80 %", "8of10", "8-10", "8/10/12", "-8 of 10", "8,10", "8.5/10", "99999 of 99999", "٨/10"],
)
def test_anything_else_is_refused_with_how_to_write_it(typed: str) -> None:
    with pytest.raises(BadInput) as refusal:
        read_test(typed)
    assert "8 of 10" in refusal.value.what_to_do


@pytest.mark.parametrize("typed", ["11 of 10", "1/0", "0/0"])
def test_more_cannot_have_come_up_than_were_laid_out(typed: str) -> None:
    with pytest.raises(BadInput, match="seeds can't have come up"):
        read_test(typed)


def test_fewer_than_ten_seeds_are_said_to_tell_little() -> None:
    # Exact 95 % limits (Clopper and Pearson 1934): 9 of 9 66-100 %, 8 of 10 44-97 %.
    assert (
        words_of_test(SeedTest(9, 9))
        == "9 of 9 came up: somewhere 66-100 %, too few to tell: test 20 to 50 seeds"
    )
    assert words_of_test(SeedTest(8, 10)) == "8 of 10 came up: somewhere 44-97 %"
