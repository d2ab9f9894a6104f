"""Promises on the screen: have, promised, short; plants are handed over from here."""

from typing import TYPE_CHECKING

from model.ahead import Promise
from model.rules.owing import Owed
from model.views.answer import Answer
from model.views.promises import PromisesView, answer, read
from tui.commands import PROMISES, bindings_of
from tui.dialogs import promises as asking
from tui.screens.answer import MOVES, AnswerScreen
from tui.screens.finding import says_refusal

if TYPE_CHECKING:
    from model.actions.desk import Receipt
    from tui.dialogs.flows import Wish


class PromisesScreen(AnswerScreen):
    """One line a promise, by the day it is due."""

    WHERE = PROMISES
    BINDINGS = [*bindings_of(PROMISES), *MOVES]
    view: PromisesView | None = None

    async def read(self) -> Answer:
        today, now, outlooks = self.session.today, self.now, self.session.outlooks
        self.view = await self.session.answer(lambda store: read(store, today, now, outlooks))
        return answer(self.view)

    async def act(self, wish: "Wish") -> "Receipt | None":
        """Carry out a wish; the hand goes to the promise that it put down."""
        before = self._keys
        receipt = await super().act(wish)
        new = self._keys - before
        if receipt is not None and new:
            self.take(max(new))
        return receipt

    @property
    def _keys(self) -> set[int]:
        return {line.key for line in self.answered.lines if line.key is not None} if self.answered else set()

    @property
    def owed(self) -> Owed | None:
        """The promise under the hand."""
        here, lines = self.under_hand, self.view.lines if self.view else ()
        return next((line.owed for line in lines if here and line.owed.promise.id == here.key), None)

    @property
    def promise(self) -> Promise | None:
        """The promise under the hand; where there is none, it says so."""
        if self.owed is None:
            self.say("No promise is under the hand: a puts one down.", bad=True)
            return None
        return self.owed.promise

    @says_refusal
    async def action_fulfil(self) -> None:
        """Hand over what was promised."""
        if self.promise is not None and self.owed is not None and self.view is not None:
            standing = self.session.view.lines if self.session.view else ()
            self.ask("Hand over", asking.fulfil, self.owed, self.view, standing, self.session.today)

    @says_refusal
    async def action_add_promise(self) -> None:
        """Promise plants."""
        self.ask("Promise", asking.promise, await self.session.choices(), self.session.today)

    async def action_change_promise(self) -> None:
        """Change the promise under the hand."""
        if (held := self.promise) is not None:
            self.ask("Change the promise", asking.change, held, self.session.today)

    async def action_drop_promise(self) -> None:
        """Drop the promise under the hand."""
        if (held := self.promise) is not None:
            self.ask("Drop the promise", asking.drop, held)
