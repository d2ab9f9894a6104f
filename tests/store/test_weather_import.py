"""A weather file becomes readings of a place in one entry, and all that is wrong with it is named."""

from pathlib import Path

import pytest

from model.actions import record, weather
from model.actions.farm import found_farm
from model.errors import BadInput, ImportRefused
from model.store import reading
from model.store.database import Store, open_store
from tests.builders import day
from tests.conftest import StampMaker
from tests.store.looking import state
from tests.store.names import SLATS

FILE = """day,low_c,high_c
2026-04-09,4,17
2026-04-10,5,18
2026-04-11,n/a,19
2026-04-12,9,3
2026-04-13,6,17.5
2026-05-01,6,17.5
"""


def written(tmp_path: Path, text: str = FILE) -> Path:
    path = tmp_path / "april.csv"
    path.write_text(text, encoding="utf-8")
    return path


def air(store: Store) -> list[tuple[object, ...]]:
    with store.reading() as rows:
        return [
            (r.day.day, r.place_id, r.low_c, r.high_c, r.source)
            for r in reading.readings(rows, reading.dead_entries(rows))
        ]


def test_days_are_taken_in_as_one_entry_and_undone_as_one(
    store: Store, stamp: StampMaker, tmp_path: Path
) -> None:
    receipt, found = weather.import_weather(store, stamp(), written(tmp_path), " Slats ")
    assert receipt.words == "took in 3 days for slats, 2026-04-09 to 2026-04-13"
    assert air(store) == [
        (9, SLATS, 4.0, 17.0, "april.csv"),
        (10, SLATS, 5.0, 18.0, "april.csv"),
        (13, SLATS, 6.0, 17.5, "april.csv"),
    ]
    assert len(found.defects) == 3
    assert record.undo(store, stamp(), "UTC").words.startswith("took back: took in 3 days")
    assert air(store) == []
    record.redo(store, stamp(), "UTC")
    assert len(air(store)) == 3


def test_every_defect_is_named_with_file_line_and_cure(
    store: Store, stamp: StampMaker, tmp_path: Path
) -> None:
    path = written(tmp_path)
    _, found = weather.import_weather(store, stamp(), path, "slats")
    said = weather.defects_said(path, found)
    assert [line.split(":")[0] for line in said] == [
        "april.csv line 4, column low_c",
        "april.csv line 5, column low_c",
        "april.csv line 7, column day",
    ]
    assert "2026-04-11 has a high but no low; it was not used. Add the low, if you have it." in said[0]
    assert "the low is above the high; neither was used. Look them up and mend them." in said[1]
    assert "2026-05-01 is in the future. Leave out days that have not been; mend the year." in said[2]


def test_a_day_that_was_typed_stays_as_it_was_typed(store: Store, stamp: StampMaker, tmp_path: Path) -> None:
    weather.keep_air(store, stamp(day=day(-4)), SLATS, 1.0, 15.0)
    weather.import_weather(store, stamp(), written(tmp_path), "slats")
    assert [(d, low) for d, _, low, _, _ in air(store)] == [(10, 1.0), (9, 4.0), (13, 6.0)]
    with pytest.raises(ImportRefused) as refused:
        weather.import_weather(store, stamp(), written(tmp_path), "slats")
    assert len(refused.value.problems) == 3


def test_a_second_import_of_a_clean_file_has_nothing_to_do(
    store: Store, stamp: StampMaker, tmp_path: Path
) -> None:
    path = written(tmp_path, "day,low_c,high_c\n2026-04-09,4,17\n")
    weather.import_weather(store, stamp(), path, "slats")
    before = state(store)
    with pytest.raises(BadInput, match=r"holds no day that isn't on record\. Nothing needs to be done"):
        weather.import_weather(store, stamp(), path, "slats")
    assert state(store) == before


def test_a_file_that_holds_nothing_but_defects_is_refused_with_each_of_them(
    store: Store, stamp: StampMaker, tmp_path: Path
) -> None:
    before = state(store)
    with pytest.raises(ImportRefused) as refused:
        weather.import_weather(
            store, stamp(), written(tmp_path, "day,low_c,high_c\n2026-04-12,9,3\n"), "slats"
        )
    assert refused.value.problems == [
        "april.csv line 2, column low_c: On 2026-04-12 the low is above the high; neither was used. "
        "Look them up and mend them."
    ]
    assert state(store) == before


@pytest.mark.parametrize(
    ("text", "words"),
    [("", "april.csv: The file is empty."), ("a,b\n1,2\n", "april.csv: The file has no head")],
)
def test_a_file_that_cant_be_used_is_refused_by_its_name(
    store: Store, stamp: StampMaker, tmp_path: Path, text: str, words: str
) -> None:
    with pytest.raises(BadInput, match=words):
        weather.import_weather(store, stamp(), written(tmp_path, text), "slats")


def test_a_file_or_place_that_is_not_there_is_said(store: Store, stamp: StampMaker, tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="can't be read"):
        weather.import_weather(store, stamp(), tmp_path / "none.csv", "slats")
    with pytest.raises(BadInput, match="There is no place 'loft'. Name one of mat, shelf, slats"):
        weather.import_weather(store, stamp(), written(tmp_path), "loft")


def test_a_farm_without_a_place_says_how_to_add_one(tmp_path: Path, stamp: StampMaker) -> None:
    new = open_store(tmp_path / "new.db", make=True)
    found_farm(new, "UTC")
    with pytest.raises(BadInput, match="no place yet. Add one in the app with P"):
        weather.import_weather(new, stamp(), written(tmp_path), "slats")
    new.close()
