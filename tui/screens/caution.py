"""A caution, shown once a season at its step; a key says that it was seen."""

from functools import partial

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding
from textual.screen import ModalScreen, Screen
from textual.widgets import Static

from model.crops.cautions import Caution
from model.text import clean
from model.views.cautions import steps_of, waiting
from tui.session import Session

PROMPT = "\n\nEnter: seen, and not shown again this year"


class CautionScreen(ModalScreen[None]):
    """One caution at the foot of the screen."""

    BINDINGS = [Binding("enter,space,escape", "dismiss", "Seen", show=False)]

    DEFAULT_CSS = """
    CautionScreen { align: center bottom; background: $ground 10%; }
    CautionScreen > Static {
        width: 100%; max-width: 100; height: auto; background: $raised; color: $ink; border-top: heavy $crowding;
        padding: 0 1;
    }
    """

    def __init__(self, caution: Caution) -> None:
        super().__init__()
        self._caution = caution

    def compose(self) -> ComposeResult:
        said = self._caution
        text = Text("Caution\n", style="bold")
        text.append(f"{clean(said.words)}\n", style="not bold")
        text.append(f"Here {clean(said.defers_to)}. ({clean(said.source)})", style="not bold")
        text.append(PROMPT, style="not bold")
        yield Static(text, markup=False)


async def show_cautions(screen: Screen[None], session: Session, step: str) -> None:
    """Show what nobody has seen of a step this year, one after the other, and keep who saw it."""
    from model.actions.cautions import seen

    today, who = session.today, session.person
    for caution in await session.answer(lambda store: waiting(store, step, today)):
        await screen.app.push_screen_wait(CautionScreen(caution))
        await session.answer(partial(seen, today=today, who=who, key=caution.key))


async def show_cautions_of(screen: Screen[None], session: Session, entry_id: int) -> None:
    """Show the cautions of what was just entered, while the hands are still at it."""
    for step in await session.answer(lambda store: steps_of(store, entry_id)):
        await show_cautions(screen, session, step)
