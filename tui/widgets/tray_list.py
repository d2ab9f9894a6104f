"""The list of trays, drawn line by line, and the heading with the scale that every bar is read against.

The list asks for a row only when it can be seen, a cursor step repaints two rows and a change of one tray
repaints one, so the cost of a key doesn't grow with the number of trays.
"""

from typing import ClassVar

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.binding import Binding, BindingType
from textual.cache import LRUCache
from textual.geometry import Size
from textual.message import Message
from textual.reactive import reactive
from textual.scroll_view import ScrollView
from textual.strip import Strip
from textual.widget import Widget

from model.views.lines import TrayLine
from tui.widgets.tray_row import columns, heading_names, heading_scale, row_parts
from tui.words import Signs

ROWS_KEPT = 1024
"""Drawn rows kept; a tall screen shows about sixty, so this holds many pages."""
BARS = tuple(
    f"{tone}-{part}" for tone in ("young", "ready", "crowding") for part in ("solid", "dense", "light")
)
TONES = ("ink", "strong", "quiet", "rule", "crowding", "thirst", "note", *BARS)
PLAIN, BLURRED, FOCUSED = "", "blurred", "focused"

Palette = dict[str, Style]


class TrayList(ScrollView, can_focus=True, inherit_bindings=False):
    """Trays, one a row, in the order in which they are given."""

    ALLOW_SELECT = False

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "move(-1)", "Up", show=False),
        Binding("down", "move(1)", "Down", show=False),
        Binding("pageup", "page(-1)", "Page up", show=False),
        Binding("pagedown", "page(1)", "Page down", show=False),
        Binding("home", "end(-1)", "First", show=False),
        Binding("end", "end(1)", "Last", show=False),
        Binding("enter", "open", "Open", show=False),
    ]

    COMPONENT_CLASSES: ClassVar[set[str]] = {
        *(f"tray--{tone}" for tone in TONES),
        "tray--cursor",
        "tray--cursor-blurred",
    }

    DEFAULT_CSS = """
    TrayList {
        height: 1fr; background: $ground; color: $ink; overflow-x: hidden; scrollbar-size: 0 0;
        & > .tray--ink { color: $ink; }
        & > .tray--strong { color: $ink; text-style: bold; }
        & > .tray--quiet { color: $quiet; }
        & > .tray--rule { color: $rule; }
        & > .tray--crowding { color: $crowding; text-style: bold; }
        & > .tray--thirst { color: $thirst; }
        & > .tray--note { color: $note; }
        & > .tray--young-solid { color: $quiet 90%; }
        & > .tray--young-dense { color: $quiet 80%; }
        & > .tray--young-light { color: $quiet 70%; }
        & > .tray--ready-solid { color: $ready 85%; }
        & > .tray--ready-dense { color: $ready 75%; }
        & > .tray--ready-light { color: $ready 65%; }
        & > .tray--crowding-solid { color: $crowding 85%; }
        & > .tray--crowding-dense { color: $crowding 75%; }
        & > .tray--crowding-light { color: $crowding 65%; }
        & > .tray--cursor { color: $ink; background: $cursor; text-style: bold; }
        & > .tray--cursor-blurred { color: $ink; background: $raised; text-style: bold; }
    }
    """

    cursor: reactive[int] = reactive(0, repaint=False)
    """The row of the cursor."""
    show_place: reactive[bool] = reactive(False)
    """Whether the place stands at the left of what is due."""
    sight: reactive[tuple[int, int, int]] = reactive((0, 0, 0), repaint=False)
    """First and last row in sight, counted from 1, and how many rows there are."""

    class Moved(Message):
        """The cursor came to stand on another tray."""

        def __init__(self, tray_list: "TrayList", tray_id: int) -> None:
            super().__init__()
            self.tray_list = tray_list
            self.tray_id = tray_id

        @property
        def control(self) -> "TrayList":
            """The list that sent it."""
            return self.tray_list

    class Opened(Message):
        """Somebody wants to see the tray under the cursor."""

        def __init__(self, tray_list: "TrayList", tray_id: int) -> None:
            super().__init__()
            self.tray_list = tray_list
            self.tray_id = tray_id

        @property
        def control(self) -> "TrayList":
            """The list that sent it."""
            return self.tray_list

    def __init__(self, signs: Signs, *, show_place: bool = False, id: str | None = None) -> None:
        self._lines: tuple[TrayLine, ...] = ()
        self._rows: dict[int, int] = {}
        self._announced: int | None = None
        self._drawn: LRUCache[tuple[int, str, int, bool], tuple[TrayLine, Strip]] = LRUCache(ROWS_KEPT)
        self._palettes: dict[str, Palette] = {}
        self.signs = signs
        super().__init__(id=id)
        self.set_reactive(TrayList.show_place, show_place)

    @property
    def lines(self) -> tuple[TrayLine, ...]:
        """The trays shown."""
        return self._lines

    @property
    def current(self) -> TrayLine | None:
        """The tray under the cursor."""
        return self._lines[self.cursor] if self._lines else None

    def show(self, lines: tuple[TrayLine, ...]) -> None:
        """Show these trays; the cursor stays on its tray, or on its row if that tray is gone."""
        kept = self.current
        self._lines = lines
        self._rows = {line.tray_id: row for row, line in enumerate(lines)}
        self._drawn.clear()
        row = self._rows.get(kept.tray_id, self.cursor) if kept else 0
        self.cursor = row
        self.virtual_size = Size(1, len(lines))
        self._keep_in_sight()
        self._announce()
        self.refresh()

    def replace(self, line: TrayLine) -> None:
        """Show this tray anew in the row where it stands; a tray that isn't in the list changes nothing."""
        row = self._rows.get(line.tray_id)
        if row is None:
            return
        self._lines = (*self._lines[:row], line, *self._lines[row + 1 :])
        self.refresh_line(row)

    def cursor_to(self, tray_id: int) -> bool:
        """Put the cursor on this tray; False if it isn't in the list."""
        row = self._rows.get(tray_id)
        if row is not None:
            self.cursor = row
        return row is not None

    def move(self, delta: int) -> None:
        """Move the cursor by some rows; it stops at the ends."""
        self.cursor += delta

    def move_page(self, direction: int) -> None:
        """Move the cursor by as many rows as are in sight, less one to keep the place."""
        self.move(direction * max(1, self.size.height - 1))

    def action_open(self) -> None:
        """Say that somebody wants to see the tray under the cursor."""
        if self.current is not None:
            self.post_message(self.Opened(self, self.current.tray_id))

    def action_move(self, delta: int) -> None:
        """A key moves the cursor."""
        self.move(delta)

    def action_page(self, direction: int) -> None:
        """A key moves the cursor by a page."""
        self.move_page(direction)

    def action_end(self, direction: int) -> None:
        """A key moves the cursor to the first or the last tray."""
        self.move(direction * len(self._lines))

    def validate_cursor(self, row: int) -> int:
        """A row that there is."""
        return max(0, min(row, len(self._lines) - 1))

    def watch_scroll_y(self, old_value: float, new_value: float) -> None:
        """Repaint, and say what is in sight now."""
        super().watch_scroll_y(old_value, new_value)
        self._look()

    def watch_cursor(self, old: int, new: int) -> None:
        """Repaint the row that was left and the row that was reached, no other unless the list scrolls."""
        self.refresh_line(old)
        self.refresh_line(new)
        self._keep_in_sight()
        self._announce()

    def on_resize(self) -> None:
        """Keep the cursor in sight when the room changes."""
        self._keep_in_sight()
        self.refresh()

    def on_click(self, event: events.Click) -> None:
        """A click goes to a row; on the row of the cursor it opens the tray."""
        row = event.y + self.scroll_offset.y
        if row >= len(self._lines):
            return
        if row == self.cursor:
            self.action_open()
        else:
            self.cursor = row

    def notify_style_update(self) -> None:
        """Colours may have changed, so no drawn row is good any more."""
        self._drawn.clear()
        self._palettes.clear()
        super().notify_style_update()

    def render_line(self, y: int) -> Strip:
        """One row of the screen."""
        row = y + self.scroll_offset.y
        width = self.size.width
        if row >= len(self._lines):
            return Strip.blank(width, self.rich_style)
        state = (FOCUSED if self.has_focus else BLURRED) if row == self.cursor else PLAIN
        line = self._lines[row]
        key = (line.tray_id, state, width, self.show_place)
        drawn = self._drawn.get(key)
        if drawn is not None and drawn[0] is line:
            return drawn[1]
        strip = self._row(line, state, width)
        self._drawn.set(key, (line, strip))
        return strip

    def _row(self, line: TrayLine, state: str, width: int) -> Strip:
        palette = self._palette(state)
        cols = columns(width, self.show_place)
        parts = row_parts(line, cols, self.signs, cursor=state != PLAIN)
        strip = Strip([Segment(text, palette[tone]) for text, tone in parts])
        return strip.adjust_cell_length(width, palette["ink"])

    def _palette(self, state: str) -> Palette:
        if state not in self._palettes:
            palette = {tone: self.get_component_rich_style(f"tray--{tone}") for tone in TONES}
            self._palettes[state] = palette if state == PLAIN else self._raised(palette, state)
        return self._palettes[state]

    def _raised(self, palette: Palette, state: str) -> Palette:
        """The palette of the cursor row; what is quiet elsewhere speaks up here."""
        under = self.get_component_rich_style("tray--cursor" if state == FOCUSED else "tray--cursor-blurred")
        over = Style(bgcolor=under.bgcolor, bold=True)
        louder = {"quiet": "ink", "rule": "quiet"} | {
            tone: "ink" for tone in BARS if tone.startswith("young")
        }
        return {tone: palette[louder.get(tone, tone)] + over for tone in palette}

    def _keep_in_sight(self) -> None:
        height = self.size.height
        if not height:
            return
        top = min(self.scroll_offset.y, max(0, len(self._lines) - height))
        top = max(min(top, self.cursor), self.cursor - height + 1)
        if top != self.scroll_offset.y:
            self.scroll_to(y=top, animate=False, force=True)
        self._look()

    def _look(self) -> None:
        total, top = len(self._lines), self.scroll_offset.y
        self.sight = (min(total, top + 1), min(total, top + self.size.height), total)

    def _announce(self) -> None:
        tray_id = self.current.tray_id if self.current else None
        if tray_id != self._announced:
            self._announced = tray_id
            if tray_id is not None:
                self.post_message(self.Moved(self, tray_id))


class TrayHeading(Widget):
    """Two lines over a list of trays: the scale of the bars, the columns, and the rows in sight."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {"heading--scale", "heading--ruler"}

    DEFAULT_CSS = """
    TrayHeading {
        height: 2; background: $ground; color: $quiet;
        & > .heading--scale { color: $ink; }
        & > .heading--ruler { color: $quiet; }
    }
    """

    def __init__(self, tray_list: TrayList, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._list = tray_list

    def on_mount(self) -> None:
        """Follow the list: what is in sight, and which columns it shows."""
        self.watch(self._list, "sight", self._follow, init=False)
        self.watch(self._list, "show_place", self._follow, init=False)

    def _follow(self) -> None:
        self.refresh()

    @property
    def where(self) -> str:
        """Which rows are in sight, "12-27 of 58"; "" when all are."""
        first, last, total = self._list.sight
        if not last or (first == 1 and last == total):
            return ""
        return (
            f"{first}-{last} of {total} {self._list.signs.below if last < total else self._list.signs.above}"
        )

    def render_line(self, y: int) -> Strip:
        """The scale words, or the ruler and the names."""
        width, signs = self.size.width, self._list.signs
        cols = columns(width, self._list.show_place)
        quiet = self.rich_style
        if y == 0:
            text = heading_scale(cols, width, signs, self.where)
            segment = Segment(text, self.get_component_rich_style("heading--scale"))
            return Strip([segment]).adjust_cell_length(width, quiet)
        before, ruler, after = heading_names(cols, signs)
        rule = self.get_component_rich_style("heading--ruler")
        segments = [Segment(before, quiet), Segment(ruler, rule), Segment(after, quiet)]
        return Strip(segments).adjust_cell_length(width, quiet)
