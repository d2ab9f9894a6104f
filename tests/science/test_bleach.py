"""Bleach baths against worked examples."""

import pytest

from model.errors import BadInput
from model.science.bleach import bath, parts_of_water, strength_after


def test_one_part_in_ten_of_household_bleach() -> None:
    # UMass Extension, as the University of Delaware quotes it: 1 + 9 of 5.25 % bleach, which it calls 0.5 %.
    assert parts_of_water(5.25, 0.525) == pytest.approx(9.0)


def test_a_stronger_bottle_takes_more_water() -> None:
    # By hand: 8.25/0.5 - 1 = 15.5; 10 L / 16.5 = 0.606 L.
    made = bath(8.25, 0.5, 10)
    assert made.parts == pytest.approx(15.5)
    assert made.bleach_l == pytest.approx(0.606, abs=0.0005)
    assert made.water_l == pytest.approx(9.394, abs=0.0005)
    assert made.bleach_l + made.water_l == pytest.approx(10)


@pytest.mark.parametrize(("hours", "percent"), [(0, 0.5), (2, 0.25), (4, 0.125), (1, 0.5 / 2**0.5)])
def test_a_bath_loses_half_its_strength_in_two_hours(hours: float, percent: float) -> None:
    # UMass Extension: half after two hours.
    assert strength_after(0.5, hours) == pytest.approx(percent)


@pytest.mark.parametrize(
    ("label", "strength", "litres", "words"),
    [
        (0, 0.5, 10, "A label of 0 % isn't household bleach."),
        (40, 0.5, 10, "A label of 40 % isn't household bleach."),
        (5.25, 6, 10, "A bath of 6 % can't be made of 5.25 % bleach."),
        (5.25, 0, 10, "A bath of 0 % can't be made of 5.25 % bleach."),
        (5.25, 0.5, 0, "A bath of 0 L can't be."),
    ],
)
def test_what_cant_be_mixed_is_refused_with_what_to_do(
    label: float, strength: float, litres: float, words: str
) -> None:
    with pytest.raises(BadInput) as refused:
        bath(label, strength, litres)
    assert refused.value.what_happened == words
    assert refused.value.what_to_do


def test_a_time_before_the_bath_is_refused() -> None:
    with pytest.raises(BadInput):
        strength_after(0.5, -1)
