"""The gate by keys: GO, WAIT and UNKNOWN, set out from there, and a reason kept where it went against the gate."""

from pathlib import Path

from tests.tui.hand import Hand, at_the_farm
from tests.tui.test_readings import without_forecast

MILD = "Nf6 6 7 7 8⏎⏎"


def rows_at_gate(hand: Hand) -> dict[str, str]:
    """The gate's word by crop and variety, as the screen has it."""
    rows = [row.strip() for row in hand.shown.splitlines()]
    words = ("GO", "WAIT", "UNKNOWN")
    return {row[8:30].strip(): row.split()[0] for row in rows if row.split()[:1] and row.split()[0] in words}


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
        assert "nights NO: lowest -1 °C of 5 nights; line 0 °C" in hand.shown
        assert found["tomato Ostrel"] == "WAIT"


async def test_without_a_forecast_nothing_is_go_and_what_is_old_is_named(farm: Path) -> None:
    without_forecast(farm)
    async with at_the_farm(farm) as hand:
        await hand.type("ng")
        assert rows_at_gate(hand)["pak choi Low Bell"] == "UNKNOWN"
        assert "Nothing is GO today; kale Sedge Blue may be on Wed 15 Apr." in hand.shown
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
        await hand.type("o⏎bed 4⏎")
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


async def test_a_low_typed_in_the_wrong_unit_is_asked_about(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("ngNf48 46 50⏎")
        assert "Did you mean 48 °F? Then type 48f" in hand.refused
        assert hand.typed == "48 46 50"


async def test_a_colder_spot_moves_the_gate(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("ng" + MILD)
        assert rows_at_gate(hand)["pak choi Low Bell"] == "GO"
        await hand.type("S8")
        assert hand.asks, hand.shown
        await hand.type("7⏎")
        assert rows_at_gate(hand)["pak choi Low Bell"] == "WAIT"
        await hand.type("25")
        assert "(7 °C colder here)" in hand.shown


async def test_a_farm_with_nothing_ready_is_told_what_comes_here(tmp_path: Path) -> None:
    async with at_the_farm(tmp_path / "new.db", make=True) as hand:
        await hand.type("g")
        assert "Nothing stands ready to set out." in hand.shown
