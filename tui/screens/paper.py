"""The round on paper: the sheet as it would be printed, with what is ticked already; sheet and labels as files."""

from collections.abc import Awaitable, Callable
from datetime import datetime
from functools import partial
from pathlib import Path

from model.errors import TrayroundError
from model.text import several
from model.views import label_sheet, sheet
from model.views.answer import Answer
from tui.commands import PAPER, bindings_of
from tui.screens.answer import MOVES, AnswerScreen
from tui.screens.finding import says_refusal
from tui.screens.papers import Papers

Chosen = tuple[Path, bool] | TrayroundError | None
"""A file and whether it may be written over; why not; or nothing after Esc."""
PDF = ".pdf"


class PaperScreen(AnswerScreen):
    """One line a tray, as on the sheet."""

    WHERE = PAPER
    BINDINGS = [*bindings_of(PAPER), *MOVES]

    async def read(self) -> Answer:
        """The sheet as the record has it now."""
        return sheet.answer(await self._sheet())

    async def tell(self, told: datetime | None) -> None:
        """The keys that enter the sheet are those of the screen behind it."""
        await self.action_back()
        front = self.app.screen
        await (front.tell(told) if isinstance(front, Papers) else super().tell(told))

    async def _sheet(self) -> sheet.Sheet:
        now, today, outlooks = self.now, self.session.today, self.session.outlooks
        return await self.session.answer(lambda store: sheet.read(store, today, now, outlooks))

    def _write_to(self, what: str, name: str, then: "Callable[[Chosen], Awaitable[None]]") -> None:
        from tui.dialogs.ask import Ask
        from tui.dialogs.written import write_to

        self.app.push_screen(Ask("On paper", write_to, what, f"~/{name}-{self.session.today}{PDF}"), then)

    def action_write_sheet(self) -> None:
        """The sheet as a file: a PDF, or plain text by its name."""
        self._write_to("the sheet", "round", self._write_sheet)

    @says_refusal
    async def _write_sheet(self, chosen: Chosen) -> None:
        if isinstance(chosen, TrayroundError):
            raise chosen
        if chosen is not None:
            found, settings = await self._sheet(), dict(self.session.settings)

            def made(path: Path) -> bytes:
                if path.suffix.lower() != PDF:
                    return f"{sheet.text(found)}\n".encode()
                from model.paper.pdf import of_sheet

                return of_sheet(found, settings)

            await self._write(chosen, made)
            many = len(sheet.pages(found))
            self.say(f"{found.trays} trays on {several(many, 'page')} are in {chosen[0]}.")

    async def _write(self, chosen: tuple[Path, bool], made: "Callable[[Path], bytes]") -> None:
        """Draw and write apart: keys are done meanwhile."""
        from model.actions.files import write_file

        path, over = chosen
        await self.session.apart(lambda: write_file(path, made(path), over=over))

    @says_refusal
    async def action_write_labels(self) -> None:
        """Ask for which trays, then where to."""
        from tui.dialogs.ask import Ask
        from tui.dialogs.paper import which_labels

        view, today = self.session.view, self.session.today
        new = await self.session.answer(lambda store: label_sheet.new_numbers(store, today))
        standing = {line.number for line in view.lines} if view else set()
        self.app.push_screen(Ask("Labels", which_labels, new, standing), self._which_labels)

    @says_refusal
    async def _which_labels(self, chosen: "tuple[tuple[int, ...], bool] | TrayroundError | None") -> None:
        if isinstance(chosen, TrayroundError):
            raise chosen
        if chosen is None:
            return
        (numbers, plants), today = chosen, self.session.today
        read = label_sheet.plant_labels if plants else label_sheet.tray_labels
        labels = await self.session.answer(lambda store: read(store, today, numbers))
        self.say("  ".join(labels.renamed))
        what = several(len(labels.found), "label")
        self._write_to(what, "labels", partial(self._write_labels, labels.found))

    @says_refusal
    async def _write_labels(self, found: tuple[label_sheet.Label, ...], chosen: Chosen) -> None:
        if isinstance(chosen, TrayroundError):
            raise chosen
        if chosen is not None:
            settings = dict(self.session.settings)

            def made(path: Path) -> bytes:
                if path.suffix.lower() != PDF:
                    return f"{label_sheet.text(found)}\n".encode()
                from model.paper.pdf import of_labels

                return of_labels(found, settings)

            await self._write(chosen, made)
            self.say(f"{several(len(found), 'label')} in {chosen[0]}.")
