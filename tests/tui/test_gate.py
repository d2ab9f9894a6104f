"""The gate by keys: GO, WAIT and UNKNOWN, set out from there, and a reason kept where it went against the gate."""

from datetime import date
from pathlib import Path

import pytest

from model.actions.files import DEMO_MORNING, export_folder, import_folder
from model.errors import BadInput
from model.rules.verdict import Task
from model.store.database import open_store
from model.units import Temperature, parse_lows
from tests.tui.hand import Hand, at_the_farm
from tests.tui.test_readings import without_forecast

MILD = "Nf6 6 7 7 8⏎⏎"
SETTING = {"days of hardening": "Sb", "risk": "Sc", "bed cover": "Sd"}
"""Keys that lead to a setting."""


def rows_at_gate(hand: Hand) -> dict[str, str]:
    """The gate's word by crop and variety, as the screen has it."""
    rows = [row.strip() for row in hand.shown.replace("›", " ").splitlines()]
    words = ("GO", "WAIT", "UNKNOWN")
    return {row[14:35].strip(): row.split()[0] for row in rows if row.split()[:1] and row.split()[0] in words}


async def test_the_gate_is_one_key_from_the_round_and_says_what_is_missing(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n")
        hand.keys = 0
        await hand.type("g")
        assert hand.keys == 1
        found = rows_at_gate(hand)
        assert found["pak choi Low Bell"] == "WAIT"
        # The demo's forecast has frost in the night of Thursday 16 April.
        await hand.type("25")
        assert "17 Apr  low of -1 °C 16 Apr" in hand.shown
        assert "NO: lowest -1 °C of 5 nights, line 0 °C common practice" in hand.shown
        assert found["tomato Ostrel"] == "WAIT"


async def test_without_a_forecast_nothing_is_go_and_what_is_old_is_named(farm: Path) -> None:
    without_forecast(farm)
    async with at_the_farm(farm) as hand:
        await hand.type("ng")
        assert rows_at_gate(hand)["pak choi Low Bell"] == "UNKNOWN"
        assert (
            "Nothing is GO today; kale Sedge Blue may be on Wed 15 Apr, provisionally: nights not known."
            in " ".join(hand.shown.split())
        )
        assert "15 Apr? harden 1 d more; forecast" in hand.shown
        await hand.type("23")
        assert "15 Apr is provisional" in hand.shown
        assert "forecast missing" in hand.shown
        await hand.type(MILD)
        assert rows_at_gate(hand)["pak choi Low Bell"] == "GO"
        assert "GO today: pak choi Low Bell (118)." in hand.shown


async def test_what_is_go_is_set_out_by_count_and_the_rest_stays_a_tray(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("ng" + MILD)
        since = hand.last_act
        await hand.type("25o40⏎bed 4⏎")
        assert hand.acts(since) == [("set out", 25, 40)]
        assert "GO today: pak choi Low Bell (78)." in hand.shown
        await hand.type("o90⏎")
        assert hand.asks
        assert "78" in hand.refused


async def test_against_the_gate_a_reason_is_asked_and_kept_with_what_was_missing(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("ng25")
        since = hand.last_act
        await hand.type("o")
        assert "The gate says WAIT: low of -1 °C 16 Apr, line 0 °C." in hand.shown, "before anything is typed"
        await hand.type("⏎bed 4⏎")
        assert "The gate says WAIT: low of -1 °C 16 Apr, line 0 °C. Why go all the same?" in hand.shown
        await hand.type("⏎")
        assert hand.refused
        await hand.type("under fleece⏎")
        assert hand.acts(since) == [("against the gate", 25, None), ("set out", 25, 118)]
        ((text,),) = hand.rows("SELECT text FROM act WHERE kind = 'against the gate'")
        assert text == "WAIT: low of -1 °C 16 Apr, line 0 °C. under fleece"
        assert "pak choi Low Bell" not in rows_at_gate(hand)
        await hand.press("u")
        assert rows_at_gate(hand)["pak choi Low Bell"] == "WAIT"


@pytest.mark.parametrize("keys", ["n25o", "n25 ", "n25⏎o"], ids=["on the round", "as due", "on its page"])
async def test_setting_out_from_anywhere_asks_for_the_same_reason_as_the_gate(farm: Path, keys: str) -> None:
    async with at_the_farm(farm) as hand:
        since = hand.last_act
        await hand.type(keys + "60⏎bed 2⏎")
        assert "The gate says WAIT: low of -1 °C 16 Apr, line 0 °C. Why go all the same?" in hand.shown
        await hand.type("under fleece⏎")
        assert hand.acts(since) == [("against the gate", 25, None), ("set out", 25, 60)]
        await hand.press("u")
        assert hand.line(25).plants == 118


async def test_what_is_go_is_set_out_on_the_round_without_a_reason(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n" + MILD)
        since = hand.last_act
        await hand.type("25o60⏎bed 2⏎")
        assert not hand.asks
        assert hand.acts(since) == [("set out", 25, 60)]


async def test_what_is_far_from_ready_is_asked_about_too(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n" + MILD + "46o⏎⏎")
        said = (
            "The gate says WAIT: roots; harden 7 d more; soil 8 °C of 21 °C; low of 6 °C 14 Apr, line 7 °C."
        )
        assert said in " ".join(hand.shown.split())


async def test_of_a_mixed_flat_the_gate_speaks_of_the_sowing_that_is_taken(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        mixed = next(line.number for line in hand.view.lines if " / " in line.variety)
        await hand.type(f"n{mixed}o2⏎⏎")
        assert hand.asks
        assert "The gate says WAIT: " in hand.shown


async def test_the_days_of_hardening_are_the_farms_own_once_they_are_set(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("ng" + MILD)
        assert rows_at_gate(hand)["pak choi Low Bell"] == "GO"
        await hand.type(SETTING["days of hardening"] + "2⏎")
        assert hand.refused == "'2' days can't be. Give a whole number from 3 to 21."
        await hand.press("backspace")
        await hand.type("14⏎")
        assert hand.said == "Kept. The same key changes it again; u takes back entries only."
        await hand.type("25")
        assert "harden 4 d more" in hand.shown
        assert "NO: hardened 10 of 14 days" in hand.shown
        await hand.type(SETTING["days of hardening"] + "-⏎")
        assert rows_at_gate(hand)["pak choi Low Bell"] == "GO"


async def test_a_grower_who_takes_less_risk_waits_for_warmer_nights(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("ngNf2 2 3 4 4⏎⏎")
        assert rows_at_gate(hand)["pak choi Low Bell"] == "GO"
        await hand.type(SETTING["risk"] + "5⏎25")
        assert rows_at_gate(hand)["pak choi Low Bell"] == "WAIT"
        # 2 °C tonight, off by 1.5 °C: 1.33 spreads above freezing, 9 % of a normal beyond.
        assert "NO: lowest 2 °C of 5 nights, 9 % under 0 °C common practice (5 % taken)" in hand.shown


async def test_a_cover_that_goes_over_them_is_credited_and_never_without_its_warning(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("ng")
        assert rows_at_gate(hand)["pak choi Low Bell"] == "WAIT"
        await hand.type(SETTING["bed cover"] + "3")
        # The most that trials give, 2 °C; the night of -1 °C is then one of 1 °C.
        assert rows_at_gate(hand)["pak choi Low Bell"] == "GO"
        assert "nothing, with its cover on" in hand.shown
        shown = " ".join(hand.shown.split())
        assert "Medium fabric counts for 2 °C; on a clear, still night it may give nothing." in shown
        await hand.type(SETTING["bed cover"] + "1")
        assert "counts for 2 °C" in " ".join(hand.shown.split()), (
            "heavy fabric counts for no more than was tried"
        )


async def test_a_low_typed_in_the_wrong_unit_is_asked_about(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("ngNf48 46 50⏎")
        assert "Did you mean 48 °F? Then type 48f" in hand.refused
        assert hand.typed == "48 46 50"


@pytest.mark.parametrize(
    ("typed", "scale", "asked"),
    [
        ("40 38 36 41 44", "°C", "40 °C is unlikely for a night. Type 40f, or 40c if it is so."),
        ("9 9 9 9 28", "°C", "28 °C is unlikely for a night. Type 28f, or 28c if it is so."),
        ("95 96", "°F", "95 °F is unlikely for a night. Type 95f if it is so."),
    ],
)
def test_every_low_too_warm_for_a_night_is_asked_about(typed: str, scale: str, asked: str) -> None:
    with pytest.raises(BadInput) as refused:
        parse_lows(typed, Temperature(scale))
    assert str(refused.value) == asked


def test_what_a_night_can_be_is_taken_and_a_unit_is_obeyed() -> None:
    assert parse_lows("24 20 -4", Temperature.CELSIUS) == [24, 20, -4]
    assert parse_lows("28c 26 °c", Temperature.CELSIUS) == [28, 26]
    assert parse_lows("32f 41f", Temperature.CELSIUS) == [0, 5]
    assert len(parse_lows("75 30 28", Temperature.FAHRENHEIT)) == 3


async def test_lows_of_another_scale_dont_pass_the_gate(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("ngNf40 38 36 41 44⏎")
        assert hand.refused == "40 °C is unlikely for a night. Type 40f, or 40c if it is so."
        assert hand.typed == "40 38 36 41 44"


async def test_a_colder_spot_moves_the_gate(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("ng" + MILD)
        assert rows_at_gate(hand)["pak choi Low Bell"] == "GO"
        await hand.type("S8")
        assert hand.asks, hand.shown
        await hand.type("7⏎")
        assert rows_at_gate(hand)["pak choi Low Bell"] == "WAIT"
        await hand.type("25")
        assert "(7 °C colder here)" in " ".join(hand.shown.split())


async def test_a_farm_with_nothing_ready_is_told_what_comes_here(tmp_path: Path) -> None:
    async with at_the_farm(tmp_path / "new.db", make=True) as hand:
        await hand.type("g")
        assert "Nothing stands ready to set out." in hand.shown


async def test_hardening_is_counted_back_from_the_gate_on_the_round_too(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        # Soil of 8, 8 and 9 °C, half a degree a day: 60 °F on 28 April, and seven days of hardening before that.
        harden = next(due for due in hand.line(56).due if due.task is Task.HARDEN)
        assert (harden.window.start, harden.why) == (date(2026, 4, 21), "gate likely shut until 28 Apr")
        await hand.type("ng56")
        assert "28 Apr? roots: look again" in hand.shown
        # What bears the week is hardened at once.
        assert next(due for due in hand.line(22).due if due.task is Task.HARDEN).window.start <= DEMO_MORNING


async def test_soil_is_read_in_the_ground_outside_and_of_earlier_mornings_too(
    farm: Path, tmp_path: Path
) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("ngNsg17⏎")
        assert hand.said.startswith("read 17 °C in the ground outside.")
        for back, degrees in (("-1", "16.5"), ("-2", "16")):
            await hand.type(f"Ne{back}⏎sg{degrees}⏎")
            assert "in the ground outside" in hand.said
        await hand.type("56")
        # 16, 16.5 and 17 °C stand where 8, 8 and 9 °C were read at the tables.
        assert "soil 16.5 °C" in hand.shown
    store = open_store(farm)
    export_folder(store, tmp_path / "out")
    store.close()
    import_folder(tmp_path / "again.db", tmp_path / "out").close()
