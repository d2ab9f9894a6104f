"""Seed lots: what is kept of a packet, and what follows for the flats that were sown from it."""

from dataclasses import replace
from pathlib import Path

import pytest

from model.actions import growth, record, seed, sow
from model.actions.files import export_folder, import_folder
from model.actions.seed import SeedLot
from model.actions.sow import SowPart
from model.errors import BadInput
from model.facts import Treated
from model.store.database import Store
from model.views.choices import read_choices
from tests.builders import TODAY, day
from tests.conftest import StampMaker
from tests.store.looking import kept, kept_anew, state, the_tray
from tests.store.names import SLATS

Ids = dict[str, int]


def test_a_lot_is_kept_once_and_put_right_by_its_name(bench: Store, stamp: StampMaker) -> None:
    seed.keep_lot(bench, stamp(), SeedLot("lettuce", "Marrel", "M9", 2025, 20, 9, day(-3)))
    seed.keep_lot(bench, stamp(), SeedLot("lettuce", "Marrel", "M9", 2024, 20, 11, day(-1), Treated.NO))
    (lot,) = [lot for lot in read_choices(bench).lots if lot.name == "M9"]
    assert (lot.packed_year, lot.tested, lot.tested_on, lot.treated) == (
        2024,
        "11 of 20 up",
        day(-1),
        Treated.NO,
    )


@pytest.mark.parametrize("sown_first", [True, False])
def test_a_lot_is_one_whether_it_is_sown_or_told_of_first(
    bench: Store, stamp: StampMaker, containers: Ids, sown_first: bool
) -> None:
    part = SowPart("lettuce", "Marrel", 100, 1, " M9")
    wish = sow.Sow(containers["72-cell tray"], SLATS, (replace(part, cells=72),), day(-3))
    if sown_first:
        sow.sow(bench, stamp(), wish)
    seed.keep_lot(bench, stamp(), SeedLot("lettuce", "Marrel", "M9 ", treated=Treated.YES))
    if not sown_first:
        sow.sow(bench, stamp(), wish)
    assert [lot.treated for lot in read_choices(bench).lots if lot.name == "M9"] == [Treated.YES]
    assert the_tray(bench, 4).sowings[0].treated is Treated.YES
    flat = sow.Sow(containers["open flat"], SLATS, (part,), TODAY)
    with pytest.raises(BadInput, match="Lot M9 is treated seed"):
        sow.sow(bench, stamp(), flat)


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
def test_what_can_not_be_is_refused_and_nothing_is_kept(
    bench: Store, stamp: StampMaker, lot: SeedLot, word: str
) -> None:
    before = read_choices(bench).lots
    with pytest.raises(BadInput, match=word):
        seed.keep_lot(bench, stamp(), lot)
    assert read_choices(bench).lots == before


def test_a_flat_that_is_sown_is_not_cut_once_its_lot_turns_out_to_be_treated(
    bench: Store, stamp: StampMaker, containers: Ids
) -> None:
    part = SowPart("lettuce", "Marrel", 100, 1, "M9")
    wish = sow.Sow(containers["open flat"], SLATS, (part,), day(-30))
    flat = sow.sow(bench, stamp(), wish).tray_ids[0]
    growth.cut(bench, stamp(), flat)
    seed.keep_lot(bench, stamp(), SeedLot("lettuce", "Marrel", "M9", treated=Treated.YES))
    with pytest.raises(BadInput, match="treated seed, which is never cut"):
        growth.cut(bench, stamp(), flat)


def test_a_lot_is_put_right_on_a_day_before_its_test(bench: Store, stamp: StampMaker) -> None:
    seed.keep_lot(bench, stamp(), SeedLot("lettuce", "Marrel", "M9", 2025, 20, 9, TODAY))
    seed.keep_lot(
        bench, replace(stamp(), today=day(-5)), SeedLot("lettuce", "Marrel", "M9", 2024, 20, 9, TODAY)
    )
    with pytest.raises(BadInput, match="still to come"):
        seed.keep_lot(
            bench, replace(stamp(), today=day(-5)), SeedLot("lettuce", "Marrel", "M9", 2024, 20, 9, day(-1))
        )
    (lot,) = [lot for lot in read_choices(bench).lots if lot.name == "M9"]
    assert (lot.packed_year, lot.tested_on) == (2024, TODAY)


# A test is an entry like any other.


def test_a_test_is_taken_back_and_brought_back_and_the_lot_is_as_it_was(
    bench: Store, stamp: StampMaker
) -> None:
    seed.keep_lot(bench, stamp(), SeedLot("lettuce", "Marrel", "M9", 2025))
    before = read_choices(bench).lots
    wish = SeedLot("lettuce", "Marrel", "M9", 2025, 20, 9, TODAY, Treated.NO, 20.0)
    receipt = seed.keep_lot(bench, stamp(), wish)
    assert receipt.words == ("seed lot M9 of lettuce Marrel: 9 of 20 came up: somewhere 23-68 %, not treated")
    after = read_choices(bench).lots
    assert [(lot.tested, lot.tested_c, lot.treated) for lot in after if lot.name == "M9"] == [
        ("9 of 20 up", 20.0, Treated.NO)
    ]
    assert record.undo(bench, stamp(), "UTC").words == f"took back: {receipt.words}"
    assert read_choices(bench).lots == before
    record.redo(bench, stamp(), "UTC")
    assert read_choices(bench).lots == after


def test_a_lot_that_is_taken_back_is_offered_no_more_and_comes_back_under_its_name(
    bench: Store, stamp: StampMaker
) -> None:
    before = read_choices(bench).lots
    seed.keep_lot(bench, stamp(), SeedLot("lettuce", "Marrel", "M9", 2025, 20, 9, TODAY))
    record.undo(bench, stamp(), "UTC")
    assert read_choices(bench).lots == before
    seed.keep_lot(bench, stamp(), SeedLot("lettuce", "Marrel", "M9", 2024))
    (lot,) = set(read_choices(bench).lots) - set(before)
    assert (lot.name, lot.packed_year, lot.tested) == ("M9", 2024, "")


def test_a_test_and_a_year_can_be_taken_away_again(bench: Store, stamp: StampMaker) -> None:
    seed.keep_lot(bench, stamp(), SeedLot("lettuce", "Marrel", "M9", 2025, 20, 9, TODAY, Treated.NO, 20.0))
    receipt = seed.keep_lot(bench, stamp(), SeedLot("lettuce", "Marrel", "M9", treated=Treated.NO))
    assert receipt.words.endswith("packed nobody knows when, not tested")
    (lot,) = [lot for lot in read_choices(bench).lots if lot.name == "M9"]
    assert (lot.packed_year, lot.tested_seeds, lot.tested_up, lot.tested_on, lot.tested_c) == (None,) * 5
    assert lot.treated is Treated.NO


def test_what_is_on_record_already_makes_no_entry(bench: Store, stamp: StampMaker) -> None:
    wish = SeedLot("lettuce", "Marrel", "M9", 2025, 20, 9, TODAY)
    seed.keep_lot(bench, stamp(), wish)
    before = state(bench)
    with pytest.raises(BadInput, match="M9 is on record like that"):
        seed.keep_lot(bench, stamp(), wish)
    assert state(bench) == before


def test_taking_back_that_seed_is_treated_lets_its_flat_be_cut_again(
    bench: Store, stamp: StampMaker, containers: Ids
) -> None:
    part = SowPart("lettuce", "Marrel", 100, 1, "M9")
    flat = sow.sow(bench, stamp(), sow.Sow(containers["open flat"], SLATS, (part,), day(-30))).tray_ids[0]
    receipt = seed.keep_lot(bench, stamp(), SeedLot("lettuce", "Marrel", "M9", treated=Treated.YES))
    assert receipt.tray_ids == (flat,)
    assert the_tray(bench, flat).sowings[0].treated is Treated.YES
    record.undo(bench, stamp(), "UTC")
    assert the_tray(bench, flat).sowings[0].treated is Treated.UNKNOWN
    growth.cut(bench, stamp(), flat)
    now = kept(bench)
    assert kept_anew(bench) == now


def test_a_test_of_few_seeds_is_kept_and_says_how_little_it_tells(bench: Store, stamp: StampMaker) -> None:
    receipt = seed.keep_lot(bench, stamp(), SeedLot("lettuce", "Marrel", "M9", None, 3, 2, TODAY))
    # Exact 95 % limits of 2 of 3: 9 to 99 % (Clopper and Pearson 1934).
    assert receipt.words.endswith("2 of 3 came up: somewhere 9-99 %, too few to tell: test 20 to 50 seeds")


def test_what_is_told_of_lots_goes_out_and_comes_in_again(
    bench: Store, stamp: StampMaker, tmp_path: Path
) -> None:
    seed.keep_lot(bench, stamp(), SeedLot("lettuce", "Marrel", "M9", 2025, 20, 9, TODAY, Treated.NO, 20.5))
    seed.keep_lot(bench, stamp(), SeedLot("lettuce", "Marrel", "M9", 2025, 20, 11, TODAY, Treated.YES))
    export_folder(bench, tmp_path / "out")
    again = import_folder(tmp_path / "again.db", tmp_path / "out")
    assert read_choices(again).lots == read_choices(bench).lots
    export_folder(again, tmp_path / "out2")
    assert (tmp_path / "out2" / "packets.csv").read_bytes() == (tmp_path / "out" / "packets.csv").read_bytes()
    again.close()
