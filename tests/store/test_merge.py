"""Two laptops, two people: what one entered and the other didn't comes together, and what is at odds is kept."""

import importlib
import os
import shutil
import signal
import sqlite3
from contextlib import closing
from dataclasses import replace
from datetime import timedelta
from itertools import count
from pathlib import Path

import pytest
from sqlalchemy import Engine, event

from model.actions import care, files, growth, labelling, promises, record, shift, sow, stock, walk
from model.actions.clashes import decide
from model.actions.desk import Stamp
from model.actions.farm import keep_place, name_person, set_setting
from model.actions.merge import merge
from model.actions.opening import open_farm
from model.actions.plan import Want, add_targets, change_target
from model.actions.seed import SeedLot, keep_lot
from model.actions.shift import PotUp
from model.actions.sow import Sow, SowPart
from model.errors import BadInput, NewerFile, NotEnough, StoreTrouble
from model.facts import ActKind, LossCause, Mark, Treated
from model.labels import label
from model.rules.clash_words import Choice
from model.store import reading, reading_ahead
from model.store.database import Store, open_store
from model.store.reading_clashes import open_clashes
from model.views import clashes, lots, season
from tests.builders import TODAY, day
from tests.conftest import StampMaker
from tests.store.looking import balance, every_row, findings, kept, kept_anew, the_sowing, the_tray
from tests.store.names import FRAME, KALE, MAT, SHELF, SLATS, TOMATO
from tests.store.test_first_release import ROWS
from tests.store.two_copies import MORNING, Laptop, told, two_laptops

Ids = dict[str, int]


@pytest.fixture
def laptops(bench: Store, tmp_path: Path) -> tuple[Laptop, Laptop]:
    return two_laptops(bench, tmp_path)


def both_ways(wren: Laptop, jory: Laptop, tmp_path: Path) -> None:
    """Each takes in what the other had; afterwards both tell the same."""
    wren.store.close()
    before = Laptop(open_store(Path(shutil.copy(wren.store.path, tmp_path / "wrens.db"))), "Wren")
    wren.merge(jory)
    jory.merge(before)
    assert told(wren.store) == told(jory.store)
    for laptop in (wren, jory):
        now = kept(laptop.store)
        assert kept_anew(laptop.store) == now
        assert findings(laptop.store) == []


def listed(laptop: Laptop) -> list[str]:
    return [line.said for line in clashes.read(laptop.store, TODAY, MORNING).lines if not line.decided]


def settle(laptop: Laptop, choice: Choice) -> None:
    """Decide the only clash."""
    with laptop.store.reading() as rows:
        (clash,) = open_clashes(rows)
    decide(laptop.store, laptop.stamp(), clash.id, choice)
    assert findings(laptop.store) == []


def words(laptop: Laptop) -> list[tuple[str, str]]:
    """Who entered what, in order."""
    with laptop.store.reading() as rows:
        return [(row.who, row.words) for row in reading.entries(rows)][5:]


# Script 16, on two copies.


def test_one_tray_moved_by_one_and_watered_by_the_other_keeps_both(
    laptops: tuple[Laptop, Laptop], tmp_path: Path
) -> None:
    wren, jory = laptops
    shift.move(wren.store, wren.stamp(), [TOMATO], SHELF)
    walk.mark_trays(jory.store, jory.stamp(), ActKind.WATERED, [TOMATO])
    growth.half_up(jory.store, jory.stamp(), TOMATO, None, 60)
    both_ways(wren, jory, tmp_path)
    assert words(wren) == [
        ("Wren", "moved to shelf: 1R"),
        ("Jory", "watered 1R"),
        ("Jory", "half up 60: 1R tomato Ostrel"),
    ]
    for laptop in laptops:
        with laptop.store.reading() as rows:
            (tray,) = [tray for tray in reading.standing_trays(rows) if tray.number == 1]
        assert (tray.place_id, tray.watered and tray.watered.who) == (SHELF, "Jory")
        assert listed(laptop) == []


def test_a_tray_moved_twice_appears_once_and_the_later_move_counts(
    laptops: tuple[Laptop, Laptop], tmp_path: Path
) -> None:
    wren, jory = laptops
    shift.move(wren.store, wren.stamp(minute=11), [TOMATO], SHELF)
    shift.move(jory.store, jory.stamp(minute=14), [TOMATO], SLATS)
    both_ways(wren, jory, tmp_path)
    assert listed(wren) == [
        "moved twice: 1R, by Wren Tue 14 Apr 6:41 to shelf, by Jory 6:44 to slats; counts: slats"
    ]
    assert the_tray(wren.store, TOMATO).place_id == SLATS
    settle(wren, Choice.FIRST)
    assert listed(wren) == []
    assert the_tray(wren.store, TOMATO).place_id == SHELF
    record.undo(wren.store, wren.stamp(), "UTC")
    assert the_tray(wren.store, TOMATO).place_id == SLATS
    assert len(listed(wren)) == 1
    settle(wren, Choice.LATER)
    record.undo(wren.store, wren.stamp(), "UTC")
    settle(wren, Choice.LATER)
    jory.merge(wren)
    assert listed(jory) == []
    assert told(jory.store) == told(wren.store)


def test_both_moving_it_to_one_place_is_no_clash(laptops: tuple[Laptop, Laptop], tmp_path: Path) -> None:
    wren, jory = laptops
    for laptop in laptops:
        shift.move(laptop.store, laptop.stamp(), [TOMATO], SHELF)
    both_ways(wren, jory, tmp_path)
    assert listed(wren) == []


# More than there was.


def taken_by_both(wren: Laptop, jory: Laptop, tmp_path: Path) -> None:
    shift.set_out(wren.store, wren.stamp(minute=11), TOMATO, None, 50, "bed 3")
    share = promises.Share(TOMATO, None, 30)
    promises.hand_over(jory.store, jory.stamp(minute=14), [share], "plot 4")
    both_ways(wren, jory, tmp_path)


def test_plants_taken_twice_are_counted_once_until_somebody_decides(
    laptops: tuple[Laptop, Laptop], tmp_path: Path
) -> None:
    wren, jory = laptops
    taken_by_both(wren, jory, tmp_path)
    assert listed(jory) == [
        "more than there was: 1R, set out 50 in bed 3 by Wren Tue 14 Apr 6:41, handed over 30 to plot 4 by Jory 6:44; "
        "not counted: handed over 30 by Jory. "
        "72 were there, 8 too few for both: enter, then C corrects, k counts."
    ]
    for laptop in laptops:
        sowing = the_sowing(laptop.store, TOMATO)
        assert (sowing.out, sowing.handed, sowing.have) == (50, 0, 22)
        assert balance(sowing) + sowing.handed == sowing.cells


def test_a_season_and_a_lot_count_nothing_that_is_in_doubt(
    laptops: tuple[Laptop, Laptop], tmp_path: Path
) -> None:
    wren, jory = laptops
    shift.set_out(wren.store, wren.stamp(minute=11), TOMATO, None, 50)
    shift.lose(jory.store, jory.stamp(minute=14), TOMATO, None, 40, LossCause.NOT_UP)
    both_ways(wren, jory, tmp_path)
    assert the_sowing(wren.store, TOMATO).lost == 0
    crops = season.read(wren.store, TODAY, MORNING).crops
    assert [crop.page.losses for crop in crops if crop.page.crop == "tomato"] == [()]
    assert [lot.name for lot in lots.read(wren.store, TODAY, MORNING).lots if lot.failed] == []
    settle(wren, Choice.LATER)
    assert [lot.name for lot in lots.read(wren.store, TODAY, MORNING).lots if lot.failed] == ["A1"]


@pytest.mark.parametrize(
    ("choice", "out", "handed"), [(Choice.FIRST, 50, 0), (Choice.LATER, 0, 30)], ids=["first", "later"]
)
def test_a_decision_counts_the_one_or_the_other_and_is_taken_back(
    laptops: tuple[Laptop, Laptop], tmp_path: Path, choice: Choice, out: int, handed: int
) -> None:
    wren, jory = laptops
    taken_by_both(wren, jory, tmp_path)
    before = kept(wren.store)
    settle(wren, choice)
    sowing = the_sowing(wren.store, TOMATO)
    assert (sowing.out, sowing.handed) == (out, handed)
    assert listed(wren) == []
    record.undo(wren.store, wren.stamp(), "UTC")
    assert kept(wren.store) == before
    assert len(listed(wren)) == 1
    record.redo(wren.store, wren.stamp(), "UTC")
    assert (the_sowing(wren.store, TOMATO).out, listed(wren)) == (out, [])
    now = kept(wren.store)
    assert kept_anew(wren.store) == now


def test_both_count_only_where_there_are_enough(laptops: tuple[Laptop, Laptop], tmp_path: Path) -> None:
    wren, jory = laptops
    taken_by_both(wren, jory, tmp_path)
    with pytest.raises(NotEnough, match="Tray 1R has 22 of Ostrel, not 30"):
        settle(wren, Choice.BOTH)
    assert len(listed(wren)) == 1
    with wren.store.reading() as rows:
        act = next(act for act in reading.acts_of(rows, [TOMATO]) if act.kind is ActKind.SET_OUT)
    record.correct_act(wren.store, wren.stamp(), act.id, "count", "40")
    settle(wren, Choice.BOTH)
    sowing = the_sowing(wren.store, TOMATO)
    assert (sowing.out, sowing.handed, sowing.have) == (40, 30, 2)


def test_where_one_takes_back_its_own_the_other_counts(
    laptops: tuple[Laptop, Laptop], tmp_path: Path
) -> None:
    wren, jory = laptops
    taken_by_both(wren, jory, tmp_path)
    record.undo(wren.store, wren.stamp(), "UTC")
    assert listed(wren) == []
    assert the_sowing(wren.store, TOMATO).handed == 30


def test_pots_that_stand_somewhere_are_kept_before_a_count(
    laptops: tuple[Laptop, Laptop], tmp_path: Path, containers: Ids
) -> None:
    wren, jory = laptops
    shift.lose(wren.store, wren.stamp(minute=5), KALE, None, 60, LossCause.FROST)
    pots = [PotUp(15, containers["9 cm pot"], FRAME)] * 3
    shift.pot_up(jory.store, jory.stamp(minute=9), KALE, None, pots)
    both_ways(wren, jory, tmp_path)
    (said,) = listed(wren)
    assert said.endswith(
        "potted up 45 by Jory Tue 14 Apr 6:39, lost 60 (frost) by Wren 6:35; not counted: lost 60 by Wren. "
        "72 were there, 33 too few for both: enter, then C corrects, k counts."
    )
    assert the_sowing(wren.store, KALE).potted == 45
    settle(wren, Choice.LATER)
    assert (the_sowing(wren.store, KALE).potted, the_sowing(wren.store, KALE).lost) == (0, 60)
    with wren.store.reading() as rows:
        assert [tray.number for tray in reading.standing_trays(rows)] == [1, 2, 3]
    record.undo(wren.store, wren.stamp(), "UTC")
    with wren.store.reading() as rows:
        assert [tray.number for tray in reading.standing_trays(rows)] == [1, 2, 3, 4, 5, 6]
    now = kept(wren.store)
    assert kept_anew(wren.store) == now


def test_both_potted_up_the_same_plants(
    laptops: tuple[Laptop, Laptop], tmp_path: Path, containers: Ids
) -> None:
    wren, jory = laptops
    for laptop, place in ((wren, FRAME), (jory, SHELF)):
        pots = [PotUp(20, containers["24-cell tray"], place), PotUp(20, containers["24-cell tray"], place)]
        shift.pot_up(laptop.store, laptop.stamp(), KALE, None, pots)
        walk.mark_trays(laptop.store, laptop.stamp(), ActKind.WATERED, [4, 5])
    both_ways(wren, jory, tmp_path)
    assert [line.split(":")[0] for line in listed(wren)] == ["more than there was"]
    assert the_sowing(wren.store, KALE).potted == 40
    settle(wren, Choice.LATER)
    with wren.store.reading() as rows:
        new = [tray for tray in reading.standing_trays(rows) if tray.parent_id == KALE]
    assert {tray.place_id for tray in new} == {SHELF}
    assert all(tray.watered and tray.watered.who == "Jory" for tray in new)


# The same number, the same correction, the same sowing.


def test_two_new_trays_with_one_number_and_the_newcomer_gets_the_next_free_one(
    laptops: tuple[Laptop, Laptop], tmp_path: Path, containers: Ids
) -> None:
    wren, jory = laptops
    for laptop, variety in ((wren, "Orlen"), (jory, "Brisk")):
        part = SowPart("tomato", variety, 72)
        sow.sow(laptop.store, laptop.stamp(), Sow(containers["72-cell tray"], MAT, (part,), TODAY))
    both_ways(wren, jory, tmp_path)
    for laptop in laptops:
        with laptop.store.reading() as rows:
            numbers = {tray.sowings[0].variety: tray.number for tray in reading.standing_trays(rows)}
        assert (numbers["Orlen"], numbers["Brisk"]) == (4, 5)
        assert listed(laptop) == [
            f"same number: two trays {label(4)}, the one of Jory is {label(5)} now; write its label anew"
        ]
    settle(wren, Choice.FIRST)
    assert listed(wren) == []


@pytest.mark.parametrize("highest", [5, 4])
def test_the_newcomer_gets_a_number_whose_label_may_be_about_only_where_no_other_is_free(
    bench: Store,
    tmp_path: Path,
    containers: Ids,
    stamp: StampMaker,
    monkeypatch: pytest.MonkeyPatch,
    highest: int,
) -> None:
    for number in (5, 3):
        labelling.relabel(bench, stamp(), {KALE: number})
    monkeypatch.setattr("model.store.reading.HIGHEST", highest)
    wren, jory = two_laptops(bench, tmp_path)
    for laptop in (wren, jory):
        part = SowPart("tomato", "Orlen", 72)
        sow.sow(laptop.store, laptop.stamp(), Sow(containers["72-cell tray"], MAT, (part,), TODAY))
    if highest == 4:
        with pytest.raises(BadInput, match="Every tray number is in use"):
            wren.merge(jory)
        return
    both_ways(wren, jory, tmp_path)
    with wren.store.reading() as rows:
        assert sorted(tray.number for tray in reading.standing_trays(rows)) == [1, 2, 3, 4, 5]


def test_corrected_by_both_in_two_ways_the_later_holds_until_somebody_decides(
    laptops: tuple[Laptop, Laptop], tmp_path: Path
) -> None:
    wren, jory = laptops
    record.correct_sowing(wren.store, wren.stamp(), TOMATO, None, "sown_on", day(-40).isoformat())
    record.correct_sowing(jory.store, jory.stamp(), TOMATO, None, "sown_on", day(-38).isoformat())
    both_ways(wren, jory, tmp_path)
    assert the_sowing(wren.store, TOMATO).sown_on == day(-38)
    (said,) = listed(wren)
    assert said.startswith(
        "corrected twice: 1R, sown on Thu 5 Mar by Wren Tue 14 Apr 6:31, sown on Sat 7 Mar by Jory"
    )
    settle(wren, Choice.FIRST)
    assert the_sowing(wren.store, TOMATO).sown_on == day(-40)


def test_corrected_by_both_in_the_same_way_is_no_clash(
    laptops: tuple[Laptop, Laptop], tmp_path: Path
) -> None:
    wren, jory = laptops
    for laptop in laptops:
        record.correct_sowing(laptop.store, laptop.stamp(), TOMATO, None, "cells", "70")
    both_ways(wren, jory, tmp_path)
    assert listed(wren) == []


def test_a_tray_that_one_retired_and_the_other_went_on_with(
    laptops: tuple[Laptop, Laptop], tmp_path: Path
) -> None:
    wren, jory = laptops
    shift.retire(wren.store, wren.stamp(minute=1), KALE, None, 72)
    walk.mark_trays(jory.store, jory.stamp(minute=20), ActKind.WATERED, [KALE])
    both_ways(wren, jory, tmp_path)
    assert listed(wren) == [
        f"gone, and gone on with: {label(3)}, retired 72 by Wren Tue 14 Apr 6:31, watered by Jory 6:50; counts: gone"
    ]
    settle(wren, Choice.LATER)
    assert the_tray(wren.store, KALE).have == 72


@pytest.mark.parametrize("against", ["", "the nights are cold; the bed was free"], ids=["open", "against"])
def test_all_of_a_tray_set_out_by_both_is_one_clash(
    laptops: tuple[Laptop, Laptop], tmp_path: Path, against: str
) -> None:
    wren, jory = laptops
    for laptop in laptops:
        shift.set_out(laptop.store, laptop.stamp(), KALE, None, 72, "bed 3", against)
    both_ways(wren, jory, tmp_path)
    assert [said.partition(":")[0] for said in listed(wren)] == ["more than there was"]
    settle(wren, Choice.LATER)
    jory.merge(wren)
    assert listed(jory) == listed(wren) == []


def test_what_else_stands_in_an_entry_that_is_in_doubt_is_no_clash_of_its_own(
    laptops: tuple[Laptop, Laptop], tmp_path: Path, containers: Ids
) -> None:
    wren, jory = laptops
    shift.retire(wren.store, wren.stamp(), KALE, None, 72)
    pot = PotUp(10, containers["9 cm pot"], FRAME)
    shift.pot_up(jory.store, jory.stamp(minute=9), KALE, None, [pot], lost=62)
    both_ways(wren, jory, tmp_path)
    assert {said.partition(":")[0] for said in listed(wren)} == {"more than there was"}


@pytest.mark.parametrize(("choice", "lost"), [(Choice.FIRST, 4), (Choice.BOTH, 8)], ids=["one", "both"])
def test_one_line_of_paper_that_both_entered_is_asked_about(
    laptops: tuple[Laptop, Laptop], tmp_path: Path, choice: Choice, lost: int
) -> None:
    wren, jory = laptops
    for laptop in laptops:
        stamp = laptop.stamp(told_at=MORNING)
        shift.lose(laptop.store, stamp, TOMATO, None, 4, LossCause.COOKED)
    both_ways(wren, jory, tmp_path)
    assert listed(wren) == [
        "entered twice: 1R, lost 4 (cooked) by Jory Tue 14 Apr 6:30, lost 4 (cooked) by Wren 6:30; both count"
    ]
    assert the_sowing(wren.store, TOMATO).lost == 8
    settle(wren, choice)
    assert (the_sowing(wren.store, TOMATO).lost, listed(wren)) == (lost, [])
    jory.merge(wren)
    assert told(jory.store) == told(wren.store)


def test_the_same_loss_at_another_time_or_not_from_paper_is_another_loss(
    laptops: tuple[Laptop, Laptop], tmp_path: Path
) -> None:
    wren, jory = laptops
    for minute, laptop in enumerate(laptops):
        at = MORNING + timedelta(minutes=minute)
        shift.lose(laptop.store, laptop.stamp(told_at=at), TOMATO, None, 4, LossCause.COOKED)
        shift.lose(laptop.store, laptop.stamp(minute=30), KALE, None, 4, LossCause.COOKED)
    both_ways(wren, jory, tmp_path)
    assert listed(wren) == []


def test_watered_by_one_before_the_other_retired_it_is_no_clash(
    laptops: tuple[Laptop, Laptop], tmp_path: Path
) -> None:
    wren, jory = laptops
    walk.mark_trays(jory.store, jory.stamp(minute=1), ActKind.WATERED, [KALE])
    shift.retire(wren.store, wren.stamp(minute=20), KALE, None, 72)
    both_ways(wren, jory, tmp_path)
    assert listed(wren) == []


def shared_sowing(bench: Store, tmp_path: Path, containers: Ids) -> tuple[Laptop, Laptop]:
    """Tray 4, sown by Wren today before the copies were made."""
    part = SowPart("tomato", "Orlen", 72)
    box = containers["72-cell tray"]
    sow.sow(bench, Laptop(bench, "Wren").stamp(uid="shared"), Sow(box, MAT, (part,), TODAY))
    return two_laptops(bench, tmp_path)


def test_a_sowing_that_one_took_back_and_the_other_went_on_with_stands_until_somebody_decides(
    bench: Store, tmp_path: Path, containers: Ids
) -> None:
    wren, jory = shared_sowing(bench, tmp_path, containers)
    record.undo(wren.store, wren.stamp(), "UTC")
    walk.mark_trays(jory.store, jory.stamp(), ActKind.WATERED, [4])
    both_ways(wren, jory, tmp_path)
    (said,) = listed(wren)
    assert said.startswith(f"taken back, and gone on with: {label(4)}, sown 72 by Wren")
    assert the_tray(wren.store, 4).standing
    settle(wren, Choice.FIRST)
    with wren.store.reading() as rows:
        assert 4 not in reading.trays(rows, [4])
    record.undo(wren.store, wren.stamp(), "UTC")
    assert the_tray(wren.store, 4).standing
    settle(wren, Choice.LATER)
    assert the_tray(wren.store, 4).standing
    assert listed(wren) == []
    now = kept(wren.store)
    assert kept_anew(wren.store) == now


def test_what_both_took_back_is_taken_back_once_and_can_be_brought_back(
    bench: Store, tmp_path: Path, containers: Ids
) -> None:
    wren, jory = shared_sowing(bench, tmp_path, containers)
    for laptop in (wren, jory):
        record.undo(laptop.store, replace(laptop.stamp(), who="Wren"), "UTC")
    jory.store.close()
    found = merge(wren.store, wren.stamp(), jory.store.path)
    assert found.notes == (
        f"Both took back: sowed {label(4)} tomato Orlen, 72-cell tray, mat. It is taken back once.",
    )
    assert findings(wren.store) == []
    with wren.store.reading() as rows:
        assert 4 not in reading.trays(rows, [4])


def test_both_decided_one_clash_and_the_later_decision_holds(
    laptops: tuple[Laptop, Laptop], tmp_path: Path
) -> None:
    wren, jory = laptops
    taken_by_both(wren, jory, tmp_path)
    settle(wren, Choice.FIRST)
    settle(jory, Choice.LATER)
    both_ways(wren, jory, tmp_path)
    sowing = the_sowing(wren.store, TOMATO)
    assert (sowing.out, sowing.handed) == (0, 30)
    assert listed(wren) == []


# Names, settings, plans.


def test_a_new_place_comes_along_and_a_renamed_one_is_known_again(laptops: tuple[Laptop, Laptop]) -> None:
    wren, jory = laptops
    with jory.store.reading() as rows:
        by_id = {place.id: place for place in reading.places(rows)}
    keep_place(jory.store, replace(by_id[SLATS], name="long bench", low_c=9.0))
    keep_place(jory.store, replace(by_id[MAT], id=0, name="Hoop", walk=9))
    with jory.store.reading() as rows:
        hoop = next(place.id for place in reading.places(rows) if place.name == "Hoop")
    shift.move(jory.store, jory.stamp(), [TOMATO], hoop)
    shift.move(jory.store, jory.stamp(), [TOMATO], SLATS)
    name_person(jory.store, "Ada")
    found = wren.merge(jory)
    with wren.store.reading() as rows:
        names = {place.name: place.id for place in reading.places(rows)}
    assert "Hoop" in names
    assert "long bench" not in names
    assert the_tray(wren.store, TOMATO).place_id == SLATS
    assert [stay.place_id for stay in the_tray(wren.store, TOMATO).stays[-2:]] == [names["Hoop"], SLATS]
    assert found.notes == (
        "slats: name slats here, long bench there; low c 12.0 here, 9.0 there. What is here stays.",
    )


def test_what_one_set_for_the_farm_holds_in_the_other_where_nothing_was_said_there(
    laptops: tuple[Laptop, Laptop],
) -> None:
    wren, jory = laptops
    for name, value in {"harden_days": "9", "phone": "0170 12", "latitude": "48", "theme": "light"}.items():
        set_setting(jory.store, name, value)
    set_setting(wren.store, "latitude", "47")
    # As a file of an earlier release has it.
    with wren.store.transaction() as session:
        session.connection().exec_driver_sql("DELETE FROM setting WHERE name = 'phone'")
    found = wren.merge(jory)
    with wren.store.reading() as rows:
        settings = reading.settings(rows)
    assert (settings["harden_days"], settings["phone"], settings["latitude"]) == ("9", "0170 12", "47")
    assert settings.get("theme") != "light"
    assert found.notes == ("Setting latitude: 47 here, 48 there. What is here stays.",)


def test_a_lot_known_as_treated_in_one_copy_is_treated(laptops: tuple[Laptop, Laptop]) -> None:
    wren, jory = laptops
    with jory.store.transaction() as session:
        session.connection().exec_driver_sql(
            "UPDATE lot SET treated = 'yes', tested_seeds = 20, tested_up = 17"
        )
    with wren.store.transaction() as session:
        session.connection().exec_driver_sql("UPDATE lot SET treated = 'no'")
    walk.mark_trays(jory.store, jory.stamp(), ActKind.WATERED, [TOMATO])
    wren.merge(jory)
    with wren.store.reading() as rows:
        (lot,) = reading.lots(rows)
    assert (lot.treated, lot.tested_up) == ("yes", 17)


def test_what_both_told_of_a_lot_holds_and_treated_outdoes_untreated(
    bench: Store, tmp_path: Path, containers: Ids
) -> None:
    part = SowPart("lettuce", "Marrel", 100, 1, "M9")
    sow.sow(
        bench, Laptop(bench, "Wren").stamp(uid="sown"), Sow(containers["open flat"], SLATS, (part,), day(-30))
    )
    wren, jory = two_laptops(bench, tmp_path)
    lot = SeedLot("lettuce", "Marrel", "M9")
    keep_lot(jory.store, jory.stamp(minute=1), replace(lot, treated=Treated.YES))
    keep_lot(wren.store, wren.stamp(minute=2), replace(lot, treated=Treated.NO, packed_year=2025))
    keep_lot(
        jory.store, jory.stamp(minute=3), replace(lot, treated=Treated.YES, tested_seeds=20, tested_up=9)
    )
    both_ways(wren, jory, tmp_path)
    for laptop in (wren, jory):
        with laptop.store.reading() as rows:
            (found,) = [one for one in reading.lots(rows) if one.name == "M9"]
            words = [row.words for row in reading.entries(rows)][-1]
            flats = [tray for tray in reading.standing_trays(rows) if tray.sowings[0].lot == "M9"]
        assert (found.treated, found.tested_up, found.packed_year) == (Treated.YES, 9, 2025)
        assert [tray.sowings[0].treated for tray in flats] == [Treated.YES]
        assert words == (
            "seed lot M9 is treated in one copy and not in the other: it counts as treated until G says no"
        )
        assert findings(laptop.store) == []


def test_what_both_told_otherwise_of_a_lot_is_said_with_what_holds(bench: Store, tmp_path: Path) -> None:
    lot = SeedLot("lettuce", "Marrel", "M9")
    keep_lot(bench, Laptop(bench, "Wren").stamp(uid="kept"), replace(lot, packed_year=2023))
    wren, jory = two_laptops(bench, tmp_path)
    keep_lot(wren.store, wren.stamp(minute=1), replace(lot, packed_year=2025, tested_seeds=20, tested_up=9))
    keep_lot(jory.store, jory.stamp(minute=2), replace(lot, packed_year=2025, tested_seeds=20, tested_up=17))
    wren.store.close()
    before = Laptop(open_store(Path(shutil.copy(wren.store.path, tmp_path / "wrens.db"))), "Wren")
    said = "Both copies told of seed lot M9: the later holds, 17 of 20 came up: somewhere 62-97 %."
    for one, other in ((wren, jory), (jory, before)):
        assert one.merge(other).notes == (said,)
    assert wren.merge(jory).notes == jory.merge(wren).notes == ()


def test_it_is_said_too_where_a_copy_is_taken_in_that_has_found_it_out(bench: Store, tmp_path: Path) -> None:
    wren, jory = two_laptops(bench, tmp_path)
    for laptop, up in ((wren, 17), (jory, 10)):
        keep_lot(laptop.store, laptop.stamp(), SeedLot("lettuce", "Marrel", "M9", 2025, 20, up))
    found, again = wren.merge(jory).notes, jory.merge(wren).notes
    assert found == again
    assert [note[:60] for note in found] == ["Both copies told of seed lot M9: the later holds, 10 of 20 c"]
    for laptop in (wren, jory):
        assert findings(laptop.store) == []


def test_what_both_told_alike_of_a_lot_is_nothing_to_say(bench: Store, tmp_path: Path) -> None:
    wren, jory = two_laptops(bench, tmp_path)
    for laptop in (wren, jory):
        keep_lot(laptop.store, laptop.stamp(), SeedLot("lettuce", "Marrel", "M9", 2025, 20, 9))
    assert wren.merge(jory).notes == ()


def test_a_line_of_the_plan_changed_by_both_stands_once(
    bench: Store, tmp_path: Path, containers: Ids
) -> None:
    want = Want("tomato", "Ostrel", 60, day(40), day(46), containers["72-cell tray"])
    add_targets(bench, Laptop(bench, "Wren").stamp(uid="planned"), want)
    wren, jory = two_laptops(bench, tmp_path)
    for laptop, plants in ((wren, 70), (jory, 80)):
        change_target(laptop.store, laptop.stamp(), 1, replace(want, plants=plants))
    both_ways(wren, jory, tmp_path)
    for laptop in (wren, jory):
        with laptop.store.reading() as rows:
            assert [target.plants for target in reading_ahead.targets(rows)] == [80]


# Clocks, files, what isn't a copy.


def test_a_clock_that_went_back_doesnt_turn_around_what_one_person_did(
    laptops: tuple[Laptop, Laptop], tmp_path: Path
) -> None:
    wren, jory = laptops
    shift.move(wren.store, wren.stamp(minute=30), [TOMATO], SHELF)
    shift.move(wren.store, wren.stamp(minute=-600), [TOMATO], FRAME)
    walk.mark_trays(jory.store, jory.stamp(minute=10), ActKind.WATERED, [TOMATO])
    both_ways(wren, jory, tmp_path)
    assert the_tray(wren.store, TOMATO).place_id == FRAME
    assert [who for who, _ in words(wren)] == ["Jory", "Wren", "Wren"]


def test_an_undo_stays_behind_what_it_takes_back_though_its_clock_was_wrong(
    laptops: tuple[Laptop, Laptop], tmp_path: Path
) -> None:
    wren, jory = laptops
    shift.lose(wren.store, wren.stamp(minute=30), TOMATO, None, 5, LossCause.EATEN)
    record.undo(wren.store, wren.stamp(minute=5), "UTC")
    walk.mark_trays(jory.store, jory.stamp(minute=20), ActKind.WATERED, [TOMATO])
    both_ways(wren, jory, tmp_path)
    assert the_sowing(wren.store, TOMATO).lost == 0


def test_of_two_readings_and_counts_the_later_one_holds_in_both(
    laptops: tuple[Laptop, Laptop], tmp_path: Path
) -> None:
    wren, jory = laptops
    stock.count_mix(jory.store, jory.stamp(minute=1), 40)
    stock.count_mix(wren.store, wren.stamp(minute=9), 80)
    both_ways(wren, jory, tmp_path)
    for laptop in laptops:
        with laptop.store.reading() as rows:
            assert [counted.amount for counted in reading_ahead.stock(rows)] == [80]


def test_merging_three_copies_by_any_road_tells_the_same(bench: Store, tmp_path: Path) -> None:
    wren, jory = two_laptops(bench, tmp_path)
    bench.close()
    shutil.copy(bench.path, tmp_path / "ada.db")
    ada = Laptop(open_store(tmp_path / "ada.db"), "Ada", MORNING + timedelta(seconds=45))
    shift.set_out(wren.store, wren.stamp(), TOMATO, None, 50)
    shift.set_out(jory.store, jory.stamp(), TOMATO, None, 40)
    shift.set_out(ada.store, ada.stamp(), TOMATO, None, 30)
    for one, other in ((wren, jory), (ada, wren), (jory, ada), (wren, ada), (ada, jory), (jory, wren)):
        one.merge(other)
    assert told(wren.store) == told(jory.store) == told(ada.store)
    assert the_sowing(wren.store, TOMATO).have in (22, 32, 42)


def test_ids_that_another_window_holds_lead_nowhere_once_their_rows_have_moved(
    laptops: tuple[Laptop, Laptop],
) -> None:
    wren, jory = laptops
    walk.mark_trays(jory.store, jory.stamp(minute=1), ActKind.WATERED, [TOMATO])
    receipt = walk.mark_trays(wren.store, wren.stamp(minute=5), ActKind.WATERED, [KALE])
    with wren.store.reading() as rows:
        (act,) = reading.acts_in(rows, receipt.entry_id)
    wren.merge(jory)
    with wren.store.reading() as rows:
        assert reading.acts_in(rows, receipt.entry_id) == []
    with pytest.raises(BadInput, match="can't be corrected"):
        record.correct_act(wren.store, wren.stamp(), act.id, "struck", "")


def test_an_empty_farm_takes_in_everything(bench: Store, farm_file: Path, tmp_path: Path) -> None:
    shutil.copy(farm_file, tmp_path / "new.db")
    new, old = Laptop(open_store(tmp_path / "new.db"), "Wren"), Laptop(bench, "Jory")
    new.merge(old)
    assert told(new.store) == told(old.store)


def test_what_isnt_a_copy_is_refused_and_changes_nothing(
    laptops: tuple[Laptop, Laptop], tmp_path: Path
) -> None:
    wren, _ = laptops
    before = every_row(wren.store.path)
    other = files.make_demo(tmp_path / "demo.db", TODAY)
    other.close()
    (tmp_path / "letter.db").write_text("Dear Jory, ...")
    with closing(sqlite3.connect(shutil.copy(other.path, tmp_path / "newer.db"))) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999'")
        connection.commit()
    for path, error, what in (
        (other.path, BadInput, "no copy of this farm"),
        (tmp_path / "letter.db", StoreTrouble, "letter.db can't be read. The file is no trayround database"),
        (tmp_path / "newer.db", NewerFile, "later release"),
        (tmp_path / "nothing.db", BadInput, "There is no file"),
        (wren.store.path, BadInput, "this farm's own file"),
    ):
        with pytest.raises(error, match=what):
            merge(wren.store, wren.stamp(), path)
        assert every_row(wren.store.path) == before


def test_a_copy_is_kept_before_and_none_where_nothing_is_new(laptops: tuple[Laptop, Laptop]) -> None:
    wren, jory = laptops
    assert wren.merge(jory).kept is None
    before = every_row(wren.store.path)
    walk.mark_trays(jory.store, jory.stamp(), ActKind.WATERED, [TOMATO])
    found = wren.merge(jory)
    assert found.entries == (("Jory", 1),)
    assert found.kept is not None
    assert every_row(found.kept) == before
    assert "Tue 14 Apr 15:30, before a merge: lacks 1 entry" in care.listed(wren.store.path)[1]


def test_an_older_copy_is_brought_up_to_date_aside_and_left_as_it_is(tmp_path: Path) -> None:
    first = importlib.import_module("model.store.migrations.versions.0001_first")
    path, other = tmp_path / "farm.db", tmp_path / "other.db"
    for made in (path, other):
        with closing(sqlite3.connect(made)) as connection:
            connection.executescript(first.STATEMENTS + ROWS)
    with closing(sqlite3.connect(other)) as connection:
        connection.execute(
            "INSERT INTO entry VALUES (2, 'b1', 1, '2026-04-12 06:30:00.000000', 'watered 12N', NULL)"
        )
        connection.execute(
            "INSERT INTO act (entry_id, kind, day, tray_id) VALUES (2, 'watered', '2026-04-12', 1)"
        )
        connection.commit()
    before = other.read_bytes()
    store = open_farm(path)
    merge(store, Stamp("Wren", MORNING, TODAY), other)
    assert (the_tray(store, 1).watered, other.read_bytes()) == (Mark(day(-2), "Wren"), before)
    assert [file.name for file in tmp_path.iterdir() if file.name.startswith("other")] == ["other.db"]
    store.close()


def test_a_merged_record_goes_out_as_plain_files_and_comes_in_the_same(
    bench: Store, tmp_path: Path, containers: Ids
) -> None:
    want = Want("tomato", "Ostrel", 60, day(40), day(46), containers["72-cell tray"])
    add_targets(bench, Laptop(bench, "Wren").stamp(uid="planned"), want)
    wren, jory = two_laptops(bench, tmp_path)
    change_target(jory.store, jory.stamp(minute=1), 1, replace(want, plants=80))
    change_target(wren.store, wren.stamp(minute=2), 1, replace(want, plants=70))
    pots = [PotUp(40, containers["open flat"], FRAME)]
    for laptop in (wren, jory):
        shift.pot_up(laptop.store, laptop.stamp(), KALE, None, pots)
        growth.root_look(laptop.store, laptop.stamp(), KALE, 2)
    wren.merge(jory)
    settle(wren, Choice.LATER)
    files.export_folder(wren.store, tmp_path / "out")
    again = files.import_folder(tmp_path / "again.db", tmp_path / "out")
    assert told(again) == told(wren.store)
    again.close()


MOMENTS = 24


def test_a_merge_that_is_ended_by_force_leaves_the_file_as_it_was(
    laptops: tuple[Laptop, Laptop], tmp_path: Path
) -> None:
    """kill -9 at statements from the first to the last; the merge that is let through comes after all of them."""
    wren, jory = laptops
    taken_by_both_apart(wren, jory)
    before, path = every_row(wren.store.path), wren.store.path
    jory.store.close()
    wren.store.close()
    statements = run_apart(path, jory.store.path, 0)
    assert every_row(path) != before
    ended = {1 + turn * (statements - 1) // (MOMENTS - 1) for turn in range(MOMENTS)}
    for statement in sorted(ended):
        ours = Path(shutil.copy(farm_before(tmp_path, before), tmp_path / f"{statement}.db"))
        assert run_apart(ours, jory.store.path, statement) == -signal.SIGKILL
        assert every_row(ours) == before
    assert len(ended) == MOMENTS


def taken_by_both_apart(wren: Laptop, jory: Laptop) -> None:
    shift.set_out(wren.store, wren.stamp(minute=11), TOMATO, None, 50)
    shift.set_out(jory.store, jory.stamp(minute=14), TOMATO, None, 30)
    shift.move(jory.store, jory.stamp(minute=15), [KALE], FRAME)


def farm_before(tmp_path: Path, rows: str) -> Path:
    """The record as SQL text, as a file again."""
    path = tmp_path / "before.db"
    if not path.exists():
        with closing(sqlite3.connect(path)) as connection:
            connection.executescript(rows)
            connection.execute("PRAGMA journal_mode=WAL")
    return path


def run_apart(path: Path, other: Path, last: int) -> int:
    """Merge in a process of its own that ends itself by force at a statement; how many there were if none is named."""
    reader, writer = os.pipe()
    child = os.fork()
    if child == 0:
        ran = count(1)

        @event.listens_for(Engine, "before_cursor_execute")
        def on_statement(*_about: object) -> None:
            if next(ran) == last:
                os.kill(os.getpid(), signal.SIGKILL)

        merge(open_store(path), Stamp("Wren", MORNING, TODAY), other)
        os.write(writer, str(next(ran) - 1).encode())
        os._exit(0)
    os.close(writer)
    with os.fdopen(reader) as said:
        told_by_it = said.read()
    _, status = os.waitpid(child, 0)
    code = os.waitstatus_to_exitcode(status)
    return int(told_by_it) if code == 0 else code


def test_nothing_is_left_beside_the_other_file(laptops: tuple[Laptop, Laptop]) -> None:
    wren, jory = laptops
    walk.mark_trays(jory.store, jory.stamp(), ActKind.WATERED, [TOMATO])
    jory.store.close()
    stick = jory.store.path
    before = {path.name for path in stick.parent.glob(f"{stick.name}*")}
    assert before == {stick.name}
    wren.merge(jory)
    assert {path.name for path in stick.parent.glob(f"{stick.name}*")} == before
