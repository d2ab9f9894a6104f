"""Numbers for new trays and labels: none that stands on a label that may be about, and new labels of the day."""

import pytest

from model.actions import labelling, record, shift, sow
from model.actions.sow import Sow, SowPart
from model.errors import BadInput
from model.labels import label
from model.numbering import about, next_numbers
from model.rules.numbers import ABOUT_DAYS
from model.store.database import Store
from model.views.choices import read_numbers
from model.views.label_sheet import new_numbers, tray_labels
from model.views.trace import answer, read_trace
from model.views.tray import find_tray
from tests.builders import TODAY, day
from tests.conftest import StampMaker
from tests.store.looking import the_tray
from tests.store.names import FLAT, KALE, SLATS, TOMATO


def proposed(store: Store, on: int = 0) -> int:
    return read_numbers(store, day(on)).following


def a_sowing(containers: dict[str, int], number: int | None = None) -> Sow:
    return Sow(containers["72-cell tray"], SLATS, (SowPart("leek", "Tarn", 72),), TODAY, number)


def number_of(store: Store, tray_id: int) -> int:
    return the_tray(store, tray_id).number


def test_an_old_number_of_a_standing_tray_is_never_proposed(
    bench: Store, stamp: StampMaker, containers: dict[str, int]
) -> None:
    assert proposed(bench) == 4
    labelling.relabel(bench, stamp(), {KALE: 4})
    labelling.relabel(bench, stamp(), {KALE: 90})
    assert proposed(bench) == 5
    assert proposed(bench, 2 * ABOUT_DAYS) == 5
    (tray,) = sow.sow(bench, stamp(), a_sowing(containers)).tray_ids
    assert number_of(bench, tray) == 5


def test_the_number_of_a_tray_that_left_lately_is_not_proposed_but_comes_round_later(
    bench: Store, stamp: StampMaker
) -> None:
    labelling.relabel(bench, stamp(), {KALE: 4})
    shift.retire(bench, stamp(), KALE, None, the_tray(bench, KALE).have)
    assert [proposed(bench, on) for on in (0, ABOUT_DAYS, ABOUT_DAYS + 1)] == [5, 5, 4]


def test_pots_of_one_go_get_numbers_that_are_on_no_label(
    bench: Store, stamp: StampMaker, containers: dict[str, int]
) -> None:
    for number in (5, 80):
        labelling.relabel(bench, stamp(), {FLAT: number})
    pots = [shift.PotUp(3, containers["open flat"], SLATS)] * 2
    made = shift.pot_up(bench, stamp(), KALE, None, pots).tray_ids
    assert [number_of(bench, tray) for tray in made if tray != KALE] == [4, 6]


def test_where_every_number_was_used_lately_one_that_no_tray_carries_is_given(
    bench: Store, stamp: StampMaker, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("model.store.reading.HIGHEST", 5)
    labelling.relabel(bench, stamp(), {KALE: 4})
    labelling.relabel(bench, stamp(), {KALE: 5})
    with bench.reading() as rows:
        assert next_numbers(rows, about(rows, TODAY), 9) == (4, 3)


def test_what_is_known_of_a_number_whose_label_may_be_about_is_told(bench: Store, stamp: StampMaker) -> None:
    labelling.relabel(bench, stamp(), {KALE: 51})
    shift.retire(bench, stamp(), TOMATO, None, the_tray(bench, TOMATO).have)
    found = read_numbers(bench, TODAY).about
    assert found[3].words == f"{label(3)} was kale Sedge Blue until Tue 14 Apr; that is {label(51)} now"
    assert found[1].words == f"{label(1)} was tomato Ostrel until Tue 14 Apr; that is gone"


def test_a_new_label_that_was_taken_back_leads_nowhere(bench: Store, stamp: StampMaker) -> None:
    labelling.relabel(bench, stamp(), {KALE: 48})
    labelling.relabel(bench, stamp(), {KALE: 57})
    for _ in range(2):
        record.undo(bench, stamp(), "UTC")
    with pytest.raises(BadInput, match=f"No tray {label(48)} was ever on record"):
        find_tray(bench, 48)


# Labels and traces by an old number.


def test_labels_of_an_old_number_are_those_of_the_tray_that_carried_it(
    bench: Store, stamp: StampMaker, containers: dict[str, int]
) -> None:
    labelling.relabel(bench, stamp(), {KALE: 51})
    assert [found.label for found in tray_labels(bench, TODAY, [3, 51]).found] == [label(51)]
    assert tray_labels(bench, TODAY, [3, 51]).renamed == (f"{label(3)} is {label(51)} now.",)
    sow.sow(bench, stamp(), a_sowing(containers, 3))
    assert tray_labels(bench, TODAY, [3]).found[0].lines[0] == "leek Tarn"
    assert tray_labels(bench, TODAY, [3]).renamed == (
        f"{label(3)} was also on {label(51)} until Tue 14 Apr.",
    )


def test_a_trace_of_an_old_number_says_what_became_of_it(bench: Store, stamp: StampMaker) -> None:
    labelling.relabel(bench, stamp(), {KALE: 51})
    found = read_trace(bench, "3", TODAY)
    assert {one.tray_id for one in found.found} == {KALE}
    assert answer(found).answer[0] == f"{label(3)} is {label(51)} now."
    shift.retire(bench, stamp(), KALE, None, the_tray(bench, KALE).have)
    assert answer(read_trace(bench, "3", TODAY)).answer[:2] == (
        f"{label(3)} is {label(51)} now.",
        f"{label(51)} is gone since Tue 14 Apr.",
    )


def test_what_got_another_number_or_was_sown_again_today_needs_a_label(
    bench: Store, stamp: StampMaker
) -> None:
    assert new_numbers(bench, day(1)) == []
    labelling.relabel(bench, stamp(today=day(1)), {KALE: 51})
    sow.resow(
        bench, stamp(today=day(1)), FLAT, the_tray(bench, FLAT).sowings[0].id, SowPart("lettuce", "Marrel", 4)
    )
    assert new_numbers(bench, day(1)) == [2, 51]
    assert [found.label for found in tray_labels(bench, day(1)).found] == [label(2), label(51)]
    record.undo(bench, stamp(today=day(1)), "UTC")
    assert new_numbers(bench, day(1)) == [51]


def test_what_is_entered_today_for_an_earlier_day_needs_a_label_today(
    bench: Store, stamp: StampMaker, containers: dict[str, int]
) -> None:
    before = new_numbers(bench, TODAY)
    wish = Sow(containers["72-cell tray"], SLATS, (SowPart("leek", "Tarn", 72),), day(-4))
    (tray,) = sow.sow(bench, stamp(), wish).tray_ids
    assert set(new_numbers(bench, TODAY)) - set(before) == {number_of(bench, tray)}
