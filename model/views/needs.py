"""What needs somebody first."""

from model.views.lines import RoundView, TrayLine

MOST = 12
"""Trays listed at most: what a person standing up can take in."""
NEAR_DAYS = 3
"""Room up to which a tray is listed [d]. Common practice, no source."""


MOST_LOOKS = 3
"""Looks at roots that are asked for in one morning at most: each one costs a plug [-]. Ours."""
LEAST_VALUE = 0.01
"""Part by which a look must lower the chance of acting wrongly to be worth a plug [-]. Ours."""


def looks_worth_taking(view: RoundView) -> tuple[TrayLine, ...]:
    """The few trays whose look would narrow a decision most, the most telling first."""
    worth = [line for line in view.lines if line.value_of_look >= LEAST_VALUE]
    return tuple(sorted(worth, key=lambda line: -line.value_of_look)[:MOST_LOOKS])


def needs(view: RoundView) -> tuple[TrayLine, ...]:
    """The trays across the farm that have something due or little room, worst first; a screen lists the first dozen."""
    return tuple(line for line in view.lines if line.due_now or line.room_days <= NEAR_DAYS)
