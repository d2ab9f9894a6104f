"""By when a tray is likely dry: worked days, what fingers and words change, what isn't known, and a sweep."""

from dataclasses import replace
from functools import cache
from math import isfinite
from random import Random

import pytest

from model.facts import Container, Finger, Place, PlaceKind, Tray
from model.rules.drying import AHEAD, air_of, easy_millimetres
from model.rules.grounds import Grounds
from model.rules.spells import TAUGHT_DAYS, present
from model.rules.thirst import NO_LATITUDE, NO_WATERING, STILL_WET, second_pass, thirsts
from model.rules.verdict import Dries, Knows, Thirst
from model.science.finger import Touch, after_day, after_touch, estimate, first_belief
from model.science.water_balance import daily_loss
from tests.builders import TODAY, day
from tests.rules.builders import (
    CELLS_72,
    CELLS_128,
    CELLS_200,
    CONTAINERS,
    HOT_MAT,
    MAT,
    PLACES,
    POT_10,
    SHELF,
    SLATS,
    YARD,
    ago,
    container,
    crop,
    place,
    sown,
    tray,
    up,
    words,
)
from tests.rules.test_sweep import FORBIDDEN, KEYS, a_history

SPRING_YARD = place(5, "Yard", PlaceKind.HARDENING, 4, 17)
LIT = replace(place(2, "Shelf", PlaceKind.LIT_SHELF, 21), lamp_umol=200.0, lamp_hours=16.0)
ON = Grounds({**PLACES, 5: SPRING_YARD, 2: LIT}, CONTAINERS, {key: crop(key) for key in KEYS}, latitude=45.0)
"""Sunny spring days at 45° N: 4 to 17 °C outdoors."""
DRY, MOIST, WET = range(3)
FULL = 0.8
"""Root fill with leaves closed [fraction]."""


def finger(days: int, score: int, watered: int | None) -> Finger:
    return Finger(ago(days), "Wren", score, None if watered is None else ago(watered))


def told(this: Tray, *teachers: Tray, on: Grounds = ON, fill: float | None = FULL) -> Thirst:
    return thirsts([this], on, {this.id: fill}, TODAY, teachers)[this.id]


def easy(this: Tray, *teachers: Tray, on: Grounds = ON, fill: float | None = FULL) -> float:
    found = told(this, *teachers, on=on, fill=fill).easy_water
    assert found is not None
    return found


# The sunny spring day, worked by hand beside the published equations.


@pytest.mark.parametrize(
    ("at", "key", "fill", "mm", "days", "half"),
    [
        (SLATS, "pepper", 0.0, 2.1, 4.5, 2.2),
        (SLATS, "tomato", FULL, 2.3, 4.1, 2.1),
        (YARD, "pepper", FULL, 4.0, 2.4, 1.2),
        (LIT, "lettuce", FULL, 1.7, 5.6, 2.8),
    ],
)
def test_a_sunny_spring_day_takes_what_was_worked_out(
    at: Place, key: str, fill: float, mm: float, days: float, half: float
):
    """Half a unit of the last printed digit for the loss. The days take 5.5 %: our cells hold 2 % more than those of
    the table, it is a day earlier, and the shelf's loss was rounded before it was divided by."""
    spell = present(tray(up(key), at=at, watered=0), ON, {1: fill}, TODAY)
    air = air_of(ON, [at.id], TODAY, TODAY)
    loss = float(daily_loss(air.loss_mm[0, 0], spell.root_fill, spell.leaves, 1.0))
    assert loss == pytest.approx(mm, abs=0.051)
    assert spell.easy_mm / loss == pytest.approx(days, rel=0.055)
    assert spell.easy_mm / loss / 2 == pytest.approx(half, rel=0.055)


@pytest.mark.parametrize(
    ("box", "mm"), [(container("24-cell tray"), 11.8), (CELLS_72, 9.6), (CELLS_128, 9.5), (CELLS_200, 7.5)]
)
def test_a_tray_holds_what_was_worked_out(box: Container, mm: float):
    assert easy_millimetres(box) == pytest.approx(mm, rel=0.06)


def test_easy_water_falls_by_a_days_loss_and_no_lower_than_nothing():
    left = [easy(tray(up(), at=SLATS, watered=days)) for days in range(15)]
    assert left[0] - left[1] == pytest.approx(2.34 / 9.8, rel=0.08)
    assert left[1] - left[2] == pytest.approx(2.34 / 9.8, rel=0.08)
    assert all(0 <= later < sooner for sooner, later in zip(left, left[1:], strict=False))


@pytest.mark.parametrize(
    ("days", "word", "dries", "dry_on"),
    [
        (0, "likely dry on Thu", Dries.LATER, day(2)),
        (1, "likely dry tomorrow", Dries.TOMORROW, day(1)),
        (2, "likely dry by evening", Dries.EVENING, TODAY),
        (3, "likely dry now", Dries.NOW, TODAY),
    ],
)
def test_the_words_follow_the_days_since_the_watering(days: int, word: str, dries: Dries, dry_on: object):
    found = told(tray(up(), at=SLATS, watered=days))
    assert (found.word, found.dries, found.dry_on) == (word, dries, dry_on)
    assert (found.knows, found.how) == (Knows.DEFAULT, "default")


def test_small_cells_dry_before_large_ones_and_pots_last():
    boxes = (container("288-cell tray"), CELLS_200, CELLS_72, POT_10)
    left = [easy(tray(up(), at=SLATS, into=box, watered=2)) for box in boxes]
    assert left == sorted(left)
    assert told(tray(up(), at=SLATS, into=POT_10, watered=0)).word == f"not dry within {AHEAD} days"


def test_a_hot_day_that_was_read_dries_more_and_where_a_tray_stood_counts_for_its_days():
    this = tray(up(), at=YARD, watered=1)
    hot = replace(ON, weather={YARD.id: {ago(1): (12.0, 30.0)}})
    assert easy(this, on=hot) < easy(this)
    under_glass = tray(up(), at=SLATS, watered=1)
    assert easy(under_glass, on=hot) < easy(under_glass), "glass follows the air outdoors"
    came = tray(up(), at=[(SLATS, 20), (YARD, 1)], watered=2)
    assert easy(tray(up(), at=YARD, watered=2)) < easy(came) < easy(tray(up(), at=SLATS, watered=2))


def test_bare_mix_on_a_heat_mat_dries_faster_the_warmer_it_is_and_leaves_do_not_feel_it():
    warm, hot = (easy(tray(sown(), at=at, watered=2), fill=0.0) for at in (MAT, HOT_MAT))
    assert hot < warm
    assert easy(tray(up(), at=MAT, watered=2)) == easy(tray(up(), at=HOT_MAT, watered=2))


def test_a_lit_shelf_follows_its_lamps():
    dim = replace(ON, places={**ON.places, 2: replace(LIT, lamp_umol=50.0)})
    assert easy(tray(up(), at=SHELF, watered=2)) < easy(tray(up(), at=SHELF, watered=2), on=dim)


# Fingers and words.


def test_a_finger_moves_the_estimate_its_way_and_makes_it_surer():
    plain = told(tray(up(), at=SLATS, watered=2))
    felt = {
        score: told(tray(up(), at=SLATS, watered=2, fingers=(finger(0, score, 2),))) for score in range(3)
    }
    levels = [felt[score].easy_water or 0.0 for score in range(3)]
    assert levels == sorted(levels)
    assert levels[DRY] < (plain.easy_water or 0.0) < levels[WET]
    assert (felt[MOIST].high or 0) - (felt[MOIST].low or 0) < (plain.high or 0) - (plain.low or 0)
    assert felt[DRY].word == "felt dry today"
    assert (felt[DRY].knows, felt[DRY].how) == (Knows.SEEN, "1 finger test")


@pytest.mark.parametrize("box", [container("open flat"), CELLS_72, POT_10], ids=lambda box: box.name)
def test_a_finger_that_finds_a_watered_tray_dry_is_believed(box: Container):
    """The water may have run off: the finger is so, and its place isn't made out to be a desert."""
    this = tray(up(), at=SLATS, into=box, watered=1, fingers=(finger(0, DRY, 1),))
    found = told(this)
    assert (found.word, found.dries, found.dry_on) == ("felt dry today", Dries.NOW, TODAY)
    assert (found.easy_water or 0) < 0.4
    neighbour = tray(up(), at=SLATS, into=box, watered=1, number=2)
    assert easy(neighbour) - easy(neighbour, this) < 0.1


def test_a_watering_after_the_finger_ends_what_it_felt():
    watered = tray(up(), at=SLATS, watered=0, fingers=(finger(0, DRY, 2),))
    assert told(watered).dries >= Dries.TOMORROW


def test_a_finger_is_reckoned_as_on_the_fine_grid():
    this = tray(up(), at=SLATS, watered=2, fingers=(finger(0, DRY, 2),))
    spell = present(this, ON, {1: FULL}, TODAY)
    loss = air_of(ON, [SLATS.id], ago(2), TODAY).loss_mm[0]
    belief = first_belief(1.0, 0.1)
    for mm in loss[:2]:
        belief = after_day(belief, mm, spell.root_fill, spell.leaves, spell.easy_mm)
    assert easy(this) == pytest.approx(float(estimate(after_touch(belief, Touch.DRY)).easy_water), abs=0.02)


def test_fingers_teach_the_other_trays_of_their_place_and_of_no_other():
    plain = tray(up(), at=SLATS, watered=2)
    dry = [tray(up(), at=SLATS, watered=2, number=n, fingers=(finger(0, DRY, 2),)) for n in range(2, 6)]
    wet = [tray(up(), at=SLATS, watered=0, number=n, fingers=(finger(1, WET, 4),)) for n in range(2, 6)]
    assert easy(plain, *dry) < easy(plain, *dry[:1]) < easy(plain) < easy(plain, *wet)
    assert told(plain, *dry).how == "4 finger tests"
    elsewhere = [replace(one, stays=tray(up(), at=YARD).stays) for one in dry]
    assert told(plain, *elsewhere) == told(plain)
    assert told(plain, *thirsty_batch(dry, plain)) == told(plain, *dry)


def thirsty_batch(dry: list[Tray], plain: Tray) -> list[Tray]:
    """The same teachers and the tray itself, which teaches nothing."""
    return [plain, *dry]


def test_neighbours_are_believed_only_so_far():
    """A tray at an edge stays a tray at an edge: twenty fingers beside it don't make it sure."""
    plain = tray(up(), at=SLATS, watered=2)
    many = [tray(up(), at=SLATS, watered=0, number=n, fingers=(finger(1, MOIST, 3),)) for n in range(2, 42)]
    found = told(plain, *many)
    assert (found.high or 0) - (found.low or 0) > 0.15


@pytest.mark.parametrize(
    "taught",
    [
        {"at": [(SLATS, 20), (YARD, 3), (SLATS, 1)], "watered": 0, "fingers": (finger(1, DRY, 4),)},
        {"at": SLATS, "watered": 0, "fingers": (finger(TAUGHT_DAYS + 1, DRY, TAUGHT_DAYS + 3),)},
        {"at": SLATS, "watered": 0, "fingers": (finger(1, DRY, None),)},
        {"at": SLATS, "watered": 0, "fingers": (finger(1, DRY, 18),)},
    ],
    ids=["moved between", "a season ago", "no watering before", "watering too long before"],
)
def test_a_finger_that_cannot_tell_of_its_place_teaches_nothing(taught: dict[str, object]):
    plain = tray(up(), at=SLATS, watered=2)
    teacher = tray(up(), number=2, **taught)  # type: ignore[arg-type]
    assert told(plain, teacher) == told(plain)


def test_left_dry_on_purpose_says_that_it_was_not_dry():
    plain = tray(up(), at=SLATS, watered=3)
    left = replace(plain, left=replace(plain.seen, day=TODAY))  # type: ignore[type-var]
    assert easy(left) > easy(plain)
    before = replace(plain, left=replace(plain.seen, day=ago(3)))  # type: ignore[type-var]
    assert told(before) == told(plain), "a watering outdoes what was said that day"
    assert told(left).how == "default"


def test_a_finger_alone_tells_where_no_watering_is_on_record():
    none = tray(up(), at=SLATS, watered=None)
    assert told(none).word == NO_WATERING
    levels = [easy(replace(none, fingers=(finger(0, score, None),))) for score in range(3)]
    assert levels == [pytest.approx(level, abs=0.04) for level in (0.30, 0.51, 0.72)]


# What isn't known, and when to leave it.


def test_what_is_not_known_is_said_and_never_a_number():
    blind = replace(ON, latitude=None)
    found = told(tray(up(), at=SLATS), on=blind)
    assert (found.word, found.easy_water, found.low, found.high, found.dry_on) == (NO_LATITUDE, *[None] * 4)
    assert (found.dries, found.knows) == (Dries.UNKNOWN, Knows.RECORD)
    assert "latitude" in found.source
    assert told(tray(up(), at=[(SLATS, 20), (SHELF, 1)], watered=2), on=blind).word == NO_LATITUDE
    assert told(tray(up(), at=SHELF), on=blind) == told(tray(up(), at=SHELF))
    assert told(tray(sown(), at=MAT), on=blind).easy_water is not None
    assert told(tray(up(), at=SLATS, watered=16)).word == "drying not known: no watering for 16 d"
    assert told(tray(up(), at=SLATS, watered=-1)).word == NO_WATERING


def test_wet_mix_is_to_be_left_while_little_is_up_and_it_is_cool():
    cool, young = (
        tray(sown(days=4), at=SLATS, watered=1),
        tray(sown(days=9, first_up=ago(1)), at=SLATS, watered=1),
    )
    assert told(cool, fill=0.0).word == told(young, fill=0.0).word == STILL_WET
    assert told(cool, fill=0.0).dry_on is not None
    for other in (
        tray(sown(days=4), at=SLATS, watered=0),
        tray(sown(days=4), at=SLATS, watered=3),
        tray(sown(days=4), at=HOT_MAT, watered=1),
        tray(up(), at=SLATS, watered=1),
        tray(up(), at=SLATS, watered=1, parent_id=7),
    ):
        assert told(other, fill=0.0).word != STILL_WET


# The second pass.


def test_a_second_pass_goes_where_most_trays_are_likely_dry_before_evening():
    trays = [
        tray(up(), at=at, watered=days, number=number)
        for number, (at, days) in enumerate(
            [(SLATS, 3), (SLATS, 0), (SLATS, None), (YARD, 3), (YARD, 1), (SHELF, 0)], start=1
        )
    ]
    found = thirsts(trays, ON, dict.fromkeys(range(1, 7), FULL), TODAY)
    yard, slats = second_pass(found, [(t.id, t.place_id) for t in trays], ON.places.values())
    assert (yard.name, yard.trays, yard.by_noon, yard.by_evening, yard.unknown) == ("Yard", 2, 1, 2, 0)
    assert (slats.name, slats.trays, slats.by_noon, slats.by_evening, slats.unknown) == ("Slats", 3, 1, 1, 1)
    assert (yard.tray_ids, slats.tray_ids) == ((4, 5), (1,))
    assert second_pass({}, [], ON.places.values()) == ()


# The sweep.


@cache
def swept() -> tuple[Tray, ...]:
    random = Random(20260415)
    return tuple(with_fingers(random, a_history(random, number)) for number in range(1, 2001))


def with_fingers(random: Random, this: Tray) -> Tray:
    """The tray, a few fingers in it."""
    watered = this.watered.day if this.watered else None
    tests = [
        Finger(
            ago(age),
            "Jory",
            random.randint(0, 2),
            random.choice((watered, None, ago(age + random.randint(0, 20)))),
        )
        for age in sorted(
            (random.choice((0, 0, 1, 2, 5, 30, 90)) for _ in range(random.choice((0, 0, 1, 3)))), reverse=True
        )
    ]
    return replace(
        this, fingers=tuple(test for test in tests if test.watered is None or test.watered <= test.day)
    )


@pytest.mark.parametrize("latitude", [None, 0.0, 52.0, -41.0, 90.0])
@pytest.mark.parametrize("ahead", [0, 1, 30])
def test_the_sweep_finds_sound_numbers_and_short_words(latitude: float | None, ahead: int):
    trays, before = swept(), repr(swept())
    random = Random(7)
    fills = {this.id: random.choice((None, 0.0, 0.2, 0.6, 1.0)) for this in trays}
    found = thirsts(trays, replace(ON, latitude=latitude), fills, day(-ahead))
    assert set(found) == {this.id for this in trays}
    for thirst in found.values():
        assert 1 <= words(thirst.word) <= 8, thirst
        assert not FORBIDDEN.search(thirst.word), thirst
        assert thirst.source, thirst
        numbers = (thirst.easy_water, thirst.low, thirst.high)
        if thirst.dries is Dries.UNKNOWN:
            assert numbers == (None, None, None), thirst
        else:
            assert all(number is not None and isfinite(number) and 0 <= number <= 1 for number in numbers), (
                thirst
            )
            assert (thirst.low or 0) <= (thirst.high or 0), thirst
    assert repr(trays) == before, "what people said is never changed"


def test_a_tray_alone_is_reckoned_as_among_all():
    trays = swept()[:300]
    fills = {this.id: 0.4 for this in trays}
    together = thirsts(trays, ON, fills, TODAY)
    for this in trays[::15]:
        alone = thirsts([this], ON, fills, TODAY, trays)[this.id]
        assert alone.word == together[this.id].word
        assert alone.tests == together[this.id].tests
        assert alone.easy_water == pytest.approx(together[this.id].easy_water, abs=1e-9)
