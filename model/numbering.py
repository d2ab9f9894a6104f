"""Numbers for new trays: what is free, and which numbers stand on labels that may still be about."""

from collections.abc import Collection, Iterable
from datetime import date, timedelta
from itertools import islice

from model.facts import Tray
from model.rules.numbers import ABOUT_DAYS, labels_about
from model.store import reading
from model.store.database import Rows


def about(rows: Rows, today: date, standing: Iterable[Tray] | None = None) -> dict[int, tuple[Tray, date]]:
    """Numbers whose labels may still be about though no tray carries them: who had each last, and until when."""
    gone = reading.gone_since(rows, today - timedelta(days=ABOUT_DAYS))
    return labels_about([*(reading.standing_trays(rows) if standing is None else standing), *gone], today)


def next_numbers(
    rows: Rows, labels: Collection[int], count: int, start: int | None = None
) -> tuple[int, ...]:
    """The next numbers, after one or the newest tray's, that no living tray carries, and that are on no label about.

    Only where there are too few of those, numbers whose labels may be about; fewer where every number is in use.
    """
    found = tuple(islice(reading.free_numbers(rows, labels, start), count))
    if len(found) == count:
        return found
    rest = (number for number in reading.free_numbers(rows, start=start) if number in labels)
    return (*found, *islice(rest, count - len(found)))


def next_number(rows: Rows, labels: Collection[int], start: int | None = None) -> int:
    """The next of those; 0 where every number is in use."""
    return next(iter(next_numbers(rows, labels, 1, start)), 0)
