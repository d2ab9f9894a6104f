"""From the day plants are wanted back to sowing: published weeks by hand, the place's own warmth, quantities, slots."""

import math
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest

from model.ahead import Purpose, Target
from model.crops import load_crops, unknown_crop
from model.crops.direct import direct_words
from model.facts import Stay, Vessel
from model.rules.filling import through
from model.rules.grounds import Grounds
from model.rules.planning import AS_PUBLISHED, Germination, Here, Planned, plan_one
from model.rules.standing import Standing, weekly_load
from model.rules.verdict import Knows, Window
from model.science.quantities import SeedTest
from model.science.root_fill import FULL_FILL, HOLDS_FILL
from tests.builders import TODAY, a_sowing, a_tray
from tests.rules.builders import CELLAR, CELLS_72, CONTAINERS, FLAT, HOT_MAT, PLACES, POT_10, SHELF, STILL

MONDAY, SUNDAY = date(2026, 5, 18), date(2026, 5, 24)
ON = Grounds(PLACES, CONTAINERS, load_crops())
UNTESTED = Germination(None, 0.75)


def wanted(**changes: Any) -> Target:
    """100 tomatoes to set out in the week of Monday 18 May, nobody has said where they grow."""
    usual = Target(
        *(1, "tomato", "Ostrel", "", 100, Purpose.SET_OUT, MONDAY, SUNDAY, "", CELLS_72.id, None, None),
        seeds_per_cell=1,
        until=None,
        bed="",
        replaces=None,
    )
    return replace(usual, **changes)


def plan(seed: Germination = UNTESTED, here: Here = AS_PUBLISHED, **changes: Any) -> Planned:
    target = wanted(**changes)
    found = plan_one(target, load_crops()[target.crop], ON, seed, here)
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("crop", "weeks", "first", "last"),
    [
        ("tomato", (5, 6), date(2026, 4, 6), date(2026, 4, 19)),
        ("pepper", (7, 9), date(2026, 3, 16), date(2026, 4, 5)),
        ("eggplant", (6, 9), date(2026, 3, 16), date(2026, 4, 12)),
        ("lettuce", (4, 6), date(2026, 4, 6), date(2026, 4, 26)),
        ("cabbage", (6, 7), date(2026, 3, 30), date(2026, 4, 12)),
        ("broccoli", (4, 7), date(2026, 3, 30), date(2026, 4, 26)),
        ("cauliflower", (6, 8), date(2026, 3, 23), date(2026, 4, 12)),
        ("onion", (9, 12), date(2026, 2, 23), date(2026, 3, 22)),
        ("cucumber", (2, 4), date(2026, 4, 20), date(2026, 5, 10)),
        ("muskmelon", (2, 4), date(2026, 4, 20), date(2026, 5, 10)),
        ("watermelon", (3, 4), date(2026, 4, 20), date(2026, 5, 3)),
        ("summer_squash", (2, 4), date(2026, 4, 20), date(2026, 5, 10)),
    ],
)
def test_published_weeks_are_counted_back_from_both_ends(
    crop: str, weeks: tuple[int, int], first: date, last: date
) -> None:
    # University of Delaware Extension, vegetable recommendations, weeks from sowing to setting out; the days by hand.
    found = plan(crop=crop)
    assert found.days.weeks == weeks
    assert found.sow == Window(first, last)


def test_at_a_place_coming_up_goes_by_the_table() -> None:
    # Tomato at 18 °C: 14 days at 15 °C and 8 at 20 °C make a speed of 1/14 + 3/5 (1/8 - 1/14) a day: 9.7 days.
    found = plan(place_id=SHELF.id)
    assert found.days.emergence.lo == math.ceil(1 / (1 / 14 + 0.6 * (1 / 8 - 1 / 14)))
    assert found.days.harden.lo == 7


@pytest.mark.parametrize("pot", [None, POT_10.id])
def test_whatever_is_sown_within_the_window_stands_between_holding_and_full_when_hardening_begins(
    pot: int | None,
) -> None:
    found = plan(place_id=SHELF.id, pot_id=pot)
    days, tomato = found.days, load_crops()["tomato"]
    up = MONDAY - timedelta(days=days.harden.lo + days.growing.hi)
    vessels = [Vessel(CELLS_72.id, up)]
    if pot is not None:
        cells = plan(place_id=SHELF.id).days.growing.lo
        vessels.append(Vessel(pot, up + timedelta(days=cells)))
    sowing = a_sowing(crop="tomato", sown_on=up, cells=1)
    tray = a_tray(sowings=(sowing,), stays=(Stay(SHELF.id, up),), vessels=tuple(vessels), made_on=up)
    curve = through(sowing, tray, tomato, ON, up, 1.0)[-1]
    leaves = MONDAY - timedelta(days=days.harden.lo)
    assert curve.on(leaves - timedelta(days=1)) < FULL_FILL.value <= curve.on(leaves) + 1e-9
    held = up + timedelta(days=days.growing.lo)
    assert curve.on(held - timedelta(days=1)) < HOLDS_FILL.value <= curve.on(held) + 1e-9


def test_what_goes_on_a_mat_comes_up_there_and_grows_on_at_its_place() -> None:
    # Tomato at 25 °C: 6 days in the table, 10 on the shelf at 18 °C; growing on is the same.
    warm, cold = plan(here=Here(mat=HOT_MAT), place_id=SHELF.id), plan(place_id=SHELF.id)
    assert (warm.days.emergence.lo, cold.days.emergence.lo) == (6, 10)
    assert warm.days.growing == cold.days.growing
    assert warm.sow.end == (cold.sow.end or MONDAY) + timedelta(days=4)


def test_a_flat_to_cut_is_counted_back_by_the_days_to_its_first_cut_and_more_where_it_is_colder() -> None:
    flat = {"crop": "lettuce", "container_id": FLAT.id, "purpose": Purpose.CUT}
    anywhere, warm, cold = plan(**flat), plan(**flat, place_id=SHELF.id), plan(**flat, place_id=CELLAR.id)
    assert (anywhere.days.lo, anywhere.days.hi) == (warm.days.lo, warm.days.hi) == (28, 35)
    # Lettuce at a steady 8 °C: 3.5 degree-days a day above 4.5 °C, where the habit's 16 °C give 11.5.
    assert (cold.days.lo, cold.days.hi) == (92, 115)
    assert cold.sow == Window(MONDAY - timedelta(days=115), SUNDAY - timedelta(days=92))
    on_heat = plan(here=Here(mat=HOT_MAT), **flat, place_id=CELLAR.id)
    assert on_heat.days.hi < cold.days.hi
    assert plan_one(wanted(**flat, place_id=STILL.id), load_crops()["lettuce"], ON, UNTESTED) is None


def test_growth_as_it_is_here_moves_the_window_and_is_told_as_yours() -> None:
    # Twice the growth climbs the same logit in half the warmth, at ten degree-days a day.
    usual, quick = plan(place_id=SHELF.id), plan(here=Here(None, 2.0, 4), place_id=SHELF.id)
    assert quick.days.growing.lo == pytest.approx(usual.days.growing.lo / 2, abs=1)
    assert quick.days.growing.hi == pytest.approx(usual.days.growing.hi / 2, abs=1)
    assert (usual.days.growing.knows, quick.days.growing.knows) == (Knows.DEFAULT, Knows.YOURS)


def test_a_place_too_cold_to_grow_at_falls_back_on_the_published_weeks() -> None:
    assert plan(place_id=STILL.id).sow == plan().sow


def test_a_stage_is_aimed_at_from_coming_up_with_a_set_on_either_side() -> None:
    # Up in 10 days at 18 °C and 7 more to the first true leaf: 17 days before Tuesday 12 May is Saturday 25 April.
    day = date(2026, 5, 12)
    found = plan(
        purpose=Purpose.CLASS, stage="first true leaf", first_day=day, last_day=day, place_id=SHELF.id
    )
    assert found.spare == (date(2026, 4, 22), date(2026, 4, 28))
    assert found.sow == Window(*found.spare)
    assert found.days.harden.hi == 0


def test_a_tested_lot_gives_the_cells_with_surety() -> None:
    # 100 wanted of a lot of which 8 of 10 came up, nothing lost later: 166 cells; with 5 % lost it takes more.
    stage = plan(Germination(SeedTest(8, 10), math.nan), stage="seed leaves", place_id=SHELF.id)
    # Two sets of 83 cells, each into two trays of 72.
    assert (stage.cells, stage.trays, stage.sure) == (166, 4, True)
    assert plan(Germination(SeedTest(8, 10), math.nan)).cells > stage.cells


@pytest.mark.parametrize("test", [SeedTest(0, 20), SeedTest(1, 20)])
def test_seed_too_weak_for_any_number_of_cells_promises_none(test: SeedTest) -> None:
    found = plan(Germination(test, math.nan), plants=1000)
    assert (found.cells, found.sure) == (1000, False)


def test_an_untested_lot_takes_the_trade_minimum_without_surety() -> None:
    # 100 / (0.75 · 0.95) = 140.4
    found = plan()
    assert (found.cells, found.sure) == (141, False)


def test_mix_for_the_trays_counts_settling() -> None:
    # Two 72-cell trays of 43 mL cells, 15 % settling: 7.1 L.
    found = plan()
    assert found.trays == 2
    assert found.mix_litres == pytest.approx(2 * 72 * 0.043 * 1.15, rel=0.01)


def test_small_cheap_seed_goes_two_a_cell_and_large_seed_one() -> None:
    assert plan(seeds_per_cell=None, crop="lettuce").seeds_per_cell == 2
    assert plan(seeds_per_cell=None, crop="cucumber").seeds_per_cell == 1
    sure = Germination(SeedTest(95, 100), math.nan)
    assert plan(sure, seeds_per_cell=None, crop="lettuce").seeds_per_cell == 1


def test_a_flat_is_one_flat_of_its_own_mix() -> None:
    found = plan(crop="lettuce", container_id=FLAT.id, purpose=Purpose.CUT)
    assert found.trays == 1
    assert found.mix_litres == pytest.approx(FLAT.volume_ml * 1.15 / 1000)


def test_nothing_is_made_up_where_neither_place_nor_weeks_tell() -> None:
    assert plan_one(wanted(crop="own"), unknown_crop("own"), ON, UNTESTED) is None


def test_missed_is_what_is_not_sown_by_its_last_day() -> None:
    found = plan()
    assert found.missed(date(2026, 4, 20))
    assert not found.missed(date(2026, 4, 19))
    assert not replace(found, sown=(1, 2)).missed(date(2026, 4, 20))


def test_the_ground_is_proposed_only_where_no_list_finds_the_crop_worth_a_tray() -> None:
    assert direct_words("tomato") == ""
    assert direct_words("beet") == "", "three lists move it"
    assert direct_words("turnip").startswith("sow it where it stays instead?")


def test_corn_is_never_planned_for_longer_than_it_bears_in_the_plug() -> None:
    # At most 20 days in the plug: HortScience 40(4): 999. On a mat 18 May less 20 d; 24 May less 2 weeks.
    found = plan(crop="sweet_corn", place_id=SHELF.id, here=Here(HOT_MAT))
    assert found.sow == Window(date(2026, 4, 28), date(2026, 5, 10))
    assert (found.days.lo, found.days.hi) == (14, 20)
    # On the shelf it takes longer to come up, so the fewest days are more; the most stay.
    cool = plan(crop="sweet_corn", place_id=SHELF.id).days
    assert cool.lo > 14
    assert cool.hi == 20


@pytest.mark.parametrize(("sown", "opens"), [(0, date(2026, 4, 22)), (83, date(2026, 4, 28))])
def test_what_is_left_of_a_stage_waits_for_the_day_of_its_own_set(sown: int, opens: date) -> None:
    day = date(2026, 5, 12)
    found = plan(
        Germination(SeedTest(8, 10), math.nan),
        purpose=Purpose.CLASS,
        stage="first true leaf",
        first_day=day,
        last_day=day,
        place_id=SHELF.id,
    )
    assert replace(found, sown_cells=sown).opens == opens
    assert replace(found, sown_cells=found.cells).left == 0


WEEK_OF = TODAY - timedelta(days=TODAY.weekday())


@pytest.mark.parametrize(
    ("slots", "stands", "over"),
    [
        (10, [(0, 84, 11)], 0),
        (10, [(0, 84, 10)], None),
        (10, [(0, 21, 8), (21, 60, 3)], None),
        (10, [(0, 21, 8), (20, 60, 3)], 2),
        (10, [(0, 84, 8), (30, 40, 3)], 4),
        (16, [(0, 28, 12), (7, 35, 4), (14, 35, 1)], 2),
        (4, [(0, 7, 4), (7, 14, 4), (14, 21, 4), (70, 84, 5)], 10),
        (40, [(0, 84, 22), (35, 70, 10), (42, 70, 9)], 6),
        (6, [(0, 3, 4), (3, 6, 4), (6, 9, 7)], 0),
        (6, [(0, 7, 4), (6, 13, 2), (77, 84, 7)], 11),
    ],
)
def test_the_first_week_that_is_over_is_found(
    slots: int, stands: list[tuple[int, int, int]], over: int | None
) -> None:
    def on(days: int) -> date:
        return WEEK_OF + timedelta(days=days)

    load = weekly_load([Standing(3, on(a), on(b), n) for a, b, n in stands], 3, WEEK_OF, 12)
    assert next((week for week, trays in enumerate(load) if trays > slots), None) == over
    assert weekly_load([Standing(4, on(0), on(84), 99)], 3, WEEK_OF, 12) == (0,) * 12
