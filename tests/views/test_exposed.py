"""Days of hardening as the record has them now: corrections and undo count, whatever was entered at first."""

from collections.abc import Iterator
from datetime import UTC, date, datetime, time
from pathlib import Path

import pytest

from model.actions import growth, nights, record, walk
from model.actions.desk import Stamp
from model.actions.farm import set_setting
from model.facts import Act, ActKind
from model.store import reading
from model.store.database import Store, open_store
from model.views import gate, tonight
from model.views.plan import planned
from tests.targets import keep_target
from tests.tui.cold_farm import HOUSE, MORNING, cold_farm

NOW = datetime.combine(MORNING, time(7), UTC)


def stamp(day: date | None = None) -> Stamp:
    """Now, for today or for an earlier day."""
    return Stamp("Wren", NOW, MORNING, day=day)


@pytest.fixture
def farm(tmp_path: Path) -> Iterator[Store]:
    """Kale that hardened on the seven days before this morning."""
    cold_farm(tmp_path / "cold.db")
    store = open_store(tmp_path / "cold.db")
    yield store
    store.close()


def hardened(store: Store) -> set[str]:
    """What the gate says of the hardening of each line of kale."""
    view = gate.read(store, MORNING, NOW)
    conditions = [line.gate.conditions for line in view.crops if line.crop == "kale"]
    return {c.words.split(",")[0] for found in conditions for c in found if c.name == "hardening"}


def kale(store: Store) -> list[int]:
    """Ids of the two trays of kale."""
    return [
        t.tray_id for line in gate.read(store, MORNING, NOW).crops if line.crop == "kale" for t in line.trays
    ]


def marks(store: Store, day: date) -> list[Act]:
    """The acts of a day on the trays of kale that can be put right."""
    with store.reading() as rows:
        return [act for act in reading.acts_of(rows, kale(store)) if act.day == day and act.kind in KINDS]


KINDS = (ActKind.LOOKED, ActKind.KEPT_IN)


def test_a_mark_that_was_struck_hardens_no_longer(farm: Store) -> None:
    assert hardened(farm) == {"hardened 7 of 7 days"}
    for act in marks(farm, date(2026, 4, 9)):
        record.correct_act(farm, stamp(), act.id, "struck", "")
    assert hardened(farm) == {"hardened 6 of 7 days"}


def test_a_mark_that_was_moved_counts_on_the_day_it_was_moved_to(farm: Store) -> None:
    for act in marks(farm, date(2026, 4, 9)):
        record.correct_act(farm, stamp(), act.id, "day", "2026-04-10")
    assert hardened(farm) == {"hardened 6 of 7 days"}
    walk.mark_trays(farm, stamp(), ActKind.LOOKED, kale(farm))
    for act in marks(farm, MORNING):
        record.correct_act(farm, stamp(), act.id, "day", "2026-04-09")
    assert hardened(farm) == {"hardened 7 of 7 days"}


def test_an_older_act_that_was_moved_into_the_days_outside_marks_one(farm: Store) -> None:
    for act in marks(farm, date(2026, 4, 9)):
        record.correct_act(farm, stamp(), act.id, "struck", "")
    walk.mark_trays(farm, stamp(date(2026, 4, 1)), ActKind.LOOKED, kale(farm))
    assert hardened(farm) == {"hardened 6 of 7 days"}
    for act in marks(farm, date(2026, 4, 1)):
        record.correct_act(farm, stamp(), act.id, "day", "2026-04-09")
    assert hardened(farm) == {"hardened 7 of 7 days"}


def test_a_strike_that_was_taken_back_leaves_the_mark(farm: Store) -> None:
    for act in marks(farm, date(2026, 4, 9)):
        record.correct_act(farm, stamp(), act.id, "struck", "")
        record.undo(farm, stamp(), "UTC")
    assert hardened(farm) == {"hardened 7 of 7 days"}


def test_a_day_kept_in_by_mistake_counts_once_that_is_struck(farm: Store) -> None:
    nights.keep_in(farm, stamp(date(2026, 4, 12)), kale(farm))
    assert hardened(farm) == {"hardened 6 of 7 days"}
    for act in marks(farm, date(2026, 4, 12)):
        if act.kind is ActKind.KEPT_IN:
            record.correct_act(farm, stamp(), act.id, "struck", "")
    assert hardened(farm) == {"hardened 7 of 7 days"}


def test_an_answer_for_the_night_that_was_struck_is_open_again(farm: Store) -> None:
    tray, *_ = kale(farm)
    nights.answer(farm, stamp(), {tray: ActKind.COVERED})

    def said() -> ActKind | None:
        return next(t.answered for t in tonight.read(farm, MORNING, NOW).trays if t.tray_id == tray)

    assert said() is ActKind.COVERED
    with farm.reading() as rows:
        (act,) = [act for act in reading.acts_of(rows, [tray]) if act.kind is ActKind.COVERED]
    record.correct_act(farm, stamp(), act.id, "struck", "")
    assert said() is None


def test_what_was_entered_away_from_the_tray_marks_no_day(farm: Store) -> None:
    for act in marks(farm, date(2026, 4, 9)):
        record.correct_act(farm, stamp(), act.id, "struck", "")
    for tray in kale(farm):
        growth.note(farm, stamp(date(2026, 4, 9)), tray, "read from the sheet")
    assert hardened(farm) == {"hardened 6 of 7 days"}


def test_the_farms_own_days_of_hardening_count_in_the_plan_too(farm: Store) -> None:
    wanted = keep_target(farm, stamp(), "kale Quern", date(2026, 6, 10), place_id=HOUSE)

    def sow_from() -> date:
        with farm.reading() as rows:
            return next(one.sow.start for one in planned(rows, MORNING) if one.target.id == wanted)

    before = sow_from()
    set_setting(farm, "harden_days", "14")
    assert (before - sow_from()).days == 7
    set_setting(farm, "harden_days", "")
    assert sow_from() == before
