"""When lamps are looked at."""

from datetime import date, timedelta

from model.rules.lamps import BULLETIN_GAP_MM, CHECK_EVERY_DAYS, check_day, reminder


def test_every_third_day_is_a_day_to_look_at_lamps() -> None:
    days = [date(2026, 12, 20) + timedelta(days=step) for step in range(30)]
    checks = [day for day in days if check_day(day) == day]
    assert len(checks) == 10
    assert {b - a for a, b in zip(checks, checks[1:], strict=False)} == {timedelta(days=CHECK_EVERY_DAYS)}
    assert all(0 <= (check_day(day) - day).days < CHECK_EVERY_DAYS for day in days)


def test_two_to_three_inches_are_said_in_millimetres() -> None:
    assert tuple(round(mm) for mm in BULLETIN_GAP_MM) == (51, 76)


def test_a_shelf_reminds_of_its_lamps_every_third_day_and_of_its_timers_when_clocks_change() -> None:
    assert reminder(date(2026, 4, 14), "Europe/London") == ""
    assert reminder(date(2026, 4, 16), "Europe/London") == "Every third day: look at the gap under the lamps."
    assert reminder(date(2026, 3, 8), "America/New_York") == (
        "Every third day: look at the gap under the lamps. The clocks were changed: check the timers."
    )
    assert reminder(date(2026, 4, 5), "Australia/Sydney") == "The clocks were changed: check the timers."
