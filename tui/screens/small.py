"""What a window says that is too small to be read."""

from textual.app import ComposeResult
from textual.geometry import Size
from textual.screen import ModalScreen
from textual.widgets import Static

LEAST = Size(60, 16)
"""Columns and rows below which lines would be cut that decide something."""


class TooSmall(ModalScreen[None]):
    """Stands over everything until the window is larger; what was open stays open underneath."""

    DEFAULT_CSS = "TooSmall { background: $ground; color: $ink; align: center middle; } TooSmall Static { width: auto; }"

    def compose(self) -> ComposeResult:
        yield Static(f"Make the window larger:\n{LEAST.width} columns, {LEAST.height} rows.", markup=False)


def too_small(size: Size) -> bool:
    """Whether the round can't be read at a size."""
    return size.width < LEAST.width or size.height < LEAST.height
