"""Frost as a chance: typed dates, a daily record, and words that never promise."""

import math
from datetime import date, timedelta
from pathlib import Path

import pytest

from model.actions.desk import Stamp
from model.actions.farm import set_setting
from model.actions.files import DEMO_MORNING
from model.actions.frost import keep_record
from model.days import FixedClock
from model.errors import BadInput
from model.store.database import Store, open_store
from model.views import frost
from model.views.answer import as_text
from tests.tui.hand import at_the_farm
from tui.__main__ import FINE, REFUSED, run
from tui.words import ASCII

NOW = FixedClock(DEMO_MORNING).now()


def a_record(path: Path, years: int) -> Path:
    """Daily lows of some springs; the last freeze falls on a day between 20 April and 9 May, year by year."""
    rows = ["date,low,high"]
    for year in range(2026 - years, 2026):
        last = date(year, 4, 20) + timedelta(days=(year * 7) % 20)
        day = date(year, 1, 1)
        while day <= date(year, 8, 15):
            low = -1.0 if day <= last and (last - day).days % 5 == 0 else 3.0
            rows.append(f"{day},{low},{low + 9}")
            day += timedelta(days=1)
    path.write_text("\n".join(rows) + "\n")
    return path


async def test_the_chance_stands_one_key_from_the_round_in_words_and_as_a_curve(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("nJ")
        # Published dates 24 April and 14 May: 10 days before the first, of a spread of 15.6 days.
        assert "After today a low of 0 °C or less comes in about 74 of 100 years." in hand.shown
        assert "After Thu 14 May still in about 1 year of 10." in hand.shown
        assert "█" in hand.shown
        assert "^ today" in hand.shown
        assert "on a clear, still night" in hand.shown
    async with at_the_farm(farm, signs=ASCII) as hand:
        await hand.type("nJ")
        assert "█" not in hand.shown


async def test_published_dates_are_typed_and_hold_at_once_and_undo_brings_the_old_ones_back(
    farm: Path,
) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("nJd" + "High Moor⏎24 apr, 14 may⏎⏎⏎")
        assert hand.said.startswith("last freezes at High Moor: published dates.")
        assert "24 Apr  14 May   High Moor" in hand.shown
        await hand.press("u")
        assert "24 Apr  14 May   Low Weir" in hand.shown


async def test_dates_the_wrong_way_round_and_a_single_one_are_refused_with_what_to_do(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("nJdMoor⏎24 apr⏎")
        assert hand.refused == "That isn't two dates. Type both with a comma between, like 24 apr, 14 may."
        await hand.press("escape")
        await hand.type("dMoor⏎14 may, 24 apr⏎⏎⏎")
        assert "The 10 % date isn't after the 50 % date." in hand.said


@pytest.mark.parametrize(("ahead", "chance"), [(0, 0.50), (7, 0.33), (14, 0.18), (21, 0.09)])
def test_between_two_dates_twenty_days_apart_chances_are_bell_shaped(ahead: int, chance: float) -> None:
    # Half on day 0, one in ten twenty days later: a normal of spread 20/1.2816 d. Printed to whole per cents.
    spread = 20 / 1.2815515655
    assert 0.5 * math.erfc(ahead / spread / math.sqrt(2)) == pytest.approx(chance, abs=0.005)
    freezes = frost.Freezes(1, "Low Weir", 0.0, frost.FreezeFrom.PUBLISHED, "04-24", "05-14", "")
    found = frost.chance_at(freezes, date(2026, 4, 24) + timedelta(days=ahead), south=False)
    assert found.weeks[0] == pytest.approx(chance, abs=0.005)


def test_a_record_of_twenty_springs_gives_a_normal_and_a_count_beside_it(
    store: Store, tmp_path: Path
) -> None:
    stamp = Stamp("Wren", NOW, DEMO_MORNING)
    receipt, found = keep_record(store, stamp, a_record(tmp_path / "daily.csv", 20), "Low Weir")
    assert receipt.words == "last freezes at Low Weir: 20 springs, 2006 to 2025"
    assert len(found.defects) == 19, "the winters that aren't in the file are named"
    view = frost.read(store, date(2026, 4, 28), NOW)
    freezing = view.chances[1]
    assert (freezing.at_c, freezing.years) == (0.0, 20)
    later = sum((year * 7) % 20 > 8 for year in range(2006, 2026))
    assert freezing.counted == pytest.approx((later + 0.5) / 21)
    assert "counted in its years" in as_text(frost.answer(view))
    # No low of the record came near -2.2 °C: no date can be told, and no chance is called nothing.
    assert view.chances[2].half_on is None


def test_a_record_of_four_years_is_refused_and_nothing_is_kept(store: Store, tmp_path: Path) -> None:
    stamp = Stamp("Wren", NOW, DEMO_MORNING)
    with pytest.raises(BadInput) as refused:
        keep_record(store, stamp, a_record(tmp_path / "four.csv", 4), "Low Weir")
    assert str(refused.value) == (
        "four.csv holds 4 whole springs; a chance takes 10. Type the published 50 % and 10 % dates of a station near "
        "you instead: d on the frost page."
    )
    assert frost.read(store, DEMO_MORNING, NOW).chances == ()


def test_the_command_reads_a_record(farm: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    good, short = a_record(tmp_path / "good.csv", 12), a_record(tmp_path / "short.csv", 4)
    asked = ["--db", str(farm), "--on", "2026-04-14", "--station", "Low Weir"]
    assert run(["frost", str(good), *asked]) == FINE
    assert "last freezes at Low Weir: 12 springs, 2014 to 2025" in capsys.readouterr().out
    assert run(["frost", str(short), *asked]) == REFUSED
    assert "holds 4 whole springs" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("offset", "rows"),
    [
        # The demo's station: 2.2 °C 8 and 26 May, 0 °C 24 April and 14 May, -2.2 °C 6 and 26 April.
        (
            "1.5",
            (
                "1.5 °C colder here: a low of 0 °C or less still comes in 74 % to 96 % of years.",
                "After a day from Thu 14 May to Tue 26 May still in about 1 year of 10.",
            ),
        ),
        (
            "2.2",
            (
                "2.2 °C colder here: a low of 0 °C or less still comes in 96 % of years.",
                "After Tue 26 May still in about 1 year of 10.",
            ),
        ),
        (
            "-1",
            (
                "1 °C warmer here: a low of 0 °C or less still comes in 30 % to 74 % of years.",
                "After a day from Sun 26 Apr to Thu 14 May still in about 1 year of 10.",
            ),
        ),
        (
            "5",
            (
                "5 °C colder here: a low of 0 °C or less still comes in 96 % of years or more.",
                "After Tue 26 May or a later day still in about 1 year of 10.",
                "No warmer line is on record; d types one.",
            ),
        ),
        (
            "-5",
            (
                "5 °C warmer here: a low of 0 °C or less still comes in 30 % of years or less.",
                "After Sun 26 Apr or an earlier day still in about 1 year of 10.",
                "No colder line is on record; d types one.",
            ),
        ),
    ],
)
def test_a_colder_or_warmer_spot_lies_between_the_stations_lines(
    farm: Path, offset: str, rows: tuple[str, ...]
) -> None:
    store = open_store(farm)
    set_setting(store, "offset_c", offset)
    found = frost.answer(frost.read(store, DEMO_MORNING, NOW))
    store.close()
    assert found.answer == rows


def test_each_line_says_what_the_station_means_for_a_colder_spot(farm: Path) -> None:
    store = open_store(farm)
    set_setting(store, "offset_c", "1.5")
    set_setting(store, "temperature", "°F")
    found = frost.answer(frost.read(store, DEMO_MORNING, NOW))
    store.close()
    assert "2.7 °F colder here: 36 °F there is about 33 °F where the plants stand" in found.lines[0].why


def test_nothing_is_ever_called_certain() -> None:
    assert frost.per_cent(0.0) == "<1 %"
    assert frost.per_cent(1.0) == ">99 %"
    assert frost.in_years(0.0) == "fewer than 1 year of 200"
    for words in (frost.in_years(0.2), *frost.WARNING):
        assert "frost-free" not in words
        assert "safe" not in words
