"""Seed lots: what is kept of a packet, and what follows for the flats that were sown from it."""

import pytest

from model.actions import growth, seed, sow
from model.actions.seed import SeedLot
from model.actions.sow import SowPart
from model.errors import BadInput
from model.facts import Treated
from model.store.database import Store
from model.views.choices import read_choices
from tests.builders import TODAY, day
from tests.conftest import StampMaker
from tests.store.names import SLATS

Ids = dict[str, int]


def test_a_lot_is_kept_once_and_put_right_by_its_name(bench: Store) -> None:
    seed.keep_lot(bench, SeedLot("lettuce", "Marrel", "M9", 2025, 20, 9, day(-3)), TODAY)
    seed.keep_lot(bench, SeedLot("lettuce", "Marrel", "M9", 2024, 20, 11, day(-1), Treated.NO), TODAY)
    (lot,) = [lot for lot in read_choices(bench, TODAY).lots if lot.name == "M9"]
    assert (lot.packed_year, lot.tested, lot.tested_on, lot.treated) == (
        2024,
        "11 of 20 up",
        day(-1),
        Treated.NO,
    )


@pytest.mark.parametrize(
    ("lot", "word"),
    [
        (SeedLot("lettuce", "Marrel", ""), "isn't complete"),
        (SeedLot("lettuce", "Marrel", "M9", 1492), "no year of a packet"),
        (SeedLot("lettuce", "Marrel", "M9", None, 20, None), "Half of the test"),
        (SeedLot("lettuce", "Marrel", "M9", None, 20, 21), "21 of 20"),
        (SeedLot("lettuce", "Marrel", "M9", None, 20, 2, day(1)), "still to come"),
    ],
)
def test_what_can_not_be_is_refused_and_nothing_is_kept(bench: Store, lot: SeedLot, word: str) -> None:
    before = read_choices(bench, TODAY).lots
    with pytest.raises(BadInput, match=word):
        seed.keep_lot(bench, lot, TODAY)
    assert read_choices(bench, TODAY).lots == before


def test_a_flat_that_is_sown_is_not_cut_once_its_lot_turns_out_to_be_treated(
    bench: Store, stamp: StampMaker, containers: Ids
) -> None:
    part = SowPart("lettuce", "Marrel", 100, 1, "M9")
    wish = sow.Sow(containers["open flat"], SLATS, (part,), day(-30))
    flat = sow.sow(bench, stamp(), wish).tray_ids[0]
    growth.cut(bench, stamp(), flat)
    seed.keep_lot(bench, SeedLot("lettuce", "Marrel", "M9", treated=Treated.YES), TODAY)
    with pytest.raises(BadInput, match="treated seed, which is never cut"):
        growth.cut(bench, stamp(), flat)


def test_a_lot_is_put_right_on_a_day_before_its_test(bench: Store) -> None:
    seed.keep_lot(bench, SeedLot("lettuce", "Marrel", "M9", 2025, 20, 9, TODAY), TODAY)
    seed.keep_lot(bench, SeedLot("lettuce", "Marrel", "M9", 2024, 20, 9, TODAY), day(-5))
    with pytest.raises(BadInput, match="still to come"):
        seed.keep_lot(bench, SeedLot("lettuce", "Marrel", "M9", 2024, 20, 9, day(-1)), day(-5))
    (lot,) = [lot for lot in read_choices(bench, TODAY).lots if lot.name == "M9"]
    assert (lot.packed_year, lot.tested_on) == (2024, TODAY)
