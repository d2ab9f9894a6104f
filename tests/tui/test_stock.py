"""The store by keys: counted, used, short, washed; one shopping line; a bath; and cautions once a season."""

import json
import sqlite3
from datetime import date
from pathlib import Path

import pytest

from model.actions import shift
from model.actions import stock as actions
from model.actions.desk import Stamp
from model.actions.files import DEMO_MORNING
from model.actions.rota import PinWish, pin
from model.actions.shift import retire
from model.actions.sow import Sow, SowPart, sow
from model.crops import crop_name
from model.days import FixedClock
from model.errors import BadInput
from model.store import reading
from model.store.database import Store, open_store
from model.views import stock
from tests.targets import keep_target, without_targets
from tests.tui.hand import Hand, at_the_farm
from tui.__main__ import FINE, run

NOW = FixedClock(DEMO_MORNING).now()


def stamp() -> Stamp:
    return Stamp("Wren", NOW, DEMO_MORNING)


async def test_the_shopping_line_stands_one_key_from_the_round(farm: Path) -> None:
    async with at_the_farm(farm, size=(120, 40)) as hand:
        await hand.type("nB")
        assert (
            "Buy for the sowings until Tue 28 Apr: 1 bag of mix of 40 L, 15 x 10 cm pot, 4 x 72-cell tray"
            in hand.shown
        )
        assert "counted Mon 13 Apr, less what was sown and potted up since" in hand.shown


async def test_what_is_counted_and_washed_is_no_longer_short_and_undo_brings_it_back(farm: Path) -> None:
    async with at_the_farm(farm, size=(120, 40)) as hand:
        await hand.type("nBcm200⏎")
        assert "of mix" not in hand.shown.split("Not counted yet")[0]
        await hand.type("u")
        assert "1 bag of mix of 40 L" in hand.shown
        await hand.type("w⏎15⏎y")
        assert hand.said.startswith("washed 15 x 10 cm pot")
        assert "10 cm pot" not in hand.shown.split("Not counted yet")[0]


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


def boxes(store: Store) -> dict[str, int]:
    """Ids of the containers by their name."""
    with store.reading() as rows:
        return {box.name: box.id for box in reading.containers(rows)}


def in_hand(path: Path) -> tuple[stock.StockLine, ...]:
    store = open_store(path)
    try:
        return stock.read(store, DEMO_MORNING, NOW).lines
    finally:
        store.close()


TEN = (
    # What, lot, container, plants, seeds a cell; by hand: cells, trays. Usable are (1 - (1 - g)^k) x 0.95 of the cells,
    # g the trade minimum: 0.75 but for lettuce and cucumber 0.80 and pepper 0.55; basil has none, a cell a plant.
    ("tomato Ostrel", "", "72-cell tray", 60, 1),  # 60 / 0.7125 = 84.2: 85 cells, 2 trays; then 60 pots
    (
        "broccoli Hollin",
        "BR-25",
        "72-cell tray",
        100,
        2,
    ),  # 100 / 0.8906 = 112.3: 113 cells, 2 trays, 226 seeds
    ("kale Sedge Blue", "KA-25", "72-cell tray", 50, 1),  # 50 / 0.7125 = 70.2: 71 cells, 1 tray, 71 seeds
    ("lettuce Pale Ivy", "LP-25", "128-cell tray", 96, 1),  # 96 / 0.76 = 126.3: 127 cells, 1 tray, 127 seeds
    ("cucumber Ponty", "CU-25", "50-cell tray", 40, 1),  # 40 / 0.76 = 52.6: 53 cells, 2 trays, 53 seeds
    ("summer_squash Tumble", "", "50-cell tray", 30, 1),  # 30 / 0.7125 = 42.1: 43 cells, 1 tray, 43 seeds
    ("cabbage Copse", "", "72-cell tray", 48, 1),  # 48 / 0.7125 = 67.4: 68 cells, 1 tray, 68 seeds
    ("pepper Tavar", "PE-25", "72-cell tray", 40, 2),  # 40 / 0.7576 = 52.8: 53 cells, 1 tray, 106 seeds
    ("basil Fenn", "", "72-cell tray", 60, 3),  # 60 cells, 1 tray, 180 seeds
    ("mustard Rook", "MU-25", "open flat", 16, 45),  # 16 / 0.95 = 16.8: 17 clumps, 1 flat, 765 seeds
)
NEEDED = {
    # 8 x 72 x 43 + 128 x 23 + 3 x 50 x 66 + 7420 + 60 x 484 = 74 072 mL, and 15 % for settling.
    "mix": 85.18,
    "72-cell tray": 8,
    "128-cell tray": 1,
    "50-cell tray": 3,
    "open flat": 1,
    "10 cm pot": 60,
    "broccoli Hollin BR-25": 226,
    "kale Sedge Blue KA-25": 71,
    "lettuce Pale Ivy LP-25": 127,
    "cucumber Ponty CU-25": 53,
    "pepper Tavar PE-25": 106,
    "mustard Rook MU-25": 765,
    "tomato Ostrel (no lot)": 85,
    "summer squash Tumble (no lot)": 43,
    "cabbage Copse (no lot)": 68,
    "basil Fenn (no lot)": 180,
}


def test_a_plan_of_ten_lines_takes_what_was_reckoned_by_hand(farm: Path) -> None:
    without_targets(farm)
    store = open_store(farm)
    containers = boxes(store)
    lots = {lot.name: lot.lot_id for lot in stock.read_lots(store)}
    for what, lot, box, plants, each in TEN:
        crop, variety = what.split(" ", 1)
        full = f"{crop_name(crop)} {variety} {lot}"
        pot = containers["10 cm pot"] if what == "tomato Ostrel" else None
        keep_target(
            store,
            stamp(),
            what,
            date(2026, 5, 18),
            plants=plants,
            seeds_per_cell=each,
            container_id=containers[box],
            pot_id=pot,
            lot_id=lots[full] if lot else None,
        )
    view = stock.read(store, DEMO_MORNING, NOW)
    needed = {line.name: line.needed for line in view.lines if line.needed}
    assert needed.pop("mix") == pytest.approx(NEEDED["mix"], rel=0.001)
    assert needed == {name: count for name, count in NEEDED.items() if name != "mix"}

    # Twenty litres, five of eight trays, none of the 128s, 45 of 60 pots and 100 of 226 seeds are there.
    actions.count_mix(store, stamp(), 20)
    actions.count_containers(store, stamp(), containers["72-cell tray"], 5)
    actions.count_containers(store, stamp(), containers["128-cell tray"], 0)
    actions.count_containers(store, stamp(), containers["10 cm pot"], 45)
    actions.count_seeds(store, stamp(), lots["broccoli Hollin BR-25"], 100)
    # By hand: 85.18 - 20 = 65.18 L, two bags of 40; 8 - 5; 1 - 0; 60 - 45; 226 - 100.
    assert stock.shopping(stock.read(store, DEMO_MORNING, NOW)) == (
        "Buy for the sowings until Tue 28 Apr: 2 bags of mix of 40 L, 15 x 10 cm pot, 1 x 128-cell tray, "
        "3 x 72-cell tray, 126 seeds broccoli Hollin BR-25."
    )
    store.close()


def test_what_is_sown_takes_its_pots_until_it_is_potted_up(store: Store, containers: dict[str, int]) -> None:
    pot = containers["10 cm pot"]
    target = keep_target(store, stamp(), "tomato Ostrel", date(2026, 6, 8), plants=40, pot_id=pot, place_id=3)

    def pots() -> float:
        lines = stock.read(store, DEMO_MORNING, NOW).lines
        return sum(line.needed for line in lines if line.container_id == pot)

    assert pots() == 40
    part = SowPart("tomato", "Ostrel", 72, 1, "", target)
    (tray,) = sow(store, stamp(), Sow(containers["72-cell tray"], 3, (part,), DEMO_MORNING)).tray_ids
    assert pots() == 40
    shift.pot_up(store, stamp(), tray, None, [shift.PotUp(30, pot, 3)])
    assert pots() == 10


@pytest.mark.parametrize(("treated", "short"), [("no", 26), ("yes", 126)])
def test_a_second_lot_of_the_variety_covers_what_the_first_lacks(
    farm: Path, treated: str, short: int
) -> None:
    without_targets(farm)
    with sqlite3.connect(farm) as connection:
        connection.execute(
            "INSERT INTO lot (variety_id, name, packed_year, treated, source) "
            "SELECT variety_id, 'BR-26', 2026, ?, '' FROM lot WHERE name = 'BR-25'",
            (treated,),
        )
        connection.execute("UPDATE lot SET treated = 'no' WHERE name = 'BR-25'")
    store = open_store(farm)
    lots = {lot.name: lot.lot_id for lot in stock.read_lots(store)}
    first, second = lots["broccoli Hollin BR-25"], lots["broccoli Hollin BR-26"]
    keep_target(
        store, stamp(), "broccoli Hollin", date(2026, 5, 18), plants=100, seeds_per_cell=2, lot_id=first
    )
    actions.count_seeds(store, stamp(), first, 100)
    actions.count_seeds(store, stamp(), second, 100)
    view = stock.read(store, DEMO_MORNING, NOW)
    store.close()
    # 226 seeds needed, 100 there, 100 more of the other lot; treated seed stands in for none that isn't.
    (line,) = (line for line in view.lines if line.lot_id == first)
    assert (line.needed, line.in_hand, line.short) == (226, 100, short)
    told = " ".join(why for line in stock.answer(view).lines for why in line.why)
    assert ("100 of what is missing come from lot BR-26" in told) == (treated == "no")


@pytest.mark.parametrize(("sown_on", "told"), [(16, True), (17, False)])
def test_what_is_to_be_washed_is_told_two_days_before_the_sowing(
    farm: Path, sown_on: int, told: bool
) -> None:
    without_targets(farm)
    store = open_store(farm)
    containers = boxes(store)
    target = keep_target(
        store,
        stamp(),
        "kale Sedge Blue",
        date(2026, 6, 1),
        plants=100,
        container_id=containers["38-cell tray"],
    )
    actions.count_containers(store, stamp(), containers["38-cell tray"], 1)
    pin(store, stamp(), PinWish(target, date(2026, 4, sown_on)))
    view = stock.read(store, DEMO_MORNING, NOW)
    # 100 plants of untested kale, two seeds a cell: 100 / 0.8906 = 112.3, 113 cells, three trays of 38; one is clean.
    assert view.wash == ((("38-cell tray", 2),) if told else ())
    assert (
        any(
            line == "Needed before Thu 16 Apr, washed or bought: 2 x 38-cell tray."
            for line in stock.answer(view).answer
        )
        == told
    )
    store.close()


def test_the_day_to_wash_by_is_the_first_on_which_the_clean_ones_run_out(farm: Path) -> None:
    without_targets(farm)
    store = open_store(farm)
    containers = boxes(store)
    for sown_on, box in ((14, "50-cell tray"), (15, "38-cell tray")):
        target = keep_target(
            store, stamp(), "kale Sedge Blue", date(2026, 6, 1), plants=20, container_id=containers[box]
        )
        pin(store, stamp(), PinWish(target, date(2026, 4, sown_on)))
    actions.count_containers(store, stamp(), containers["38-cell tray"], 0)
    view = stock.read(store, DEMO_MORNING, NOW)
    assert (view.wash_by, view.wash) == (date(2026, 4, 15), (("38-cell tray", 1),))
    store.close()


def test_a_mixed_flat_is_taken_out_of_the_store_once(farm: Path) -> None:
    store = open_store(farm)
    flat = boxes(store)["open flat"]
    actions.count_containers(store, stamp(), flat, 3)
    before = {line.name: line.in_hand for line in stock.read(store, DEMO_MORNING, NOW).lines}
    parts = tuple(SowPart("lettuce", variety, 12, 20) for variety in ("Pale Ivy", "Marrel", "Slow"))
    sow(store, stamp(), Sow(flat, 2, parts, DEMO_MORNING), stack=True)
    after = {line.name: line.in_hand for line in stock.read(store, DEMO_MORNING, NOW).lines}
    store.close()
    assert (before["open flat"], after["open flat"]) == (3, 2)
    # A flat of 7.42 L with 15 % for settling.
    assert (before["mix"] or 0) - (after["mix"] or 0) == pytest.approx(7.42 * 1.15)


async def test_more_than_stands_dirty_is_washed_only_after_a_question(farm: Path) -> None:
    async with at_the_farm(farm, size=(120, 40)) as hand:
        # A 128-cell tray is emptied.
        await hand.type("n25WXy")
        assert hand.said.startswith("retired")
        await hand.type("Bw91⏎")
        assert not hand.asks, hand.shown
        before = hand.rows("SELECT count(*) FROM stock")
        await hand.type("w91⏎")
        assert "No dirty" in " ".join(hand.shown.split())
        await hand.press("enter")
        assert "Nothing was entered." in hand.said
        assert hand.rows("SELECT count(*) FROM stock") == before


def test_what_only_has_to_be_washed_is_not_bought(farm: Path) -> None:
    without_targets(farm)
    store = open_store(farm)
    containers = boxes(store)
    box = containers["38-cell tray"]
    actions.count_containers(store, stamp(), box, 1)
    (tray,) = sow(store, stamp(), Sow(box, 3, (SowPart("kale", "Sedge Blue", 38),), DEMO_MORNING)).tray_ids
    keep_target(store, stamp(), "kale Sedge Blue", date(2026, 5, 23), plants=60, container_id=box)
    # 60 plants of untested kale, two seeds a cell: 60 / 0.8906 = 67.4, 68 cells, two trays; the only clean one is used.
    assert "2 x 38-cell tray" in stock.shopping(stock.read(store, DEMO_MORNING, NOW))
    retire(store, stamp(), tray, None, 38)
    view = stock.read(store, DEMO_MORNING, NOW)
    assert "1 x 38-cell tray" in stock.shopping(view)
    (line,) = (line for line in view.lines if line.container_id == box)
    assert (line.dirty, line.short, line.to_buy) == (1, 2, 1)
    actions.wash(store, stamp(), box, 1)
    (line,) = (line for line in stock.read(store, DEMO_MORNING, NOW).lines if line.container_id == box)
    assert (line.dirty, line.in_hand, line.short, line.to_buy) == (0, 1, 1, 1)
    store.close()


def test_what_nobody_counted_may_be_short_or_not(farm: Path) -> None:
    store = open_store(farm)
    rows = {
        line.text.split("  ")[0]: line.text
        for line in stock.answer(stock.read(store, DEMO_MORNING, NOW)).lines
    }
    store.close()
    assert rows["open flat"].split()[2:] == ["?", "1", "?"]
    assert all("  " in row for row in rows.values())


async def test_the_hand_stays_on_what_was_counted(farm: Path) -> None:
    async with at_the_farm(farm, size=(120, 40)) as hand:
        await hand.type("nB⇣⇣")
        under = hand.app.screen.under_hand  # type: ignore[attr-defined]
        assert under.text.startswith("72-cell tray")
        await hand.type("c640⏎")
        assert hand.said.startswith("counted: 40 x 72-cell tray, clean")
        assert hand.app.screen.under_hand.text.startswith("72-cell tray")  # type: ignore[attr-defined]


@pytest.mark.parametrize("litres", ["0", "20000", "much"])
async def test_a_bag_that_cant_be_is_refused_and_the_store_still_opens(farm: Path, litres: str) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type(f"nSa{litres}⏎")
        assert hand.refused, hand.shown
        await hand.type("␛B")
        assert "1 bag of mix of 40 L" in hand.shown


async def test_a_bag_of_another_size_is_bought_by_its_litres(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("nSa10⏎B")
        # 92 L needed, 70 in hand.
        assert "3 bags of mix of 10 L" in hand.shown


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
        await hand.until("9.39 L of water, then 0.61 L of 8.25 % bleach.")
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


async def test_a_lot_that_is_kept_as_treated_shows_its_caution_once(farm: Path) -> None:
    unseen(farm, "treated")
    async with at_the_farm(farm) as hand:
        await hand.type("nGtomato Ostrel⏎npkt 9⏎2025⏎17 of 20⏎⏎⏎n")
        assert "Enter: seen" not in hand.shown
        await hand.type("Gtomato Ostrel⏎npkt 10⏎2025⏎17 of 20⏎⏎⏎y")
        await hand.until("nothing of it eaten or fed to animals")
        assert "the tag on the seed decides" in hand.shown
        await hand.press("enter")
        assert kept_caution(hand, "treated") == [(2026, "2026-04-14", "Wren")]
        await hand.type("Gtomato Ostrel⏎npkt 11⏎2025⏎17 of 20⏎⏎⏎y")
        assert "Enter: seen" not in hand.shown


async def test_before_a_tray_is_lifted_its_caution_is_shown_once_and_the_move_goes_on(farm: Path) -> None:
    unseen(farm, "lifting")
    async with at_the_farm(farm) as hand:
        await hand.stand("round", 46)
        await hand.type("m")
        await hand.until("benches at waist height")
        await hand.press("enter")
        assert "Move 46T to:" in hand.shown
        await hand.press("enter")
        assert hand.said.startswith("moved to")
        assert kept_caution(hand, "lifting") == [(2026, "2026-04-14", "Wren")]
        await hand.type("m")
        assert "benches at waist height" not in hand.shown


async def test_sowing_treated_seed_and_a_flat_to_cut_show_their_cautions(farm: Path) -> None:
    unseen(farm, "treated", "salad")
    async with at_the_farm(farm) as hand:
        await hand.type("nscorn Amberly⏎")
        while hand.asks:
            await hand.press("enter")
        await hand.until("nothing of it eaten or fed to animals")
        await hand.press("enter")
        await hand.type("smustard Rook⏎")
        while hand.asks:
            await hand.press("enter")
        await hand.until("no compost of unknown age")
        await hand.press("space")
        assert kept_caution(hand, "salad") == kept_caution(hand, "treated") == [(2026, "2026-04-14", "Wren")]


async def test_a_class_of_nightshades_shows_its_caution_when_it_is_planned(farm: Path) -> None:
    unseen(farm, "nightshade")
    async with at_the_farm(farm) as hand:
        await hand.type("nA")
        await plan_a_class(hand, "kale Sedge Blue")
        assert "Enter: seen" not in hand.shown
        await plan_a_class(hand, "tomato Brisk Nine")
        await hand.until("pepper aren't food")
        await hand.press("enter")
        assert kept_caution(hand, "nightshade") == [(2026, "2026-04-14", "Wren")]


async def test_what_was_seen_last_year_is_shown_again_this_year(farm: Path) -> None:
    connection = sqlite3.connect(farm)
    with connection:
        connection.execute("UPDATE caution SET season = 2025 WHERE key = 'electricity'")
    connection.close()
    async with at_the_farm(farm) as hand:
        await hand.type("nO")
        await hand.until("ground-fault protected outlets")


def unseen(path: Path, *keys: str) -> None:
    """Nobody has seen some cautions yet."""
    connection = sqlite3.connect(path)
    with connection:
        connection.executemany("DELETE FROM caution WHERE key = ?", [(key,) for key in keys])
    connection.close()


def kept_caution(hand: Hand, key: str) -> list[tuple[object, ...]]:
    return hand.rows(
        "SELECT season, seen_on, name FROM caution JOIN person ON person.id = person_id WHERE key = ?", key
    )


async def plan_a_class(hand: Hand, what: str) -> None:
    """Twelve plants at the first true leaf, everything else as offered."""
    await hand.type(f"a{what}⏎12⏎2 jun⏎c")
    while hand.asks:
        await hand.press("enter")
