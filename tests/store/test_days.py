"""Days as they are typed, said and told from instants at the farm."""

from datetime import UTC, date, datetime, time, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from model.days import (
    FixedClock,
    Named,
    SystemClock,
    ago,
    check_zone,
    clock_moved,
    farm_day,
    local_time,
    named,
    next_clock_change,
    parse_ahead,
    parse_day,
    parse_hour,
    say_at,
    say_day,
    say_window,
    short_day,
)
from model.errors import BadInput
from tests.builders import TODAY, day
from tests.conftest import machine_now


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("2026-04-14", date(2026, 4, 14)),
        ("2026-4-9", date(2026, 4, 9)),
        ("2026-05-02", date(2026, 5, 2)),
        ("14 apr", date(2026, 4, 14)),
        ("14apr", date(2026, 4, 14)),
        ("14 Apr.", date(2026, 4, 14)),
        ("14 april", date(2026, 4, 14)),
        ("3 sept", date(2025, 9, 3)),
        ("15 apr", date(2025, 4, 15)),
        ("31 dec", date(2025, 12, 31)),
        ("1 jan 2027", date(2027, 1, 1)),
        ("29 feb", date(2024, 2, 29)),
        ("29 feb 2024", date(2024, 2, 29)),
        ("-3", date(2026, 4, 11)),
        ("-0", date(2026, 4, 14)),
        ("-100", date(2026, 1, 4)),
        ("today", date(2026, 4, 14)),
        ("Yesterday", date(2026, 4, 13)),
        ("  today ", date(2026, 4, 14)),
    ],
)
def test_a_day_is_read_in_every_form_that_is_offered(typed: str, meant: date) -> None:
    assert parse_day(typed, TODAY) == meant


@pytest.mark.parametrize(
    "typed",
    [
        "",
        "soon",
        "31 apr",
        "0 apr",
        "29 feb 2025",
        "14 aprox",
        "14 ma",
        "14 junk",
        "2026-02-30",
        "2026-13-01",
        "2026",
        "2026-04",
        "2026-W16",
        "14",
        "14/04/2026",
        "2026-04-14T06:30",
        "06:30",
        "-1234",
        "+3",
        "1 jan 0000",
    ],
)
def test_what_is_no_day_is_refused_with_the_forms_that_are(typed: str) -> None:
    with pytest.raises(BadInput, match="is no day") as refusal:
        parse_day(typed, TODAY)
    assert "2026-04-14, 14 apr, yesterday, or -3" in refusal.value.what_to_do


def test_a_leap_day_is_found_across_a_century_without_one() -> None:
    assert parse_day("29 feb", date(2104, 2, 28)) == date(2096, 2, 29)


@given(st.dates(date(2000, 1, 1), date(2099, 12, 31)), st.dates(date(2009, 1, 1), date(2099, 12, 31)))
def test_a_day_and_month_is_never_in_the_future_and_the_latest_such_day(typed: date, today: date) -> None:
    found = parse_day(short_day(typed), today)
    assert (found.day, found.month) == (typed.day, typed.month)
    assert found <= today
    later = [
        y for y in range(found.year + 1, today.year + 1) if _is_day(y, typed) and _day(y, typed) <= today
    ]
    assert later == []


def _day(year: int, like: date) -> date:
    return date(year, like.month, like.day)


def _is_day(year: int, like: date) -> bool:
    return (like.month, like.day) != (2, 29) or year % 4 == 0


@given(st.dates(date(1900, 1, 1), date(2200, 12, 31)))
def test_every_calendar_day_is_read_back_as_it_is_kept(whole: date) -> None:
    assert parse_day(whole.isoformat(), TODAY) == whole


def test_days_are_said_with_weekday_or_short() -> None:
    assert say_day(TODAY) == "Tue 14 Apr"
    assert short_day(date(2026, 3, 1)) == "1 Mar"


@pytest.mark.parametrize(
    ("start", "end", "words"),
    [
        (date(2026, 4, 9), date(2026, 4, 16), "9-16 Apr"),
        (date(2026, 4, 28), date(2026, 5, 3), "28 Apr-3 May"),
        (date(2026, 12, 28), date(2027, 1, 3), "28 Dec-3 Jan"),
        (date(2026, 4, 20), date(2027, 4, 22), "20 Apr-22 Apr"),
        (date(2026, 4, 16), date(2026, 4, 16), "16 Apr"),
        (date(2026, 4, 14), date(2026, 4, 14), "14 Apr"),
        (date(2026, 4, 9), date(2026, 4, 13), "now"),
        (date(2026, 4, 19), None, "from 19 Apr"),
        (date(2026, 4, 14), None, "now"),
        (date(2026, 4, 9), None, "now"),
    ],
)
def test_a_window_is_said_in_few_words(start: date, end: date | None, words: str) -> None:
    assert say_window(start, end, TODAY) == words


def test_how_long_ago_is_said_in_days() -> None:
    assert [ago(day(-back), TODAY) for back in (0, 1, 12)] == ["today", "1 d", "12 d"]


SPRING = [  # Clocks in London go forward at 01:00 UTC on 29 March 2026.
    (datetime(2026, 3, 28, 23, 59, tzinfo=UTC), date(2026, 3, 28)),
    (datetime(2026, 3, 29, 0, 59, tzinfo=UTC), date(2026, 3, 29)),
    (datetime(2026, 3, 29, 1, 0, tzinfo=UTC), date(2026, 3, 29)),
    (datetime(2026, 3, 29, 22, 59, tzinfo=UTC), date(2026, 3, 29)),
    (datetime(2026, 3, 29, 23, 0, tzinfo=UTC), date(2026, 3, 30)),
]
AUTUMN = [  # And back at 01:00 UTC on 25 October 2026.
    (datetime(2026, 10, 24, 22, 59, tzinfo=UTC), date(2026, 10, 24)),
    (datetime(2026, 10, 24, 23, 0, tzinfo=UTC), date(2026, 10, 25)),
    (datetime(2026, 10, 25, 23, 59, tzinfo=UTC), date(2026, 10, 25)),
    (datetime(2026, 10, 26, 0, 0, tzinfo=UTC), date(2026, 10, 26)),
]


@pytest.mark.parametrize(("instant", "at_the_farm"), SPRING + AUTUMN)
def test_the_farms_day_holds_through_a_clock_change(instant: datetime, at_the_farm: date) -> None:
    assert farm_day(instant, "Europe/London") == at_the_farm


def test_an_instant_is_the_same_day_whatever_zone_it_is_told_in() -> None:
    instant = datetime(2026, 4, 14, 3, 30, tzinfo=UTC)
    elsewhere = instant.astimezone(timezone(timedelta(hours=-11)))
    assert (
        farm_day(instant, "America/New_York") == farm_day(elsewhere, "America/New_York") == date(2026, 4, 13)
    )


@pytest.mark.parametrize(
    ("zone", "utc"),
    [("UTC", (6, 30)), ("Europe/London", (5, 30)), ("America/New_York", (10, 30))],
)
def test_a_fixed_clock_stands_at_half_past_six_at_the_farm(zone: str, utc: tuple[int, int]) -> None:
    now = FixedClock(TODAY, zone=zone).now()
    assert now == datetime(2026, 4, 14, *utc, tzinfo=UTC)
    assert farm_day(now, zone) == TODAY


def test_the_clock_time_is_said_as_the_farm_reads_it() -> None:
    assert local_time(FixedClock(TODAY, time(6, 5), "Europe/London").now(), "Europe/London") == "6:05"
    assert local_time(datetime(2026, 1, 14, 18, 5, tzinfo=UTC), "Europe/London") == "18:05"


def test_an_instant_is_said_with_the_farms_day_and_hour() -> None:
    late = datetime(2026, 4, 14, 23, 5, tzinfo=UTC)
    assert say_at(late, "UTC") == "Tue 14 Apr 23:05"
    assert say_at(late, "Europe/London") == "Wed 15 Apr 0:05"


def test_the_machines_clock_tells_an_aware_instant_in_utc() -> None:
    assert machine_now(SystemClock()).utcoffset() == timedelta(0)


def test_a_zone_is_known_by_its_name() -> None:
    assert check_zone("Europe/London") == "Europe/London"


@pytest.mark.parametrize("zone", ["", "Nowhere/Else", "../etc", "America", "Europe/London\0"])
def test_a_zone_that_is_none_is_refused(zone: str) -> None:
    with pytest.raises(BadInput, match="is no time zone"):
        check_zone(zone)


@pytest.mark.parametrize(
    ("zone", "today", "change", "hours"),
    [
        ("Europe/London", date(2026, 1, 1), date(2026, 3, 29), 1.0),
        ("Europe/London", date(2026, 3, 29), date(2026, 3, 29), 1.0),
        ("Europe/London", date(2026, 3, 30), date(2026, 10, 25), -1.0),
        ("America/New_York", date(2026, 1, 1), date(2026, 3, 8), 1.0),
        ("Australia/Lord_Howe", date(2026, 1, 1), date(2026, 4, 5), -0.5),
    ],
)
def test_the_next_change_of_the_clock_is_found(zone: str, today: date, change: date, hours: float) -> None:
    assert next_clock_change(today, zone) == change
    assert clock_moved(change, zone) == timedelta(hours=hours)


def test_where_clocks_never_change_there_is_no_next_change() -> None:
    assert next_clock_change(TODAY, "UTC") is None


NOON = datetime(2026, 4, 14, 12, 0, tzinfo=UTC)


@pytest.mark.parametrize(
    ("typed", "instant"),
    [
        ("now", NOON),
        ("6", datetime(2026, 4, 14, 5, 0, tzinfo=UTC)),
        ("5:30", datetime(2026, 4, 14, 4, 30, tzinfo=UTC)),
        ("13", NOON),
        ("13:01", datetime(2026, 4, 13, 12, 1, tzinfo=UTC)),
        ("18h", datetime(2026, 4, 13, 17, 0, tzinfo=UTC)),
        ("0", datetime(2026, 4, 13, 23, 0, tzinfo=UTC)),
    ],
)
def test_an_hour_is_the_last_time_the_farms_clock_showed_it(typed: str, instant: datetime) -> None:
    assert parse_hour(typed, NOON, "Europe/London") == instant


@pytest.mark.parametrize("typed", ["", "24", "6:60", "noon", "-3", "6:5", "١٢:99"])
def test_what_is_no_hour_is_refused(typed: str) -> None:
    with pytest.raises(BadInput, match="is no hour"):
        parse_hour(typed, NOON, "Europe/London")


@pytest.mark.parametrize(
    ("typed", "first", "last"),
    [
        ("12 may", date(2026, 5, 12), date(2026, 5, 12)),
        ("14 apr", date(2026, 4, 14), date(2026, 4, 14)),
        ("13 apr", date(2027, 4, 13), date(2027, 4, 13)),
        ("29 feb", date(2028, 2, 29), date(2028, 2, 29)),
        ("2026-05-12", date(2026, 5, 12), date(2026, 5, 12)),
        ("12 May 2027", date(2027, 5, 12), date(2027, 5, 12)),
        ("+21", date(2026, 5, 5), date(2026, 5, 5)),
        ("today", TODAY, TODAY),
        ("tomorrow", date(2026, 4, 15), date(2026, 4, 15)),
        ("week of 4 may", date(2026, 5, 4), date(2026, 5, 10)),
        ("week of 6 may", date(2026, 5, 4), date(2026, 5, 10)),
        ("week 14 apr", date(2026, 4, 13), date(2026, 4, 19)),
    ],
)
def test_days_to_come_are_read_ahead_and_a_week_runs_from_monday(typed: str, first: date, last: date) -> None:
    assert parse_ahead(typed, TODAY) == (first, last)


@pytest.mark.parametrize("typed", ["", "soon", "31 feb", "2026-13-01", "may", "week of", "-3", "3 xyz"])
def test_no_day_to_come_is_refused_with_how_to_type_one(typed: str) -> None:
    with pytest.raises(BadInput, match="week of 4 may"):
        parse_ahead(typed, TODAY)


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("14 Apr", Named(None, 4, 14)),
        ("Tue 14 Apr", Named(None, 4, 14)),
        ("  14  april 2025 ", Named(2025, 4, 14)),
        ("Apr 2026", Named(2026, 4, None)),
        ("apr. 2026", Named(2026, 4, None)),
        ("2026-04-14", Named(2026, 4, 14)),
        ("2026-4", Named(2026, 4, None)),
        ("may", None),
        ("mon", None),
        ("14 aprils", None),
        ("14", None),
        ("2026", None),
        ("frost in Apr 2026", None),
        ("lot 2026-04x", None),
    ],
)
def test_a_day_or_month_is_known_by_its_name_and_a_word_is_not_taken_for_one(
    typed: str, meant: Named | None
) -> None:
    assert named(typed) == meant


def test_a_day_without_a_year_is_that_day_of_every_year() -> None:
    assert [Named(None, 4, 14).holds(date(year, 4, 14)) for year in (2024, 2026)] == [True, True]
    assert not Named(2025, 4, None).holds(date(2026, 4, 14))
    assert not Named(None, 4, 13).holds(date(2026, 4, 14))


@given(st.dates(date(1990, 1, 1), date(2100, 1, 1)))
def test_every_day_is_found_as_it_is_said(day: date) -> None:
    for said in (say_day(day), f"{say_day(day)} {day.year}", day.isoformat(), f"{day:%Y-%m}"):
        found = named(said)
        assert found is not None
        assert found.holds(day)
