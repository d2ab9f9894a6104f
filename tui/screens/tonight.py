"""What stands outside this evening, and what was done with it."""

from datetime import date

from model.actions import nights
from model.errors import TrayroundError
from model.facts import ActKind
from model.rules.tonight import ANSWER
from model.views.answer import Answer
from model.views.tonight import TonightView, answer, read
from tui.commands import TONIGHT, bindings_of
from tui.screens.answer import MOVES, AnswerScreen

HEATER_C = 2.0
"""Low at which heaters are likely lit, and the caution about them is due [°C]. Ours."""


class TonightScreen(AnswerScreen):
    """One line a tray outside; Enter does as proposed for all of them."""

    WHERE = TONIGHT
    BINDINGS = [*bindings_of(TONIGHT), *MOVES]
    view: TonightView | None = None

    async def read(self) -> Answer:
        today, now = self.session.today, self.now
        first = self.view is None
        self.view = await self.session.answer(lambda store: read(store, today, now))
        if first and self.view.told is not None and self.view.told.low_c <= HEATER_C:
            self.caution("cold night")
        return answer(self.view)

    async def action_as_proposed(self) -> None:
        """Say that everything was done as proposed; what was answered for already stays."""
        trays = self.view.trays if self.view else ()
        answers = {
            tray.tray_id: ANSWER[tray.night.word]
            for tray in trays
            if tray.answered is None and tray.night.word in ANSWER
        }
        if answers:
            await self.act(lambda store, stamp: nights.answer(store, stamp, answers))
        elif any(tray.answered is None for tray in trays):
            self.say(
                "Nothing is proposed without a fresh forecast: N f takes one, or b, c, f for each.", bad=True
            )
        else:
            self.say("Everything outside is answered for.")

    def action_away(self) -> None:
        """Ask for the days away, then show their sheet."""
        from tui.dialogs.ask import Ask
        from tui.dialogs.away import days_away

        self.app.push_screen(Ask("Away", days_away, self.session.today), self._away)

    def _away(self, days: tuple[date, date] | TrayroundError | None) -> None:
        from tui.screens.cover import CoverScreen

        if isinstance(days, tuple):
            self._show_page(CoverScreen(self.session, self.signs, *days))

    async def _answer(self, kind: ActKind) -> None:
        here = self.under_hand
        if here is not None and here.key is not None:
            tray_id = here.key
            await self.act(lambda store, stamp: nights.answer(store, stamp, {tray_id: kind}))

    async def action_brought_in(self) -> None:
        await self._answer(ActKind.BROUGHT_IN)

    async def action_covered(self) -> None:
        await self._answer(ActKind.COVERED)

    async def action_stays_out(self) -> None:
        await self._answer(ActKind.STAYED_OUT)

    async def action_keep_in(self) -> None:
        """The tray under the hand was kept inside all day: the day doesn't count as hardening."""
        here = self.under_hand
        if here is not None and here.key is not None:
            tray_id = here.key
            await self.act(lambda store, stamp: nights.keep_in(store, stamp, [tray_id]))
