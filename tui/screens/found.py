"""Where a word stands, in all seasons; Enter opens the tray."""

from model.views import notes
from model.views.answer import Answer
from tui.commands import FOUND, bindings_of
from tui.screens.answer import MOVES, AnswerScreen
from tui.session import Session
from tui.words import Signs


class FoundScreen(AnswerScreen):
    """One line a find, the newest first."""

    WHERE = FOUND
    BINDINGS = [*bindings_of(FOUND), *MOVES]

    def __init__(self, session: Session, signs: Signs, asked: str) -> None:
        super().__init__(session, signs)
        self._words = asked

    async def read(self) -> Answer:
        asked, today = self._words, self.session.today
        return notes.answer(await self.session.answer(lambda store: notes.read_notes(store, asked, today)))

    def action_open_found(self) -> None:
        """Everything about the tray, standing or gone."""
        here = self.under_hand
        if here is not None and here.key is not None:
            self.open_tray(here.key)
        else:
            self.say("No tray stands on this line.", bad=True)
