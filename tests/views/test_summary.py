"""The farm on one page: what it says, that it stays one page, and whom it names."""

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from model.actions import growth, plan, record, shift
from model.actions.desk import entry
from model.actions.farm import keep_place, set_setting
from model.actions.files import demo_folder, import_folder
from model.actions.plan import Want
from model.actions.sow import Sow, SowPart, sow
from model.ahead import Purpose
from model.days import FixedClock
from model.facts import LossCause
from model.store import tables
from model.store.database import Store, open_store
from model.views import summary
from tests import servers
from tests.bench.farms import MORNING, big_farm
from tests.builders import TODAY, a_place, day
from tests.conftest import StampMaker
from tests.hard_text import HARD
from tests.store.names import SLATS
from tui.__main__ import FINE, REFUSED, run

Ids = dict[str, int]
MOST_LINES, MOST_COLUMNS = 60, 80


def page_of(store: Store, today: date = TODAY, *, names: bool = False) -> str:
    return summary.text(summary.read(store, today, FixedClock(today).now(), names=names))


def part(page: str, heading: str) -> list[str]:
    """The lines under a heading."""
    (found,) = [part for part in page.split("\n\n") if part.startswith(heading)]
    return [line.strip() for line in found.splitlines()[1:]]


def one_page(page: str) -> None:
    rows = page.splitlines()
    assert len(rows) <= MOST_LINES, page
    assert max(map(len, rows)) <= MOST_COLUMNS, page


def sown(store: Store, stamp: StampMaker, ids: Ids, what: str, ago: int) -> int:
    crop, variety = what.split(" ", 1)
    wish = Sow(ids["72-cell tray"], SLATS, (SowPart(crop, variety, 72),), day(-ago))
    (tray,) = sow(store, stamp(today=day(-ago)), wish).tray_ids
    return tray


def test_it_says_what_stands_where_and_what_was_sown_and_wanted(
    store: Store, stamp: StampMaker, containers: Ids
) -> None:
    sown(store, stamp, containers, "tomato Ostrel", 6)
    sown(store, stamp, containers, "kale Copse", 7)
    want = Want("pepper", "Tavar", 1200, day(40), day(40), containers["72-cell tray"], Purpose.SALE)
    plan.add_targets(store, stamp(), want)
    page = page_of(store)
    assert page.splitlines()[0] == "My farm, Tue 14 Apr 2026: 2 trays, 144 plants, 2 not seen today"
    assert part(page, "WHERE THINGS STAND") == ["slats         2 of 20    kale 1, tomato 1"]
    assert part(page, "SOWN SINCE WED 8 APR") == ["tomato Ostrel           72 cells in 1 tray"]
    assert part(page, "WANTED") == ["pepper Tavar            1,200 plants  sale 24 May"]
    assert part(page, "READY") == part(page, "GOING OUT") == ["nothing"]


def test_it_says_what_is_ready_and_goes_out(store: Store, stamp: StampMaker, containers: Ids) -> None:
    tray = sown(store, stamp, containers, "kale Copse", 40)
    growth.half_up(store, stamp(today=day(-33)), tray, None, 60)
    shift.move(store, stamp(today=day(-5)), [tray], 5)
    growth.root_look(store, stamp(), tray, 2)
    page = page_of(store)
    assert part(page, "READY") == ["kale Copse              72 plants     1 tray, hardening"]
    (going,) = part(page, "GOING OUT BY TUE 21 APR")
    assert going.startswith("1R     kale Copse              72 plants     from ")


def test_losses_are_as_they_stand_after_corrections(store: Store, stamp: StampMaker, containers: Ids) -> None:
    tray = sown(store, stamp, containers, "kale Copse", 40)
    shift.lose(store, stamp(today=day(-20)), tray, None, 9, LossCause.DAMPED_OFF)
    shift.lose(store, stamp(), tray, None, 5, LossCause.EATEN)
    with store.reading() as rows:
        ((act,),) = rows("SELECT max(id) FROM act")
    record.correct_act(store, stamp(), act, "count", "4")
    shift.lose(store, stamp(), tray, None, 7, LossCause.FROST)
    record.undo(store, stamp(), "UTC")
    assert part(page_of(store), "LOST THIS YEAR (4 since Wed 8 Apr)") == [
        "damped off              9 plants",
        "eaten                   4 plants",
    ]


def promise(store: Store, stamp: StampMaker, **values: Any) -> int:
    usual = {"to_whom": "plot 4", "crop": "tomato", "plants": 12, "due_on": day(30)}
    with entry(store, stamp()) as pen:
        return pen.add(tables.Promise(entry_id=pen.entry_id, **(usual | values)))


def test_promises_that_hold_are_there_and_to_whom_only_with_names(store: Store, stamp: StampMaker) -> None:
    first = promise(store, stamp)
    promise(store, stamp, plants=9, replaces=first)
    promise(store, stamp, crop="kale", due_on=day(20))
    dropped = promise(store, stamp, crop="leek")
    promise(store, stamp, crop="leek", plants=0, replaces=dropped)
    promise(store, stamp, crop="basil")
    record.undo(store, stamp(), "UTC")
    assert part(page_of(store), "PROMISED") == [
        "kale                    12 plants     4 May",
        "tomato                  9 plants      14 May",
    ]
    assert part(page_of(store, names=True), "PROMISED")[0].endswith("4 May   plot 4")


def test_nobody_is_named_unless_it_is_asked_for(store: Store, stamp: StampMaker, containers: Ids) -> None:
    tray = sown(store, stamp, containers, "kale Copse", 3)
    growth.note(store, stamp("Jory"), tray, "ask Jory about this")
    assert "Jory" not in page_of(store)
    assert "Wren" not in page_of(store)
    page = page_of(store, names=True)
    assert part(page, "AT WORK SINCE WED 8 APR") == ["Wren (1), Jory (1)"]
    assert "ask" not in page, "a note may name somebody"


def test_the_demo_farm_fits_a_page(tmp_path: Path) -> None:
    store = import_folder(tmp_path / "demo.db", demo_folder())
    page = page_of(store, names=True)
    one_page(page)
    assert "Mat           10 of 12   " in page
    for name in ("Wren", "Jory"):
        assert name in page
        assert name not in page_of(store)


def test_400_trays_in_ten_places_fit_a_page(tmp_path: Path) -> None:
    path = tmp_path / "big.db"
    big_farm(path, 400, 2)
    page = page_of(open_store(path), MORNING, names=True)
    one_page(page)
    assert "400 trays" in page.splitlines()[0]
    assert len(part(page, "WHERE THINGS STAND")) == 10


@pytest.mark.parametrize("text", HARD)
def test_hostile_names_leave_it_a_page(store: Store, stamp: StampMaker, containers: Ids, text: str) -> None:
    name = text or "x"
    for stop in range(12):
        keep_place(store, replace(a_place(id=0), name=f"{stop}{name}", walk=stop + 9))
    sown(store, stamp, containers, f"kale {name}", 3)
    set_setting(store, "farm", name)
    one_page(page_of(store, names=True))


def test_an_empty_farm_says_nothing_in_each_part(store: Store) -> None:
    page = page_of(store)
    one_page(page)
    assert page.count("  nothing") == 7


def test_the_command_prints_it_or_writes_it(
    store: Store, stamp: StampMaker, containers: Ids, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sown(store, stamp, containers, "kale Copse", 3)
    where = str(store.path) if store.path else servers.address_of(store.where)
    out, command = tmp_path / "page.txt", ["summary", "--db", where, "--on", TODAY.isoformat()]
    assert run([*command, str(out)]) == FINE
    assert out.read_text(encoding="utf-8") == page_of(store) + "\n"
    assert run([*command, str(out)]) == REFUSED
    assert "add --over" in capsys.readouterr().err
    assert run([*command, str(out), "--over", "--names"]) == FINE
    assert "AT WORK" in out.read_text(encoding="utf-8")
    later = (TODAY + timedelta(days=9)).isoformat()
    assert run([*command[:-1], later, "--ascii", str(out), "--over"]) == FINE
    assert out.read_text(encoding="utf-8").isascii()
