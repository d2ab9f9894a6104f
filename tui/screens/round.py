"""The round: the places in walking order, the trays of one place, why, and the keys to tick them."""

from textual.widgets import Static

from model.errors import TrayroundError
from model.facts import ActKind, PlaceKind
from model.rules.verdict import SecondPass, Today
from model.views.lines import PlaceLine, RoundView, TrayLine, as_on_paper
from tui.commands import ROUND, bindings_of
from tui.screens.bench import Bench
from tui.screens.finding import says_refusal
from tui.session import Session
from tui.widgets.footpath import Footpath
from tui.words import Signs

BENCH_ORDER, WORST_FIRST, AS_ON_PAPER = "bench order", "worst first", "by number, as on the sheet"
NO_PLACE = (
    "This farm has no place yet.\n\nP adds one: a heat mat, a shelf, a bench.\nThen s sows the first tray."
)
NO_TRAY = (
    "No tray stands here yet.\n\ns sows one: what, Enter, and where it goes.\nn goes on to the next place."
)


class RoundScreen(Bench):
    """Place by place through the farm."""

    WHERE = ROUND
    BINDINGS = bindings_of(ROUND)

    def __init__(
        self,
        session: Session,
        signs: Signs,
        place_id: int | None = None,
        tray_id: int | None = None,
        digits: str = "",
        came_from: TrayLine | None = None,
    ) -> None:
        super().__init__(session, signs)
        self._place_id = place_id
        self._start_at = tray_id
        # A number that was begun on the screen before goes on here.
        self._digits, self._from = digits, came_from
        self._order = self._setting = session.settings.get("order", WORST_FIRST)
        self._shown_order = order_in(self.session, self._order)

    @property
    def view(self) -> RoundView:
        """The round as it was last read."""
        if self.session.view is None:
            raise RuntimeError("the round is shown before it was read")
        return self.session.view

    @property
    def place(self) -> PlaceLine | None:
        """The place where the round stands."""
        return next((place for place in self.view.places if place.place_id == self._place_id), None)

    @property
    def place_here(self) -> int | None:
        """The place where the round stands."""
        return self._place_id

    async def on_mount(self) -> None:
        await super().on_mount()
        self.show_place(self._place_id or self.view.resume_place_id, self._start_at)
        if self._digits and self.line:
            self.say_found(self.line)

    def lines_here(self) -> tuple[TrayLine, ...]:
        """The trays of this place, in rank order."""
        return tuple(line for line in self.view.lines if line.place_id == self._place_id)

    def lines_in_sight(self) -> tuple[TrayLine, ...]:
        """The trays of this place, and those that left it just now: a second key mustn't hit the row below."""
        shown = {line.tray_id for line in self.trays.lines}
        return tuple(
            line for line in self.view.lines if line.place_id == self._place_id or line.tray_id in shown
        )

    def show_place(self, place_id: int | None, tray_id: int | None = None) -> None:
        """Walk to a place; the cursor goes to a tray that is named, or to the first unseen one."""
        self._place_id = place_id
        lines = self.lines_here()
        self._shown_order = order_in(self.session, self._order)
        if self._shown_order == AS_ON_PAPER:
            lines = as_on_paper(lines)
        elif self._shown_order == BENCH_ORDER:
            lines = tuple(sorted(lines, key=lambda line: line.bench_order))
        self.trays.show(lines)
        first = next((line.tray_id for line in lines if line.seen is Today.UNSEEN), None)
        start = tray_id if tray_id is not None else first
        if start is None or not self.trays.cursor_to(start):
            self.trays.cursor = 0
        self._show_around()
        self.show_why()

    def _show_around(self) -> None:
        view, lines = self.view, self.trays.lines
        unseen = f"not seen {view.unseen} of {len(view.lines)}"
        closed = f"   round closed, {view.closed}" if view.closed else ""
        self.query_one("#title", Static).update(self.title_text(unseen + closed))
        self.query_one("#path", Footpath).show(view.places, self._place_id)
        self.set_class(not lines, "empty")
        self.query_one("#empty", Static).update(NO_TRAY if view.places else NO_PLACE)

    async def show_again(self) -> None:
        """After an entry: the same place, the rows where they were."""
        if self.place is None:
            self.show_place(self.view.resume_place_id)
            return
        self.show_lines(self.in_shown_order(self.lines_in_sight()))
        setting = self.session.settings.get("order", WORST_FIRST)
        if setting != self._setting:
            self._order = self._setting = setting
        if order_in(self.session, self._order) != self._shown_order:
            self.show_place(self._place_id, self.line.tray_id if self.line else None)
        self._show_around()

    def go_to(self, line: TrayLine) -> None:
        """Put the cursor on a tray, walking to its place."""
        if line.place_id != self._place_id:
            self.show_place(line.place_id, line.tray_id)
        else:
            self.trays.cursor_to(line.tray_id)

    def _walk(self, step: int) -> None:
        """To the next place with trays, round and round."""
        places = [place for place in self.view.places if place.trays] or list(self.view.places)
        if not places:
            return
        at = next((i for i, place in enumerate(places) if place.place_id == self._place_id), -step)
        self.show_place(places[(at + step) % len(places)].place_id)
        self.say(reminder_at(self.place, self.session))

    def action_next_place(self) -> None:
        self._walk(1)

    def action_previous_place(self) -> None:
        self._walk(-1)

    def action_order(self) -> None:
        """The other order of trays within a place, for now; the setting keeps it for good."""
        if self._shown_order == AS_ON_PAPER:
            self.say("What comes from paper is entered in the order of the sheet, by number.", bad=True)
            return
        self._order = WORST_FIRST if self._order == BENCH_ORDER else BENCH_ORDER
        self.show_place(self._place_id, self.line.tray_id if self.line else None)
        self.say(
            f"Trays stand {self._order}." if self._order == WORST_FIRST else "Trays stand in bench order."
        )

    def _whole_place(self, title: str, kind: ActKind) -> None:
        from tui.dialogs import flows

        place = self.place
        if place is None or not place.trays:
            self.say("No tray stands here.", bad=True)
        else:
            self.ask(title, flows.mark_place, kind, place.place_id, place.name, self.view.lines)

    def action_water_place(self) -> None:
        self._whole_place("Water the whole place", ActKind.WATERED)

    def action_look_place(self) -> None:
        self._whole_place("Looked at the whole place", ActKind.LOOKED)

    def action_leave_place(self) -> None:
        self._whole_place("Left the whole place dry", ActKind.LEFT_DRY)

    def action_feed_place(self) -> None:
        from tui.dialogs import flows

        if (place := self.place) is not None and place.trays:
            self.ask("Feed the whole place", flows.feed_place, place.place_id, place.name)

    @says_refusal
    async def action_second_pass(self) -> None:
        """Which places need somebody again before evening."""
        from model.views.thirst import read_second_pass
        from tui.dialogs import passing
        from tui.dialogs.ask import Ask

        today = self.session.today
        passes, remark = await self.session.answer(lambda store: read_second_pass(store, today))
        if passes:
            self.app.push_screen(Ask("Second pass", passing.go_to, passes, remark), self._pass)
        else:
            self.say(remark)

    def _pass(self, chosen: SecondPass | TrayroundError | None) -> None:
        """Walk to a place; the cursor goes to the tray that is dry the soonest."""
        from tui.dialogs import passing

        if chosen is None or isinstance(chosen, TrayroundError):
            self.say("")
            return
        self.show_place(chosen.place_id, chosen.tray_ids[0])
        labels = {line.tray_id: line.label for line in self.view.lines}
        self.say(passing.tray_words([labels[tray_id] for tray_id in chosen.tray_ids if tray_id in labels]))

    @says_refusal
    async def action_close_round(self) -> None:
        """Close the round honestly."""
        from model.actions import walk

        if await self.act(walk.close_round) and self.session.told_at is not None:
            # The sheet is entered; what comes next is done now.
            said = str(self.query_one("#said", Static).content)
            await self.tell(None)
            self.say(said)

    def action_needs(self) -> None:
        """What needs me first."""
        from tui.screens.first import FirstScreen

        self.app.switch_screen(FirstScreen(self.session, self.signs))

    async def on_screen_resume(self) -> None:
        if (
            self.is_mounted
            and self.trays.is_mounted
            and self.session.view is not None
            and self._place_id is not None
        ):
            await self.show_again()


def order_in(session: Session, chosen: str) -> str:
    """How the trays of a place are listed; what comes from paper is entered in the order of the sheet."""
    return chosen if session.told_at is None else AS_ON_PAPER


def reminder_at(place: PlaceLine | None, session: Session) -> str:
    """What is to be looked at at a place today besides the trays."""
    from model.rules.lamps import reminder

    if place is None or place.kind is not PlaceKind.LIT_SHELF or not place.trays:
        return ""
    return reminder(session.today, session.settings.get("zone", "UTC"))
