"""The readings page: a week of each place with its gaps, what is assumed there, and the light of the day."""

from rich.text import Text
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from model.views.lines import TrayLine
from model.views.readings import ReadingsPage, read_readings
from tui.commands import READINGS, bindings_of
from tui.screens.acts import KeyLine, TrayActs
from tui.screens.finding import says_refusal
from tui.session import Session
from tui.text import wrap
from tui.words import Signs
from tui.words_of_readings import light_lines, told_lines, week_rows

MARGIN = 1
SCROLLBAR = 1


class ReadingsScreen(TrayActs):
    """What was read, place by place; what wasn't is a gap that says so."""

    WHERE = READINGS
    BINDINGS = bindings_of(READINGS)

    DEFAULT_CSS = """
    ReadingsScreen { background: $ground; color: $ink; }
    ReadingsScreen #title { height: 1; padding: 0 1; background: $raised; text-style: bold; }
    ReadingsScreen #body { height: 1fr; scrollbar-size-vertical: 1; }
    ReadingsScreen #week { height: auto; padding: 0 1; }
    ReadingsScreen #told, ReadingsScreen #light { height: auto; padding: 0 1; color: $quiet; }
    ReadingsScreen #said { height: auto; min-height: 1; max-height: 2; padding: 0 1; color: $ready; }
    ReadingsScreen #said.bad { color: $crowding; text-style: bold; }
    """

    def __init__(self, session: Session, signs: Signs) -> None:
        super().__init__()
        self.session = session
        self.signs = signs
        self.page: ReadingsPage | None = None

    def compose(self) -> ComposeResult:
        yield Static("", id="title", markup=False)
        with VerticalScroll(id="body"):
            yield Static("", id="week", markup=False)
            yield Static("", id="told", markup=False)
            yield Static("", id="light", markup=False)
        yield Static("", id="said", markup=False)
        yield KeyLine(self.WHERE)

    @property
    def line(self) -> TrayLine | None:
        """No tray is under the hand here."""
        return None

    @property
    def place_here(self) -> int | None:
        """The first place on the walk that isn't read today."""
        places = self.page.places if self.page else ()
        return next((week.place.id for week in places if not week.days[-1].whole), None)

    async def on_mount(self) -> None:
        self.query_one("#body").focus()
        await self.show_again()

    async def on_screen_resume(self) -> None:
        """Something may have changed while a question was in front."""
        if self.is_mounted and self.page is not None:
            await self.show_again()

    @says_refusal
    async def show_again(self) -> None:
        """Read the week anew."""
        today, now = self.session.today, self.session.clock.now()
        self.page = await self.session.answer(lambda store: read_readings(store, today, now))
        self._draw()

    def on_resize(self) -> None:
        """The week is laid out for the room there is."""
        self._draw()

    def _draw(self) -> None:
        page = self.page
        if page is None or not self.is_mounted:
            return
        width = self.size.width - 2 * MARGIN - SCROLLBAR
        self.query_one("#title", Static).update(self.title_text(f"readings, {page.scale}"))
        self.query_one("#week", Static).update(_text(week_rows(page, width, self.signs)))
        self.query_one("#told", Static).update(_text(_wrapped(told_lines(page, self.signs), width)))
        self.query_one("#light", Static).update(_text(["", *_wrapped(light_lines(page), width)]))

    async def action_back(self) -> None:
        """Back to where this was opened; what was read here may have changed what is known there."""
        self.app.pop_screen()
        front = self.app.screen
        if isinstance(front, TrayActs):
            await front.show_again()

    def go_to(self, line: TrayLine) -> None:
        """No tray is listed here."""

    def open_tray(self, tray_id: int) -> None:
        """No tray is opened from here."""

    def _find(self, digit: str) -> None:
        """Digits find no tray here."""


def _wrapped(lines: list[str], width: int) -> list[str]:
    """Lines no wider than the screen; what goes on in a second one stands clear of the first."""
    rows: list[str] = []
    for line in lines:
        first = (wrap(line, width) or [""])[0]
        rows += [first, *(f"  {row}" for row in wrap(line[len(first) :].strip(), width - 2))]
    return rows


def _text(lines: list[str]) -> Text:
    return Text("\n".join(lines), no_wrap=True, overflow="ellipsis")
