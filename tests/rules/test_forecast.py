"""The forecast of root fill: it follows the places, the looks and the earlier trays, and says how it knows."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from model.facts import Tray
from model.rules.filling import filling
from model.rules.forecast import outlooks
from model.rules.grounds import Grounds
from model.rules.learning import ASK_FROM, Past
from model.rules.outlook import Outlook, from_text, to_text
from model.rules.readiness import case, judge
from model.rules.verdict import Risk, Stage
from model.science.root_fill import CUTS, capacity_log
from tests.builders import TODAY
from tests.rules.builders import (
    CELLS_72,
    CELLS_128,
    CONTAINERS,
    PLACES,
    POT_10,
    ROOM,
    SHELF,
    STILL,
    ago,
    case_of,
    crop,
    grounds_of,
    tray,
    up,
)

RATE, DEGREE_DAYS = 0.0227, 10.0
"""Tomato on the shelf at a steady 18 °C: ten degree-days a day."""


def grounds() -> Grounds:
    return Grounds(PLACES, CONTAINERS, {key: crop(key) for key in ("tomato", "pepper", "kale")})


def no_past(on: Grounds) -> Past:
    return Past((), {}, {}, on, TODAY)


def outlook_of(this: Tray, past: Past | None = None, on: Grounds | None = None) -> Outlook:
    on = on or grounds()
    return outlooks([this], {}, past or no_past(on), on, TODAY)[1]


def days(day: date | None, from_day: date) -> int:
    assert day is not None
    return (day - from_day).days


def gone(number: int, growth: float, *, looks: int = 2, **changes: object) -> Tray:
    """An earlier tomato tray of the shelf that grew so many times as fast as the default, set out once its cells were full."""
    tau = [
        (capacity_log(43.0, 2.1) + CUTS[1]) / RATE / growth,
        (capacity_log(43.0, 2.1) + CUTS[2]) / RATE / growth,
    ]
    half = 160
    seen = [
        (half - round(warmth / DEGREE_DAYS) - 1, score) for warmth, score in zip(tau, (2, 3), strict=True)
    ]
    usual = {"ended_on": ago(seen[1][0] - 2), "id": number}
    sowing = up("tomato", half, sowing_id=number, out=72)
    return tray(sowing, at=SHELF, looks=seen[:looks], **{**usual, **changes})


# Before anybody has looked.


def test_without_a_look_it_says_what_the_crop_file_says():
    this = tray(up("tomato", 10), at=SHELF)
    found = outlook_of(this)
    prior = case_of(this).filling
    assert prior is not None
    assert prior.ready is not None
    assert found.fills[0].expected == pytest.approx(prior.fill.expected, rel=0.02)
    assert (found.past, found.looks) == (0, 0)
    # Worked figures: ready 10/50/90 % on day 14.4, 22.5 and 35.3 after half up; a grid point counts half here.
    assert [days(day, ago(10)) for day in found.ready] == pytest.approx([14.4, 22.5, 35.3], abs=1.0)


def test_days_that_are_gone_by_are_told_too():
    found = outlook_of(tray(up("tomato", 40), at=SHELF))
    assert days(found.ready[1], ago(40)) == pytest.approx(22.5, abs=1.1)
    assert days(found.ready[0], ago(40)) == pytest.approx(14.4, abs=1.1)
    assert days(found.bound, ago(40)) == pytest.approx(36.2, abs=1.1)


def test_where_nothing_grows_nothing_is_ever_ready():
    found = outlook_of(tray(up("tomato", 10), at=STILL))
    assert found.ready == (None, None, None)
    assert (found.full, found.bound, found.value_of_look) == (None, None, 0.0)


# Looks.


def test_few_roots_on_day_fourteen_bring_it_on_as_worked_by_hand():
    found = outlook_of(tray(up("tomato", 14), at=SHELF, looks=[(0, 1)]))
    mean, spread = found.growth
    assert (mean, spread) == (pytest.approx(0.230, abs=0.002), pytest.approx(0.182, abs=0.002))
    assert [days(day, ago(14)) for day in found.ready] == pytest.approx([14.3, 17.7, 22.7], abs=1.0)


def test_the_band_narrows_with_each_look():
    widths = []
    for looks in ([], [(8, 0)], [(8, 0), (4, 1)], [(8, 0), (4, 1), (0, 1)]):
        low, _, high = outlook_of(tray(up("tomato", 22), at=SHELF, looks=looks)).ready
        widths.append(days(high, TODAY) - days(low, TODAY))
    assert widths == sorted(widths, reverse=True)
    assert widths[-1] < widths[0] / 2


def test_a_look_outranks_whatever_was_expected():
    slow = tray(up("tomato", 40), at=SHELF, looks=[(0, 0)])
    quick = tray(up("tomato", 3), at=SHELF, looks=[(0, 4)])
    for this, stage, least, most in ((slow, None, 0.0, 0.11), (quick, Stage.PAST, 0.89, 1.0)):
        on = replace(grounds(), outlooks={1: outlook_of(this)})
        verdict = judge(this, on, TODAY).leading
        assert verdict.fill is not None
        assert least <= verdict.fill.expected <= most
        assert stage is None or verdict.stage is stage
    assert judge(quick, replace(grounds(), outlooks={1: outlook_of(quick)}), TODAY).leading.risk is Risk.ACT


def test_what_a_look_did_not_find_comes_after_it():
    this = tray(up("tomato", 60), at=SHELF, looks=[(0, 1)])
    found = case(this.sowings[0], this, replace(grounds(), outlooks={1: outlook_of(this)}), TODAY).filling
    assert found is not None
    assert found.ready is not None
    assert found.ready.start > TODAY


# Moves and pots.


def test_a_warmer_place_brings_it_on_and_potting_up_puts_it_off():
    here = outlook_of(tray(up("tomato", 15), at=SHELF))
    warm = outlook_of(tray(up("tomato", 15), at=[(SHELF, 25), (ROOM, 5)]))
    pot = outlook_of(tray(up("tomato", 15), at=SHELF, into=[(CELLS_72, 25), (POT_10, 0)]))
    assert warm.ready[1] is not None
    assert here.ready[1] is not None
    assert pot.ready[1] is not None
    assert warm.ready[1] < here.ready[1] < pot.ready[1]
    # Mass is kept and shared by more room.
    assert pot.fills[0].expected == pytest.approx(here.fills[0].expected * 43 / POT_10.volume_ml, rel=0.05)


def test_looks_at_the_parent_teach_the_growth_of_its_pots():
    parent = tray(up("tomato", 20), at=SHELF, looks=[(8, 0), (4, 0)], id=7)
    child = tray(up("tomato", 20), at=SHELF, id=8, parent_id=7, made_on=ago(2))
    on = grounds()
    alone, with_parent = (
        outlooks([child], family, no_past(on), on, TODAY)[1] for family in ({}, {7: parent})
    )
    assert with_parent.looks == 2
    assert with_parent.growth[0] < alone.growth[0]


def test_warm_days_that_were_read_count_as_they_were():
    this = tray(up("tomato", 15), at=SHELF)
    warm = {SHELF.id: {ago(back): (22.0, 26.0) for back in range(1, 15)}}
    usual, read = outlook_of(this), outlook_of(this, on=replace(grounds(), weather=warm))
    assert usual.ready[1] is not None
    assert read.ready[1] is not None
    assert usual.ready[1] - read.ready[1] >= timedelta(days=4)


# Earlier trays.


def past_of(*trays: Tray, agreed: bool = True) -> Past:
    on = grounds()
    return Past(trays, {this.id: this for this in trays}, {"tomato": agreed}, on, TODAY)


def test_earlier_trays_that_grew_slowly_put_it_off_once_the_grower_agreed():
    slow = [gone(number, 0.7) for number in (11, 12, 13)]
    this = tray(up("tomato", 10), at=SHELF)
    default, yours = outlook_of(this, past_of(*slow, agreed=False)), outlook_of(this, past_of(*slow))
    assert (default.past, yours.past) == (0, 3)
    assert default.growth[0] == pytest.approx(0.0, abs=0.01)
    assert yours.growth[0] < -0.15
    assert yours.growth[1] < default.growth[1]
    assert past_of(*slow).growth("tomato")[0] < -0.2


def test_it_asks_once_there_are_three_and_never_again():
    assert ASK_FROM == 3
    three = [gone(number, 0.7) for number in (11, 12, 13)]
    on = grounds()
    assert Past(three[:2], {}, {}, on, TODAY).to_ask() == ()
    assert Past(three, {}, {}, on, TODAY).to_ask() == ("tomato",)
    assert Past(three, {}, {"tomato": False}, on, TODAY).to_ask() == ()


@pytest.mark.parametrize(
    ("this", "why"),
    [
        (gone(11, 1.0, looks=0), "nobody looked at its roots"),
        (gone(11, 1.0, corrected=True), "its days were corrected"),
        (gone(11, 1.0, ended_on=ago(60)), "it was held back"),
        (gone(11, 1.0), ""),
    ],
)
def test_it_says_which_earlier_trays_are_left_out_and_why(this: Tray, why: str):
    (lesson,) = past_of(this).lessons
    assert lesson.left_out == why
    assert past_of(this).count("tomato") == (0 if why else 1)


def test_a_tray_that_failed_or_whose_half_up_nobody_ticked_teaches_nothing():
    failed = gone(11, 1.0)
    lost = replace(failed, sowings=(replace(failed.sowings[0], lost=40, out=32),))
    unticked = replace(failed, sowings=(replace(failed.sowings[0], half_up=None),))
    assert [past_of(this).lessons[0].left_out for this in (lost, unticked)] == [
        "it failed",
        "half up wasn't ticked",
    ]


def test_a_parent_whose_pots_still_stand_is_left_to_them():
    parent = replace(gone(11, 1.0), children=(12,))
    child = tray(up("tomato", 160), at=SHELF, id=12, parent_id=11)
    past = Past([parent], {11: parent, 12: child}, {}, grounds(), TODAY)
    assert past.lessons[0].left_out == "its pots still stand"


def test_setting_out_is_never_taught_as_being_ready():
    early, late = (gone(11, 1.0, ended_on=ago(ended)) for ended in (135, 126))
    assert past_of(early).growth("tomato") == past_of(late).growth("tomato")


# Keeping it.


def test_an_outlook_comes_back_from_its_text():
    found = outlook_of(tray(up("tomato", 15), at=SHELF, looks=[(3, 1)]))
    assert from_text(to_text(found)) == found
    never = outlook_of(tray(up("tomato", 10), at=STILL))
    assert from_text(to_text(never)) == never


def test_it_tells_of_the_mornings_after_it_was_reckoned():
    this = tray(up("tomato", 15), at=SHELF)
    found = outlook_of(this)
    on = replace(grounds(), outlooks={1: found})
    for ahead in (0, 3):
        day = TODAY + timedelta(days=ahead)
        fresh = outlooks([this], {}, Past((), {}, {}, grounds(), day), grounds(), day)[1]
        told = case(this.sowings[0], this, on, day).filling
        assert told is not None
        assert told.fill.expected == pytest.approx(fresh.fills[0].expected, rel=0.01)
    assert not found.covers(TODAY + timedelta(days=11))
    assert not found.covers(ago(1))


def test_the_default_stands_where_no_outlook_is_known():
    this = tray(up("kale", 15), at=SHELF)
    at = case_of(this)
    assert at.filling == filling(this.sowings[0], this, crop("kale"), grounds_of(this), at.stand, TODAY)


def test_many_trays_are_told_what_each_would_be_alone():
    several = [
        tray(up(key, half, sowing_id=number), at=place, into=[(cells, half + 8)], id=number, looks=looks)
        for number, (key, half, place, cells, looks) in enumerate(
            [
                ("tomato", 12, SHELF, CELLS_72, [(2, 1)]),
                ("pepper", 30, ROOM, CELLS_128, []),
                ("kale", 20, SHELF, CELLS_128, [(6, 1), (1, 2)]),
                ("tomato", 25, ROOM, CELLS_72, [(1, 3)]),
            ],
            start=1,
        )
    ]
    on = grounds()
    together = outlooks(several, {}, no_past(on), on, TODAY)
    for this in several:
        alone = outlooks([this], {}, no_past(on), on, TODAY)
        assert together[this.id].ready == alone[this.id].ready
        assert together[this.id].growth == pytest.approx(alone[this.id].growth)


def test_a_look_on_the_morning_of_the_move_was_at_the_old_container():
    growths = []
    for look in (11, 10):
        parent = tray(up("tomato", 35), into=CELLS_128, at=SHELF, looks=[(look, 2)], id=7)
        child = tray(
            up("tomato", 35),
            at=[(SHELF, 43), (SHELF, 10)],
            into=[(CELLS_128, 43), (POT_10, 10)],
            id=8,
            parent_id=7,
            made_on=ago(10),
        )
        on = grounds()
        growths.append(outlooks([child], {7: parent}, no_past(on), on, TODAY)[1].growth[0])
    assert growths[0] == pytest.approx(growths[1], abs=0.06)


def test_today_few_is_not_ready_today():
    for days in (30, 50):
        this = tray(up("tomato", days), at=SHELF, looks=[(0, 1)])
        verdict = judge(this, replace(grounds(), outlooks={1: outlook_of(this)}), TODAY).leading
        assert verdict.stage is Stage.FILLING
        assert verdict.ready is not None
        assert verdict.ready.start > TODAY


def test_looks_before_potting_up_are_named_as_what_they_are():
    parent = tray(up("tomato", 20), at=SHELF, looks=[(8, 0), (4, 0)], id=7)
    child = tray(
        up("tomato", 20), at=SHELF, into=[(CELLS_72, 28), (POT_10, 2)], id=8, parent_id=7, made_on=ago(2)
    )
    on = grounds()
    told = replace(on, outlooks=outlooks([child], {7: parent}, no_past(on), on, TODAY))
    assert any("from looks before potting up" in r.text for r in judge(child, told, TODAY).leading.reasons)


def test_weak_lamps_slow_the_crop_file_and_the_forecast_alike():
    dim = replace(SHELF, lamp_hours=12.0, lamp_umol=70.0)
    on = replace(grounds(), places={**PLACES, SHELF.id: dim})
    this = tray(up("tomato", 15), at=SHELF)
    told, prior = outlook_of(this, on=on), case(this.sowings[0], this, on, TODAY).filling
    assert prior is not None
    assert prior.ready is not None
    assert told.ready[1] is not None
    bright = outlook_of(this).ready[1]
    assert bright is not None
    assert told.ready[1] - bright > timedelta(days=5)
    assert abs((told.ready[1] - prior.ready.start).days) <= 1
