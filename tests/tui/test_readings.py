"""Readings typed on the round, and the page that shows a week of them with its gaps."""

from datetime import date, time, timedelta
from pathlib import Path

import pytest

from model.actions import farm as farm_actions
from model.actions.files import DEMO_MORNING
from model.days import FixedClock
from model.store.database import open_store
from tests.long import some
from tests.tui.hand import Hand, at_the_farm
from tui.commands import FIRST, READINGS, ROUND, TRAY
from tui.words import ASCII

MOST_KEYS = 12
"""Most keys for the low and the high of a place, from the job's own budget."""

Kept = list[tuple[object, ...]]


def kept(hand: Hand) -> Kept:
    """What was read since the demo's own readings: kind, place, low and high, in the order of entry."""
    return hand.rows(
        "SELECT what, place.name, reading.low_c, reading.high_c FROM reading "
        "LEFT JOIN place ON place.id = place_id JOIN entry ON entry.id = entry_id "
        "WHERE entered_at > '2026-04-14' ORDER BY reading.id"
    )


def without_forecast(path: Path) -> None:
    """Take the demo's own forecast off the record."""
    store = open_store(path)
    with store.transaction() as session:
        session.connection().exec_driver_sql("DELETE FROM reading WHERE what = 'forecast'")
    store.close()


def set_up(path: Path, **settings: str) -> None:
    store = open_store(path)
    for name, value in settings.items():
        farm_actions.set_setting(store, name, value)
    store.close()


async def test_a_reading_of_an_earlier_day_is_put_right_without_another_start(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.stand("round", 46)
        await hand.type("Ne")
        assert "Read on which day?" in hand.shown
        await hand.type("+1⏎")
        assert hand.refused
        await hand.press("backspace", "backspace")
        await hand.type("-2⏎")
        assert "What was read on Sun 12 Apr?" in hand.shown
        assert "forecast" not in hand.shown.split("What was read on")[1]
        await hand.type("4")
        assert "Low and high at Frame on Sun 12 Apr" in hand.shown
        await hand.type("-1 15⏎")
        assert hand.said.startswith("read -1 °C / 15 °C at Frame, 12 Apr; it was ")
        assert hand.rows("SELECT day, low_c, high_c FROM reading ORDER BY id DESC LIMIT 1") == [
            ("2026-04-12", -1.0, 15.0)
        ]
        # Yesterday is the likely day.
        await hand.type("Ne⏎s59⏎")
        assert hand.rows("SELECT what, day, low_c FROM reading ORDER BY id DESC LIMIT 1") == [
            ("soil", "2026-04-13", 9.0)
        ]


@pytest.mark.parametrize(
    ("typed", "low", "high"),
    [
        ("N⏎4 17⏎", 4.0, 17.0),
        ("N⏎-2,5 17,5⏎", -2.5, 17.5),
        ("N⏎4c 63f⏎", 4.0, (63 - 32) / 1.8),
        ("N⏎4 -⏎", 4.0, None),
        ("N⏎- 17⏎", None, 17.0),
        ("N44/17⏎", 4.0, 17.0),
    ],
)
async def test_low_and_high_of_a_place_take_twelve_keys_at_most(
    farm: Path, typed: str, low: float | None, high: float | None
) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("nnn")
        hand.keys = 0
        await hand.type(typed)
        assert hand.keys <= MOST_KEYS
        ((what, place, read_low, read_high),) = kept(hand)
        assert (what, place) == ("air", "Frame" if typed.startswith("N4") else "Slats")
        assert read_low == (pytest.approx(low) if low is not None else None)
        assert read_high == (pytest.approx(high) if high is not None else None)
        assert "read " in hand.said
        await hand.type("u")
        assert hand.said.startswith("took back: read ")


@pytest.mark.parametrize("where", some([FIRST, ROUND, TRAY], 1))
async def test_enter_takes_the_place_of_the_tray_under_the_hand(farm: Path, where: str) -> None:
    async with at_the_farm(farm) as hand:
        number = hand.listed[0] if where == FIRST else 25
        await hand.stand(where, number)
        place = hand.line(number).place
        await hand.type("N⏎4 17⏎")
        assert kept(hand) == [("air", place, 4.0, 17.0)]


async def test_on_the_page_enter_goes_from_place_to_place_that_is_not_read_yet(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("H")
        for typed in ("24 24", "17 21", "9 20", "3 16", "2 14", "11 17"):
            await hand.type(f"N⏎{typed}⏎")
        places = ["Mat", "Shelf", "Slats", "Frame", "Hardening", "Corner"]
        assert [place for _, place, _, _ in kept(hand)] == places
        assert "gap:" in hand.shown
        assert all(f" {pair} " in hand.shown for pair in ("9/20", "3/16", "2/14", "11/17"))


async def test_a_reading_of_95_on_a_celsius_farm_is_asked_about(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("nN⏎20 95⏎")
        assert hand.refused == (
            "95 °C is outside what a place for plants can have. Did you mean 95 °F? Then type 95f."
        )
        assert hand.typed == "20 95"
        await hand.press("escape")
        assert kept(hand) == []


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("", "Nothing was read."),
        ("- -", "Nothing was read."),
        ("4", "'4' is not a low and a high. Type both, the low first, like 4 17; for one alone 4 - or - 17."),
        ("4 17 3", "is not a low and a high."),
        ("17 4", "The low is above the high."),
        ("nan 4", "'nan' is no temperature."),
    ],
)
async def test_what_is_no_low_and_high_is_refused_and_kept_to_be_mended(
    farm: Path, typed: str, words: str
) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type(f"nN⏎{typed}⏎")
        assert words in hand.refused
        assert kept(hand) == []


async def test_soil_is_read_at_a_place_and_shown_with_its_age(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("nNs39⏎Ns121,5⏎H")
        assert kept(hand) == [("soil", "Slats", 9.0, None), ("soil", "Mat", 21.5, None)]
        assert "soil: Slats 9 °C, today; Hardening 9 °C, 1 d ago." in hand.shown
        assert "Mat set to 24 °C, no probe; its mix was read, 22 °C, today: that counts." in hand.shown
    async with at_the_farm(farm, on=DEMO_MORNING + timedelta(days=3)) as hand:
        await hand.type("nH")
        assert "soil: Slats 9 °C, 3 d ago; Hardening 9 °C, 4 d ago." in hand.shown


async def test_the_forecast_is_kept_with_its_hour_and_said_to_be_old_after_a_day(farm: Path) -> None:
    without_forecast(farm)
    async with at_the_farm(farm) as hand:
        await hand.type("nH")
        assert "tonight: not known, no forecast on record." in hand.shown
        await hand.type("Nf2⏎5:30⏎")
        assert hand.said.startswith("forecast for tonight 2 °C.")
        # Half past six in Greenwich is half past seven on the farm.
        assert "tonight 2 °C, issued 5:30, 2 h old." in hand.shown
        await hand.type("Nf1⏎18⏎")
        assert "tonight 1 °C, issued 18:00, 13 h old." in hand.shown
        await hand.type("Nf-1⏎⏎")
        assert "tonight -1 °C, issued 7:30, less than 1 h old." in hand.shown
        assert hand.rows("SELECT place_id FROM reading WHERE what = 'forecast'") == [(None,)] * 3
    async with at_the_farm(farm, on=DEMO_MORNING + timedelta(days=1)) as hand:
        await hand.type("nH")
        assert "tonight: not known; the last forecast, -1 °C for Tue 14 Apr, is old." in hand.shown


async def test_a_forecast_tells_of_several_nights_in_one_go(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("nNf4 2c -1 37f 5⏎⏎")
        assert hand.said.startswith("forecast for tonight 4 °C and 4 more nights.")
        found = hand.rows("SELECT day, low_c FROM reading WHERE what = 'forecast' ORDER BY id DESC LIMIT 5")[
            ::-1
        ]
        days = ["2026-04-14", "2026-04-15", "2026-04-16", "2026-04-17", "2026-04-18"]
        assert found == list(zip(days, [4.0, 2.0, -1.0, pytest.approx(2.8, abs=0.05), 5.0], strict=True))
        await hand.type("Nf" + "1 " * 15 + "⏎⏎")
        assert "15 lows can't be taken. Give tonight's, and up to 13 more." in hand.said


async def test_a_forecast_for_tonight_that_is_a_day_old_is_said_to_be_old(farm: Path) -> None:
    async with at_the_farm(farm, clock=FixedClock(DEMO_MORNING, time(0, 30))) as hand:
        await hand.type("nNf2⏎⏎")
    async with at_the_farm(
        farm, clock=FixedClock(DEMO_MORNING + timedelta(days=1), time(1, 0)), asked=DEMO_MORNING
    ) as hand:
        await hand.type("nH")
        assert "issued 1:30, 24 h old: old, ask for a new one." in hand.shown


@pytest.mark.parametrize("hour", some(["25", "5:75", "noon", ""], 1))
async def test_what_is_no_hour_is_asked_again(farm: Path, hour: str) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type(f"nNf2⏎{hour or 'x'}⏎")
        assert "is no hour. Type it like 6, 5:30 or 18, or now." in hand.refused


async def test_what_is_not_read_is_a_gap_and_what_stands_in_is_said_with_its_age(farm: Path) -> None:
    later = DEMO_MORNING + timedelta(days=400)
    async with at_the_farm(farm, on=later) as hand:
        await hand.type("nnn")
        await hand.type("N3- 17⏎H")
        slats = next(row for row in hand.shown.splitlines() if row.startswith(" Slats"))
        assert slats.split() == ["Slats", *["┄", "gap"] * 6, "┄/17", "today", "low", "12"]
        corner = next(row for row in hand.shown.splitlines() if row.startswith(" Corner"))
        assert corner.split() == ["Corner", *["┄", "gap"] * 7, "never", "10/18"]
        (unread,) = (row for row in hand.shown.splitlines() if "not read for 30 d or longer" in row)
        assert "Corner" in unread
        assert "Slats" not in unread
    async with at_the_farm(farm, on=later + timedelta(days=12)) as hand:
        await hand.type("nH")
        slats = next(row for row in hand.shown.splitlines() if row.startswith(" Slats"))
        assert slats.split()[-4:] == ["12", "d", "ago", "12/21"]


async def test_light_needs_a_latitude_and_a_latitude_of_200_is_refused(farm: Path) -> None:
    set_up(farm, latitude="")
    async with at_the_farm(farm) as hand:
        await hand.type("nH")
        assert "day length: not known.   S sets the latitude of the farm." in hand.shown
        await hand.type("S7200⏎")
        assert hand.refused == "There is no latitude of 200. Give degrees from the equator, 0 to 90."
        await hand.press("escape")
        await hand.type("S751.5n⏎")
        assert hand.rows("SELECT value FROM setting WHERE name = 'latitude'") == [("51.5",)]
        assert "day length 13 h 48 min at 51.5° N, 4 min longer than yesterday." in hand.shown
        assert "about 19 mol/m² a day under glass, 8 on a sill (assumed)." in hand.shown


async def test_lamps_are_set_and_shown_beside_what_bulletins_say(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("nH")
        await hand.type("P2⏎⏎⏎⏎⏎⏎14⏎60⏎150⏎")
        assert hand.rows("SELECT lamp_hours, lamp_gap_mm, lamp_umol FROM place WHERE name = 'Shelf'") == [
            (14.0, 60.0, 150.0)
        ]
        assert "Shelf lamps: 14 h, gap 60 mm, 7.6 mol/m² a day (12 assumed enough)." in hand.shown
        assert "university bulletins: 14-16 h, 51-76 mm above leaves; some do with 12 h." in hand.shown
        assert "raise lamps? look at the gap Thu 16 Apr, every third day: Shelf." in hand.shown
        # Enter all the way keeps what stands there.
        await hand.type("P2⏎⏎⏎⏎⏎⏎⏎⏎⏎")
        assert hand.rows("SELECT lamp_hours, lamp_gap_mm, lamp_umol FROM place WHERE name = 'Shelf'") == [
            (14.0, 60.0, 150.0)
        ]


async def test_lamps_that_nobody_measured_stay_not_known(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("nPnLoft⏎2⏎⏎⏎⏎⏎⏎0⏎")
        assert hand.rows("SELECT lamp_hours, lamp_gap_mm, lamp_umol FROM place WHERE name = 'Loft'") == [
            (None, None, None)
        ]
        await hand.type("H")
        assert "Loft lamps: hours not known, gap not known, light not known.   P sets them." in hand.shown


@pytest.mark.parametrize(("typed", "words"), [("25", "25 can't be."), ("noon", "'noon' is no number.")])
async def test_lamp_hours_that_cant_be_are_refused(farm: Path, typed: str, words: str) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type(f"nP2⏎⏎⏎⏎⏎⏎{typed}⏎")
        assert hand.refused == f"{words} Type hours from 0 to 24, like 14 or 14.5."


async def test_a_mat_says_whether_a_probe_sits_in_the_mix(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("nP1⏎⏎⏎⏎⏎y")
        assert hand.rows("SELECT probe FROM place WHERE name = 'Mat'") == [(1,)]
        await hand.type("H")
        assert "Mat set to 24 °C, its probe sits in the mix." in hand.shown


@pytest.mark.parametrize(
    ("day", "words"),
    [
        (date(2026, 3, 28), "timers: clocks go forward 1 h Sun 29 Mar;"),
        (date(2026, 3, 29), "timers: clocks go forward 1 h today;"),
        (date(2026, 3, 30), "timers: clocks go back 1 h Sun 25 Oct;"),
        (date(2026, 10, 25), "timers: clocks go back 1 h today;"),
    ],
)
async def test_timers_are_checked_on_the_day_the_clocks_change(farm: Path, day: date, words: str) -> None:
    async with at_the_farm(farm, on=day) as hand:
        await hand.type("nH")
        assert words in hand.shown


async def test_the_lamp_check_comes_every_third_day(farm: Path) -> None:
    async with at_the_farm(farm, on=date(2026, 4, 16)) as hand:
        await hand.type("nH")
        assert "raise lamps? look at the gap today, every third day: Shelf." in hand.shown


@pytest.mark.parametrize("size", some([(80, 24), (60, 16), (120, 40)], 1))
async def test_the_page_fits_and_what_does_not_scrolls(farm: Path, size: tuple[int, int]) -> None:
    async with at_the_farm(farm, size=size) as hand:
        await hand.type("nH")
        assert hand.where == READINGS
        assert "Hardening" in hand.shown
        assert "last read" in hand.shown
        await hand.press("end")
        await hand.until("timers: clocks go back 1 h Sun 25 Oct")
        body = hand.app.screen.query_one("#body")
        if size[0] >= 80:
            assert body.max_scroll_y == 0, hand.shown
            assert "Wed 8" in hand.shown


async def test_nothing_on_the_page_is_nan_at_the_pole_on_a_fahrenheit_farm_in_plain_signs(farm: Path) -> None:
    set_up(farm, latitude="90n", temperature="°F", measure="US")
    async with at_the_farm(farm, signs=ASCII, on=date(2026, 12, 31)) as hand:
        await hand.type("nN⏎33 -⏎H")
        assert "nan" not in hand.shown.lower().replace("unknown", "")
        assert "day length 0 h 0 min at 90° N, as yesterday." in hand.shown
        assert "33/-" in hand.shown
        assert "- gap" in hand.shown
        assert "2-3 in above leaves" in hand.shown


async def test_digits_on_the_page_take_no_tray_and_esc_goes_back(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n46TH")
        await hand.type("25")
        assert hand.where == READINGS
        await hand.press("escape")
        assert (hand.where, hand.under_hand) == (ROUND, 46)


async def test_an_empty_farm_has_no_week_and_can_keep_a_forecast(tmp_path: Path) -> None:
    async with at_the_farm(tmp_path / "new.db", make=True) as hand:
        await hand.type("H")
        assert "This farm has no place yet.   P adds one." in hand.shown
        await hand.type("Nsg9⏎")
        assert hand.said.startswith("read 9 °C in the ground outside.")
        await hand.type("Nf2⏎⏎")
        assert "tonight 2 °C" in hand.shown


async def test_a_finger_in_the_mix_is_one_key_more(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.stand(ROUND, 46)
        await hand.type("h0")
        assert hand.keys == 2
        assert hand.said.startswith("finger test 0, dry: 46T.")
        await hand.type("h")
        await hand.press("enter")
        assert hand.asks, "Enter takes no answer: there is no likely one"


async def test_a_wide_page_says_in_words_what_is_assumed(farm: Path) -> None:
    async with at_the_farm(farm, size=(120, 40)) as hand:
        await hand.type("nH")
        assert "last read 18 d ago: usual 24/24 assumed" in hand.shown
        assert "never read: usual 10/18 assumed" in hand.shown
        await hand.type("N34 -⏎N49 19⏎")
        assert "last read today: usual high 21 assumed" in hand.shown
        assert "9/19  last read today\n" in hand.shown.replace(" " * 10, "\n")


async def test_what_was_read_on_the_page_counts_on_the_tray_it_was_opened_from(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.stand(TRAY, 46)
        before = hand.shown
        await hand.type("H")
        await hand.type("Ns12c⏎")
        await hand.press("escape")
        assert hand.where == TRAY
        assert hand.shown != before


@pytest.mark.parametrize(
    ("day", "words"),
    [(date(2026, 4, 16), "Every third day: look at the gap under the lamps."), (date(2026, 4, 15), "")],
)
async def test_the_round_reminds_of_the_lamps_where_it_comes_to_a_lit_shelf(
    farm: Path, day: date, words: str
) -> None:
    async with at_the_farm(farm, on=day) as hand:
        await hand.type("n")
        while hand.place != "Shelf":
            await hand.type("n")
        assert hand.said == words
        await hand.type("n")
        assert hand.said == ""
