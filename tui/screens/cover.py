"""The sheet for whoever covers an absence, as it is printed, with the reasons of the line under the hand."""

from datetime import date

from model.views import cover
from model.views.answer import Answer
from tui.commands import COVER, bindings_of
from tui.screens.answer import MOVES, AnswerScreen
from tui.session import Session
from tui.words import Signs


class CoverScreen(AnswerScreen):
    """Before leaving, then day by day; a command prints it."""

    WHERE = COVER
    BINDINGS = [*bindings_of(COVER), *MOVES]

    def __init__(self, session: Session, signs: Signs, first: date, last: date) -> None:
        super().__init__(session, signs)
        self._days = first, last

    async def on_mount(self) -> None:
        await super().on_mount()
        first, last = self._days
        self.say(f"On paper: trayround cover {first} {last} --for NAME")

    async def read(self) -> Answer:
        """The sheet as the record has it now."""
        (first, last), now, today = self._days, self.now, self.session.today
        outlooks = self.session.outlooks
        sheet = await self.session.answer(lambda store: cover.read(store, first, last, today, now, outlooks))
        return cover.answer(sheet)

    def _step(self, by: int) -> None:
        """On to the next line that has a reason; most of a sheet needs none."""
        lines = self.answered.lines if self.answered else ()
        rows = range(self._row + by, len(lines) if by > 0 else -1, by)
        found = next((row for row in rows if lines[row].why), None)
        if found is not None:
            super()._step(found - self._row)
        else:
            # Up to the head of the sheet, or down to its notes.
            super()._step(len(lines) if by > 0 else -self._row)
