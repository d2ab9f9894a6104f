"""The check letter of every tray number, against an independent implementation of the published rule."""

from random import Random

import pytest

from model.errors import BadInput
from model.labels import HIGHEST, LETTERS, label, letter_of, misread, one_slip, read_label

EVERY_NUMBER = range(HIGHEST + 1)


def as_digits(number: int) -> str:
    return f"{number:04d}"


def test_every_letter_is_the_one_of_the_published_rule() -> None:
    dni = pytest.importorskip("stdnum.es.dni")
    differing = [n for n in EVERY_NUMBER if dni.calc_check_digit(f"{n:08d}") != letter_of(n)]
    assert len(EVERY_NUMBER) == 10_000
    assert differing == []


def test_every_single_wrong_digit_changes_the_letter() -> None:
    tried = 0
    for number in EVERY_NUMBER:
        digits = as_digits(number)
        for at in range(4):
            for wrong in "0123456789":
                if wrong == digits[at]:
                    continue
                tried += 1
                slip = int(digits[:at] + wrong + digits[at + 1 :])
                assert letter_of(slip) != letter_of(number), (number, slip)
    assert tried == 10_000 * 4 * 9
    print("single wrong digits caught:", tried)


def test_every_swap_of_two_neighbouring_digits_changes_the_letter() -> None:
    tried = 0
    for number in EVERY_NUMBER:
        digits = as_digits(number)
        for at in range(3):
            if digits[at] == digits[at + 1]:
                continue
            tried += 1
            slip = int(digits[:at] + digits[at + 1] + digits[at] + digits[at + 2 :])
            assert letter_of(slip) != letter_of(number), (number, slip)
    assert tried == 3 * 9_000
    print("swaps of neighbours caught:", tried)


def test_every_label_is_read_as_its_own_number() -> None:
    assert all(read_label(label(number)) == number for number in EVERY_NUMBER)


@pytest.mark.parametrize("typed", ["43", " 43 ", "43C", "43c", "43 c", "0043"])
def test_a_label_is_read_with_or_without_its_letter(typed: str) -> None:
    assert label(43) == "43C"
    assert read_label(typed) == 43


def test_the_letter_of_another_tray_is_refused_and_the_right_one_named() -> None:
    with pytest.raises(BadInput, match="43 ends in C, not in W") as refusal:
        read_label("43" + letter_of(48))
    assert "one digit or the letter is wrong" in refusal.value.what_to_do


def test_of_ten_thousand_random_slips_none_is_taken_and_every_right_label_is_asked_about() -> None:
    chance, asked = Random(10_000), 0
    for _ in range(10_000):
        number = chance.randint(1, HIGHEST)
        slip = chance.choice(sorted(one_slip(number)))
        with pytest.raises(BadInput) as refusal:
            read_label(f"{slip}{letter_of(number)}", among=range(1, HIGHEST + 1))
        asked += label(number) in refusal.value.what_to_do
    assert asked == 10_000
    print("random slips asked about:", asked)


@pytest.mark.long
def test_every_slip_is_one_slip_away_both_ways() -> None:
    for number in range(1, HIGHEST + 1):
        assert number not in one_slip(number)
        assert all(number in one_slip(slip) for slip in one_slip(number)), number


def test_a_label_that_was_misread_is_asked_about() -> None:
    assert misread(43, letter_of(48)) == (48,)
    assert sorted(n for letter in LETTERS for n in misread(43, letter)) == sorted(one_slip(43))
    with pytest.raises(BadInput, match=r"43 ends in C, not in W. Read the label again: 43C or 48W\?"):
        read_label("43W", among=[43, 48, 57])


@pytest.mark.parametrize("typed", ["", "Q", "12345", "-3", "4.3", "43CQ", "4 3", "43Ñ", "43[b]"])
def test_what_is_no_label_is_refused(typed: str) -> None:
    with pytest.raises(BadInput, match="is no tray number"):
        read_label(typed)
