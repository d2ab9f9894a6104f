"""What can die soonest comes first: the days of room that each claim on the grower's morning leaves.

A claim that no longer grows worse by waiting keeps the room it has: a tray that was not thinned in time must not
climb over one that is drying out. Only drying out has no such end.
"""

from collections.abc import Iterator
from datetime import date
from math import inf

from model.days import ago, short_day
from model.facts import Call, Container, Tray
from model.rules.due import Case
from model.rules.verdict import Due, Task
from model.science.emergence import Standing
from model.units import show_temperature

CALLED_ROOM = -inf
"""Room of a tray that somebody called about: only a person can tell how much it has. Ours."""
NAME_WORDS = 3
"""Words of a caller's name that are told: with the others they are eight at most. Ours."""
SMALL_CELL_ML = 25.0
"""A cell up to this volume dries within a day [mL]. Common practice, no source."""
DAYS_SMALL, DAYS_LARGE = 2, 4
"""Days a small and a larger cell may go without water [d]. Common practice, no source."""
DRY_SOON = 1
"""Days of room up to which a dry tray is told of; with more every tray would be [d]. Ours."""
LEFT_DAYS = 2
"""Days for which somebody's word that it was wet enough holds [d]. Common practice, no source."""

PATIENCE = {
    Task.OFF_MAT: 0,
    Task.POT_UP: 2,
    Task.HARDEN: 2,
    Task.SET_OUT: 2,
    Task.FIRST_UP: 3,
    Task.THIN: 3,
    Task.LOOK: 3,
    Task.HALF_UP: 4,
    Task.CUT: 4,
}
"""Days of room that are left when a window ends, and stay left after it [d]. Common practice, no source."""
BOUND_SEEN_ROOM, BOUND_BY_AGE_ROOM = -1, 1
"""Room of a tray whose roots were seen circling, and of one whose roots should circle by its age [d]. Ours."""
BOUND_SOON = 14
"""Days ahead up to which the day that roots will circle is told as what presses [d]. Common practice, no source."""
LATE_ROOM, NEVER_ROOM = 2, 2
"""Room of seed that is late up, and of seed that can't come up where it stands [d]. Common practice, no source."""


def call_words(call: Call, today: date) -> str:
    """Who called, and when."""
    return f"{' '.join(call.who.split()[:NAME_WORDS])} called, {ago(call.day, today)}"


def days_unseen(tray: Tray, today: date) -> int:
    """Days since anybody stood at a tray."""
    return (today - (tray.seen.day if tray.seen else tray.made_on)).days


def days_dry(tray: Tray, today: date) -> int:
    """Days since a tray was watered; since it was made, where it never was."""
    return (today - (tray.watered.day if tray.watered else tray.made_on)).days


def room_dry(tray: Tray, container: Container, today: date) -> float:
    """Days until a tray can have dried out, counted from its last water.

    One that still has days is what the day's round is for: it makes no claim of its own. One that was left dry on
    purpose makes none while that word holds.
    """
    days = days_dry(tray, today)
    left = (today - tray.left.day).days if tray.left else days
    room = (DAYS_SMALL if container.volume_ml <= SMALL_CELL_ML else DAYS_LARGE) - days
    return inf if days < 2 or room > DRY_SOON or left < LEFT_DAYS else room


def room_due(due: Due, today: date) -> float:
    """Days until something due does harm; it takes no room before its window opens, nor where that has no end."""
    if not due.open_on(today) or due.window.end is None:
        return inf
    return max(0, (due.window.end - today).days) + PATIENCE[due.task]


def rooms(case: Case, dues: tuple[Due, ...]) -> Iterator[tuple[float, str]]:
    """Every claim on the grower's morning, as days of room and why in at most eight words."""
    if case.tray.calls:
        yield CALLED_ROOM, call_words(case.tray.calls[-1], case.today)
    yield from _roots(case, dues)
    yield from _seed(case)
    for due in dues:
        if due.open_on(case.today) and due.task is not Task.PAST:
            yield room_due(due, case.today), due.why
    dry = room_dry(case.tray, case.container, case.today)
    if dry < inf:
        yield dry, f"no water for {days_dry(case.tray, case.today)} days"
    yield inf, _later(case, dues)


def _roots(case: Case, dues: tuple[Due, ...]) -> Iterator[tuple[float, str]]:
    """Roots that circle, or will."""
    filling, look = case.filling, case.look
    if case.for_cutting:
        return
    if case.circling_since is not None:
        yield BOUND_SEEN_ROOM, f"roots circling, seen {short_day(case.circling_since)}"
    elif filling is not None and filling.bound is not None:
        days = (filling.bound - case.today).days
        how = f", roots {look.score}" if look else ", not looked at"
        when = f"root-bound in {days} d" if days > 0 else "root-bound now"
        yield max(days, BOUND_BY_AGE_ROOM), when + how if days <= BOUND_SOON else _later(case, dues)


def _seed(case: Case) -> Iterator[tuple[float, str]]:
    """Seed that is late, or that can't come up where it stands."""
    up = case.up
    if case.stand.first is not None:
        return
    if up.standing is Standing.NEVER:
        yield NEVER_ROOM, f"never comes up at {show_temperature(up.mean_c, case.scale)}"
    if up.slow_end is not None and case.today > up.slow_end:
        yield LATE_ROOM, f"late up by {(case.today - up.slow_end).days} d; nothing seen"


def _later(case: Case, dues: tuple[Due, ...]) -> str:
    """What a tray without any claim is waiting for."""
    coming = [due.window.start for due in dues if not due.open_on(case.today)]
    return f"nothing due before {short_day(min(coming))}" if coming else "nothing due"
