"""How likely a later freeze is: from a record of daily lows, from two published dates, and from tonight's forecast.

Spring only. A day is a number, 1 for 1 January to 365, counted as in a common year in every year: 29 February
counts as 28 February, so 1 March is day 60 always. South of the equator the count begins half a year on, with 1
July as day 1, and a season is named by the year it begins in; all else is the same.

References:
    1. The national service's account of its freeze probabilities (United States, climate normals): a share of
       years without a freeze, and a continuous distribution of dates in the others. Opened.
    2. Moyer, W. J. (1970). Frost dates of Georgetown, Delaware; the table as reprinted by the university's
       research and education center there was opened.
    3. Colorado State University Extension, GardenNotes 722, frost protection. Opened.
    4. Oregon State University, North Willamette (1988). Row cover effects on minimum air temperature. Opened.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from statistics import NormalDist, fmean, stdev

from model.errors import BadInput
from model.science.quantities import beta_quantile
from model.science.source import Sourced

COMMON_YEAR = 2001
"""A year without a leap day, for counting days."""
DAYS_A_YEAR, HALF_YEAR = 365, 181
"""Days of a common year, and from 1 January to 1 July in it [d]."""
LEAP_DAY = (2, 29)
"""Month and day that count as the day before."""
SPRING_DAYS = Sourced(212.0, "d", "ours: spring runs from day 1 to 31 July (north)", "assumed")
MOST_MISSING = Sourced(10.0, "d", "ours: springs with more days without a low are left out", "assumed")
FEWEST_YEARS = Sourced(10.0, "years", "ours: from runs at known dates, 10 to 30 years", "computed")
FEWEST_COLD_YEARS = Sourced(3.0, "years", "ours: fewer dates show no spread", "assumed")
COLDEST_C = Sourced(-90.0, "°C", "ours: just below the coldest air measured", "assumed")
WARMEST_LOW_C = Sourced(45.0, "°C", "ours: a low above this is in °F", "assumed")

BAND_SHARE = Sourced(0.8, "fraction", "ours: interval of a counted chance", "assumed")
PRIOR_YEARS = Sourced(0.5, "years", "Jeffreys' prior: half a year with, half without", "from memory")
TENTH = Sourced(0.1, "fraction", "the published 10 % date", "definition")

LIGHT_COVER_C = Sourced(1.0, "°C", "low end of GardenNotes 722, 2 to 4 °F", "published, opened")
MEDIUM_COVER_C = Sourced(2.0, "°C", "high end of GardenNotes 722, 2 to 4 °F", "published, opened")
HEAVY_COVER_C = Sourced(3.0, "°C", "ours: beyond the 2 to 4 °F that was opened", "assumed")

TONIGHT_SD_C = Sourced(1.5, "°C", "ours: error of tonight's forecast low", "assumed")
WEEK_SD_C = Sourced(3.0, "°C", "ours: error of the low forecast for a week ahead", "assumed")
FORECAST_DAYS = Sourced(7.0, "d", "ours: beyond this the record says as much", "assumed")

_NORMAL = NormalDist()


class Cover(StrEnum):
    """What lies over the plants for the night."""

    NONE = "no cover"
    LIGHT = "light fabric"
    MEDIUM = "medium fabric"
    HEAVY = "heavy fabric"


COVERS = {Cover.LIGHT: LIGHT_COVER_C, Cover.MEDIUM: MEDIUM_COVER_C, Cover.HEAVY: HEAVY_COVER_C}
"""Credit of each fabric, with its source and quality."""


@dataclass(frozen=True, slots=True)
class LastFreeze:
    """The last day of spring at or below a temperature, as a normal in the years that have one."""

    mean_day: float
    """μ; NaN where too few years had one [day]."""
    sd_days: float
    """σ; NaN where too few years had one [d]."""
    share: float
    """q, the share of years that have one [fraction]."""


@dataclass(frozen=True, slots=True)
class Counted:
    """A chance counted in years, with the ends of its 80 % interval."""

    chance: float
    low: float
    high: float
    later: int
    """Years with a later freeze, k."""
    years: int
    """Years counted, N."""


def season_day(day: date, south: bool = False) -> tuple[int, int]:
    """Year of the season and number of a calendar day in it.

    Args:
        day: Calendar date.
        south: Whether the place lies south of the equator.

    Returns:
        Year, and number from 1 to 365 [day]: 1 for 1 January north, for 1 July south; 29 February counts as
        28 February.

    Examples:
        >>> season_day(date(2024, 3, 1)), season_day(date(2024, 3, 1), south=True)
        ((2024, 60), (2023, 244))
    """
    month, number = (day.month, day.day - 1) if (day.month, day.day) == LEAP_DAY else (day.month, day.day)
    count = date(COMMON_YEAR, month, number).timetuple().tm_yday
    if not south:
        return day.year, count
    first_half = count <= HALF_YEAR
    return day.year - first_half, count - HALF_YEAR + DAYS_A_YEAR * first_half


def last_days(
    lows: Iterable[tuple[date, float]], threshold_c: float, south: bool = False
) -> dict[int, float]:
    """Last day of each spring with a low at or below a temperature [day].

    Args:
        lows: Dates and lowest temperatures, in any order; NaN = no reading; of two for one date the lower
            counts [°C].
        threshold_c: T [°C].
        south: Whether the place lies south of the equator.

    Returns:
        By year of the season, the last day from 1 to SPRING_DAYS with min <= T; -inf in a year that had none; NaN
        throughout for a NaN threshold. Years with more than MOST_MISSING days of spring without a low are
        left out: a missing night may have been the last cold one.

    Raises:
        BadInput: A low that no thermometer outside has shown; mostly °F taken for °C.
    """
    springs: dict[int, dict[int, float]] = {}
    for day, low in lows:
        if low < COLDEST_C.value or low > WARMEST_LOW_C.value:
            raise BadInput(f"A low of {low:g} °C on {day} can't be.", "Check the unit, and that day.")
        year, number = season_day(day, south)
        if number <= SPRING_DAYS.value and not math.isnan(low):
            spring = springs.setdefault(year, {})
            spring[number] = min(low, spring.get(number, low))
    none = math.nan if math.isnan(threshold_c) else -math.inf
    return {
        year: max((number for number, low in spring.items() if low <= threshold_c), default=none)
        for year, spring in sorted(springs.items())
        if len(spring) >= SPRING_DAYS.value - MOST_MISSING.value
    }


def last_freeze_of_record(last: Iterable[float]) -> LastFreeze:
    """Normal of the last freeze, from the last days of a record.

    Args:
        last: Last day of each year, -inf in a year without one, as of `last_days`; shape (N,) [day].

    Returns:
        μ and σ (with N - 1) over the years that had one, and q their share of the N; μ and σ are NaN where
        fewer than FEWEST_COLD_YEARS had one, and all is NaN where an input is.

    Raises:
        BadInput: Fewer than ten years.

    Notes:
        At the true 10 % date, chances from 10, 20 and 30 years were off by 0.07, 0.05 and 0.04 (root mean
        square, own runs with steady climate). A climate that drifts comes on top: the dates of a record are
        those of its years, not of the next ones (tests/science/test_reference_frost.py says by how much).

    References:
        1. The national service's account, see the module.
    """
    days = _enough(last)
    cold = [day for day in days if day != -math.inf]
    if any(map(math.isnan, days)):
        return LastFreeze(math.nan, math.nan, math.nan)
    share = len(cold) / len(days)
    if len(cold) < FEWEST_COLD_YEARS.value:
        return LastFreeze(math.nan, math.nan, share)
    return LastFreeze(fmean(cold), stdev(cold), share)


def last_freeze_of_dates(half_day: float, tenth_day: float) -> LastFreeze:
    """Normal of the last freeze through two published dates.

    Args:
        half_day: Day after which half of the years freeze [day].
        tenth_day: Day after which one year in ten freezes, later than `half_day` [day].

    Returns:
        μ = half, σ = (tenth - half)/1.2816, q = 1; NaN where an input is NaN.

    Raises:
        BadInput: A 10 % day that isn't the later one.

    Notes:
        Dates and their chances count all years, so nothing is left for q to do. Where many years have no
        freeze the far ends of the curve are wrong, the span between the two dates is not.
    """
    if tenth_day <= half_day:
        raise BadInput(
            f"The 10 % date (day {tenth_day:g}) isn't after the 50 % date (day {half_day:g}).",
            "Swap the two, or check them against the published table.",
        )
    sd = (tenth_day - half_day) / _NORMAL.inv_cdf(1.0 - TENTH.value)
    return LastFreeze(half_day + 0.0 * sd, sd, 1.0 + 0.0 * sd)


def chance_of_later(freeze: LastFreeze, day: float) -> float:
    """Chance that a freeze comes after a day [fraction].

    Args:
        freeze: Normal of the last freeze.
        day: Day of the season, d [day].

    Returns:
        P = q (1 - Φ((d - μ)/σ)) [fraction]; NaN where an input is NaN.

    Notes:
        Never nothing, and never to be called frost-free. Says what the record's years were like, not what
        the coming week will be; up to a week ahead the forecast knows more (`chance_of_night`).

    References:
        1. The national service's account; 2. Moyer 1970: see the module.

    Examples:
        >>> round(chance_of_later(last_freeze_of_dates(115, 130), 120), 2)
        0.33
    """
    beyond = day - freeze.mean_day
    if freeze.sd_days == 0.0:
        return freeze.share * float(beyond < 0.0) if not math.isnan(beyond) else math.nan
    return freeze.share * _NORMAL.cdf(-beyond / freeze.sd_days)


def day_of_chance(freeze: LastFreeze, chance: float) -> float:
    """Day after which a freeze comes with a chance [day].

    Args:
        freeze: Normal of the last freeze.
        chance: P asked for, between 0 and 1 [fraction].

    Returns:
        d = μ + σ Φ⁻¹(1 - P/q) [day]; -inf where so few years have a freeze that no day is that likely; NaN
        where an input is NaN.

    Raises:
        BadInput: A chance that isn't between 0 and 1: no day brings it to nothing.
    """
    if chance <= 0.0 or chance >= 1.0:
        raise BadInput(f"No day has a chance of {chance:g}.", "Ask for one between 0 and 1, like 0.1.")
    if math.isnan(chance + freeze.share + freeze.mean_day + freeze.sd_days):
        return math.nan
    if chance >= freeze.share:
        return -math.inf
    return freeze.mean_day + freeze.sd_days * _NORMAL.inv_cdf(1.0 - chance / freeze.share)


def counted_chance(last: Iterable[float], day: float) -> Counted:
    """Chance that a freeze comes after a day, counted in the years of a record.

    Args:
        last: Last day of each year, -inf in a year without one; shape (N,) [day].
        day: Day of the season, d [day].

    Returns:
        (k + ½)/(N + 1) for k years with a later one, and the 10 and 90 % points of Beta(k + ½, N - k + ½);
        NaN where an input is NaN.

    Raises:
        BadInput: Fewer than ten years.

    Notes:
        Draws no curve through the dates, so it stands beside the normal to show what that adds. Off by 0.09,
        0.06 and 0.05 at the 10 % date of 10, 20 and 30 years, and 0.01 too high at 30 (own runs).
    """
    days = _enough(last)
    later, years = sum(one > day for one in days), len(days)
    if math.isnan(day) or any(map(math.isnan, days)):
        return Counted(math.nan, math.nan, math.nan, later, years)
    with_one, without = later + PRIOR_YEARS.value, years - later + PRIOR_YEARS.value
    outside = (1.0 - BAND_SHARE.value) / 2.0
    low, high = (beta_quantile(share, with_one, without) for share in (outside, 1.0 - outside))
    return Counted(with_one / (with_one + without), low, high, later, years)


def cover_credit(cover: Cover) -> float:
    """Degrees by which a cover lowers the air temperature that plants bear [°C].

    Args:
        cover: What lies over the plants.

    Returns:
        0 to 3 [°C]; take it off the threshold.

    Notes:
        On cool, clear nights the lows under covers were at times no higher than outside, or lower (reference 4), and
        against a cold wind protection is questionable (reference 3). Clear nights are when most late frosts
        come, so no cover makes a night certain. The three steps of fabric are ours.

    References:
        3. GardenNotes 722; 4. North Willamette 1988: see the module.
    """
    return COVERS[cover].value if cover in COVERS else 0.0


def chance_of_night(low_c: float, threshold_c: float, days_ahead: float) -> float:
    """Chance that a night falls to a temperature, by its forecast [fraction].

    Args:
        low_c: Forecast low, corrected for how much colder the spot is than the station [°C].
        threshold_c: T, less the credit of a cover [°C].
        days_ahead: Days from the forecast's issue to the night, 0 to 7 [d].

    Returns:
        Φ((T - low)/σ), σ from 1.5 °C tonight straight to 3 °C after 7 days [fraction]; NaN where an input is
        NaN.

    Raises:
        BadInput: A night before the forecast, or beyond its seven days.

    Notes:
        Errors are taken as normal and without bias; both standard deviations are assumed. For one night: the
        nights of a week hang together, so their chances can't be multiplied.
    """
    if days_ahead < 0.0 or days_ahead > FORECAST_DAYS.value:
        raise BadInput(
            f"A forecast says nothing about a night {days_ahead:g} days ahead.",
            "Take the chance from the record, or get a new forecast.",
        )
    sd = TONIGHT_SD_C.value + (WEEK_SD_C.value - TONIGHT_SD_C.value) * days_ahead / FORECAST_DAYS.value
    return _NORMAL.cdf((threshold_c - low_c) / sd)


def _enough(last: Iterable[float]) -> list[float]:
    """The years as a list; refuses fewer than ten."""
    days = list(last)
    if len(days) < FEWEST_YEARS.value:
        raise BadInput(
            f"{len(days)} years of lows are too few for a chance; it takes {FEWEST_YEARS.value:g}.",
            "Give the 50 % and 10 % dates of a published table for a station near you.",
        )
    return days
