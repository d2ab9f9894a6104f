"""What can be changed of the farm itself, from any screen with a tray."""

from collections.abc import Callable, Collection
from typing import TYPE_CHECKING

from textual.message import Message

from model.errors import TrayroundError
from tui.screens.finding import FindsTrays, says_refusal

if TYPE_CHECKING:
    from model.views.choices import Choices
    from tui.dialogs.ask import Flow
    from tui.dialogs.farming import Change


class SettingsChanged(Message):
    """Somebody changed the farm's settings; the app puts its colours right."""


class ChangesFarm(FindsTrays):
    """A screen from which people, places, containers and settings are changed."""

    async def show_after(self, own: Collection[int] = ()) -> None:
        """Show what is new."""
        raise NotImplementedError

    async def refine(self, tray_ids: tuple[int, ...]) -> None:
        """Reckon the days ahead anew."""
        raise NotImplementedError

    @says_refusal
    async def _change(self, title: str, flow: "Callable[[Choices], Flow[Change]]") -> None:
        from tui.dialogs.ask import Ask

        ask = Ask(title, flow, await self.session.choices())
        self.app.push_screen(ask, self._changed)

    @says_refusal
    async def _changed(self, change: "Change | TrayroundError | None") -> None:
        if change is None:
            return
        if isinstance(change, TrayroundError):
            raise change
        kept: list[str | None] = []
        await self.session.change(lambda store: kept.append(change(store)))
        again = "Kept. The same key changes it again; u takes back entries only."
        self.say(f"Kept: {kept[0]}." if kept and kept[0] else again)
        self.app.post_message(SettingsChanged())
        await self.show_after()
        self.run_worker(self.refine(()), exit_on_error=False)

    def action_timings(self) -> None:
        from tui.screens.timings import TimingsScreen

        self.app.push_screen(TimingsScreen(self.session))

    async def action_person(self) -> None:
        from tui.dialogs import farming

        await self._change("Who", farming.person)

    async def action_places(self) -> None:
        from tui.dialogs import farming

        await self._change("Places", farming.place)

    async def action_containers(self) -> None:
        from tui.dialogs import farming

        await self._change("Containers", farming.container)

    async def action_settings(self) -> None:
        from tui.dialogs import farming

        await self._change("Settings", farming.settings)
