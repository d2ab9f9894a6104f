"""The cold spell page: whom to rescue first, and every way through for the sowing under the hand."""

from model.views import cold
from model.views.answer import Answer
from model.views.cold import ColdPage
from tui.commands import COLD, bindings_of
from tui.screens.answer import MOVES, AnswerScreen
from tui.session import Session
from tui.words import Signs


class ColdScreen(AnswerScreen):
    """GO first, then who runs out of room."""

    WHERE = COLD
    BINDINGS = [*bindings_of(COLD), *MOVES]

    async def read(self) -> Answer:
        """The answer as the record has it now."""
        return cold.answer(await read_page(self))

    def action_ways(self) -> None:
        """Every way through for the sowing under the hand."""
        here = self.under_hand
        if here is None or here.key is None:
            self.say("Nothing is held here.", bad=True)
            return
        self.app.push_screen(WaysScreen(self.session, self.signs, here.key))


class WaysScreen(AnswerScreen):
    """The ways through for one sowing, side by side."""

    WHERE = COLD
    BINDINGS = [*bindings_of(COLD), *MOVES]

    def __init__(self, session: Session, signs: Signs, sowing_id: int) -> None:
        super().__init__(session, signs)
        self._sowing_id = sowing_id

    async def read(self) -> Answer:
        """The ways as the record has them now."""
        return cold.ways_answer(await read_page(self), self._sowing_id)

    async def action_ways(self) -> None:
        """Back to all of them."""
        await self.action_back()


async def read_page(screen: AnswerScreen) -> ColdPage:
    """The page on the session's own forecast."""
    now, today, outlooks = screen.now, screen.session.today, screen.session.outlooks
    return await screen.session.answer(lambda store: cold.read(store, today, now, outlooks))
