"""The program on a farm that lies on a server: opened, walked with another window beside it, printed, and away."""

from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from model.actions.desk import Stamp
from model.actions.files import DEMO_MORNING, make_demo
from model.actions.opening import open_farm
from model.actions.walk import mark_trays
from model.days import FixedClock
from model.facts import ActKind, Mark
from model.rules.verdict import Today
from model.store import reading
from model.store.address import Server
from tests import servers
from tests.tui.hand import at_the_farm
from tui.__main__ import run
from tui.cli.common import FINE, REFUSED
from tui.headstart import read_ahead

pytestmark = servers.needed

JORY = Stamp("Jory", datetime(2026, 4, 14, 6, 45, tzinfo=UTC), DEMO_MORNING, "jory")
ON = ["--on", DEMO_MORNING.isoformat()]
Printed = pytest.CaptureFixture[str]


@pytest.fixture
def demo_there(empty_there: Server) -> Server:
    """The demo farm on the server."""
    make_demo(empty_there, DEMO_MORNING).close()
    return empty_there


async def test_two_windows_on_one_server_see_each_other(demo_there: Server) -> None:
    other = open_farm(demo_there)
    async with at_the_farm(demo_there) as hand:
        assert "60" in hand.shown
        await hand.type("n46w")
        tray = hand.line(46).tray_id
        assert hand.line(46).water.today is Today.WATERED, hand.said
        with other.reading() as rows:
            assert reading.trays(rows, [tray])[tray].watered == Mark(DEMO_MORNING, "Wren")
        mark_trays(other, JORY, ActKind.FED, [tray, hand.line(4).tray_id])
        mark_trays(other, replace(JORY, uid="water"), ActKind.WATERED, [hand.line(4).tray_id])
        await hand.app._news()
        assert (hand.line(4).water.today, hand.line(4).water.by) == (Today.WATERED, "Jory")
        await hand.type("u")
        assert "watered 46T" in hand.said
    other.close()


async def test_a_server_that_goes_away_is_said_and_the_next_key_finds_it_again(demo_there: Server) -> None:
    async with at_the_farm(demo_there) as hand:
        await hand.type("n46")
        with servers.link(servers.the_server()) as keeper:
            keeper.execute(f"ALTER DATABASE {demo_there.database} ALLOW_CONNECTIONS false")
            keeper.execute(
                "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = %s",
                (demo_there.database,),
            )
            await hand.type("w")
            assert "can't be reached" in hand.said
            assert "for-tests" not in hand.shown
            assert hand.line(46).water.today is Today.UNSEEN
            keeper.execute(f"ALTER DATABASE {demo_there.database} ALLOW_CONNECTIONS true")
        await hand.type("w")
        assert hand.line(46).water.today is Today.WATERED


def test_a_farm_goes_onto_a_server_and_out_again(
    farm: Path, empty_there: Server, tmp_path: Path, capsys: Printed
) -> None:
    there, files, back = ["--db", servers.address_of(empty_there)], tmp_path / "files", tmp_path / "back"
    assert run(["round", *there, *ON]) == REFUSED
    assert "There is no farm in" in capsys.readouterr().err
    assert run(["export", "--db", str(farm), str(files)]) == FINE
    assert run(["import", *there, str(files)]) == FINE
    assert run(["export", *there, str(back)]) == FINE
    told = capsys.readouterr().out
    assert f"{files} is now in {empty_there}.\n" in told
    assert f"{empty_there} was written to {back}.\n" in told
    assert {path.name: path.read_bytes() for path in back.iterdir()} == {
        path.name: path.read_bytes() for path in files.iterdir()
    }
    assert run(["round", *there, *ON, "--json"]) == FINE
    on_server = capsys.readouterr().out
    assert run(["round", "--db", str(farm), *ON, "--json"]) == FINE
    assert capsys.readouterr().out == on_server
    assert run(["import", *there, str(files)]) == REFUSED
    assert "nothing is imported over another" in capsys.readouterr().err


def test_no_command_prints_the_password(empty_there: Server, tmp_path: Path, capsys: Printed) -> None:
    there = servers.address_of(empty_there)
    for wrong in (
        there,
        there.replace("for-tests", "for-tests/x"),
        there.replace("/postgres?", "/nowhere?"),
        there.replace("grower", "nobody"),
        there + "&colour=green",
        there.replace("host=", "host=/nowhere"),
    ):
        assert run(["round", "--db", wrong]) == REFUSED
        printed = capsys.readouterr()
        assert printed.err.startswith("trayround: ")
        assert "for-tests" not in printed.out + printed.err


def test_a_server_has_no_head_start(demo_there: Server) -> None:
    assert read_ahead(demo_there, FixedClock(DEMO_MORNING), DEMO_MORNING) is None


def test_a_record_on_a_server_is_checked_and_its_copies_are_left_to_the_server(
    demo_there: Server, tmp_path: Path, capsys: Printed
) -> None:
    there = ["--db", servers.address_of(demo_there)]
    assert run(["check", *there]) == FINE, capsys.readouterr()
    assert "postgresql://grower@/farm_" in capsys.readouterr().out
    with servers.link(demo_there) as keeper:
        keeper.execute("UPDATE tray_now SET facts = replace(facts, '\"lost\":0', '\"lost\":1')")
    assert run(["check", *there]) == REFUSED
    assert run(["check", "--rebuild", *there]) == FINE
    capsys.readouterr()
    for command in (["backup"], ["backup", str(tmp_path / "copy.db")], ["restore"], ["restore", "newest"]):
        assert run([*command, *there]) == REFUSED
        printed = capsys.readouterr().err
        assert "lies on a server. Copies are made and put back there: pg_dump" in printed
        assert "for-tests" not in printed
    assert list(tmp_path.iterdir()) == []


async def test_no_backup_is_missed_on_a_server_and_a_clock_set_back_is_told(demo_there: Server) -> None:
    async with at_the_farm(demo_there) as hand:
        await hand.app._take_care()
        assert "No backup" not in hand.shown
    ahead = Stamp("Jory", datetime(2026, 4, 14, 16, 45, tzinfo=UTC), DEMO_MORNING, "ahead")
    other = open_farm(demo_there)
    mark_trays(other, ahead, ActKind.FED, [1])
    other.close()
    async with at_the_farm(demo_there) as hand:
        await hand.app._take_care()
        assert "the record goes on until" in hand.shown
