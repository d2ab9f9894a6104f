"""A cold spell by its rules: who bears holding least, what a rescue takes, which condition isn't met."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from math import inf

import pytest

from model.ahead import NightTold
from model.crops import load_crops
from model.facts import Stay, Vessel
from model.rules.cold import (
    Held,
    Tender,
    cooler,
    cost_of_potting_up,
    days_bought,
    last_resow,
    one_move_only,
    pot_for,
    rank,
    room_left,
    tender_of,
    worst_night,
)
from model.rules.course import Change, Plants
from model.rules.filling import Filling
from model.rules.gate import Gate, GateWord
from model.rules.grounds import Grounds
from model.rules.verdict import Fill
from model.science.frost import Cover
from model.units import celsius
from tests.builders import TODAY, a_sowing, a_tray
from tests.rules.builders import (
    CELLS_72,
    CELLS_200,
    CONTAINERS,
    PLACES,
    POT_10,
    SHELF,
    ago,
)

CROPS = load_crops()
TOMATO, KALE, CORN, CUCUMBER = (CROPS[key] for key in ("tomato", "kale", "sweet_corn", "cucumber"))
NOON = datetime(2026, 4, 14, 12, tzinfo=UTC)


def nights(*lows_f: float, age_h: float = 3.0) -> tuple[NightTold, ...]:
    return tuple(
        NightTold(TODAY + timedelta(days=ahead), celsius(low), NOON, age_h)
        for ahead, low in enumerate(lows_f)
    )


def held(word: GateWord, tender: Tender, room: float, slots: int = 1, wait: int | None = 6) -> Held:
    mild_from = None if wait is None else TODAY + timedelta(days=wait)
    return Held(Gate(word, (), None, mild_from), tender, room, slots, TODAY)


def test_go_comes_first_then_who_cant_outwait_the_spell_corn_before_cucumber_before_the_rest() -> None:
    lettuce = held(GateWord.GO, Tender.OTHER, 20)
    corn, cucumber = held(GateWord.WAIT, Tender.CORN, 5), held(GateWord.WAIT, Tender.CUCURBIT, 4)
    small, tomato = held(GateWord.WAIT, Tender.SMALL_CELL, 4), held(GateWord.WAIT, Tender.OTHER, 2)
    patient = held(GateWord.WAIT, Tender.CORN, 12)
    mixed = [patient, tomato, small, corn, lettuce, cucumber]
    assert sorted(mixed, key=rank) == [lettuce, corn, cucumber, small, tomato, patient]


def test_of_two_alike_the_one_with_less_room_comes_first_then_the_cheaper_rescue() -> None:
    dear, cheap = held(GateWord.WAIT, Tender.OTHER, 3, 5), held(GateWord.WAIT, Tender.OTHER, 3, 2)
    pressed = held(GateWord.WAIT, Tender.OTHER, 1, 9)
    assert sorted([dear, cheap, pressed], key=rank) == [pressed, cheap, dear]


def test_nobody_outwaits_a_spell_of_which_nothing_is_told() -> None:
    assert rank(held(GateWord.UNKNOWN, Tender.OTHER, 90, wait=None))[1] is False


def test_which_crops_bear_holding_least() -> None:
    assert tender_of(CORN, CELLS_72) is Tender.CORN
    assert tender_of(CUCUMBER, CELLS_72) is Tender.CUCURBIT
    assert tender_of(TOMATO, CELLS_200) is Tender.SMALL_CELL
    assert tender_of(TOMATO, CELLS_72) is Tender.OTHER
    assert [one_move_only(crop) for crop in (CORN, CUCUMBER, TOMATO)] == [True, True, False]


def test_sweet_corn_has_twenty_days_in_the_plug_whatever_its_roots_do() -> None:
    assert room_left(CORN, ago(18), ago(-40), TODAY) == 2
    assert room_left(CORN, ago(18), None, TODAY) == 2
    assert room_left(TOMATO, ago(60), ago(-4), TODAY) == 4
    assert room_left(TOMATO, ago(60), ago(3), TODAY) == 0
    assert room_left(TOMATO, ago(60), None, TODAY) == inf


def test_potting_up_a_tray_of_72_takes_five_slots_and_about_36_litres() -> None:
    """By hand: 72 pots of 484 mL, of each 43 mL the plug brings: 72 x 441 x 1.15 mL = 36.5 L; 72/15 is 4.8 slots."""
    cost = cost_of_potting_up(72, CELLS_72.volume_ml, POT_10)
    assert (cost.pots, cost.slots) == (72, 5)
    assert cost.mix_l == pytest.approx(36.5, abs=0.05)


def test_the_pot_is_the_plans_else_a_four_inch_one() -> None:
    thirteen = next(box for box in CONTAINERS.values() if box.name == "13 cm pot")
    assert pot_for(CONTAINERS.values(), None) == POT_10
    assert pot_for(CONTAINERS.values(), thirteen.id) == thirteen
    assert pot_for([CELLS_72], None) is None


def test_a_cooler_place_is_in_light_and_not_cold() -> None:
    places = [
        place for place in PLACES.values() if place.name in {"Shelf", "Slats", "Porch", "Frame", "Cellar"}
    ]
    found = cooler(SHELF, places, TOMATO)
    assert found is not None
    assert found.name == "Porch"
    assert cooler(found, places, TOMATO) is None


def test_room_and_cool_buy_days_and_warmth_buys_none() -> None:
    sowing = replace(a_sowing(crop="tomato"), sown_on=ago(40))
    tray = replace(
        a_tray(sowings=(sowing,)), stays=(Stay(SHELF.id, ago(40)),), vessels=(Vessel(CELLS_72.id, ago(40)),)
    )
    on = Grounds(PLACES, CONTAINERS, CROPS)
    plants = Plants(sowing, tray, TOMATO, ago(30), Filling(Fill(0.6, 0.5, 0.7)), TODAY)
    porch = next(place for place in PLACES.values() if place.name == "Porch")
    mat = next(place for place in PLACES.values() if place.name == "Mat")
    # At 10 degree-days a day from logit 0.405 to 2.197 by 0.0227: 44 +/- 1 degree-days, 7.9 d; at 12 °C 19.7 d.
    assert days_bought(plants, on, 1.0, Change(place_id=porch.id)) in (11, 12, 13)
    assert days_bought(plants, on, 1.0, Change(place_id=mat.id)) == 0
    more = days_bought(plants, on, 1.0, Change(container_id=POT_10.id, wait_days=1))
    assert more is not None
    assert more >= 10
    still = next(place for place in PLACES.values() if place.name == "Still bench")
    assert days_bought(plants, on, 1.0, Change(place_id=still.id)) is None


def test_the_worst_night_is_told_by_its_own_chance_and_a_cover_lowers_it() -> None:
    told = nights(40, 33, 39)
    found, covered = worst_night(told, 0.0, None), worst_night(told, 0.0, Cover.MEDIUM)
    assert found is not None
    assert covered is not None
    assert found[0] == told[1] == covered[0]
    assert covered[1] < found[1]
    assert worst_night((), 0.0, None) is None


def test_the_last_day_of_a_new_sowing_counts_back_the_longer_of_the_published_weeks() -> None:
    """Tomato takes 5 to 6 weeks: University of Delaware, Mid-Atlantic recommendations Table A-4."""
    assert last_resow(date(2026, 6, 15), TOMATO) == date(2026, 5, 4)
    assert last_resow(None, TOMATO) is None
    assert last_resow(date(2026, 6, 15), replace(TOMATO, weeks=None)) is None
