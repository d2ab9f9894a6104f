"""The list of trays: what a row says, where the cursor goes, and how little is drawn anew."""

import pytest
from rich.cells import cell_len
from textual.pilot import Pilot
from textual.strip import Strip

from model.rules.verdict import Fill, Risk, Today
from model.views.lines import TrayLine
from tests.tui.builders import Board, a_line, many_lines, rows_of
from tui.themes import DARK_TOKENS, LIGHT, LIGHT_TOKENS
from tui.widgets.tray_list import TrayHeading, TrayList
from tui.widgets.tray_row import AGE, columns, flag_word, heading_scale, note_words
from tui.words import ASCII, UNICODE, Signs

SIZES = [(80, 24), (100, 30), (120, 40), (60, 16)]


class Counted(TrayList):
    """A list that remembers which rows of the screen it was asked for."""

    def __init__(self, signs: Signs = UNICODE, *, show_place: bool = False) -> None:
        super().__init__(signs, show_place=show_place)
        self.drawn: list[int] = []

    def render_line(self, y: int) -> Strip:
        self.drawn.append(y)
        return super().render_line(y)


class ListBoard(Board):
    """A heading, a list, and what the list said."""

    def __init__(self, signs: Signs = UNICODE, *, show_place: bool = False) -> None:
        self.trays = Counted(signs, show_place=show_place)
        self.heading = TrayHeading(self.trays)
        self.moved: list[int] = []
        self.opened: list[int] = []
        super().__init__(self.heading, self.trays)

    def on_tray_list_moved(self, message: TrayList.Moved) -> None:
        self.moved.append(message.tray_id)

    def on_tray_list_opened(self, message: TrayList.Opened) -> None:
        self.opened.append(message.tray_id)

    async def shows(self, pilot: Pilot[None], *lines: TrayLine) -> None:
        self.trays.show(lines)
        self.trays.focus()
        await pilot.pause()
        self.trays.drawn.clear()
        self.moved.clear()


async def rows_with(*lines: TrayLine, size: tuple[int, int] = (80, 24), signs: Signs = UNICODE) -> list[str]:
    board = ListBoard(signs)
    async with board.run_test(size=size) as pilot:
        await board.shows(pilot, *lines)
        return rows_of(board.trays)


async def test_a_row_says_what_the_line_says() -> None:
    rows = await rows_with(a_line(), a_line(tray_id=2, seen=Today.WATERED, water_words="today"))
    assert rows[0] == "›  27R ○ d41 · 12 kale Sedge Blue  ███████▓▓▓▒╎· set out 9-16 Apr   1 d    watch"
    assert rows[1] == "   27R ● d41 · 12 kale Sedge Blue  ███████▓▓▓▒╎· set out 9-16 Apr   today  watch"


async def test_in_ascii_a_row_says_the_same() -> None:
    rows = await rows_with(a_line(), signs=ASCII)
    assert rows[0] == ">  27R ? d41 / 12 kale Sedge Blue  #######+++-:. set out 9-16 Apr   1 d    watch"


async def test_where_there_is_no_fill_to_draw_words_stand_in_place_of_the_bar() -> None:
    nothing = Fill(expected=0.0, low=0.0, high=0.0)
    rows = await rows_with(
        a_line(fill=None, instead="not known"),
        a_line(tray_id=2, fill=nothing, instead="sown, day 4"),
        a_line(tray_id=3, instead="first up, d123"),
    )
    assert [row[35:48] for row in rows[:3]] == ["not known    ", "sown, day 4  ", "first up, d1…"]
    assert not any(sign in row for row in rows for sign in "█▓▒╎")


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("show_place", [False, True])
async def test_every_row_is_exactly_as_wide_as_the_screen(size: tuple[int, int], show_place: bool) -> None:
    board = ListBoard(show_place=show_place)
    hard = (
        "[b]bold[/] [@click=app.quit]x[/]",
        "x" * 500,
        "🍅番茄" * 60,
        "e\u0301\u0335" * 200,
        "\x1b[2J\u202e",
    )
    async with board.run_test(size=size) as pilot:
        await board.shows(
            pilot,
            *(a_line(tray_id=i, number=9000 + i, variety=v, place=v, why_now=v) for i, v in enumerate(hard)),
        )
        drawn = [*rows_of(board.heading), *rows_of(board.trays)]
        assert {cell_len(row) for row in drawn} == {size[0]}
        assert all(row.isprintable() for row in drawn)
        assert board.trays.max_scroll_x == 0


async def test_brackets_stand_as_they_were_typed() -> None:
    rows = await rows_with(a_line(variety="[/] [x]"))
    assert "kale [/] [x]" in rows[0]


@pytest.mark.parametrize("size", SIZES)
async def test_the_deciding_columns_stand_at_every_width(size: tuple[int, int]) -> None:
    rows = await rows_with(a_line(due_words="look 28 Apr-10 May"), size=size)
    for word in ("27R", "○", "d41 · 12", "kale", "█", "look 28 Apr-10 May"):
        assert word in rows[0]


async def test_with_more_room_the_variety_and_the_note_are_whole() -> None:
    line = a_line(crop="cauliflower", variety="Snow Barrow", flags=("unseen 3 d",))
    narrow, wide = await rows_with(line), await rows_with(line, size=(120, 40))
    assert "Snow Barrow" not in narrow[0]
    assert "Snow Barrow" in wide[0]
    assert "unseen 3 d" in wide[0]


async def test_the_place_stands_at_the_left_of_what_is_due() -> None:
    board = ListBoard(show_place=True)
    async with board.run_test(size=(80, 24)) as pilot:
        await board.shows(pilot, a_line(place="hardening"))
        assert "hardening set out " in rows_of(board.trays)[0]
        assert "place     due" in rows_of(board.heading)[1]
        board.trays.show_place = False
        await pilot.pause()
        assert "hardening" not in rows_of(board.trays)[0]
        assert "water" in rows_of(board.heading)[1]


@pytest.mark.parametrize("size", SIZES)
async def test_with_the_place_what_and_why_stand_at_every_width(size: tuple[int, int]) -> None:
    board = ListBoard(show_place=True)
    async with board.run_test(size=size) as pilot:
        await board.shows(pilot, a_line(due_words="harden now-16 Apr", due_task="start hardening"))
        row = rows_of(board.trays)[0]
        for word in ("27R", "○", "kale", "start hardening", "full by Thursday"):
            assert word in row
        assert "now-16 Apr" not in row
        assert rows_of(board.heading)[1].split()[-1] == "why"


@pytest.mark.parametrize(
    ("width", "drawn"), [(60, False), (80, False), (119, False), (120, True), (160, True)]
)
async def test_with_the_place_the_bar_and_the_ages_come_back_at_120_columns(width: int, drawn: bool) -> None:
    board = ListBoard(show_place=True)
    async with board.run_test(size=(width, 24)) as pilot:
        await board.shows(pilot, a_line())
        row, (words, names) = rows_of(board.trays)[0], rows_of(board.heading)
        assert ("█" in row, "d41 · 12" in row) == (drawn, drawn)
        assert ("┴" in names, "sown·here" in names, "ready" in words) == (drawn, drawn, drawn)


@pytest.mark.parametrize("size", SIZES)
async def test_the_marks_of_the_heading_stand_over_the_marks_of_the_rows(size: tuple[int, int]) -> None:
    board = ListBoard()
    empty = a_line(fill=Fill(expected=0.001, low=0.0, high=0.001))
    async with board.run_test(size=size) as pilot:
        await board.shows(pilot, empty)
        words, ruler = rows_of(board.heading)
        row = rows_of(board.trays)[0]
        ticks = [at for at, sign in enumerate(ruler) if sign == "┴"]
        assert ticks == [at for at, sign in enumerate(row) if sign == "╎"]
        assert words.index("ready") == ticks[0]
        assert words.index("full") == ticks[1]


@pytest.mark.parametrize("show_place", [False, True])
@pytest.mark.parametrize("width", [60, 70, 80, 100, 120, 160])
def test_where_there_is_a_bar_the_first_two_marks_have_their_names(width: int, show_place: bool) -> None:
    cols = columns(width, show_place)
    words = heading_scale(cols, width, UNICODE, "1-14 of 58 ▼")
    assert words.split()[:3] == (["0", "ready", "full"] if cols.bar else ["1-14", "of", "58"])
    assert words.endswith("1-14 of 58 ▼")
    assert bool(cols.bar) == (not show_place or width >= 120)


async def test_signs_in_ascii_are_pure_ascii() -> None:
    for size in SIZES:
        board = ListBoard(ASCII)
        lines = [a_line(tray_id=int(state), seen=state, crop="c" * 60) for state in Today]
        async with board.run_test(size=size) as pilot:
            await board.shows(pilot, *lines, *many_lines(90)[10:])
            assert all(row.isascii() for row in [*rows_of(board.heading), *rows_of(board.trays)])


@pytest.mark.parametrize("signs", [UNICODE, ASCII])
def test_the_four_truths_of_a_day_have_four_signs_of_one_column(signs: Signs) -> None:
    drawn = [signs.today(state) for state in Today]
    assert len(set(drawn)) == len(Today)
    assert all(cell_len(sign) == 1 for sign in drawn)


async def test_keys_move_the_cursor_and_stop_at_the_ends() -> None:
    board = ListBoard()
    async with board.run_test(size=(80, 12)) as pilot:
        await board.shows(pilot, *many_lines(40))
        for key, row in (
            ("up", 0),
            ("down", 1),
            ("pagedown", 10),
            ("end", 39),
            ("down", 39),
            ("pageup", 30),
            ("home", 0),
        ):
            await pilot.press(key)
            assert board.trays.cursor == row, key
        assert board.moved == [2, 11, 40, 31, 1]


async def test_the_cursor_is_marked_by_a_sign_and_always_in_sight() -> None:
    board = ListBoard()
    async with board.run_test(size=(80, 12)) as pilot:
        await board.shows(pilot, *many_lines(40))
        for delta in (1, 20, 40, -3, -40):
            board.trays.move(delta)
            await pilot.pause()
            marked = [row for row in rows_of(board.trays) if row.startswith("›")]
            assert len(marked) == 1
            assert f" {board.trays.cursor + 1}R " in marked[0]


async def test_a_cursor_step_draws_two_rows() -> None:
    board = ListBoard()
    async with board.run_test(size=(80, 24)) as pilot:
        await board.shows(pilot, *many_lines(400))
        board.trays.move(1)
        await pilot.pause()
        assert sorted(board.trays.drawn) == [0, 1]


async def test_replacing_a_tray_draws_exactly_its_row() -> None:
    board = ListBoard()
    async with board.run_test(size=(80, 24)) as pilot:
        await board.shows(pilot, *many_lines(400))
        board.trays.replace(a_line(tray_id=5, number=5, seen=Today.WATERED))
        await pilot.pause()
        assert board.trays.drawn == [4]
        assert "●" in rows_of(board.trays)[4]
        assert board.moved == []


async def test_replacing_a_tray_that_is_not_shown_changes_nothing() -> None:
    board = ListBoard()
    async with board.run_test(size=(80, 24)) as pilot:
        await board.shows(pilot, *many_lines(4))
        board.trays.replace(a_line(tray_id=77))
        await pilot.pause()
        assert board.trays.drawn == []
        assert board.trays.lines == many_lines(4)


async def test_the_cursor_stays_on_its_tray_when_the_order_changes() -> None:
    board = ListBoard()
    lines = many_lines(40)
    async with board.run_test(size=(80, 12)) as pilot:
        await board.shows(pilot, *lines)
        assert board.trays.cursor_to(3)
        await pilot.pause()
        board.moved.clear()
        board.trays.show(tuple(reversed(lines)))
        await pilot.pause()
        assert board.trays.current is not None
        assert board.trays.current.tray_id == 3
        assert board.moved == []
        assert any(row.startswith("›") and " 3R " in row for row in rows_of(board.trays))


async def test_the_cursor_keeps_its_row_when_its_tray_is_gone() -> None:
    board = ListBoard()
    lines = many_lines(10)
    async with board.run_test(size=(80, 24)) as pilot:
        await board.shows(pilot, *lines)
        board.trays.cursor_to(4)
        board.trays.show(tuple(line for line in lines if line.tray_id != 4))
        await pilot.pause()
        assert board.trays.cursor == 3
        assert board.moved[-1] == 5
        board.trays.show(lines[:2])
        assert board.trays.cursor == 1


def test_a_tray_that_is_not_in_the_list_gets_no_cursor() -> None:
    assert TrayList(UNICODE).cursor_to(9) is False


async def test_an_empty_list_draws_nothing_and_answers_no_key() -> None:
    board = ListBoard()
    async with board.run_test(size=(80, 24)) as pilot:
        await board.shows(pilot)
        await pilot.press("down", "end", "pageup", "enter")
        assert not "".join(rows_of(board.trays)).strip()
        assert board.trays.current is None
        assert board.opened == board.moved == []
        assert board.heading.where == ""


async def test_enter_opens_and_a_click_goes_to_a_row_and_opens_it_there() -> None:
    board = ListBoard()
    async with board.run_test(size=(80, 12)) as pilot:
        await board.shows(pilot, *many_lines(40))
        await pilot.press("enter")
        assert board.opened == [1]
        board.trays.move(20)
        await pilot.pause()
        top = board.trays.scroll_offset.y
        await pilot.click(board.trays, offset=(10, 3))
        assert board.trays.cursor == top + 3
        assert board.opened == [1]
        await pilot.click(board.trays, offset=(10, 3))
        assert board.opened == [1, top + 4]


async def test_a_click_below_the_last_tray_does_nothing() -> None:
    board = ListBoard()
    async with board.run_test(size=(80, 24)) as pilot:
        await board.shows(pilot, *many_lines(3))
        await pilot.click(board.trays, offset=(10, 9))
        assert board.trays.cursor == 0
        assert board.opened == []


async def test_after_a_resize_the_cursor_row_reaches_across_and_stays_in_sight() -> None:
    board = ListBoard()
    async with board.run_test(size=(80, 24)) as pilot:
        await board.shows(pilot, *many_lines(60))
        board.trays.move(19)
        await pilot.resize_terminal(120, 12)
        await pilot.pause()
        rows = rows_of(board.trays)
        marked = [row for row in rows if row.startswith("›")]
        assert len(marked) == 1
        assert {cell_len(row) for row in rows} == {120}
        row = rows.index(marked[0])
        grounds = {segment.style.bgcolor for segment in board.trays.render_line(row) if segment.style}
        assert len(grounds) == 1


async def test_the_heading_says_which_rows_are_in_sight() -> None:
    board = ListBoard()
    async with board.run_test(size=(80, 12)) as pilot:
        await board.shows(pilot, *many_lines(40))
        assert rows_of(board.heading)[0].endswith("1-10 of 40 ▼")
        board.trays.move(15)
        await pilot.pause()
        assert rows_of(board.heading)[0].endswith("7-16 of 40 ▼")
        await pilot.press("end")
        assert rows_of(board.heading)[0].endswith("31-40 of 40 ▲")
        board.trays.show(many_lines(4))
        await pilot.pause()
        assert "of" not in rows_of(board.heading)[0]


async def test_a_list_without_the_keyboard_shows_its_cursor_another_way() -> None:
    board = ListBoard()
    async with board.run_test(size=(80, 24)) as pilot:
        await board.shows(pilot, *many_lines(4))
        board.set_focus(None)
        await pilot.pause()
        assert board.trays.drawn
        strip = board.trays.render_line(0)
        grounds = {s.style.bgcolor.name for s in strip if s.style and s.style.bgcolor}
        assert grounds == {DARK_TOKENS["raised"]}
        assert strip.text.startswith("›")


async def test_another_theme_draws_every_row_anew() -> None:
    board = ListBoard()
    async with board.run_test(size=(80, 24)) as pilot:
        await board.shows(pilot, *many_lines(4))
        board.theme = LIGHT
        await pilot.pause()
        first, second = board.trays.render_line(0), board.trays.render_line(1)
        assert {s.style.bgcolor.name for s in first if s.style and s.style.bgcolor} == {
            LIGHT_TOKENS["cursor"]
        }
        assert {s.style.bgcolor.name for s in second if s.style and s.style.bgcolor} == {
            LIGHT_TOKENS["ground"]
        }


async def test_a_tray_seen_today_goes_quiet_and_an_unseen_one_stands_out() -> None:
    board = ListBoard()
    async with board.run_test(size=(80, 24)) as pilot:
        await board.shows(
            pilot, *(a_line(tray_id=int(s), seen=s) for s in (Today.LOOKED, Today.UNSEEN, Today.LEFT))
        )
        unseen, seen = (next(s for s in board.trays.render_line(y) if "27R" in s.text) for y in (1, 2))
        assert unseen.style
        assert unseen.style.bold
        assert seen.style
        assert not seen.style.bold


@pytest.mark.parametrize(
    ("risk", "flags", "word"),
    [
        (Risk.ACT, ("late up",), "act"),
        (Risk.WATCH, ("late up",), "late"),
        (Risk.WATCH, ("crowding", "past window"), "past"),
        (Risk.WATCH, (), "watch"),
        (Risk.ROOM, ("treated seed",), ""),
        (Risk.UNKNOWN, (), ""),
    ],
)
def test_the_flag_word_is_the_most_pressing_one(risk: Risk, flags: tuple[str, ...], word: str) -> None:
    assert flag_word(a_line(risk=risk, flags=flags)) == word


def test_the_note_gives_the_flags_or_else_the_reason_of_the_rank() -> None:
    assert note_words(a_line(flags=("root-bound: act", "treated seed"))) == "treated seed"
    assert note_words(a_line(flags=("root-bound: act",))) == "full by Thursday"


@pytest.mark.parametrize("show_place", [False, True])
@pytest.mark.parametrize("width", range(60, 161))
def test_the_columns_fill_every_width_and_the_crop_keeps_room(width: int, show_place: bool) -> None:
    cols = columns(width, show_place)
    after = (cols.place, cols.due, cols.water, cols.flag, cols.note, cols.why)
    assert cols.before_bar - (0 if cols.bar else cols.gap) + cols.bar + sum(map(cols.taken, after)) == width
    assert cols.crop >= 9
    assert cols.age == (AGE if cols.bar else 0)
    assert cols.due >= (15 if show_place else 18)
    assert cols.why >= (22 if show_place else 0)
