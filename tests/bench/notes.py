"""How long a word takes to be found in five seasons of acts and notes.

python -m tests.bench.notes [runs]      prints milliseconds and how much was searched; it asserts nothing.
"""

import random
import sys
import tempfile
import time
from datetime import timedelta
from pathlib import Path
from statistics import median

from model.facts import ActKind
from model.store import tables
from model.store.database import Store, open_store
from model.views.notes import read_notes
from tests.bench.farms import MORNING, big_farm

WORDS = (
    "pale",
    "blätter",
    "aphids",
    "soft stems",
    "slug",
    "late",
    "crowded",
    "north bed",
    "plot 4",
    "100% up",
)
WORDS_A_NOTE, NOTES_A_TRAY = 6, 3
ASKED = ("aphids", "blatter pale", "100%", "nowhere at all", "e")


def write_notes(store: Store) -> int:
    """Three notes on every tray there ever was; how many."""
    chance = random.Random(5)
    with store.reading() as rows:
        trays = rows("SELECT tray_id FROM tray_now")
    with store.transaction() as session:
        for (tray,) in trays:
            for _ in range(NOTES_A_TRAY):
                text = f"{' '.join(chance.choices(WORDS, k=WORDS_A_NOTE))} {chance.randrange(9999)}"
                day = MORNING - timedelta(days=chance.randrange(5 * 365))
                session.add(tables.Act(entry_id=1, kind=ActKind.NOTE, day=day, tray_id=tray, text=text))
    return len(trays) * NOTES_A_TRAY


def main(runs: int) -> None:
    for standing in (400,):
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "farm.db"
            big_farm(path, standing, standing)
            store = open_store(path)
            notes = write_notes(store)
            with store.reading() as rows:
                ((acts,),) = rows("SELECT count(*) FROM act")
            print(f"{standing} trays a season, five seasons behind them: {acts} acts, {notes} of them notes")
            for asked in ASKED:
                spent = []
                for _ in range(runs):
                    start = time.perf_counter()
                    found = read_notes(store, asked, MORNING)
                    spent.append((time.perf_counter() - start) * 1000)
                print(f"    {asked!r:<18} {len(found.found):>6} found, {median(spent):>6.0f} ms")
            store.close()


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 5)
