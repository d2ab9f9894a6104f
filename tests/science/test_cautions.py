"""The cautions: one line each, whose word decides, where it comes from, and at which step."""

import pytest

from model.crops.cautions import Caution, load_cautions

LONGEST = 150
"""Characters that are read at a glance: two rows of 80 columns."""
STEPS = {"wash", "mat", "cold night", "sowing", "treated seed", "salad flat", "class", "move"}


@pytest.mark.parametrize("caution", load_cautions(), ids=lambda caution: str(caution.key))
def test_a_caution_is_one_line_that_defers_to_who_decides(caution: Caution) -> None:
    assert 0 < len(caution.words) <= LONGEST
    assert "\n" not in caution.words
    assert "decide" in caution.defers_to
    assert caution.source.strip()


def test_every_step_has_its_caution_and_every_caution_its_step() -> None:
    assert {step for caution in load_cautions() for step in caution.steps} == STEPS
    keys = [caution.key for caution in load_cautions()]
    assert len(keys) == len(set(keys))


def test_bleach_goes_into_water_and_is_never_soured_nor_mixed() -> None:
    (words,) = (caution.words for caution in load_cautions() if caution.key == "bleach")
    for said in (
        "Never with acids, ammonia or any other cleaner",
        "Never sour the bath",
        "Bleach into water",
    ):
        assert said in words
    for said in ("Gloves", "eye cover", "moving air", "children away"):
        assert said in words
