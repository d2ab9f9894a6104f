"""Lines of the round, and a bare screen to draw them on."""

from dataclasses import replace
from datetime import date, timedelta

from textual.app import App, ComposeResult
from textual.widget import Widget

from model.facts import PlaceKind
from model.rules.verdict import Due, Fill, Risk, Stage, Task, Today, WaterNote, Window
from model.views.lines import PlaceLine, TrayLine
from tui.themes import DARK, themes, token_defaults

TODAY = date(2026, 4, 14)

LINE = TrayLine(
    tray_id=1,
    number=27,
    letter="R",
    place_id=3,
    place="slats",
    bench_order=1,
    crop="kale",
    variety="Sedge Blue",
    container="72 cells",
    sown_on=TODAY - timedelta(days=41),
    age_days=41,
    here_days=12,
    plants=68,
    stage=Stage.READY,
    fill=Fill(expected=0.71, low=0.55, high=0.84),
    instead="",
    ready=(date(2026, 4, 9), date(2026, 4, 16)),
    risk=Risk.WATCH,
    due=(Due(Task.SET_OUT, Window(date(2026, 4, 9), date(2026, 4, 16)), "holds together, hardened"),),
    due_words="set out 9-16 Apr",
    due_task="set out",
    due_now=True,
    water=WaterNote(date(2026, 4, 13), "ann", None, Today.UNSEEN, "watered yesterday by ann"),
    water_words="1 d",
    seen=Today.UNSEEN,
    flags=(),
    rank=1,
    room_days=3.0,
    why_now="full by Thursday",
    why=("full by Thu, root-bound 1 in 3 by Tue.  day 33 of 24-31 in 72 cells (default)",),
)


def a_line(**changes: object) -> TrayLine:
    """A tray of kale that is nearly full, changed as asked."""
    return replace(LINE, **changes)  # type: ignore[arg-type]


def many_lines(count: int) -> tuple[TrayLine, ...]:
    """So many trays with ids and numbers from 1."""
    return tuple(a_line(tray_id=number, number=number) for number in range(1, count + 1))


def a_place(place_id: int, name: str, trays: int, unseen: int) -> PlaceLine:
    """A place on the footpath."""
    return PlaceLine(place_id, name, PlaceKind.SLATTED_BENCH, slots=20, trays=trays, unseen=unseen)


class Board(App[None]):
    """A screen with nothing on it but what is tested."""

    def __init__(self, *pieces: Widget) -> None:
        super().__init__()
        self._pieces = pieces

    def get_theme_variable_defaults(self) -> dict[str, str]:
        return token_defaults()

    def compose(self) -> ComposeResult:
        yield from self._pieces

    def on_mount(self) -> None:
        for theme in themes():
            self.register_theme(theme)
        self.theme = DARK


def rows_of(widget: Widget) -> list[str]:
    """What a widget that draws line by line shows now, as text."""
    return [widget.render_line(y).text for y in range(widget.size.height)]
