"""The pages that answer one question each, opened from every screen with a tray and from each other."""

from typing import TYPE_CHECKING

from textual.screen import Screen

from tui.session import Session
from tui.words import Signs

if TYPE_CHECKING:
    from model.errors import TrayroundError


class OpensPages(Screen[None]):
    """A screen from which the pages are opened; one page takes the place of another."""

    session: Session
    signs: Signs

    def _show_page(self, page: "Screen[None]") -> None:
        from tui.screens.answer import AnswerScreen

        if isinstance(self, AnswerScreen):
            self.app.switch_screen(page)
        else:
            self.app.push_screen(page)

    def action_plan(self) -> None:
        """What to sow when."""
        from tui.screens.plan import PlanScreen

        self._show_page(PlanScreen(self.session, self.signs))

    def action_mat(self) -> None:
        """Who stands on the mat when."""
        from tui.screens.mat import MatScreen

        self._show_page(MatScreen(self.session, self.signs))

    def action_gate(self) -> None:
        """Whether today is the day to set out."""
        from tui.screens.gate import GateScreen

        self._show_page(GateScreen(self.session, self.signs))

    def action_frost(self) -> None:
        """The chance of a later freeze."""
        from tui.screens.frost import FrostScreen

        self._show_page(FrostScreen(self.session, self.signs))

    def action_tonight(self) -> None:
        """What must come in tonight."""
        from tui.screens.tonight import TonightScreen

        self._show_page(TonightScreen(self.session, self.signs))

    def action_cold(self) -> None:
        """Whom to rescue in a cold spell."""
        from tui.screens.cold import ColdScreen

        self._show_page(ColdScreen(self.session, self.signs))

    def action_clashes(self) -> None:
        """What two copies are at odds about."""
        from tui.screens.clashes import ClashesScreen

        self._show_page(ClashesScreen(self.session, self.signs))

    def action_stock(self) -> None:
        """What is in hand, what to buy and what to wash."""
        from tui.screens.stock import StockScreen

        self._show_page(StockScreen(self.session, self.signs))

    def action_entries(self) -> None:
        """Who entered what today."""
        from tui.screens.entries import EntriesScreen

        self._show_page(EntriesScreen(self.session, self.signs))

    def action_promises(self) -> None:
        """Who is promised what."""
        from tui.screens.promises import PromisesScreen

        self._show_page(PromisesScreen(self.session, self.signs))

    def action_season(self) -> None:
        """What a season came to."""
        from tui.screens.season import SeasonScreen

        self._show_page(SeasonScreen(self.session, self.signs))

    def action_find(self) -> None:
        """Find a word."""
        from tui.dialogs.ask import Ask
        from tui.dialogs.season import word

        self.app.push_screen(Ask("Find", word), self._found)

    def _found(self, asked: "str | TrayroundError | None") -> None:
        from tui.screens.found import FoundScreen

        if isinstance(asked, str):
            self._show_page(FoundScreen(self.session, self.signs, asked))

    def action_health(self) -> None:
        """What looked sick, and what a label withholds."""
        from tui.screens.health import HealthScreen

        self._show_page(HealthScreen(self.session, self.signs))
