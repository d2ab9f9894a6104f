"""One tray: its contents, places, acts in order and family at the left, the curve of its roots at the right."""

from typing import TYPE_CHECKING

from rich.text import Text
from textual.app import ComposeResult
from textual.containers import Horizontal, VerticalScroll
from textual.widgets import Static

from model.days import say_day, say_window, short_day
from model.errors import BadInput, TrayroundError
from model.labels import label
from model.text import clean
from model.units import Measure, show_volume
from model.views.lines import TrayLine
from model.views.tray import TrayPage
from tui.commands import TRAY, bindings_of
from tui.screens.acts import KeyLine, TrayActs
from tui.screens.finding import says_refusal
from tui.screens.papers import told_words
from tui.session import Session
from tui.widgets.curve import Curve
from tui.widgets.why import Why
from tui.words import Signs

if TYPE_CHECKING:
    from model.rules.course import Change

DUES = 3
"""Things to come that are listed."""


class TrayScreen(TrayActs):
    """Everything about one tray on one screen."""

    WHERE = TRAY
    BINDINGS = bindings_of(TRAY)

    DEFAULT_CSS = """
    TrayScreen { background: $ground; color: $ink; }
    TrayScreen #title { height: 1; padding: 0 1; background: $raised; text-style: bold; }
    TrayScreen #body { height: 1fr; }
    TrayScreen #facts { height: auto; padding: 0 1; }
    TrayScreen #left { width: 1fr; scrollbar-size-vertical: 1; }
    TrayScreen #story { height: auto; padding: 0 1; color: $quiet; }
    TrayScreen #curve { width: 42; margin: 0 1; }
    TrayScreen.wide #curve { width: 64; }
    TrayScreen #said { height: auto; min-height: 1; max-height: 2; padding: 0 1; color: $ready; }
    TrayScreen #said.bad { color: $crowding; text-style: bold; }
    """

    def __init__(self, session: Session, signs: Signs, tray_id: int) -> None:
        super().__init__()
        self.session = session
        self.signs = signs
        self.tray_id = tray_id
        self.page: TrayPage | None = None
        self._taken_back = False

    def compose(self) -> ComposeResult:
        yield Static("", id="title", markup=False)
        with Horizontal(id="body"):
            with VerticalScroll(id="left"):
                yield Static("", id="facts", markup=False)
                yield Static("", id="story", markup=False)
            yield Curve(self.signs, id="curve")
        yield Why(self.signs, id="why")
        yield Static("", id="said", markup=False)
        yield KeyLine(self.WHERE)

    @property
    def line(self) -> TrayLine | None:
        """The tray itself."""
        return self.page.line if self.page else None

    async def on_mount(self) -> None:
        self.query_one("#left").focus()
        await self.show_again()

    def on_resize(self) -> None:
        """A wide screen gives the curve more room."""
        self.set_class(self.size.width >= 110, "wide")

    @says_refusal
    async def show_again(self) -> None:
        """Read the tray anew."""
        try:
            self.page = page = await self.session.page(self.tray_id)
        except BadInput:
            # What is asked in front of this screen isn't taken from under somebody's fingers.
            self._taken_back = True
            self._leave_if_taken_back()
            return
        line = page.line
        gone = f"   gone since {say_day(page.ended_on)}" if page.ended_on else ""
        self.query_one("#title", Static).update(
            Text(
                clean(
                    f"{line.label}   {line.crop} {line.variety}   {line.stage}{gone}   {told_words(self.session)}"
                ),
                no_wrap=True,
            )
        )
        self.query_one("#facts", Static).update(Text("\n".join(self._facts(page))))
        self.query_one("#story", Static).update(self._story(page))
        self.query_one("#curve", Curve).show(page.curve)
        self.query_one("#why", Why).show(line.label, line.why)

    async def on_screen_resume(self) -> None:
        """The tray may have been taken back while something was asked, or its timings been settled."""
        self._leave_if_taken_back()
        if self.app.screen is self and self.page is not None:
            await self.show_again()

    def _leave_if_taken_back(self) -> None:
        if not self._taken_back or self.app.screen is not self:
            return
        self.app.pop_screen()
        below = self.app.screen
        if isinstance(below, TrayActs) and self.page is not None:
            below.say(f"{self.page.line.label} is gone: it was taken back.", bad=True)

    def _facts(self, page: TrayPage) -> list[str]:
        line = page.line
        measure = Measure(self.session.settings.get("measure", Measure.METRIC))
        facts = [
            f"{line.place}, {line.container}, {show_volume(page.container_ml, measure)}",
            f"day {line.age_days}, {line.here_days} in this container",
        ]
        for sowing in page.sowings:
            lot = f", lot {sowing.lot}" if sowing.lot else ""
            facts.append(f"{sowing.variety}: {sowing.words}, sown {say_day(sowing.sown_on)}{lot}")
            facts += [f"   {sowing.cuts}"] if sowing.cuts else []
        if line.fill is not None and line.fill.high > 0 and not line.instead:
            fill = line.fill
            facts.append(f"root fill about {fill.expected:.0%}, {fill.low:.0%} to {fill.high:.0%}")
        names = {s.sowing_id: f"{s.variety}: " for s in page.sowings} if len(page.sowings) > 1 else {}
        facts += [
            f"{names.get(due.sowing_id or 0, '')}{due.task} {say_window(due.window.start, due.window.end, self.session.today)}"
            for due in line.due[:DUES]
        ]
        if line.aliases:
            facts.append(f"its label was {', '.join(label(alias.number) for alias in line.aliases)}")
        if page.parent or page.children:
            family = [f"from {page.parent}"] if page.parent else []
            family += [f"potted up into {', '.join(page.children)}"] if page.children else []
            facts.append("; ".join(family))
        if page.up:
            facts.append(page.up)
        if page.growth:
            facts.append(page.growth)
        if line.flags:
            facts.append(", ".join(line.flags))
        if page.note:
            facts.append(f"note: {page.note}")
        return [clean(fact) for fact in facts]

    def _story(self, page: TrayPage) -> Text:
        text = Text("")
        for act in page.story:
            words = clean(f"\n{short_day(act.day):>6}  {act.words}  {act.who}", lines=True)
            text.append(
                words if act.counts else f"{words}  (taken back)", style="" if act.counts else "strike"
            )
        text.append(
            "".join(f"\n{short_day(since):>6}  at {clean(place)}" for since, place in page.places[:1])
        )
        return text

    @says_refusal
    async def action_what_if(self) -> None:
        """Think of something, and see what it would change."""
        from tui.dialogs import whatif
        from tui.dialogs.ask import Ask

        if self.page is not None:
            choices = await self.session.choices()
            self.app.push_screen(Ask("What if", whatif.what_if, self.page, choices), self._thought)

    @says_refusal
    async def _thought(self, change: "Change | TrayroundError | None") -> None:
        from tui.dialogs.whatif import words

        if isinstance(change, TrayroundError):
            raise change
        if change is not None:
            from model.views.course import read_what_if

            asked, today, outlooks = change, self.session.today, self.session.outlooks
            found = await self.session.answer(
                lambda store: read_what_if(store, self.tray_id, today, asked, outlooks)
            )
            self.query_one("#curve", Curve).show(found.curve)
            self.say(words(found))

    def action_back(self) -> None:
        """Back to where this was opened."""
        self.app.pop_screen()

    def go_to(self, line: TrayLine) -> None:
        """Everything about another tray."""
        self.open_tray(line.tray_id)

    def open_tray(self, tray_id: int) -> None:
        """Another tray in the place of this one."""
        self.tray_id = tray_id
        self.call_later(self.show_again)

    def action_needs(self) -> None:
        """What needs me first, also where this was opened from the round."""
        from tui.screens.first import FirstScreen

        self.app.pop_screen()
        if not isinstance(self.app.screen, FirstScreen):
            self.app.switch_screen(FirstScreen(self.session, self.signs))
