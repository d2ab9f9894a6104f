"""No page names a day to set out before the gate's own: the sheet, the summary and the sheet for an absence."""

from datetime import date, datetime
from pathlib import Path

from model.actions import health, weather
from model.actions.desk import Stamp
from model.actions.files import DEMO_MORNING, make_demo
from model.days import FixedClock
from model.rules.gate import Gate, GateWord
from model.rules.verdict import Due, Task, Window
from model.store import reading
from model.store.database import Store
from model.views import cover, sheet, summary
from model.views.cover_words import cover_text
from model.views.round import due_words
from model.views.setting_out import at_gate
from tests.builders import TODAY, day
from tests.conftest import StampMaker
from tests.views.test_calendar import LATER, Ids, hardened_kale

NOW = FixedClock(DEMO_MORNING).now()
OUT = Due(Task.SET_OUT, Window(TODAY, day(5)), "roots 2", 1)


def on_sheet(store: Store, today: date, now: datetime, label: str) -> str:
    rows = sheet.text(sheet.read(store, today, now)).split("\n")
    return next(row for row in rows if f" {label} " in row)


def going(store: Store, today: date, now: datetime, label: str) -> str:
    page = summary.text(summary.read(store, today, now)).split("GOING OUT")[1].split("\n\n")[0]
    return next((" ".join(row.split()) for row in page.splitlines() if label in row), "")


def absence(store: Store, first: date, last: date, now: datetime) -> str:
    return cover_text(cover.read(store, first, last, first, now))


def test_a_day_moves_to_the_gates_and_opens_on_none_while_it_tells_none() -> None:
    moved = at_gate(OUT, Gate(GateWord.WAIT, (), day(7)))
    assert moved.window == Window(day(7), day(7))
    assert [moved.open_on(day(ahead)) for ahead in (6, 7)] == [False, True]
    shut = at_gate(OUT, Gate(GateWord.WAIT, (), None))
    assert not shut.open_on(day(30))
    assert due_words(shut, TODAY) == "gate: WAIT"
    assert at_gate(OUT, Gate(GateWord.GO, (), None)) == OUT


def test_a_cold_night_to_come_holds_off_what_is_hardened(tmp_path: Path) -> None:
    store = make_demo(tmp_path / "farm.db", DEMO_MORNING)
    assert "set out 17 Apr" in on_sheet(store, DEMO_MORNING, NOW, "25W")
    assert going(store, DEMO_MORNING, NOW, "25W") == "25W pak choi Low Bell 118 plants from Fri 17 Apr"
    page = absence(store, DEMO_MORNING, date(2026, 4, 21), NOW)
    (before, on_the_day) = page.split("FRI 17 APR", 1)
    assert "set out" not in before
    assert on_the_day.split("SAT 18 APR")[0].count("Hardening: set out, by Fri 17 Apr: 25W") == 1


def test_a_label_that_keeps_hands_off_holds_off_every_page(tmp_path: Path) -> None:
    store = make_demo(tmp_path / "farm.db", DEMO_MORNING)
    with store.reading() as rows:
        (tray,) = [tray.id for tray in reading.trays_numbered(rows, 25) if tray.standing]
    health.spray(store, Stamp("Wren", NOW, DEMO_MORNING), [tray], "soap", 5, 24 * 5)
    assert "set out 19 Apr" in on_sheet(store, DEMO_MORNING, NOW, "25W")
    page = absence(store, DEMO_MORNING, date(2026, 4, 21), NOW)
    assert "set out" not in page.split("SUN 19 APR", 1)[0].split("TUE 14 APR")[1]
    assert "Hardening: set out, by Sun 19 Apr: 25W" in page


def test_where_the_gate_tells_no_day_the_pages_say_wait(
    store: Store, stamp: StampMaker, containers: Ids
) -> None:
    hardened_kale(store, stamp, containers)
    assert "set out 12-21 Apr" in on_sheet(store, TODAY, LATER, "1R")
    for ago in (2, 1, 0):
        weather.keep_soil(store, stamp(today=day(-ago)), None, 1.0)
    weather.keep_forecast(store, stamp(), [8.0] * 7)
    assert "gate: WAIT" in on_sheet(store, TODAY, LATER, "1R")
    assert going(store, TODAY, LATER, "1R").endswith("gate: WAIT, no day known yet")
    page = absence(store, TODAY, day(4), LATER)
    assert "[ ] hardening: set out" not in page
    assert "Set out none of these, the gate says WAIT and tells no day yet: 1R." in page
