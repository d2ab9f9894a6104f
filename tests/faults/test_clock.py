"""A clock that is set back, and a file of a newer release: nothing is lost, and each has its sentence."""

import sqlite3
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from model.days import FixedClock
from model.rules.verdict import Today
from model.store import backup, soundness
from model.views import check
from tests.faults.farms import demo_bytes
from tests.tui.hand import at_the_farm
from tests.tui.test_resume import MovableClock
from tui.__main__ import REFUSED
from tui.app import TrayroundApp
from tui.session import Session

MORNING = datetime(2026, 4, 14, 6, 30, tzinfo=UTC)
BACK = [
    timedelta(minutes=1),
    timedelta(hours=3),
    timedelta(days=1),
    timedelta(days=400),
    timedelta(days=20_000),
]


@pytest.fixture
def farm(tmp_path: Path) -> Path:
    path = tmp_path / "farm.db"
    path.write_bytes(demo_bytes())
    return path


@pytest.mark.parametrize("back", BACK, ids=str)
async def test_a_clock_that_is_set_back_loses_no_entry_and_stops_no_round(
    farm: Path, back: timedelta
) -> None:
    clock = MovableClock(MORNING)
    async with at_the_farm(farm, clock=clock) as hand:
        await hand.type("n46w58d")
        since = hand.last_act
        clock.at -= back
        await hand.app._news()
        assert ("Put the clock right" in hand.said) is (back > timedelta(days=0, hours=12)), hand.said
        await hand.type("63w")
        # Before the tray was sown it can't have been watered, and that is said.
        assert (
            hand.acts(since) == [("watered", 63, None)]
            or "still to come" in hand.said
            or ("No tray 63 stands" in hand.said or "is before" in hand.said)
        ), hand.said
        await hand.type("j")
        assert "entr" in hand.shown
        await hand.type("qu")
        clock.at = MORNING + timedelta(minutes=5)
        await hand.app._news()
        assert hand.line(46).seen is Today.WATERED
        assert hand.line(58).seen is Today.LEFT
        await hand.type("u")
        assert hand.line(58).seen is Today.UNSEEN
        assert hand.line(46).seen is Today.WATERED
    assert check.read(farm, MORNING + timedelta(hours=1)).sound
    assert all(soundness.is_good(copy.path) for copy in backup.backups(farm))


async def test_a_file_of_a_newer_release_ends_the_program_with_a_sentence_and_stays_as_it_is(
    farm: Path,
) -> None:
    with closing(sqlite3.connect(farm)) as connection:
        connection.execute("PRAGMA journal_mode=DELETE")
        connection.execute("UPDATE alembic_version SET version_num = '9002'")
        connection.commit()
    before = farm.read_bytes()
    session = Session(farm, FixedClock(MORNING.date()), make=True)
    app = TrayroundApp(session)
    async with app.run_test(size=(80, 24)):
        await app.workers.wait_for_complete()
        assert app.return_code == REFUSED
    session.close()
    assert "Bring trayround up to date; the file was not touched." in str(app.return_value)
    assert farm.read_bytes() == before
