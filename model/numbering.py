"""Numbers for new trays: what is free, and which numbers stand on labels that may still be about."""

from datetime import date, timedelta
from itertools import islice

from model.facts import Tray
from model.rules.numbers import ABOUT_DAYS, labels_about
from model.store import reading
from model.store.database import Rows


def about(rows: Rows, today: date) -> dict[int, tuple[Tray, date]]:
    """Numbers whose labels may still be about though no tray carries them: who had each last, and until when."""
    gone = reading.gone_since(rows, today - timedelta(days=ABOUT_DAYS))
    return labels_about([*reading.standing_trays(rows), *gone], today)


def next_numbers(rows: Rows, today: date, count: int) -> tuple[int, ...]:
    """The next numbers that stand on no label: none of a living tray, and none that may be about.

    Only where there are too few of those, numbers whose labels may be about; fewer where every number is in use.
    """
    labels = about(rows, today)
    found = tuple(islice(reading.free_numbers(rows, labels), count))
    if len(found) == count:
        return found
    rest = (number for number in reading.free_numbers(rows) if number in labels)
    return (*found, *islice(rest, count - len(found)))


def next_number(rows: Rows, today: date) -> int:
    """The next of those; 0 where every number is in use."""
    return next(iter(next_numbers(rows, today, 1)), 0)
