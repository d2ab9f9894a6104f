"""What was typed wrong and is put right a month later: a day of sowing, and a reading in the other unit."""

import sqlite3
from datetime import date, timedelta
from pathlib import Path

from tests.tui.hand import at_the_farm

ONION = 15
"""Onions of the demo farm, on record as sown on Wednesday 4 March."""
TRUTH = date(2026, 2, 1)
"""The day on which they were sown in truth, 31 days before."""


async def test_a_sowing_day_a_month_wrong_moves_age_and_windows_and_both_days_stay(farm: Path) -> None:
    async with at_the_farm(farm, size=(120, 40)) as hand:
        before = hand.line(ONION)
        await hand.type(f"n{before.label}C1{TRUTH.isoformat()}⏎")
        after = hand.line(ONION)
        assert (after.sown_on, after.age_days) == (TRUTH, before.age_days + 31)
        assert (before.ready is None) == (after.ready is None)
        if before.ready and after.ready:
            assert after.ready[0] <= before.ready[0]
        await hand.type("⏎")
        assert "corrected" in hand.shown
        story = " ".join(hand.shown.split())
        assert "sown on 2026-03-04 is 2026-02-01" in story
        found = hand.rows(
            "SELECT old, new, name FROM act JOIN entry ON entry.id = act.entry_id "
            "JOIN person ON person.id = person_id WHERE field = 'sown_on' ORDER BY act.id DESC LIMIT 1"
        )
        assert found == [("2026-03-04", "2026-02-01", "Wren")]
        await hand.type("u")
        assert hand.line(ONION).age_days == before.age_days


async def test_a_reading_in_the_other_unit_is_asked_about_and_put_right_a_month_later(farm: Path) -> None:
    with sqlite3.connect(farm) as connection:
        connection.execute("UPDATE setting SET value = '°F' WHERE name = 'temperature'")
    then = date(2026, 3, 14)
    later = then + timedelta(days=31)
    async with at_the_farm(farm, on=later, asked=then) as hand:
        await hand.type("nNs")
        slats = next(row.split()[0] for row in hand.shown.splitlines() if row.rstrip().endswith("Slats"))
        await hand.type(f"{slats}15⏎")
        assert "Did you mean 15 °C? Then type 15c, else 15f" in " ".join(hand.refused.split())
        await hand.type("f⏎")
        await hand.type(f"Ns{slats}15c⏎")
        assert "read 59 °F in the soil at Slats, 14 Mar; it was 15 °F by Wren" in " ".join(hand.said.split())
        found = hand.rows(
            "SELECT low_c FROM reading WHERE what = 'soil' AND day = ? ORDER BY id DESC LIMIT 2",
            then.isoformat(),
        )
        assert [round(float(str(low)), 1) for (low,) in found] == [15.0, -9.4]
        ((words,),) = hand.rows("SELECT words FROM entry ORDER BY id DESC LIMIT 1")
        assert "it was 15 °F by Wren" in str(words)
