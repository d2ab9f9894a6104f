"""What goes to paper and comes back from it, on every screen with a tray."""

from datetime import datetime
from typing import TYPE_CHECKING

from rich.cells import cell_len
from rich.text import Text

from model.days import farm_day, say_at, say_day, say_told
from model.errors import TrayroundError
from model.text import clean
from tui.screens.finding import FindsTrays, says_refusal
from tui.screens.pages import OpensPages

if TYPE_CHECKING:
    from collections.abc import Callable

    from model.views.lines import TrayLine
    from tui.dialogs.ask import Flow, P
    from tui.dialogs.flows import Wish
    from tui.session import Session


def told_words(session: "Session") -> str:
    """That what is entered comes from paper, and of when; "" where it is done now."""
    told = session.told_at
    zone = session.settings.get("zone", "UTC")
    return f"FROM PAPER {say_told(told, session.today, zone)}" if told is not None else ""


class Papers(FindsTrays, OpensPages):
    """A screen from which the sheet is opened and entered again, and a tray gets another label."""

    @property
    def line(self) -> "TrayLine | None":
        """The tray under the hand."""
        raise NotImplementedError

    def ask(self, title: str, flow: "Callable[P, Flow[Wish]]", *args: "P.args", **kwargs: "P.kwargs") -> None:
        """Ask the questions of a flow, then carry out what comes of the answers."""
        raise NotImplementedError

    async def show_again(self) -> None:
        """Show what is new in the session's view."""
        raise NotImplementedError

    def action_paper(self) -> None:
        """The round as a sheet to tick by hand."""
        from tui.screens.paper import PaperScreen

        self._show_page(PaperScreen(self.session, self.signs))

    def action_from_paper(self) -> None:
        """Ask when it was done; what is entered from then on carries that time."""
        from tui.dialogs.ask import Ask
        from tui.dialogs.paper import when

        session, zone = self.session, self.session.settings.get("zone", "UTC")
        now = session.clock.now()
        # The day shown is that of the line before; "yesterday" is no day before that one.
        today = session.asked_on or farm_day(now, zone)
        ask = Ask("From paper", when, session.today, today, now, zone, session.told_at)
        self.app.push_screen(ask, self._from_paper)

    @says_refusal
    async def _from_paper(self, told: "tuple[datetime | None] | TrayroundError | None") -> None:
        if isinstance(told, TrayroundError):
            raise told
        if told is not None:
            await self.tell(told[0])

    async def tell(self, told: datetime | None) -> None:
        """What follows is entered from paper and was done at a time; or it is done now again."""
        session, zone = self.session, self.session.settings.get("zone", "UTC")
        before, session.told_at, session.on = session.told_at, told, session.asked_on
        if told is not None and (day := farm_day(told, zone)) != session.today:
            session.on = day
        await session.read_again()
        await self.show_again()
        if told is not None:
            self.say(f"What follows was done {say_at(told, zone)}.   I and now ends it")
        elif before is not None:
            self.say("What follows is done now.")

    def title_text(self, right: str) -> Text:
        """Day, farm and person at the left, something at the right; between them that this comes from paper."""
        view, told = self.session.view, told_words(self.session)
        left = f"{say_day(self.session.today)}   {clean(view.farm) if view else ''}   {clean(self.session.person)}"
        if told:
            left += "   "
        if told and cell_len(left + told + right) + 3 > self.size.width - 2:
            # What is entered, and of when, stands whole; whose farm it is everybody knows.
            left = f"{say_day(self.session.today)}   {clean(self.session.person)}   "
        gap = max(3, self.size.width - 2 - cell_len(left) - cell_len(told) - cell_len(right))
        text = Text(left, no_wrap=True, overflow="ellipsis")
        return text.append(told, style="reverse").append(" " * gap + right)
