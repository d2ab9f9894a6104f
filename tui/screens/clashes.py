"""Where two copies of the record are at odds, and deciding between them with one key each."""

from model.actions.clashes import Choice, decide
from model.views.answer import Answer
from model.views.clashes import answer, read
from tui.commands import CLASHES, bindings_of
from tui.screens.answer import MOVES, AnswerScreen


class ClashesScreen(AnswerScreen):
    """One line a clash; a decision is an entry like any other."""

    WHERE = CLASHES
    BINDINGS = [*bindings_of(CLASHES), *MOVES]

    async def read(self) -> Answer:
        today, now = self.session.today, self.now
        return answer(await self.session.answer(lambda store: read(store, today, now)))

    async def _decide(self, choice: Choice) -> None:
        here = self.under_hand
        clash_id = here.key if here else None
        if clash_id is None:
            self.say("Nothing is to be decided.", bad=True)
        else:
            await self.act(lambda store, stamp: decide(store, stamp, clash_id, choice))

    async def action_first_counts(self) -> None:
        await self._decide(Choice.FIRST)

    async def action_later_counts(self) -> None:
        await self._decide(Choice.LATER)

    async def action_both_count(self) -> None:
        await self._decide(Choice.BOTH)
