"""The fill of one tray over days since sowing, drawn in text cells.

The line is drawn in quarter blocks, whole up to today and dashed after it, since what is ahead is a guess. In
plain ASCII it is one sign a column. The band lies under it, the three marks run across and carry their names at
the right, today stands upright, and each look is its own score at the place where it was made.
"""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache

from rich.segment import Segment
from rich.style import Style
from textual.strip import Strip
from textual.widget import Widget

from model.views.curve import BOUND_MARK, FULL_MARK, READY_MARK, CurveData
from tui.text import fit
from tui.words import Signs

NOTHING = "no fill to draw yet"
LEFT = 4
"""Room for "100 " at the left."""
FEET = 2
"""The axis and its labels."""
LEAST_WIDTH, LEAST_HEIGHT = 24, 7
ROOMY = 56
"""From this width on the third mark has its full name."""
STEPS = (1, 2, 5, 10, 20, 50, 100)
"""Days between labels."""
WINDOW = " ready "
DASH = 4
"""Every so many half columns the line leaves one out, once it is a guess."""
LABEL_ROOM = 6
"""Columns a label of the axis wants."""
TONES = ("ink", "quiet", "rule", "line", "today", "look", "window")
OVER_BAND = ("band", "band-rule", "band-line", "band-today")
"""Tones of what is drawn on the band; the ground of the band stays under it."""


@dataclass(slots=True)
class Canvas:
    """A sheet of cells; each holds a sign and its tone."""

    width: int
    height: int
    cells: list[list[tuple[str, str]]] = field(init=False)

    def __post_init__(self) -> None:
        self.cells = [[(" ", "quiet")] * self.width for _ in range(self.height)]

    def put(self, column: int, row: int, sign: str, tone: str) -> None:
        """Draw one sign; what lies outside is left out, and the ground of the band stays."""
        if 0 <= column < self.width and 0 <= row < self.height:
            banded = self.cells[row][column][1].startswith("band") and f"band-{tone}" in OVER_BAND
            self.cells[row][column] = (sign, f"band-{tone}" if banded else tone)

    def write(self, column: int, row: int, text: str, tone: str) -> None:
        """Write a word from a cell on."""
        for offset, sign in enumerate(text):
            self.put(column + offset, row, sign, tone)


@dataclass(frozen=True, slots=True)
class Plot:
    """Where days and fills stand on the sheet."""

    data: CurveData
    columns: int
    rows: int

    @property
    def first(self) -> int:
        return self.data.days[0]

    @property
    def span(self) -> int:
        """Days from the left edge to the right one; today is always among them."""
        return max(1, max(self.data.days[-1], self.data.today) - self.first)

    def column(self, day: float) -> int:
        """The column of the plot in which a day stands."""
        return round((day - self.first) / self.span * (self.columns - 1))

    def day(self, position: float) -> float:
        """The day at a position along the columns."""
        return self.first + position / max(1, self.columns - 1) * self.span

    def row(self, fill: float) -> int:
        """The row, from the top, in which a fill stands."""
        return self.dot(fill, 1)

    def dot(self, fill: float, dots: int) -> int:
        """The same in rows of so many dots a cell."""
        height = self.rows * dots
        return min(height - 1, int((1 - max(0.0, min(1.0, fill))) * height))

    def at(self, values: Sequence[float], day: float) -> float | None:
        """The value on a day, between two days by a straight line; None outside the days."""
        days = self.data.days
        if not days[0] <= day <= days[-1]:
            return None
        after = min(bisect_right(days, day), len(days) - 1)
        before = max(0, after - 1)
        if before == after:
            return values[after]
        part = (day - days[before]) / (days[after] - days[before])
        return values[before] + part * (values[after] - values[before])


@lru_cache(maxsize=8)
def drawn(data: CurveData, width: int, height: int, signs: Signs) -> tuple[tuple[tuple[str, str], ...], ...]:
    """The rows of the picture, each a run of signs with their tones."""
    right = 1 + len("root-bound" if width >= ROOMY else "bound")
    plot = Plot(data, width - LEFT - right, height - FEET)
    canvas = Canvas(width, height)
    draw_band(canvas, plot, signs)
    draw_marks(canvas, plot, signs)
    for row in range(plot.rows):
        canvas.put(LEFT + plot.column(data.today), row, signs.upright, "today")
    draw_beside(canvas, plot, signs)
    draw_line(canvas, plot, signs)
    for day, fill, score in data.looks:
        canvas.put(LEFT + plot.column(day), plot.row(fill), str(score), "look")
    draw_axis(canvas, plot, signs)
    draw_window(canvas, plot, signs)
    draw_days(canvas, plot)
    return tuple(tuple(row) for row in canvas.cells)


def draw_band(canvas: Canvas, plot: Plot, signs: Signs) -> None:
    """The band from low to high, in every column."""
    for column in range(plot.columns):
        low = plot.at(plot.data.low, plot.day(column))
        high = plot.at(plot.data.high, plot.day(column))
        if low is not None and high:
            for row in range(plot.row(high), plot.row(low) + 1):
                canvas.put(LEFT + column, row, signs.band, "band")


def draw_marks(canvas: Canvas, plot: Plot, signs: Signs) -> None:
    """The three marks across the plot, with the percent at the left and the name at the right."""
    third = "root-bound" if canvas.width >= ROOMY else "bound"
    canvas.write(0, 0, "100", "quiet")
    for mark, name in ((READY_MARK, "ready"), (FULL_MARK, "full"), (BOUND_MARK, third)):
        row = plot.row(mark)
        canvas.write(0, row, f"{mark * 100:3.0f}", "quiet")
        canvas.write(LEFT + plot.columns + 1, row, name, "ink")
        for column in range(plot.columns):
            canvas.put(LEFT + column, row, signs.dash, "rule")


def draw_beside(canvas: Canvas, plot: Plot, signs: Signs) -> None:
    """The other course, one sign a column, and its name in the corner that growth leaves free."""
    if not plot.data.beside:
        return
    for column in range(plot.columns):
        fill = plot.at(plot.data.beside, plot.day(column))
        if fill:
            canvas.put(LEFT + column, plot.row(fill), signs.beside, "today")
    canvas.write(LEFT + 1, 1, f"{signs.beside} {plot.data.beside_name}", "quiet")


def draw_line(canvas: Canvas, plot: Plot, signs: Signs) -> None:
    """The expected fill, from the day on which plants are up."""
    fine = 2 if signs.quarters else 1
    bits: dict[tuple[int, int], int] = {}
    before: int | None = None
    for step in range(plot.columns * fine):
        day = plot.day((step + 0.5) / fine - 0.5)
        fill = plot.at(plot.data.expected, day)
        if not fill:
            continue
        dot = plot.dot(fill, fine)
        ahead = day > plot.data.today
        if not signs.quarters:
            canvas.put(LEFT + step, dot, signs.line_ahead if ahead else signs.line, "line")
        elif not ahead or step % DASH < DASH - 1:
            for y in range(dot, max(dot + 1, dot if before is None else before)):
                cell = (step // fine, y // fine)
                bits[cell] = bits.get(cell, 0) | 1 << (y % fine * fine + step % fine)
        before = dot
    for (column, row), bit in bits.items():
        canvas.put(LEFT + column, row, signs.quarters[bit], "line")


def draw_axis(canvas: Canvas, plot: Plot, signs: Signs) -> None:
    """The axis along the days."""
    canvas.write(2, plot.rows, "0", "quiet")
    for column in range(plot.columns):
        canvas.put(LEFT + column, plot.rows, signs.rule, "rule")
    for day in labelled_days(plot):
        canvas.put(LEFT + plot.column(day), plot.rows, signs.tee, "rule")


def draw_window(canvas: Canvas, plot: Plot, signs: Signs) -> None:
    """The ready window on the axis, with its name inside where there is room."""
    if plot.data.window is None:
        return
    start, end = plot.data.window
    first = max(0, plot.column(start))
    last = plot.columns - 1 if end is None else min(plot.columns - 1, plot.column(end))
    if first >= plot.columns or last < first:
        return
    close = signs.open_end if end is None else "]"
    inside = max(0, last - first - 1)
    name = WINDOW if inside >= len(WINDOW) + 2 else ""
    text = "[" + name.center(inside, signs.strong_rule) + (close if last > first else "")
    canvas.write(LEFT + first, plot.rows, text, "window")


def labelled_days(plot: Plot) -> list[int]:
    """The days with a label: as close as they can stand without touching."""
    most = max(1, plot.columns // LABEL_ROOM)
    step = next((step for step in STEPS if plot.span / step <= most), plot.span)
    start = -(-plot.first // step) * step
    return list(range(start, plot.first + plot.span + 1, step))


def draw_days(canvas: Canvas, plot: Plot) -> None:
    """The days under the axis; today first, and no label that would touch it."""
    row = plot.rows + 1
    today = "today"
    at = min(max(LEFT, LEFT + plot.column(plot.data.today) - len(today) // 2), canvas.width - len(today))
    canvas.write(at, row, today, "ink")
    for day in labelled_days(plot):
        text = f"d{day}"
        start = LEFT + plot.column(day)
        touches = start <= at + len(today) and start + len(text) >= at
        if not touches and start + len(text) <= canvas.width:
            canvas.write(start, row, text, "quiet")


class Curve(Widget):
    """The fill of one tray: what was, what is expected, and how sure that is."""

    COMPONENT_CLASSES = {f"curve--{tone}" for tone in (*TONES, *OVER_BAND)}

    DEFAULT_CSS = """
    Curve {
        background: $ground; color: $quiet; min-height: 7;
        & > .curve--ink { color: $ink; }
        & > .curve--quiet { color: $quiet; }
        & > .curve--rule { color: $rule; }
        & > .curve--line { color: $ink; text-style: bold; }
        & > .curve--band { color: $rule 70%; background: $rule 22%; }
        & > .curve--band-rule { color: $quiet; background: $rule 22%; }
        & > .curve--band-line { color: $ink; background: $rule 22%; text-style: bold; }
        & > .curve--band-today { color: $quiet; background: $rule 22%; }
        & > .curve--today { color: $quiet; }
        & > .curve--look { color: $ground; background: $note; text-style: bold; }
        & > .curve--window { color: $ready; text-style: bold; }
    }
    """

    def __init__(self, signs: Signs, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._signs = signs
        self._data: CurveData | None = None

    def show(self, data: CurveData | None) -> None:
        """Draw this curve, or say that there is none."""
        self._data = data
        self.refresh()

    def render_line(self, y: int) -> Strip:
        """One row of the picture."""
        width, height = self.size.width, self.size.height
        if self._data is None or not self._data.days or width < LEAST_WIDTH or height < LEAST_HEIGHT:
            text = fit(f" {NOTHING}" if y == 0 else "", width, self._signs.more)
            return Strip([Segment(text, self.rich_style)])
        palette = {tone: self.get_component_rich_style(f"curve--{tone}") for tone in (*TONES, *OVER_BAND)}
        row = drawn(self._data, width, height, self._signs)[y]
        return Strip(merged(row, palette)).adjust_cell_length(width, self.rich_style)


def merged(row: Sequence[tuple[str, str]], palette: dict[str, Style]) -> list[Segment]:
    """Neighbours of one tone as one run, so that less goes to the terminal."""
    runs: list[tuple[str, str]] = []
    for sign, tone in row:
        if runs and runs[-1][1] == tone:
            runs[-1] = (runs[-1][0] + sign, tone)
        else:
            runs.append((sign, tone))
    return [Segment(text, palette[tone]) for text, tone in runs]
