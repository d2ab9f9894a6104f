"""What looked sick, who shared a bench with it, and what a label withholds."""

from model.views.answer import Answer
from model.views.health import answer, read
from tui.commands import HEALTH, bindings_of
from tui.screens.answer import MOVES, AnswerScreen


class HealthScreen(AnswerScreen):
    """Sick trays first, those that stand among the others before those that are kept apart."""

    WHERE = HEALTH
    BINDINGS = [*bindings_of(HEALTH), *MOVES]

    async def read(self) -> Answer:
        today, now = self.session.today, self.now
        return answer(await self.session.answer(lambda store: read(store, today, now)))
