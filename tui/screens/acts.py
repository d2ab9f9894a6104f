"""What can be done to the tray under the hand, the same on every screen that shows one."""

from collections.abc import Collection, Sequence
from contextlib import suppress
from dataclasses import replace
from typing import TYPE_CHECKING

from rich.cells import cell_len
from rich.text import Text
from textual.widgets import Static

from model.days import short_day
from model.errors import TrayroundError
from model.facts import ActKind, PlaceKind
from model.rules.verdict import SICK, Due, Task
from model.views.cautions import MOVE
from model.views.lines import TrayLine
from tui.commands import commands_of, key_words
from tui.screens.caution import show_cautions, show_cautions_of
from tui.screens.farm import ChangesFarm
from tui.screens.finding import says_refusal
from tui.screens.papers import Papers
from tui.screens.setting_out import ask_set_out

if TYPE_CHECKING:
    from collections.abc import Callable

    from model.actions.desk import Receipt
    from model.views.tray import TrayPage
    from tui.dialogs.ask import Flow, P
    from tui.dialogs.flows import Wish

APART = (PlaceKind.QUARANTINE, PlaceKind.CORNER)
"""Where a tray that looks sick most likely goes."""


class KeyLine(Static):
    """The keys at the foot of a screen, from the register: as many as there is room for, none of them cut."""

    DEFAULT_CSS = "KeyLine { height: 1; background: $raised; color: $ink; padding: 0 1; }"

    def __init__(self, where: str) -> None:
        super().__init__("", markup=False)
        self._words = [
            f"{key_words(command).split()[0]} {command.on_line}"
            for command in commands_of(where)
            if command.on_line
        ]

    def render(self) -> Text:
        """The words that fit."""
        shown = ""
        for word in self._words:
            longer = f"{shown}  {word}".strip()
            if cell_len(longer) > self.content_size.width:
                break
            shown = longer
        return Text(shown, no_wrap=True)


class TrayActs(ChangesFarm, Papers):
    """A screen with one tray under the hand. Subclasses say which, and show themselves anew after an entry."""

    @property
    def line(self) -> TrayLine | None:
        """The tray under the hand."""
        raise NotImplementedError

    @property
    def tray_here(self) -> TrayLine | None:
        """The tray under the hand."""
        return self.line

    @property
    def place_here(self) -> int | None:
        """Id of the place where the hand is."""
        return self.line.place_id if self.line else None

    async def show_news(self) -> None:
        """Show what another window entered, and say so where it took the tray from under the hand."""
        await self.show_after()
        if (lost := self._lost) is None:
            return
        by = "it wasn't sown yet"
        try:
            for last in (await self.session.page(lost.tray_id)).story[:1]:
                by = f'another window entered "{last.words}", {last.who}'
        except TrayroundError:
            by = "another window took it back"
        self.say(f"{lost.label} is gone: {by}.", bad=True)

    async def show_after(self, own: Collection[int] = ()) -> None:
        """Show what is new, and remember the tray that went from under the hand but by an entry of one's own."""
        under = self.line
        await self.show_again()
        there = self.line.tray_id if self.line else None
        if under is not None and there != under.tray_id and under.tray_id not in own:
            self._lost = under

    async def act(self, wish: "Wish") -> "Receipt | None":
        """Carry out a wish and say so; a refusal is said too, and nothing is changed by it."""
        try:
            receipt = await self.session.do(wish)
        except TrayroundError as error:
            # A page whose tray was taken back meanwhile is left already, and that was said.
            if self in self.app.screen_stack:
                self.say(str(error), bad=True)
            # Another window may have changed what is shown here.
            with suppress(TrayroundError):
                await self.session.read_again()
                await self.show_after()
            return None
        self.say(f"{receipt.words}.   u takes it back")
        await self.show_after(receipt.tray_ids)
        self.run_worker(self.refine(receipt.tray_ids), exit_on_error=False)
        return receipt

    async def refine(self, tray_ids: tuple[int, ...]) -> None:
        """What an entry means for the days ahead is reckoned once it is on the screen; a reading means it for all."""
        with suppress(TrayroundError):
            await (self.session.refine(tray_ids) if tray_ids else self.session.forecast())
            if self.is_attached:
                await self.show_again()

    def ask(self, title: str, flow: "Callable[P, Flow[Wish]]", *args: "P.args", **kwargs: "P.kwargs") -> None:
        """Ask the questions of a flow, then carry out what comes of the answers."""
        from tui.dialogs.ask import Ask

        self.app.push_screen(Ask(title, flow, *args, **kwargs), self._asked)

    async def _asked(self, wish: "Wish | TrayroundError | None") -> None:
        if isinstance(wish, TrayroundError):
            self.say(str(wish), bad=True)
        elif wish is None:
            # What was said before is old news by now.
            self.say("")
        elif receipt := await self.act(wish):
            self.run_worker(show_cautions_of(self, self.session, receipt.entry_id))

    def _mark(self, kind: ActKind) -> "Wish | None":
        from model.actions import walk

        line = self.line
        if line is None:
            return None
        return lambda store, stamp: walk.mark_trays(store, stamp, kind, [line.tray_id])

    async def _mark_this(self, kind: ActKind) -> None:
        wish = self._mark(kind)
        if wish is not None:
            await self.act(wish)

    async def action_water(self) -> None:
        await self._mark_this(ActKind.WATERED)

    async def action_leave(self) -> None:
        await self._mark_this(ActKind.LEFT_DRY)

    async def action_look(self) -> None:
        await self._mark_this(ActKind.LOOKED)

    async def action_feed(self) -> None:
        await self._mark_this(ActKind.FED)

    async def action_do_due(self) -> None:
        """Do what the line says is due."""
        line = self.line
        if line is None:
            return
        today = self.session.today
        due = next((due for due in line.due if due.open_on(today) and due.task is not Task.PAST), None)
        if due is not None:
            await self._do(line, due)
        elif line.due and not line.due[0].open_on(today):
            self.say(f"{line.label}: {line.due[0].task} not before {short_day(line.due[0].window.start)}.")
        else:
            self.say(f"{line.label}: nothing is due.")

    async def _do(self, line: TrayLine, due: Due) -> None:
        from model.actions import growth

        match due.task:
            case Task.FIRST_UP | Task.HALF_UP:
                await self._up(due.sowing_id)
            case Task.THIN:
                await self.act(lambda store, stamp: growth.thin(store, stamp, line.tray_id, due.sowing_id))
            case Task.CUT:
                await self.act(lambda store, stamp: growth.cut(store, stamp, line.tray_id, due.sowing_id))
            case Task.LOOK:
                await self.action_root_look()
            case Task.OFF_MAT:
                await self._move(line, (PlaceKind.LIT_SHELF, PlaceKind.SLATTED_BENCH))
            case Task.HARDEN:
                await self._move(line, (PlaceKind.HARDENING,))
            case Task.POT_UP:
                await self.action_pot_up()
            case Task.SET_OUT:
                await ask_set_out(self, line.tray_id, due.sowing_id)
            case Task.RETIRE:
                await self._ask_page("Retire", "retire", due.sowing_id)

    @says_refusal
    async def _move(self, line: TrayLine, kinds: Sequence[PlaceKind]) -> None:
        from tui.dialogs import flows

        choices = await self.session.choices()
        open_to = [room.place for room in choices.places if not room.full]
        likely = next((place.id for kind in kinds for place in open_to if place.kind is kind), None)
        self.ask("Move", flows.move, line, choices, likely)
        self.run_worker(show_cautions(self, self.session, MOVE))

    async def action_move(self) -> None:
        if (line := self.line) is not None:
            await self._move(line, APART if SICK in line.flags else ())

    async def action_root_look(self) -> None:
        from tui.dialogs import flows

        if (line := self.line) is not None:
            self.ask("Roots", flows.root_look, line)

    async def action_finger(self) -> None:
        from tui.dialogs import readings

        if (line := self.line) is not None:
            self.ask("Finger test", readings.finger, line)

    @says_refusal
    async def action_read(self) -> None:
        from tui.dialogs import readings

        choices, session = await self.session.choices(), self.session
        self.ask("Readings", readings.read, choices, self.place_here, session.clock.now(), session.today)

    def action_readings(self) -> None:
        """A week of readings, and the light of the day."""
        from tui.screens.readings import ReadingsScreen

        self.app.push_screen(ReadingsScreen(self.session, self.signs))

    async def action_note(self) -> None:
        from tui.dialogs import flows

        if (line := self.line) is not None:
            self.ask("Note", flows.note, line)

    @says_refusal
    async def _ask_page(self, title: str, name: str, sowing_id: int | None = None) -> None:
        """Ask a flow that needs to know everything about the tray, or of one of its sowings."""
        from tui.dialogs import flows

        if (line := self.line) is not None:
            self.ask(title, getattr(flows, name), await self._page(line, sowing_id))

    async def _page(self, line: TrayLine, sowing_id: int | None) -> "TrayPage":
        page = await self.session.page(line.tray_id)
        if sowing_id is None:
            return page
        return replace(page, sowings=tuple(s for s in page.sowings if s.sowing_id == sowing_id))

    @says_refusal
    async def _up(self, sowing_id: int | None = None) -> None:
        from tui.dialogs import flows

        if (line := self.line) is not None:
            page = await self._page(line, sowing_id)
            self.ask("Up", flows.up, page, self.session.today)

    async def action_up(self) -> None:
        await self._up()

    async def action_set_out(self) -> None:
        if (line := self.line) is not None:
            await ask_set_out(self, line.tray_id)

    async def action_lose(self) -> None:
        await self._ask_page("Lost", "lose")

    async def action_count(self) -> None:
        await self._ask_page("Count", "count_stand")

    async def action_retire(self) -> None:
        await self._ask_page("Retire", "retire")

    @says_refusal
    async def _ask_simple(self, title: str, name: str) -> None:
        from model.actions import growth
        from tui.dialogs import flows

        if (line := self.line) is not None:
            page = await self.session.page(line.tray_id)
            self.ask(title, flows.simple, page, getattr(growth, name))

    async def action_thin(self) -> None:
        await self._ask_simple("Thinned", "thin")

    async def action_cut(self) -> None:
        await self._ask_page("Cut", "cut")

    @says_refusal
    async def action_pot_up(self) -> None:
        from tui.dialogs import flows

        if (line := self.line) is not None:
            page, choices = await self.session.page(line.tray_id), await self.session.choices()
            self.ask("Pot up", flows.pot_up, page, choices)

    @says_refusal
    async def action_more(self) -> None:
        """The rarer acts."""
        from model.views import promises
        from model.views.choices import read_numbers
        from tui.dialogs import rarer

        if (line := self.line) is not None and (view := self.session.view) is not None:
            page = await self.session.page(line.tray_id)
            today, now, outlooks = self.session.today, self.now, self.session.outlooks
            numbers = await self.session.answer(lambda store: read_numbers(store, today))
            owed = await self.session.answer(lambda store: promises.read(store, today, now, outlooks))
            self.ask("More", rarer.more, page, numbers, owed, view)

    @says_refusal
    async def action_resow(self) -> None:
        from tui.dialogs import sowing

        if (line := self.line) is not None:
            page, choices = await self.session.page(line.tray_id), await self.session.choices()
            self.ask("Resow", sowing.resow, page, choices, self.session.today)

    @says_refusal
    async def action_correct(self) -> None:
        from tui.dialogs import correcting

        if (line := self.line) is not None:
            page, choices = await self.session.page(line.tray_id), await self.session.choices()
            self.ask("Correct the record", correcting.correct, page, choices, self.session.today)

    @says_refusal
    async def action_sow(self) -> None:
        from model.views.choices import read_for_sowing
        from tui.dialogs import sowing

        today = self.session.today
        found = await self.session.answer(lambda store: read_for_sowing(store, today))
        self.ask("New sowing", sowing.new_sowing, *found, today)

    @says_refusal
    async def action_lots(self) -> None:
        from tui.dialogs import seed

        self.ask("Seed lots", seed.lot, await self.session.choices(), self.session.today)

    @says_refusal
    async def _turn(self, name: str) -> None:
        from model.actions import record

        zone = self.session.settings.get("zone", "UTC")
        turn = getattr(record, name)
        receipt = await self.session.do(lambda store, stamp: turn(store, stamp, zone))
        await self.show_after(receipt.tray_ids)
        self.say(f"{receipt.words}." + ("   U brings it back" if name == "undo" else ""))
        self.run_worker(self.refine(receipt.tray_ids), exit_on_error=False)

    async def action_undo(self) -> None:
        await self._turn("undo")

    async def action_redo(self) -> None:
        await self._turn("redo")

    def action_help(self) -> None:
        from tui.screens.help import HelpScreen

        self.app.push_screen(HelpScreen(self.WHERE, self.signs))

    def action_leave_app(self) -> None:
        self.app.exit()
