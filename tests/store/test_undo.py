"""Undo and redo: an entry of one's own, of today, newest first, never from under somebody's feet."""

from datetime import UTC, date, datetime

import pytest

from model.actions import growth, record, shift, sow, walk
from model.actions.desk import Stamp
from model.actions.shift import PotUp
from model.actions.sow import Sow, SowPart
from model.errors import StoreTrouble, UndoRefused
from model.facts import ActKind, LossCause
from model.store.database import Store
from tests.builders import TODAY, day
from tests.conftest import StampMaker
from tests.store.every_action import part_of
from tests.store.looking import kept, kept_anew, state, the_tray
from tests.store.names import FLAT, FRAME, KALE, MAT, SHELF, SLATS, TOMATO

Ids = dict[str, int]


def undo(store: Store, stamp: Stamp) -> str:
    return record.undo(store, stamp, "UTC").words


def redo(store: Store, stamp: Stamp) -> str:
    return record.redo(store, stamp, "UTC").words


def assert_refused(store: Store, turn: object, *match: str) -> None:
    before = state(store)
    with pytest.raises(UndoRefused) as refusal:
        turn()  # type: ignore[operator]
    for words in match:
        assert words in str(refusal.value)
    assert state(store) == before


def test_undo_undo_redo_redo_walks_back_and_forth_exactly(bench: Store, stamp: StampMaker) -> None:
    seen = [kept(bench)]
    walk.mark_trays(bench, stamp(), ActKind.WATERED, [KALE])
    seen.append(kept(bench))
    shift.lose(bench, stamp(), KALE, None, 5, LossCause.EATEN)
    seen.append(kept(bench))
    for expected in (1, 0):
        undo(bench, stamp())
        assert kept(bench) == seen[expected]
    for expected in (1, 2):
        redo(bench, stamp())
        assert kept(bench) == seen[expected]
    for expected in (1, 0):
        undo(bench, stamp())
        assert kept(bench) == seen[expected]
    assert_refused(bench, lambda: undo(bench, stamp()), "nothing of Wren's today to take back")
    assert redo(bench, stamp()) == "brought back: watered 3A"
    assert redo(bench, stamp()) == "brought back: lost 5: 3A kale Sedge Blue (eaten)"
    assert_refused(bench, lambda: redo(bench, stamp()), "nothing of Wren's today to bring back")
    assert kept_anew(bench) == seen[2]


def test_nothing_is_brought_back_once_something_new_was_entered(bench: Store, stamp: StampMaker) -> None:
    walk.mark_trays(bench, stamp(), ActKind.WATERED, [KALE])
    undo(bench, stamp())
    walk.mark_trays(bench, stamp(), ActKind.FED, [KALE])
    assert_refused(bench, lambda: redo(bench, stamp()), "nothing of Wren's today to bring back")
    undo(bench, stamp())
    assert redo(bench, stamp()) == "brought back: fed 3A"
    assert_refused(bench, lambda: redo(bench, stamp()), "nothing of Wren's today to bring back")


def test_nothing_was_taken_back_so_nothing_is_brought_back(bench: Store, stamp: StampMaker) -> None:
    assert_refused(bench, lambda: redo(bench, stamp()), "nothing of Wren's today to bring back")


def test_the_entry_of_another_person_is_not_taken(bench: Store, stamp: StampMaker) -> None:
    walk.mark_trays(bench, stamp("Wren"), ActKind.WATERED, [KALE])
    walk.mark_trays(bench, stamp("Jory"), ActKind.FED, [KALE])
    assert undo(bench, stamp("Wren")) == "took back: watered 3A"
    assert the_tray(bench, KALE).fed is not None
    assert_refused(bench, lambda: undo(bench, stamp("Wren")), "nothing of Wren's")
    assert_refused(bench, lambda: redo(bench, stamp("Jory")), "nothing of Jory's")


def test_an_entry_of_yesterday_is_not_taken(bench: Store, stamp: StampMaker) -> None:
    walk.mark_trays(bench, stamp(today=day(-1)), ActKind.WATERED, [KALE])
    assert_refused(bench, lambda: undo(bench, stamp()), "C at the tray corrects the record of an older entry")


def test_an_entry_of_today_for_an_earlier_day_is_taken(bench: Store, stamp: StampMaker) -> None:
    before = kept(bench)
    walk.mark_trays(bench, stamp(day=day(-3)), ActKind.WATERED, [KALE])
    undo(bench, stamp())
    assert kept(bench) == before


@pytest.mark.parametrize(
    ("zone", "entered", "taken"),
    [
        ("America/New_York", datetime(2026, 4, 15, 1, 0, tzinfo=UTC), True),
        ("America/New_York", datetime(2026, 4, 14, 3, 0, tzinfo=UTC), False),
        ("Pacific/Kiritimati", datetime(2026, 4, 13, 12, 0, tzinfo=UTC), True),
        ("Pacific/Kiritimati", datetime(2026, 4, 13, 9, 0, tzinfo=UTC), False),
    ],
)
def test_today_is_the_day_at_the_farm(bench: Store, zone: str, entered: datetime, taken: bool) -> None:
    walk.mark_trays(bench, Stamp("Wren", entered, TODAY, "then"), ActKind.WATERED, [KALE])
    now = Stamp("Wren", datetime(2026, 4, 14, 9, 0, tzinfo=UTC), TODAY, "now")
    if taken:
        assert record.undo(bench, now, zone).words == "took back: watered 3A"
    else:
        assert_refused(bench, lambda: record.undo(bench, now, zone), "nothing of Wren's")


def sow_one(store: Store, stamp: Stamp, containers: Ids, number: int | None = None) -> int:
    wish = Sow(containers["72-cell tray"], MAT, (SowPart("kale", "Rill", 72),), stamp.act_day, number)
    (tray_id,) = sow.sow(store, stamp, wish).tray_ids
    return tray_id


def test_a_sowing_is_not_taken_from_under_a_later_entry(
    bench: Store, stamp: StampMaker, containers: Ids
) -> None:
    tray_id = sow_one(bench, stamp(), containers)
    walk.mark_trays(bench, stamp("Jory"), ActKind.WATERED, [tray_id])
    assert_refused(
        bench,
        lambda: undo(bench, stamp()),
        "It was watered on Tue 14 Apr since",
        "Take back the later entries",
    )
    undo(bench, stamp("Jory"))
    assert undo(bench, stamp()).startswith("took back: sowed 4G")


def test_a_potting_up_is_not_taken_from_under_a_later_entry(
    bench: Store, stamp: StampMaker, containers: Ids
) -> None:
    shift.pot_up(bench, stamp(), TOMATO, None, [PotUp(40, containers["9 cm pot"], SLATS)])
    shift.move(bench, stamp("Jory"), [4], SHELF)
    assert_refused(bench, lambda: undo(bench, stamp()), "It was moved")
    undo(bench, stamp("Jory"))
    undo(bench, stamp())
    assert the_tray(bench, TOMATO).children == ()


def test_a_resowing_is_not_taken_from_under_an_entry_on_its_own_plants(
    bench: Store, stamp: StampMaker
) -> None:
    sow.resow(bench, stamp(), KALE, None, SowPart("kale", "Rill", 12))
    walk.mark_trays(bench, stamp("Jory"), ActKind.WATERED, [KALE])
    growth.first_up(bench, stamp("Jory"), KALE, part_of(bench, KALE, 2))
    assert_refused(bench, lambda: undo(bench, stamp()), "It was first up")
    undo(bench, stamp("Jory"))
    undo(bench, stamp())
    assert len(the_tray(bench, KALE).sowings) == 1
    assert the_tray(bench, KALE).watered is not None, "a watering is of the tray, not of the sowing"


def test_an_entry_is_not_taken_back_where_later_counts_need_it(bench: Store, stamp: StampMaker) -> None:
    growth.count_stand(bench, stamp(), KALE, None, 30)
    growth.count_stand(bench, stamp("Jory"), KALE, None, 20)
    shift.set_out(bench, stamp("Jory"), KALE, None, 20)
    before = kept(bench)
    undo(bench, stamp())
    assert the_tray(bench, KALE).have == 0, "the later count stands on its own"
    redo(bench, stamp())
    assert kept(bench) == before


def test_what_others_have_used_up_since_is_not_brought_back(bench: Store, stamp: StampMaker) -> None:
    shift.set_out(bench, stamp(), KALE, None, 40)
    undo(bench, stamp())
    shift.set_out(bench, stamp("Jory"), KALE, None, 40)
    assert_refused(
        bench, lambda: redo(bench, stamp()), "can't be brought back", "has 32 of Sedge Blue, not 40"
    )


def test_a_correction_is_not_taken_back_where_a_later_entry_needs_it(bench: Store, stamp: StampMaker) -> None:
    record.correct_sowing(bench, stamp(), KALE, None, "sown_on", day(-40).isoformat())
    walk.mark_trays(bench, stamp("Jory", day=day(-35)), ActKind.WATERED, [KALE])
    assert_refused(bench, lambda: undo(bench, stamp()), "can't be taken back", "is before tray 3A was made")


def test_a_number_that_went_to_another_tray_is_not_brought_back(
    bench: Store, stamp: StampMaker, containers: Ids
) -> None:
    sow_one(bench, stamp(), containers)
    undo(bench, stamp())
    sow_one(bench, stamp("Jory"), containers, 4)
    assert_refused(bench, lambda: redo(bench, stamp()), "Two trays 4G would be standing")


def test_an_ended_tray_does_not_come_back_under_a_number_that_was_given_away(
    bench: Store, stamp: StampMaker, containers: Ids
) -> None:
    shift.set_out(bench, stamp(), KALE, None, 72)
    sow_one(bench, stamp("Jory"), containers, 3)
    assert_refused(bench, lambda: undo(bench, stamp()), "Two trays 3A would be standing")


def test_what_was_done_to_a_tray_that_was_taken_back_is_not_brought_back(
    bench: Store, stamp: StampMaker, containers: Ids
) -> None:
    tray_id = sow_one(bench, stamp("Jory"), containers)
    shift.pot_up(bench, stamp(), tray_id, None, [PotUp(9, containers["9 cm pot"], SLATS)])
    undo(bench, stamp())
    undo(bench, stamp("Jory"))
    assert_refused(bench, lambda: redo(bench, stamp()), "That tray isn't on record")
    redo(bench, stamp("Jory"))
    redo(bench, stamp())
    assert the_tray(bench, tray_id).children == (5,)


def test_what_was_done_to_a_sowing_that_was_taken_back_is_not_brought_back(
    bench: Store, stamp: StampMaker, containers: Ids
) -> None:
    sow.resow(bench, stamp("Jory"), KALE, None, SowPart("kale", "Rill", 12))
    growth.first_up(bench, stamp(), KALE, part_of(bench, KALE, 2))
    undo(bench, stamp())
    undo(bench, stamp("Jory"))
    assert_refused(bench, lambda: redo(bench, stamp()), "That sowing isn't on record")
    redo(bench, stamp("Jory"))
    assert redo(bench, stamp()) == "brought back: first up: 3A kale Rill"


def test_a_batch_is_taken_back_as_one(bench: Store, stamp: StampMaker) -> None:
    before = kept(bench)
    shift.move(bench, stamp(), [TOMATO, FLAT, KALE], FRAME)
    assert all(the_tray(bench, tray_id).place_id == FRAME for tray_id in (TOMATO, FLAT, KALE))
    undo(bench, stamp())
    assert kept(bench) == before


def test_trouble_with_the_file_is_told_as_such(
    bench: Store, stamp: StampMaker, monkeypatch: pytest.MonkeyPatch
) -> None:
    walk.mark_trays(bench, stamp(), ActKind.WATERED, [KALE])

    def full(*_: object) -> None:
        raise StoreTrouble("The disk is full.", "Nothing was saved; make room and try once more.")

    monkeypatch.setattr(record, "_tip", full)
    with pytest.raises(StoreTrouble, match="disk is full"):
        undo(bench, stamp())


def test_the_day_of_an_undo_is_told_from_the_stamp_and_not_the_machine(
    bench: Store, stamp: StampMaker
) -> None:
    then = date(2031, 5, 1)
    walk.mark_trays(bench, stamp(today=then), ActKind.WATERED, [KALE])
    assert undo(bench, stamp(today=then)) == "took back: watered 3A"


def test_an_undo_whose_entry_went_to_another_day_with_the_zone_is_not_turned(
    bench: Store, stamp: StampMaker
) -> None:
    early = Stamp("Wren", datetime(2026, 4, 14, 1, 0, tzinfo=UTC), TODAY, "early")
    walk.mark_trays(bench, early, ActKind.WATERED, [KALE])
    undo(bench, stamp())
    assert_refused(
        bench,
        lambda: record.redo(bench, stamp(), "America/New_York"),
        "nothing of Wren's today to bring back",
    )
    assert redo(bench, stamp()) == "brought back: watered 3A"
