"""Setting out as the gate lets it, wherever days to come are told: no page names a day before the gate's own."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date, datetime

from model.asof import trays_on
from model.days import short_day
from model.facts import Tray
from model.rules.gate import Gate, GateWord, Outdoors
from model.rules.grounds import Grounds
from model.rules.outlook import Outlooks
from model.rules.readiness import case, in_order
from model.rules.verdict import Due, Task, Window
from model.store.database import Store
from model.views.gate import gate_of
from model.views.grounds import grounds
from model.views.lines import RoundView, TrayLine
from model.views.outdoors import outdoors
from model.views.outlook import kept_outlooks
from model.views.round import due_of

Gates = Mapping[int, Gate]
"""What the gate says, by sowing."""


def at_gate(due: Due, found: Gate) -> Due:
    """Setting out no sooner than the gate tells; its day is a provisional one while something isn't known.

    Where the gate can tell no day, as with cold soil that doesn't warm, what it waits for is said.
    """
    window, why, soonest = due.window, due.why, found.soonest
    shut = found.word is GateWord.WAIT and soonest is None
    if shut:
        why += f"; gate: no day known yet, {'; '.join(found.failing)}"
    elif soonest is not None and soonest > window.start:
        window = Window(soonest, window.end and max(window.end, soonest))
        why += f"; gate: soonest {short_day(soonest)}"
    if found.unknown:
        why += f"; provisional: {', '.join(found.unknown)} not known"
    return replace(due, window=window, why=why, shut=shut)


def gates_of(trays: Iterable[Tray], on: Grounds, out: Outdoors, today: date) -> Gates:
    """What the gate says today of everything that stands in some trays."""
    return {
        sowing.id: gate_of(case(sowing, tray, on, today), out, today)
        for tray in trays
        for sowing in tray.sowings
        if sowing.have
    }


def as_let(dues: Iterable[Due], gates: Gates) -> list[Due]:
    """What is due, setting out by the gate."""
    return [
        at_gate(due, gates[due.sowing_id or 0])
        if due.task is Task.SET_OUT and due.sowing_id in gates
        else due
        for due in dues
    ]


def let_by_gate(store: Store, view: RoundView, now: datetime, outlooks: Outlooks | None = None) -> RoundView:
    """The round, what it says of setting out told by the gate."""
    ids = [line.tray_id for line in view.lines if any(due.task is Task.SET_OUT for due in line.due)]
    with store.reading() as rows:
        trays = list(trays_on(rows, ids, view.on).values())
        on = grounds(rows, trays, kept_outlooks(rows) if outlooks is None else outlooks)
        gates = gates_of(trays, on, outdoors(rows, view.on, now), view.on)
    return replace(view, lines=tuple(_let(line, gates, view.on) for line in view.lines))


def _let(line: TrayLine, gates: Gates, today: date) -> TrayLine:
    dues = in_order(as_let(line.due, gates), today)
    return line if dues == line.due else replace(line, due=dues, **due_of(dues, today))
