"""The readings page: what was read, what is assumed, how old it is, and the light of the day."""

from dataclasses import replace
from datetime import UTC, datetime, time, timedelta

from model.actions import record, weather
from model.actions.farm import keep_place, set_setting
from model.store.database import Store
from model.views.readings import DayRead, PlaceWeek, ReadingsPage, read_readings
from tests.builders import TODAY, day
from tests.conftest import PLACES, StampMaker
from tests.store.names import MAT, SHELF, SLATS

MORNING = datetime.combine(TODAY, time(7, 0), UTC)
NOTHING = DayRead(None, None)


def page(store: Store, now: datetime = MORNING) -> ReadingsPage:
    return read_readings(store, TODAY, now)


def week_of(store: Store, place_id: int) -> PlaceWeek:
    return next(week for week in page(store).places if week.place.id == place_id)


def test_a_farm_that_never_read_anything_has_gaps_and_no_figure_of_its_own(bench: Store) -> None:
    found = page(bench)
    assert [week.place.name for week in found.places] == [place.name for place in PLACES]
    for week in found.places:
        assert week.days == (NOTHING,) * 7
        assert (week.last_on, week.soil_c, week.soil_on) == (None, None, None)
        assert week.unread_long(TODAY)
    assert (found.tonight, found.daylight, found.clock_change) == (None, None, None)
    assert found.week == tuple(day(back) for back in range(-6, 1))
    lamps = week_of(bench, SHELF).lamps
    assert lamps is not None
    assert (lamps.hours, lamps.gap_mm, lamps.light) == (None, None, None)


def test_of_two_readings_of_a_day_the_last_holds_and_each_side_for_itself(
    bench: Store, stamp: StampMaker
) -> None:
    weather.keep_air(bench, stamp(), SLATS, 4.0, 17.0)
    weather.keep_air(bench, stamp(), SLATS, None, 19.0)
    weather.keep_air(bench, stamp(day=day(-2)), SLATS, 3.0, None)
    week = week_of(bench, SLATS)
    assert week.days == (NOTHING,) * 4 + (DayRead(3.0, None), NOTHING, DayRead(4.0, 19.0))
    assert (week.days[-1].whole, week.days[-3].whole, week.last_on) == (True, False, TODAY)
    record.undo(bench, stamp(), "UTC")
    record.undo(bench, stamp(), "UTC")
    assert week_of(bench, SLATS).days[-1] == DayRead(4.0, 17.0)


def test_a_place_is_long_unread_after_a_month(bench: Store, stamp: StampMaker) -> None:
    weather.keep_air(bench, stamp(day=day(-30)), SLATS, 4.0, 17.0)
    week = week_of(bench, SLATS)
    assert week.days == (NOTHING,) * 7
    assert week.last_on == day(-30)
    assert week.unread_long(TODAY)
    assert not week.unread_long(day(-1))


def test_the_soil_read_last_stands_with_its_day(bench: Store, stamp: StampMaker) -> None:
    weather.keep_soil(bench, stamp(), MAT, 22.0)
    weather.keep_soil(bench, stamp(day=day(-3)), MAT, 25.0)
    assert (week_of(bench, MAT).soil_c, week_of(bench, MAT).soil_on) == (22.0, TODAY)


def test_a_forecast_is_old_after_a_day_or_once_its_night_has_passed(bench: Store, stamp: StampMaker) -> None:
    weather.keep_forecast(bench, stamp(), [-1.0], MORNING - timedelta(hours=3))
    fresh = page(bench).tonight
    assert fresh is not None
    assert (fresh.low_c, fresh.age_h, fresh.old) == (-1.0, 3.0, False)
    stale = page(bench, MORNING + timedelta(hours=22)).tonight
    assert stale is not None
    assert stale.old
    gone = read_readings(bench, day(1), MORNING + timedelta(hours=18)).tonight
    assert gone is not None
    assert (gone.night, gone.old) == (TODAY, True)
    early = page(bench, MORNING - timedelta(hours=5)).tonight
    assert early is not None
    assert early.age_h == 0.0


def test_light_is_reckoned_once_the_latitude_and_the_lamps_are_known(bench: Store) -> None:
    set_setting(bench, "latitude", "51.5n")
    keep_place(bench, replace(PLACES[1], id=SHELF, lamp_hours=16.0, lamp_umol=200.0))
    found = page(bench)
    lamps = week_of(bench, SHELF).lamps
    assert lamps is not None
    assert lamps.light is not None
    assert f"{lamps.light:.2f}" == "11.52"
    assert found.daylight is not None
    assert f"{found.daylight.hours:.1f} {found.daylight.longer_min:.1f}" == "13.8 3.8"
    assert found.daylight.sill < found.daylight.glass


def test_lamps_over_a_mat_are_shown_too(bench: Store) -> None:
    keep_place(bench, replace(PLACES[0], id=MAT, lamp_hours=12.0))
    assert week_of(bench, MAT).lamps is not None
    assert week_of(bench, SLATS).lamps is None
