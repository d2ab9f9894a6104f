"""Big invented farms for the benchmarks: standing trays and five seasons of trays that came and went."""

import random
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from model.actions.desk import reckon
from model.actions.farm import found_farm, keep_place
from model.facts import ActKind, Place, PlaceKind
from model.store import births, reading, tables
from model.store.database import open_store, rows_of

MORNING = date(2026, 4, 14)
SEASONS = 5
STAY = 40
"""Days a tray of a past season stayed [d]."""
CROPS = ("tomato", "pepper", "broccoli", "lettuce", "kale", "onion", "cucumber", "basil")
KINDS = (
    PlaceKind.HEAT_MAT,
    PlaceKind.LIT_SHELF,
    PlaceKind.SLATTED_BENCH,
    PlaceKind.COLD_FRAME,
    PlaceKind.HARDENING,
)


def big_farm(path: Path, standing: int, gone_a_season: int) -> None:
    """A farm with so many standing trays, each with its weeks of acts, and five seasons behind it."""
    chance = random.Random(standing)
    store = open_store(path, make=True)
    found_farm(store, "UTC")
    for stop in range(10):
        kind = KINDS[stop % len(KINDS)]
        keep_place(store, Place(0, f"place {stop + 1}", kind, stop + 1, standing, 14.0, 20.0))
    with store.transaction() as session:
        rows = rows_of(session)
        session.add(
            tables.Entry(uid="bench", person_id=1, entered_at=datetime(2020, 1, 1, tzinfo=UTC), words="bench")
        )
        for crop in CROPS:
            session.add(tables.Variety(crop=crop, name=f"{crop.title()} One"))
        session.flush()
        cells = {c.name: c for c in reading.containers(rows)}["72-cell tray"]
        number = 0
        for season in range(SEASONS):
            for _ in range(gone_a_season):
                number = number % 9999 + 1
                start = date(2021 + season, 3, 1) + timedelta(days=chance.randrange(60))
                grow(session, number, start, cells.id, chance, ends=True)
        for _ in range(standing):
            number = number % 9999 + 1
            grow(
                session,
                number,
                MORNING - timedelta(days=chance.randrange(1, 40)),
                cells.id,
                chance,
                ends=False,
            )
        session.flush()
        reckon(rows, births.all_tray_ids(rows))
    store.close()


def grow(
    session: object, number: int, start: date, container: int, chance: random.Random, *, ends: bool
) -> None:
    """One tray's life, as rows."""
    add = session.add  # type: ignore[attr-defined]
    tray = tables.Tray(entry_id=1, number=number, made_on=start, container_id=container, place_id=1)
    add(tray)
    session.flush()  # type: ignore[attr-defined]
    variety = chance.randrange(len(CROPS)) + 1
    sowing = tables.Sowing(
        entry_id=1, tray_id=tray.id, part=1, variety_id=variety, cells=72, seeds_per_cell=1, sown_on=start
    )
    add(sowing)
    session.flush()  # type: ignore[attr-defined]
    days = STAY if ends else (MORNING - start).days - 1

    def act(kind: ActKind, after: int, **values: object) -> None:
        add(tables.Act(entry_id=1, kind=kind, day=start + timedelta(days=after), tray_id=tray.id, **values))

    act(ActKind.SOWN, 0, sowing_id=sowing.id, count=72)
    for day in range(1, days + 1):
        act(ActKind.WATERED, day)
        if day == 7:
            act(ActKind.FIRST_UP, day, sowing_id=sowing.id)
        if day == 9:
            act(ActKind.HALF_UP, day, sowing_id=sowing.id, count=40)
            act(ActKind.MOVED, day, place_id=chance.randrange(2, 11))
        if day in {24, 30}:
            act(ActKind.ROOT_LOOK, day, score=1 if day == 24 else 2)
    if ends:
        act(ActKind.SET_OUT, STAY, sowing_id=sowing.id, count=72)
