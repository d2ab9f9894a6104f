"""The plan on the screen: what to sow when; a line is sown, added, changed or dropped from here."""

from pathlib import Path

from model.ahead import Target
from model.errors import TrayroundError
from model.rules.planning import Planned
from model.views.answer import Answer
from model.views.plan import PlanView, answer, read
from model.views.plan_words import session_answer
from tui.commands import PLAN, bindings_of
from tui.screens.answer import MOVES, AnswerScreen
from tui.screens.finding import says_refusal
from tui.session import Session
from tui.words import Signs


class PlanScreen(AnswerScreen):
    """Missed first, then this week, then the rest; or the sowing session of the week."""

    WHERE = PLAN
    BINDINGS = [*bindings_of(PLAN), *MOVES]

    def __init__(self, session: Session, signs: Signs) -> None:
        super().__init__(session, signs)
        self.view: PlanView | None = None
        self.sowing = False
        """Whether the sowing session stands there instead of the plan."""

    async def show_again(self) -> None:
        """Read the plan anew; a line that was added or changed is taken under the hand."""
        first, before = self.view is None, self._targets()
        await super().show_again()
        fresh = set() if first else self._targets() - before
        lines = self.answered.lines if self.answered else ()
        rows = [i for i, line in enumerate(lines) if fresh and line.key == min(fresh)]
        if rows:
            self._row = rows[0]
            self._draw()

    def _targets(self) -> set[int]:
        return {target.id for target in self._all()}

    def _all(self) -> list[Target]:
        view = self.view
        return [*(one.target for one in view.planned), *view.uncounted] if view else []

    async def read(self) -> Answer:
        """The plan as the record has it now."""
        session = self.session
        today, now, outlooks = session.today, self.now, session.outlooks
        self.view = view = await session.answer(lambda store: read(store, today, now, outlooks))
        return session_answer(view) if self.sowing else answer(view)

    @property
    def planned(self) -> Planned | None:
        """The planned line under the hand."""
        here = self.under_hand
        ones = self.view.planned if self.view else ()
        return next((one for one in ones if here and one.target.id == here.key), None)

    @property
    def target(self) -> Target | None:
        """The target under the hand, also where nobody can count it back."""
        here = self.under_hand
        return next((target for target in self._all() if here and target.id == here.key), None)

    @says_refusal
    async def action_sow_planned(self) -> None:
        """Sow a tray of the line under the hand."""
        from model.views.choices import read_for_sowing
        from model.views.mat import mat_for
        from tui.dialogs.plan import sow_planned

        one = self.planned
        if one is None:
            self.say("No line is under the hand.", bad=True)
            return
        today, target = self.session.today, one.target.id
        mat = await self.session.answer(lambda store: mat_for(store, target, today))
        found = await self.session.answer(lambda store: read_for_sowing(store, today))
        self.ask("Sow as planned", sow_planned, one, *found, today, mat)

    @says_refusal
    async def action_add_target(self) -> None:
        """Add what is wanted."""
        from tui.dialogs.plan import add_target

        self.ask("Plan", add_target, await self.session.choices(), self.session.today)

    @says_refusal
    async def action_change_target(self) -> None:
        """Change the line under the hand."""
        from tui.dialogs.plan import change_target

        target = self.target
        if target is None:
            self.say("No line is under the hand.", bad=True)
            return
        self.ask("Change the plan", change_target, target, await self.session.choices(), self.session.today)

    @says_refusal
    async def action_drop_target(self) -> None:
        """Drop the line under the hand."""
        from tui.dialogs.plan import drop_target

        target = self.target
        if target is None:
            self.say("No line is under the hand.", bad=True)
            return
        self.ask("Drop from the plan", drop_target, target)

    async def action_back(self) -> None:
        """From the sowing session back to the plan; from the plan back to where it was opened."""
        await (self.action_sowing_session() if self.sowing else super().action_back())

    async def action_sowing_session(self) -> None:
        """The sowing session of the week, or the plan again."""
        self.sowing = not self.sowing
        if self.sowing:
            self.caution("sowing")
        self._row = 0
        self.answered = None
        await self.show_again()

    def action_write_calendar(self) -> None:
        """Write what is to come to a calendar file."""
        from tui.dialogs.ask import Ask
        from tui.dialogs.written import write_to

        ask = Ask("Calendar", write_to, "what is to come", "~/trayround.ics")
        self.app.push_screen(ask, self._write_calendar)

    @says_refusal
    async def _write_calendar(self, chosen: "tuple[Path, bool] | TrayroundError | None") -> None:
        from model.actions.files import write_file
        from model.views import calendar

        if chosen is None:
            return
        if isinstance(chosen, TrayroundError):
            raise chosen
        path, over = chosen
        today, now, outlooks = self.session.today, self.now, self.session.outlooks
        view = await self.session.answer(lambda store: calendar.read(store, today, now, outlooks))
        await self.session.apart(lambda: write_file(path, calendar.as_ical(view, now), over=over))
        self.say(f"{view.said} to {path}.")
