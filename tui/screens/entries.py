"""The day's entries: who did what, and taking back the one under the hand."""

from collections.abc import Callable

from model.actions import record
from model.actions.desk import Receipt, Stamp
from model.actions.opening import Store
from model.views.answer import Answer
from model.views.entries import answer, read
from tui.commands import ENTRIES, bindings_of
from tui.screens.answer import MOVES, AnswerScreen
from tui.screens.finding import says_refusal

Turn = Callable[[Store, Stamp, str, int], Receipt]
"""Takes an entry back, or brings it back."""


class EntriesScreen(AnswerScreen):
    """One line an entry, the newest first."""

    WHERE = ENTRIES
    BINDINGS = [*bindings_of(ENTRIES), *MOVES]

    async def read(self) -> Answer:
        today, now = self.session.today, self.session.clock.now()
        return answer(await self.session.answer(lambda store: read(store, today, now)))

    @says_refusal
    async def _turn_this(self, turn: Turn, more: str = "") -> None:
        here = self.under_hand
        entry_id = here.key if here else None
        if entry_id is None:
            return
        zone = self.session.settings.get("zone", "UTC")
        receipt = await self.session.do(lambda store, stamp: turn(store, stamp, zone, entry_id))
        await self.show_again()
        self.say(f"{receipt.words}.{more}")
        self.run_worker(self.refine(receipt.tray_ids), exit_on_error=False)

    async def action_take_back(self) -> None:
        await self._turn_this(record.take_back, "   b brings it back")

    async def action_bring_back(self) -> None:
        await self._turn_this(record.bring_back)
