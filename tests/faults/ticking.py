"""A morning that somebody breaks off: it ticks and ticks and says each entry once it is durable."""

from collections.abc import Callable
from datetime import UTC, datetime, time, timedelta
from pathlib import Path
from random import Random

from model.actions import growth, opening, record, shift, sow, walk
from model.actions.desk import Receipt, Stamp
from model.errors import BadInput, NotEnough, StoreTrouble, UndoRefused
from model.facts import ActKind, LossCause
from model.store import reading
from model.store.database import Store, open_store
from tests.builders import TODAY, day
from tests.store.names import KALE, MAT, SLATS, TOMATO

BUSY = "busy"
"""Said where another writer kept this one waiting too long: refused in words, to be tried once more."""

READY = "ready"
"""Said before the first entry, since starting takes longer than ticking."""


def tick(store: Store, stamp: Stamp, die: Random, containers: dict[str, int]) -> Receipt:
    """One entry of a morning, small or large."""
    kind = die.randrange(8)
    if kind == 0:
        part = sow.SowPart("kale", "Rill", 72, 1, "K2")
        wish = sow.Sow(containers["72-cell tray"], MAT, (part,), TODAY)
        return sow.sow(store, stamp, wish, stack=True)
    if kind == 1:
        return walk.mark_place(store, stamp, ActKind.FED, SLATS)
    if kind == 2:
        return growth.note(store, stamp, KALE, "🌱" * 500)
    if kind == 3:
        return record.undo(store, stamp, "UTC")
    if kind == 4:
        with store.reading() as rows:
            fullest = max(reading.standing_trays(rows), key=lambda tray: tray.have)
        parts = [shift.PotUp(1, containers["9 cm pot"], SLATS)] * 2
        sowing = max(fullest.sowings, key=lambda sowing: sowing.have)
        return shift.pot_up(
            store, stamp, fullest.id, sowing.id, parts, lost=1, cause=LossCause.WEAK, stack=True
        )
    return walk.mark_trays(store, stamp, ActKind.WATERED, [TOMATO, KALE])


def tick_on(path: Path, seed: int, say: Callable[[object], None], back: int = 0) -> None:
    """Tick until somebody ends it; what is for a day so long ago was written on paper, at a time of its own."""
    opening.load_writers()
    die = Random(seed)
    store = open_store(path)
    with store.reading() as rows:
        containers = {container.name: container.id for container in reading.containers(rows)}
    say(READY)
    for number in range(1_000_000):
        at = datetime.combine(TODAY, time(6, 30), UTC) + timedelta(milliseconds=number)
        told = at - timedelta(days=back) if back else None
        stamp = Stamp(f"walker {seed}", at, TODAY, day=day(-back) if back else None, told_at=told)
        try:
            receipt = tick(store, stamp, die, containers)
        except (UndoRefused, BadInput, NotEnough):
            # Another writer may have taken what this one was about to.
            continue
        except StoreTrouble as error:
            if "Another window" not in error.what_happened:
                raise
            say(BUSY)
            continue
        say((receipt.entry_id, receipt.words))
