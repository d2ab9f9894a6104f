"""A bad row is refused with file, line, column and cure, and nothing is left behind."""

import re
from datetime import date
from pathlib import Path

import pytest

from model.actions import files
from model.days import FixedClock
from model.errors import ImportRefused
from model.store.layout import FILES
from tests.store.small_farm import SMALL_FARM, brought_in, written


def with_bytes(name: str, old: bytes, new: bytes) -> dict[str, bytes]:
    data = SMALL_FARM[name].encode()
    assert old in data, f"{old!r} isn't in {name}"
    return {name: data.replace(old, new, 1)}


BAD_ROWS = [
    (
        "sowings.csv",
        b"2,1,2,1,kale,Sedge Blue,,72,2,2026-03-01,,",
        b"2,1,2,1,kale,Sedge Blue,,72,2,2026-03-01,1,",
        "sowings.csv line 3, column from_sowing: 1 belongs to tray 1, and tray 2 didn't come of that",
        "Make it agree with the parent",
    ),
    (
        "farm.csv",
        b"Europe/London",
        b"Mars/Base",
        'line 3, column value: "Mars/Base" is no',
        "America/New_York",
    ),
    ("farm.csv", b"zone,Europe/London\n", b"", ": no time zone is named", "zone,Europe/London"),
    (
        "farm.csv",
        b"farm,Quern Hill",
        b"measure,cubits",
        'line 2, column value: "cubits" is no measure',
        "metric",
    ),
    (
        "farm.csv",
        b"farm,Quern Hill",
        b"latitude,200",
        'line 2, column value: "200" is no latitude in degrees',
        "from -90 to 90",
    ),
    ("farm.csv", b"farm,Quern Hill", b"mix_bag_l,0", '"0" is no bag in litres', "from 1 to 10000"),
    ("farm.csv", b"farm,Quern Hill", b"harden_days,2", '"2" is no number of days', "from 3 to 21"),
    ("farm.csv", b"farm,Quern Hill", b"frost_risk,60", '"60" is no chance in per', "from 1 to 50"),
    ("farm.csv", b"farm,Quern Hill", b"bed_cover,felt", '"felt" is no bed_cover', "light fabric"),
    ("farm.csv", b"farm,Quern Hill", b"offset_c,much", '"much" is no difference in', "from -15 to 15"),
    ("farm.csv", b"farm,Quern Hill", b"latitude,51.5n", '"51.5n" is no latitude', "from -90 to 90"),
    ("people.csv", b"name\n", b"nom\n", "line 1, column name: the column is missing", "must be name"),
    ("people.csv", b"name\n", b"nom\n", 'line 1: "nom" is no column', "must be name"),
    ("people.csv", b"Jory", b"Wren", 'line 3, column name: "Wren" stands on line 2 already', "Take one"),
    ("people.csv", b"Jory", b"J\xff", "line 3, column name: the text isn't UTF-8", "Save the file"),
    ("people.csv", b"name\n", b"\xff\xfen\x00", "line 1: the text isn't UTF-8", "Save the file"),
    ("people.csv", b"Jory", b"J\x1b[31m", "can't be shown", "Take it out"),
    ("people.csv", b"Jory", "J\ufeff".encode(), "can't be shown", "Take it out"),
    (
        "people.csv",
        b"name\n",
        "\ufeff\ufeffname\n".encode(),
        "line 1, column name: the column is missing",
        "must be",
    ),
    ("people.csv", b"Jory", b'""', "line 3, column name: nothing stands there", "Give the name"),
    ("people.csv", b"Jory", b'"Jory', "line 3: the line can't be split", "quotation marks"),
    ("people.csv", b"Jory", b"J" * 140_000, "line 3: the line can't be split", "quotation marks"),
    (
        "places.csv",
        b"heat mat",
        b"hot mat",
        'line 3, column kind: "hot mat" is no kind',
        "heat mat, lit shelf",
    ),
    ("places.csv", b",12,21", b",22,21", "line 2, column high_c: the low of 22 is above", "Swap"),
    ("places.csv", b",12,21", b",12,nan", 'line 2, column high_c: "nan" is no temperature', "like 15.5"),
    ("places.csv", b",12,21", b",12,400", 'line 2, column high_c: "400" is no temperature', "from -40 to 60"),
    (
        "places.csv",
        b",21,no,,,",
        b",21,no,,",
        "line 2, column lamp_umol: the line has 9 fields, not 10",
        "commas",
    ),
    ("places.csv", b",21,no,,,", b",21,no,,,,", "line 2, column lamp_umol: the line has 11 fields", "commas"),
    ("places.csv", b"walk,slots", b"slots,slots", 'line 1: "slots" stands there twice', "first line"),
    ("containers.csv", b"72,43", b"0,43", 'line 2, column cells: "0" is no number of cells', "from 1 up"),
    ("containers.csv", b"484.5", b"-3", 'line 3, column volume_ml: "-3" is no volume', "Give a number"),
    (
        "varieties.csv",
        b"kale,Sedge Blue",
        b"tomato,Ostrel",
        "line 3, column name",
        "stands on line 2 already",
    ),
    ("lots.csv", b"20,9", b"9,20", "line 2, column tested_up: 20 of 9 seeds", "Swap"),
    (
        "lots.csv",
        b"Ostrel,T1",
        b"Orlon,T1",
        'line 2, column variety: "tomato Orlon" isn\'t in varieties',
        "add it",
    ),
    ("lots.csv", b",no,20.5", b",perhaps,20.5", 'line 2, column treated: "perhaps" is no answer', "yes, no"),
    ("entries.csv", b",3,\n", b",5,\n", 'line 5, column undoes: "5" isn\'t before 4', "lower number"),
    ("entries.csv", b",3,\n", b",77,\n", 'line 5, column undoes: "77" isn\'t in entries.csv', "add it"),
    ("entries.csv", b"4,a4,", b"4,a3,", 'line 5, column uid: "a3" stands on line 4', "Take one"),
    ("entries.csv", b"4,a4,Jory", b"4,a4,Jo", 'line 5, column who: "Jo" isn\'t in people.csv', "add it"),
    ("entries.csv", b"T07:00:00Z", b"T07:00:00", "line 2, column entered_at", "2026-04-14T06:31:00Z"),
    ("entries.csv", b"T07:00:00Z", b"T27:00:00Z", "line 2, column entered_at", "2026-04-14T06:31:00Z"),
    ("trays.csv", b",2,W,", b",2,R,", 'line 3, column letter: 2 ends in W, not in "R"', "Read the label"),
    (
        "trays.csv",
        b"3,5,3,A,",
        b"3,5,2,W,",
        "line 4, column number: two trays 2W would be standing",
        "another number",
    ),
    ("trays.csv", b"3,5,3,A,", b"1,5,3,A,", 'line 4, column tray: "1" stands on line 2', "Take one"),
    ("trays.csv", b"Mat,\n", b"Mat,2\n", 'line 2, column parent: "2" isn\'t before 1', "lower number"),
    (
        "trays.csv",
        b"72-cell tray,Slats",
        b"tub,Slats",
        'column container: "tub" isn\'t in containers.csv',
        "add it",
    ),
    (
        "trays.csv",
        b"2026-03-01,72",
        b"2026-02-30,72",
        'line 2, column made_on: "2026-02-30" is no day',
        "2026-04-14",
    ),
    (
        "trays.csv",
        b"2026-03-01,72",
        b"20260301,72",
        'line 2, column made_on: "20260301" is no day',
        "2026-04-14",
    ),
    (
        "sowings.csv",
        b"Ostrel,T1,72",
        b"Ostrel,T9,72",
        'column lot: "tomato Ostrel T9" isn\'t in lots.csv',
        "add it",
    ),
    (
        "sowings.csv",
        b"2,1,2,1,kale",
        b"2,1,1,1,kale",
        'line 3, column part: "1 1" stands on line 2',
        "Take one",
    ),
    (
        "sowings.csv",
        b"2,1,2,1,kale",
        b"2,9,2,1,kale",
        'line 3, column entry: "9" isn\'t in entries.csv',
        "add it",
    ),
    ("acts.csv", b",half up,", b",halfway,", 'line 4, column kind: "halfway" is no kind of act', "half up"),
    ("acts.csv", b"1,1,,60", b"1,1,,-3", 'line 4, column count: "-3" is no count', "whole number from 0 up"),
    ("acts.csv", b"1,1,,60", b"1,1,,6.5", 'line 4, column count: "6.5" is no count', "whole number"),
    ("acts.csv", b"1,1,,60", "1,1,,٦".encode(), "line 4, column count", "whole number"),
    ("acts.csv", b"1,1,,60", b"1,1,," + b"9" * 5000, "line 4, column count", "whole number"),
    ("acts.csv", b",,,2,,,,,,", b",,,5,,,,,,", 'line 9, column score: "5" is no look', "from 0 to 4"),
    ("acts.csv", b",weak,", b",sad,", 'line 8, column cause: "sad" is no cause of loss', "damped off"),
    ("acts.csv", b",weak,", b",,", 'line 8, column cause: "lost" needs one', "Give the cause"),
    ("acts.csv", b"2,,Mat", b"2,,", 'line 11, column place: "moved" needs one', "Give the place"),
    ("acts.csv", b"2,,Mat", b"2,,Loft", 'line 11, column place: "Loft" isn\'t in places.csv', "add it"),
    ("acts.csv", b"half up,1,1", b"half up,2,1", "line 4, column sowing: 1 belongs to tray 1", "agree"),
    (
        "acts.csv",
        b"half up,1,1",
        b"half up,1,9",
        'line 4, column sowing: "9" isn\'t in sowings.csv',
        "add it",
    ),
    ("acts.csv", b"half up,1,1", b"half up,8,1", 'line 4, column tray: "8" isn\'t in trays.csv', "add it"),
    ("acts.csv", b"sown_on", b"colour", 'line 14, column field: "colour" can\'t be corrected', "sown_on"),
    ("acts.csv", b"2026-02-27", b"soon", 'line 14, column new: "soon" is no day', "2026-04-14"),
    ("acts.csv", b",7,count,2,3", b",7,count,2,x", 'line 13, column new: "x" is no count', "whole number"),
    (
        "acts.csv",
        b",7,count,2,3",
        b",,count,2,3",
        "line 13, column of_act: a correction must say of what",
        "Give",
    ),
    (
        "acts.csv",
        b"sown_on,2026-03-01,2026-02-27",
        b"variety,,kale",
        'column new: "kale" is no variety',
        "crop/",
    ),
    (
        "acts.csv",
        b"1,1,Slats,15",
        b"1,1,Slats,71",
        "line 8, column count: tray 1R, act 7",
        "count the tray first",
    ),
    ("acts.csv", b"3,2,2026-03-09", b"3,2,2026-02-09", "line 4, column day: tray 1R, act 3", "later day"),
    ("acts.csv", b"2026-02-27", b"2026-04-12", "line 14, column new: tray 2W, act 15", "later day"),
]


@pytest.mark.parametrize(("name", "old", "new", "problem", "cure"), BAD_ROWS)
def test_a_bad_row_is_refused_with_its_place_and_cure_and_nothing_is_left(
    tmp_path: Path, name: str, old: bytes, new: bytes, problem: str, cure: str
) -> None:
    folder = written(tmp_path / "in")
    for changed, data in with_bytes(name, old, new).items():
        (folder / changed).write_bytes(data)
    with pytest.raises(ImportRefused) as caught:
        files.import_folder(tmp_path / "new" / "farm.db", folder)
    first = [line for line in caught.value.problems if problem in line]
    assert first, caught.value.problems
    assert first[0].startswith(name)
    assert cure in first[0]
    assert [path.name for path in tmp_path.iterdir()] == ["in"]


@pytest.mark.parametrize("name", [file.name for file in FILES if not file.since])
def test_a_missing_file_is_named_and_draws_no_further_problems(tmp_path: Path, name: str) -> None:
    folder = written(tmp_path / "in")
    (folder / name).unlink()
    with pytest.raises(ImportRefused) as caught:
        files.import_folder(tmp_path / "farm.db", folder)
    assert caught.value.problems == [f"{name}: the file isn't in the folder. Put it there; it is needed."]


def test_all_problems_come_at_once_in_the_order_of_the_files(tmp_path: Path) -> None:
    with pytest.raises(ImportRefused) as caught:
        brought_in(
            tmp_path,
            people="name\nWren\nWren\n",
            trays=SMALL_FARM["trays.csv"].replace(",1,R,", ",1,Q,").replace(",2,W,", ",2,Q,"),
        )
    where = [re.match(r"\S+ line \d+, column \w+", line) for line in caught.value.problems]
    assert [match[0] for match in where if match] == [
        "people.csv line 3, column name",
        "entries.csv line 3, column who",
        "entries.csv line 4, column who",
        "entries.csv line 5, column who",
        "trays.csv line 2, column letter",
        "trays.csv line 3, column letter",
    ]


def test_a_very_long_list_of_problems_is_cut(tmp_path: Path) -> None:
    acts = SMALL_FARM["acts.csv"] + "".join(f"{n},1,never,note,,,,,,,,,,,,\n" for n in range(20, 320))
    with pytest.raises(ImportRefused) as caught:
        brought_in(tmp_path, acts=acts)
    assert len(caught.value.problems) == 200
    assert caught.value.problems[-1].startswith("... and 101 more")


def test_every_tray_that_does_not_balance_is_named(tmp_path: Path) -> None:
    acts = SMALL_FARM["acts.csv"].replace("1,1,Slats,15", "1,1,Slats,73").replace("2026-02-27", "2026-04-12")
    with pytest.raises(ImportRefused) as caught:
        brought_in(tmp_path, acts=acts)
    assert [line.split(":")[0] for line in caught.value.problems] == [
        "acts.csv line 6, column count",
        "acts.csv line 14, column new",
    ]


def test_a_tray_that_came_of_one_that_was_taken_back_is_named(tmp_path: Path) -> None:
    entries = SMALL_FARM["entries.csv"].replace("took back: watered Mat,3", "took back: watered Mat,1")
    with pytest.raises(ImportRefused) as caught:
        brought_in(tmp_path, entries=entries)
    assert caught.value.problems == [
        "trays.csv line 4, column parent: tray 3A came of a tray that was taken back. "
        "Take it back too, or leave the other standing."
    ]


# What was done on a day to come, and more cells than a container has


NOW = FixedClock(date(2026, 4, 12), zone="Europe/London").now()


@pytest.mark.parametrize(
    ("name", "old", "new", "where"),
    [
        ("acts.csv", b"4,3,2026-03-10,wat", b"4,3,2027-03-10,wat", "acts.csv line 5, column day: Wed 10 Mar"),
        ("trays.csv", b"W,2026-03-01", b"W,2026-04-13", "trays.csv line 3, column made_on: Mon 13 Apr"),
        ("sowings.csv", b"2,2026-03-01", b"2,2026-04-13", "sowings.csv line 3, column sown_on: Mon 13"),
        ("lots.csv", b"2026-02-01", b"2026-05-01", "lots.csv line 2, column tested_on: Fri 1 May"),
        ("readings.csv", b"2026-04-11,air", b"2026-04-13,air", "readings.csv line 2, column day: Mon 13 Apr"),
        ("stock.csv", b"1,1,2026-03-01", b"1,1,2026-06-01", "stock.csv line 2, column day: Mon 1 Jun"),
        ("acts.csv", b"01,2026-02-27", b"01,2026-04-13", "acts.csv line 14, column new: Mon 13 Apr"),
    ],
)
def test_nothing_is_taken_in_that_was_done_on_a_day_to_come(
    tmp_path: Path, name: str, old: bytes, new: bytes, where: str
) -> None:
    folder = written(tmp_path / "in")
    for changed, data in with_bytes(name, old, new).items():
        (folder / changed).write_bytes(data)
    with pytest.raises(ImportRefused) as caught:
        files.import_folder(tmp_path / "new" / "farm.db", folder, now=NOW)
    (problem,) = caught.value.problems
    assert problem.startswith(where)
    assert "is still to come. Give a day until Sun 12 Apr 2026, or put the clock" in problem
    assert not (tmp_path / "new").exists()


def test_what_is_told_of_days_to_come_is_taken_in(tmp_path: Path) -> None:
    # The forecast, the promises and the targets of the small farm are all for later than its last act.
    folder = written(tmp_path / "in")
    path = folder / "readings.csv"
    path.write_bytes(path.read_bytes().replace(b"2026-04-11,forecast", b"2026-04-14,forecast"))
    files.import_folder(tmp_path / "farm.db", folder, now=NOW).close()


CELLS_288 = {"containers": SMALL_FARM["containers.csv"].replace("tray,72,43", "tray,36,43")}


def test_no_more_cells_are_taken_in_than_a_tray_has(tmp_path: Path) -> None:
    with pytest.raises(ImportRefused) as caught:
        brought_in(tmp_path, **CELLS_288)
    assert caught.value.problems == [
        f"sowings.csv line {line}, column cells: tray {tray} would have 72 cells sown, and a 72-cell tray has 36. "
        "Give fewer cells, or another container."
        for line, tray in ((2, "1R"), (3, "2W"))
    ]
    assert not (tmp_path / "farm.db").exists()


def test_cells_that_were_put_right_or_sown_again_count_once(tmp_path: Path) -> None:
    acts, sowings = SMALL_FARM["acts.csv"], SMALL_FARM["sowings.csv"]
    again = "16,6,2026-04-11,lost,2,2,,5,,didn't come up,,,,,,\n17,6,2026-04-11,resown,2,4,,5,,,,,,,,\n"
    brought_in(
        tmp_path,
        acts=acts + again + "18,6,2026-04-11,corrected,1,1,,,,,,,cells,72,70,\n",
        sowings=sowings.replace("T1,72", "T1,70") + "4,6,2,2,kale,Sedge Blue,,5,2,2026-04-11,,\n",
    ).close()
    with pytest.raises(ImportRefused, match="problem") as caught:
        brought_in(
            tmp_path / "two",
            acts=acts + "18,6,2026-04-11,corrected,2,2,,,,,,,cells,72,720,\n",
        )
    assert "sowings.csv line 3, column cells: tray 2W would have 720 cells" in caught.value.problems[0]


def test_an_open_flat_takes_as_many_rows_as_were_sown(tmp_path: Path) -> None:
    flat = SMALL_FARM["containers.csv"].replace("cell tray,72,43", "open flat,1,4300")
    brought_in(tmp_path, containers=flat).close()
