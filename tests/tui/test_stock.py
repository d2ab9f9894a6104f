"""The store by keys: counted, used, short, washed; one shopping line; a bath; and cautions once a season."""

import json
from datetime import date
from pathlib import Path

import pytest

from model.actions import stock as actions
from model.actions.desk import Stamp
from model.actions.files import DEMO_MORNING
from model.days import FixedClock
from model.errors import BadInput
from model.store import reading
from model.store.database import Store, open_store
from model.views import stock
from tests.targets import keep_target, without_targets
from tests.tui.hand import at_the_farm
from tui.__main__ import FINE, run

NOW = FixedClock(DEMO_MORNING).now()


def stamp() -> Stamp:
    return Stamp("Wren", NOW, DEMO_MORNING)


async def test_the_shopping_line_stands_one_key_from_the_round(farm: Path) -> None:
    async with at_the_farm(farm, size=(120, 40)) as hand:
        await hand.type("nB")
        assert "Buy for the sowings until Tue 28 Apr: 1 bag of mix of 40 L, 15 x 10 cm pot" in hand.shown
        assert "Wash today: 2 x 72-cell tray." in hand.shown
        assert "counted Mon 13 Apr, less what was sown and potted up since" in hand.shown


async def test_what_is_counted_and_washed_is_no_longer_short_and_undo_brings_it_back(farm: Path) -> None:
    async with at_the_farm(farm, size=(120, 40)) as hand:
        await hand.type("nBcm200⏎")
        assert "of mix" not in hand.shown.split("Wash")[0]
        await hand.type("u")
        assert "1 bag of mix of 40 L" in hand.shown
        await hand.type("w⏎15⏎")
        assert hand.said.startswith("washed 15 x 10 cm pot")
        assert "10 cm pot" not in hand.shown.split("Wash")[0]


async def test_a_sowing_takes_its_tray_its_mix_and_its_seed_out_of_the_store(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n")
        before = {line.name: line.in_hand for line in in_hand(farm)}
        await hand.type("stomato Ostrel⏎")
        while hand.asks:
            await hand.press("enter")
        assert hand.said.startswith("sowed")
    after = {line.name: line.in_hand for line in in_hand(farm)}
    taken = {name: (before[name] or 0) - (after[name] or 0) for name in after if after[name] != before[name]}
    # A 72-cell tray of 43 mL cells with 15 % for settling: 3.56 L.
    assert taken.pop("mix") == pytest.approx(72 * 43 * 1.15 / 1000)
    assert taken == {"72-cell tray": 1, "tomato Ostrel TO-25": 72}


def in_hand(path: Path) -> tuple[stock.StockLine, ...]:
    store = open_store(path)
    try:
        return stock.read(store, DEMO_MORNING, NOW).lines
    finally:
        store.close()


def test_a_plan_of_ten_lines_takes_what_was_reckoned_by_hand(farm: Path) -> None:
    """Ten targets in trays of 72 cells of 43 mL, one tray each but for two: twelve trays.

    By hand: 12 x 72 x 43 mL x 1.15 = 42.7 L of mix, and 2 bags of 40 L; 12 trays.
    """
    without_targets(farm)
    store = open_store(farm)
    for n, what in enumerate(
        ["kale Sedge Blue", "cabbage Copse", "broccoli Hollin", "cauliflower Pale Dome", "lettuce Marrel"] * 2
    ):
        plants = 100 if n < 2 else 40
        keep_target(
            store, Stamp("Wren", NOW, DEMO_MORNING), what, date(2026, 5, 25), plants=plants, seeds_per_cell=2
        )
    view = stock.read(store, DEMO_MORNING, NOW)
    lines = {line.name: line.needed for line in view.lines}
    assert lines["72-cell tray"] == 12
    assert lines["mix"] == pytest.approx(42.7, rel=0.05)
    store.close()


def test_counts_that_cant_be_are_refused_with_what_to_do(store: Store, containers: dict[str, int]) -> None:
    for act in (
        lambda: actions.count_mix(store, stamp(), -1),
        lambda: actions.wash(store, stamp(), containers["72-cell tray"], 0),
        lambda: actions.count_seeds(store, stamp(), 99, 10),
    ):
        with pytest.raises(BadInput) as refused:
            act()
        assert refused.value.what_to_do
    with store.reading() as rows:
        assert rows("SELECT count(*) FROM stock") == [(0,)]


async def test_a_bath_is_worked_out_and_its_caution_is_shown_once_a_season_and_kept(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("nBb8.25⏎0.5⏎10⏎")
        assert "9.39 L of water, then 0.61 L of 8.25 % bleach." in hand.shown
        assert "Never with acids, ammonia or any other cleaner" in hand.shown
        assert "Enter: seen, and not shown again this year" in hand.shown
        await hand.press("enter")
        assert hand.rows("SELECT season, seen_on FROM caution WHERE key = 'bleach'") == [(2026, "2026-04-14")]
        await hand.type("␛b8.25⏎0.5⏎10⏎")
        assert "Enter: seen" not in hand.shown
        assert "Never with acids" in hand.shown, "the bath itself always says it"


async def test_a_bath_stronger_than_the_bottle_is_refused(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("nBb5.25⏎6⏎10⏎")
        assert "A bath of 6 % can't be made of 5.25 % bleach." in hand.said
        await hand.type("b0⏎")
        assert hand.refused == "'0' is no figure in %. Type a number above 0, like 5.25."


async def test_cautions_belong_to_their_step_and_come_once(tmp_path: Path) -> None:
    async with at_the_farm(tmp_path / "new.db", make=True) as hand:
        await hand.type("O")
        assert "ground-fault protected outlets" in hand.shown
        assert "a licensed electrician and local code decide" in hand.shown
        await hand.press("enter")
        assert hand.rows("SELECT key FROM caution") == [("electricity",)]
        await hand.type("EO")
        assert "ground-fault" not in hand.shown
        await hand.type("Nf-1⏎⏎E")
        assert "carbon monoxide alarm" in hand.shown
        await hand.press("enter")
        assert hand.rows("SELECT count(*) FROM caution") == [(2,)]


def test_the_command_prints_the_store(farm: Path, capsys: pytest.CaptureFixture[str]) -> None:
    asked = ["--db", str(farm), "--on", "2026-04-14"]
    assert run(["stock", *asked]) == FINE
    assert capsys.readouterr().out.startswith("Buy for the sowings until Tue 28 Apr")
    assert run(["stock", "--json", *asked]) == FINE
    lines = json.loads(capsys.readouterr().out)["lines"]
    assert lines[0]["name"] == "mix"


def test_old_lots_of_planned_sowings_are_to_be_tested(farm: Path) -> None:
    without_targets(farm)
    store = open_store(farm)
    with store.reading() as rows:
        lot = next(lot for lot in reading.lots(rows) if lot.name == "PE-22")
    keep_target(store, stamp(), "pepper Tavar", date(2026, 6, 15), lot_id=lot.id)
    (test,) = stock.read(store, DEMO_MORNING, NOW).tests
    assert (test.name, test.words) == (
        "pepper Tavar PE-22",
        "packed 2022, never tested: lay out 20 to 50 seeds",
    )
    store.close()
