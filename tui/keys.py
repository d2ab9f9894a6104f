"""Keys are done one after the other, however fast they come.

Textual hands a key to the widget in front and takes up the next one at once; what a key does comes later, when it
has come up to the app. Typed ahead of a slow disk, "46l58d" would go to 46 and on to 58 first and then mark 58
twice. So here a key waits until the one before it, and whatever that one set off, is done with.
"""

from collections import deque
from typing import TypeVar

from textual import events
from textual.app import App
from textual.message_pump import MessagePump

T = TypeVar("T")
ROUNDS = 2
"""Ways up to the app that are waited for: the key's own, and that of the message it became."""


class KeysInOrder(App[T]):
    """An app that takes up a key when the one before it is done with."""

    def __init__(self) -> None:
        super().__init__()
        self._typed: deque[events.Key] = deque()
        self._followed: MessagePump = self
        self._front: MessagePump = self
        """The screen that stood in front as a key set out on its way."""

    @property
    def busy(self) -> bool:
        """Whether a key is being done."""
        return bool(self._typed)

    async def on_event(self, event: events.Event) -> None:
        """Put a new key behind those that are waiting."""
        if not isinstance(event, events.Key) or event.is_forwarded:
            await super().on_event(event)
            return
        self._typed.append(event)
        if len(self._typed) == 1:
            await self._begin()
        elif not self._followed.is_running:
            await self._done()

    async def _begin(self) -> None:
        await super().on_event(self._typed[0])
        self._set_out(ROUNDS)

    def _set_out(self, rounds: int) -> None:
        self._front = self.screen
        self._follow(self.focused or self.screen, rounds)

    def _follow(self, pump: MessagePump, rounds: int) -> None:
        """Stand in line behind the key; a widget that is gone by now is passed over."""
        while not pump.call_later(self._passed, pump, rounds):
            if pump is self:
                return
            pump = pump._parent or self
        self._followed = pump

    async def _passed(self, pump: MessagePump, rounds: int) -> None:
        """The key has passed one pump on its way up to the app."""
        if pump is not self:
            self._follow(pump._parent or self, rounds)
        elif rounds > 1 or self.screen is not self._front:
            # A screen that came up meanwhile has yet to be composed, and to take the focus.
            self._set_out(max(1, rounds - 1))
        else:
            await self._done()

    async def _done(self) -> None:
        self._typed.popleft()
        if self._typed:
            await self._begin()
