"""The grounds of a morning: what of the readings is read, and what of it holds."""

from pathlib import Path

from model.actions import weather
from model.rules.spells import LONGEST_DAYS, TAUGHT_DAYS
from model.store import reading
from model.store.database import Store
from model.views.grounds import BEFORE_DAYS, grounds
from tests.builders import day
from tests.conftest import StampMaker
from tests.store.names import KALE, MAT, SLATS


def test_the_air_that_fingers_in_gone_trays_teach_by_is_read_too():
    assert BEFORE_DAYS >= TAUGHT_DAYS + LONGEST_DAYS


def test_air_of_long_before_the_trays_is_left_out_and_the_mix_of_any_day_holds(
    bench: Store, stamp: StampMaker, tmp_path: Path
):
    file = tmp_path / "long.csv"
    rows = [f"{day(-back)},5,15" for back in range(400, 0, -1)]
    file.write_text("\n".join(["day,low_c,high_c", *rows]), encoding="utf-8")
    weather.keep_soil(bench, stamp(today=day(-300)), MAT, 19.0)
    with bench.reading() as read:
        slats = next(place.name for place in reading.places(read) if place.id == SLATS)
    weather.import_weather(bench, stamp(), file, slats)
    with bench.reading() as read:
        trays = reading.trays(read, [KALE])
        on = grounds(read, trays.values())
        none = grounds(read, [])
    first = trays[KALE].stays[0].since
    days = on.weather[SLATS]
    assert (min(days), max(days)) == (day(-BEFORE_DAYS - (day(0) - first).days), day(-1))
    assert none.weather[SLATS] == {}
    assert (on.places[MAT].low_c, on.places[MAT].high_c) == (19.0, 19.0)


def test_a_mix_that_is_put_right_for_an_old_day_does_not_outdo_a_newer_reading(
    bench: Store, stamp: StampMaker
):
    weather.keep_soil(bench, stamp(today=day(-30)), MAT, 9.0)
    weather.keep_soil(bench, stamp(today=day(-2)), MAT, 22.0)
    weather.keep_soil(bench, stamp(day=day(-30)), MAT, 15.0)
    with bench.reading() as read:
        assert grounds(read, []).places[MAT].low_c == 22.0
    weather.keep_soil(bench, stamp(day=day(-2)), MAT, 21.0)
    with bench.reading() as read:
        assert grounds(read, []).places[MAT].low_c == 21.0
