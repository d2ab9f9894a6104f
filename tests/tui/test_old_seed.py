"""An old lot: what its test says before it is sown, and after it came up far too thin."""

import sqlite3
from datetime import date
from pathlib import Path

import pytest

from model.crops import load_crops
from model.rules.seeding import Packet, failed, old_seed, packet_words, seeds_for, spread_words
from model.science.quantities import SeedTest
from tests.builders import a_crop, day
from tests.rules.builders import up
from tests.tui.hand import at_the_farm

MARREL = SeedTest(9, 20)
"""Lot LM-23 of the demo farm: packed 2023, 9 of 20 came up."""


@pytest.mark.parametrize(
    ("sprouted", "tested", "limits"),
    # Exact limits (Clopper and Pearson 1934), by scipy's binomtest.
    [(9, 20, "23-68"), (8, 10, "44-97"), (16, 20, "56-94"), (40, 50, "66-90")],
)
def test_a_test_is_told_with_what_it_leaves_open(sprouted: int, tested: int, limits: str) -> None:
    words = spread_words(SeedTest(sprouted, tested))
    assert words == f"{sprouted} of {tested} came up: somewhere {limits} %"


@pytest.mark.parametrize(
    ("sprouted", "seeds"),
    # By hand, for four cells in five: 1 - 0.55^2 = 0.70 and 1 - 0.55^3 = 0.83; 1 - 0.3^2 = 0.91; 0 needs more than any.
    [(9, 3), (14, 2), (20, 1), (0, 3)],
)
def test_weak_seed_takes_more_seeds_a_cell(sprouted: int, seeds: int) -> None:
    assert seeds_for(a_crop(seeds_per_gram=20.0), SeedTest(sprouted, 20)) == seeds


def test_an_old_lot_without_a_test_is_told_to_be_tested() -> None:
    on = date(2026, 4, 14)
    assert packet_words(Packet("x", 2023), on) == "packed 2023, not tested: test it, 20 to 50 seeds"
    assert packet_words(Packet("x", 2024), on) == ""
    assert packet_words(Packet("x"), on) == ""


def test_a_stand_has_failed_only_past_the_slow_end_and_far_below_the_trade() -> None:
    crop = load_crops()["lettuce"]
    thin = up("lettuce", 3, days=12, cells=128, counts=((day(0), 21),))
    assert failed(crop, thin, day(-1), day(0))
    assert not failed(crop, thin, day(0), day(0))
    # Counted while a slow lot still comes up, and never again: nobody knows how many there are.
    assert not failed(crop, thin, day(1), day(3))
    assert failed(
        crop, up("lettuce", 3, days=12, cells=128, counts=((day(0), 21), (day(2), 30))), day(1), day(3)
    )
    assert not failed(crop, up("lettuce", 3, days=12, cells=128), day(1), day(3))
    assert failed(crop, up("lettuce", 3, days=12, cells=128, first_up=None, half_up=None), day(1), day(3))
    assert not failed(crop, up("lettuce", 3, days=12, cells=128, counts=((day(0), 90),)), day(-1), day(0))


def test_old_seed_is_likely_only_where_age_or_test_says_so() -> None:
    crop, on = load_crops()["lettuce"], date(2026, 4, 14)
    found = old_seed(crop, Packet("LM-23", 2023, MARREL), on)
    assert found == "old seed likely: lot packed 2023, 9 of 20 in a test"
    assert old_seed(crop, Packet("y", 2020), on) == "old seed likely: lot packed 2020, never tested"
    assert old_seed(crop, Packet("y", 2025, SeedTest(18, 20)), on) == ""


async def test_the_spread_is_told_and_three_seeds_offered_before_an_old_lot_is_sown(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("nslettuce marrel⏎")
        shown = " ".join(hand.shown.split())
        assert "LM-23 9 of 20 came up: somewhere 23-68 %" in shown
        await hand.type("y")
        shown = " ".join(hand.shown.split())
        assert "3 a cell fill about 83 % of the cells" in shown
        assert "1 a cell fills about 45 % of the cells" in shown
        await hand.type("m")
        assert hand.rows("SELECT cells, seeds_per_cell FROM sowing ORDER BY id DESC LIMIT 1") == [(128, 3)]


async def test_when_it_fails_old_seed_is_offered_another_lot_comes_first_and_the_lot_is_marked(
    farm: Path,
) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("nslettuce marrel⏎yk")
        ((number,),) = hand.rows("SELECT max(number) FROM tray")
    with sqlite3.connect(farm) as connection:
        connection.execute(
            "INSERT INTO lot (variety_id, name, packed_year, treated, source) SELECT id, 'LM-26', 2026, 'no', '' "
            "FROM variety WHERE name = 'Marrel'"
        )
    async with at_the_farm(farm, on=date(2026, 5, 4)) as hand:
        label = hand.line(int(str(number))).label
        await hand.type(f"n{label}k21⏎x21⏎")
        assert "old seed likely: lot packed 2023, 9 of 20 in a test" in " ".join(hand.shown.split())
        await hand.press("o")
        lost = hand.rows("SELECT cause, text FROM act WHERE kind = 'lost' ORDER BY id DESC LIMIT 1")
        assert lost == [("didn't come up", "old seed likely: lot packed 2023, 9 of 20 in a test")]
        await hand.type("u")
        await hand.type("R107⏎⏎")
        assert "LM-26" in hand.shown
        await hand.type("⏎")
        assert hand.rows("SELECT lot.name FROM sowing JOIN lot ON lot.id = lot_id ORDER BY sowing.id DESC LIMIT 1") == [
            ("LM-26",)
        ]  # fmt: skip
        await hand.type("Glettuce marrel⏎")
        assert "LM-23 9 of 20 came up: somewhere 23-68 % use up or bin?" in " ".join(hand.shown.split())
        await hand.type("␛uGlettuce marrel⏎")
        assert "use up or bin?" not in hand.shown
