"""How long things take here, crop by crop: the default beside the farm's own, and the question which shall hold."""

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import VerticalScroll
from textual.screen import ModalScreen
from textual.widgets import Static

from model.errors import TrayroundError
from model.rules.course import growth_of
from model.rules.outlook import ASK_FROM
from model.rules.season_page import Days
from model.text import clean, several
from model.views.timings import CropTimings, TimingsPage
from tui.dialogs.ask import Ask, Choose, Flow, Option
from tui.session import Session
from tui.text import fit

HEAD = (
    "How long it takes here   (Esc closes, a says which growth holds)\n\n"
    "              days to up           up to holding growth, yours\n"
    "              20 °C  yours, n      yours, n      8 in 10          n holds\n"
)
NAME, TABLE, UP, HOLD, GROWTH = 13, 6, 13, 13, 16
"""Widths of the columns; all of them together fit 80."""
NOTHING = "Nothing was sown yet.\n"
TELLS = (
    "\nup: sowing to first up; 20 °C is the published table.   holding: half up to the first look with roots 2 or more.\n"
    "growth: how many times as fast as the crop file says, learned from looks; by default 1, {:.2f} to {:.2f}.\n"
    "A tray's day of setting out is never taught as its day of being ready.\n"
)


class TimingsScreen(ModalScreen[None]):
    """One line a crop."""

    BINDINGS = [
        Binding("escape,q,T,enter", "dismiss", "Close", show=False),
        Binding("a", "agree", "Agree", show=False),
    ]

    DEFAULT_CSS = """
    TimingsScreen { align: center middle; background: $ground; }
    TimingsScreen > VerticalScroll {
        width: 96; max-width: 100%; height: 100%; background: $ground; color: $ink; padding: 0 1;
        scrollbar-size-vertical: 1;
    }
    """

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._page: TimingsPage | None = None

    def compose(self) -> ComposeResult:
        with VerticalScroll():
            yield Static("reckoning\u2026", id="timings", markup=False)

    async def on_mount(self) -> None:
        await self._show()

    async def _show(self) -> None:
        try:
            self._page = await self._session.timings()
        except TrayroundError as error:
            self.query_one("#timings", Static).update(Text(str(error)))
            return
        rows = [row(crop) for crop in self._page.crops]
        text = Text(no_wrap=True).append(
            HEAD
            + ("\n".join(rows) if rows else NOTHING)
            + "\n"
            + TELLS.format(*growth_of(None)[::2])
            + asking(self._page)
        )
        self.query_one("#timings", Static).update(text)

    def action_agree(self) -> None:
        """Ask for one crop whether its own growth shall hold."""
        if self._page is not None:
            self.app.push_screen(Ask("Own timings", agree, self._page), self._agreed)

    async def _agreed(self, answer: object) -> None:
        if isinstance(answer, tuple):
            crop, used = answer
            try:
                await self._session.agree(crop, used)
            except TrayroundError as error:
                self.query_one("#timings", Static).update(Text(str(error)))
                return
        await self._show()


def row(crop: CropTimings) -> str:
    """One crop in one line, and why trays were left out in the next."""
    slow, middle, quick = crop.yours or (0.0, 0.0, 0.0)
    yours = f"{middle:.2f} ({slow:.2f}-{quick:.2f})" if crop.yours else "not known"
    holds = "yours" if crop.used and crop.trays else "default"
    table = f"{crop.up_default:.0f}" if crop.up_default is not None else "-"
    line = (
        f"{fit(clean(crop.name), NAME)} {fit(table, TABLE)} {fit(days(crop.up), UP)} {fit(days(crop.hold), HOLD)} "
        f"{fit(yours, GROWTH)} {crop.trays} {holds}"
    )
    left = ", ".join(f"{count} {why}" for why, count in crop.left_out)
    return f"{line}\n    left out: {left}" if left else line


def trays_of(crop: CropTimings) -> str:
    """How many earlier trays teach, and that few are few."""
    told = several(crop.trays, "tray")
    return told if crop.trays >= ASK_FROM else f"only {told}"


def days(found: Days | None) -> str:
    """Days as a middle with its range."""
    return f"{found.middle:.0f} ({found.least}-{found.most}), {found.count}" if found else "not known"


def asking(page: TimingsPage) -> str:
    """What the grower is asked, if anything."""
    names = [crop.name for crop in page.crops if crop.crop in page.to_ask]
    return f"\na: {', '.join(names)} can go by your own trays; nobody was asked yet.\n" if names else ""


def agree(page: TimingsPage) -> Flow[tuple[str, bool]]:
    """Which crop, and whether its own growth shall hold."""
    known = [crop for crop in page.crops if crop.yours]
    options = [Option(f"{crop.name}, {trays_of(crop)}", crop) for crop in known]
    crop: CropTimings = yield Choose(
        "Which crop?" if known else "No earlier tray teaches anything yet.", options, likely=-1
    )
    middle = crop.yours[1] if crop.yours else 1.0
    used: bool = yield Choose(
        f"Here {crop.name} grows {middle:.2f} times as fast as the default ({trays_of(crop)}). Go by that?",
        [Option("yes, go by my own trays", True, "y"), Option("no, by the default", False, "n")],
        likely=-1,
    )
    return crop.crop, used
