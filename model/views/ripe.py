"""Sowings that are ready, or nearly, to leave for the ground, with all that the rules make of them."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from model.asof import standing_on
from model.days import say_day
from model.facts import PlaceKind, Sowing, Tray
from model.rules.due import Case
from model.rules.filling import HOLDS
from model.rules.gate import Ripe
from model.rules.grounds import Grounds
from model.rules.outlook import Outlooks
from model.rules.readiness import case, judge
from model.rules.verdict import SowingVerdict, Stage, Task
from model.science.root_fill import HOLDS_FILL
from model.store.database import Rows
from model.views.grounds import grounds

LEAVING = frozenset({Stage.READY, Stage.HARDENING, Stage.PAST})
"""Stages from which plants leave."""


@dataclass(frozen=True, slots=True)
class Leaving:
    """One sowing that may go out."""

    tray: Tray
    sowing: Sowing
    case: Case
    verdict: SowingVerdict

    @property
    def name(self) -> str:
        """Crop and variety."""
        return f"{self.case.crop.name} {self.sowing.variety}"


def ripe_of(at: Case) -> Ripe:
    """What the gate asks of plants themselves. Where a look found that the plug didn't hold, only another look tells
    that it does: what was reckoned since overrules nobody."""
    fill, look = at.filling.fill.expected if at.filling else None, at.look
    holds: bool | None = fill is not None and fill >= HOLDS_FILL.value
    if look is not None:
        roots = f"roots {look.score} seen {say_day(look.day)}"
        if holds and look.score < HOLDS:
            holds, roots = None, f"{roots}, by now about {100 * (fill or 0.0):.0f} % full"
    else:
        roots = f"root fill about {fill:.0%}, not looked at" if fill is not None else "never looked at"
    held = at.held_since is not None or at.circling_since is not None
    return Ripe(
        holds=held or holds,
        roots=roots,
        ready_on=max(at.filling.ready.start, at.today) if at.filling and at.filling.ready else None,
        hardened=at.hardened.days if at.hardened else 0,
        harden_days=at.crop.harden_days,
        outside=at.hardened is not None,
        unmarked=at.hardened.unmarked if at.hardened else 0,
        apart=at.place.name if at.place.kind is PlaceKind.QUARANTINE else "",
        touch_from=max(
            (spell.touch_from for spell in at.tray.withheld if spell.touch_from and spell.day <= at.today),
            default=None,
        ),
    )


def leaving(rows: Rows, today: date, outlooks: Outlooks) -> tuple[list[Leaving], Grounds]:
    """Every sowing that is ready or hardens, and isn't first to be potted up; with the grounds they stand on."""
    trays = standing_on(rows, today)
    on = grounds(rows, trays, outlooks)
    return [found for tray in trays for found in _of_tray(tray, on, today)], on


def _of_tray(tray: Tray, on: Grounds, today: date) -> Iterator[Leaving]:
    for verdict in judge(tray, on, today).sowings:
        sowing = next(sowing for sowing in tray.sowings if sowing.id == verdict.sowing_id)
        at = case(sowing, tray, on, today)
        potted_first = any(due.task is Task.POT_UP for due in verdict.due)
        if verdict.stage in LEAVING and not at.for_cutting and not potted_first and sowing.have:
            yield Leaving(tray, sowing, at, verdict)
