"""Pictures of the screens. After a change that is meant: --snapshot-update, then look at every one of them."""

from collections.abc import Callable
from pathlib import Path

from textual.pilot import Pilot

from model.actions.farm import found_farm, set_setting
from model.actions.files import DEMO_MORNING
from model.days import FixedClock
from model.store.database import open_store
from tests.tui.hand import Hand
from tui.app import TrayroundApp
from tui.session import Session

SMALL, LARGE = (80, 24), (120, 28)
LARGEST_BYTES = 60_000
"""Pictures are kept with the source, so they stay small."""
Compare = Callable[..., bool]


def same(compare: Compare, path: Path, keys: str, size: tuple[int, int]) -> bool:
    """Whether the screen after some keys is the picture that was taken of it."""
    session = Session(path, FixedClock(DEMO_MORNING), make=False)

    async def press(pilot: Pilot[str]) -> None:
        app = pilot.app
        assert isinstance(app, TrayroundApp)
        await app.workers.wait_for_complete()
        await pilot.pause()
        await Hand(app, pilot).type(keys)

    try:
        return compare(TrayroundApp(session), terminal_size=size, run_before=press)
    finally:
        session.close()


def test_first(farm: Path, snap_compare: Compare) -> None:
    assert same(snap_compare, farm, "", SMALL)


def test_round(farm: Path, snap_compare: Compare) -> None:
    assert same(snap_compare, farm, "nnn", SMALL)


def test_round_large_and_light(farm: Path, snap_compare: Compare) -> None:
    store = open_store(farm)
    set_setting(store, "theme", "light")
    store.close()
    assert same(snap_compare, farm, "nnn", LARGE)


def test_tray(farm: Path, snap_compare: Compare) -> None:
    assert same(snap_compare, farm, "n22⏎", SMALL)


def test_tray_large(farm: Path, snap_compare: Compare) -> None:
    assert same(snap_compare, farm, "n22⏎", LARGE)


def test_question(farm: Path, snap_compare: Compare) -> None:
    assert same(snap_compare, farm, "nW46 58R⏎", SMALL)


def test_help(farm: Path, snap_compare: Compare) -> None:
    assert same(snap_compare, farm, "n?", SMALL)


def test_readings(farm: Path, snap_compare: Compare) -> None:
    assert same(snap_compare, farm, "nH", SMALL)


def test_plan(farm: Path, snap_compare: Compare) -> None:
    assert same(snap_compare, farm, "nA", SMALL)


def test_gate(farm: Path, snap_compare: Compare) -> None:
    assert same(snap_compare, farm, "ng", SMALL)


def test_frost(farm: Path, snap_compare: Compare) -> None:
    assert same(snap_compare, farm, "nJ", SMALL)


def test_empty_farm(tmp_path: Path, snap_compare: Compare) -> None:
    path = tmp_path / "farm.db"
    store = open_store(path, make=True)
    found_farm(store, "UTC")
    store.close()
    assert same(snap_compare, path, "", SMALL)


def test_pictures_stay_small() -> None:
    for picture in (Path(__file__).parent / "__snapshots__").rglob("*.svg"):
        assert picture.stat().st_size < LARGEST_BYTES, picture.name
