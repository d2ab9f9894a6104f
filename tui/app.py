"""The full-screen program."""

import asyncio
import gc
import signal
from collections.abc import Iterable
from contextlib import suppress

from textual import events
from textual.app import SystemCommand
from textual.binding import Binding
from textual.geometry import Size
from textual.screen import Screen

from model.errors import TrayroundError
from tui.commands import commands_of, key_words
from tui.keys import KeysInOrder
from tui.screens.acts import TrayActs
from tui.screens.farm import SettingsChanged
from tui.screens.finding import FindsTrays
from tui.screens.first import FirstScreen
from tui.screens.small import TooSmall, too_small
from tui.session import Session
from tui.themes import DARK, LIGHT, themes, token_defaults
from tui.words import ASCII, UNICODE, Signs

A_WHILE = 10.0
"""How often it is asked whether a new day has begun, or another window has entered something [s]."""


class TrayroundApp(KeysInOrder[str]):
    """Shows the frame first, then the round; the record is read in a thread."""

    TITLE = "trayround"
    ENABLE_COMMAND_PALETTE = True
    BINDINGS = [Binding("ctrl+p,colon", "command_palette", "palette", show=False)]
    CSS = ".plain Ask > Vertical { border-top: ascii $quiet; }"

    def __init__(self, session: Session, signs: Signs = UNICODE) -> None:
        super().__init__()
        self.session = session
        self.signs = signs
        for theme in themes():
            self.register_theme(theme)
        self.theme = DARK
        self.set_class(signs is ASCII, "plain")

    def get_theme_variable_defaults(self) -> dict[str, str]:
        return token_defaults()

    def on_mount(self) -> None:
        for name in ("SIGTERM", "SIGHUP"):
            with suppress(NotImplementedError, AttributeError, RuntimeError, ValueError):
                number = getattr(signal, name)
                asyncio.get_running_loop().add_signal_handler(number, self._stop, 128 + number)
        self.push_screen(self.front())
        self._heed(self.size)
        self.run_worker(self._open(), name="open the record")
        self.set_interval(A_WHILE, self._news)

    def front(self) -> Screen[None]:
        """The screen that stands there from the start."""
        return FirstScreen(self.session, self.signs)

    def on_resize(self, event: events.Resize) -> None:
        """Say so while the window is too small, and go on where it was once it isn't."""
        # Before the first screen is there, it would be pushed over what says so.
        if len(self.screen_stack) > 1:
            self._heed(event.size)

    def _heed(self, size: Size) -> None:
        if too_small(size):
            if not isinstance(self.screen, TooSmall):
                self.push_screen(TooSmall())
        elif isinstance(self.screen, TooSmall):
            self.pop_screen()

    def _stop(self, code: int) -> None:
        self.exit(return_code=code)

    async def _open(self) -> None:
        """Read the record; what can't be opened is said in a sentence once the screen is given back."""
        try:
            await self.session.open()
        except TrayroundError as error:
            self.exit(f"{error.title}. {error}", return_code=1)
            return
        self._put_theme_right()
        if isinstance(self.screen, FirstScreen):
            await self.screen.show_first_time()
        await self.session.warm()
        await self._forecast()
        gc.enable()
        await self._take_care()

    async def _take_care(self) -> None:
        """The day's backup, once the round is on the screen; what stands in its way is said, and stops no round."""
        from model.actions.care import take_care

        session = self.session
        zone = session.settings.get("zone", "UTC")
        words = await session.apart(lambda: take_care(session.path, session.clock.now(), zone))
        front = next((screen for screen in reversed(self.screen_stack) if isinstance(screen, TrayActs)), None)
        if words and front is not None:
            front.say(words, bad=True)

    async def _forecast(self) -> None:
        """The day's forecast, once the round is on the screen; what can't be read now is read with the next news."""
        with suppress(TrayroundError):
            await self.session.forecast()
            if isinstance(self.screen, FirstScreen):
                await self.screen.show_forecast()
            else:
                await self._show_all_again()

    async def _show_all_again(self) -> None:
        for screen in self.screen_stack:
            if isinstance(screen, FindsTrays):
                await screen.show_again()

    async def _news(self) -> None:
        """A screen left open must not show yesterday, nor hide what another window entered."""
        # What can't be read now is read a while later.
        with suppress(TrayroundError):
            if await self.session.news():
                await self.session.read_again()
                for screen in self.screen_stack:
                    if isinstance(screen, FindsTrays):
                        await screen.show_news()
                await self.session.forecast()
                await self._show_all_again()
                await self._take_care()

    def on_settings_changed(self, _event: SettingsChanged) -> None:
        """Colours may have been chosen anew."""
        self._put_theme_right()

    def _put_theme_right(self) -> None:
        theme = LIGHT if self.session.settings.get("theme") == "light" else DARK
        if self.theme != theme:
            self.theme = theme

    def get_system_commands(self, screen: Screen[object]) -> Iterable[SystemCommand]:
        """The palette offers every action of the screen in front, by its words."""
        if isinstance(screen, TrayActs):
            for command in commands_of(screen.WHERE):
                title = f"{command.label}   ({key_words(command)})"
                yield SystemCommand(title, command.help, _runner(self, screen, command.id))


def _runner(app: TrayroundApp, screen: TrayActs, action: str):  # type: ignore[no-untyped-def]
    """Runs an action on a screen, once the palette is gone."""

    async def run() -> None:
        await app.run_action(action, screen)

    return lambda: app.call_later(run)
