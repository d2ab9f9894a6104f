"""Flats that are cut to be eaten: treated seed stays out of them, and each third has its own age, cuts and window."""

import re
import sqlite3
from contextlib import closing
from datetime import date
from pathlib import Path

from model.actions.opening import open_farm
from model.facts import Treated
from model.rules.seeding import may_be_treated
from model.rules.verdict import Task, Window
from model.views.round import read_round
from tests.tui.hand import Hand, at_the_farm

FLAT = 27
"""In the demo farm: lettuce, mustard and cilantro in one flat, sown 15 March, off the mat on 20 March."""


def say_treated(path: Path, treated: str) -> None:
    with sqlite3.connect(path) as connection:
        connection.execute(
            "UPDATE lot SET treated = ? WHERE variety_id IN (SELECT id FROM variety WHERE crop = 'kale')",
            (treated,),
        )


def key_of(hand: Hand, words: str) -> str:
    found = re.search(rf"(\S)  {words}", hand.shown)
    assert found, hand.shown
    return found[1]


async def kale_into_a_flat(hand: Hand) -> None:
    """Kale as baby leaf from the lot that is proposed."""
    await hand.type("nskale sedge blue⏎c")
    await hand.press(key_of(hand, "open flat"))
    await hand.type("⏎⏎⏎")
    await hand.press(key_of(hand, "Slats"))
    await hand.type("⏎⏎")


def sown(hand: Hand) -> int:
    ((count,),) = hand.rows("SELECT count(*) FROM sowing")
    assert isinstance(count, int)
    return count


async def test_treated_seed_is_refused_for_a_flat_to_be_eaten_with_what_to_do(farm: Path) -> None:
    say_treated(farm, "yes")
    async with at_the_farm(farm) as hand:
        before = sown(hand)
        await hand.type("nskale sedge blue⏎c")
        await hand.press(key_of(hand, "open flat"))
        await hand.type("⏎⏎⏎")
        # At the answer itself, and another lot may be typed at once.
        assert "is treated seed and this flat is cut to be eaten" in hand.refused.replace("\n", " ")
        assert "cells to set out, or take another lot" in hand.refused.replace("\n", " ")
        assert "Seed lot?" in hand.shown
        await hand.press("escape")
        assert sown(hand) == before


async def test_seed_that_nobody_has_told_of_is_asked_about_once(farm: Path) -> None:
    say_treated(farm, "unknown")
    async with at_the_farm(farm) as hand:
        before = sown(hand)
        await kale_into_a_flat(hand)
        assert "nobody has said whether the seed is treated" in hand.shown.replace("\n", " ")
        await hand.type("n")
        assert sown(hand) == before
        await kale_into_a_flat(hand)
        await hand.type("y")
        assert sown(hand) == before + 1


async def test_untreated_seed_is_sown_without_a_question(farm: Path) -> None:
    say_treated(farm, "no")
    async with at_the_farm(farm) as hand:
        before = sown(hand)
        await kale_into_a_flat(hand)
        assert sown(hand) == before + 1


async def thirds(hand: Hand, *lots: str) -> None:
    """Kale, mustard and lettuce in one flat, the lot of each asked for."""
    await hand.type("skale sedge blue+rook+pale ivy⏎")
    await hand.press(key_of(hand, "open flat"))
    await hand.type("12⏎⏎")
    for kind, lot in zip(("kale Sedge Blue", "mustard Rook", "lettuce Pale Ivy"), lots, strict=True):
        assert f"Seed lot of {kind}?" in hand.shown
        await hand.type(f"{lot}⏎")
    await hand.press(key_of(hand, "Slats"))
    await hand.type("⏎⏎")


async def test_each_part_of_a_mixed_flat_has_a_lot_of_its_own(farm: Path) -> None:
    say_treated(farm, "no")
    with sqlite3.connect(farm) as connection:
        ((kale, variety),) = connection.execute(
            "SELECT lot.name, variety_id FROM lot JOIN variety ON variety.id = variety_id WHERE crop = 'kale' LIMIT 1"
        ).fetchall()
        connection.execute(
            "INSERT INTO lot (variety_id, name, treated, source) VALUES (?, 'pink', 'yes', '')", (variety,)
        )
    async with at_the_farm(farm) as hand:
        before = sown(hand)
        await hand.type("nskale sedge blue+rook+pale ivy⏎")
        await hand.press(key_of(hand, "open flat"))
        await hand.type("12⏎⏎pink⏎")
        assert "Lot pink is treated seed" in hand.refused.replace("\n", " ")
        await hand.press("escape")
        assert sown(hand) == before
        await thirds(hand, str(kale), "new", "newer")
        shown = " ".join(hand.shown.split())
        assert (
            "mustard Rook new, lettuce Pale Ivy newer: nobody has said whether the seed is treated" in shown
        )
        await hand.type("y")
        assert hand.rows(
            "SELECT part, lot.name FROM sowing JOIN lot ON lot.id = lot_id ORDER BY sowing.id DESC LIMIT 3"
        ) == [(3, "newer"), (2, "new"), (1, kale)]


async def test_a_third_is_cut_three_times_with_the_days_between_and_then_retired(farm: Path) -> None:
    for on in (date(2026, 4, 14), date(2026, 5, 2), date(2026, 5, 21)):
        async with at_the_farm(farm, on=on, size=(120, 40)) as hand:
            await hand.type("n27Gc")
            await hand.press(key_of(hand, "Rook"), "enter")
            if on.month == 4:
                assert "1 of 3; feed plain mix" in hand.shown.replace("\n", " ")
    async with at_the_farm(farm, on=date(2026, 5, 21), size=(120, 40)) as hand:
        await hand.type("n27G⏎")
        assert "cut 14 Apr, 2 May (18 d), 21 May (19 d): 3 of 3" in hand.shown
        assert any(due.task is Task.RETIRE for due in hand.line(FLAT).due)


async def test_a_mixed_flat_is_one_label_with_three_ages_and_three_windows(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        ids = dict(hand.rows("SELECT variety.name, s.id FROM sowing s JOIN variety ON variety.id = variety_id "
                             "JOIN tray ON tray.id = s.tray_id WHERE number = ?", FLAT))  # fmt: skip
        cuts = {due.sowing_id: due.window for due in hand.line(FLAT).due if due.task is Task.CUT}
        assert cuts[ids["Rook"]] == cuts[ids["Pale Ivy"]] == Window(date(2026, 4, 12), date(2026, 4, 19))
        # Half up on 29 March, four days after the tenth day: its first cut waits as long.
        assert cuts[ids["Quill"]] == Window(date(2026, 4, 16), date(2026, 4, 23))
        moves = hand.rows("SELECT act.id FROM act JOIN tray ON tray.id = tray_id "
                          "WHERE number = ? AND kind = 'moved' AND day = '2026-03-20'", FLAT)  # fmt: skip
        assert len(moves) == 1


def test_what_is_still_to_come_up_takes_longer_once_the_flat_is_off_the_mat(farm: Path) -> None:
    with closing(open_farm(farm)) as store:
        ends = []
        for day in (19, 21):
            line = next(line for line in read_round(store, date(2026, 3, day)).lines if line.number == FLAT)
            (end,) = {due.window.end for due in line.due if due.task is Task.FIRST_UP}
            ends.append(end)
        assert ends[0] is not None
        assert ends[1] is not None
        assert ends[0] < ends[1]


def test_of_a_lot_unnamed_every_lot_of_the_variety_counts() -> None:
    assert may_be_treated([])
    assert may_be_treated([Treated.NO, Treated.UNKNOWN])
    assert may_be_treated([Treated.NO, Treated.YES])
    assert not may_be_treated([Treated.NO, Treated.NO])
