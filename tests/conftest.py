"""One fixed day, one small farm, and nothing taken from the machine the tests run on."""

import os
import shutil
from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime, time, timedelta
from itertools import count
from pathlib import Path

import pytest
from hypothesis import settings

from model.actions.desk import Stamp
from model.actions.farm import found_farm, keep_place
from model.facts import Place, PlaceKind
from model.store import reading
from model.store.database import Store, open_store
from tests.builders import TODAY

# Textual reads these as it is imported, so they go before any test does that.
for name in [name for name in os.environ if name == "NO_COLOR" or name.startswith("TEXTUAL")]:
    if name != "TEXTUAL_SNAPSHOT_TEMPDIR":  # a worker of a run in parallel puts its pictures there
        del os.environ[name]

settings.register_profile("trayround", deadline=None, derandomize=True)
settings.load_profile("trayround")

PLACES = (
    Place(0, "mat", PlaceKind.HEAT_MAT, 1, 8, 24.0, 24.0),
    Place(0, "shelf", PlaceKind.LIT_SHELF, 2, 12, 17.0, 21.0),
    Place(0, "slats", PlaceKind.SLATTED_BENCH, 3, 20, 12.0, 21.0),
    Place(0, "frame", PlaceKind.COLD_FRAME, 4, 10, 5.0, 18.0),
    Place(0, "hardening", PlaceKind.HARDENING, 5, 12, 4.0, 15.0),
    Place(0, "corner", PlaceKind.CORNER, 6, 2, 12.0, 18.0),
)
"""The six places of the small farm, in walking order; their ids are 1 to 6."""

StampMaker = Callable[..., Stamp]


@pytest.fixture(scope="session")
def farm_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The small farm in a closed file, to be copied."""
    path = tmp_path_factory.mktemp("farm") / "farm.db"
    made = open_store(path, make=True)
    found_farm(made, "UTC")
    for place in PLACES:
        keep_place(made, place)
    made.close()
    return path


@pytest.fixture
def store(farm_file: Path, tmp_path: Path) -> Iterator[Store]:
    """A fresh small farm: six places, the shipped containers, no tray."""
    path = tmp_path / "farm.db"
    shutil.copy(farm_file, path)
    opened = open_store(path)
    yield opened
    opened.close()


@pytest.fixture
def stamp() -> StampMaker:
    """Makes stamps: Wren, this morning, a minute after the last one, unless told otherwise."""
    numbers = count(1)

    def make(
        who: str = "Wren", today: date = TODAY, day: date | None = None, uid: str | None = None
    ) -> Stamp:
        number = next(numbers)
        at = datetime.combine(today, time(6, 30), UTC) + timedelta(seconds=number)
        return Stamp(who, at, today, uid or f"wish-{number}", day)

    return make


@pytest.fixture
def containers(store: Store) -> dict[str, int]:
    """Ids of the containers by their name."""
    with store.reading() as rows:
        return {container.name: container.id for container in reading.containers(rows)}
