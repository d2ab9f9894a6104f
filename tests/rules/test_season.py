"""The sums of a season, one rule at a time, on numbers worked out by hand; a whole year is in tests/views/test_season.py."""

from datetime import date

import pytest

from model.facts import Act, ActKind, Look, Sowing, Stay, Tray
from model.rules.season import Season, days_of, days_to_ready, days_to_up, how_met, pages
from model.rules.season_page import Days, Met, OnMat
from tests.builders import a_crop, a_sowing, a_tray, day
from tests.rules.builders import CELLS_72, MAT, PLACES, POT_10, SLATS


def season(*trays: Tray, acts: dict[int, list[Act]] | None = None) -> Season:
    return Season(
        year=day(-30).year,
        today=day(0),
        trays={tray.id: tray for tray in trays},
        acts=acts or {},
        places=PLACES,
        crops={"testcrop": a_crop(), "fast": a_crop(stretches_fast=True)},
    )


def looks(*found: tuple[int, int]) -> tuple[Look, ...]:
    return tuple(Look(day(on), "Wren", score) for on, score in found)


def test_the_middle_stands_with_its_spread_and_count() -> None:
    assert days_of([7.0, 5.5, 30.0]) == Days(7.0, 5, 30, 3)
    assert days_of([]) is None


@pytest.mark.parametrize(
    ("sowing", "days"),
    [
        (a_sowing(), None),
        (a_sowing(first_up=day(-22)), 8.0),
        # Seen empty on day 5 and up on day 8: it came up in between.
        (a_sowing(first_up=day(-22), first_up_after=day(-25)), 6.5),
        # Seen only while it was sown: that is no look.
        (a_sowing(first_up=day(-22), first_up_after=day(-30)), 8.0),
    ],
)
def test_first_up_lies_between_two_looks(sowing: Sowing, days: float | None) -> None:
    assert days_to_up(sowing) == days


def test_ready_is_the_first_look_that_held_and_never_the_day_of_leaving() -> None:
    tray = a_tray(looks=looks((-12, 1), (-5, 2), (-2, 3)), ended_on=day(0))
    assert days_to_ready(tray, tray.sowings[0]) == 25
    unseen = a_tray(ended_on=day(0), sowings=(a_sowing(out=72),))
    assert days_to_ready(unseen, unseen.sowings[0]) is None


def test_a_failed_tray_is_not_a_slow_one_and_a_mixed_one_tells_of_none() -> None:
    failed = a_tray(looks=looks((-1, 2)), sowings=(a_sowing(lost=30, empty=7),))
    assert days_to_ready(failed, failed.sowings[0]) is None
    mixed = a_tray(looks=looks((-1, 2)), sowings=(a_sowing(cells=36), a_sowing(id=2, part=2, cells=36)))
    assert days_to_ready(mixed, mixed.sowings[0]) is None


def test_pots_are_counted_from_potting_up() -> None:
    pots = a_tray(sowings=(a_sowing(from_parent=True, cells=8),), made_on=day(-20), looks=looks((-4, 2)))
    assert days_to_ready(pots, pots.sowings[0]) == 16


@pytest.mark.parametrize(
    ("on", "met"),
    [(-11, Met.EARLY), (-10, Met.IN), (-5, Met.IN), (-4, Met.LATE), (None, Met.NEVER)],
)
def test_a_window_is_met_on_both_its_ends(on: int | None, met: Met) -> None:
    assert how_met(day(on) if on is not None else None, day(-10), day(-5), day(0)) is met


def test_a_window_is_open_through_its_last_day() -> None:
    assert how_met(None, day(-10), day(0), day(0)) is Met.OPEN
    assert how_met(None, day(-10), day(-1), day(0)) is Met.NEVER


@pytest.mark.parametrize(
    ("crop", "off", "told"),
    [
        # Half up 20 days ago, so due off 19 days ago.
        ("testcrop", -19, OnMat(1, 11, 0, 1, 1)),
        ("testcrop", -17, OnMat(1, 13, 2, 0, 1)),
        # A crop that stretches was up 24 days ago and due off the day after.
        ("fast", -19, OnMat(1, 11, 4, 0, 1)),
    ],
)
def test_the_mat_is_wasted_from_the_day_after_half_up(crop: str, off: int, told: OnMat) -> None:
    stays = (Stay(MAT.id, day(-30)), Stay(SLATS.id, day(off)))
    tray = a_tray(stays=stays, sowings=(a_sowing(crop=crop, first_up=day(-24), half_up=day(-20)),))
    assert pages(season(tray))[0].mat == told


def test_a_tray_that_nobody_saw_come_up_is_neither_in_time_nor_late() -> None:
    tray = a_tray(stays=(Stay(MAT.id, day(-30)),))
    assert pages(season(tray))[0].mat == OnMat(1, 30, 0, 0, 0)


def test_two_containers_of_a_crop_are_two_pages() -> None:
    plugs = a_tray(sowings=(a_sowing(first_up=day(-25)),))
    pots = a_tray(id=2, number=2, sowings=(a_sowing(id=2, first_up=day(-20)),))
    pots = a_tray(
        id=2, number=2, sowings=pots.sowings, vessels=(pots.vessels[0].__class__(POT_10.id, day(-30)),)
    )
    found = {page.container_id: page for page in pages(season(plugs, pots))}
    assert {box: page.up_all for box, page in found.items()} == {
        plugs.container_id: Days(5.0, 5, 5, 1),
        POT_10.id: Days(10.0, 10, 10, 1),
    }
    assert CELLS_72.id != POT_10.id


def test_the_stand_goes_by_the_highest_count_and_leaves_out_what_nobody_counted() -> None:
    # 28 counted after half of the plants had left is no stand.
    counted = a_tray(sowings=(a_sowing(counts=((day(-20), 60), (day(-5), 28))),))
    unseen = a_tray(id=2, number=2, sowings=(a_sowing(id=2),))
    (page,) = pages(season(counted, unseen))
    (stood,) = page.stood
    assert (stood.up, stood.cells, stood.uncounted) == (60, 72, 1)


def test_a_sowing_is_for_nobody_only_once_nothing_stands_and_nothing_ever_left() -> None:
    gone = a_tray(ended_on=day(-2), sowings=(a_sowing(retired=72),))
    assert pages(season(gone))[0].for_nobody == (1,)
    standing = a_tray()
    assert pages(season(standing))[0].for_nobody == ()
    left = Act(1, ActKind.HANDED_OVER, day(-3), "Wren", None, 1, tray_id=1, sowing_id=1, count=5)  # type: ignore[arg-type]
    assert pages(season(gone, acts={1: [left]}))[0].for_nobody == ()
    planned = season(gone)
    planned = Season(
        planned.year, planned.today, planned.trays, {}, planned.places, planned.crops, targets={1: 9}
    )
    assert pages(planned)[0].for_nobody == ()


def test_another_year_is_left_out() -> None:
    old = a_tray(sowings=(a_sowing(sown_on=date(day(0).year - 1, 4, 1)),))
    assert pages(season(old)) == ()
