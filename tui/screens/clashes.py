"""Where two copies of the record are at odds, and deciding between them with one key each."""

from model.actions.clashes import decide
from model.rules.clash_words import Choice
from model.views.answer import Answer
from model.views.clashes import answer, read
from tui.commands import CLASHES, bindings_of
from tui.screens.answer import MOVES, AnswerScreen


class ClashesScreen(AnswerScreen):
    """One line a clash; a decision is an entry like any other, and its line stays to say so."""

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

    def action_open_clash(self) -> None:
        """Everything about the tray, where counts are put right."""
        here = self.under_hand
        if here is not None and here.tray_id is not None:
            self.open_tray(here.tray_id)
        else:
            self.say("No tray stands on this line.", bad=True)
