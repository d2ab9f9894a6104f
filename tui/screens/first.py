"""What needs me first: on opening, at most a dozen trays across the farm, worst first."""

from rich.text import Text
from textual.widgets import Static

from model.crops import crop_name
from model.views.lines import TrayLine
from model.views.needs import MOST, looks_worth_taking, needs
from tui.commands import FIRST, bindings_of
from tui.screens.bench import Bench
from tui.widgets.why import Why

NEW_ORDER = "Today's forecast is in: i lists anew."
NOTHING = "Nothing presses this morning.\n\nn goes on the round."
RESTING = "Nothing stands anywhere.\n\ns sows the next tray.   Y looks back on the season."
NEW_FARM = "This farm is new.\n\nP adds a place: a heat mat, a shelf, a bench.\ns sows the first tray.   ? tells what else."


class FirstScreen(Bench):
    """The dozen that matter, the reason of each in eight words."""

    WHERE = FIRST
    BINDINGS = bindings_of(FIRST)
    SHOW_PLACE = True
    _shown = False

    async def on_mount(self) -> None:
        await super().on_mount()
        self.query_one("#title", Static).update(Text("reading the record…"))
        await self.show_first_time()

    async def show_first_time(self) -> None:
        """Show the round as soon as both it and the screen are there, and only once."""
        if not self._shown and self.is_mounted and self.session.view is not None:
            self._shown = True
            await self.show_again()

    async def show_forecast(self) -> None:
        """Take the day's forecast into the rows as they stand: a key may be on its way to one of them."""
        view = self.session.view
        if view is not None and not self.session.touched:
            self.say(
                f"{NEW_ORDER}   {self._morning_words()}".strip() if self._stale else self._morning_words()
            )
        await self.show_again()
        await self._remind()

    @property
    def _stale(self) -> bool:
        """Whether a tray that isn't listed would be, were this opened now."""
        pressing = needs(self.session.view) if self.session.view else ()
        return not {line.tray_id for line in pressing[:MOST]} <= {line.tray_id for line in self.trays.lines}

    async def action_needs(self) -> None:
        """Choose the trays anew."""
        self.trays.show(())
        await self.show_again()
        self.say(self._morning_words())

    async def _remind(self) -> None:
        """Say once that a season is over; a look at another day isn't that once."""
        from model.actions.cautions import seen
        from model.views.season import due, reminder_key

        today, who = self.session.today, self.session.person
        year = await self.session.answer(lambda store: due(store, today))
        if year is not None and self.session.on is None:
            self.say(f"Season {year} is over: Y looks back on it, crop by crop.")
            key = reminder_key(year)
            await self.session.answer(lambda store: seen(store, today, who, key))

    def _morning_words(self) -> str:
        """Which looks would tell most, and whether the farm's own timings shall hold."""
        looks = looks_worth_taking(self.session.view) if self.session.view else ()
        calls = (
            ", ".join(line.label for line in self.session.view.lines if line.called)
            if self.session.view
            else ""
        )
        if calls:
            return f"Called for you: {calls}. Whoever stands there answers the call."
        words = (
            f"A look at roots tells most today: {', '.join(line.label for line in looks)}." if looks else ""
        )
        if count := self.session.view.clashes if self.session.view else 0:
            words = f"! shows what two copies are at odds about: {count} to decide.   {words}".strip()
        asked = ", ".join(crop_name(key) for key in self.session.to_ask)
        return f"{words}   {asked}: T asks whether your own timings shall hold.".strip() if asked else words

    async def show_again(self) -> None:
        """The trays that needed somebody most when this was opened; a row stays where it is while it is shown."""
        view = self.session.view
        if view is None:
            return
        pressing = needs(view)
        shown = {line.tray_id for line in self.trays.lines} or {line.tray_id for line in pressing[:MOST]}
        lines = self.in_shown_order(tuple(line for line in view.lines if line.tray_id in shown))
        self.show_lines(lines)
        self.set_class(not lines, "empty")
        self.query_one("#empty", Static).update(
            NOTHING if view.lines else RESTING if view.last_entry else NEW_FARM
        )
        more = sum(line.tray_id not in shown for line in pressing)
        unseen = f"needs me first   {len(lines)} of {len(view.lines)}" + (
            f", {more} more press" if more else ""
        )
        self.query_one("#title", Static).update(self.title_text(unseen))

    def show_why(self) -> None:
        """The reason in eight words stands first, the facts behind it follow."""
        line = self.line
        why = (f"{line.place}: {line.why_now}", *line.why[:3]) if line else ()
        self.query_one("#why", Why).show(line.label if line else "", why)

    def go_to(self, line: TrayLine) -> None:
        """A tray that is listed gets the cursor; any other one is found on the round."""
        if not self.trays.cursor_to(line.tray_id):
            self._to_round(line)

    def action_to_round(self) -> None:
        """Walk the round from where it was left off."""
        self._to_round(None)

    def _to_round(self, line: TrayLine | None) -> None:
        from tui.screens.round import RoundScreen

        if self.session.view is not None:
            place, tray = (line.place_id, line.tray_id) if line else (None, None)
            digits = self._digits if line else ""
            came_from = self._from if line else None
            self.app.switch_screen(RoundScreen(self.session, self.signs, place, tray, digits, came_from))
