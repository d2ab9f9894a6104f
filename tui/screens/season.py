"""A season on the screen: a line for each crop in each kind of container, and a page for each of them."""

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from model.ahead import VerdictWord
from model.errors import TrayroundError
from model.views import season
from model.views.answer import Answer
from model.views.season import CropSeason, SeasonView
from tui.commands import CROP_SEASON, SEASON, bindings_of
from tui.screens.answer import MOVES, AnswerScreen
from tui.screens.finding import says_refusal
from tui.session import Session
from tui.words import Signs

if TYPE_CHECKING:
    from model.views.timings import TimingsPage


class LooksBack(AnswerScreen):
    """Says keep, change or drop of the crop under the hand, and writes what is shown to a file."""

    def __init__(self, session: Session, signs: Signs, year: int | None = None) -> None:
        super().__init__(session, signs)
        self.year = year
        """The season; None for the newest."""
        self.view: SeasonView | None = None

    async def _read(self) -> SeasonView:
        today, now, year = self.session.today, self.now, self.year
        return await self.session.answer(lambda store: season.read(store, today, now, season=year))

    @property
    def crop(self) -> CropSeason | None:
        """The crop in its container that is under the hand."""
        raise NotImplementedError

    def _judge(self, word: VerdictWord) -> None:
        from tui.dialogs.season import verdict

        if self.crop is None or self.view is None:
            self.say("No crop is under the hand.", bad=True)
        else:
            self.ask(f"Season {self.view.season}", verdict, self.view.season, self.crop, word)

    def action_keep_crop(self) -> None:
        """Keep it as it is."""
        self._judge(VerdictWord.KEEP)

    def action_change_crop(self) -> None:
        """Do it otherwise next season."""
        self._judge(VerdictWord.CHANGE)

    def action_drop_crop(self) -> None:
        """Don't grow it so again."""
        self._judge(VerdictWord.DROP)

    def action_write_season(self) -> None:
        """Write what is shown as plain text."""
        from tui.dialogs.ask import Ask
        from tui.dialogs.written import write_to

        if self.view is not None:
            ask = Ask("Season", write_to, "the season", f"~/season-{self.view.season}.txt")
            self.app.push_screen(ask, self._write)

    @says_refusal
    async def _write(self, chosen: "tuple[Path, bool] | TrayroundError | None") -> None:
        from model.actions.files import write_file
        from model.views.season_text import text

        if isinstance(chosen, TrayroundError):
            raise chosen
        if chosen is not None:
            path, over = chosen
            view, timings = await self._read(), await self.session.timings()
            told = text(view, timings, self._written(view))
            await self.session.apart(partial(write_file, path, f"{told}\n".encode(), over=over))
            self.say(f"The season is in {path}.")

    def _written(self, view: SeasonView) -> tuple[CropSeason, ...]:
        """Whose pages are written."""
        raise NotImplementedError


class SeasonScreen(LooksBack):
    """Every crop and container of a season, the most telling first."""

    WHERE = SEASON
    BINDINGS = [*bindings_of(SEASON), *MOVES]

    async def read(self) -> Answer:
        self.view = await self._read()
        return season.answer(self.view)

    @property
    def crop(self) -> CropSeason | None:
        here = self.under_hand
        return self.view.crops[here.key] if self.view and here and here.key is not None else None

    def _written(self, view: SeasonView) -> tuple[CropSeason, ...]:
        return view.crops

    def action_open_crop(self) -> None:
        """The page of the crop under the hand."""
        if self.view is not None and (crop := self.crop) is not None:
            which = crop.page.crop, crop.page.container_id
            self.app.push_screen(CropSeasonScreen(self.session, self.signs, self.view.season, which))
        else:
            self.say("No crop is under the hand.", bad=True)

    async def _to_season(self, by: int) -> None:
        """Another season in which something was sown."""
        if self.view is None:
            return
        years = sorted({*self.view.seasons, self.view.season})
        at = years.index(self.view.season) + by
        if not 0 <= at < len(years):
            self.say(f"Nothing is on record {'before' if by < 0 else 'after'} {self.view.season}.", bad=True)
            return
        self.year, self.answered, self._row = years[at], None, 0
        await self.show_again()

    async def action_season_before(self) -> None:
        """The season before."""
        await self._to_season(-1)

    async def action_season_after(self) -> None:
        """The season after."""
        await self._to_season(1)


class CropSeasonScreen(LooksBack):
    """One crop in one kind of container, question by question."""

    WHERE = CROP_SEASON
    BINDINGS = [*bindings_of(CROP_SEASON), *MOVES]

    def __init__(self, session: Session, signs: Signs, year: int, which: tuple[str, int]) -> None:
        super().__init__(session, signs, year)
        self._of = which
        self._timings: TimingsPage | None = None

    async def read(self) -> Answer:
        self.view = await self._read()
        if self._timings is None:
            self._timings = await self.session.timings()
        return season.page_answer(self.view, self._crop(self.view), self._timings.of(self._of[0]))

    def _crop(self, view: SeasonView) -> CropSeason:
        return view.crop(*self._of)

    @property
    def crop(self) -> CropSeason | None:
        return self._crop(self.view) if self.view else None

    def _written(self, view: SeasonView) -> tuple[CropSeason, ...]:
        return (self._crop(view),)
