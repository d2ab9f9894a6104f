"""The store: in hand, needed, short; what to wash; and a bleach bath."""

from model.errors import TrayroundError
from model.views import bleach as baths
from model.views import lots
from model.views.answer import Answer
from model.views.stock import StockView, answer, read, read_lots
from tui.commands import STOCK, bindings_of
from tui.dialogs import stock as asking
from tui.dialogs.ask import Ask
from tui.screens.answer import MOVES, AnswerScreen
from tui.screens.finding import says_refusal
from tui.session import Session
from tui.words import Signs


class StockScreen(AnswerScreen):
    """One line a thing; what is short stands first."""

    WHERE = STOCK
    BINDINGS = [*bindings_of(STOCK), *MOVES]
    view: StockView | None = None

    async def read(self) -> Answer:
        today, now = self.session.today, self.now
        self.view = await self.session.answer(lambda store: read(store, today, now))
        return answer(self.view)

    @says_refusal
    async def action_count_stock(self) -> None:
        """Count something."""
        choices = await self.session.choices()
        lots = await self.session.answer(read_lots)
        self.ask("Counted", asking.count, choices, lots)

    @says_refusal
    async def action_washed(self) -> None:
        """Say what was washed."""
        choices = await self.session.choices()
        self.ask("Washed", asking.washed, choices, self.view.lines if self.view else ())

    def action_read_lots(self) -> None:
        """Every seed lot."""
        self.app.push_screen(LotsScreen(self.session, self.signs))

    def action_bleach(self) -> None:
        """Work out a bleach bath."""
        self.app.push_screen(Ask("Bleach bath", asking.bleach), self._bath)

    def _bath(self, found: "tuple[float, float, float] | TrayroundError | None") -> None:
        if isinstance(found, tuple):
            try:
                made = baths.answer(*found)
            except TrayroundError as error:
                self.say(str(error), bad=True)
                return
            self.app.push_screen(BathScreen(self.session, self.signs, made))


class LotsScreen(AnswerScreen):
    """Every seed lot, those that failed or want a test first."""

    WHERE = STOCK
    BINDINGS = [*bindings_of(STOCK), *MOVES]

    async def read(self) -> Answer:
        today, now = self.session.today, self.now
        return lots.answer(await self.session.answer(lambda store: lots.read(store, today, now)))

    async def action_read_lots(self) -> None:
        """Back to the store."""
        await self.action_back()

    action_count_stock = action_washed = action_bleach = action_read_lots


class BathScreen(AnswerScreen):
    """A bath step by step."""

    WHERE = STOCK
    CAUTION = "wash"
    BINDINGS = [*bindings_of(STOCK), *MOVES]

    def __init__(self, session: Session, signs: Signs, made: Answer) -> None:
        super().__init__(session, signs)
        self._made = made

    async def read(self) -> Answer:
        return self._made

    async def action_bleach(self) -> None:
        """Back to the store."""
        await self.action_back()

    action_count_stock = action_washed = action_read_lots = action_bleach
