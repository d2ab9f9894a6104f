"""What needs somebody first."""

from model.views.lines import RoundView, TrayLine

MOST = 12
"""Trays listed at most: what a person standing up can take in."""
NEAR_DAYS = 3
"""Room up to which a tray is listed [d]. Common practice, no source."""


def needs(view: RoundView) -> tuple[TrayLine, ...]:
    """The trays across the farm that have something due or little room, worst first; a screen lists the first dozen."""
    return tuple(line for line in view.lines if line.due_now or line.room_days <= NEAR_DAYS)
