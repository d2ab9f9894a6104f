"""The mat rota as it is told: what is free when, who is first, who does without, and what can't be."""

from datetime import date, timedelta
from random import Random

import pytest

from model.actions.farm import keep_place
from model.actions.rota import PinWish, pin, release
from model.actions.sow import Sow, SowPart, sow
from model.errors import BadInput
from model.facts import Place, PlaceKind
from model.numbering import about, next_number
from model.science.rota_choices import Where
from model.store import reading_ahead
from model.store.database import Store
from model.views import mat as view
from model.views.answer import WIDTH, as_json, as_text
from tests.builders import TODAY
from tests.conftest import StampMaker
from tests.targets import keep_target

JUNE = date(2026, 6, 23)


def told(store: Store) -> str:
    return as_text(view.answer(view.solved(view.gather(store, TODAY))))


def rota(store: Store) -> view.MatView:
    return view.solved(view.gather(store, TODAY))


def named(found: view.MatView) -> dict[str, view.MatSowing]:
    return {sowing.name: sowing for sowing in found.sowings}


def put_on_mat(store: Store, stamp: StampMaker, containers: dict[str, int], what: str, sown_on: date) -> None:
    crop, variety = what.split(" ", 1)
    part = SowPart(crop, variety, 72, 1, "")
    with store.reading() as rows:
        number = next_number(rows, about(rows, TODAY))
    sow(store, stamp(), Sow(containers["72-cell tray"], 1, (part,), sown_on, number), stack=True)


def test_an_empty_farm_says_what_to_do(store: Store):
    assert "A plans some" in told(store)
    assert "mat: 8 of 8 free today, 8 on Fri 17 Apr, a week from Tue 14 Apr." in told(store)


def test_without_a_mat_there_is_no_rota(store: Store):
    with store.reading() as rows:
        from model.store.reading import places

        mat = next(place for place in places(rows) if place.kind is PlaceKind.HEAT_MAT)
    keep_place(store, Place(mat.id, "bench 2", PlaceKind.SLATTED_BENCH, mat.walk, 8, 12.0, 20.0))
    assert "Add one with P" in told(store)


def test_pepper_goes_first_and_lettuce_without_heat(store: Store, stamp: StampMaker):
    keep_target(store, stamp(), "pepper Ember", JUNE)
    keep_target(store, stamp(), "lettuce Pale Ivy", date(2026, 5, 26))
    keep_place(store, Place(1, "mat", PlaceKind.HEAT_MAT, 1, 8, 28.0, 28.0))
    keep_place(store, Place(2, "shelf", PlaceKind.LIT_SHELF, 2, 12, 15.0, 15.0))
    found = rota(store)
    assert named(found)["pepper Ember"].where is Where.ON_MAT
    # 15 to 28 °C: 25 d and, between its 8 d at 25 and at 30 °C, 8 d (Harrington and Minges 1954).
    assert named(found)["pepper Ember"].days_saved == 17
    assert named(found)["lettuce Pale Ivy"].where is Where.WITHOUT
    assert named(found)["lettuce Pale Ivy"].too_hot
    text = told(store)
    assert "pepper Ember first: 17 days saved; without heat: lettuce Pale Ivy." in text
    assert "its seed doesn't bear the mat's heat" in text
    assert "Proved: no rota loses less" in text


def test_before_it_is_solved_the_rota_says_that_it_is_not_proved(store: Store, stamp: StampMaker):
    keep_target(store, stamp(), "pepper Ember", JUNE)
    text = as_text(view.answer(view.in_turn(view.gather(store, TODAY))))
    assert "In turn, not proved" in text
    assert "best" not in text


def test_where_the_mat_is_narrow_it_is_said_who_has_the_slot(store: Store, stamp: StampMaker):
    keep_place(store, Place(1, "mat", PlaceKind.HEAT_MAT, 1, 1, 25.0, 25.0))
    keep_target(store, stamp(), "pepper Ember", JUNE)
    keep_target(store, stamp(), "tomato Ostrel", date(2026, 5, 29))
    pin(store, stamp(), PinWish(1, day=TODAY + timedelta(days=3), place_id=1))
    pin(store, stamp(), PinWish(2, day=TODAY + timedelta(days=4)))
    found = named(rota(store))
    assert found["tomato Ostrel"].where is Where.WITHOUT
    assert found["tomato Ostrel"].held_by == ("pepper Ember",)
    assert found["pepper Ember"].ahead_of == ("tomato Ostrel",)
    assert "its slot goes to pepper Ember" in told(store)
    # Its window counts on the heat that it doesn't get.
    saved = found["tomato Ostrel"].days_saved
    assert f"without heat {saved} d sooner" in told(store)


def test_more_flats_than_any_mat_has_slots_is_said_with_what_to_do(store: Store, stamp: StampMaker):
    keep_target(store, stamp(), "pepper Ember", JUNE, plants=900)
    found = rota(store)
    assert found.sowings == ()
    assert "more than any mat it may stand on has slots" in found.refused[0].what_happened
    assert "Split the sowing, or pin it to no mat." in told(store)
    pin(store, stamp(), PinWish(1, without=True))
    assert [s.where for s in rota(store).sowings] == [Where.WITHOUT]


def test_what_has_to_have_heat_and_finds_no_right_mat_is_not_in_it_and_says_so(
    store: Store, stamp: StampMaker
):
    keep_place(store, Place(1, "mat", PlaceKind.HEAT_MAT, 1, 8, 12.0, 12.0))
    keep_place(store, Place(2, "shelf", PlaceKind.LIT_SHELF, 2, 12, 14.0, 14.0))
    keep_target(store, stamp(), "eggplant Dusk", JUNE)
    assert "Set a mat to a warmth it comes up at, or let it go without." in told(store)


def test_pins_that_want_more_slots_than_there_are_are_named_and_the_rest_is_still_laid(
    store: Store, stamp: StampMaker
):
    keep_place(store, Place(1, "mat", PlaceKind.HEAT_MAT, 1, 1, 25.0, 25.0))
    for number, name in enumerate(("Ember", "Coal"), 1):
        keep_target(store, stamp(), f"pepper {name}", JUNE + timedelta(days=number))
        pin(store, stamp(), PinWish(number, day=TODAY + timedelta(days=2), place_id=1))
    found = rota(store)
    assert [no.what_to_do for no in found.refused] == ["Move one of the pins."]
    assert len(found.sowings) == 2
    assert [sowing.pinned for sowing in found.sowings].count(True) == 1


def test_a_pin_is_kept_with_its_reason_and_released(store: Store, stamp: StampMaker):
    target = keep_target(store, stamp(), "pepper Ember", JUNE)
    day = TODAY + timedelta(days=9)
    receipt = pin(store, stamp(), PinWish(target, day, 1, reason="the class comes"))
    assert receipt.words == "pinned pepper Ember for Thu 23 Apr on mat"
    found = named(rota(store))["pepper Ember"]
    assert (found.day, found.mat, found.reason) == (day, "mat", "the class comes")
    release(store, stamp(), target)
    assert not named(rota(store))["pepper Ember"].pinned
    with pytest.raises(BadInput, match="isn't pinned"):
        release(store, stamp(), target)


def test_what_can_not_be_pinned_is_refused(store: Store, stamp: StampMaker):
    target = keep_target(store, stamp(), "pepper Ember", JUNE)
    for wish, words in (
        (PinWish(target), "Nothing is decided"),
        (PinWish(target, place_id=1, without=True), "can't both be"),
        (PinWish(target, day=TODAY - timedelta(days=1)), "is gone"),
        (PinWish(target), "no mat"),
        (PinWish(99, without=True), "dropped or changed"),
    ):
        with pytest.raises(BadInput, match=words):
            pin(store, stamp(), wish)
    with store.reading() as rows:
        assert reading_ahead.pins(rows) == {}


def test_what_was_missed_is_laid_for_today_and_takes_its_slot(store: Store, stamp: StampMaker):
    keep_target(store, stamp(), "pepper Ember", TODAY + timedelta(days=6))
    found = rota(store)
    (sowing,) = found.sowings
    assert (sowing.day, sowing.mat) == (TODAY, "mat")
    assert found.mats[0].free[0] == found.mats[0].slots - 1
    assert any("its last day was" in why for line in view.answer(found).lines for why in line.why)


@pytest.mark.parametrize("seed", range(20))
def test_the_next_free_days_are_those_on_which_a_count_of_trays_finds_a_slot(
    store: Store, stamp: StampMaker, containers: dict[str, int], seed: int
):
    chance = Random(seed)
    slots = chance.choice((2, 3, 4))
    keep_place(store, Place(1, "mat", PlaceKind.HEAT_MAT, 1, slots, 25.0, 25.0))
    for number in range(chance.randrange(1, 5)):
        crop = chance.choice(("pepper", "tomato", "onion"))
        put_on_mat(store, stamp, containers, f"{crop} V{number}", TODAY - timedelta(days=chance.randrange(4)))
    for number in range(chance.randrange(3)):
        keep_target(store, stamp(), f"pepper W{number}", JUNE + timedelta(days=number))
    found = rota(store)
    (mat,) = found.mats
    stays = [(found.on, tray.off, 1) for tray in found.trays]
    stays += [(s.day, s.off, s.flats) for s in found.sowings if s.mat]

    def free(day: date) -> int:
        held = sum(flats for start, off, flats in stays if start and off and start <= day < off)
        return slots - min(slots, held)

    by_hand = [
        day
        for day in (TODAY + timedelta(days=n) for n in range(120))
        if all(free(day + timedelta(days=n)) >= 1 for n in range(view.USUAL_STAY))
    ][: view.NEXT_FREE]
    assert list(mat.next_free) == by_hand
    assert list(mat.free) == [free(TODAY + timedelta(days=n)) for n in range(view.SHOWN_DAYS)]
    assert mat.free_on_friday == free(date(2026, 4, 17))


def test_every_line_fits_the_narrow_screen(store: Store, stamp: StampMaker, containers: dict[str, int]):
    keep_target(store, stamp(), "pepper A Name That Goes On And On For Ever", JUNE, plants=200)
    keep_target(store, stamp(), "cabbage Hollin", date(2026, 6, 2))
    put_on_mat(store, stamp, containers, "tomato Ostrel", TODAY - timedelta(days=3))
    found = view.answer(rota(store))
    for text in (*found.answer, found.heading, *found.notes, *(line.text for line in found.lines)):
        assert len(text) <= WIDTH, text
    assert all(len(line.why) <= 4 for line in found.lines)
    assert len(found.answer) <= 3
    assert '"proof": "proved: none costs less"' in as_json(rota(store))
