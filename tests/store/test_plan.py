"""Targets on record: what can't be is refused with what to do, and what is kept is kept as one entry."""

from dataclasses import replace
from datetime import date

import pytest

from model.actions import plan, record
from model.actions.plan import Want
from model.actions.sow import Sow, SowPart, sow
from model.errors import TrayroundError
from model.store import reading_ahead
from model.store.database import Store
from model.views.plan import planned
from tests.builders import TODAY, day
from tests.conftest import StampMaker
from tests.store.names import SLATS

Ids = dict[str, int]


def want(ids: Ids, **changes: object) -> Want:
    usual = Want("tomato", "Ostrel", 60, day(60), day(66), ids["72-cell tray"], place_id=SLATS)
    return replace(usual, **changes)  # type: ignore[arg-type]


def days_of(store: Store) -> list[date]:
    with store.reading() as rows:
        return [target.first_day for target in reading_ahead.targets(rows)]


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"first_day": day(-9), "last_day": day(-3)}, "has gone by. Give a day from today on."),
        ({"last_day": day(59)}, "before it begins. Give its first day, then its last."),
        ({"plants": 0}, "0 plants can't be planned. Give from 1 to 10000, or drop the line."),
        ({"plants": 10_001}, "10001 plants can't be planned."),
        ({"container_id": 999}, "That container isn't on record."),
        ({"pot_id": 999}, "That container isn't on record."),
        ({"place_id": 999}, "That place isn't on record."),
        ({"seeds_per_cell": 0}, "0 seeds a cell can't be."),
        ({"until": day(59)}, "before the plants are wanted."),
        ({"variety": " "}, "Crop or variety is empty."),
    ],
)
def test_what_cannot_be_wanted_is_refused_and_nothing_is_kept(
    bench: Store, stamp: StampMaker, containers: Ids, changes: dict[str, object], words: str
) -> None:
    with pytest.raises(TrayroundError) as refused:
        plan.add_targets(bench, stamp(), want(containers, **changes))
    assert words in str(refused.value)
    assert days_of(bench) == []


@pytest.mark.parametrize(("every", "times"), [(0, 2), (91, 2), (14, 0), (14, 31)])
def test_turns_that_cannot_be_are_refused(
    bench: Store, stamp: StampMaker, containers: Ids, every: int, times: int
) -> None:
    with pytest.raises(TrayroundError):
        plan.add_targets(bench, stamp(), want(containers), every, times)
    assert days_of(bench) == []


def test_a_succession_is_taken_back_as_one(bench: Store, stamp: StampMaker, containers: Ids) -> None:
    plan.add_targets(bench, stamp(), want(containers), 10, 3)
    assert days_of(bench) == [day(60), day(70), day(80)]
    record.undo(bench, stamp(), "UTC")
    assert days_of(bench) == []


def test_a_changed_target_stands_once_and_undo_gives_the_older_form_back(
    bench: Store, stamp: StampMaker, containers: Ids
) -> None:
    plan.add_targets(bench, stamp(), want(containers))
    with bench.reading() as rows:
        ((target),) = reading_ahead.targets(rows)
    plan.change_target(bench, stamp(), target.id, want(containers, first_day=day(64)))
    assert days_of(bench) == [day(64)]
    record.undo(bench, stamp(), "UTC")
    assert days_of(bench) == [day(60)]


def test_a_target_that_was_dropped_meanwhile_is_not_changed(
    bench: Store, stamp: StampMaker, containers: Ids
) -> None:
    plan.add_targets(bench, stamp(), want(containers))
    with bench.reading() as rows:
        (target,) = reading_ahead.targets(rows)
    plan.drop_target(bench, stamp(), target.id)
    with pytest.raises(TrayroundError, match="Look at the plan again"):
        plan.change_target(bench, stamp(), target.id, want(containers))
    with pytest.raises(TrayroundError, match="Look at the plan again"):
        plan.drop_target(bench, stamp(), target.id)
    assert days_of(bench) == []


def test_a_sowing_counts_for_the_changed_target_until_it_is_taken_back(
    bench: Store, stamp: StampMaker, containers: Ids
) -> None:
    plan.add_targets(bench, stamp(), want(containers))
    with bench.reading() as rows:
        (target,) = reading_ahead.targets(rows)
    plan.change_target(bench, stamp(), target.id, want(containers, plants=50))
    part = SowPart("tomato", "Ostrel", 72, 1, target_id=target.id)
    (tray,) = sow(bench, stamp(), Sow(containers["72-cell tray"], SLATS, (part,), TODAY)).tray_ids
    with bench.reading() as rows:
        assert [one.sown for one in planned(rows, TODAY)] == [(tray,)]
    record.undo(bench, stamp(), "UTC")
    with bench.reading() as rows:
        assert [one.sown for one in planned(rows, TODAY)] == [()]


def test_a_target_whose_last_day_has_gone_by_is_planned_no_longer(
    bench: Store, stamp: StampMaker, containers: Ids
) -> None:
    plan.add_targets(bench, stamp(), want(containers))
    with bench.reading() as rows:
        assert len(planned(rows, day(66))) == 1
        assert planned(rows, day(67)) == []
