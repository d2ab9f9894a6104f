"""Labels, calls, sickness, sprays and hand-overs: what they make of a tray."""

import pytest

from model.actions import growth, health, labelling, promises, record, shift, walk
from model.errors import BadInput, NotEnough
from model.facts import ActKind
from model.labels import Alias
from model.store import reading
from model.store.database import Store
from tests.builders import TODAY, day
from tests.conftest import StampMaker
from tests.store.looking import the_tray
from tests.store.names import FLAT, KALE, TOMATO


def test_two_labels_are_swapped_back_and_the_old_numbers_still_lead_to_their_trays(
    bench: Store, stamp: StampMaker
) -> None:
    kale, tomato = the_tray(bench, KALE).number, the_tray(bench, TOMATO).number
    labelling.relabel(bench, stamp(), {KALE: tomato, TOMATO: kale})
    assert (the_tray(bench, KALE).number, the_tray(bench, KALE).aliases) == (tomato, (Alias(kale, TODAY),))
    with bench.reading() as rows:
        assert [tray.id for tray in reading.trays_numbered(rows, kale)] == [TOMATO, KALE]
    record.undo(bench, stamp(), "UTC")
    assert (the_tray(bench, KALE).number, the_tray(bench, KALE).aliases) == (kale, ())


def test_a_number_that_another_tray_carries_is_refused(bench: Store, stamp: StampMaker) -> None:
    with pytest.raises(BadInput, match="would be standing"):
        labelling.relabel(bench, stamp(), {KALE: the_tray(bench, TOMATO).number})
    labelling.relabel(bench, stamp(), {KALE: 57})
    assert the_tray(bench, KALE).number == 57


def test_a_call_stands_until_somebody_else_was_at_the_tray(bench: Store, stamp: StampMaker) -> None:
    growth.call(bench, stamp("Jory"), KALE, "wilting at the door")
    walk.mark_trays(bench, stamp("Jory"), ActKind.WATERED, [KALE])
    assert [call.who for call in the_tray(bench, KALE).calls] == ["Jory"]
    walk.mark_trays(bench, stamp("Wren"), ActKind.LOOKED, [KALE])
    assert the_tray(bench, KALE).calls == ()


def test_a_label_interval_withholds_cutting_and_handing_over_until_it_is_past(
    bench: Store, stamp: StampMaker
) -> None:
    health.spray(bench, stamp(day=day(-3)), [FLAT, KALE], "soap", 3)
    growth.cut(bench, stamp(), FLAT, the_tray(bench, FLAT).sowings[0].id)
    health.spray(bench, stamp(), [FLAT, KALE], "soap", 4)
    with pytest.raises(BadInput, match="sprayed with soap"):
        growth.cut(bench, stamp(), FLAT, the_tray(bench, FLAT).sowings[0].id)
    with pytest.raises(BadInput, match="not before"):
        promises.hand_over(bench, stamp(), [promises.Share(KALE, None, 3)])
    shift.set_out(bench, stamp(), KALE, None, 3)


def test_plants_handed_over_are_gone_and_no_more_go_than_there_are(bench: Store, stamp: StampMaker) -> None:
    have = the_tray(bench, KALE).have
    promises.hand_over(bench, stamp(), [promises.Share(KALE, None, 6)], "plot 4")
    assert (the_tray(bench, KALE).have, the_tray(bench, KALE).sowings[0].handed) == (have - 6, 6)
    with pytest.raises(NotEnough, match=f"has {have - 6}"):
        promises.hand_over(bench, stamp(), [promises.Share(KALE, None, have)])


def test_a_doubted_variety_and_a_sick_day_stay_with_the_tray(bench: Store, stamp: StampMaker) -> None:
    labelling.doubt(bench, stamp(), KALE, None, "fell together with another")
    health.looked_sick(bench, stamp(day=day(-1)), KALE, "spots")
    tray = the_tray(bench, KALE)
    assert (tray.sowings[0].uncertain, tray.sick) == (True, (day(-1),))
