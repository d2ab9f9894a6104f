"""Seed lots: the packet, its year, its germination test, and whether the seed is treated."""

from dataclasses import dataclass
from datetime import date

from model.actions.desk import reckon
from model.actions.sow import variety_of
from model.errors import BadInput
from model.facts import Treated
from model.rules.seeding import spread_words
from model.science.quantities import SeedTest
from model.store.database import Store, rows_of
from model.store.reading import rows_in
from model.text import clean

OLDEST_YEAR = 1950
"""A packet isn't older than this; an earlier year is a slip of the finger. Ours."""


@dataclass(frozen=True, slots=True)
class SeedLot:
    """A lot as the grower knows it; a test that nobody made is None."""

    crop: str
    variety: str
    name: str
    packed_year: int | None = None
    tested_seeds: int | None = None
    tested_up: int | None = None
    tested_on: date | None = None
    treated: Treated = Treated.UNKNOWN
    tested_c: float | None = None
    """Warmth of the test [°C]."""
    source: str = ""


def keep_lot(store: Store, lot: SeedLot, today: date) -> str:
    """Put a seed lot on record, or put right what is on record of it; what was kept, in words.

    Raises BadInput where a year or a test can't be.
    """
    from model.store import tables

    if lot.packed_year is not None:
        packed_year(lot.packed_year, today)
    _possible(lot)
    name = clean(lot.name).strip()
    if not name:
        raise BadInput("The lot isn't complete.", "Give its crop, its variety and the name on the packet.")
    with store.transaction() as session:
        rows = rows_of(session)
        variety_id = variety_of(session, lot.crop, lot.variety)
        found = rows("SELECT id, tested_on FROM lot WHERE variety_id = ? AND name = ?", variety_id, name)
        # On an earlier day's screen a test of a later day is on record already.
        if lot.tested_on is not None and (not found or found[0][1] != lot.tested_on.isoformat()):
            day_of_test(lot.tested_on, today)
        session.merge(
            tables.Lot(
                id=found[0][0] if found else None,
                variety_id=variety_id,
                name=name,
                packed_year=lot.packed_year,
                tested_seeds=lot.tested_seeds,
                tested_up=lot.tested_up,
                tested_on=lot.tested_on,
                treated=lot.treated,
                tested_c=lot.tested_c,
                source=clean(lot.source).strip(),
            )
        )
        session.flush()
        # Trays carry whether their seed is treated: it decides whether they may be cut to be eaten.
        reckon(rows, {i for (i,) in rows_in(rows, _SOWN_FROM, [found[0][0]])} if found else set())
    test = SeedTest(lot.tested_up or 0, lot.tested_seeds) if lot.tested_seeds else None
    return f"{name}, {spread_words(test)}" if test else f"{name}, not tested"


_SOWN_FROM = "SELECT DISTINCT tray_id FROM sowing WHERE lot_id IN ({})"


def packed_year(year: int, today: date) -> int:
    """The year, if a packet can be of it."""
    if not OLDEST_YEAR <= year <= today.year + 1:
        raise BadInput(
            f"{year} is no year of a packet.", f"Give a year from {OLDEST_YEAR} to {today.year + 1}."
        )
    return year


def day_of_test(day: date, today: date) -> date:
    """The day, if a test can have been counted on it."""
    if day > today:
        raise BadInput("That test is still to come.", "Give the day on which it was counted.")
    return day


def _possible(lot: SeedLot) -> None:
    seeds, up = lot.tested_seeds, lot.tested_up
    if (seeds is None) != (up is None):
        raise BadInput(
            "Half of the test is missing.", "Give how many seeds were laid out, and how many came up."
        )
    if seeds is not None and up is not None and not 0 <= up <= seeds:
        raise BadInput(f"{up} of {seeds} can't have come up.", "Give how many came up of how many seeds.")
