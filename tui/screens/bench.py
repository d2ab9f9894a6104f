"""What the round and the first screen share: a list of trays, the why of one, finding by number."""

from textual.app import ComposeResult
from textual.widgets import Static

from model.views.lines import TrayLine
from tui.screens.acts import KeyLine, TrayActs
from tui.session import Session
from tui.widgets.footpath import Footpath
from tui.widgets.tray_list import TrayHeading, TrayList
from tui.widgets.why import Why
from tui.words import Signs


class Bench(TrayActs):
    """A screen with a list of trays."""

    SHOW_PLACE = False

    DEFAULT_CSS = """
    Bench { background: $ground; color: $ink; }
    Bench #title { height: 1; padding: 0 1; background: $raised; text-style: bold; }
    Bench #said { height: auto; min-height: 1; max-height: 2; padding: 0 1; color: $ready; }
    Bench #said.bad { color: $crowding; text-style: bold; }
    Bench #empty { height: 1fr; padding: 2 4; display: none; }
    Bench.empty #empty { display: block; }
    Bench.empty TrayList, Bench.empty TrayHeading, Bench.empty Why { display: none; }
    """

    def __init__(self, session: Session, signs: Signs) -> None:
        super().__init__()
        self.session = session
        self.signs = signs

    def compose(self) -> ComposeResult:
        trays = TrayList(self.signs, show_place=self.SHOW_PLACE, id="trays")
        yield Static("", id="title", markup=False)
        if not self.SHOW_PLACE:
            yield Footpath(self.signs, id="path")
        yield TrayHeading(trays)
        yield trays
        yield Static("", id="empty", markup=False)
        yield Why(self.signs, id="why")
        yield Static("", id="said", markup=False)
        yield KeyLine(self.WHERE)

    @property
    def trays(self) -> TrayList:
        """The list."""
        return self.query_one("#trays", TrayList)

    @property
    def line(self) -> TrayLine | None:
        """The tray under the cursor."""
        return self.trays.current

    async def on_mount(self) -> None:
        self.trays.focus()
        # Watched rather than told by message: the row and its why then reach the terminal in one paint.
        self.watch(self.trays, "cursor", self.show_why, init=False)

    def on_tray_list_opened(self, event: TrayList.Opened) -> None:
        """Open the tray under the cursor."""
        event.stop()
        self.action_open()

    def show_why(self) -> None:
        """The why of the tray under the cursor."""
        line = self.line
        self.query_one("#why", Why).show(line.label if line else "", line.why if line else ())

    def show_lines(self, lines: tuple[TrayLine, ...]) -> None:
        """Show these trays. Rows that are only changed stay where they are, so nothing jumps under the hand."""
        shown = self.trays.lines
        if [line.tray_id for line in shown] == [line.tray_id for line in lines]:
            for old, new in zip(shown, lines, strict=True):
                if old is not new:
                    self.trays.replace(new)
        else:
            self.trays.show(lines)
        self.show_why()

    def in_shown_order(self, lines: tuple[TrayLine, ...]) -> tuple[TrayLine, ...]:
        """The same trays in the order in which they stand on the screen, newcomers last."""
        position = {line.tray_id: row for row, line in enumerate(self.trays.lines)}
        return tuple(sorted(lines, key=lambda line: position.get(line.tray_id, len(position))))

    def action_open(self) -> None:
        """Everything about the tray under the cursor."""
        if (line := self.line) is not None:
            self.open_tray(line.tray_id)

    def open_tray(self, tray_id: int) -> None:
        """Everything about a tray, standing or gone."""
        from tui.screens.tray import TrayScreen

        self.app.push_screen(TrayScreen(self.session, self.signs, tray_id))

    async def on_screen_resume(self) -> None:
        """Something may have changed while another screen was in front."""
        if self.session.view is not None:
            await self.show_again()
