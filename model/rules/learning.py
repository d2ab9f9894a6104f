"""What the farm's earlier trays teach of its crops, which of them are left out, and why.

The day of setting out is never taught as the day of being ready: weather and hands decide it. Only looks at
roots teach, each with the warmth that its tray had by then.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from statistics import median

import numpy as np

from model.facts import Sowing, Tray
from model.rules.due import for_cutting
from model.rules.filling import HOLDS, growth_known
from model.rules.grounds import Grounds
from model.rules.growing import as_row, evidence_of
from model.rules.outlook import ASK_FROM
from model.rules.season import FAILED_SHARE
from model.rules.warmth_table import WarmthTable
from model.science.growth_learning import (
    LOG_GROWTH,
    Numbers,
    crop_growth,
    growth_moments,
)

HELD_DAYS = 14
"""A tray that stayed so long after its plug held was held back: it tells of waiting, not of growing [d]. Ours."""


@dataclass(frozen=True, slots=True)
class Lesson:
    """One sowing of an earlier tray, and why it teaches nothing; "" where it does."""

    tray: Tray
    sowing: Sowing
    left_out: str

    @property
    def days_to_hold(self) -> int | None:
        """Days from half up to the first look that found the plug to hold together."""
        half = self.sowing.half_up
        held = [look.day for look in self.tray.looks if look.score >= HOLDS]
        return (held[0] - half).days if held and half else None


def lesson_of(sowing: Sowing, tray: Tray, by_id: Mapping[int, Tray]) -> Lesson:
    """What an earlier sowing can teach."""
    held = [look.day for look in tray.looks if look.score >= HOLDS]
    ended = tray.ended_on or tray.made_on
    why = ""
    if not tray.looks:
        why = "nobody looked at its roots"
    elif sowing.half_up is None:
        why = "half up wasn't ticked"
    elif tray.corrected:
        why = "its days were corrected"
    elif sowing.lost + sowing.empty > FAILED_SHARE * sowing.cells:
        why = "it failed"
    elif held and (ended - held[0]).days > HELD_DAYS:
        why = "it was held back"
    elif _still_stands(tray, by_id):
        why = "its pots still stand"
    return Lesson(tray, sowing, why)


def _still_stands(tray: Tray, by_id: Mapping[int, Tray]) -> bool:
    children = [by_id[child] for child in tray.children if child in by_id]
    return any(child.standing or _still_stands(child, by_id) for child in children)


class Past:
    """What is known of each crop's growth at this farm. Its own growth holds only where the grower agreed."""

    def __init__(
        self,
        gone: Iterable[Tray],
        by_id: Mapping[int, Tray],
        agreed: Mapping[str, bool],
        on: Grounds,
        today: date,
    ) -> None:
        self.agreed = agreed
        self.lessons = tuple(lesson_of(sowing, tray, by_id) for tray in gone for sowing in tray.sowings)
        teaching = [lesson for lesson in self.lessons if not lesson.left_out and _known(lesson, on)]
        first = min((lesson.sowing.half_up or today for lesson in teaching), default=today)
        self.table = WarmthTable(on, first, today)
        self.crops = sorted({lesson.sowing.crop for lesson in teaching})
        self._learned = self._learn(teaching, on)
        self._default = crop_growth(np.zeros((0, LOG_GROWTH.size)), [], 1)[0]
        self._counts = {key: sum(lesson.sowing.crop == key for lesson in teaching) for key in self.crops}

    def _learn(self, teaching: list[Lesson], on: Grounds) -> Numbers:
        rows = [as_row(x.sowing, x.tray, (), on, x.sowing.half_up or x.tray.made_on) for x in teaching]
        crops = [self.crops.index(lesson.sowing.crop) for lesson in teaching]
        return crop_growth(evidence_of(rows, self.table), crops, len(self.crops))

    def count(self, crop: str) -> int:
        """Earlier trays that teach a crop's growth, whether or not it is used."""
        return self._counts.get(crop, 0)

    def used(self, crop: str) -> int:
        """Earlier trays behind the growth that holds; 0 where it is the default."""
        return self.count(crop) if self.agreed.get(crop) else 0

    def weights_of(self, crop: str) -> Numbers:
        """What holds for a crop: its own growth where the grower agreed, else the default."""
        return self.learned(crop) if self.used(crop) else self._default

    def learned(self, crop: str) -> Numbers:
        """What its earlier trays teach, used or not."""
        return np.asarray(self._learned[self.crops.index(crop)]) if crop in self.crops else self._default

    def growth(self, crop: str) -> tuple[float, float]:
        """Mean and standard deviation of ln(growth) as learned [-]."""
        mean, spread = growth_moments(self.learned(crop))
        return float(mean), float(spread)

    def to_ask(self) -> tuple[str, ...]:
        """Crops with enough earlier trays about which nobody was asked yet."""
        return tuple(key for key in self.crops if self.count(key) >= ASK_FROM and key not in self.agreed)

    def days_to_hold(self, crop: str) -> tuple[float, int, int, int] | None:
        """Median, least and most days, and of how many, from half up to a plug that held, of trays that teach; None without any."""
        days = [
            found
            for lesson in self.lessons
            if lesson.sowing.crop == crop
            and not lesson.left_out
            and (found := lesson.days_to_hold) is not None
        ]
        return (median(days), min(days), max(days), len(days)) if days else None


def _known(lesson: Lesson, on: Grounds) -> bool:
    """Whether the crop file has figures of growth, and the sowing filled cells."""
    crop = on.crops[lesson.sowing.crop]
    return growth_known(crop) and not for_cutting(on.containers[lesson.tray.container_id], crop)
