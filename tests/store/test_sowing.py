"""Sowing and resowing: what is put on record, and which numbers trays get."""

import pytest

from model.actions import growth, record, shift, sow
from model.actions.sow import Sow, SowPart
from model.errors import BadInput, NotEnough
from model.facts import ActKind, LossCause, Mark, Stay, Treated, Vessel
from model.labels import HIGHEST
from model.store import reading
from model.store.database import Store, rows_of
from tests.builders import TODAY, day
from tests.conftest import StampMaker
from tests.store.every_action import part_of
from tests.store.looking import acts_of_entry, said, the_sowing, the_tray
from tests.store.names import FLAT, KALE, MAT, SLATS, TOMATO

Ids = dict[str, int]


def a_wish(containers: Ids, *parts: SowPart, **changes: object) -> Sow:
    values: dict[str, object] = {
        "container_id": containers["72-cell tray"],
        "place_id": MAT,
        "sown_on": TODAY,
    }
    return Sow(parts=parts or (SowPart("tomato", "Ostrel", 72),), **(values | changes))  # type: ignore[arg-type]


def test_a_sowing_is_put_on_record_with_all_that_is_needed_later(
    store: Store, stamp: StampMaker, containers: Ids
) -> None:
    part = SowPart("tomato", "Ostrel", 70, 2, "A1")
    receipt = sow.sow(store, stamp(), a_wish(containers, part, sown_on=day(-3)))
    assert receipt.words == "sowed 1R tomato Ostrel, 72-cell tray, mat"
    tray, sowing = the_tray(store, 1), the_sowing(store, 1)
    assert (tray.number, tray.made_on, tray.seen) == (1, day(-3), Mark(day(-3), "Wren"))
    assert tray.stays == (Stay(MAT, day(-3)),)
    assert tray.vessels == (Vessel(containers["72-cell tray"], day(-3)),)
    assert (sowing.crop, sowing.variety, sowing.lot, sowing.treated) == (
        "tomato",
        "Ostrel",
        "A1",
        Treated.UNKNOWN,
    )
    assert (sowing.cells, sowing.seeds_per_cell, sowing.sown_on, sowing.have) == (70, 2, day(-3), 70)
    assert said(acts_of_entry(store, receipt.entry_id), "kind", "day", "count") == [
        (ActKind.SOWN, day(-3), 70)
    ]


def test_a_flat_in_thirds_holds_three_sowings_in_their_order(bench: Store) -> None:
    sowings = the_tray(bench, FLAT).sowings
    assert [(s.part, s.crop, s.cells) for s in sowings] == [
        (1, "lettuce", 24),
        (2, "mustard", 24),
        (3, "arugula", 24),
    ]


def test_a_variety_and_a_lot_are_put_on_record_once(store: Store, stamp: StampMaker, containers: Ids) -> None:
    for part in (SowPart("tomato", "Ostrel", 9, 1, "A1"), SowPart(" tomato ", "Ostrel ", 9, 1, "A1")):
        sow.sow(store, stamp(), a_wish(containers, part))
    with store.reading() as rows:
        assert [(v.crop, v.name) for v in reading.varieties(rows)] == [("tomato", "Ostrel")]
        assert [(lot.name, lot.treated) for lot in reading.lots(rows)] == [("A1", Treated.UNKNOWN)]
    assert the_sowing(store, 2).variety == "Ostrel"


def treat(store: Store, lot: str) -> None:
    with store.transaction() as session:
        rows_of(session)("UPDATE lot SET treated = 'yes' WHERE name = ?", lot)


def test_treated_seed_goes_into_cells_but_never_into_a_flat_that_is_eaten(
    store: Store, stamp: StampMaker, containers: Ids
) -> None:
    part = SowPart("lettuce", "Marrel", 60, 1, "L9")
    sow.sow(store, stamp(), a_wish(containers, part))
    treat(store, "L9")
    sow.sow(store, stamp(), a_wish(containers, part))
    assert the_sowing(store, 2).treated is Treated.YES
    flat = a_wish(containers, part, container_id=containers["open flat"])
    with pytest.raises(BadInput, match="Lot L9 is treated seed and this flat is cut to be eaten"):
        sow.sow(store, stamp(), flat)
    onions = SowPart("onion", "Drumlin", 60, 1, "O1")
    sow.sow(store, stamp(), a_wish(containers, onions))
    treat(store, "O1")
    sow.sow(store, stamp(), a_wish(containers, onions, container_id=containers["open flat"]))


def test_a_flat_is_not_resown_with_treated_seed_nor_corrected_into_an_eaten_one(
    store: Store, stamp: StampMaker, containers: Ids
) -> None:
    onions = SowPart("onion", "Drumlin", 60, 1, "O1")
    sow.sow(store, stamp(), a_wish(containers, onions))
    treat(store, "O1")
    flat = sow.sow(store, stamp(), a_wish(containers, onions, container_id=containers["open flat"]))
    (flat_id,) = flat.tray_ids
    lettuce = SowPart("lettuce", "Marrel", 60, 1, "L9")
    sow.sow(store, stamp(), a_wish(containers, lettuce))
    treat(store, "L9")
    with pytest.raises(BadInput, match="Lot L9 is treated"):
        sow.resow(store, stamp(), flat_id, None, SowPart("lettuce", "Marrel", 20, 1, "L9"))
    with pytest.raises(BadInput, match="Lot O1 is treated"):
        record.correct_sowing(store, stamp(), flat_id, None, "variety", "lettuce/Marrel")


def numbers(store: Store) -> list[int]:
    with store.reading() as rows:
        return [tray.number for tray in reading.standing_trays(rows)]


def test_a_tray_takes_the_number_after_the_newest_and_after_the_highest_begins_again(
    store: Store, stamp: StampMaker, containers: Ids
) -> None:
    for number in (None, 1207, None, HIGHEST, None, None):
        sow.sow(store, stamp(), a_wish(containers, number=number))
    assert numbers(store) == [1, 1207, 1208, HIGHEST, 2, 3]


def test_a_number_that_stands_on_a_living_tray_is_refused_and_the_next_free_one_named(
    bench: Store, stamp: StampMaker, containers: Ids
) -> None:
    with pytest.raises(BadInput, match="Tray 2W is still standing") as refusal:
        sow.sow(bench, stamp(), a_wish(containers, number=2))
    assert refusal.value.what_to_do == "The next free number is 4G."


def test_a_number_is_free_again_when_its_tray_is_gone(
    bench: Store, stamp: StampMaker, containers: Ids
) -> None:
    shift.set_out(bench, stamp(), KALE, None, 72)
    sow.sow(bench, stamp(), a_wish(containers, number=3))
    assert numbers(bench) == [1, 2, 3]
    with bench.reading() as rows:
        assert [tray.id for tray in reading.trays_numbered(rows, 3)] == [4, KALE]


def test_a_number_that_was_taken_back_is_offered_again(
    bench: Store, stamp: StampMaker, containers: Ids
) -> None:
    sow.sow(bench, stamp(), a_wish(containers))
    record.undo(bench, stamp(), "UTC")
    sow.sow(bench, stamp(), a_wish(containers))
    assert numbers(bench) == [1, 2, 3, 4]


def test_when_every_number_is_in_use_a_sowing_is_refused(
    bench: Store, stamp: StampMaker, containers: Ids, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(reading, "HIGHEST", 3)
    with pytest.raises(BadInput, match="Every tray number is in use"):
        sow.sow(bench, stamp(), a_wish(containers))


def test_resown_cells_are_a_second_sowing_in_the_same_tray_with_its_own_day(
    bench: Store, stamp: StampMaker
) -> None:
    receipt = sow.resow(bench, stamp(day=day(-2)), KALE, None, SowPart("kale", "Rill", 12, 2, "K2"))
    assert receipt.words == "resowed 12 of 3A with kale Rill"
    assert said(acts_of_entry(bench, receipt.entry_id), "kind", "day", "count", "cause") == [
        (ActKind.LOST, day(-2), 12, LossCause.NOT_UP),
        (ActKind.RESOWN, day(-2), 12, None),
    ]
    first, again = the_tray(bench, KALE).sowings
    assert (first.sown_on, first.lost, first.have) == (day(-30), 12, 60)
    assert (again.part, again.sown_on, again.variety, again.seeds_per_cell) == (2, day(-2), "Rill", 2)
    assert again.have == 12


def test_cells_that_a_count_found_empty_are_resown_without_losing_a_plant(
    bench: Store, stamp: StampMaker
) -> None:
    growth.count_stand(bench, stamp(), KALE, None, 60)
    sow.resow(bench, stamp(), KALE, None, SowPart("kale", "Rill", 12))
    first, again = the_tray(bench, KALE).sowings
    assert (first.empty, first.lost, first.have, again.have) == (0, 12, 60, 12)
    with pytest.raises(NotEnough, match="has 60 cells of Sedge Blue, not 61"):
        sow.resow(bench, stamp(), KALE, part_of(bench, KALE, 1), SowPart("kale", "Rill", 61))


def test_a_resowing_that_was_taken_back_can_be_entered_again(bench: Store, stamp: StampMaker) -> None:
    for _ in range(2):
        sow.resow(bench, stamp(), KALE, None, SowPart("kale", "Rill", 12))
        record.undo(bench, stamp(), "UTC")
    sow.resow(bench, stamp(), KALE, None, SowPart("kale", "Rill", 12))
    assert [sowing.have for sowing in the_tray(bench, KALE).sowings] == [60, 12]


def test_a_crop_of_the_growers_own_is_welcome(store: Store, stamp: StampMaker, containers: Ids) -> None:
    sow.sow(store, stamp(), a_wish(containers, SowPart("oca", "Red", 10, 1, "X")))
    sow.sow(
        store,
        stamp(),
        a_wish(containers, SowPart("oca", "Red", 10, 1, "X"), container_id=containers["open flat"]),
    )
    assert the_sowing(store, 2).crop == "oca"


def test_plants_of_a_tray_that_is_gone_are_not_resown(bench: Store, stamp: StampMaker) -> None:
    shift.lose(bench, stamp(), TOMATO, None, 72, LossCause.NOT_UP)
    with pytest.raises(BadInput, match="Tray 1R is gone since Tue 14 Apr"):
        sow.resow(bench, stamp(), TOMATO, None, SowPart("tomato", "Ostrel", 72))
    assert the_tray(bench, TOMATO).place_id == MAT
    assert the_tray(bench, KALE).place_id == SLATS
