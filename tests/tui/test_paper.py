"""Paper and back: a sheet that was ticked by hand is entered with its own time; files are written from the screen."""

import re
import shutil
from datetime import time
from io import BytesIO
from pathlib import Path

import pypdf
import pytest

from model.actions.files import DEMO_MORNING
from model.actions.opening import open_farm
from model.days import FixedClock
from model.rules.verdict import Today
from model.views.sheet import read as read_sheet
from tests.tui.hand import Hand, at_the_farm
from tui.commands import FIRST, PAPER, ROUND

BACK_ENTRY, BOTH_SESSIONS = 90, 130
"""Most keys to enter a sheet of sixty trays, and for a round that a power cut parted (script 25)."""
ZONE = "Europe/London"


def at(hour: int, minute: int = 0) -> FixedClock:
    """The clock of the demo farm at a time of its morning."""
    return FixedClock(DEMO_MORNING, time(hour, minute), ZONE)


NOON = at(12, 30)
EARLY = at(6, 30)


def instant(clock: FixedClock) -> str:
    """As the file holds it."""
    return f"{clock.now():%Y-%m-%d %H:%M}:00.000000"


def told(hand: Hand, since: int) -> set[object]:
    """The times that were told of the acts entered since an act."""
    sql = "SELECT DISTINCT told_at FROM act JOIN entry ON entry.id = act.entry_id WHERE act.id > ?"
    return {found for (found,) in hand.rows(sql, since)}


def a_power_cut(path: Path, to: Path) -> Path:
    """The file as a machine that lost its power leaves it: the program had no time to close it."""
    for tail in ("", "-wal", "-shm"):
        if Path(f"{path}{tail}").exists():
            shutil.copy(f"{path}{tail}", f"{to}{tail}")
    return to


async def test_what_comes_from_paper_is_listed_as_on_the_sheet_until_it_is_entered(farm: Path) -> None:
    async with at_the_farm(farm, clock=NOON) as hand:
        await hand.type("nn")
        worst_first, here = hand.listed, hand.under_hand
        await hand.type("I7:10⏎")
        assert (hand.listed, hand.under_hand) == (sorted(worst_first), here)
        assert hand.listed != worst_first
        sheet = read_sheet(open_farm(farm), hand.view.on, FixedClock(hand.view.on).now())
        walked = {}
        for place in sheet.places:
            await hand.type(f"{place.lines[0].label}")
            walked[hand.place] = hand.listed
        assert walked == {place.name: [line.number for line in place.lines] for place in sheet.places}
        await hand.type("v")
        assert hand.said == "What comes from paper is entered in the order of the sheet, by number."
        await hand.type("Inow⏎bbbb")
        await hand.type(f"{worst_first[0]}")
        assert hand.listed == worst_first


async def test_an_order_that_was_chosen_for_now_outlasts_an_entry(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("nnv")
        feet = hand.listed
        await hand.type("w")
        assert hand.listed == feet


# A sheet of sixty trays.

EXCEPTIONS = "62 63 58 ⏎W46⏎n50 51 W⏎n4 112 230 222 ⏎F⏎W27⏎nW⏎nW28⏎nW⏎"
"""An ordinary round from the first place on: hooks, half up, thinned, roots, off to harden, fed, three left dry."""


async def test_a_sheet_of_sixty_trays_is_entered_with_ninety_keys_and_carries_its_own_time(
    farm: Path,
) -> None:
    async with at_the_farm(farm, clock=NOON) as hand:
        since = hand.last_act
        assert len(hand.view.lines) == 60
        await hand.type(f"nI7:10⏎{EXCEPTIONS}z")
        assert hand.keys <= BACK_ENTRY
        assert (hand.view.unseen, hand.view.closed) == (0, "complete")
        assert told(hand, since) == {instant(at(7, 10))}
        entered = hand.rows("SELECT DISTINCT entered_at FROM entry WHERE told_at IS NOT NULL")
        assert entered == [(instant(NOON),)]
        assert {line.number for line in hand.view.lines if line.seen is Today.LEFT} == {46, 27, 28}
        print("keys to enter a sheet of sixty trays:", hand.keys)
        # The round is closed, so what follows is done now.
        after = hand.last_act
        await hand.type("4w")
        assert told(hand, after) == {None}
        assert "FROM PAPER" not in hand.shown


async def test_how_many_are_shown_stands_whole_beside_the_time_of_another_day(farm: Path) -> None:
    async with at_the_farm(farm, clock=NOON) as hand:
        await hand.type("Iyesterday 7:10⏎")
        title = hand.shown.splitlines()[0]
        assert "Mon 13 Apr   Wren   FROM PAPER" in title
        assert re.search(r"needs me first   12 of \d+, \d+ more press$", title.rstrip()), title


async def test_while_it_comes_from_paper_the_screen_says_so_and_now_ends_it(farm: Path) -> None:
    async with at_the_farm(farm, clock=NOON) as hand:
        await hand.type("nI7:10⏎")
        assert hand.said.startswith("What follows was done Tue 14 Apr 7:10.")
        await hand.until("FROM PAPER 7:10")
        await hand.type("46⏎")
        await hand.until("FROM PAPER 7:10")
        await hand.type("qI7:20⏎46wI⏎")
        assert hand.said == "What follows is done now."
        assert "FROM PAPER" not in hand.shown
        since = hand.last_act
        await hand.type("58w")
        assert told(hand, since) == {None}


async def test_the_tray_tells_the_time_that_stood_on_the_sheet(farm: Path) -> None:
    async with at_the_farm(farm, clock=NOON) as hand:
        await hand.type("nI7.10⏎46w⏎")
        await hand.until("watered at 7:10  Wren")


async def test_the_sheet_of_yesterday_belongs_to_yesterday(farm: Path) -> None:
    async with at_the_farm(farm, clock=NOON) as hand:
        since = hand.last_act
        await hand.type("nIyesterday 18:05⏎")
        await hand.until("Mon 13 Apr")
        await hand.type("46wInow⏎")
        assert hand.rows("SELECT day FROM act WHERE id > ?", since) == [("2026-04-13",)]
        assert told(hand, since) == {"2026-04-13 17:05:00.000000"}
        await hand.until("Tue 14 Apr")
        assert hand.line(46).seen is Today.UNSEEN


async def test_a_time_that_can_not_be_is_refused_and_keeps_what_was_typed(farm: Path) -> None:
    async with at_the_farm(farm, clock=EARLY) as hand:
        await hand.type("nI⏎")
        assert hand.refused.startswith("'' is no time. Type the time on the sheet")
        await hand.type("7:75⏎")
        assert hand.refused.startswith("'7:75' is no time.")
        await hand.type("␛I7:10⏎")
        assert hand.refused.startswith("Tue 14 Apr 07:10 is still to come.")
        assert hand.typed == "7:10"
        await hand.type("␛w")
        assert told(hand, hand.last_act - 1) == {None}


@pytest.mark.parametrize(
    ("typed", "day"),
    [
        ("6:00", "Mon 13 Apr"),
        ("today 6:00", "Tue 14 Apr"),
        ("yesterday 6:00", "Mon 13 Apr"),
        ("14 apr 6:00", "Tue 14 Apr"),
        ("14 mar 6:00", "Sat 14 Mar"),
    ],
)
async def test_a_day_that_is_named_counts_from_today_whatever_day_was_told(
    farm: Path, typed: str, day: str
) -> None:
    async with at_the_farm(farm, clock=NOON) as hand:
        await hand.type(f"nIyesterday 7:10⏎I{typed}⏎")
        assert hand.said == f"What follows was done {day} 6:00.   I and now ends it"
        await hand.until(f"{day}   ")


async def test_a_day_to_come_is_not_taken_for_last_years(farm: Path) -> None:
    async with at_the_farm(farm, clock=NOON) as hand:
        await hand.type("nI15 apr 6:00⏎")
        assert hand.refused.startswith("Tue 15 Apr 2025 is more than 31 days back.")
        assert hand.typed == "15 apr 6:00"


async def test_taking_back_is_done_now_whatever_time_was_told(farm: Path) -> None:
    async with at_the_farm(farm, clock=NOON) as hand:
        await hand.type("nI7:10⏎46wu")
        assert hand.line(46).seen is Today.UNSEEN
        undone = hand.rows("SELECT told_at FROM entry WHERE undoes IS NOT NULL ORDER BY id DESC LIMIT 1")
        assert undone == [(None,)]


async def test_a_mark_that_stands_for_the_same_time_is_said_and_not_entered_again(farm: Path) -> None:
    stands = "That stands already for this time on paper: {}. Nothing more was entered."
    async with at_the_farm(farm, clock=NOON) as hand:
        await hand.type("nI7:10⏎46w58l")
        since = hand.last_act
        await hand.type("46w")
        assert hand.said == stands.format("watered 46T")
        await hand.type("58l")
        assert hand.said == stands.format("looked at 58N")
        assert hand.acts(since) == []
        # Another word and back, another time, another person, and what was taken back.
        await hand.type("46d46wI7:20⏎46wI7:10⏎yJory⏎46wu46w")
        given = ("watered", 46, None)
        assert hand.acts(since) == [("left dry", 46, None), *[given] * 4]
        assert hand.line(46).seen is Today.WATERED
        await hand.type("46w")
        assert hand.said == stands.format("watered 46T")
        # Done now it is a second watering.
        await hand.type("Inow⏎46w46w")
        assert hand.acts(since)[5:] == [given] * 2


async def test_a_sheet_that_is_entered_twice_stands_once(farm: Path) -> None:
    async with at_the_farm(farm, clock=NOON) as hand:
        await hand.type("nI7:10⏎W46⏎F⏎46asoft⏎")
        since = hand.last_act
        await hand.type("W46⏎")
        assert hand.said.startswith("That stands already for this time on paper: watered Mat.")
        await hand.type("F⏎")
        assert hand.said.startswith("That stands already for this time on paper: fed Mat.")
        assert hand.acts(since) == []
        await hand.type("46asoft⏎W58⏎")
        assert hand.said.startswith("watered Mat, 1 tray; left dry 58N."), hand.said
        assert hand.acts(since) == [("watered", 46, None), ("left dry", 58, None)]


async def test_a_sheet_that_is_entered_twice_leaves_what_another_said_of_the_place(farm: Path) -> None:
    async with at_the_farm(farm, clock=NOON) as hand:
        await hand.type("nI8:00⏎yJory⏎58wyWren⏎I7:10⏎W46⏎")
        assert hand.said.startswith("watered Mat, 8 trays; left dry 46T."), hand.said
        since = hand.last_act
        await hand.type("W46⏎")
        assert hand.said.startswith("That stands already for this time on paper: watered Mat.")
        assert hand.acts(since) == []


async def test_a_sheet_that_is_entered_twice_leaves_what_was_said_of_a_tray_alone(farm: Path) -> None:
    async with at_the_farm(farm, clock=NOON) as hand:
        await hand.type("nI7:10⏎46dW⏎")
        assert hand.said.startswith("watered Mat, 9 trays."), hand.said
        since = hand.last_act
        await hand.type("46dW⏎")
        assert hand.said.startswith("That stands already for this time on paper: watered Mat.")
        assert hand.acts(since) == []
        assert hand.line(46).seen is Today.LEFT


async def test_a_tray_that_is_left_out_the_second_time_is_left_dry_and_nothing_else_is_said(
    farm: Path,
) -> None:
    async with at_the_farm(farm, clock=NOON) as hand:
        await hand.type("nI7:10⏎W⏎")
        since = hand.last_act
        await hand.type("W58⏎")
        assert hand.said.startswith("left dry 58N."), hand.said
        assert hand.acts(since) == [("left dry", 58, None)]


async def test_a_look_at_a_place_but_for_one_tray_that_is_entered_twice_stands_once(farm: Path) -> None:
    async with at_the_farm(farm, clock=NOON) as hand:
        await hand.type("nI7:10⏎L46⏎")
        assert hand.said.startswith("looked at Mat, 9 trays."), hand.said
        since = hand.last_act
        await hand.type("L46⏎")
        assert hand.said.startswith("That stands already for this time on paper: looked at Mat."), hand.said
        assert hand.acts(since) == []


async def test_another_feed_for_the_same_time_is_another_word(farm: Path) -> None:
    async with at_the_farm(farm, clock=NOON) as hand:
        since = hand.last_act
        await hand.type("nI7:10⏎Fkelp⏎Ffish⏎")
        assert hand.said.startswith("fed Mat, 10 trays.")
        feeds = hand.rows("SELECT text, count(*) FROM act WHERE id > ? GROUP BY text ORDER BY text", since)
        assert feeds == [("fish", 10), ("kelp", 10)]
        for again in ("Ffish⏎", "F⏎"):
            since = hand.last_act
            await hand.type(again)
            assert hand.said.startswith("That stands already for this time on paper: fed Mat.")
            assert hand.acts(since) == []


STANDS = (
    "That stands already for this time on paper: {}. "
    "Nothing more was entered; C corrects it, or give it its own minute."
)


@pytest.mark.parametrize(
    ("keys", "words", "kinds"),
    [
        ("24x3⏎6", "lost 3: 24R beet Garnet Lane (eaten)", ["lost"]),
        ("20r3", "root look 3, full: 20C", ["root look"]),
        ("43apale⏎", "note: 43C", ["note"]),
        ("34k60⏎", "counted 60: 34B tomato Brisk Nine", ["counted"]),
        (
            "25o20⏎b4⏎why⏎",
            "set out 20: 25W pak choi Low Bell",
            ["against the gate", "set out"],
        ),
        ("51t", "thinned: 51M cabbage Copse", ["thinned"]),
        ("49h1", "finger test 1, just moist: 49A", ["finger test"]),
        ("12p10⏎8⏎⏎⏎", "potted up 12N eggplant Morrow: 10 as 71W", ["potted up", "looked at"]),
        ("46.sspots⏎", "looked sick: 46T", ["looked sick"]),
    ],
)
async def test_what_is_entered_twice_from_paper_stands_once_until_it_is_taken_back(
    farm: Path, keys: str, words: str, kinds: list[str]
) -> None:
    async with at_the_farm(farm, clock=NOON) as hand:
        since = hand.last_act
        await hand.type(f"nI7:10⏎{keys}")
        assert [kind for kind, *_ in hand.acts(since)] == kinds
        trays = hand.rows("SELECT count(*) FROM tray")
        after = hand.last_act
        await hand.type(keys)
        made = "potted up" in kinds
        stands = STANDS.replace("C corrects it, or give it", "done twice, it gets") if made else STANDS
        assert hand.said == stands.format(words)
        await hand.until("own minute.")
        assert hand.acts(after) == []
        assert hand.rows("SELECT count(*) FROM tray") == trays
        # Another minute is another time, and so is what was taken back; what is done now is never held back.
        for again in (f"I7:11⏎{keys}", f"uI7:10⏎u{keys}", f"Inow⏎u{keys}"):
            after = hand.last_act
            await hand.type(again)
            assert [kind for kind, *_ in hand.acts(after)] == kinds, (again, hand.said)


async def test_another_count_cause_score_word_or_person_is_entered_beside_what_stands(farm: Path) -> None:
    async with at_the_farm(farm, clock=NOON) as hand:
        await hand.type("nI7:10⏎24x3⏎620r343apale⏎12p20⏎8⏎⏎⏎")
        since = hand.last_act
        await hand.type("24x2⏎624x3⏎720r243alimp⏎12p10⏎8⏎⏎⏎yJory⏎24x3⏎6")
        assert hand.acts(since) == [
            ("lost", 24, 2),
            ("lost", 24, 3),
            ("root look", 20, None),
            ("note", 43, None),
            ("potted up", 12, 10),
            ("looked at", 72, None),
            ("lost", 24, 3),
        ]


async def test_a_resowing_that_is_entered_twice_from_paper_stands_once(farm: Path) -> None:
    async with at_the_farm(farm, clock=NOON) as hand:
        await hand.type("nI7:10⏎46TR30⏎⏎⏎")
        since = hand.last_act
        await hand.type("46TR130⏎⏎⏎")
        stands = STANDS.replace("C corrects it, or give it", "done twice, it gets")
        assert hand.said == stands.format("resowed 30 of 46T with pepper Tavar")
        assert hand.acts(since) == []
        await hand.type("46TR120⏎⏎⏎")
        assert hand.acts(since) == [("lost", 46, 20), ("resown", 46, 20)]


async def test_a_move_back_and_forth_in_one_minute_is_entered_each_time(farm: Path) -> None:
    async with at_the_farm(farm, clock=NOON) as hand:
        await hand.type("nI7:10⏎46m3")
        assert hand.line(46).place == "Slats"
        await hand.type("46m2")
        assert hand.line(46).place == "Shelf"
        await hand.type("46m3")
        assert hand.line(46).place == "Slats", hand.said
        await hand.type("46m3")
        assert "none of the answers" in hand.shown, "the key of a place is its own"


async def test_a_move_that_was_done_at_seven_does_not_outdo_one_of_eight(farm: Path) -> None:
    async with at_the_farm(farm, clock=at(8)) as hand:
        await hand.type("n46m3")
        assert hand.line(46).place == "Slats"
    async with at_the_farm(farm, clock=NOON) as hand:
        await hand.type("nI7:00⏎46m2")
        assert hand.line(46).place == "Slats"
        await hand.type("46⏎")
        await hand.until("moved to Shelf at 7:00")


# Script 25: power and laptop die mid-round.


async def test_script_25_the_rest_of_a_round_that_the_power_cut_parted_comes_from_paper(
    farm: Path, tmp_path: Path
) -> None:
    async with at_the_farm(farm, clock=at(7, 5)) as hand:
        begun = hand.last_act
        await hand.type("nN14 17⏎62 63 58 ⏎W46⏎n50 51 W⏎n4 112 230 222 ⏎24w17w35w34w55w")
        keys, before = hand.keys, hand.acts(begun)
        path = a_power_cut(farm, tmp_path / "after.db")
    assert len(before) == 36
    async with at_the_farm(path, clock=NOON) as hand:
        # Nothing that was said to be kept is gone, and the readings of the night are there.
        assert hand.acts(begun) == before
        assert hand.rows("SELECT low_c, high_c FROM reading ORDER BY id DESC LIMIT 1") == [(4.0, 17.0)]
        since = hand.last_act
        await hand.type("nI7:10⏎")
        assert hand.place == "Slats"
        await hand.type("13dF⏎W27⏎")
        await hand.type("nI7:20⏎33x3⏎61d31dW⏎")
        await hand.type("nI7:30⏎7d20d28dW⏎n32asoft⏎41dW⏎")
        await hand.type("z")
        assert (hand.view.unseen, hand.view.closed) == (0, "complete")
        times = told(hand, since)
        assert times == {instant(at(7, minute)) for minute in (10, 20, 30)}
        ((lines,),) = hand.rows(
            "SELECT count(*) FROM entry WHERE told_at IS NOT NULL AND words NOT LIKE 'round closed%'"
        )
        assert lines == 14
        assert keys + hand.keys <= BOTH_SESSIONS
        print("keys in both sessions:", keys, "+", hand.keys, "acts before the cut:", len(before))


# Script 7: a label that can't be read.


async def test_script_7_the_letter_of_another_tray_is_asked_about_and_never_taken(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        since = hand.last_act
        await hand.type("n43W")
        assert hand.asks
        await hand.until("43W can't be. 43C or 48W?")
        await hand.until("43C  parsley Brook, Shelf")
        await hand.until("48W  tomato Ostrel, Shelf")
        await hand.press("enter")
        assert hand.refused, "no answer is likelier than the other"
        # Keys typed ahead for the next tray stay in the field, and the same slip is asked about again.
        await hand.type("43W⏎")
        assert hand.refused == "43 ends in C, not in W. Read the label again: 43C or 48W?"
        await hand.type("␛43W48W⏎")
        assert hand.under_hand == 48
        await hand.type("w43W␛d")
        assert hand.acts(since) == [("watered", 48, None), ("left dry", 43, None)]


async def test_script_7_a_new_label_keeps_the_old_number_as_another_name(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        since = hand.last_act
        await hand.type("n43C.nn57⏎")
        assert hand.refused.startswith("Tray 57B is standing.")
        await hand.type("␛43C.nn80⏎")
        assert hand.said.startswith("relabelled: 43C is 80B")
        assert hand.rows("SELECT kind, old, new FROM act WHERE id > ?", since) == [("relabelled", "43", "80")]
        await hand.type("46T43")
        assert hand.said == "80B  parsley Brook, Shelf   43C is 80B now."
        assert hand.under_hand == 80
        await hand.type("Cw")
        assert hand.acts(since)[-1] == ("watered", 43, None)
        assert hand.line(80).seen is Today.WATERED
        await hand.type("⏎")
        await hand.until("its label was 43C")
        await hand.until("relabelled 43C is 80B")
        await hand.type("quu43")
        assert hand.under_hand == 43


async def test_script_7_labels_that_were_swapped_last_week_are_swapped_back_with_all_that_was_entered_since(
    farm: Path,
) -> None:
    async with at_the_farm(farm) as hand:
        before = {number: hand.line(number) for number in (44, 48)}
        acts = {number: of_since(hand, number, "2026-04-07") for number in (44, 48)}
        assert acts[44] != acts[48]
        assert acts[44]
        await hand.type("n44K.ns48C⏎")
        assert hand.refused.startswith("48 ends in W, not in C.")
        await hand.type("␛44K.ns48⏎-7⏎b")
        assert hand.said.startswith("labels of 44K and 48W put back; ")
        assert of_since(hand, 44, "2026-04-07") == acts[48]
        assert of_since(hand, 48, "2026-04-07") == acts[44]
        for number in (44, 48):
            assert (hand.line(number).variety, hand.line(number).sown_on) == (
                before[number].variety,
                before[number].sown_on,
            )
        await hand.type("u")
        assert of_since(hand, 44, "2026-04-07") == acts[44]


def of_since(hand: Hand, number: int, day: str) -> list[tuple[object, ...]]:
    """What counts of a tray since a day: kind, day, count, score, and who did it by the entry it was made in first."""
    return hand.rows(
        "SELECT kind, day, count, score, coalesce(of_act_id, act.id) AS made FROM act "
        "JOIN tray ON tray.id = act.tray_id WHERE number = ? AND day >= ? AND kind NOT IN ('corrected', 'sown') "
        "AND act.id NOT IN (SELECT of_act_id FROM act WHERE kind = 'corrected' AND field = 'struck' "
        "AND entry_id NOT IN (SELECT undoes FROM entry WHERE undoes IS NOT NULL)) "
        "AND act.entry_id NOT IN (SELECT undoes FROM entry WHERE undoes IS NOT NULL) ORDER BY day, made",
        number,
        day,
    )


async def test_a_number_that_does_not_stand_at_the_place_asks_which_was_meant(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("nW48⏎")
        assert hand.refused.startswith(
            "Tray 48W doesn't stand at Mat. Name trays of this place only: 46T or 58N or 68E?"
        )


# Files from the screen.


async def test_the_page_shows_the_sheet_and_writes_it_as_pdf_or_text(farm: Path, tmp_path: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n46wQ")
        assert hand.where == PAPER
        await hand.until("60 trays on 2 pages; 59 not seen.")
        await hand.until("[x][ ][ ] 46T")
        for name in ("round.pdf", "round.txt"):
            await hand.type(f"p{tmp_path / name}⏎")
            await hand.until("60 trays on 2 pages are in")
        words = (tmp_path / "round.txt").read_text(encoding="utf-8")
        assert words.count("\f") == 1
        pages = pypdf.PdfReader(BytesIO((tmp_path / "round.pdf").read_bytes())).pages
        assert len(pages) == 2
        assert "46T" in pages[0].extract_text()
        await hand.type(f"p{tmp_path / 'round.txt'}⏎n")
        assert hand.said.startswith("Nothing was written.")


async def test_from_the_page_the_keys_go_back_to_the_round(farm: Path) -> None:
    async with at_the_farm(farm, clock=NOON) as hand:
        since = hand.last_act
        await hand.type("nQI7:10⏎")
        assert hand.where == ROUND
        assert hand.said.startswith("What follows was done Tue 14 Apr 7:10.")
        await hand.type("46w")
        assert told(hand, since) == {instant(at(7, 10))}


async def test_labels_are_written_from_the_page(farm: Path, tmp_path: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type(f"Ql12 43C⏎t{tmp_path / 'labels.txt'}⏎")
        await hand.until("2 labels in")
        assert (tmp_path / "labels.txt").read_text().startswith("12N\neggplant Morrow\n")
        await hand.type(f"l12⏎p{tmp_path / 'plants.pdf'}⏎")
        await hand.until("labels in")
        assert (tmp_path / "plants.pdf").read_bytes().startswith(b"%PDF")
        await hand.type("l99⏎t")
        assert hand.said.startswith("No tray 99F stands.")
        await hand.type("l⏎")
        assert hand.refused.startswith("No tray is named.")


@pytest.mark.parametrize("where", [FIRST, ROUND, PAPER])
async def test_digits_find_a_tray_on_the_sheet_too(farm: Path, where: str) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type({FIRST: "", ROUND: "n", PAPER: "Q"}[where] + "28")
        await hand.until("28M")
