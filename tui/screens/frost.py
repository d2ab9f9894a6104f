"""The chance of a later freeze, and where its dates come from."""

from model.views.answer import Answer
from model.views.frost import answer, read
from tui.commands import FROST, bindings_of
from tui.dialogs.frost import dates
from tui.screens.answer import MOVES, AnswerScreen


class FrostScreen(AnswerScreen):
    """One line a temperature, and the curve of freezing."""

    WHERE = FROST
    BINDINGS = [*bindings_of(FROST), *MOVES]

    async def read(self) -> Answer:
        today, now = self.session.today, self.now
        return answer(await self.session.answer(lambda store: read(store, today, now)))

    def action_dates(self) -> None:
        """Type the published dates of a station."""
        self.ask("Last freezes", dates, self.session.today, self.session.settings)
