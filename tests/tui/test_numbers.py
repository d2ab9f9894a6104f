"""Old numbers on the keys: which tray one leads to, whose else it was, and what is asked before one is given again."""

from pathlib import Path

import pytest
from textual.widgets import Input

from model.rules.verdict import Today
from tests.tui.hand import Hand, at_the_farm
from tui.__main__ import FINE, REFUSED, run

ON = ["--on", "2026-04-14"]


def proposed(hand: Hand) -> str:
    """What Enter takes where a question has been asked and nothing was typed yet."""
    return hand.app.screen.query_one(Input).placeholder


async def sow_numbered(hand: Hand, number: str, more: str = "") -> None:
    """Sow kale in its usual way, with a number typed by hand."""
    await hand.type("skale sedge blue⏎c⏎⏎⏎")
    for _ in range(9):
        if "Label number?" in hand.shown:
            break
        await hand.press("enter")
    assert "Label number?" in hand.shown
    await hand.type(f"{number}⏎{more}")


async def test_an_old_number_that_is_given_again_leads_to_its_new_tray_and_says_whose_it_was(
    farm: Path,
) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n43C.nn80⏎43")
        assert hand.said == "80B  parsley Brook, Shelf   43C is 80B now."
        await sow_numbered(hand, "43")
        assert "43C was parsley Brook until Tue 14 Apr; that is 80B now." in " ".join(hand.shown.split())
        await hand.type("y")
        if hand.asks:
            await hand.press("enter")
        assert hand.said.startswith("sowed 43C kale Sedge Blue"), hand.said
        await hand.type("46T43")
        assert hand.under_hand == 43
        assert hand.said.startswith("43C  kale Sedge Blue, ")
        assert hand.said.endswith("   43C was also on 80B until Tue 14 Apr."), hand.said
        await hand.type("C46T80")
        assert hand.said == "80B  parsley Brook, Shelf"


async def test_a_number_whose_label_may_be_about_is_not_taken_unless_that_is_wanted(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n43C.nn71⏎71.nn80⏎")
        # The newest tray is number 70; 71 stood on a label this morning.
        await sow_numbered(hand, "43", "n")
        assert proposed(hand) == "72"
        await hand.type("80⏎")
        assert hand.refused.startswith("Tray 80B is standing. The next free one is 72A")
        await hand.press("backspace", "backspace", "enter")
        if hand.asks:
            await hand.press("enter")
        assert hand.said.startswith("sowed 72A"), hand.said


async def test_a_tray_gets_its_old_number_back_without_a_question(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n43C.nn80⏎80.nn43⏎")
        assert hand.said.startswith("relabelled: 80B is 43C")


async def test_on_a_page_an_old_number_finds_the_line_of_its_tray(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n28.nn80⏎Q28")
        assert hand.said == "28M is 80B now."
        assert hand.app.screen.under_hand.number == 80  # type: ignore[attr-defined]


async def test_labels_proposed_on_the_sheet_are_those_that_are_new_today(farm: Path, tmp_path: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n43C.nn80⏎Ql")
        assert proposed(hand) == "80"
        await hand.type(f"⏎t{tmp_path / 'labels.txt'}⏎")
        await hand.until("1 label in")
        await hand.type("l43⏎t")
        assert (tmp_path / "labels.txt").read_text().startswith("80B\n")
        await hand.type("␛")
        assert hand.said == "43C is 80B now."


async def test_on_the_command_line_an_old_number_leads_to_the_same_tray_and_that_is_said(
    farm: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n43C.nn80⏎")
    where = ["--db", str(farm), *ON]
    assert run(["labels", "43", *where]) == FINE
    printed = capsys.readouterr()
    assert printed.out.startswith("80B\nparsley Brook\n")
    assert printed.err == "43C is 80B now.\n"
    assert run(["labels", *where]) == FINE
    assert capsys.readouterr().out.startswith("80B\nparsley Brook\n")
    assert run(["trace", "43C", *where]) == FINE
    assert capsys.readouterr().out.startswith("43C is 80B now.\nTray 80B: parsley Brook")


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ("30X", "30 ends in F, not in X. Read the label again: 30F or 10X or 33X?"),
        ("43K", "43 ends in C, not in K. Read the label again: 43C or 44K?"),
        ("999", "No tray 999X was ever on record, and nothing else goes by '999'. Give a tray's label"),
        ("3 rows", "Nothing goes by '3 rows'. Give a tray's label"),
    ],
)
def test_a_trace_of_a_wrong_letter_asks_which_label_it_is(
    farm: Path, capsys: pytest.CaptureFixture[str], asked: str, said: str
) -> None:
    assert run(["trace", asked, "--db", str(farm)]) == REFUSED
    assert said in capsys.readouterr().err


async def test_what_is_left_dry_by_an_old_number_is_the_tray_that_the_number_leads_to(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        # 43 stands on the shelf, 46 and 58 on the mat.
        await hand.type("n43C.nn80⏎58.nn43⏎y43")
        assert hand.said == "43C  tomato Ostrel, Mat   43C was also on 80B until Tue 14 Apr."
        await hand.type("C80BW43⏎")
        assert hand.refused.startswith(
            "Tray 43C doesn't stand at Shelf. The tray here that was 43C is 80B; 43C stands at Mat now."
        ), hand.refused
        await hand.type("␛43CW58⏎")
        assert hand.line(43).seen is Today.LEFT
