"""What can die soonest comes first: the days of room that each thing due still leaves."""

from collections.abc import Iterator
from datetime import date
from math import inf

from model.facts import Container, Mark, Tray
from model.rules.due import Case
from model.rules.verdict import Due, Task

SMALL_CELL_ML = 25.0
"""A cell up to this volume dries within a day [mL]. Common practice, no source."""
DAYS_SMALL, DAYS_LARGE = 1, 2
"""Days a small and a larger cell may go without anyone looking [d]. Common practice, no source."""

PATIENCE = {
    Task.OFF_MAT: 0,
    Task.FIRST_UP: 3,
    Task.HALF_UP: 3,
    Task.CUT: 5,
    Task.THIN: 3,
    Task.LOOK: 2,
    Task.POT_UP: 1,
    Task.HARDEN: 1,
    Task.SET_OUT: 1,
    Task.RETIRE: 9,
    Task.PAST: 0,
}
"""Days after the end of its window until something due does harm [d]. Common practice, no source."""


def room_unseen(tray: Tray, container: Container, today: date) -> float:
    """Days until a tray can have dried out, counted from the last time somebody stood at it."""
    last: Mark | None = tray.seen
    days = (today - (last.day if last else tray.made_on)).days
    if days == 0:
        return inf
    allowed = DAYS_SMALL if container.volume_ml <= SMALL_CELL_ML else DAYS_LARGE
    return allowed + 1 - days


def room_due(due: Due, case: Case) -> float:
    """Days until something due does harm; it takes no room before its window opens."""
    if not due.open_on(case.today) or due.window.end is None:
        return inf
    return (due.window.end - case.today).days + PATIENCE[due.task]


def rooms(case: Case, dues: tuple[Due, ...]) -> Iterator[tuple[float, str]]:
    """Every claim on the grower's morning, as days of room and why in at most eight words."""
    for due in dues:
        yield room_due(due, case), due.why
    filling, up, sowing = case.filling, case.up, case.sowing
    if filling is not None and filling.bound is not None and not case.for_cutting and sowing.first_up:
        days = (filling.bound - case.today).days
        seen = filling.look.score if filling.look else None
        how = f"roots {seen} seen" if seen is not None else "by age, not looked at"
        yield days, f"roots circling now; {how}" if days <= 0 else f"roots circle in {days} d; {how}"
    if sowing.first_up is None and up.slow_end is not None and case.today > up.slow_end:
        late = (case.today - up.slow_end).days
        yield PATIENCE[Task.FIRST_UP] - late, f"late up by {late} d; nothing seen"
    unseen = room_unseen(case.tray, case.container, case.today)
    last = case.tray.seen.day if case.tray.seen else case.tray.made_on
    yield unseen, f"not seen for {(case.today - last).days} days"
