"""How many trays places hold, week by week."""

from dataclasses import dataclass
from datetime import date, timedelta

from model.rules.planning import WEEK


@dataclass(frozen=True, slots=True)
class Standing:
    """Trays that stand at a place from a day until another, that day not counted."""

    place_id: int
    since: date
    until: date
    trays: int


def weekly_load(standing: list[Standing], place_id: int, monday: date, weeks: int) -> tuple[int, ...]:
    """Most trays at a place on any day of each week, from a Monday on [trays]."""
    here = [stand for stand in standing if stand.place_id == place_id]
    return tuple(
        max(
            sum(
                stand.trays
                for stand in here
                if stand.since <= monday + timedelta(days=week * WEEK + weekday) < stand.until
            )
            for weekday in range(WEEK)
        )
        for week in range(weeks)
    )
