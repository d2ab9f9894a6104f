"""The verdict: every stage, flag and reason, and which sowing leads a tray."""

from dataclasses import replace
from datetime import UTC, date, datetime, time
from math import inf

import pytest

from model.facts import Tray, Treated, Withheld
from model.rules.grounds import Grounds
from model.rules.readiness import judge, stage_of
from model.rules.verdict import Knows, Reason, Risk, Stage, Task
from model.units import Temperature
from tests.builders import TODAY
from tests.rules.builders import (
    CELLAR,
    CELLS_128,
    CONTAINERS,
    FLAT,
    HOT_MAT,
    MAT,
    PLACES,
    SHELF,
    SLATS,
    STILL,
    YARD,
    ago,
    case_of,
    crops_of,
    grounds_of,
    judged,
    sown,
    tray,
    up,
)


def texts(this: Tray, today: date = TODAY) -> list[str]:
    return [reason.text for reason in judged(this, today).leading.reasons]


SALAD = {"days": 30, "cells": 8, "seeds_per_cell": 30}


@pytest.mark.parametrize(
    ("this", "stage"),
    [
        (tray(sown("tomato", 3)), Stage.SOWN),
        (tray(sown("tomato", 12, first_up=ago(1))), Stage.FIRST_UP),
        (tray(up("tomato", 0)), Stage.HALF_UP),
        (tray(up("tomato", 2)), Stage.HALF_UP),
        (tray(up("tomato", 3)), Stage.GROWING),
        # F = 0.10 after (6.0126 - 2.1972)/0.227 = 16.8 d, 0.30 after 22.8, 0.90 after 36.2.
        (tray(up("tomato", 16)), Stage.GROWING),
        (tray(up("tomato", 17)), Stage.FILLING),
        (tray(up("tomato", 22)), Stage.FILLING),
        (tray(up("tomato", 23)), Stage.READY),
        (tray(up("tomato", 36)), Stage.READY),
        (tray(up("tomato", 37)), Stage.PAST),
        (tray(up("tomato", 12), at=[(SHELF, 20), (YARD, 2)]), Stage.HARDENING),
        (tray(up("tomato", 40), at=[(SHELF, 48), (YARD, 1)]), Stage.PAST),
        (tray(up("tomato", 30, out=60, lost=12)), Stage.OUT),
        # A look outranks the estimate, both ways.
        (tray(up("tomato", 30), looks=((0, 0),)), Stage.GROWING),
        (tray(up("tomato", 30), looks=((0, 1),)), Stage.FILLING),
        (tray(up("tomato", 5), looks=((0, 1),)), Stage.FILLING),
        (tray(up("tomato", 5), looks=((0, 2),)), Stage.READY),
        (tray(up("tomato", 5), looks=((0, 4),)), Stage.PAST),
        # And it outranks a half up that nobody ticked.
        (tray(sown("tomato", 20, first_up=ago(3)), looks=((0, 2),)), Stage.READY),
        (tray(sown("tomato", 20, first_up=ago(3)), looks=((0, 1),)), Stage.FILLING),
        (tray(sown("tomato", 20, first_up=ago(3)), looks=((0, 0),)), Stage.GROWING),
        (tray(sown("tomato", 20), looks=((0, 2),)), Stage.READY),
        # In the yard it hardens, though not before half is up.
        (tray(sown("kale", 8, first_up=TODAY), at=[(SHELF, 8), (YARD, 1)]), Stage.FIRST_UP),
        (tray(up("kale", 1), at=[(SHELF, 9), (YARD, 1)]), Stage.HARDENING),
        # Nobody ticked half up for more than a week: the estimate tells the stage.
        (tray(sown("tomato", 45, first_up=ago(25))), Stage.READY),
        # Salad flats are ready to be cut.
        (tray(up("lettuce", 1, days=9, cells=8), into=FLAT), Stage.HALF_UP),
        (tray(up("lettuce", 20, **SALAD), into=FLAT), Stage.READY),
        (tray(up("lettuce", 20, **{**SALAD, "days": 27}), into=FLAT), Stage.GROWING),
        (tray(up("lettuce", 20, **SALAD, cuts=(ago(3),)), into=FLAT), Stage.GROWING),
        (tray(up("lettuce", 20, **SALAD, cuts=(ago(9), ago(6), ago(3))), into=FLAT), Stage.READY),
        (tray(sown("lettuce", 8, first_up=ago(1), cells=8), into=FLAT), Stage.FIRST_UP),
        # Of a crop without figures the acts tell what they can.
        (tray(sown("rue", 30)), Stage.SOWN),
        (tray(up("rue", 30)), Stage.GROWING),
        (tray(up("rue", 30), at=[(SHELF, 38), (YARD, 2)]), Stage.HARDENING),
    ],
)
def test_every_stage_is_reached(this: Tray, stage: Stage):
    assert judged(this).leading.stage is stage
    assert stage_of(case_of(this)) is stage


def test_all_nine_stages_are_named_above():
    (mark,) = test_every_stage_is_reached.pytestmark  # type: ignore[attr-defined]
    assert {stage for _, stage in mark.args[1]} == set(Stage)


# Flags.

SOAP = Withheld(ago(0), "Wren", "soap", ago(-3), datetime.combine(TODAY, time(12), UTC))


@pytest.mark.parametrize(
    ("this", "flags"),
    [
        (tray(up("tomato", 10)), ()),
        (tray(sown("tomato", 10), at=MAT), ("late up",)),
        (tray(sown("pepper", 10), at=CELLAR), ("never up here",)),
        (tray(sown("spinach", 2), at=HOT_MAT), ("too warm",)),
        (tray(sown("tomato", 10), at=[(MAT, 10), (STILL, 2)]), ("never up here",)),
        (tray(sown("tomato", 12), at=[(MAT, 12), (STILL, 1)]), ("late up", "never up here")),
        (tray(up("tomato", 20)), ("root-bound: watch",)),
        (tray(up("tomato", 31)), ("crowding", "root-bound: act")),
        (tray(up("tomato", 37)), ("past window", "root-bound: act")),
        (tray(up("rue", 30), looks=((1, 3),)), ("root-bound: watch",)),
        (tray(up("tomato", 10, treated=Treated.YES)), ("treated seed",)),
        (tray(up("tomato", 10, treated=Treated.UNKNOWN)), ()),
        (tray(up("tomato", 10), seen=2), ("unseen 2 d",)),
        (tray(up("tomato", 10), seen=None, made_on=ago(4)), ("unseen 4 d",)),
        (tray(up("tomato", 10), withheld=(SOAP,), sick=(ago(1),)), ("hands off", "sick")),
        (tray(up("tomato", 10), withheld=(replace(SOAP, touch_from=None),)), ()),
        (tray(up("lettuce", 20, **SALAD), into=FLAT, looks=((1, 4),)), ()),
        (tray(up("tomato", 30, lost=72), ended_on=ago(5), seen=5), ()),
    ],
)
def test_a_tray_carries_the_flags_it_has_earned(this: Tray, flags: tuple[str, ...]):
    assert judged(this).flags == flags


# Which sowing leads.


def test_the_sowing_with_the_least_room_leads_and_the_tray_carries_all_that_is_due():
    quiet, late = up("kale", 3, sowing_id=1), sown("pepper", 40, 2)
    verdict = judged(tray(quiet, late))
    assert verdict.leading.sowing_id == 2
    assert [found.sowing_id for found in verdict.sowings] == [1, 2]
    assert {due.sowing_id for due in verdict.due} == {1, 2}
    assert "late up" in verdict.flags


def test_a_sowing_that_is_gone_leads_only_where_all_is_gone():
    gone, left = up("tomato", 40, lost=24, out=48), up("kale", 3, sowing_id=2)
    verdict = judged(tray(gone, left))
    assert verdict.leading.sowing_id == 2
    first = verdict.sowings[0]
    assert (first.stage, first.fill, first.due, first.flags, first.room_days) == (
        Stage.OUT,
        None,
        (),
        (),
        inf,
    )
    assert (first.risk, first.ready, first.why_now) == (Risk.ROOM, None, "nothing is left of it")
    assert all(due.sowing_id == 2 for due in verdict.due)
    ended = judged(tray(gone, ended_on=ago(2)))
    assert ended.leading.stage is Stage.OUT
    assert ended.leading.reasons == (
        Reason("all gone: 48 set out, 24 lost (record)", 72, "cells", "the record", Knows.RECORD),
    )


def test_days_in_a_container_stop_when_the_tray_ends():
    assert judged(tray(up("tomato", 10))).here_days == 18
    assert judged(tray(up("tomato", 10, lost=72), ended_on=ago(5))).here_days == 13


# Reasons.


@pytest.mark.parametrize(
    ("this", "reasons"),
    [
        (
            tray(up("tomato", 24), at=SHELF),
            [
                "day 32 of 31-39 to ready, 72-cell tray on Shelf (default)",
                "root-bound about 27 Apr; chance within 7 d real: watch",
            ],
        ),
        (
            tray(up("tomato", 20), looks=((2, 2),)),
            [
                "roots 2, holds together: seen Sun 12 Apr by Wren",
                "72-cell tray on Shelf, holds since 12 Apr, full about 16 Apr (from that look)",
                "root-bound about 22 Apr; chance within 7 d real: watch",
            ],
        ),
        (
            tray(up("tomato", 30), looks=((0, 1),)),
            [
                "roots 1, few: seen Tue 14 Apr by Wren",
                "day 38 of 41-49 to ready, 72-cell tray on Shelf (from that look)",
                "root-bound about 1 May; chance within 7 d small: room",
            ],
        ),
        (
            tray(up("tomato", 30), looks=((1, 3),)),
            [
                "roots 3, full: seen Mon 13 Apr by Wren",
                "72-cell tray on Shelf, crowded since 13 Apr (from that look)",
                "root-bound about 16 Apr; chance within 7 d more than even: act",
            ],
        ),
        (
            tray(up("tomato", 30), looks=((3, 4),)),
            [
                "roots 4, circling: seen Sat 11 Apr by Wren",
                "past its window: roots circling since 11 Apr (seen)",
            ],
        ),
        (
            tray(up("tomato", 40)),
            [
                "day 48 of 31-39 to ready, 72-cell tray on Shelf (default)",
                "root-bound since about 11 Apr; chance within 7 d more than even: act",
            ],
        ),
        (
            tray(up("tomato", 10), at=STILL),
            [
                "day 18; too cold to fill a 72-cell tray on Still bench (default)",
                "won't go root-bound here; chance within 7 d small: room",
            ],
        ),
        (
            tray(up("tomato", 10), at=STILL, looks=((1, 2),)),
            [
                "roots 2, holds together: seen Mon 13 Apr by Wren",
                "72-cell tray on Still bench, holds since 13 Apr, too cold to fill up (from that look)",
                "won't go root-bound here; chance within 7 d small: room",
            ],
        ),
        (
            tray(up("kale", 30), at=[(SHELF, 38), (YARD, 3)], looks=((4, 2),)),
            [
                "day 3 of 7 hardening, in Yard (record)",
                "roots 2, holds together: seen Fri 10 Apr by Wren",
                "72-cell tray in Yard, holds since 10 Apr, full about 18 Apr (from that look)",
                "root-bound about 2 May; chance within 7 d small: room",
            ],
        ),
        (
            tray(up("rue", 30), looks=((2, 2),)),
            [
                "roots 2, holds together: seen Sun 12 Apr by Wren",
                "day 38; how fast rue fills a cell is not known",
            ],
        ),
        (
            tray(up("lettuce", 20, **SALAD), into=FLAT, at=SLATS),
            ["day 30 of 28-35 to first cut, published 21-42 d, open flat on Slats (default)"],
        ),
        (
            tray(up("lettuce", 20, **SALAD, cuts=(ago(5),)), into=FLAT, at=SLATS),
            ["day 5 of 14-21 since cut 1 of 3, open flat on Slats (default)"],
        ),
        (
            tray(up("lettuce", 20, **SALAD, cuts=(ago(9), ago(5), ago(1))), into=FLAT, at=SLATS),
            ["cut 3 times, open flat on Slats (record)"],
        ),
    ],
)
def test_reasons_read_as_a_grower_would_say_them(this: Tray, reasons: list[str]):
    assert texts(this) == reasons


def test_a_tray_at_first_up_says_when_half_should_be():
    # Tomato at 24 °C: half on day 7, the slow end on day 9.
    first, ready, _ = texts(tray(sown("tomato", 6, first_up=ago(1)), at=MAT))
    assert first == "day 6; first up 13 Apr, half up on day 7-9 (default)"
    assert ready.endswith("72-cell tray on Mat (half up assumed)")
    (unknown,) = texts(tray(sown("rue", 6, first_up=ago(1))))[:1]
    assert unknown == "day 6; first up 13 Apr; when half is up is not known"


def test_late_seed_says_how_late():
    assert texts(tray(sown("tomato", 12), at=MAT)) == [
        "late up by 3 d: day 12 of 5-9 to come up, on Mat at 24 °C (default)"
    ]


def test_temperatures_are_told_in_the_farms_scale():
    this = tray(sown("celery", 2), at=HOT_MAT)
    verdict = judge(this, replace(grounds_of(this), scale=Temperature.FAHRENHEIT), TODAY)
    assert verdict.leading.reasons[0].text == "day 2; 77 °F, on Hot mat, is outside what was tested: no date"
    assert verdict.due[0].why == "77 °F is too warm for this seed"
    assert (verdict.leading.reasons[0].figure, verdict.leading.reasons[0].unit) == (25, "°C")


def test_a_reason_says_how_it_knows_and_where_from():
    ready = judged(tray(up("tomato", 10))).leading.reasons[0]
    assert (ready.figure, ready.unit, ready.knows) == (18, "d", Knows.DEFAULT)
    assert ready.source.startswith("University of Delaware")
    look, after, _ = judged(tray(up("tomato", 10), looks=((1, 1),))).leading.reasons
    assert (look.figure, look.unit, look.source, look.knows) == (1, "score", "Wren", Knows.SEEN)
    assert after.knows is Knows.SEEN
    assumed = judged(tray(sown("tomato", 20, first_up=ago(9)))).leading.reasons[0]
    assert assumed.knows is Knows.ASSUMED


def test_a_crop_without_listed_figures_still_names_the_quality():
    this = tray(up("tomato", 10))
    crops = {"tomato": replace(crops_of(this)["tomato"], figures={})}
    verdict = judge(this, Grounds(PLACES, CONTAINERS, crops), TODAY)
    assert verdict.leading.reasons[0].source == "from published weeks"


def test_the_window_of_a_salad_flat_is_that_of_its_next_cut():
    ready = judged(tray(up("lettuce", 20, **SALAD), into=FLAT)).leading.ready
    assert ready is not None
    assert (ready.start, ready.end) == (ago(2), ago(-5))


def test_a_small_cell_is_ready_before_a_large_one():
    large, small = (judged(tray(up("kale", 20), into=into)).leading for into in (CONTAINERS[0], CELLS_128))
    assert large.ready is not None
    assert small.ready is not None
    assert small.ready.start < large.ready.start


def test_due_lists_carry_what_each_sowing_needs():
    verdict = judged(tray(up("kale", 6, seeds_per_cell=2), sown("kale", 9, 2, first_up=ago(1))))
    assert [(due.task, due.sowing_id) for due in verdict.due if due.open_on(TODAY)] == [
        (Task.HALF_UP, 2),
        (Task.THIN, 1),
    ]
