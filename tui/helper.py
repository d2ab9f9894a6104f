"""The program for somebody who stands in: one screen, no palette, nothing that can't be taken back."""

from textual.screen import Screen

from tui.app import TrayroundApp
from tui.screens.helper import HelperScreen


class HelperApp(TrayroundApp):
    """Opens on the helper's round and has no other."""

    ENABLE_COMMAND_PALETTE = False

    def front(self) -> Screen[None]:
        """The screen that stands there from the start."""
        return HelperScreen(self.session, self.signs)
