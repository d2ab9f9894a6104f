"""The calendar file: read back by two strangers' readers and by the text of RFC 5545 itself."""

import re
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from typing import Any

import icalendar
import pytest
import vobject

from model.actions import growth, plan, record, shift
from model.actions.files import demo_folder, export_folder, import_folder
from model.actions.plan import Want
from model.actions.sow import Sow, SowPart, sow
from model.ahead import Purpose
from model.days import FixedClock
from model.errors import BadInput
from model.store import reading_ahead
from model.store.database import Store
from model.views import calendar
from model.views.calendar import DayEvent
from model.views.plan import planned
from tests.builders import TODAY, day
from tests.conftest import StampMaker
from tests.hard_text import HARD
from tests.store.names import SLATS

Ids = dict[str, int]
AT = datetime.combine(TODAY, time(6, 30), UTC)
HARDENING = 5


def want(ids: Ids, **changes: Any) -> Want:
    usual = {
        "crop": "tomato",
        "variety": "Ostrel",
        "plants": 60,
        "first_day": day(60),
        "last_day": day(66),
        "container_id": ids["72-cell tray"],
        "place_id": SLATS,
    }
    return Want(**(usual | changes))


def written(store: Store, at: datetime = AT, today: date = TODAY) -> bytes:
    return calendar.as_ical(calendar.read(store, today, at), at)


def events(data: bytes) -> dict[str, Any]:
    """Events by uid, as icalendar reads them; it names nothing it couldn't read."""
    read = icalendar.Calendar.from_ical(data)
    assert read.errors == []
    assert all(event.errors == [] for event in read.events)
    return {str(event["UID"]): event for event in read.events}


def kind(found: dict[str, Any], begins: str) -> list[Any]:
    return [event for uid, event in found.items() if uid.startswith(begins)]


def unfolded(data: bytes) -> list[bytes]:
    """Content lines by RFC 5545, section 3.1: a line break and one blank after it are taken out."""
    return data.replace(b"\r\n ", b"").replace(b"\r\n\t", b"").split(b"\r\n")


def test_a_class_is_sown_in_its_window_and_wanted_on_its_day(
    store: Store, stamp: StampMaker, containers: Ids
) -> None:
    plan.add_targets(
        store,
        stamp(),
        want(containers, purpose=Purpose.CLASS, plants=24, last_day=day(60), stage="first true leaf"),
    )
    with store.reading() as rows:
        (one,) = planned(rows, TODAY)
    found = events(written(store))
    (sowing,), (wanted,) = kind(found, "sow-"), kind(found, "wanted-")
    assert str(wanted["SUMMARY"]) == "class: 24 tomato Ostrel, first true leaf"
    assert wanted["DTSTART"].dt == day(60)
    assert wanted["DTEND"].dt == day(61), "the end isn't counted (RFC 5545, section 3.6.1)"
    assert str(sowing["SUMMARY"]) == "sow tomato Ostrel"
    assert sowing["DTSTART"].dt == one.sow.start
    assert sowing["DTEND"].dt == (one.sow.end or one.sow.start) + timedelta(days=1)
    assert str(sowing["LOCATION"]) == "slats"
    assert sowing["DTSTAMP"].dt == AT
    for line in (b"VERSION:2.0", b"PRODID:-//trayround//days to come//EN", b"BEGIN:VEVENT"):
        assert line in written(store).split(b"\r\n")
    assert re.search(rb"\r\nDTSTART;VALUE=DATE:[0-9]{8}\r\n", written(store))


def test_what_is_late_is_to_be_done_today(store: Store, stamp: StampMaker, containers: Ids) -> None:
    plan.add_targets(store, stamp(), want(containers, first_day=day(20), last_day=day(20)))
    with store.reading() as rows:
        (one,) = planned(rows, TODAY)
    assert one.missed(TODAY)
    (sowing,) = kind(events(written(store)), "sow-")
    assert sowing["DTSTART"].dt == one.sow.start
    assert sowing["DTEND"].dt == day(1)
    assert "and not sown" in str(sowing["DESCRIPTION"])


def test_a_tray_comes_off_the_mat_and_hardens_and_goes_out(
    store: Store, stamp: StampMaker, containers: Ids
) -> None:
    box = containers["72-cell tray"]
    (young,) = sow(
        store, stamp(today=day(-9)), Sow(box, 1, (SowPart("tomato", "Ostrel", 72),), day(-9))
    ).tray_ids
    growth.half_up(store, stamp(today=day(-1)), young, None, 60)
    (old,) = sow(
        store, stamp(today=day(-40)), Sow(box, SLATS, (SowPart("kale", "Copse", 72),), day(-40))
    ).tray_ids
    growth.half_up(store, stamp(today=day(-33)), old, None, 60)
    growth.root_look(store, stamp(today=day(-2)), old, 2)
    found = events(written(store))
    (off,) = kind(found, "off-the-mat-")
    assert str(off["SUMMARY"]) == "off the mat 1R tomato Ostrel"
    assert off["DTSTART"].dt == day(-1)
    (harden,), (out,) = kind(found, "start-hardening-"), kind(found, "set-out-")
    assert harden["DTSTART"].dt == day(-2), "the plug was seen to hold"
    assert out["DTSTART"].dt > TODAY
    assert str(out["SUMMARY"]) == "set out 2W kale Copse"
    shift.move(store, stamp(), [old], HARDENING)
    assert not kind(events(written(store)), "start-hardening-"), "it hardens now"


def test_a_second_import_changes_what_the_first_one_brought(
    store: Store, stamp: StampMaker, containers: Ids
) -> None:
    plan.add_targets(store, stamp(), want(containers))
    before = events(written(store))
    with store.reading() as rows:
        (target,) = reading_ahead.targets(rows)
    plan.change_target(store, stamp(), target.id, want(containers, first_day=day(70), last_day=day(76)))
    changed = events(written(store))
    assert changed.keys() == before.keys()
    for uid, event in changed.items():
        assert event["SEQUENCE"] > before[uid]["SEQUENCE"]
        assert event["DTSTART"].dt == before[uid]["DTSTART"].dt + timedelta(days=10)
    record.undo(store, stamp(), "UTC")
    back = events(written(store))
    for uid, event in back.items():
        assert event["SEQUENCE"] > changed[uid]["SEQUENCE"], "taking back is a change too"
        assert event["DTSTART"].dt == before[uid]["DTSTART"].dt


def test_a_later_file_of_the_same_record_is_the_newer_one(
    store: Store, stamp: StampMaker, containers: Ids
) -> None:
    plan.add_targets(store, stamp(), want(containers))
    first, second = events(written(store)), events(written(store, AT + timedelta(hours=1)))
    for uid, event in second.items():
        assert event["SEQUENCE"] == first[uid]["SEQUENCE"]
        assert (
            event["DTSTAMP"].dt == event["LAST-MODIFIED"].dt == first[uid]["DTSTAMP"].dt + timedelta(hours=1)
        )
    assert written(store) == written(store)


def test_each_sowing_of_a_succession_is_its_own_and_keeps_its_id_wherever_the_record_goes(
    store: Store, stamp: StampMaker, containers: Ids, tmp_path: Path
) -> None:
    plan.add_targets(store, stamp(), want(containers), 14, 3)
    sow(store, stamp(), Sow(containers["72-cell tray"], 1, (SowPart("kale", "Copse", 72),), TODAY))
    here = events(written(store))
    assert len(kind(here, "sow-")) == len(kind(here, "wanted-")) == 3
    export_folder(store, tmp_path / "out")
    there = import_folder(tmp_path / "there.db", tmp_path / "out")
    assert events(written(there)).keys() == here.keys()


def test_what_is_dropped_or_sown_is_struck_out(store: Store, stamp: StampMaker, containers: Ids) -> None:
    plan.add_targets(store, stamp(), want(containers, plants=40))
    plan.add_targets(store, stamp(), want(containers, variety="Brisk Nine"))
    before = events(written(store))
    assert {str(event["STATUS"]) for event in before.values()} == {"CONFIRMED"}
    with store.reading() as rows:
        sown, dropped = reading_ahead.targets(rows)
    box = containers["72-cell tray"]
    sow(
        store,
        stamp(),
        Sow(box, SLATS, (SowPart("tomato", "Ostrel", 72, target_id=sown.id),), TODAY),
    )
    plan.drop_target(store, stamp(), dropped.id)
    after = events(written(store))
    struck = {uid for uid, event in after.items() if str(event["STATUS"]) == "CANCELLED"}
    assert before.keys() <= after.keys()
    assert len(struck) == 3, "the sowing that was sown; the sowing and the day of what isn't wanted"
    assert all(after[uid]["SEQUENCE"] > before[uid]["SEQUENCE"] for uid in struck)
    record.undo(store, stamp(), "UTC")
    assert len([e for e in events(written(store)).values() if str(e["STATUS"]) == "CANCELLED"]) == 1


def test_lines_are_folded_at_75_octets_and_come_back_whole(
    store: Store, stamp: StampMaker, containers: Ids
) -> None:
    names = ["Überlänge für Gärten " * 6, "é" * 120, "ab" + "ü" * 119, "🍅" * 60]
    for name in names:
        plan.add_targets(store, stamp(), want(containers, variety=name, bed=f"Beet {name}"))
    data = written(store)
    lines = data.split(b"\r\n")
    assert lines[-1] == b"", "the last line is ended too"
    assert b"\n" not in data.replace(b"\r\n", b"")
    assert max(map(len, lines)) <= 75
    assert any(line.startswith(b" ") for line in lines)
    titles = {
        line.removeprefix(b"SUMMARY:").decode() for line in unfolded(data) if line.startswith(b"SUMMARY:")
    }
    for name in names:
        assert f"sow tomato {name.strip()}" in titles
    told = {str(event["SUMMARY"]) for event in events(data).values()}
    theirs = {event.summary.value for event in vobject.readOne(data.decode()).vevent_list}
    assert told == theirs == titles


def test_comma_semicolon_backslash_and_line_end_are_escaped_as_the_rfc_says(
    store: Store, stamp: StampMaker, containers: Ids
) -> None:
    """RFC 5545, section 3.3.11: ESCAPED-CHAR = "\\\\" / "\\;" / "\\," / "\\N" / "\\n"; a colon isn't escaped."""
    name = 'a, b; c\\n: "d"'
    plan.add_targets(store, stamp(), want(containers, variety=name))
    data = written(store)
    lines = unfolded(data)
    assert rb'SUMMARY:sow tomato a\, b\; c\\n: "d"' in lines
    (told,) = [line for line in lines if line.startswith(b"DESCRIPTION:") and b"cells" in line]
    assert rb"cells\, " in told
    assert rb" a cell\nfor 60 plants\, set out" in told
    (sowing,) = kind(events(data), "sow-")
    assert str(sowing["SUMMARY"]) == f"sow tomato {name}"
    (theirs,) = [e for e in vobject.readOne(data.decode()).vevent_list if e.uid.value.startswith("sow-")]
    assert theirs.summary.value == f"sow tomato {name}"
    assert theirs.description.value.splitlines() == str(sowing["DESCRIPTION"]).splitlines()


@pytest.mark.parametrize("text", [text for text in HARD if text])
def test_hostile_text_makes_no_line_of_its_own(text: str) -> None:
    hard = f"{text}\r\nBEGIN:VALARM\x1b[31m"
    event = DayEvent("sow-1@trayround", 1, "sow", TODAY, TODAY, hard, (hard,), hard)
    data = calendar.as_ical(calendar.CalendarView(TODAY, hard, (event,)), AT)
    assert b"\x1b" not in data
    assert not any(line.startswith(b"BEGIN:VALARM") for line in unfolded(data))
    assert len(events(data)) == 1


def test_the_demo_farm_reads_back_the_same_by_both(tmp_path: Path) -> None:
    store = import_folder(tmp_path / "demo.db", demo_folder())
    now = FixedClock(TODAY).now()
    view = calendar.read(store, TODAY, now)
    data = calendar.as_ical(view, now)
    ours = {event.uid: event for event in view.events}
    assert len(ours) == len(view.events) > 60, "no id twice"
    read = events(data)
    theirs = {event.uid.value: event for event in vobject.readOne(data.decode()).vevent_list}
    assert ours.keys() == read.keys() == theirs.keys()
    for uid, event in ours.items():
        days = (event.first, event.last + timedelta(days=1))
        assert (read[uid]["DTSTART"].dt, read[uid]["DTEND"].dt) == days
        assert (theirs[uid].dtstart.value, theirs[uid].dtend.value) == days
        assert event.last >= event.first
        assert str(read[uid]["SUMMARY"]) == theirs[uid].summary.value == event.title


def test_without_anything_to_come_there_is_no_calendar(store: Store) -> None:
    with pytest.raises(BadInput, match="Nothing is to come"):
        written(store)
