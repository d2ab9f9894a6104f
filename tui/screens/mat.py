"""The mat rota: shown at once as made in turn, and again once it is solved; a sowing is pinned and released here."""

from model.actions import rota
from model.errors import TrayroundError
from model.views import mat as view
from model.views.answer import Answer
from model.views.mat import MatAsk, MatView
from tui.commands import MAT, bindings_of
from tui.dialogs import mat as dialogs
from tui.screens.answer import MOVES, AnswerScreen
from tui.screens.finding import says_refusal


class MatScreen(AnswerScreen):
    """Who stands on the mat when, who can do without, and the next free days."""

    WHERE = MAT
    CAUTION = "mat"
    BINDINGS = [*bindings_of(MAT), *MOVES]

    _ask: MatAsk | None = None
    _view: MatView | None = None
    _just_solved = False
    """Whether the answer comes from the solver and only has to be drawn."""

    async def read(self) -> Answer:
        """The rota in turn, unless what was asked has been solved; the solver follows in a thread of its own."""
        if self._just_solved and self._view is not None:
            self._just_solved = False
            return view.answer(self._view)
        today = self.session.today
        ask = await self.session.answer(lambda store: view.gather(store, today))
        if ask == self._ask and self._view is not None:
            return view.answer(self._view)
        self._ask = ask
        # Before the solver is through the greedy rota is there to go by, and says what it is.
        self._view = await self.session.answer(lambda _store: view.in_turn(ask))
        if ask.sowings:
            self.run_worker(self._solve(ask), exit_on_error=False)
        return view.answer(self._view)

    async def _solve(self, ask: MatAsk) -> None:
        try:
            found = await self.session.apart(lambda: view.solved(ask))
        except TrayroundError as error:
            self.say(str(error), bad=True)
            return
        if self._ask is ask and self.is_attached:
            self._view, self._just_solved = found, True
            await self.show_again()

    @says_refusal
    async def action_pin(self) -> None:
        """Decide by hand about the sowing under the hand."""
        here, found = self.under_hand, self._view
        sowing = next((s for s in found.sowings if here and s.target_id == here.key), None) if found else None
        if sowing is None or found is None:
            self.say("Only a sowing to come can be pinned: take one of their lines.", bad=True)
            return
        self.ask(f"Pin {sowing.name}", dialogs.pin, sowing, found)

    async def action_release(self) -> None:
        """Give the sowing under the hand back to the rota."""
        here = self.under_hand
        if here is None or here.key is None:
            self.say("Only a sowing to come can be released: take one of their lines.", bad=True)
            return
        target = here.key
        await self.act(lambda store, stamp: rota.release(store, stamp, target))
