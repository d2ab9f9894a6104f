"""The calendar file: read back by two strangers' readers and by the text of RFC 5545 itself."""

import re
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from typing import Any

import icalendar
import pytest
import vobject
from rich.cells import cell_len

from model.actions import growth, plan, promises, record, shift, walk, weather
from model.actions.farm import keep_place
from model.actions.files import demo_folder, export_folder, import_folder
from model.actions.plan import Want
from model.actions.promises import Given
from model.actions.sow import Sow, SowPart, sow
from model.ahead import Purpose
from model.days import FixedClock, short_day
from model.errors import BadInput
from model.facts import ActKind, LossCause, PlaceKind
from model.store import reading, reading_ahead, reading_owed
from model.store.database import Store
from model.text import several
from model.views import calendar, gate
from model.views.calendar import DayEvent
from model.views.plan import planned
from tests.builders import TODAY, a_place, day
from tests.conftest import StampMaker
from tests.hard_text import HARD
from tests.store.names import SLATS

Ids = dict[str, int]
AT = datetime.combine(TODAY, time(6, 30), UTC)
LATER = AT + timedelta(hours=1)
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
    (sowing, second), (wanted,) = kind(found, "sow-"), kind(found, "wanted-")
    assert str(wanted["SUMMARY"]) == "class: 24 tomato Ostrel, first true leaf"
    assert wanted["DTSTART"].dt == day(60)
    assert wanted["DTEND"].dt == day(61), "the end isn't counted (RFC 5545, section 3.6.1)"
    assert str(sowing["SUMMARY"]) == f"sow 1 tray tomato Ostrel for class {short_day(day(60))}"
    assert (sowing["DTSTART"].dt, second["DTSTART"].dt) == one.spare
    assert sowing["DTEND"].dt == one.spare[0] + timedelta(days=1)
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
    assert sowing["DTSTART"].dt == TODAY
    assert str(sowing["SUMMARY"]) == f"sow {several(one.trays, 'tray')} tomato Ostrel, late"


def ready_kale(store: Store, stamp: StampMaker, ids: Ids, count: int = 1) -> list[int]:
    """Trays of one week whose plugs were seen to hold."""
    found = []
    for _ in range(count):
        wish = Sow(ids["72-cell tray"], SLATS, (SowPart("kale", "Copse", 72),), day(-40))
        (tray,) = sow(store, stamp(today=day(-40)), wish).tray_ids
        growth.half_up(store, stamp(today=day(-33)), tray, None, 60)
        growth.root_look(store, stamp(today=day(-2)), tray, 2)
        found.append(tray)
    return found


def test_all_of_a_crop_that_was_sown_in_one_week_goes_out_as_one_event(
    store: Store, stamp: StampMaker, containers: Ids
) -> None:
    first, second = ready_kale(store, stamp, containers, 2)
    (out,) = events(written(store)).values()
    assert str(out["SUMMARY"]) == f"set out 2 trays kale Copse (harden {short_day(TODAY)})"
    assert out["DTSTART"].dt > TODAY
    assert out["DTEND"].dt == out["DTSTART"].dt + timedelta(days=1)
    rows = str(out["DESCRIPTION"]).splitlines()
    assert [row.split()[0] for row in rows] == ["1R", "2W"]
    assert all("start hardening" in row and "72 plants in 72-cell tray, slats" in row for row in rows)
    shift.move(store, stamp(), [first], HARDENING)
    (half,) = events(written(store)).values()
    assert half["UID"] == out["UID"]
    assert half["SEQUENCE"] > out["SEQUENCE"]
    shift.set_out(store, stamp(), second, None, 72)
    (one,) = events(written(store)).values()
    assert str(one["SUMMARY"]) == "set out 1R kale Copse"


def hardened_kale(store: Store, stamp: StampMaker, ids: Ids) -> None:
    """A tray that was hardened for long."""
    (tray,) = ready_kale(store, stamp, ids)
    shift.move(store, stamp(today=day(-12)), [tray], HARDENING)
    for ago in range(12, -1, -1):
        walk.mark_trays(store, stamp(today=day(-ago)), ActKind.LOOKED, [tray])


def test_where_the_gate_knows_no_day_the_event_says_what_it_waits_for(
    store: Store, stamp: StampMaker, containers: Ids
) -> None:
    hardened_kale(store, stamp, containers)
    for ago in (2, 1, 0):
        weather.keep_soil(store, stamp(today=day(-ago)), None, 1.0)
    (out,) = events(written(store, LATER)).values()
    assert out["DTSTART"].dt == TODAY
    assert "; gate: no day known yet, soil 1 °C of 4 °C; provisional: nights not known)" in out["DESCRIPTION"]
    weather.keep_forecast(store, stamp(), [12.0] * 7)
    (out,) = events(written(store, LATER)).values()
    assert str(out["DESCRIPTION"]).endswith("; gate: no day known yet, soil 1 °C of 4 °C)")


def test_nothing_is_set_out_before_the_gates_soonest_day(
    store: Store, stamp: StampMaker, containers: Ids
) -> None:
    hardened_kale(store, stamp, containers)
    # Of the nights nobody has said anything.
    (out,) = events(written(store, LATER)).values()
    assert out["DTSTART"].dt == TODAY
    assert str(out["DESCRIPTION"]).endswith("; provisional: soil, nights not known)")
    weather.keep_forecast(store, stamp(), [8.0, 8.0, 8.0, -6.0, 8.0, 8.0, 8.0])
    (crop,) = gate.read(store, TODAY, LATER).crops
    assert crop.gate.soonest == day(4)
    (out,) = events(written(store, LATER)).values()
    assert out["DTSTART"].dt == day(4)
    assert f"; gate: soonest {short_day(day(4))}; provisional: soil not known)" in str(out["DESCRIPTION"])
    for ago in (2, 1, 0):
        weather.keep_soil(store, stamp(today=day(-ago)), None, 18.0)
    weather.keep_forecast(store, stamp(), [12.0] * 7)
    (out,) = events(written(store, LATER)).values()
    assert out["DTSTART"].dt == TODAY
    assert "gate" not in str(out["DESCRIPTION"])
    assert "provisional" not in str(out["DESCRIPTION"])


def test_what_went_out_is_struck_out_for_eight_weeks(
    store: Store, stamp: StampMaker, containers: Ids
) -> None:
    (tray,) = ready_kale(store, stamp, containers)
    (before,) = events(written(store)).values()
    shift.set_out(store, stamp(), tray, None, 72)
    plan.add_targets(store, stamp(), want(containers, first_day=day(120), last_day=day(126)))
    after = events(written(store))[str(before["UID"])]
    assert str(after["STATUS"]) == "CANCELLED"
    assert after["SEQUENCE"] > before["SEQUENCE"]
    assert str(after["SUMMARY"]) == "done or gone: set out kale Copse"
    assert str(before["UID"]) in events(written(store, today=day(56)))
    assert str(before["UID"]) not in events(written(store, today=day(57)))
    record.undo(store, stamp(), "UTC")
    record.undo(store, stamp(), "UTC")
    back = events(written(store))[str(before["UID"])]
    assert str(back["STATUS"]) == "CONFIRMED"
    assert back["SEQUENCE"] > after["SEQUENCE"]


def test_a_sowing_that_is_taken_back_or_put_right_keeps_its_name(
    store: Store, stamp: StampMaker, containers: Ids
) -> None:
    tray, gone = ready_kale(store, stamp, containers, 2)
    (before,) = events(written(store)).keys()
    record.correct_sowing(store, stamp(), tray, None, "sown_on", day(-50).isoformat())
    record.correct_sowing(store, stamp(), tray, None, "variety", "cabbage/Copse")
    ((uid, event),) = events(written(store)).items()
    assert uid == before
    assert str(event["SUMMARY"]).startswith("set out 2 trays mixed plants")
    assert "1R cabbage Copse, 72 plants" in str(event["DESCRIPTION"])
    shift.lose(store, stamp(), tray, None, 72, LossCause.DROPPED)
    shift.lose(store, stamp(), gone, None, 72, LossCause.DROPPED)
    ((uid, struck),) = events(written(store)).items()
    assert (uid, str(struck["STATUS"])) == (before, "CANCELLED")


def ready_tomato(store: Store, stamp: StampMaker, ids: Ids) -> int:
    """A tray of tomato in cells whose plugs were seen to hold."""
    wish = Sow(ids["72-cell tray"], SLATS, (SowPart("tomato", "Ostrel", 72),), day(-30))
    (tray,) = sow(store, stamp(today=day(-30)), wish).tray_ids
    growth.half_up(store, stamp(today=day(-22)), tray, None, 60)
    growth.root_look(store, stamp(today=day(-2)), tray, 2)
    return tray


def test_pots_that_were_made_strike_out_potting_up(store: Store, stamp: StampMaker, containers: Ids) -> None:
    tray = ready_tomato(store, stamp, containers)
    (pot,) = kind(events(written(store)), "pot-up-")
    assert str(pot["SUMMARY"]) == "pot up 1R tomato Ostrel"
    assert pot["DTSTART"].dt == TODAY
    shift.pot_up(store, stamp(), tray, None, (shift.PotUp(72, containers["10 cm pot"], SLATS),))
    after = events(written(store))
    assert str(after[str(pot["UID"])]["STATUS"]) == "CANCELLED"
    (out,) = kind(after, "set-out-")
    assert str(out["STATUS"]) == "CONFIRMED"


def apart(store: Store) -> int:
    """A place of quarantine."""
    keep_place(store, a_place(id=0, name="Apart", kind=PlaceKind.QUARANTINE, walk=9, slots=4))
    with store.reading() as rows:
        return next(spot.id for spot in reading.places(rows) if spot.name == "Apart")


def test_what_stands_wholly_in_quarantine_is_struck_out_until_it_is_moved_out(
    store: Store, stamp: StampMaker, containers: Ids
) -> None:
    first, second = ready_kale(store, stamp, containers, 2)
    place = apart(store)
    shift.move(store, stamp(), [first], place)
    ((uid, one),) = events(written(store)).items()
    assert (str(one["STATUS"]), str(one["SUMMARY"]).split(" (")[0]) == ("CONFIRMED", "set out 2W kale Copse")
    shift.move(store, stamp(), [second], place)
    struck = events(written(store))[uid]
    assert (str(struck["STATUS"]), str(struck["SUMMARY"])) == ("CANCELLED", "kept apart: set out kale Copse")
    assert struck["SEQUENCE"] > one["SEQUENCE"]
    shift.move(store, stamp(), [first, second], SLATS)
    back = events(written(store))[uid]
    assert str(back["STATUS"]) == "CONFIRMED"
    assert back["SEQUENCE"] > struck["SEQUENCE"]


def test_cells_in_quarantine_strike_out_potting_up(store: Store, stamp: StampMaker, containers: Ids) -> None:
    tray = ready_tomato(store, stamp, containers)
    (pot,) = kind(events(written(store)), "pot-up-")
    shift.move(store, stamp(), [tray], apart(store))
    struck = events(written(store))[str(pot["UID"])]
    assert (str(struck["STATUS"]), str(struck["SUMMARY"])) == (
        "CANCELLED",
        "kept apart: pot up tomato Ostrel",
    )


def test_a_promise_stands_on_its_day_and_is_struck_out_once_it_is_kept_or_dropped(
    store: Store, stamp: StampMaker, containers: Ids
) -> None:
    (tray,) = ready_kale(store, stamp, containers)
    promises.promise(store, stamp(), Given("plot 4", "kale", "Copse", 24, day(10), note="by the gate"))
    promises.promise(store, stamp(), Given("order 7", "kale", "", 50, day(12)))
    first, second = kind(events(written(store)), "promise-")
    assert str(first["SUMMARY"]) == "to fetch: 24 kale Copse, enough"
    assert str(second["SUMMARY"]) == "to fetch: 50 kale any, 2 short"
    assert (first["DTSTART"].dt, second["DTSTART"].dt) == (day(10), day(12))
    plain = b"".join(unfolded(written(store)))
    assert not any(words in plain for words in (b"plot 4", b"order 7", b"by the gate"))
    named = calendar.as_ical(calendar.read(store, TODAY, AT, names=True), AT)
    named = b"".join(unfolded(named))
    assert all(words in named for words in (b"to plot 4", b"to order 7", b"by the gate"))
    with store.reading() as rows:
        one, other = reading_owed.promises(rows)
    promises.hand_over(store, stamp(), [promises.Share(tray, None, 24)], promise_id=one.id)
    promises.drop_promise(store, stamp(), other.id)
    after = events(written(store))
    for event in (first, second):
        assert str(after[str(event["UID"])]["STATUS"]) == "CANCELLED"
    theirs = {e.uid.value: e.status.value for e in vobject.readOne(written(store).decode()).vevent_list}
    assert theirs[str(first["UID"])] == "CANCELLED"


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
        assert event["DTSTAMP"].dt == first[uid]["DTSTAMP"].dt + timedelta(hours=1)
        assert "LAST-MODIFIED" not in event, "nothing was modified in that hour"
    assert written(store) == written(store)


def test_each_sowing_of_a_succession_is_its_own_and_keeps_its_id_wherever_the_record_goes(
    store: Store, stamp: StampMaker, containers: Ids, tmp_path: Path
) -> None:
    plan.add_targets(store, stamp(), want(containers), 14, 3)
    sow(store, stamp(), Sow(containers["72-cell tray"], 1, (SowPart("kale", "Copse", 72),), TODAY))
    here = events(written(store))
    assert len(kind(here, "sow-")) == 3
    export_folder(store, tmp_path / "out")
    there = import_folder(tmp_path / "there.db", tmp_path / "out")
    assert events(written(there)).keys() == here.keys()


def test_what_is_dropped_or_sown_is_struck_out(store: Store, stamp: StampMaker, containers: Ids) -> None:
    plan.add_targets(store, stamp(), want(containers, plants=40))
    plan.add_targets(
        store, stamp(), want(containers, variety="Brisk Nine", purpose=Purpose.SALE, last_day=day(60))
    )
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
        assert any(f"tomato {name.strip()}: " in str(event["DESCRIPTION"]) for event in events(data).values())
    told = {str(event["SUMMARY"]) for event in events(data).values()}
    theirs = {event.summary.value for event in vobject.readOne(data.decode()).vevent_list}
    assert told == theirs == titles
    assert all(cell_len(title) <= calendar.TITLE for title in titles)


def test_comma_semicolon_backslash_and_line_end_are_escaped_as_the_rfc_says(
    store: Store, stamp: StampMaker, containers: Ids
) -> None:
    """RFC 5545, section 3.3.11: ESCAPED-CHAR = "\\\\" / "\\;" / "\\," / "\\N" / "\\n"; a colon isn't escaped."""
    name = 'a, b; c\\n: "d"'
    plan.add_targets(store, stamp(), want(containers, variety=name))
    data = written(store)
    lines = unfolded(data)
    assert any(line.startswith(rb'SUMMARY:sow 1 tray tomato a\, b\; c\\n: "d" by ') for line in lines)
    (told,) = [line for line in lines if line.startswith(b"DESCRIPTION:") and b"cells" in line]
    assert rb"cells\, " in told
    assert rb" a cell\nfor 60 plants\, set out" in told
    (sowing,) = kind(events(data), "sow-")
    assert str(sowing["SUMMARY"]).startswith(f"sow 1 tray tomato {name} by ")
    (theirs,) = [e for e in vobject.readOne(data.decode()).vevent_list if e.uid.value.startswith("sow-")]
    assert theirs.summary.value == str(sowing["SUMMARY"])
    assert theirs.description.value.splitlines() == str(sowing["DESCRIPTION"]).splitlines()


@pytest.mark.parametrize("text", [text for text in HARD if text])
def test_hostile_text_makes_no_line_of_its_own(text: str) -> None:
    hard = f"{text}\r\nBEGIN:VALARM\x1b[31m"
    event = DayEvent("sow-1@trayround", "sow", TODAY, hard, (hard,), hard)
    data = calendar.as_ical(calendar.CalendarView(TODAY, hard, 1, (event,)), AT)
    assert b"\x1b" not in data
    assert not any(line.startswith(b"BEGIN:VALARM") for line in unfolded(data))
    assert len(events(data)) == 1


def test_the_demo_farm_reads_back_the_same_by_both(tmp_path: Path) -> None:
    store = import_folder(tmp_path / "demo.db", demo_folder())
    now = FixedClock(TODAY).now()
    view = calendar.read(store, TODAY, now)
    data = calendar.as_ical(view, now)
    ours = {event.uid: event for event in view.events}
    assert len(ours) == len(view.events), "no id twice"
    assert sum(not event.cancelled for event in view.events) <= 60, "few enough to be read on a phone"
    assert all(len(event.title) <= calendar.TITLE for event in view.events)
    read = events(data)
    theirs = {event.uid.value: event for event in vobject.readOne(data.decode()).vevent_list}
    assert ours.keys() == read.keys() == theirs.keys()
    for uid, event in ours.items():
        days = (event.day, event.day + timedelta(days=1))
        assert (read[uid]["DTSTART"].dt, read[uid]["DTEND"].dt) == days
        assert (theirs[uid].dtstart.value, theirs[uid].dtend.value) == days
        assert str(read[uid]["SUMMARY"]) == theirs[uid].summary.value == event.title


def test_without_anything_to_come_there_is_no_calendar(store: Store) -> None:
    with pytest.raises(BadInput, match="Nothing is to come"):
        written(store)
