"""The forecast on a real record: reckoned, kept, reckoned anew after an entry, and what it says of timings."""

from dataclasses import replace
from datetime import timedelta

import pytest

from model.actions import growth, record, shift, walk, weather
from model.actions.outlook import agree, keep_outlooks
from model.errors import BadInput
from model.facts import ActKind
from model.rules.course import Change
from model.rules.outlook import Outlook
from model.store import reading
from model.store.database import Store
from model.views.course import read_what_if
from model.views.outlook import reckon, reckon_some
from model.views.round import read_round
from model.views.timings import read_timings
from tests.builders import TODAY, day
from tests.conftest import StampMaker
from tests.store.names import FLAT, KALE, SHELF, SLATS, TOMATO


def rounded(outlooks: dict[int, Outlook]) -> dict[int, tuple[object, ...]]:
    """Without the last digits, which hang on how many trays were reckoned together."""
    return {
        number: (
            o.ready,
            o.full,
            o.bound,
            *(round(f.expected, 6) for f in o.fills),
            *(round(g, 6) for g in o.growth),
        )
        for number, o in outlooks.items()
    }


def test_the_round_opens_on_what_was_reckoned_last(bench: Store):
    found = reckon(bench, TODAY)
    assert found.outlooks
    keep_outlooks(bench, found.outlooks.values())
    assert read_round(bench, TODAY) == read_round(bench, TODAY, found.outlooks)
    # The next morning opens on it too, a day further on.
    tomorrow = {line.tray_id: line for line in read_round(bench, TODAY + timedelta(days=1)).lines}
    fresh = reckon(bench, TODAY + timedelta(days=1)).outlooks
    for line in read_round(bench, TODAY + timedelta(days=1), fresh).lines:
        if line.fill is not None and line.fill.expected > 0 and not line.instead:
            kept = tomorrow[line.tray_id].fill
            assert kept is not None
            assert kept.expected == pytest.approx(line.fill.expected, rel=0.02)


@pytest.mark.parametrize("what", ["look", "move", "reading", "undone", "corrected"])
def test_an_entry_reckons_its_trays_as_a_whole_new_forecast_would(bench: Store, stamp: StampMaker, what: str):
    before = reckon(bench, TODAY)
    match what:
        case "look":
            receipt = growth.root_look(bench, stamp(), TOMATO, 1)
        case "move":
            receipt = shift.move(bench, stamp(), [TOMATO], SHELF)
        case "reading":
            receipt = weather.keep_air(bench, stamp(day=day(-2)), SLATS, 2.0, 9.0)
        case "undone":
            growth.root_look(bench, stamp(), TOMATO, 1)
            receipt = record.undo(bench, stamp(), "UTC")
        case _:
            receipt = record.correct_sowing(bench, stamp(), KALE, None, "sown_on", day(-40).isoformat())
    whole = reckon(bench, TODAY)
    if receipt.tray_ids:
        assert rounded(reckon_some(bench, before, receipt.tray_ids).outlooks) == rounded(whole.outlooks)
    assert (rounded(whole.outlooks) != rounded(before.outlooks)) == (
        # Growth counts from half up, which a corrected day of sowing leaves where it was.
        what in {"look", "move", "reading"}
    )


def test_thirst_is_told_beside_it(bench: Store, stamp: StampMaker):
    walk.mark_trays(bench, stamp(), ActKind.WATERED, [TOMATO])
    found = reckon(bench, TODAY)
    assert set(found.thirsts) == {TOMATO, FLAT, KALE}


def test_an_earlier_day_is_forecast_from_what_was_known_then(bench: Store, stamp: StampMaker):
    before = reckon(bench, day(-3)).outlooks
    growth.root_look(bench, stamp(), TOMATO, 0)
    assert reckon(bench, day(-3)).outlooks == before


def test_what_if_changes_the_days_and_keeps_nothing(bench: Store):
    outlooks = reckon(bench, TODAY).outlooks
    found = read_what_if(bench, TOMATO, day(-20), Change(temp_c=10.0), outlooks)
    assert found.before.ready is not None
    assert found.after.ready is None or found.after.ready > found.before.ready
    later = read_what_if(bench, TOMATO, day(-20), Change(temp_c=10.0, wait_days=60), outlooks)
    assert later.before == later.after
    assert reckon(bench, TODAY).outlooks == outlooks
    with pytest.raises(BadInput, match="Nothing here fills a cell"):
        read_what_if(bench, FLAT, TODAY, Change(temp_c=10.0), outlooks)


def test_potting_up_now_buys_as_many_days_as_potting_up_tomorrow_and_one(bench: Store):
    outlooks = reckon(bench, TODAY).outlooks
    with bench.reading() as rows:
        pot = next(box for box in reading.containers(rows) if box.name == "10 cm pot")
    today, tomorrow = (
        read_what_if(bench, TOMATO, day(-20), Change(container_id=pot.id, wait_days=wait), outlooks)
        for wait in (0, 1)
    )
    assert today.before.ready is not None
    assert today.after.ready is not None
    assert tomorrow.after.ready is not None
    # ln(484 / 43) / 0.0227 = 107 degree-days more, 16 a day on the mat at 24 °C: 6 to 7 days.
    assert (today.after.ready - today.before.ready).days in {6, 7}
    assert abs((tomorrow.after.ready - today.after.ready).days) <= 1


def test_timings_stand_beside_the_default_and_say_what_is_left_out(bench: Store, stamp: StampMaker):
    growth.root_look(bench, stamp(), KALE, 2)
    shift.set_out(bench, stamp(), KALE, None, 72)
    page = read_timings(bench, reckon(bench, TODAY).past)
    kale = next(crop for crop in page.crops if crop.crop == "kale")
    assert (kale.up_default, kale.trays, kale.used) == (6, 1, None)
    assert kale.up is not None
    assert kale.hold is not None
    assert kale.yours is not None
    assert kale.default[1] == 1.0
    agree(bench, "kale", True, TODAY)
    assert (
        next(c for c in read_timings(bench, reckon(bench, TODAY).past).crops if c.crop == "kale").used is True
    )


def test_a_forecast_of_a_sowing_that_was_taken_back_is_not_kept(bench: Store):
    found = reckon(bench, TODAY).outlooks
    stray = replace(next(iter(found.values())), sowing_id=999)
    keep_outlooks(bench, [*found.values(), stray])
    with bench.reading() as rows:
        assert rows("SELECT count(*) FROM outlook") == [(len(found),)]
