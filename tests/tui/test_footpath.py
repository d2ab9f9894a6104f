"""The footpath and the why: two small pieces that must never break their line."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rich.cells import cell_len

from model.views.lines import PlaceLine
from tests.tui.builders import Board, a_place, rows_of
from tui.widgets.footpath import Footpath, path_parts
from tui.widgets.why import ROWS, Why, why_rows
from tui.words import ASCII, UNICODE, Signs

PLACES = (
    a_place(1, "mat", 8, 0),
    a_place(2, "shelf", 12, 0),
    a_place(3, "slats", 20, 14),
    a_place(4, "frame", 6, 6),
    a_place(5, "hardening", 0, 0),
    a_place(6, "corner", 1, 1),
)


def path(places: tuple[PlaceLine, ...], here: int | None, width: int, signs: Signs = UNICODE) -> str:
    return "".join(text for text, _ in path_parts(places, here, width, signs))


def test_the_footpath_gives_the_places_in_the_order_of_feet() -> None:
    assert path(PLACES, 3, 78) == "mat ✓   shelf ✓   › slats 14 ‹   frame 6   hardening 0   corner 1"
    assert path(PLACES, 3, 78, ASCII) == "mat v   shelf v   > slats 14 <   frame 6   hardening 0   corner 1"


def test_names_are_shortened_before_a_place_is_left_out() -> None:
    short = path(PLACES, 3, 56)
    assert cell_len(short) <= 56
    assert short.startswith("mat ✓")
    assert "› slats 14 ‹" in short
    assert short.endswith(" 1")


def test_with_no_room_what_is_near_is_shown_with_a_sign_at_each_end() -> None:
    places = tuple(a_place(i, f"greenhouse bay {i}", 20, i) for i in range(1, 20))
    middle = path(places, 10, 60)
    assert middle.startswith("…")
    assert middle.endswith("…")
    assert "› greenh" in middle
    assert not path(places, 1, 60).startswith("…")
    assert not path(places, 19, 60).endswith("…")


@given(
    st.lists(st.tuples(st.text(max_size=30), st.integers(0, 9), st.integers(0, 999)), max_size=12),
    st.integers(0, 12),
    st.integers(24, 120),
)
@settings(max_examples=150, deadline=None, derandomize=True)
def test_the_footpath_never_takes_more_than_its_width(
    stops: list[tuple[str, int, int]], here: int, width: int
) -> None:
    places = tuple(a_place(i, name, trays, unseen) for i, (name, trays, unseen) in enumerate(stops))
    assert cell_len(path(places, here, width)) <= width


async def test_the_footpath_marks_where_one_stands_and_fills_its_line() -> None:
    piece = Footpath(UNICODE)
    async with Board(piece).run_test(size=(80, 5)) as pilot:
        assert rows_of(piece) == [" " * 80]
        piece.show(PLACES, 3)
        await pilot.pause()
        assert rows_of(piece)[0].startswith(" mat ✓   shelf ✓   › slats 14 ‹")
        assert cell_len(rows_of(piece)[0]) == 80
        piece.show(PLACES, 4)
        await pilot.pause()
        assert "slats 14   › frame 6 ‹" in rows_of(piece)[0]


async def test_a_place_with_brackets_or_control_signs_in_its_name_breaks_nothing() -> None:
    piece = Footpath(UNICODE)
    async with Board(piece).run_test(size=(80, 5)) as pilot:
        piece.show((a_place(1, "[/] \x1b[2J🍅", 3, 2),), 1)
        await pilot.pause()
        row = rows_of(piece)[0]
        assert "[/] [2J🍅 2" in row
        assert row.isprintable()
        assert cell_len(row) == 80


async def test_why_gives_a_rule_the_label_and_at_most_four_rows() -> None:
    piece = Why(UNICODE)
    async with Board(piece).run_test(size=(80, 24)) as pilot:
        piece.show("18F", tuple(f"fact [{n}] [/]" for n in range(9)))
        await pilot.pause()
        rows = rows_of(piece)
        assert len(rows) == 1 + ROWS
        assert rows[0].strip("─ ") == ""
        assert rows[1].startswith(" 18F   fact [0] [/]")
        assert rows[4].startswith("       fact [3] [/]")
        assert {cell_len(row) for row in rows} == {80}
        piece.show("", ())
        await pilot.pause()
        assert not "".join(rows_of(piece)[1:]).strip()


def test_a_long_fact_takes_spare_rows_and_says_when_it_was_cut() -> None:
    long = "word " * 30
    assert len(why_rows((long,), 40, UNICODE)) == 4
    assert why_rows((long, "b", "c", "d"), 40, UNICODE)[0].endswith("…")
    assert why_rows((long, "b", "c", "d"), 40, ASCII)[0].endswith("~")
    assert why_rows(("a", "b"), 40, UNICODE) == ["a", "b"]


@pytest.mark.parametrize("width", [10, 33, 74])
def test_no_row_of_the_why_is_wider_than_asked(width: int) -> None:
    lines = ("🍅 " * 200, "x" * 500, "e\u0301" * 100, "last")
    rows = why_rows(lines, width, UNICODE)
    assert len(rows) == ROWS
    assert all(cell_len(row) <= width for row in rows)
