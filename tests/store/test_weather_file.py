"""Daily weather files as they are found: what is used, what is named, what is refused."""

import codecs
import gzip
import random
from datetime import date, timedelta
from time import perf_counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.errors import BadInput
from model.units import Temperature
from model.weather.checks import COLDEST_AIR_C, HOTTEST_AIR_C
from model.weather.reading import Defect, Layout, WeatherDay, WeatherFile, read_weather

C, F = Temperature.CELSIUS, Temperature.FAHRENHEIT
TODAY = date(2026, 6, 1)
APRIL = date(2026, 4, 1)
STATION = "USC00010655"


def read(text: str, scale: Temperature = C) -> WeatherFile:
    return read_weather(text.encode(), scale, TODAY)


def refusal(text: str | bytes, scale: Temperature = C) -> BadInput:
    with pytest.raises(BadInput) as caught:
        read_weather(text if isinstance(text, bytes) else text.encode(), scale, TODAY)
    assert caught.value.what_happened
    assert caught.value.what_to_do
    return caught.value


def only(defects: tuple[Defect, ...]) -> Defect:
    (defect,) = defects
    assert defect.what
    assert defect.cure
    return defect


def table(*rows: str, head: str = "date,low_c,high_c") -> str:
    return "\n".join((head, *rows)) + "\n"


def april(days: int, low: float = 5.0, high: float = 15.0) -> list[str]:
    """Rows of steady weather from the first of April on."""
    return [f"{APRIL + timedelta(days=n)},{low:g},{high:g}" for n in range(days)]


def by_year(day: date, element: str, value: int, quality: str = "", station: str = STATION) -> str:
    return f"{station},{day:%Y%m%d},{element},{value},,{quality},7,0700"


def monthly(element: str, values: dict[int, tuple[int, str]], month: str = "202604") -> str:
    days = (values.get(day, (-9999, " ")) for day in range(1, 32))
    return f"{STATION}{month}{element}" + "".join(f"{value:5d} {quality}7" for value, quality in days)


ONE_DAY = (WeatherDay(APRIL, 5.0, 15.0),)


@pytest.mark.parametrize(
    ("text", "scale"),
    [
        ("date,low_c,high_c\n2026-04-01,5,15", F),
        ("date,low_f,high_f\n2026-04-01,41,59", C),
        ("date,low,high\n2026-04-01,5,15", C),
        ("date,low,high\n2026-04-01,41,59", F),
        ("date,low,high,unit\n2026-04-01,41,59,F", C),
        ("date,low,high,unit\n2026-04-01,5,15,°C", F),
        ("date,low,high\n2026-04-01,5c,15 °C", F),
        ("date,low,high\n2026-04-01,41f,59 °F", C),
        ("high_f,rain,date,low_f\n59,0.2,2026-04-01,41", C),
        ("Date;Low (°C);High (°C)\n2026-04-01;5,0;15,0", F),
        ("Date;Low, °C;High, °C\n2026-04-01;5,0;15,0", F),
        ("date\tmin temp c\tmax temp c\n2026-04-01\t5\t15", F),
        ("date,tmin_f,tmax_f\n2026-04-01,41,59", C),
        ('"date","low_c","high_c"\n"2026-04-01","5,0","15.0"', F),
        ("\n\ndate,low_c,high_c\r\n\r\n2026-04-01,5,15\r\n,,\r\n\r\n", C),
        ("date,low_c,high_c\r2026-04-01,5,15\r", C),
        ("date,low_c,high_c,,\n2026-04-01,5,15,,,,\n", C),
        ("date,low_c,high_c\n20260401,5,15", C),
        ("date,low_c,high_c\n2026/4/1,5,15", C),
        ("date,low_c,high_c\n2026-04-01T00:00:00,5,15", C),
    ],
)
def test_a_table_is_read_by_its_headings(text: str, scale: Temperature) -> None:
    found = read(text, scale)
    assert found == WeatherFile(ONE_DAY, (), "", Layout.TABLE, 0)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "latin-1"])
def test_every_usual_encoding_is_read(encoding: str) -> None:
    text = "date,low °C,high °C\n2026-04-01,5,15\n"
    assert read_weather(text.encode(encoding), F, TODAY).days == ONE_DAY


def test_a_minus_sign_of_print_is_a_minus() -> None:
    assert read(table("2026-04-01,\N{MINUS SIGN}3,15")).days[0].low_c == -3.0


def test_days_come_out_in_order_whatever_their_order_in_the_file() -> None:
    found = read(table(*reversed(april(9))))
    assert [day.day for day in found.days] == [APRIL + timedelta(days=n) for n in range(9)]
    assert not found.defects


@pytest.mark.parametrize("text", ["-99", "-999", "-9999", "9999", "-99.9", "999,9"])
def test_a_number_that_stands_for_nothing_is_named_and_its_day_not_used(text: str) -> None:
    found = read(table("2026-04-01;5;15", f"2026-04-02;5;{text}", head="date;low_c;high_c"))
    assert found.days == ONE_DAY
    defect = only(found.defects)
    assert (defect.line, defect.column) == (3, "high_c")
    assert f"'{text}' stands for a missing value" in defect.what


@pytest.mark.parametrize(
    ("row", "column", "word"),
    [
        ("2026-04-03,5x,15", "low_c", "'5x' is no temperature"),
        ("2026-04-03,5,1.234,5", "", "4 fields"),
        ("2026-04-03,5", "", "2 fields"),
        ("2026-04-03,5,61", "high_c", "outside"),
        ("2026-04-03,-71,15", "low_c", "outside"),
        ("2026-04-03,5,\x1b[31m15", "high_c", "no temperature"),
        ("2026-02-30,5,15", "date", "no day"),
        ("3 apr,5,15", "date", "no day"),
        ("date,5,15", "date", "no day"),
        ("-3,5,15", "date", "no day"),
        ("45383,5,15", "date", "no day"),
        ("01/04/26,5,15", "date", "no day"),
        ("2026-06-02,5,15", "date", "future"),
        ("0026-04-03,5,15", "date", "too long ago"),
        ('2026-04-03,"5,15', "", "quote"),
        ("2026-04-03,15,5", "low_c", "above the high"),
        ("2026-04-03,,15", "low_c", "no low"),
        ("2026-04-03,5,NA", "high_c", "no high"),
        ("date,low_c,high_c", "", "once more"),
    ],
)
def test_a_bad_row_is_named_with_its_line_and_the_rest_is_used(row: str, column: str, word: str) -> None:
    found = read(table(*april(2), row))
    assert [day.day.day for day in found.days] == [1, 2]
    defect = only(found.defects)
    assert (defect.line, defect.column) == (4, column)
    assert word in defect.what
    assert defect.what.isprintable()


def test_a_stray_quote_swallows_no_line_below_it() -> None:
    assert len(read(table('"2026-03-31,5,15', *april(5))).days) == 5


def test_each_gap_is_one_defect_with_its_first_and_last_day() -> None:
    rows = april(20)
    found = read(table(*rows[:3], *rows[4:8], "2026-04-09,,", "2026-04-10,NA,", *rows[12:]))
    assert len(found.days) == 15
    one, more = found.defects
    assert (one.line, one.what) == (5, "2026-04-04 is missing.")
    assert (more.line, more.what) == (9, "4 days are missing, 2026-04-09 to 2026-04-12.")


def test_a_day_whose_value_was_refused_is_not_also_a_gap() -> None:
    found = read(table(*april(2), "2026-04-03,-999,-999", "2026-04-04,5,15"))
    assert [(defect.line, defect.column) for defect in found.defects] == [(4, "low_c"), (4, "high_c")]


def test_a_day_said_twice_alike_is_taken_once_and_said_so() -> None:
    found = read(table(*april(3), "2026-04-02,5.0,15"))
    assert len(found.days) == 3
    assert (only(found.defects).line, "lines 3 and 5" in only(found.defects).what) == (5, True)


@pytest.mark.parametrize("row", ["2026-04-02,5,16", "2026-04-02,4,15", "2026-04-02,5,x"])
def test_a_day_said_twice_and_not_alike_is_not_used(row: str) -> None:
    found = read(table(*april(3), row))
    assert [day.day.day for day in found.days] == [1, 3]
    assert only(found.defects).line == 5


def test_a_value_impossible_for_the_season_is_named_in_the_farms_scale() -> None:
    rows = april(31, 68, 90)
    rows[17] = "2026-04-18,-72,90"
    rows[20] = "2026-04-21,68,139"
    found = read(table(*rows, head="date,low_f,high_f"), F)
    assert len(found.days) == 29
    low, high = found.defects
    assert (low.line, low.column) == (19, "low_f")
    assert "-72 °F" in low.what
    assert "68 °F" in low.what
    assert (high.line, high.column) == (22, "high_f")
    assert "139 °F" in high.what


@pytest.mark.parametrize(("low", "kept"), [(-20.0, True), (-20.1, False)])
def test_a_low_is_doubtful_beyond_twenty_five_degrees_below_its_neighbours(low: float, kept: bool) -> None:
    found = read(table(*april(9), f"2026-04-10,{low},15"))
    assert (len(found.days) == 10) is kept
    assert (found.defects == ()) is kept


@pytest.mark.parametrize(("before", "kept"), [(4, True), (5, False)])
def test_a_low_is_held_only_against_five_days_or_more(before: int, kept: bool) -> None:
    found = read(table(*april(before), f"2026-04-{before + 1:02},-21,15"))
    assert (found.defects == ()) is kept


@pytest.mark.parametrize(("off", "kept"), [(15, False), (16, True)])
def test_a_low_is_held_against_days_up_to_fifteen_off_on_either_side(off: int, kept: bool) -> None:
    later, earlier = APRIL + timedelta(days=off), APRIL + timedelta(days=4 - off)
    for day in (later, earlier):
        found = read(table(*april(5), f"{day},-21,15"))
        assert any(f"{off - 5} days are missing" in defect.what for defect in found.defects)
        assert (len(found.days), len(found.defects)) == ((6, 1) if kept else (5, 2))


@pytest.mark.parametrize(
    ("row", "kept"),
    [
        (f"{TODAY},5,15", True),
        (f"{TODAY + timedelta(days=1)},5,15", False),
        ("1700-01-01,5,15", True),
        ("1699-12-31,5,15", False),
        (f"{APRIL},-70,15", True),
        (f"{APRIL},-70.1,15", False),
        (f"{APRIL},5,60", True),
        (f"{APRIL},5,60.1", False),
        (f"{APRIL},5,5", True),
        (f"{APRIL},5.1,5", False),
    ],
)
def test_the_limits_of_a_day_and_of_air_are_themselves_allowed(row: str, kept: bool) -> None:
    row = ",".join((row.split(",")[0], *(f"{value}c" for value in row.split(",")[1:])))
    assert len(read(table(row)).days) == kept


def test_a_warm_week_in_the_wrong_scale_is_named_day_by_day() -> None:
    found = read(table(*april(20), "2026-04-21,41,59"))
    assert len(found.days) == 20
    assert only(found.defects).column == "high_c"


def test_a_unit_beside_the_other_is_obeyed_and_named_once_a_column() -> None:
    found = read(table("2026-04-01,5,15", "2026-04-02,41f,15", "2026-04-03,41f,15"))
    assert {(day.low_c, day.high_c) for day in found.days} == {(5.0, 15.0)}
    defect = only(found.defects)
    assert (defect.line, defect.column) == (3, "low_c")
    assert "both °C and °F" in defect.what


def test_a_row_may_be_in_either_unit_and_the_mix_is_named() -> None:
    found = read(table("2026-04-01,5,15,C", "2026-04-02,41,59,F", head="date,low,high,unit"))
    assert {(day.low_c, day.high_c) for day in found.days} == {(5.0, 15.0)}
    assert [(defect.line, defect.column) for defect in found.defects] == [(3, "low"), (3, "high")]


@pytest.mark.parametrize(
    ("head", "unit", "word"),
    [
        ("date,low_c,high_c,unit", "F", "heading says °C"),
        ("date,low,high,unit", "", "no unit"),
        ("date,low,high,unit", "K", "'K' is no unit"),
    ],
)
def test_a_unit_that_can_not_be_is_named(head: str, unit: str, word: str) -> None:
    found = read(table(f"2026-04-01,5,15,{unit}", head=head))
    assert found.days == ()
    assert all(word in defect.what for defect in found.defects)
    assert len(found.defects) == 2


@pytest.mark.parametrize(
    ("head", "low", "high", "scale"),
    [
        ("date,low,high", 50, 73, C),
        ("date,low_c,high_c", 50, 73, F),
        ("date,low,high", 65, 95, C),
        ("date,low,high", 5, 15, F),
        ("date,low,high", 56, 128, C),
    ],
)
def test_a_column_that_looks_like_the_other_scale_is_asked_about(
    head: str, low: float, high: float, scale: Temperature
) -> None:
    assert "middle value" in refusal(table(*april(20, low, high), head=head), scale).what_happened


@pytest.mark.parametrize(
    ("head", "low", "high", "scale"),
    [
        ("date,low,high", 10, 40, F),
        ("date,low,high", -20, -10, C),
        ("date,low,high", -30, 40, C),
        ("date,low_f,high_f", 5, 15, C),
        ("date,low_f,high_f", 5, 15, F),
    ],
)
def test_cold_and_warmth_that_can_be_are_not_asked_about(
    head: str, low: float, high: float, scale: Temperature
) -> None:
    assert len(read(table(*april(9, low, high), head=head), scale).days) == 9


def test_mostly_short_rows_are_named_one_by_one() -> None:
    found = read(table("2026-04-01,5,15", "2026-04-02,5", "2026-04-03,5"))
    assert found.days == ONE_DAY
    assert [defect.line for defect in found.defects] == [3, 4]


def test_a_unit_behind_each_value_answers_the_question() -> None:
    rows = [f"{APRIL + timedelta(days=n)},30c,43c" for n in range(9)]
    assert len(read(table(*rows, head="date,low,high")).days) == 9


def test_a_winter_in_fahrenheit_under_bare_headings_is_what_can_not_be_seen() -> None:
    # A limit, held here so that nobody believes otherwise: 25 and 39 °F could be a desert's 25 and 39 °C.
    assert len(read(table(*april(9, 25, 39), head="date,low,high")).days) == 9


def test_day_and_month_are_settled_by_any_number_above_twelve() -> None:
    british = [f"{n:02}/04/2026,5,15" for n in range(1, 15)]
    american = [f"04/{n:02}/2026,5,15" for n in range(1, 15)]
    for rows in (british, american, [row.replace("/", ".") for row in british]):
        found = read(table(*rows))
        assert [day.day for day in found.days] == [APRIL + timedelta(days=n) for n in range(14)]
        assert not found.defects
    assert read(table("05/05/2026,5,15")).days[0].day == date(2026, 5, 5)


@pytest.mark.parametrize(
    ("text", "word"),
    [
        (table("01/04/2026,5,15", "02/04/2026,5,15"), "two ways"),
        (table("13/04/2026,5,15", "04/14/2026,5,15"), "Line 2 writes the day first, line 3 the month"),
        (table("2026-04-01 13:00,5,15"), "time of the day"),
        ("", "empty"),
        ("\n \r\n;;\n", "empty"),
        ("date,low_c,high_c\n", "no rows"),
        ("2026-04-01,5,15\n2026-04-02,5,15\n", "no headings"),
        ("dear all, please find\nthe weather, attached", "no headings"),
        ("low_c,high_c\n5,15", "No column is headed date"),
        ("date,high_c\n2026-04-01,15", "No column is headed low"),
        ("date,low_c\n2026-04-01,15", "No column is headed high"),
        ("date,low_c,low_f,high_c\n2026-04-01,5,41,15", "low_c and low_f hold the same"),
        ("date,tmin,tmax\n2026-04-01,5,15", "state no unit"),
        ("date,low_k,high_k\n2026-04-01,278,288", "no headings"),
        (table("2026-04-01,5,5,15,2", "2026-04-02,5,6,15,1"), "more fields than the 3 headings"),
        (table("2026-04-01,5,15", "date,low_f,high_f", "2026-04-02,41,59"), "other headings"),
        (
            table("a,2026-04-01,5,15", "b,2026-04-02,5,15", head="station,date,low_c,high_c"),
            "stations: a, b.",
        ),
        (f"{STATION},20260401,PRCP,0,,,7,0700\n", "no low and no high"),
    ],
)
def test_a_file_that_can_not_be_read_as_a_whole_is_refused_with_its_cure(text: str, word: str) -> None:
    assert word in refusal(text).what_happened


@pytest.mark.parametrize(
    "data",
    [
        b"PK\x03\x04 sheet",
        gzip.compress(b"date,low_c,high_c\n2026-04-01,5,15\n", mtime=0),
        b"%PDF-1.7",
        b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x00\x00",
        codecs.BOM_UTF16_LE,
        bytes(100),
        b"\x00",
        random.Random(7).randbytes(4000),
    ],
)
def test_what_is_no_text_is_refused(data: bytes) -> None:
    refusal(data)


def test_many_stations_are_named_only_in_part() -> None:
    rows = [by_year(APRIL, "TMIN", 50, station=f"USC000000{n:02}") for n in range(9)]
    assert refusal("\n".join(rows)).what_happened.endswith("USC00000004 and 4 more.")


def test_lines_above_the_headings_are_named_since_they_are_not_read() -> None:
    found = read("My garden\nlow field, by the pond\n" + table(*april(3)))
    assert len(found.days) == 3
    assert only(found.defects).line == 1


def test_the_networks_layout_by_year_is_read_in_tenths_and_other_elements_counted() -> None:
    rows = [
        by_year(APRIL, "TMAX", 150),
        by_year(APRIL, "PRCP", 3),
        by_year(APRIL, "TMIN", 50),
        by_year(APRIL, "TOBS", 61),
    ]
    assert read("\n".join(rows), F) == WeatherFile(ONE_DAY, (), STATION, Layout.BY_YEAR, 2)
    headed = "ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME\n" + "\n".join(rows)
    assert read(headed).days == ONE_DAY


@pytest.mark.parametrize(
    ("row", "column", "word"),
    [
        (by_year(date(2026, 4, 2), "TMIN", 50, "I"), "TMIN", "quality flag 'I'"),
        (by_year(date(2026, 4, 2), "TMIN", 5000), "TMIN", "outside"),
        (by_year(date(2026, 4, 2), "TMIN", 50).replace(",50,", ",5.0,"), "TMIN", "tenths"),
        (by_year(date(2026, 4, 2), "TMIN", -9999), "TMIN", "no low"),
        (by_year(date(2026, 4, 2), "TMIN", 50).replace("20260402", "20260431"), "date", "no day"),
        (by_year(date(2026, 4, 2), "TMIN", 50).replace("20260402", "20270402"), "date", "future"),
        (f"{STATION},20260402,TMIN", "", "3 fields"),
    ],
)
def test_a_bad_row_of_the_network_is_named_and_its_day_not_used(row: str, column: str, word: str) -> None:
    rows = [by_year(APRIL, "TMIN", 50), by_year(APRIL, "TMAX", 150), row]
    found = read("\n".join([*rows, by_year(date(2026, 4, 2), "TMAX", 150)]))
    assert found.days == ONE_DAY
    assert any((d.column, word in d.what) == (column, True) and d.line in {3, 4} for d in found.defects)


def test_an_element_given_twice_is_taken_once_or_not_at_all() -> None:
    rows = [by_year(APRIL, "TMIN", 50), by_year(APRIL, "TMAX", 150)]
    alike = read("\n".join([*rows, by_year(APRIL, "TMIN", 50)]))
    assert alike.days == ONE_DAY
    assert only(alike.defects).line == 3
    other = read("\n".join([*rows, by_year(APRIL, "TMIN", 51)]))
    assert other.days == ()
    assert "different" in only(other.defects).what


def test_the_networks_monthly_layout_is_read_at_its_places() -> None:
    low = monthly("TMIN", {1: (50, " "), 2: (-3, " "), 5: (40, " "), 6: (40, "S")})
    high = monthly("TMAX", {1: (150, " "), 2: (101, " "), 5: (140, " "), 6: (140, " ")}).rstrip()
    assert len(low) == 269
    found = read("\n".join((low, monthly("PRCP", {1: (3, " ")}), high)))
    assert (found.layout, found.station, found.ignored) == (Layout.MONTHLY, STATION, 1)
    assert [(d.day.day, d.low_c, d.high_c) for d in found.days] == [
        (1, 5.0, 15.0),
        (2, -0.3, 10.1),
        (5, 4.0, 14.0),
    ]
    assert [(d.line, d.column) for d in found.defects] == [(1, "TMIN"), (1, "")]
    assert any(d.what == "2 days are missing, 2026-04-03 to 2026-04-04." for d in found.defects)


@pytest.mark.parametrize("row", ["what is this", monthly("TMIN", {}) + "0", monthly("TMIN", {})[:9]])
def test_a_row_that_is_not_of_the_monthly_layout_is_named(row: str) -> None:
    found = read("\n".join((monthly("TMIN", {1: (50, " ")}), row, monthly("TMAX", {1: (150, " ")}))))
    assert found.days == ONE_DAY
    assert (only(found.defects).line, only(found.defects).column) == (2, "")


def test_a_value_on_a_day_that_the_month_does_not_have_is_named() -> None:
    found = read(
        "\n".join(
            monthly(name, {1: (value, " "), 31: (9, " ")}) for name, value in (("TMIN", 50), ("TMAX", 150))
        )
    )
    assert found.days == ONE_DAY
    assert ["20260431" in d.what for d in found.defects] == [True, True]


WIDE = '"STATION","DATE","NAME","PRCP","TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES"'


def wide(day: int, high: object, low: object, flag: str = "") -> str:
    return f'"{STATION}","2026-04-{day:02}","POND, AL US","    0","{high:>5}",",{flag},W","{low:>5}",",,W"'


def test_the_networks_wide_layout_is_read_in_tenths() -> None:
    rows = [
        WIDE,
        wide(1, 150, 50),
        wide(2, 151, 50, "I"),
        wide(3, "", ""),
        wide(4, -9999, 41),
        wide(5, 160, 60),
    ]
    found = read("\n".join(rows))
    assert (found.layout, found.station) == (Layout.WIDE, STATION)
    assert [(d.day.day, d.low_c, d.high_c) for d in found.days] == [(1, 5.0, 15.0), (5, 6.0, 16.0)]
    assert [(d.line, d.column) for d in found.defects] == [(3, "TMAX"), (4, ""), (5, "TMAX")]
    assert "has a low but no high" in found.defects[2].what


@pytest.mark.parametrize(("high", "low"), [(59, 41), (134, -134), ("15.0", "5.0")])
def test_a_wide_file_that_could_be_in_degrees_is_refused(high: object, low: object) -> None:
    assert "tenths" in refusal("\n".join([WIDE, wide(1, high, low)])).what_happened


@pytest.mark.parametrize(("others", "kept"), [(4, True), (5, False)])
def test_a_wide_file_is_in_tenths_if_a_tenth_of_it_can_be_nothing_else(others: int, kept: bool) -> None:
    rows = [WIDE, wide(1, 135, 134), *(wide(2 + n, 60, 41) for n in range(others))]
    if kept:
        assert read("\n".join(rows)).days[0].high_c == 13.5
    else:
        refusal("\n".join(rows))


def test_two_wide_files_in_one_with_other_columns_are_refused() -> None:
    other = '"STATION","DATE","TMIN","TMAX"'
    assert (
        "Line 3"
        in refusal("\n".join([WIDE, wide(1, 150, 50), other, f"{STATION},2026-04-02,50,150"])).what_happened
    )


def sound(data: bytes, scale: Temperature) -> None:
    """Whatever the bytes: a refusal in words, or days that hold and defects that can be drawn."""
    try:
        found = read_weather(data, scale, TODAY)
    except BadInput as error:
        refused = error
        found = None
    if found is None:
        assert str(refused).isprintable()
        assert refused.what_to_do
        return
    days = [day.day for day in found.days]
    assert days == sorted(set(days))
    assert all(day <= TODAY for day in days)
    assert all(COLDEST_AIR_C <= day.low_c <= day.high_c <= HOTTEST_AIR_C for day in found.days)
    assert all(d.line > 0 and d.what and d.cure for d in found.defects)
    assert all((d.column + d.what + d.cure).isprintable() for d in found.defects)


@settings(max_examples=300)
@given(st.binary(max_size=400), st.sampled_from([C, F]))
def test_no_bytes_are_a_traceback(data: bytes, scale: Temperature) -> None:
    sound(data, scale)


GOOD = [
    table(*april(9)).encode(),
    table(*april(9, 41, 59), head="date,low_f,high_f").encode("utf-16"),
    table(*[f"{n:02}/04/2026,5,15,C" for n in range(8, 16)], head="date,low,high,unit").encode(),
    "\n".join(by_year(APRIL, name, value) for name, value in (("TMIN", 50), ("TMAX", 150))).encode(),
    "\n".join(monthly(name, {1: (50, " "), 2: (50, " ")}) for name in ("TMIN", "TMAX")).encode(),
    "\n".join([WIDE, wide(1, 150, 50), wide(2, 151, 50)]).encode(),
]
PIECES = st.one_of(
    st.binary(max_size=4),
    st.sampled_from(
        [b",", b'"', b"\n", b"-", b"f", b"\x00", b"\xff", b"9" * 400, b"00:00", b"\xc2\xb2", b";", b"low"]
    ),
)


@settings(max_examples=300)
@given(st.data(), st.sampled_from(GOOD), st.sampled_from([C, F]))
def test_no_damage_to_a_good_file_is_a_traceback(
    draw: st.DataObject, data: bytes, scale: Temperature
) -> None:
    for _ in range(draw.draw(st.integers(1, 4))):
        at = draw.draw(st.integers(0, len(data)))
        data = data[:at] + draw.draw(PIECES) + data[at + draw.draw(st.integers(0, 6)) :]
    sound(data, scale)


@pytest.mark.parametrize("data", GOOD)
def test_the_files_to_be_damaged_are_good_ones(data: bytes) -> None:
    found = read_weather(data, C, TODAY)
    assert found.days
    assert not found.defects


def test_ten_megabytes_are_read() -> None:
    days = [date(1850, 1, 1) + timedelta(days=n) for n in range(50_000)]
    elements = ("TMAX", 150), ("TMIN", 50), ("PRCP", 0), ("SNOW", 0), ("TOBS", 61)
    data = "\n".join(by_year(day, name, value) for day in days for name, value in elements).encode()
    start = perf_counter()
    found = read_weather(data, C, TODAY)
    print(f"{len(data) / 1e6:.1f} MB in {perf_counter() - start:.2f} s")
    assert (len(found.days), found.ignored, found.defects) == (50_000, 150_000, ())
