"""What the forecast says of one sowing, as it is kept and as the rules read it; a look always outranks it."""

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from datetime import date, timedelta
from typing import Any

from model.facts import Look
from model.rules.filling import (
    CIRCLING,
    EDGES,
    FULL,
    HOLDS,
    Filling,
    risk_of,
    seen_since,
)
from model.rules.verdict import Fill, Window
from model.science.root_fill import fill, logit

KEPT_DAYS = 10
"""Days ahead for which fill and chances are kept, so that the next mornings open on them [d]. Ours."""


@dataclass(frozen=True, slots=True)
class Outlook:
    """The forecast of one sowing, reckoned on a day. Days that are never reached within the horizon are None."""

    sowing_id: int
    reckoned_on: date
    fills: tuple[Fill, ...]
    """On the day it was reckoned and the days after it."""
    chances_bound: tuple[float, ...]
    """For each of these days the chance that roots circle within LOOK_AHEAD_DAYS of it [-]."""
    ready: tuple[date | None, date | None, date | None]
    """Days by which the plug holds together with a chance of 10, 50 and 90 %."""
    full: date | None
    bound: date | None
    growth: tuple[float, float]
    """Mean and standard deviation of ln(growth) as a multiple of the crop's own [-]."""
    past: int
    """Earlier trays that taught the crop's growth; 0 where the default holds."""
    looks: int
    """Looks at these plants that taught their own growth."""
    value_of_look: float
    """How much a look today lowers the chance of acting wrongly [-]."""

    def covers(self, day: date) -> bool:
        """Whether it still tells of a day."""
        return 0 <= (day - self.reckoned_on).days < len(self.fills)


ASK_FROM = 3
"""Earlier trays from which the grower is asked whether their own timings shall hold. Common practice, no source."""
UNDER = 1e-9
"""So much below an edge counts as below it [-]. Ours: floats only."""

Outlooks = Mapping[int, Outlook]
"""By sowing."""


def told(outlook: Outlook, looks: tuple[Look, ...], assumed_up: bool, today: date) -> Filling:
    """The outlook as the rules read it on a day.

    What was seen stands: on the day of the last look fill lies in the class that was seen, and what that look
    did not find yet comes after it.
    """
    at = (today - outlook.reckoned_on).days
    look = looks[-1] if looks else None
    ready = outlook.ready[1]
    start = seen_since(looks, HOLDS) or _after(look, HOLDS, ready)
    full = seen_since(looks, FULL) or _after(look, FULL, outlook.full)
    early = seen_since(looks, HOLDS) or _after(look, HOLDS, outlook.ready[0])
    chance = outlook.chances_bound[at]
    return Filling(
        fill=_in_its_class(outlook.fills[at], look, today),
        ready=Window(start, full and max(start, full)) if start else None,
        early=early,
        bound=seen_since(looks, CIRCLING) or _after(look, CIRCLING, outlook.bound),
        chance_bound=chance,
        risk=risk_of(chance, look),
        look=look,
        assumed_up=assumed_up,
        past=outlook.past,
        late=outlook.ready[2] if early == outlook.ready[0] else None,
        taught=outlook.looks,
        value_of_look=outlook.value_of_look,
    )


def _after(look: Look | None, score: int, day: date | None) -> date | None:
    """A day, or the day after the last look where that look didn't find yet what the day is for."""
    if day is None or look is None or look.score >= score:
        return day
    return max(day, look.day + timedelta(days=1))


def _in_its_class(told: Fill, look: Look | None, today: date) -> Fill:
    """Fill moved as a whole, on the logit, into what the last look found; since then it can only have grown."""
    if look is None:
        return told
    now = logit(told.expected)
    shift = max(EDGES[look.score] - now, 0.0)
    if look.day == today:
        shift += min(EDGES[look.score + 1] - UNDER - now, 0.0)
    low, expected, high = sorted(fill(logit(part) + shift) for part in (told.low, told.expected, told.high))
    return Fill(expected, low, high)


def to_text(outlook: Outlook) -> str:
    """The outlook as JSON, always in the same order."""
    return json.dumps(asdict(outlook), default=str, separators=(",", ":"))


def from_text(text: str) -> Outlook:
    """The outlook from `to_text`."""
    raw: dict[str, Any] = json.loads(text)
    raw["reckoned_on"] = date.fromisoformat(raw["reckoned_on"])
    raw["fills"] = tuple(Fill(**fill) for fill in raw["fills"])
    raw["chances_bound"] = tuple(raw["chances_bound"])
    raw["ready"] = tuple(_day(text) for text in raw["ready"])
    raw["growth"] = tuple(raw["growth"])
    raw["full"], raw["bound"] = _day(raw["full"]), _day(raw["bound"])
    return Outlook(**raw)


def _day(text: str | None) -> date | None:
    return date.fromisoformat(text) if text else None
