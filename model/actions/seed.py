"""Seed lots: the packet, its year, its germination test, and whether the seed is treated."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from model.actions.desk import Receipt, Stamp, entry
from model.actions.sow import lot_of, variety_of
from model.crops import variety_name
from model.errors import BadInput
from model.facts import Treated
from model.rules.seeding import words_of_test
from model.science.quantities import SeedTest
from model.store import reading
from model.store.database import Store
from model.store.reading import LotRow
from model.store.reading_packets import trays_sown_from
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


def keep_lot(store: Store, stamp: Stamp, lot: SeedLot) -> Receipt:
    """Put a seed lot on record, or what is new about one that is; the lot in words.

    Raises BadInput where a year or a test can't be, and where nothing is new.
    """
    from model.store import tables

    today, name = stamp.today, clean(lot.name).strip()
    if lot.packed_year is not None:
        packed_year(lot.packed_year, today)
    test = _test(lot)
    if not name:
        raise BadInput("The lot isn't complete.", "Give its crop, its variety and the name on the packet.")
    with entry(store, stamp) as pen:
        variety_id = variety_of(pen.session, lot.crop, lot.variety)
        before = next(
            (row for row in reading.lots(pen.rows) if (row.variety_id, row.name) == (variety_id, name)), None
        )
        # On an earlier day's screen a test of a later day is on record already.
        if lot.tested_on is not None and (before is None or before.tested_on != lot.tested_on):
            day_of_test(lot.tested_on, today)
        told = _news(lot, before)
        if before is not None and not told:
            raise BadInput(f"{name} is on record like that.", "Nothing needs to be done.")
        pen.add(tables.Packet(entry_id=pen.entry_id, lot_id=lot_of(pen, variety_id, name), **told))
        # Trays carry whether their seed is treated: it decides whether they may be cut to be eaten.
        pen.touched |= trays_sown_from(pen.rows, pen.entry_id)
        pen.say(f"seed lot {name} of {variety_name(lot.crop, lot.variety)}: {told_words(told, test)}")
    return pen.done()


def _news(lot: SeedLot, before: LotRow | None) -> dict[str, Any]:
    """What is told of a lot that isn't on record: 0 for a year that nobody knows, and for a test that wasn't made."""
    told: dict[str, Any] = {}
    if lot.packed_year != (before.packed_year if before else None):
        told["packed_year"] = lot.packed_year or 0
    test = (lot.tested_seeds, lot.tested_up, lot.tested_on, lot.tested_c)
    if test != (
        (before.tested_seeds, before.tested_up, before.tested_on, before.tested_c) if before else (None,) * 4
    ):
        told |= {"tested_seeds": lot.tested_seeds or 0, "tested_up": lot.tested_up or 0}
        told |= {"tested_on": lot.tested_on, "tested_c": lot.tested_c}
    if lot.treated is not (before.treated if before else Treated.UNKNOWN):
        told["treated"] = lot.treated
    return told


def told_words(told: Mapping[str, Any], test: SeedTest | None) -> str:
    """What was told of a lot; a test stands there whole."""
    parts = [f"packed {told['packed_year'] or 'nobody knows when'}"] if "packed_year" in told else []
    if "tested_seeds" in told:
        parts.append(words_of_test(test) if test else "not tested")
    if "treated" in told:
        parts.append(_TREATED[told["treated"]])
    return ", ".join(parts) or "nothing known yet"


_TREATED = {
    Treated.YES: "treated",
    Treated.NO: "not treated",
    Treated.UNKNOWN: "nobody knows whether treated",
}


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


def _test(lot: SeedLot) -> SeedTest | None:
    """The germination test, where there was one; counts that can't be are refused."""
    seeds, up = lot.tested_seeds, lot.tested_up
    if (seeds is None) != (up is None):
        raise BadInput(
            "Half of the test is missing.", "Give how many seeds were laid out, and how many came up."
        )
    return SeedTest(up, seeds) if seeds is not None and up is not None else None
