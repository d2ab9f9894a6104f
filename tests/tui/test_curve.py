"""The curve: what stands where, and that it survives odd data."""

from dataclasses import replace
from math import exp

import pytest
from rich.cells import cell_len

from model.views.curve import CurveData
from tests.tui.builders import Board, rows_of
from tui.widgets.curve import FEET, LEFT, NOTHING, Curve, drawn
from tui.words import ASCII, UNICODE, Signs


def rise(day: int, late: int) -> float:
    """Fill that begins on day 8 and is half full on day 30, or so many days later."""
    return 0.0 if day < 8 else 1 / (1 + exp(-0.2 * (day - 30 - late)))


DAYS = tuple(range(46))
DATA = CurveData(
    days=DAYS,
    low=tuple(rise(day, 4) for day in DAYS),
    expected=tuple(rise(day, 0) for day in DAYS),
    high=tuple(rise(day, -4) for day in DAYS),
    today=33,
    window=(25, 34),
    looks=((22, 0.15, 1), (28, 0.42, 2)),
)


def picture(data: CurveData, width: int = 38, height: int = 14, signs: Signs = ASCII) -> list[str]:
    return ["".join(sign for sign, _ in row) for row in drawn(data, width, height, signs)]


def tones(data: CurveData, width: int = 38, height: int = 14) -> list[list[str]]:
    return [[tone for _, tone in row] for row in drawn(data, width, height, ASCII)]


def test_the_marks_run_across_with_percent_and_name() -> None:
    rows = picture(DATA)
    assert rows[0].startswith("100")
    for percent, name in (("90", "bound"), ("70", "full"), ("30", "ready")):
        row = next(row for row in rows if row.startswith(f" {percent} "))
        assert row.rstrip().endswith(name)
        assert row.count("-") > 10
    assert any(row.rstrip().endswith("root-bound") for row in picture(DATA, width=60))


def test_each_look_stands_at_its_day_with_its_score() -> None:
    columns = 38 - LEFT - len(" bound")
    rows = picture(DATA)
    for day, fill, score in DATA.looks:
        column = LEFT + round(day / 45 * (columns - 1))
        row = int((1 - fill) * (14 - FEET))
        assert rows[row][column] == str(score)


def test_today_stands_upright_and_is_named_under_the_axis() -> None:
    rows = picture(DATA)
    column = LEFT + round(33 / 45 * (38 - LEFT - len(" bound") - 1))
    assert sum(row[column] == "|" for row in rows) >= 8
    assert "today" in rows[-1]
    assert abs(rows[-1].index("today") + 2 - column) <= 1


def test_the_axis_names_days_and_brackets_the_window() -> None:
    rows = picture(DATA, width=60, height=20)
    assert rows[-1].split()[:3] == ["d0", "d10", "d20"]
    assert "[=" in rows[-2]
    assert "=]" in rows[-2]
    assert rows[-2].index("]") - rows[-2].index("[") == pytest.approx(9 / 45 * (60 - LEFT - 11), abs=1)


def test_a_window_that_stays_open_runs_to_the_edge() -> None:
    axis = picture(replace(DATA, window=(25, None)))[-2]
    assert axis.rstrip().endswith("=>")


def test_a_wide_window_carries_its_name() -> None:
    assert "= ready =" in picture(replace(DATA, window=(20, 40)), width=60)[-2]


def test_the_line_is_whole_up_to_today_and_another_after_it() -> None:
    rows = picture(replace(DATA, today=24, looks=()))
    column = LEFT + round(24 / 45 * (38 - LEFT - len(" bound") - 1))
    before = "".join(row[LEFT:column] for row in rows[:-FEET])
    after = "".join(row[column + 1 : -6] for row in rows[:-FEET])
    assert "*" in before
    assert "o" not in before
    assert "o" in after
    assert "*" not in after


def test_the_line_rises_and_nothing_is_drawn_before_plants_are_up() -> None:
    rows = picture(replace(DATA, looks=()), width=60, height=24)
    columns = 60 - LEFT - len(" root-bound")
    heights = {
        at: row
        for row, text in enumerate(rows[:-FEET])
        for at, sign in enumerate(text[: LEFT + columns])
        if sign in "*o"
    }
    assert min(heights) >= LEFT + round(8 / 45 * (columns - 1)) - 1
    in_order = [heights[at] for at in sorted(heights)]
    assert in_order == sorted(in_order, reverse=True)


def test_the_band_lies_under_the_line() -> None:
    flat = [tone for row in tones(DATA) for tone in row]
    assert flat.count("band") > 15
    assert "band-line" in flat


def test_the_picture_in_ascii_is_pure_ascii_and_the_other_says_the_same_words() -> None:
    assert all(row.isascii() for row in picture(DATA, 60, 20))
    fine = picture(DATA, 60, 20, UNICODE)
    assert fine[-1] == picture(DATA, 60, 20)[-1]
    assert {len(row) for row in fine} == {60}


@pytest.mark.parametrize("signs", [UNICODE, ASCII])
@pytest.mark.parametrize(
    "data",
    [
        CurveData((5,), (0.0,), (0.0,), (0.0,), today=5, window=None, looks=()),
        CurveData(
            (3, 9), (0.1, 0.9), (0.2, 1.4), (0.3, 2.0), today=40, window=(60, 70), looks=((200, 3.0, 4),)
        ),
        CurveData(
            (0, 400), (0.0, 1.0), (0.0, 1.0), (0.0, 1.0), today=-3, window=(-9, -2), looks=((-5, -1.0, 0),)
        ),
        replace(DATA, window=(33, 33)),
    ],
)
def test_odd_data_is_drawn_without_harm(data: CurveData, signs: Signs) -> None:
    for size in ((24, 7), (38, 14), (100, 40)):
        rows = picture(data, *size, signs)
        assert {cell_len(row) for row in rows} == {size[0]}
        assert "today" in rows[-1]


def test_a_curve_with_a_missing_figure_is_refused() -> None:
    with pytest.raises(ValueError, match="for each day"):
        CurveData((1, 2), (0.1,), (0.2,), (0.3,), today=1, window=None, looks=())


@pytest.mark.parametrize("size", [(38, 14), (80, 30), (20, 5)])
async def test_every_row_is_exactly_as_wide_as_the_piece(size: tuple[int, int]) -> None:
    piece = Curve(UNICODE)
    async with Board(piece).run_test(size=size) as pilot:
        assert NOTHING[:9] in rows_of(piece)[0]
        piece.show(DATA)
        await pilot.pause()
        assert {cell_len(row) for row in rows_of(piece)} == {piece.size.width}
        assert ("today" in rows_of(piece)[-1]) == (size[0] >= 38)
        piece.show(None)
        await pilot.pause()
        assert NOTHING[:9] in rows_of(piece)[0]
