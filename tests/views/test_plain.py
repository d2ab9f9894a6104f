"""The morning's list without the screen, what needs somebody first, and what the questions offer."""

import json
from dataclasses import replace

import pytest

from model.actions import growth, shift, sow, walk
from model.actions.sow import Sow, SowPart
from model.facts import ActKind, Treated
from model.rules.verdict import Fill
from model.store.database import Store, rows_of
from model.views.choices import read_choices, read_numbers
from model.views.needs import NEAR_DAYS, needs
from model.views.plain import as_json, as_text
from model.views.round import read_round
from model.views.settings import read_settings
from tests.builders import TODAY, day
from tests.conftest import StampMaker
from tests.store.names import CORNER, FLAT, KALE, MAT, SLATS, TOMATO

Ids = dict[str, int]
PROMISED = {
    *("number", "place", "crop", "variety", "sown_on", "age_days", "stage", "root_fill"),
    *("due", "water", "flags", "rank"),
}


def test_the_list_is_one_object_with_all_that_is_promised(bench: Store, stamp: StampMaker):
    walk.mark_trays(bench, stamp(), ActKind.WATERED, [KALE])
    told = json.loads(as_json(read_round(bench, TODAY)))
    assert told["on"] == "2026-04-14"
    assert told["unseen"] == 2
    assert [tray["rank"] for tray in told["trays"]] == [1, 2, 3]
    for tray in told["trays"]:
        assert set(tray) >= PROMISED
        assert set(tray["root_fill"]) == {"expected", "low", "high"}
        assert all(set(due) == {"what", "from", "to", "why"} for due in tray["due"])
    (kale,) = (tray for tray in told["trays"] if tray["number"] == KALE)
    assert kale["water"] == {
        "last_on": "2026-04-14",
        "by": "Wren",
        "left_on": None,
        "today": "watered",
        "note": "watered today by Wren",
        "forecast": None,
    }
    assert kale["root_fill"]["low"] <= kale["root_fill"]["expected"] <= kale["root_fill"]["high"]
    assert kale["ready"]["from"] <= kale["ready"]["to"]


def test_what_is_not_known_is_null_and_never_a_number(store: Store, stamp: StampMaker, containers: Ids):
    sow.sow(store, stamp(), Sow(containers["72-cell tray"], SLATS, (SowPart("rue", "Wild", 72),), TODAY))
    text = as_json(read_round(store, TODAY))
    (tray,) = json.loads(text)["trays"]
    assert tray["root_fill"] == {"expected": None, "low": None, "high": None}
    assert (tray["ready"], tray["root_bound"], tray["due"]) == (None, "not known", [])
    assert (tray["water"]["last_on"], tray["water"]["by"]) == (None, None)
    assert "NaN" not in text


def test_the_text_names_each_place_with_trays_and_a_row_fits_eighty_columns(bench: Store, stamp: StampMaker):
    walk.mark_trays(bench, stamp(), ActKind.LOOKED, [KALE])
    rows = as_text(read_round(bench, TODAY)).splitlines()
    assert rows[0] == "Tue 14 Apr   My farm   not seen 2 of 3"
    assert "mat   1 of 8 slots, 1 not seen" in rows
    assert not any(row.startswith("shelf") for row in rows)
    (kale,) = (row for row in rows if "kale" in row)
    assert kale.lstrip().startswith("3A looked  d30  kale Sedge Blue")
    assert len(kale) <= 80


def test_a_tray_without_a_fill_shows_a_dash(bench: Store):
    view = read_round(bench, TODAY)
    lines = tuple(
        replace(line, fill=fill, instead="" if fill and fill.high else "sown, day 4")
        for line, fill in zip(
            view.lines, (None, Fill(0, 0, 0), Fill(expected=0.5, low=0.2, high=0.8)), strict=True
        )
    )
    rows = [row for row in as_text(replace(view, lines=lines)).splitlines() if "unseen" in row]
    assert sum("   - " in row for row in rows) == 2
    assert sum(" 50% " in row for row in rows) == 1


# What needs somebody first.


def test_the_trays_that_press_are_listed_worst_first(store: Store, stamp: StampMaker, containers: Ids):
    for cells in range(1, 21):
        wish = Sow(containers["128-cell tray"], SLATS, (SowPart("kale", "Rill", cells),), day(-3))
        sow.sow(store, stamp(today=day(-3)), wish)
    first = needs(read_round(store, TODAY))
    # All are as dry as each other, so those with the most plants come first.
    assert [line.plants for line in first] == list(range(20, 0, -1))


def test_a_tray_without_anything_due_nor_little_room_is_not_listed(
    store: Store, stamp: StampMaker, containers: Ids
):
    for days in (0, 1):
        wish = Sow(containers["72-cell tray"], SLATS, (SowPart("kale", "Rill", 72),), day(-days))
        sow.sow(store, stamp(today=day(-days)), wish)
    assert needs(read_round(store, TODAY)) == ()
    (seen_today, yesterday) = read_round(store, TODAY).lines
    view = replace(read_round(store, TODAY), lines=(replace(seen_today, due_now=True), yesterday))
    assert len(needs(view)) == 1
    view = replace(view, lines=(replace(seen_today, room_days=NEAR_DAYS), replace(yesterday, room_days=4)))
    assert len(needs(view)) == 1


# What the questions offer.


def test_places_tell_how_many_trays_stand_there_and_which_are_full(
    bench: Store, stamp: StampMaker, containers: Ids
):
    for _ in range(2):
        wish = Sow(containers["72-cell tray"], CORNER, (SowPart("kale", "Rill", 72),), TODAY)
        sow.sow(bench, stamp(), wish)
    rooms = {room.place.id: room for room in read_choices(bench).places}
    assert (rooms[SLATS].trays, rooms[SLATS].full) == (2, False)
    assert (rooms[CORNER].trays, rooms[CORNER].full) == (2, True)
    assert next(iter(rooms)) == MAT


def test_the_last_sowing_of_each_variety_comes_newest_first_and_pots_are_no_sowing(
    bench: Store, stamp: StampMaker, containers: Ids
):
    again = Sow(containers["128-cell tray"], MAT, (SowPart("kale", "Sedge Blue", 100, 2, "K1"),), TODAY)
    sow.sow(bench, stamp(), again)
    shift.pot_up(bench, stamp(), TOMATO, None, [shift.PotUp(9, containers["9 cm pot"], SLATS)])
    last = read_choices(bench).last
    assert [(sown.crop, sown.variety) for sown in last] == [
        ("kale", "Sedge Blue"),
        ("arugula", "Rook"),
        ("mustard", "Frill"),
        ("lettuce", "Marrel"),
        ("tomato", "Ostrel"),
    ]
    newest = last[0]
    assert (newest.container_id, newest.place_id) == (containers["128-cell tray"], MAT)
    assert (newest.cells, newest.seeds_per_cell, newest.lot) == (100, 2, "K1")
    assert last[1].lot == ""


def test_crops_varieties_lots_people_and_the_next_number_are_offered(bench: Store, stamp: StampMaker):
    growth.note(bench, stamp("Jory"), FLAT, "x")
    offered = read_choices(bench)
    assert ("tomato", "tomato") in offered.crops
    assert len(offered.crops) >= 35
    assert ("kale", "Sedge Blue") in offered.varieties
    (lot,) = offered.lots
    assert (lot.crop, lot.variety, lot.name, lot.treated, lot.tested) == (
        "tomato",
        "Ostrel",
        "A1",
        Treated.UNKNOWN,
        "",
    )
    assert read_numbers(bench, TODAY).following == 4
    assert set(offered.people) >= {"grower", "Wren", "Jory"}
    assert offered.settings == read_settings(bench)
    assert offered.settings["temperature"] == "°C"
    assert any(container.name == "72-cell tray" for container in offered.containers)


@pytest.mark.parametrize(("seeds", "up", "told"), [(20, 9, "9 of 20 up"), (None, None, "")])
def test_a_seed_test_is_told_in_words(bench: Store, seeds: int | None, up: int | None, told: str):
    with bench.transaction() as session:
        rows_of(session)("UPDATE lot SET tested_seeds = ?, tested_up = ?", seeds, up)
    assert read_choices(bench).lots[0].tested == told
