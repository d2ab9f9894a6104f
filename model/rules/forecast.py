"""The morning's forecast of root fill: what earlier trays, this tray's looks and the days ahead make of it.

Imported when it is needed: numpy takes longer to load than the round to be shown. Everything here is told of
many trays at once; a row is one sowing of one tray.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from functools import cached_property

import numpy as np

from model.facts import Sowing, Tray
from model.rules.coming_up import coming_up, stand_of
from model.rules.due import for_cutting
from model.rules.filling import HIGH_SHARE, LOOK_AHEAD_DAYS, LOW_SHARE, MIDDLE_SHARE, growth_known
from model.rules.grounds import Grounds
from model.rules.growing import Row, as_row, evidence_of, logits_at
from model.rules.learning import Past
from model.rules.outlook import KEPT_DAYS, Outlook
from model.rules.verdict import Fill
from model.rules.warmth_table import FORECAST_DAYS, WarmthTable
from model.science.growth_learning import (
    LOG_GROWTH,
    Numbers,
    growth_moments,
    growth_quantiles,
    tray_growth,
)
from model.science.outlook import (
    chance_by_day,
    day_quantiles,
    passed_given_growth,
    value_of_look,
    warmth_needed,
)
from model.science.root_fill import CUTS, fill

SHARES = (LOW_SHARE, MIDDLE_SHARE, HIGH_SHARE)
"""The 80 % band and its middle [-]."""
TARGETS = CUTS[1:]
"""Logit of fill from which the plug holds, is full, and roots circle [-]."""


def row_of(sowing: Sowing, tray: Tray, ancestors: Sequence[Tray], on: Grounds, today: date) -> Row | None:
    """A sowing as a row; None where it isn't up, fills no cells, or nothing is known of its growth."""
    crop, container = on.crops[sowing.crop], on.containers[tray.container_id]
    if not growth_known(crop) or for_cutting(container, crop):
        return None
    stand = stand_of(sowing, tray, coming_up(sowing, tray, crop, on, today), today)
    if stand.emerged is None or sowing.have == 0:
        return None
    return as_row(sowing, tray, ancestors, on, stand.emerged)


class Forecast:
    """The forecast of some trays on one day. Growth of crops is learned from `past`, where the grower agreed."""

    def __init__(self, rows: Sequence[Row], past: Past, on: Grounds, today: date) -> None:
        self.rows = rows
        self.past = past
        self.on = on
        self.today = today
        first = min((row.emerged for row in rows), default=today)
        self.table = past.table if past.table.first <= first else WarmthTable(on, first, today)

    @cached_property
    def weights(self) -> Numbers:
        """What is known of the growth of each row: weights over ln m."""
        crops = np.array([self.past.weights_of(row.crop.key) for row in self.rows])
        return tray_growth(crops, evidence_of(self.rows, self.table))

    @cached_property
    def logits(self) -> Numbers:
        """Logit of fill this morning, at every growth."""
        return logits_at([row.this_morning(self.today) for row in self.rows], self.table)

    def outlooks(self) -> dict[int, Outlook]:
        """The outlook of every row, by sowing."""
        if not self.rows:
            return {}
        groups: dict[tuple[int, float, float], list[int]] = {}
        for index, row in enumerate(self.rows):
            groups.setdefault((row.tray.place_id, row.crop.base_c, row.crop.cap_c), []).append(index)
        found: dict[int, Outlook] = {}
        for members in groups.values():
            found |= self._of_group(np.array(members))
        return found

    def _of_group(self, members: Numbers) -> dict[int, Outlook]:
        """Rows that share place and crop, and with them the warmth ahead."""
        rows = [self.rows[index] for index in members]
        weights, logits = self.weights[members], self.logits[members]
        rate = np.array([row.crop.growth_rate for row in rows])
        ahead = self.table.ahead(rows[0].tray.place_id, rows[0].crop)
        needs = [warmth_needed(cut, logits, rate) for cut in TARGETS]
        chances = np.split(
            chance_by_day(np.concatenate(needs), np.tile(weights, (len(needs), 1)), ahead), len(needs)
        )
        days = [self._days(rows, weights, need, chance) for need, chance in zip(needs, chances, strict=True)]
        fills = self._fills(weights, logits, rate, ahead.mean(axis=0)[: KEPT_DAYS + 1])
        bound = chances[2][:, LOOK_AHEAD_DAYS : LOOK_AHEAD_DAYS + KEPT_DAYS + 1]
        value = value_of_look(weights, logits, passed_given_growth(needs[2], ahead[:, LOOK_AHEAD_DAYS]))
        mean, spread = growth_moments(weights)
        return {
            row.sowing.id: Outlook(
                sowing_id=row.sowing.id,
                reckoned_on=self.today,
                fills=fills[i],
                chances_bound=tuple(float(chance) for chance in bound[i]),
                ready=days[0][i],
                full=days[1][i][1],
                bound=days[2][i][1],
                growth=(float(mean[i]), float(spread[i])),
                past=self.past.used(row.crop.key),
                looks=len(row.looks),
                value_of_look=float(value[i]),
            )
            for i, row in enumerate(rows)
        }

    def _days(
        self, rows: Sequence[Row], weights: Numbers, needed: Numbers, chances: Numbers
    ) -> list[tuple[date | None, date | None, date | None]]:
        """Days by which a fill is passed with each chance; those that are gone by are looked up in the record."""
        ahead = day_quantiles(chances, SHARES)
        # Less warmth is needed the more a tray grows, so the shares turn round.
        behind = growth_quantiles(weights, -needed, [1.0 - share for share in SHARES])
        found = []
        for i, row in enumerate(rows):
            days = [
                self._day(row, float(ahead[i, k]), float(behind[i, k]), bool(chances[i, 0] >= share))
                for k, share in enumerate(SHARES)
            ]
            found.append((days[0], days[1], days[2]))
        return found

    def _day(self, row: Row, days_ahead: float, warmth_behind: float, passed: bool) -> date | None:
        if passed:
            return self.table.day_behind(row.tray.stays, row.crop, row.moved[-1], max(warmth_behind, 0.0))
        return self.today + timedelta(days=round(days_ahead)) if days_ahead < FORECAST_DAYS else None

    def _fills(
        self, weights: Numbers, logits: Numbers, rate: Numbers, warmth: Numbers
    ) -> list[tuple[Fill, ...]]:
        """Fill with its band on today and the days after it, if they are as warm as usual."""
        climb = np.exp(LOG_GROWTH)[None, :] * rate[:, None]
        by_day = logits[:, None, :] + climb[:, None, :] * warmth[None, :, None]
        grid = LOG_GROWTH.size
        found = growth_quantiles(np.repeat(weights, warmth.size, axis=0), by_day.reshape(-1, grid), SHARES)
        return [tuple(map(_fill, days)) for days in found.reshape(len(logits), warmth.size, len(SHARES))]


def _fill(logits: Numbers) -> Fill:
    # Sorted, since equal shares may differ in the last digit.
    low, expected, high = sorted(fill(float(logit)) for logit in logits)
    return Fill(expected, low, high)


def outlooks(
    trays: Iterable[Tray], ancestors: Mapping[int, Tray], past: Past, on: Grounds, today: date
) -> dict[int, Outlook]:
    """The outlook of every sowing of some trays, by sowing; `ancestors` hold the trays they were potted up from."""
    rows = [
        row
        for tray in trays
        for sowing in tray.sowings
        if (row := row_of(sowing, tray, family(tray, ancestors), on, today)) is not None
    ]
    return Forecast(rows, past, on, today).outlooks()


def family(tray: Tray, ancestors: Mapping[int, Tray]) -> list[Tray]:
    """The trays that a tray's plants came through, the nearest first."""
    line = []
    while tray.parent_id is not None and tray.parent_id in ancestors:
        tray = ancestors[tray.parent_id]
        line.append(tray)
    return line
