"""The round for somebody who doesn't know the plants: five things to say of a tray, and their undo.

It is no `TrayActs`: what a helper can't do isn't there to be reached.
"""

from typing import TYPE_CHECKING

from model.errors import SaidAlready, TrayroundError
from model.facts import ActKind
from tui.screens.finding import says_refusal
from tui.screens.helper_place import HelperPlace

if TYPE_CHECKING:
    from collections.abc import Callable

    from tui.dialogs.ask import Flow, P
    from tui.dialogs.flows import Wish

END = "Tell somebody that you have ended."
"""For those who work alone, where the farm asks for it."""


class HelperScreen(HelperPlace):
    """What a helper can do."""

    @says_refusal
    async def _do(self, wish: "Wish", more: str = "   u takes it back") -> None:
        try:
            receipt = await self.session.do(wish)
        except SaidAlready as said:
            self.say(str(said))
            return
        finally:
            self._show()
        self.say(f"{receipt.words}.{more}")

    async def _mark(self, kind: ActKind) -> None:
        from model.actions import helping

        if (line := self.line) is not None:
            await self._do(lambda store, stamp: helping.mark(store, stamp, kind, line.tray_id))

    async def action_water(self) -> None:
        await self._mark(ActKind.WATERED)

    async def action_leave(self) -> None:
        await self._mark(ActKind.LEFT_DRY)

    async def action_look(self) -> None:
        await self._mark(ActKind.LOOKED)

    def _ask(
        self, title: str, flow: "Callable[P, Flow[Wish]]", *args: "P.args", **kwargs: "P.kwargs"
    ) -> None:
        from tui.dialogs.ask import Ask

        self.app.push_screen(Ask(title, flow, *args, **kwargs), self._asked)

    async def _asked(self, wish: "Wish | TrayroundError | None") -> None:
        if wish is not None and not isinstance(wish, TrayroundError):
            await self._do(wish)

    def action_note(self) -> None:
        from tui.dialogs import helping

        if (line := self.line) is not None:
            self._ask("Note", helping.note, line)

    def action_call(self) -> None:
        from tui.dialogs import helping

        if (line := self.line) is not None and self.page is not None:
            self._ask("Call", helping.call, line, self.page.phone)

    async def action_undo(self) -> None:
        from model.actions import helping

        zone = self.session.settings.get("zone", "UTC")
        await self._do(lambda store, stamp: helping.take_back(store, stamp, zone), "")

    def action_help(self) -> None:
        from tui.screens.help import HelpScreen

        self.app.push_screen(HelpScreen(self.WHERE, self.signs))

    def action_leave_app(self) -> None:
        self.app.exit(END if self.alone else None)
