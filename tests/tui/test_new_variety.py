"""What is typed of a variety: a part of its name takes the one on record, and a new one is asked about."""

from pathlib import Path

import pytest

from model.text import one_slip
from tests.tui.hand import at_the_farm

NEWEST = (
    "SELECT crop, name FROM sowing JOIN variety ON variety.id = variety_id ORDER BY sowing.id DESC LIMIT 1"
)
VARIETIES = "SELECT count(*) FROM variety"


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("lettuce Pale", ("lettuce", "Pale Ivy")),
        ("tomato ostre", ("tomato", "Ostrel")),
        ("tomato OSTREL", ("tomato", "Ostrel")),
    ],
)
async def test_a_crop_and_the_beginning_of_a_variety_take_the_one_on_record(
    farm: Path, typed: str, meant: tuple[str, str]
) -> None:
    async with at_the_farm(farm) as hand:
        before = hand.rows(VARIETIES)
        await hand.type(f"s{typed}⏎y")
        assert hand.rows(NEWEST) == [meant]
        assert hand.rows(VARIETIES) == before


async def test_a_beginning_that_several_of_the_crop_share_is_refused_with_their_names(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("slettuce/Pale Rose⏎y⏎⏎⏎⏎⏎⏎⏎")
        assert hand.rows(NEWEST) == [("lettuce", "Pale Rose")]
        await hand.type("slettuce pale⏎")
        refused = " ".join(hand.refused.split())
        assert refused.startswith("'lettuce pale' could be lettuce Pale "), refused
        assert "lettuce Pale Ivy" in refused
        assert "lettuce Pale Rose" in refused


@pytest.mark.parametrize("typed", ["tomato ostrell", "tomato Otsrel", "lettuce Ivy", "lettuce/Pale"])
async def test_a_name_like_one_on_record_is_asked_about_and_enter_takes_nothing(
    farm: Path, typed: str
) -> None:
    async with at_the_farm(farm) as hand:
        before, since = hand.rows(VARIETIES), hand.last_act
        await hand.type(f"s{typed}⏎")
        assert "A new variety, " in hand.shown
        assert "On record: " in hand.shown
        await hand.type("⏎⏎⏎⏎⏎")
        assert hand.refused.startswith("Nothing was typed.")
        assert (hand.rows(VARIETIES), hand.last_act) == (before, since)


async def test_a_part_of_a_name_is_a_new_one_where_the_grower_says_so(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("slettuce/Pale⏎y⏎⏎⏎⏎⏎⏎⏎")
        assert hand.rows(NEWEST) == [("lettuce", "Pale")]


async def test_what_was_sown_and_taken_back_is_offered_no_more(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("stomato Amber Row⏎y⏎⏎⏎packet 7⏎⏎⏎⏎")
        assert hand.rows(NEWEST) == [("tomato", "Amber Row")]
        await hand.type("us")
        assert "Amber Row" not in hand.shown.split("Sow what?")[1]
        await hand.type("tomato Amber Row⏎")
        assert "A new variety, tomato Amber Row?" in hand.shown


async def test_seed_and_targets_ask_about_a_new_variety_too(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        for keys in ("nG", "␛Aa", "␛=aplot 4⏎"):
            await hand.type(f"{keys}tomato Ostrell⏎")
            assert "A new variety, tomato Ostrell? On record: tomato Ostrel." in hand.shown
            await hand.press("escape")


@pytest.mark.parametrize(
    ("word", "other", "apart"),
    [
        ("ostrel", "ostrell", True),
        ("ostrel", "otsrel", True),
        ("ostrel", "astrel", True),
        ("ostrel", "ostel", True),
        ("ostrel", "ostrel", True),
        ("", "a", True),
        ("ostrel", "otsral", False),
        ("rook", "rill", False),
        ("", "ab", False),
    ],
)
def test_one_slip_of_the_finger(word: str, other: str, apart: bool) -> None:
    assert one_slip(word, other) is one_slip(other, word) is apart
