"""How long the morning's whole forecast takes on a real record: posteriors, forty paths and every verdict.

OPENBLAS_NUM_THREADS=1 python -m tests.bench.morning [runs]      prints milliseconds; it asserts nothing.
"""

import sys
import tempfile
import time
from pathlib import Path
from statistics import median

from model.rules.readiness import judge
from model.store.database import Store, open_store
from model.views.asof import standing_on
from model.views.grounds import grounds
from model.views.outlook import Reckoned, reckon
from tests.bench.farms import MORNING, big_farm


def verdicts(store: Store, reckoned: Reckoned) -> float:
    """Milliseconds to judge every tray on the forecast."""
    with store.reading() as rows:
        trays = standing_on(rows, MORNING)
        on = grounds(rows, trays, reckoned.outlooks)
    start = time.perf_counter()
    for tray in trays:
        judge(tray, on, MORNING)
    return (time.perf_counter() - start) * 1000


def main(runs: int) -> None:
    for standing in (400, 10_000):
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "farm.db"
            big_farm(path, standing, standing)
            store = open_store(path)
            reckon(store, MORNING)
            spent, judged = [], []
            for _ in range(runs):
                start = time.perf_counter()
                found = reckon(store, MORNING)
                spent.append((time.perf_counter() - start) * 1000)
                judged.append(verdicts(store, found))
            print(
                f"{standing:>6} trays, {len(found.past.lessons)} earlier ones: forecast {median(spent):.0f} ms "
                f"with its reading, verdicts {median(judged):.0f} ms"
            )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 5)
