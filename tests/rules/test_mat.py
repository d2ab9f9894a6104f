"""The mat rota's figures: days on a mat by the published table, who bears the heat, until when trays hold their slots."""

import math
from dataclasses import replace
from datetime import timedelta

import pytest

from model.ahead import PinnedSowing
from model.crops import emergence_row, load_crops
from model.facts import Place, PlaceKind
from model.rules.grounds import Grounds
from model.rules.mat import (
    Asked,
    comes_up_on,
    days_saved,
    fastest_mat,
    homes,
    mat_of,
    median_days,
    on_mat,
    sowing_of,
    stay_at,
    told_names,
    warmest_mat,
)
from model.rules.mixed import speeds_apart
from model.science.rota_choices import Pin, Stay
from tests.builders import TODAY, a_container, a_place, a_sowing, a_tray, day
from tests.rules.builders import MAT, judged, sown, tray


def at(temp_c: float, kind: PlaceKind = PlaceKind.HEAT_MAT, **more) -> Place:
    return a_place(kind=kind, low_c=temp_c, high_c=temp_c, **{"id": 1, "name": "mat", **more})


def asked(crop: str, home_c: float | None = 15.0, **more) -> Asked:
    home = at(home_c, PlaceKind.LIT_SHELF, id=2, name="shelf") if home_c is not None else None
    usual = Asked(1, crop, load_crops()[crop], day(4), day(10), 1, home, emergence_row(crop) or "")
    return replace(usual, **more)


# Days to emergence at 20, 25 and 30 °C: Harrington and Minges 1954, table of days (reprint opened).
TABLE = {
    "tomato": (8, 6, 6),
    "pepper": (13, 8, 8),
    "eggplant": (13, 8, 5),
    "cucumber": (6, 4, 3),
    "onion": (5, 4, 4),
    "cabbage": (6, 5, 4),
}


@pytest.mark.parametrize(("crop", "days"), TABLE.items())
def test_the_middle_of_the_stay_is_the_tables_own_day_at_twenty_twenty_five_and_thirty(crop, days):
    for temp_c, published in zip((20.0, 25.0, 30.0), days, strict=True):
        assert median_days(load_crops()[crop], at(temp_c)) == pytest.approx(published, abs=0.5)


# Days saved from 15 to 25 °C are differences of the same table: pepper 25 - 8, cucumber 13 - 4, tomato 14 - 6,
# sweet corn 12 - 4, onion 7 - 4, lettuce 4 - 2.
@pytest.mark.parametrize(
    ("crop", "saved"),
    [("pepper", 17), ("cucumber", 9), ("tomato", 8), ("onion", 3), ("lettuce", 2)],
)
def test_days_that_heat_saves_are_the_differences_of_the_table(crop, saved):
    assert days_saved(load_crops()[crop], at(25.0), at(15.0)) == saved


def test_where_nobody_tested_the_cold_the_days_saved_are_not_known():
    assert days_saved(load_crops()["eggplant"], at(25.0), at(15.0)) is None


def test_a_tray_stays_until_four_seeds_in_five_are_up_and_a_fast_stretcher_until_half_are():
    # By hand: pepper 8 d, spread s, z(0.8) = 0.8416: 8 exp(0.8416 s), up to the whole day.
    pepper = load_crops()["pepper"]
    assert stay_at(replace(pepper, spread=0.2), at(25.0)) == Stay(6, 10)
    assert stay_at(replace(pepper, spread=0.2, stretches_fast=True), at(25.0)) == Stay(6, 8)


def test_lettuce_and_celery_do_not_go_on_a_hot_mat():
    # Normal seedlings: celery 97 % at 20 °C and 65 % or none at 25 °C (Harrington and Minges 1954). Lettuce still has
    # 99 % at 25 °C, but the round sends it off any mat above 22 °C, so it isn't put there.
    warmest = {
        crop: warmest_mat(load_crops()[crop], emergence_row(crop)) for crop in ("lettuce", "celery", "pepper")
    }
    assert warmest == {"lettuce": 22.0, "celery": 20.0, "pepper": math.inf}


@pytest.mark.parametrize("key", load_crops())
def test_no_crop_is_put_on_a_mat_that_the_round_sends_it_off(key):
    crop = load_crops()[key]
    this = tray(sown(key, 2), at=MAT)
    assert fastest_mat(crop, emergence_row(key), [MAT]) is None or "too warm" not in judged(this).flags


def test_a_sowing_comes_up_on_the_mat_only_where_heat_saves_days():
    crops, bench = load_crops(), at(15.0, PlaceKind.SLATTED_BENCH, id=2, name="bench")
    warm, cool = at(25.0), at(18.0, id=3, name="cool")
    places = [warm, cool, bench]
    pin = PinnedSowing(1, None, cool.id, False, "")

    def on(key: str, home: Place = bench, pin: PinnedSowing | None = None) -> Place | None:
        return comes_up_on(crops[key], emergence_row(key), places, home, pin)

    assert on("pepper") == warm
    assert on("lettuce") == cool
    assert on("pepper", pin=pin) == cool
    assert on("pepper", pin=replace(pin, place_id=None, without=True)) is None
    # At home warmer than any mat it bears, or on a mat already.
    assert on("lettuce", replace(bench, low_c=20.0, high_c=20.0)) is None
    assert on("pepper", warm) is None
    # Eggplant never came up below 20 °C: it has to have heat, however many days that saves.
    assert on("eggplant") == warm


def test_a_sowing_is_wished_for_in_the_middle_of_its_window_and_never_before_today():
    assert sowing_of(asked("pepper"), [at(25.0)], TODAY, None).wish == 7
    gone = asked("pepper", earliest=day(-20), latest=day(2))
    assert (
        sowing_of(gone, [at(25.0)], TODAY, None).earliest,
        sowing_of(gone, [at(25.0)], TODAY, None).wish,
    ) == (
        0,
        0,
    )


def test_a_pin_of_a_day_that_is_gone_or_of_a_mat_that_is_pins_nothing():
    pins = [
        (PinnedSowing(1, day(3), 1, False, ""), Pin(3, "mat", False)),
        (PinnedSowing(1, None, None, True, ""), Pin(None, None, True)),
        (PinnedSowing(1, day(-1), None, False, ""), None),
        (PinnedSowing(1, None, 99, False, ""), None),
        (PinnedSowing(1, None, None, False, ""), None),
    ]
    for held, expected in pins:
        assert sowing_of(asked("pepper"), [at(25.0)], TODAY, held).pin == expected


def test_trays_hold_slots_until_they_come_off_and_a_stack_no_more_than_there_are():
    mat = mat_of(at(25.0, slots=2), [1, 3, 3, 0], 10)
    assert [mat.open_slots(n) for n in range(4)] == [0, 0, 0, 2]
    assert mat_of(at(25.0, slots=2), [None], 5).taken == dict.fromkeys(range(5), 1)


def grounds_of(place: Place, crop: str) -> Grounds:
    return Grounds({place.id: place}, {6: a_container()}, {crop: load_crops()[crop]})


def sown_on_mat(crop: str, days_ago: int, **more):
    sowing = a_sowing(crop=crop, sown_on=day(-days_ago), **more)
    tray = a_tray(sowings=(sowing,), made_on=day(-days_ago))
    stays = tuple(replace(stay, place_id=1, since=day(-days_ago)) for stay in tray.stays[:1])
    return replace(tray, stays=stays)


def test_a_tray_not_up_holds_its_slot_until_most_of_it_should_be_and_a_late_one_until_tomorrow():
    on = grounds_of(at(25.0), "pepper")
    stay = stay_at(load_crops()["pepper"], at(25.0))
    assert stay is not None
    fresh = on_mat(sown_on_mat("pepper", 2), on, TODAY)
    assert fresh.off == TODAY + timedelta(days=stay.days - 2)
    assert (fresh.day_n, fresh.up) == (2, False)
    assert on_mat(sown_on_mat("pepper", 12), on, TODAY).off == day(1)


def test_a_tray_that_is_half_up_gives_its_slot_free_today():
    held = on_mat(
        sown_on_mat("pepper", 9, first_up=day(-2), half_up=TODAY), grounds_of(at(25.0), "pepper"), TODAY
    )
    assert (held.off, held.up) == (TODAY, True)


def test_a_fast_stretcher_gives_it_free_at_first_up():
    tray = sown_on_mat("cucumber", 4, first_up=TODAY)
    assert load_crops()["cucumber"].stretches_fast
    assert on_mat(tray, grounds_of(at(25.0), "cucumber"), TODAY).off == TODAY


def test_where_the_table_does_not_tell_the_slot_is_held_for_nobody_knows_how_long():
    assert on_mat(sown_on_mat("celery", 3), grounds_of(at(30.0), "celery"), TODAY).off is None


def test_without_a_word_a_sowing_comes_up_on_the_first_lit_shelf():
    bench, shelf = a_place(), at(18.0, PlaceKind.LIT_SHELF, id=9, walk=8)
    assert homes([bench, at(24.0), shelf]) == shelf
    assert homes([at(24.0)]) is None


def test_two_sowings_of_one_name_are_told_apart_by_their_day_and_then_by_number():
    names = {1: ("kale A", "for 4 May"), 2: ("kale A", "for 9 May"), 3: ("kale B", "for 4 May")}
    assert told_names(names) == {1: "kale A, for 4 May", 2: "kale A, for 9 May", 3: "kale B"}
    assert told_names({1: ("kale A", "x"), 2: ("kale A", "x")}) == {1: "kale A, x (1)", 2: "kale A, x (2)"}


def test_crops_of_very_different_speed_in_one_flat_are_warned_of():
    # 15 °C: lettuce 4 d, pepper 25 d; onion 7 d is under three times lettuce's 4 (Harrington and Minges 1954).
    crops = load_crops()
    words = speeds_apart([crops["pepper"], crops["lettuce"]], at(15.0))
    assert words.startswith("lettuce is up after about 4 d at mat, pepper after about 25 d")
    assert speeds_apart([crops["onion"], crops["lettuce"]], at(15.0)) == ""
    assert speeds_apart([crops["pepper"]], at(15.0)) == ""
