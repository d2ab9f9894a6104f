"""Backups while the program runs, and backup, restore and check as commands with their exit codes."""

import json
import re
import shutil
import sqlite3
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from model.days import FixedClock
from model.store import backup
from tests.store.looking import every_row
from tests.tui.hand import Hand, at_the_farm
from tests.tui.test_resume import MovableClock
from tui.__main__ import FINE, MISUSED, REFUSED, run
from tui.app import TrayroundApp
from tui.session import Session

Printed = pytest.CaptureFixture[str]


def change(path: Path, *statements: str) -> None:
    """Do to a record what no action of the program would."""
    with closing(sqlite3.connect(path)) as connection:
        for statement in statements:
            connection.execute(statement)
        connection.commit()


# While the program runs.


async def test_the_first_opening_of_a_day_makes_a_backup_and_no_other_does(farm: Path) -> None:
    before = every_row(farm)
    async with at_the_farm(farm) as hand:
        assert [copy.number for copy in backup.backups(farm)] == [1]
        await hand.type("n46w")
    async with at_the_farm(farm):
        pass
    (copy,) = backup.backups(farm)
    assert copy.at == datetime(2026, 4, 14, 6, 30, tzinfo=UTC)
    assert every_row(copy.path) == before
    async with at_the_farm(farm, on=datetime(2026, 4, 15, tzinfo=UTC).date()):
        pass
    assert [copy.number for copy in backup.backups(farm)] == [2, 1]


async def test_a_screen_left_open_overnight_makes_the_backup_of_the_new_day(farm: Path) -> None:
    clock = MovableClock(datetime(2026, 4, 14, 21, 0, tzinfo=UTC))
    async with at_the_farm(farm, clock=clock) as hand:
        clock.at += timedelta(hours=2, minutes=15)
        await hand.app._news()
        assert [copy.at for copy in backup.backups(farm)] == [
            clock.at,
            clock.at - timedelta(hours=2, minutes=15),
        ]


async def test_where_no_backup_can_be_made_it_is_said_and_the_round_goes_on(farm: Path) -> None:
    backup.folder_of(farm).write_text("in the way", encoding="utf-8")
    async with at_the_farm(farm) as hand:
        assert hand.said.startswith("No backup today. No backup was made in ")
        assert "What is on record stays there" in hand.said
        await hand.type("n46w")
        assert hand.acts()[-1] == ("watered", 46, None)


async def test_damage_that_the_round_doesnt_read_is_told_by_the_backup_of_the_day(farm: Path) -> None:
    async with at_the_farm(farm):
        pass
    change(farm, "PRAGMA writable_schema=ON", "DELETE FROM sqlite_master WHERE name = 'ix_act_day'")
    async with at_the_farm(farm, on=datetime(2026, 4, 15, tzinfo=UTC).date()) as hand:
        assert hand.said.startswith(
            f"No backup today. farm.db is damaged. Run: trayround restore newest --db {farm}"
        )
        assert len(backup.backups(farm)) == 1


@pytest.mark.parametrize("left", [8192, 100_000, 0])
async def test_a_file_cut_short_ends_the_program_with_the_way_back(farm: Path, left: int) -> None:
    async with at_the_farm(farm):
        pass
    cut = farm.read_bytes()[:left]
    farm.write_bytes(cut)
    session = Session(farm, FixedClock(datetime(2026, 4, 15, tzinfo=UTC).date()), make=True)
    app = TrayroundApp(session)
    async with app.run_test(size=(80, 24)) as pilot:
        await app.workers.wait_for_complete()
        hand = Hand(app, pilot)
        assert hand.app.return_code == REFUSED
    session.close()
    assert f"Run: trayround restore newest --db {farm}." in str(app.return_value)
    assert farm.read_bytes() == cut


# Damaged, and no backup.

ANY_COMMAND = [
    ["round"],
    ["entries"],
    ["labels"],
    ["export", "out"],
    ["merge", "other.db"],
    ["backup"],
    ["backup", "copy.db"],
    ["summary"],
]


def only_ways(farm: Path) -> str:
    """What is said of a damaged file that has no backup."""
    return (
        "It was not touched, and there is no good backup beside it. A copy from a stick or from the other laptop takes "
        f"its place with: trayround restore COPY --db {farm}. That keeps this file aside and names the entries that "
        f"the copy lacks. What can still be read here: trayround check --db {farm}."
    )


@pytest.mark.parametrize("command", ANY_COMMAND)
@pytest.mark.parametrize("broken", ["cut", "beginning"])
def test_every_command_says_what_can_be_tried_with_a_damaged_file_that_has_no_backup(
    farm: Path,
    tmp_path: Path,
    capsys: Printed,
    monkeypatch: pytest.MonkeyPatch,
    command: list[str],
    broken: str,
) -> None:
    monkeypatch.chdir(tmp_path)
    shutil.copy(farm, tmp_path / "other.db")
    whole = farm.read_bytes()
    bad = whole[: len(whole) // 2] if broken == "cut" else b"\x00" * 600 + whole[600:]
    farm.write_bytes(bad)
    assert run([*command, "--db", str(farm), "--on", "2026-04-14"]) == REFUSED
    printed = capsys.readouterr()
    assert printed.out == ""
    assert printed.err.endswith(f"{only_ways(farm)}\n")
    what = "The file is damaged." if broken == "cut" else "If it was your farm's, something wrote over it."
    assert what in printed.err
    assert farm.read_bytes() == bad


async def test_so_does_the_screen(farm: Path) -> None:
    farm.write_bytes(farm.read_bytes()[: 4096 * 20])
    session = Session(farm, FixedClock(datetime(2026, 4, 15, tzinfo=UTC).date()), make=True)
    app = TrayroundApp(session)
    async with app.run_test(size=(80, 24)):
        await app.workers.wait_for_complete()
    session.close()
    assert app.return_value == (f"Something is wrong with the record. The file is damaged. {only_ways(farm)}")


def test_the_other_laptops_copy_takes_the_place_of_a_damaged_file(
    farm: Path, tmp_path: Path, capsys: Printed
) -> None:
    shutil.copy(farm, tmp_path / "other.db")
    change(
        farm, "INSERT INTO entry VALUES (9001, 'x', 1, '2026-04-14 05:45:00.000000', 'fed 46T', NULL, NULL)"
    )
    then, whole = every_row(tmp_path / "other.db"), farm.read_bytes()
    farm.write_bytes(whole[:-4096] + b"\xff" * 4096)
    assert run(["check", "--db", str(farm)]) == REFUSED
    printed = capsys.readouterr().out
    assert f"trayround restore COPY --db {farm}" in printed
    assert re.search(r"Of its entries [1-9][\d,]* can still be read\.", printed)
    assert run(["restore", str(tmp_path / "other.db"), "--db", str(farm)]) == FINE
    assert "It held 1 entry: Tue 14 Apr, Wren" in capsys.readouterr().out
    assert every_row(farm) == then


def test_where_all_tables_can_be_read_check_says_how_they_are_saved(
    farm: Path, tmp_path: Path, capsys: Printed
) -> None:
    with closing(sqlite3.connect(farm)) as connection:
        page, size = connection.execute(
            "SELECT rootpage, (SELECT page_size FROM pragma_page_size) FROM sqlite_master WHERE name = 'ix_tray_now_number'"
        ).fetchone()
    data = bytearray(farm.read_bytes())
    data[(page - 1) * size : page * size] = b"\xff" * size
    farm.write_bytes(data)
    assert run(["check", "--db", str(farm)]) == REFUSED
    assert "All its tables can be read: trayround export FOLDER" in capsys.readouterr().out
    new = tmp_path / "new.db"
    assert run(["export", str(tmp_path / "out"), "--db", str(farm)]) == FINE
    assert run(["import", str(tmp_path / "out"), "--db", str(new)]) == FINE
    assert run(["check", "--db", str(new)]) == FINE


# As commands.


def test_backup_and_restore_do_what_they_say(farm: Path, tmp_path: Path, capsys: Printed) -> None:
    at = ["--db", str(farm)]
    assert run(["restore", *at]) == FINE
    assert "There is no backup in" in capsys.readouterr().out
    assert run(["restore", "newest", *at]) == REFUSED
    assert "trayround: Please check what was typed. There is no good backup in" in capsys.readouterr().err
    assert run(["backup", *at]) == FINE
    assert "the newest 14 stay" in capsys.readouterr().out
    then = every_row(farm)
    change(
        farm, "INSERT INTO entry VALUES (9001, 'x', 1, '2026-04-14 05:45:00.000000', 'fed 46T', NULL, NULL)"
    )
    assert run(["restore", *at]) == FINE
    assert "lacks 1 entry: Tue 14 Apr, Wren" in capsys.readouterr().out
    assert run(["restore", "1", *at]) == FINE
    printed = capsys.readouterr().out
    assert (
        "It held 1 entry: Tue 14 Apr, Wren that are missing now:\n  Tue 14 Apr 6:45  Wren  fed 46T\n"
        in printed
    )
    assert every_row(farm) == then
    assert run(["backup", str(tmp_path / "stick.db"), *at]) == FINE
    assert run(["backup", str(tmp_path / "stick.db"), *at]) == REFUSED
    assert run(["backup", "--db", str(tmp_path / "none.db")]) == REFUSED
    with pytest.raises(SystemExit) as end:
        run(["restore", "1", "2", *at])
    assert end.value.code == MISUSED


def test_a_sound_record_is_told_as_sound_and_is_not_changed(farm: Path, capsys: Printed) -> None:
    before = farm.read_bytes()
    assert run(["check", "--db", str(farm)]) == FINE
    printed = capsys.readouterr().out
    assert printed.startswith(f"The record is sound.\n{farm}\n")
    for words in ("the file   fine", "counts     fine       73 sowings", "orphans    fine       701 entries"):
        assert words in printed
    assert run(["check", "--json", "--db", str(farm)]) == FINE
    told = json.loads(capsys.readouterr().out)
    assert [check["what"] for check in told["checks"]] == [
        "the file",
        "counts",
        "trays",
        "orphans",
        "undo",
        "days",
    ]
    assert farm.read_bytes() == before


FAULTS = {
    "a count": (
        "UPDATE act SET count = 900 WHERE id = (SELECT max(id) FROM act WHERE kind = 'set out')",
        "counts",
        "not 900",
    ),
    "a potting up without pots": (
        "UPDATE act SET count = count - 1 WHERE id = (SELECT max(id) FROM act WHERE kind = 'potted up')",
        "counts",
        "were potted up",
    ),
    "two of a number": (
        "UPDATE tray SET number = 46 WHERE number = 58",
        "counts",
        "2 trays 46T are standing",
    ),
    "what is kept": (
        "UPDATE tray_now SET facts = facts || ' ' WHERE tray_id = 46",
        "trays",
        "isn't what its acts say",
    ),
    "nothing kept": ("DELETE FROM tray_now WHERE tray_id = 46", "trays", "isn't what its acts say"),
    "half an entry": ("UPDATE entry SET words = '' WHERE id = 600", "orphans", "entry 600 has no words"),
    "an empty entry": (
        "INSERT INTO entry VALUES (9001, 'x', 1, '2026-04-14 05:45:00.000000', 'fed', NULL, NULL)",
        "orphans",
        "entry 9001 put nothing down",
    ),
    "an act on another's sowing": (
        "UPDATE act SET sowing_id = 1 WHERE id = (SELECT max(id) FROM act WHERE kind = 'thinned')",
        "orphans",
        "is of a sowing in another tray",
    ),
    "a dangling act": ("UPDATE act SET tray_id = 9001 WHERE id = 500", "the file", "points at no tray"),
    "undone before": (
        "UPDATE entry SET undoes = 700 WHERE id = (SELECT min(id) FROM entry WHERE undoes IS NULL)",
        "undo",
        "takes back one that came after it",
    ),
    "a day to come": (
        "UPDATE act SET day = '2226-04-14' WHERE id = 500",
        "days",
        "for 2226-04-14, still to come",
    ),
    "an instant to come": (
        "UPDATE entry SET entered_at = '2226-04-14 05:45:00.000000' WHERE id = 500",
        "days",
        "entry 500 was made at 2226-04-14",
    ),
}
"""What could have happened to a record, the check that finds it, and a word of what is said."""


@pytest.mark.parametrize(("statement", "what", "words"), FAULTS.values(), ids=FAULTS)
def test_a_fault_is_found_by_its_check_and_told_with_a_cure(
    farm: Path, capsys: Printed, statement: str, what: str, words: str
) -> None:
    change(farm, statement)
    assert run(["check", "--json", "--db", str(farm)]) == REFUSED
    told = {check["what"]: check["found"] for check in json.loads(capsys.readouterr().out)["checks"]}
    assert any(words in found for found in told[what]), told
    assert run(["check", "--db", str(farm)]) == REFUSED
    printed = capsys.readouterr().out
    assert " found " in printed
    assert words in printed


def test_what_is_kept_of_trays_is_reckoned_anew_when_that_is_asked_for(farm: Path, capsys: Printed) -> None:
    before = every_row(farm)
    change(
        farm, "DELETE FROM tray_now WHERE tray_id = 46", "UPDATE tray_now SET standing = 0 WHERE tray_id = 58"
    )
    assert run(["check", "--db", str(farm)]) == REFUSED
    assert "trayround check --rebuild" in capsys.readouterr().out
    assert run(["check", "--rebuild", "--db", str(farm)]) == FINE
    assert every_row(farm) == before


def test_a_clock_that_went_back_is_told_and_is_no_fault(farm: Path, capsys: Printed) -> None:
    change(farm, "UPDATE entry SET entered_at = '2025-01-14 05:45:00.000000' WHERE id = 500")
    assert run(["check", "--db", str(farm)]) == FINE
    assert "The clock went back once, at most about" in capsys.readouterr().out


def test_a_file_of_another_release_is_checked_as_far_as_it_is_known(farm: Path, capsys: Printed) -> None:
    change(farm, "UPDATE alembic_version SET version_num = '0001'")
    assert run(["check", "--db", str(farm)]) == FINE
    assert "The file is of an earlier release" in capsys.readouterr().out
    change(farm, "UPDATE alembic_version SET version_num = '9001'")
    assert run(["check", "--db", str(farm)]) == REFUSED
    assert "This file is from a newer release" in capsys.readouterr().err


def test_a_damaged_file_is_told_with_the_way_back(farm: Path, tmp_path: Path, capsys: Printed) -> None:
    run(["backup", "--db", str(farm)])
    farm.write_bytes(farm.read_bytes()[:100_000])
    capsys.readouterr()
    assert run(["check", "--db", str(farm)]) == REFUSED
    printed = capsys.readouterr().out
    assert printed.startswith("1 finding in the record.")
    assert f"Run: trayround restore newest --db {farm}." in printed
    assert run(["round", "--db", str(farm)]) == REFUSED
    assert f"The file is damaged. Run: trayround restore newest --db {farm}." in capsys.readouterr().err
    assert run(["check", "--db", str(tmp_path / "none.db")]) == REFUSED


@pytest.mark.parametrize("command", [["labels", "4", "--pdf"], ["sheet", "--pdf"], ["backup"], ["calendar"]])
def test_a_folder_that_isnt_there_is_nothing_wrong_with_the_record(
    farm: Path, tmp_path: Path, capsys: Printed, command: list[str]
) -> None:
    goal = tmp_path / "nope" / "x.pdf"
    assert run([*command, str(goal), "--db", str(farm), "--on", "2026-04-14"]) == REFUSED
    said = capsys.readouterr().err
    assert f"There is no folder {goal.parent}." in said
    assert "wrong with the record" not in said


def test_check_doesnt_send_to_itself(farm: Path, capsys: Printed) -> None:
    farm.write_bytes(b"\x00" * 6000)
    assert run(["check", "--db", str(farm)]) == REFUSED
    printed = capsys.readouterr()
    said = f"{printed.out}{printed.err}"
    assert f"trayround restore COPY --db {farm}" in said
    assert "trayround check" not in said
