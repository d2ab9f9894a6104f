"""Chance of a later freeze: published tables, counts, forecasts, soil, and the limits."""

import math
from datetime import date, timedelta

import pytest

from model.errors import BadInput
from model.science.frost import (
    COVERS,
    FEWEST_YEARS,
    MOST_MISSING,
    SPRING_DAYS,
    Cover,
    LastFreeze,
    chance_of_later,
    chance_of_night,
    counted_chance,
    cover_credit,
    day_of_chance,
    last_days,
    last_freeze_of_dates,
    last_freeze_of_record,
    season_day,
)
from tests.science.published import Published, assert_published

OWN = "own calculation"
NAN = math.nan
MOYER = "Moyer 1970, Georgetown, Delaware"

GEORGETOWN = {
    32: ((5, 10), (4, 30), (4, 25), (4, 20), (4, 10)),
    24: ((4, 9), (4, 1), (3, 27), (3, 22), (3, 14)),
    16: ((3, 13), (3, 3), (2, 25), (2, 19), (2, 9)),
}
"""Dates by °F; of the reprint that was opened."""
SHARES = (0.10, 0.33, 0.50, 0.67, 0.90)


def day(month: int, number: int) -> int:
    return season_day(date(2001, month, number))[1]


def georgetown(fahrenheit: int) -> tuple[LastFreeze, list[int]]:
    """Normal through the 50 and 10 % dates, and all five."""
    days = [day(*printed) for printed in GEORGETOWN[fahrenheit]]
    return last_freeze_of_dates(days[2], days[0]), days


@pytest.mark.parametrize("fahrenheit", GEORGETOWN)
def test_two_dates_of_georgetown_give_its_other_three(fahrenheit):
    freeze, days = georgetown(fahrenheit)
    for share, printed in zip(SHARES, days, strict=True):
        # Beyond half a day at 24 and 16 °F only: 90.46 for 91, 81.54 for 81, 61.49 for 62, 50.51 for 50.
        over = share in (0.33, 0.67) and fahrenheit != 32
        case = Published(
            MOYER,
            f"{fahrenheit} °F, {share:.0%}",
            "day of the year",
            printed,
            1,
            tolerance=0.54 if over else None,
            reason="the two dates that the curve is drawn through are whole days, too" if over else "",
        )
        assert_published(case, day_of_chance(freeze, share))


@pytest.mark.parametrize(
    ("fahrenheit", "percents"),
    [(32, (10, 33, 50, 67, 90)), (24, (10, 31, 50, 69, 90)), (16, (10, 32, 50, 68, 90))],
)
def test_the_chances_on_the_dates_of_georgetown(fahrenheit, percents):
    freeze, days = georgetown(fahrenheit)
    # Whole days carry 33 and 67 % to 31 and 69 % at the narrower spreads.
    for percent, on in zip(percents, days, strict=True):
        case = Published(OWN, f"{MOYER}, {fahrenheit} °F", f"day {on}, %", percent, 1)
        assert_published(case, 100.0 * chance_of_later(freeze, on))


@pytest.mark.parametrize(("fahrenheit", "mean", "sd"), [(32, 115, 11.70), (24, 86, 10.14), (16, 56, 12.48)])
def test_the_normals_of_georgetown(fahrenheit, mean, sd):
    freeze, _ = georgetown(fahrenheit)
    assert (freeze.mean_day, freeze.share) == (mean, 1.0)
    assert_published(Published(OWN, f"{MOYER}, {fahrenheit} °F", "sd, d", sd, 0.01), freeze.sd_days)


@pytest.mark.parametrize(("after", "percent"), [(0, 50), (7, 33), (14, 18), (21, 9)])
def test_dates_twenty_days_apart(after, percent):
    case = Published(OWN, "50 % on day 0, 10 % on day 20", f"+{after} d, %", percent, 1)
    assert_published(case, 100.0 * chance_of_later(last_freeze_of_dates(100, 120), 100 + after))


def test_four_years_of_thirty_counted():
    counted = counted_chance([*[130] * 4, *range(90, 116)], 120)
    assert (counted.later, counted.years) == (4, 30)
    for what, printed, value in (
        ("chance", 0.145, counted.chance),
        ("low", 0.071, counted.low),
        ("high", 0.229, counted.high),
    ):
        assert_published(Published(OWN, "4 of 30 years", what, printed, 0.001), value)


def test_no_later_freeze_on_record_is_still_a_chance():
    counted = counted_chance([100.0] * 30, 120)
    assert counted.later == 0
    assert counted.chance == pytest.approx(0.5 / 31, rel=1e-12)
    assert 0.0 < counted.low < counted.chance < counted.high
    everyone = counted_chance([100.0] * 30, 90)
    assert everyone.chance == pytest.approx(1.0 - counted.chance, rel=1e-12)
    assert everyone.high == pytest.approx(1.0 - counted.low, rel=1e-9)


def test_a_freeze_on_the_day_itself_is_not_a_later_one():
    assert counted_chance([100.0] * 10, 100).later == 0
    assert counted_chance([100.0] * 10, 99).later == 10


def test_years_without_a_freeze_lower_the_chance_by_their_share():
    with_all = last_freeze_of_record([100, 104, 96, 110, 90, 102, 98, 101, 99, 100])
    with_half = last_freeze_of_record([100, 104, 96, 110, 90, 102, 98, 101, 99, 100, *[-math.inf] * 10])
    assert with_half == LastFreeze(with_all.mean_day, with_all.sd_days, 0.5)
    assert chance_of_later(with_half, 100) == pytest.approx(0.25, rel=1e-12)
    assert day_of_chance(with_half, 0.25) == pytest.approx(100.0, rel=1e-12)
    assert day_of_chance(with_half, 0.5) == day_of_chance(with_half, 0.9) == -math.inf


def test_the_spread_is_that_of_a_sample():
    # 45 and 55, five times each: squares sum to 250, over N - 1 = 9.
    assert last_freeze_of_record([45.0, 55.0] * 5).sd_days == pytest.approx(math.sqrt(250 / 9), rel=1e-12)


def test_too_few_cold_years_leave_only_the_count():
    freeze = last_freeze_of_record([*[-math.inf] * 18, 12.0, 20.0])
    assert freeze.share == 0.1
    assert math.isnan(freeze.mean_day)
    assert math.isnan(freeze.sd_days)
    assert math.isnan(chance_of_later(freeze, 10))
    assert math.isnan(day_of_chance(freeze, 0.05))
    assert counted_chance([*[-math.inf] * 18, 12.0, 20.0], 10).later == 2


def test_a_date_that_never_moved_is_a_step():
    freeze = last_freeze_of_record([100.0] * 12)
    assert [chance_of_later(freeze, on) for on in (99, 100, 101)] == [1.0, 0.0, 0.0]
    assert day_of_chance(freeze, 0.1) == 100.0


def test_a_day_and_its_chance_undo_each_other():
    freeze = LastFreeze(92.5, 15.0, 0.8)
    for chance in (0.01, 0.1, 0.5, 0.79):
        assert chance_of_later(freeze, day_of_chance(freeze, chance)) == pytest.approx(chance, rel=1e-9)


def spring(year: int, cold: date | None = None, skip: int = 0, low: float = 5.0) -> list[tuple[date, float]]:
    """A year of mild nights with one cold one, some left out at its end of spring."""
    days = [date(year, 1, 1) + timedelta(days=count) for count in range(365)]
    kept = [one for one in days if not date(year, 7, 31) - timedelta(days=skip) < one <= date(year, 7, 31)]
    return [(one, -1.0 if one == cold else low) for one in kept]


def test_the_last_day_at_or_below_the_temperature():
    lows = [*spring(2022, date(2022, 4, 10)), *spring(2023), *spring(2024, date(2024, 4, 10))]
    assert last_days(lows, 0.0) == {2022: 100, 2023: -math.inf, 2024: 100}
    assert last_days(reversed(lows), -1.0) == last_days(lows, 0.0)
    assert last_days(lows, -1.1) == dict.fromkeys((2022, 2023, 2024), -math.inf)
    assert last_days(lows, 5.0) == dict.fromkeys((2022, 2023, 2024), SPRING_DAYS.value)


def test_a_freeze_in_autumn_is_not_the_last_of_spring():
    assert last_days(spring(2022, date(2022, 10, 10)), 0.0) == {2022: -math.inf}
    assert last_days(spring(2022, date(2022, 8, 1)), 0.0) == {2022: -math.inf}
    assert last_days(spring(2022, date(2022, 7, 31)), 0.0) == {2022: 212}


def test_a_year_with_many_nights_missing_is_left_out():
    enough = int(MOST_MISSING.value)
    cold = date(2022, 4, 10)
    assert last_days(spring(2022, cold, skip=enough), 0.0) == {2022: 100}
    assert last_days(spring(2022, cold, skip=enough + 1), 0.0) == {}
    unread = [(one, NAN if one >= date(2022, 7, 1) else low) for one, low in spring(2022, cold)]
    assert last_days(unread, 0.0) == {}


def test_of_two_lows_for_one_date_the_lower_counts():
    assert last_days([*spring(2022), (date(2022, 5, 1), -2.0)], 0.0) == {2022: 121}
    assert last_days([(date(2022, 5, 1), -2.0), *spring(2022)], 0.0) == {2022: 121}


def test_a_leap_day_counts_as_the_day_before():
    assert season_day(date(2024, 2, 28)) == season_day(date(2024, 2, 29)) == (2024, 59)
    assert season_day(date(2024, 3, 1)) == (2024, 60)
    assert season_day(date(2023, 3, 1)) == (2023, 60)
    assert season_day(date(2024, 12, 31)) == (2024, 365)
    leap = [(one, low) for one, low in spring(2024) if one != date(2024, 2, 28)]
    assert last_days([(one, -3.0 if one == date(2024, 2, 29) else low) for one, low in leap], 0.0) == {
        2024: 59
    }


def test_half_a_year_later_the_south_has_the_same_spring():
    assert season_day(date(2023, 7, 1), south=True) == (2023, 1)
    assert season_day(date(2023, 6, 30), south=True) == (2022, 365)
    assert season_day(date(2024, 1, 1), south=True) == (2023, 185)
    numbers = [season_day(date(2023, 7, 1) + timedelta(days=count), south=True)[1] for count in range(366)]
    assert sorted(set(numbers)) == list(range(1, 366))
    north = spring(2023, date(2023, 4, 10))
    south = [(date(2023, 7, 1) + timedelta(days=count), low) for count, (_, low) in enumerate(north)]
    assert last_days(south, 0.0, south=True) == last_days(north, 0.0)


def test_fabric_is_credited_within_what_was_published_but_for_the_heaviest():
    for cover, fahrenheit in ((Cover.LIGHT, 2.0), (Cover.MEDIUM, 4.0)):
        case = Published(
            "Colorado State University Extension, GardenNotes 722",
            "floating row covers, 2 to 4 °F",
            str(cover),
            fahrenheit / 1.8,
            0.1,
            tolerance=0.25,
            reason="rounded down to whole degrees Celsius, the safe side",
        )
        assert_published(case, cover_credit(cover))
        assert cover_credit(cover) < fahrenheit / 1.8
        assert COVERS[cover].quality == "published, opened"
    assert cover_credit(Cover.HEAVY) == 3.0 > 4.0 / 1.8
    assert COVERS[Cover.HEAVY].quality == "assumed"


@pytest.mark.parametrize("cover", Cover)
def test_every_cover_but_none_has_a_credit(cover):
    assert (cover_credit(cover) > 0.0) == (cover is not Cover.NONE)


def test_a_forecast_loses_its_grip_by_the_day():
    # One standard deviation above the threshold is Φ(-1) = 0.1587: 1.5 °C tonight, 3 °C in a week.
    for low, ahead in ((1.5, 0), (2.25, 3.5), (3.0, 7)):
        case = Published("normal table", "Φ(-1)", f"{low} °C, {ahead} d ahead", 0.1587, 0.0001)
        assert_published(case, chance_of_night(low, 0.0, ahead))
    assert chance_of_night(0.0, 0.0, 5) == 0.5
    assert chance_of_night(-2.0, 0.0, 0) == pytest.approx(1.0 - chance_of_night(2.0, 0.0, 0), rel=1e-12)


def test_what_is_not_a_number_comes_out_as_not_a_number():
    whole = LastFreeze(100.0, 10.0, 1.0)
    broken = (LastFreeze(NAN, 10.0, 1.0), LastFreeze(100.0, NAN, 1.0), LastFreeze(100.0, 10.0, NAN))
    counted = [counted_chance([*[100.0] * 9, NAN], 90), counted_chance([100.0] * 10, NAN)]
    made = [
        last_freeze_of_record([*[100.0] * 9, NAN]),
        last_freeze_of_dates(NAN, 120),
        last_freeze_of_dates(100, NAN),
    ]
    answers = [
        *(chance_of_later(freeze, 100) for freeze in broken),
        chance_of_later(whole, NAN),
        chance_of_later(LastFreeze(100.0, 0.0, 1.0), NAN),
        chance_of_later(LastFreeze(NAN, 0.0, 1.0), 100),
        *(day_of_chance(freeze, 0.1) for freeze in broken),
        day_of_chance(whole, NAN),
        *(value for one in counted for value in (one.chance, one.low, one.high)),
        *(value for one in made for value in (one.mean_day, one.sd_days, one.share)),
        *(chance_of_night(*values) for values in ((NAN, 0.0, 1), (1.0, NAN, 1), (1.0, 0.0, NAN))),
        *last_days(spring(2022), NAN).values(),
    ]
    assert all(map(math.isnan, answers))


def test_four_years_are_too_few_and_the_word_says_what_to_do():
    for ask in (lambda: last_freeze_of_record([100.0] * 4), lambda: counted_chance([100.0] * 4, 90)):
        with pytest.raises(BadInput, match="4 years") as refused:
            ask()
        assert "published table" in refused.value.what_to_do
    fewest = int(FEWEST_YEARS.value)
    with pytest.raises(BadInput):
        last_freeze_of_record([100.0] * (fewest - 1))
    assert last_freeze_of_record([100.0] * fewest).share == 1.0


def test_lows_in_the_wrong_unit_are_refused():
    with pytest.raises(BadInput, match="64 °C") as refused:
        last_days([(date(2022, 7, 1), 64.0)], 0.0)
    assert "unit" in refused.value.what_to_do
    with pytest.raises(BadInput):
        last_days([(date(2022, 7, 1), -999.0)], 0.0)


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: last_freeze_of_dates(120, 100),
        lambda: last_freeze_of_dates(100, 100),
        lambda: day_of_chance(LastFreeze(100.0, 10.0, 1.0), 0.0),
        lambda: day_of_chance(LastFreeze(100.0, 10.0, 1.0), 1.0),
        lambda: chance_of_night(1.0, 0.0, -1),
        lambda: chance_of_night(1.0, 0.0, 8),
    ],
)
def test_what_cannot_be_is_refused(wrong):
    with pytest.raises(BadInput):
        wrong()
