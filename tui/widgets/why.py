"""The why of the tray under the cursor: the fact, how it is known, what would change it."""

from rich.cells import cell_len
from rich.segment import Segment
from textual.strip import Strip
from textual.widget import Widget

from model.text import clean
from tui.text import fit, wrap
from tui.words import Signs

ROWS = 4
INDENT = 6
"""The label stands before the first row, and the rows stand clear of it."""
MARGIN = 1


class Why(Widget):
    """A rule and at most four rows. It is always as high as that, so nothing above it jumps."""

    COMPONENT_CLASSES = {"why--rule", "why--label", "why--first"}

    DEFAULT_CSS = """
    Why {
        height: 5; background: $ground; color: $quiet;
        & > .why--rule { color: $rule; }
        & > .why--label { color: $ink; text-style: bold; }
        & > .why--first { color: $ink; }
    }
    """

    def __init__(self, signs: Signs, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._signs = signs
        self._label = ""
        self._lines: tuple[str, ...] = ()

    def show(self, label: str, lines: tuple[str, ...]) -> None:
        """Show these facts about the tray with this label; an empty label and no lines for none."""
        self._label, self._lines = clean(label), tuple(clean(line) for line in lines)
        self.refresh()

    def render_line(self, y: int) -> Strip:
        """The rule, or one row."""
        width = self.size.width
        if y == 0:
            rule = " " * MARGIN + self._signs.rule * (width - 2 * MARGIN)
            segment = Segment(rule, self.get_component_rich_style("why--rule"))
            return Strip([segment]).adjust_cell_length(width, self.rich_style)
        rows = why_rows(self._lines, width - 2 * MARGIN - INDENT, self._signs)
        text = rows[y - 1] if y <= len(rows) else ""
        label = " " * MARGIN + fit(self._label if y == 1 else "", INDENT, self._signs.more)
        style = self.get_component_rich_style("why--first") if y == 1 else self.rich_style
        segments = [Segment(label, self.get_component_rich_style("why--label")), Segment(text, style)]
        return Strip(segments).adjust_cell_length(width, self.rich_style)


def why_rows(lines: tuple[str, ...], width: int, signs: Signs) -> list[str]:
    """At most four rows: every line gets one, and a long line takes the rows that are to spare."""
    spare = ROWS - len(lines)
    rows: list[str] = []
    for line in lines[:ROWS]:
        wrapped = wrap(line, width) or [""]
        taken = wrapped[: 1 + max(0, spare)]
        spare -= len(taken) - 1
        if len(taken) < len(wrapped):
            taken[-1] = cut(taken[-1], width, signs.more)
        rows += taken
    return rows


def cut(row: str, width: int, more: str) -> str:
    """The row with the sign that text was cut, even where the row itself would fit."""
    return row + more if cell_len(row) < width else fit(row + more, width, more)
