"""The nights that a forecast tells of."""

from datetime import UTC, datetime, timedelta

from model.facts import Reading, ReadingKind
from model.rules.nights import fresh, nights_told
from tests.builders import TODAY, day

NOW = datetime(2026, 4, 14, 15, 0, tzinfo=UTC)


def told(id: int, ahead: int, low_c: float, hours: float = 2) -> Reading:
    issued = NOW - timedelta(hours=hours)
    return Reading(id, ReadingKind.FORECAST, day(ahead), None, low_c, None, issued, "Wren", "")


def test_nights_come_in_their_order_and_end_at_the_first_gap() -> None:
    found = nights_told([told(1, 1, 3), told(2, 0, 5), told(3, 3, 9)], TODAY, NOW)
    assert [(night.night, night.low_c) for night in found] == [(day(0), 5), (day(1), 3)]
    assert found[0].age_h == 2


def test_of_two_for_one_night_the_one_entered_last_holds() -> None:
    (night,) = nights_told([told(1, 0, 5), told(2, 0, 1)], TODAY, NOW)
    assert night.low_c == 1


def test_a_night_that_is_over_tells_nothing() -> None:
    assert nights_told([told(1, -1, 5)], TODAY, NOW) == ()


def test_what_was_issued_after_the_instant_that_is_looked_at_isnt_known_then() -> None:
    assert nights_told([told(1, 0, 5, -5424)], TODAY, NOW) == ()
    (night,) = nights_told([told(1, 0, 5, 3), told(2, 0, 1, -1)], TODAY, NOW)
    assert (night.low_c, night.age_h) == (5, 3)


def test_a_forecast_is_fresh_for_a_day_and_none_is_never_fresh() -> None:
    assert fresh(nights_told([told(1, 0, 5, 24)], TODAY, NOW))
    assert not fresh(nights_told([told(1, 0, 5, 24.1)], TODAY, NOW))
    assert not fresh(nights_told([told(1, 0, 5, 2), told(2, 1, 5, 30)], TODAY, NOW))
    assert not fresh(())
