"""Sowings that fill cells, as rows: their containers since they were up, the looks at them, their logits of fill."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from model.facts import Crop, Sowing, Tray
from model.rules.filling import plants_each, volume_each
from model.rules.grounds import Grounds
from model.rules.warmth_table import WarmthTable
from model.science.growth_learning import LOG_GROWTH, Numbers, fill_logits, gather, look_evidence


@dataclass(frozen=True, slots=True)
class Row:
    """One sowing that fills cells: its containers since it was up, and the looks at its plants."""

    tray: Tray
    sowing: Sowing
    crop: Crop
    emerged: date
    moved: tuple[date, ...]
    """Since when it stood in each container; the first is the day it was up."""
    room_ml: tuple[float, ...]
    """Mix that each plant has in each container [mL]."""
    looks: tuple[tuple[date, int, int], ...]
    """Day, score, and in which of the containers, those at the tray it was potted up from too."""

    def this_morning(self, today: date) -> "Moment":
        """The row this morning, in its last container."""
        return self, today, len(self.moved) - 1

    def legs(self, table: WarmthTable, day: date, home: int) -> list[float]:
        """Degree-days in each container up to a day in one of them [°C d]."""
        starts, ends = self.moved[: home + 1], [*self.moved[1 : home + 1], day]
        return [
            table.between(self.tray.stays, self.crop, start, min(end, day)) if start < day else 0.0
            for start, end in zip(starts, ends, strict=True)
        ]


Moment = tuple[Row, date, int]
"""A row on a day, in one of its containers."""


def as_row(sowing: Sowing, tray: Tray, ancestors: Sequence[Tray], on: Grounds, emerged: date) -> Row:
    """A sowing as a row, its growth counted from a day; `ancestors` are the trays it was potted up from."""
    crop = on.crops[sowing.crop]
    homes = [(vessel.since, on.containers[vessel.container_id]) for vessel in tray.vessels]
    plants = plants_each(sowing, tray, crop, [home for _, home in homes])
    # What stood in a container before it was up, filled none of it.
    since = [max(emerged, day) for day, _ in homes]
    since[0] = emerged
    looks = [(x.day, x.score, _home(since, x.day)) for x in tray.looks if x.day >= emerged]
    for parent in ancestors:
        # On the day of the move roots are looked at before it.
        before = since[: len(parent.vessels)]
        looks += [
            (x.day, x.score, _home(before, x.day)) for x in parent.looks if emerged <= x.day <= tray.made_on
        ]
    return Row(
        tray=tray,
        sowing=sowing,
        crop=crop,
        emerged=emerged,
        moved=tuple(since),
        room_ml=tuple(volume_each(home, tray) / plants for _, home in homes),
        looks=tuple(sorted(looks)),
    )


def _home(since: Sequence[date], day: date) -> int:
    """Which container plants were in on a day."""
    return max((index for index, start in enumerate(since) if start <= day), default=0)


def logits_at(moments: Sequence[Moment], table: WarmthTable) -> Numbers:
    """Logit of fill of some rows, each on a day of its own, at every growth."""
    widest = max(len(row.room_ml) for row, _, _ in moments)
    warmth = np.zeros((len(moments), widest))
    room = np.empty((len(moments), widest))
    for index, (row, day, home) in enumerate(moments):
        legs = row.legs(table, day, home)
        warmth[index, : len(legs)] = legs
        room[index, : len(legs)] = row.room_ml[: len(legs)]
        room[index, len(legs) :] = row.room_ml[len(legs) - 1]
    mass = np.array([row.crop.start_mass_mg for row, _, _ in moments])
    rate = np.array([row.crop.growth_rate for row, _, _ in moments])
    return fill_logits(warmth, room, mass, rate)


def evidence_of(rows: Sequence[Row], table: WarmthTable) -> Numbers:
    """Log-likelihood of growth by the looks at each row; 0 throughout where nobody looked."""
    moments = [(row, day, home) for row in rows for day, _, home in row.looks]
    if not moments:
        return np.zeros((len(rows), LOG_GROWTH.size))
    scores = [score for row in rows for _, score, _ in row.looks]
    owners = [index for index, row in enumerate(rows) for _ in row.looks]
    return gather(look_evidence(scores, logits_at(moments, table)), owners, len(rows))
