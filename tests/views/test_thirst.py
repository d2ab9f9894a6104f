"""What is reckoned of the water, on the page and as JSON: beside the record, never in it, and within a row."""

import json
from dataclasses import replace

import pytest

from model.actions import growth, shift, walk
from model.facts import ActKind
from model.rules.thirst import NO_LATITUDE, NO_WATERING
from model.rules.verdict import Dries, Knows, Thirst
from model.store import tables
from model.store.database import Store
from model.views.outlook import reckon
from model.views.plain import as_json
from model.views.round import read_round
from model.views.thirst import read_second_pass
from model.views.tray import read_page
from model.views.water_words import WHY_WIDTH, with_thirst
from tests.builders import TODAY, day
from tests.conftest import StampMaker
from tests.store.names import FLAT, KALE, TOMATO
from tests.tui.builders import a_line

NOON = Thirst(0.4, 0.2, 0.6, Dries.NOON, TODAY, "likely dry by noon", Knows.DEFAULT, 0, "ours")


def set_latitude(store: Store) -> None:
    with store.transaction() as session:
        session.merge(tables.Setting(name="latitude", value="45"))


def test_the_page_says_by_when_and_how_it_is_known(bench: Store, stamp: StampMaker):
    set_latitude(bench)
    walk.mark_trays(bench, stamp(today=day(-2)), ActKind.WATERED, [KALE])
    line = read_page(bench, KALE, TODAY).line
    assert line.why[-1] == line.water.text
    assert line.water.text == "not seen today; watered 2 d ago by Wren; likely dry tomorrow (default)"
    assert line.thirst is not None
    assert (line.water.last_on, line.water.by) == (day(-2), "Wren")


def test_json_carries_the_forecast(bench: Store, stamp: StampMaker):
    set_latitude(bench)
    walk.mark_trays(bench, stamp(today=day(-2)), ActKind.WATERED, [KALE])
    found = reckon(bench, TODAY)
    told = json.loads(as_json(read_round(bench, TODAY, found.outlooks, found.thirsts)))
    water = {tray["number"]: tray["water"] for tray in told["trays"]}
    kale = water[KALE]["forecast"]
    assert water[KALE]["note"].endswith("; likely dry tomorrow (default)")
    assert 0 <= kale["low"] <= kale["easy"] <= kale["high"] <= 1
    assert (kale["dry_on"], kale["word"], kale["how"]) == ("2026-04-15", "likely dry tomorrow", "default")
    none = water[TOMATO]["forecast"]
    assert (none["easy"], none["low"], none["high"], none["dry_on"]) == (None, None, None, None)
    assert none["word"] == NO_WATERING
    assert water[TOMATO]["note"] == "not seen today; no watering on record"


def test_a_finger_in_one_tray_is_told_at_its_place_and_the_record_keeps_what_was_felt(
    bench: Store, stamp: StampMaker
):
    set_latitude(bench)
    walk.mark_trays(bench, stamp(today=day(-2)), ActKind.WATERED, [KALE, FLAT])
    growth.finger(bench, stamp(), FLAT, 0)
    kale, flat = (read_page(bench, tray, TODAY).line for tray in (KALE, FLAT))
    assert kale.why[-1].endswith("(1 finger test)")
    assert flat.thirst is not None
    assert (flat.thirst.word, flat.thirst.tests) == ("felt dry today", 1)
    assert flat.water.last_on == day(-2)


def test_without_a_latitude_nothing_is_guessed(bench: Store, stamp: StampMaker):
    walk.mark_trays(bench, stamp(), ActKind.WATERED, [KALE])
    assert read_page(bench, KALE, TODAY).line.why[-1] == f"watered today by Wren; {NO_LATITUDE}"
    assert read_second_pass(bench, TODAY) == (
        (),
        "No tray is likely dry before evening. Not known of 1 without a latitude: S sets it. "
        "Not known of 2: no watering on record.",
    )


def test_a_second_pass_says_why_it_goes_nowhere(bench: Store, stamp: StampMaker):
    set_latitude(bench)
    walk.mark_trays(bench, stamp(), ActKind.WATERED, [KALE, FLAT])
    assert read_second_pass(bench, TODAY) == (
        (),
        "No tray is likely dry before evening. Not known of 1: no watering on record.",
    )
    later, none = read_second_pass(bench, day(3))
    assert [(one.name, one.by_evening) for one in later] == [("slats", 1)]
    assert none == ""


def test_a_tray_that_is_gone_is_not_reckoned(bench: Store, stamp: StampMaker):
    set_latitude(bench)
    walk.mark_trays(bench, stamp(), ActKind.WATERED, [KALE])
    shift.set_out(bench, stamp(), KALE, None, 72, "bed 1")
    assert read_page(bench, KALE, TODAY).line.thirst is None


@pytest.mark.parametrize(
    ("note", "why"),
    [
        ("watered today by ann", "watered today by ann; likely dry by noon (default)"),
        (
            "not seen today; watered yesterday by Bartholomew; left dry yesterday",
            "watered yesterday by Bartholomew; left dry yesterday; likely dry by noon",
        ),
        (
            "not seen today; watered yesterday by Wren",
            "not seen today; watered yesterday by Wren; likely dry by noon (default)",
        ),
        (
            "watered 2 d ago by Ann-Katherine; left dry yesterday by Ann-Katherine",
            "likely dry by noon; watered 2 d ago by Ann-Katherine; left dry yesterday by Ann-Katherine",
        ),
    ],
)
def test_the_row_keeps_the_forecast_in_sight(note: str, why: str):
    plain = a_line()
    line = with_thirst(replace(plain, water=replace(plain.water, text=note)), NOON)
    assert line.why[-1] == why
    assert line.water.text == f"{note}; likely dry by noon (default)"
    assert why.index("likely dry by noon") + len("likely dry by noon") <= WHY_WIDTH


def test_what_is_not_known_takes_no_room_from_what_people_said():
    blind = replace(NOON, dries=Dries.UNKNOWN, word=NO_LATITUDE)
    plain, note = a_line(), "not seen today; watered 3 d ago by Jory; left dry yesterday by Wren"
    line = with_thirst(replace(plain, water=replace(plain.water, text=note)), blind)
    assert line.why[-1] == note
    assert line.water.text == f"{note}; {NO_LATITUDE}"
