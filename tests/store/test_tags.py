"""Labels, calls, sickness, sprays and hand-overs: what they make of a tray."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path

import pytest

from model.actions import growth, health, labelling, promises, record, shift, walk
from model.actions.farm import keep_place
from model.actions.files import export_folder
from model.errors import BadInput, ImportRefused, NotEnough
from model.facts import ActKind, PlaceKind, Tray
from model.labels import Alias
from model.rules.careful import careful, hands_off, touch_from
from model.rules.sharing import shared
from model.store import reading
from model.store.database import Store
from model.views import health as health_page
from tests.builders import TODAY, a_place, day
from tests.conftest import StampMaker
from tests.store.looking import kept, kept_anew, the_tray
from tests.store.names import FLAT, KALE, TOMATO
from tests.store.small_farm import SMALL_FARM, brought_in


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


# Hours on a label.


def touch_of(store: Store) -> list[datetime | None]:
    return [spell.touch_from for spell in the_tray(store, KALE).withheld]


def test_hours_count_from_when_it_was_told_else_from_the_entry(bench: Store, stamp: StampMaker) -> None:
    now = stamp()
    health.spray(bench, now, [KALE], "soap", 3, 12)
    assert touch_of(bench) == [now.at + timedelta(hours=12)]
    record.undo(bench, stamp(), "UTC")
    told = now.at - timedelta(hours=2)
    health.spray(bench, replace(stamp(), told_at=told), [KALE], "soap", 3, 12)
    assert touch_of(bench) == [told + timedelta(hours=12)]
    assert kept_anew(bench) == kept(bench)


def test_hours_of_an_earlier_day_count_from_its_end_wherever_the_farm_lies(
    bench: Store, stamp: StampMaker
) -> None:
    health.spray(bench, stamp(day=day(-3)), [KALE], "soap", 3, 12)
    # The day three days ago ends last where it is noon of the next day in Greenwich.
    assert touch_of(bench) == [datetime.combine(day(-2), time(12), UTC) + timedelta(hours=12)]


def test_a_label_without_hours_forbids_no_hand(bench: Store, stamp: StampMaker) -> None:
    health.spray(bench, stamp(), [KALE], "soap", 3)
    assert touch_of(bench) == [None]
    assert careful(the_tray(bench, KALE), TODAY, "UTC") == ()


def test_what_hands_have_to_know_is_said_through_the_day_it_ends_and_no_longer(
    bench: Store, stamp: StampMaker
) -> None:
    health.spray(bench, stamp(), [KALE], "soap", 3, 24)
    health.looked_sick(bench, stamp(day=day(-1)), KALE, "spots")
    tray = the_tray(bench, KALE)
    said = careful(tray, TODAY, "America/New_York")
    assert said[0].startswith("don't touch until Wed 15 Apr 2:3")
    assert said[1] == "looked sick Mon 13 Apr: last, wash hands"
    assert careful(tray, day(1), "America/New_York") == said
    assert careful(tray, day(2), "America/New_York") == said[1:]
    assert careful(tray, day(30), "America/New_York") == ()


def test_of_two_labels_each_forbids_hands_until_its_own_hour_and_the_later_one_holds(
    bench: Store, stamp: StampMaker
) -> None:
    now = stamp()
    health.spray(bench, now, [KALE], "soap", 3, 12)
    health.spray(bench, stamp(), [KALE], "oil", 0, 72)
    tray = the_tray(bench, KALE)
    soap, oil = tray.withheld
    assert touch_from(soap, TODAY, "UTC") == now.at + timedelta(hours=12)
    assert touch_from(oil, TODAY, "UTC") == hands_off(tray, TODAY, "UTC") == oil.touch_from
    assert touch_from(soap, day(-1), "UTC") is None, "not sprayed yet"
    assert [touch_from(spell, day(3), "UTC") for spell in (soap, oil)] == [None, oil.touch_from]
    held = health_page.read(bench, day(3), now.at).held
    assert [(one.sprayed, bool(one.touch)) for one in held] == [("oil", True)]


def test_what_stood_beside_a_sick_tray_is_worked_out_once(
    bench: Store, stamp: StampMaker, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[int] = []

    def counted(sick: Tray, trays: Iterable[Tray], seen_on: date) -> tuple[Tray, ...]:
        asked.append(sick.id)
        return shared(sick, trays, seen_on)

    monkeypatch.setattr(health_page, "shared", counted)
    for tray in (KALE, TOMATO):
        health.looked_sick(bench, stamp(), tray, "spots")
    found = health_page.read(bench, TODAY, stamp().at).sick
    assert sorted(asked) == sorted(one.tray_id for one in found) == sorted((KALE, TOMATO))


def test_hours_go_with_what_was_sprayed_by_a_swapped_label(bench: Store, stamp: StampMaker) -> None:
    health.spray(bench, stamp(), [TOMATO], "soap", 3, 12)
    labelling.swapped(bench, stamp(), (KALE, TOMATO), day(-1))
    assert [spell.touch_from is not None for spell in the_tray(bench, KALE).withheld] == [True]
    assert the_tray(bench, TOMATO).withheld == ()


@pytest.mark.parametrize(
    ("row", "where"),
    [
        ("16,6,2026-04-11,sprayed,2,,,2147483647,,,soap,,,,,\n", "line 15, column count"),
        ("16,6,2026-04-11,sprayed,2,,,3,,,soap,,hours,,much,\n", 'line 15, column new: "much" is no number'),
        ("16,6,2026-04-11,sprayed,2,,,3,,,soap,,hours,,900,\n", 'line 15, column new: "900" is no number'),
    ],
)
def test_an_interval_that_no_label_has_is_not_taken_in(tmp_path: Path, row: str, where: str) -> None:
    with pytest.raises(ImportRefused) as caught:
        brought_in(tmp_path, acts=SMALL_FARM["acts.csv"] + row)
    assert caught.value.problems[0].startswith(f"acts.csv {where}")


def test_hours_go_out_and_come_in_again(tmp_path: Path) -> None:
    row = "16,6,2026-04-11,sprayed,2,,,3,,,soap,,hours,,12,\n"
    store = brought_in(tmp_path, acts=SMALL_FARM["acts.csv"] + row)
    (spell,) = the_tray(store, 2).withheld
    assert spell.touch_from == datetime(2026, 4, 11, 18, 31, tzinfo=UTC)
    export_folder(store, tmp_path / "out")
    assert (tmp_path / "out" / "acts.csv").read_text("utf-8") == SMALL_FARM["acts.csv"] + row
    store.close()


def test_what_stands_in_quarantine_is_not_set_out(bench: Store, stamp: StampMaker) -> None:
    keep_place(bench, a_place(id=0, name="Apart", kind=PlaceKind.QUARANTINE, walk=9, slots=4))
    with bench.reading() as rows:
        place = next(spot.id for spot in reading.places(rows) if spot.name == "Apart")
    shift.move(bench, stamp(), [KALE], place)
    with pytest.raises(BadInput, match="stands in Apart: quarantine stock is not set out"):
        shift.set_out(bench, stamp(), KALE, None, 3)
