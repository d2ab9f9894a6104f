"""One fixed day, one small farm, and nothing taken from the machine the tests run on."""

import gc
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
from model.days import SystemClock
from model.facts import Place, PlaceKind
from model.store import reading
from model.store.address import Server, Where
from model.store.database import Store, open_store
from tests import servers
from tests.builders import TODAY

# Textual reads these as it is imported, so they go before any test does that.
for name in [name for name in os.environ if name == "NO_COLOR" or name.startswith("TEXTUAL")]:
    if name != "TEXTUAL_SNAPSHOT_TEMPDIR":  # a worker of a run in parallel puts its pictures there
        del os.environ[name]

# Thousands of small objects live on through a run; looking through them again and again takes a tenth of its time.
gc.set_threshold(100_000, 50, 50)

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

MACHINE_NOW = datetime(2026, 4, 15, 6, 30, tzinfo=UTC)
"""What the machine's clock shows in every test: the demo farm's morning is the day before."""

machine_now = SystemClock.now
"""What the machine's clock really shows."""

ONE_KIND = {
    "test_backup",
    "test_clashes",
    "test_database",
    "test_first_release",
    "test_kill",
    "test_merge",
    "test_merge_chance",
    "test_migrate",
    "test_open_store",
    "test_server",
    "test_server_trouble",
}
"""Tests of what only a file has, or only a server."""

StampMaker = Callable[..., Stamp]


@pytest.fixture(scope="session", autouse=True)
def _machine_clock() -> Iterator[None]:
    """The machine's clock stands too, on a morning of its own: no test may tell by what hour it runs."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(SystemClock, "now", lambda _self: MACHINE_NOW)
        yield


@pytest.fixture(scope="session")
def farm_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The small farm in a closed file, to be copied."""
    path = tmp_path_factory.mktemp("farm") / "farm.db"
    make_small_farm(path)
    return path


def make_small_farm(where: Where) -> None:
    """A new record with the six places."""
    made = open_store(where, make=True)
    found_farm(made, "UTC")
    for place in PLACES:
        keep_place(made, place)
    made.close()


@pytest.fixture(scope="session")
def farm_there() -> Iterator[Server]:
    """The small farm in a database on the test server; what a test does to it is taken out before the next."""
    server = servers.new_database()
    make_small_farm(server)
    servers.put_aside(server)
    yield server
    servers.drop(server)


@pytest.fixture
def empty_there() -> Iterator[Server]:
    """A database on the test server without a table."""
    server = servers.new_database()
    yield server
    servers.drop(server)


@pytest.fixture
def store(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Store]:
    """A fresh small farm: six places, the shipped containers, no tray; in a file, or where asked for on a server."""
    if getattr(request, "param", "file") == "server":
        opened = open_store(servers.as_put_aside(request.getfixturevalue("farm_there")))
    else:
        shutil.copy(request.getfixturevalue("farm_file"), tmp_path / "farm.db")
        opened = open_store(tmp_path / "farm.db")
    yield opened
    opened.close()


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """What is done to the small farm and seen of it is tested on both kinds of record."""
    parts = metafunc.module.__name__.split(".")
    if "store" in metafunc.fixturenames and {"store", "views"} & set(parts) and parts[-1] not in ONE_KIND:
        kinds = ("file", pytest.param("server", marks=servers.needed))
        metafunc.parametrize("store", kinds, indirect=True)


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
