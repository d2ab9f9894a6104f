"""Promises, hand-overs, quarantine, label intervals, sick trays and traces, by keys and commands."""

import json
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from model.actions import health, labelling, promises
from model.actions.desk import Stamp
from model.actions.farm import keep_place
from model.actions.files import DEMO_MORNING
from model.actions.growth import first_up
from model.actions.promises import Given, Share
from model.actions.shift import PotUp, move, pot_up, set_out
from model.actions.sow import Sow, SowPart, sow
from model.days import FixedClock
from model.facts import Place, PlaceKind
from model.store import reading
from model.store.database import Store, open_store
from model.views import calendar, cold, gate, plan, tonight
from model.views import promises as promised
from model.views.answer import as_text
from model.views.outlook import reckon
from model.views.round import read_round
from tests.store.looking import the_tray
from tests.tui.hand import at_the_farm
from tui.__main__ import FINE, REFUSED, run

NOW = FixedClock(DEMO_MORNING).now()
POTS = "10 cm pot"
CELLS_50 = "5"
"""Key of the 50-cell tray where plants are potted up."""


def stamp(who: str = "Wren") -> Stamp:
    return Stamp(who, NOW, DEMO_MORNING)


def opened(path: Path) -> Store:
    return open_store(path)


def tray_of(store: Store, number: int) -> int:
    with store.reading() as rows:
        return next(tray.id for tray in reading.trays_numbered(rows, number) if tray.standing)


def pots(store: Store, number: int, count: int, place: str) -> int:
    """Pots potted up from a tray; the number of the new tray."""
    with store.reading() as rows:
        box = next(box.id for box in reading.containers(rows) if box.name == POTS)
        where = next(spot.id for spot in reading.places(rows) if spot.name == place)
    tray = tray_of(store, number)
    receipt = pot_up(store, stamp(), tray, None, [PotUp(count, box, where)], stack=True)
    child = next(i for i in receipt.tray_ids if i != tray)
    return the_tray(store, child).number


@pytest.fixture
def sale(farm: Path) -> Path:
    """Ninety pots of tomato Ostrel promised to eleven plot-holders, seventy-eight good ones (thirty stood already), and ten in quarantine."""
    store = opened(farm)
    keep_place(store, Place(0, "Apart", PlaceKind.QUARANTINE, 9, 4, 12.0, 20.0))
    with store.reading() as rows:
        box = next(box.id for box in reading.containers(rows) if box.name == POTS)
    pots(store, 48, 48, "Slats")
    pots(store, 48, 10, "Apart")
    for plot in range(1, 12):
        plants = 8 if plot < 11 else 10
        due = DEMO_MORNING.replace(month=5, day=16 if plot % 2 else 9)
        promises.promise(store, stamp(), Given(f"plot {plot}", "tomato", "Ostrel", plants, due, box))
    store.close()
    return farm


async def test_more_is_promised_than_there_is_and_it_is_filled_by_date(sale: Path) -> None:
    async with at_the_farm(sale) as hand:
        await hand.type("n=")
        assert "tomato Ostrel: have 78, promised 90, short 12." in hand.shown
        assert "local rules" in hand.shown
        # Five plots on 9 May come first; of those on 16 May the last goes short.
        rows = [row for row in hand.shown.splitlines() if "plot" in row and "tomato" in row]
        assert [row.lstrip("› ").split()[:4] for row in rows[:6]] == [
            *(["9", "May", "plot", str(plot)] for plot in (2, 4, 6, 8, 10)),
            ["16", "May", "plot", "1"],
        ]
        hand.keys = 0
        for _ in range(5):
            await hand.type("⏎⏎⏎⇣")
        # Forty pots to five plots: three keys each and one to the next line.
        assert hand.keys == 20
        assert "have 38, promised 50, short 12." in hand.shown
        given = hand.rows("SELECT sum(count), count(DISTINCT promise_id) FROM act WHERE kind = 'handed over'")
        assert given == [(40, 5)]


async def test_quarantine_pots_are_never_counted_and_never_handed_over(sale: Path) -> None:
    async with at_the_farm(sale) as hand:
        (number,) = hand.rows("SELECT max(number) FROM tray")[0]
        since = hand.last_act
        # Before anything is asked of it.
        await hand.type(f"n{number}.h")
        assert not hand.asks
        assert "quarantine stock is handed to nobody" in hand.said
        assert hand.acts(since) == []


async def test_no_more_is_handed_over_than_was_promised_or_than_there_is(sale: Path) -> None:
    async with at_the_farm(sale) as hand:
        await hand.type("n=⏎9⏎")
        assert "from 1 to 8" in hand.refused
        await hand.type("␛")
        await hand.type("⏎5⏎71 4⏎")
        assert "Those are 4, not 5." in hand.shown
        await hand.press(*["backspace"] * 4)
        await hand.type("71 5⏎")
        assert hand.said.startswith("handed over 5: 71")
    store = opened(sale)
    with pytest.raises(Exception, match="is promised 3 more, not 4"):
        promises.hand_over(store, stamp(), [Share(tray_of(store, 71), None, 4)], promise_id=2)
    store.close()


async def test_an_old_number_leads_to_its_tray_where_plants_are_handed_over_and_that_is_said(
    sale: Path,
) -> None:
    async with at_the_farm(sale) as hand:
        # The pots of tray 71 are 80 now, and 43 is one that holds parsley.
        await hand.type("n71.nn80⏎43.nn81⏎=⏎5⏎43 5⏎")
        assert hand.refused.startswith("Tray 43 holds nothing for this: parsley "), hand.refused
        await hand.press(*["backspace"] * 4)
        await hand.type("71 2, 80 2, 71 1⏎")
        assert hand.said.startswith("handed over 5: 80B tomato Ostrel to plot 2. 71W is 80B now.   u"), (
            hand.said
        )
        assert hand.rows("SELECT words FROM entry ORDER BY id DESC LIMIT 1") == [
            ("handed over 5: 80B tomato Ostrel to plot 2",)
        ]


async def test_an_old_number_that_another_tray_carries_now_is_that_tray_where_plants_are_handed_over(
    sale: Path,
) -> None:
    async with at_the_farm(sale) as hand:
        await hand.type("n71.nn80⏎43.nn71⏎y=⏎5⏎71 5⏎")
        assert hand.refused.startswith("Tray 71 holds nothing for this: parsley "), hand.refused


async def test_what_is_given_in_full_says_so_and_what_is_given_in_part_says_how_much_is_left(
    sale: Path,
) -> None:
    async with at_the_farm(sale) as hand:
        await hand.type("n=⏎⏎⏎")
        assert "Sat 9 May: all 8 tomato Ostrel in 10 cm pot given." in hand.shown
        assert "There is:" not in hand.shown
        await hand.type("⇣⏎5⏎⏎")
        assert "Sat 9 May: 3 of 8 tomato Ostrel in 10 cm pot still to be given." in hand.shown


async def test_the_hand_goes_to_the_promise_that_was_put_down_or_changed(sale: Path) -> None:
    async with at_the_farm(sale) as hand:
        await hand.type("n=⇣⇣aplot 40⏎tomato Ostrel⏎v6⏎20 may⏎-")
        assert not hand.asks, hand.shown
        await hand.until(f"›{'20 May':<12}{'plot 40':<20}{'tomato Ostrel':<22}{6:>8}")
        await hand.type("c7⏎⏎")
        await hand.until(f"›{'20 May':<12}{'plot 40':<20}{'tomato Ostrel':<22}{7:>8}")


async def test_two_sowings_of_one_tray_keep_one_promise_of_any_variety(farm: Path) -> None:
    store = opened(farm)
    sown = DEMO_MORNING - timedelta(days=9)
    parts = (SowPart("tomato", "Ostrel", 20), SowPart("tomato", "Brisk Nine", 30))
    with store.reading() as rows:
        box = next(box for box in reading.containers(rows) if box.cells == 50)
    for wanted in (parts, parts[:1]):
        (tray,) = sow(store, stamp(), Sow(box.id, 3, wanted, sown), stack=True).tray_ids
        for sowing in the_tray(store, tray).sowings:
            first_up(store, stamp(), tray, sowing.id)
    promises.promise(store, stamp(), Given("plot 4", "tomato", "", 60, DEMO_MORNING, box.id))
    store.close()
    async with at_the_farm(farm) as hand:
        mixed, alone = (row[0] for row in hand.rows("SELECT id FROM tray ORDER BY id DESC LIMIT 2")[::-1])
        await hand.type("n=⏎⏎⏎")
        given = hand.rows("SELECT tray_id, sum(count) FROM act WHERE kind = 'handed over' GROUP BY tray_id")
        assert dict(given) == {mixed: 50, alone: 10}
        await hand.type("u⏎")
        await hand.type("45⏎")
        await hand.type("71 30, 71 30⏎")
        assert "from 1 to 20" in hand.refused


async def test_undo_gives_a_hand_over_back_and_a_struck_one_is_owed_again(sale: Path) -> None:
    async with at_the_farm(sale) as hand:
        await hand.type("n=⏎⏎⏎")
        assert "promised 82" in hand.shown
        await hand.type("u")
        assert "promised 90" in hand.shown


async def test_a_loss_makes_the_list_short_at_once(sale: Path) -> None:
    async with at_the_farm(sale) as hand:
        await hand.type("n71x10⏎2=")
        assert "have 68, promised 90, short 22." in hand.shown
        assert "Sow" not in hand.said


async def test_a_label_interval_stops_cutting_and_handing_over_with_one_clear_line(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n27.p1soap⏎5⏎12⏎")
        assert hand.said.startswith("sprayed with soap, 5 days, hands off for 12 hours: 27")
        await hand.type("c2")
        assert "was sprayed with soap on Tue 14 Apr" in hand.said
        assert "not before Sun 19 Apr" in hand.said
        await hand.type("+")
        assert "until 19 Apr" in hand.shown


async def test_a_sick_tray_names_those_that_stood_beside_it(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n46.sgrey mould⏎+")
        assert "Not kept apart yet: 46" in hand.shown
        assert "Shared a place in the 3 days up to then" in hand.shown
    assert run(["health", "--db", str(farm), "--on", str(DEMO_MORNING), "--json"]) == FINE


async def test_whoever_has_plants_that_stood_beside_a_sick_tray_is_named_with_the_day(
    sale: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    store = opened(sale)
    lines = [line for line in read_round(store, DEMO_MORNING).lines if line.place == "Slats"]
    sick, beside = next(line for line in lines if line.number == 17), [line.label for line in lines]
    promises.hand_over(store, stamp(), [Share(tray_of(store, 71), None, 4)], promise_id=1)
    earlier = replace(stamp(), day=DEMO_MORNING - timedelta(days=9))
    for told, bed in ((earlier, "bed 1"), (stamp(), "bed 2")):
        set_out(store, told, sick.tray_id, None, 3, bed)
    store.close()
    async with at_the_farm(sale) as hand:
        await hand.type(f"n{sick.label}.sspots⏎+")
        await hand.until("29Y and 15 more.")
        assert "25 trays" in hand.shown
        # Whoever is to be told has a line of their own, with a whole why.
        assert "have left; tell plot 1." in hand.shown
        row = next(row for row in hand.shown.splitlines() if "4 to plot 1" in row)
        assert row.split()[-2:] == ["tell", "them"]
        await hand.type("⇣")
        assert "4 to plot 1, Tue 14 Apr: tomato Ostrel. Tell who has them." in hand.shown
        assert f"Looked sick, in it or beside it: {sick.label} on Tue 14 Apr." in hand.shown
    assert run(["health", "--db", str(sale), "--on", str(DEMO_MORNING)]) == FINE
    assert "bed 1" not in (printed := capsys.readouterr().out)
    told_all = " ".join(printed.split())
    assert "71W" in told_all
    for number in beside:
        assert number in told_all
    assert " more" not in told_all
    assert "4 to plot 1, Tue 14 Apr: tomato Ostrel. Tell who has them." in told_all
    assert "3 at bed 2, Tue 14 Apr: lettuce Pale Ivy. Look at them there." in told_all


async def test_two_varieties_that_fell_together_are_promised_by_crop_only(sale: Path) -> None:
    async with at_the_farm(sale) as hand:
        await hand.type("n71.vfell together⏎")
        assert hand.said.startswith("variety uncertain: 71")
        await hand.type("=")
        assert "have 30, promised 90, short 60." in hand.shown


def test_a_lot_is_traced_to_who_has_its_plants_and_plants_back_to_their_lot(
    sale: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    store = opened(sale)
    number = the_tray(store, tray_of(store, 71)).number
    promises.hand_over(store, stamp(), [Share(tray_of(store, number), None, 8)], promise_id=1)
    store.close()
    on = ["--db", str(sale), "--on", str(DEMO_MORNING), "--json"]
    assert run(["trace", "plot 1", *on]) == FINE
    (forward,) = json.loads(capsys.readouterr().out)["found"]
    assert (forward["number"], forward["lot"], forward["parent"]) == (71, "TO-25", "48W")
    assert run(["trace", forward["lot"], *on]) == FINE
    back = json.loads(capsys.readouterr().out)
    assert back["how"] == "lot"
    assert [went for one in back["found"] if one["number"] == 71 for went in one["went"]] == [
        {"day": "2026-04-14", "how": "handed over", "count": 8, "where": "plot 1"}
    ]
    assert run(["trace", "nobody", *on]) == REFUSED
    assert "Nothing goes by 'nobody'" in capsys.readouterr().err


def test_a_command_reckons_the_forecast_as_the_screen_does(
    farm: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    store = opened(farm)
    known = reckon(store, DEMO_MORNING).outlooks
    lines = read_round(store, DEMO_MORNING, known).lines
    line = next(one for one in lines if one.ready and one.ready[0] > DEMO_MORNING and one.fill)
    sowing = the_tray(store, line.tray_id).sowings[0]
    due = DEMO_MORNING + timedelta(days=1)
    promises.promise(store, stamp(), Given("plot 1", sowing.crop, sowing.variety, 5, due))
    for view in (promised, gate, plan, cold, tonight):
        page = view.answer(view.read(store, DEMO_MORNING, NOW, known))  # type: ignore[attr-defined]
        on = ["--db", str(farm), "--on", str(DEMO_MORNING)]
        name = view.__name__.rpartition(".")[2]
        assert run([name, *on]) == FINE
        assert capsys.readouterr().out == as_text(page) + "\n", name
    told = calendar.read(store, DEMO_MORNING, NOW, known)
    assert calendar.read(store, DEMO_MORNING, NOW) == told
    store.close()


def test_plants_traced_by_whom_are_theirs_alone(sale: Path, capsys: pytest.CaptureFixture[str]) -> None:
    store = opened(sale)
    tray = tray_of(store, 71)
    set_out(store, stamp(), tray, None, 9, "bed 4, under fleece")
    promises.hand_over(store, stamp(), [Share(tray, None, 5)], promise_id=1)
    promises.hand_over(store, stamp(), [Share(tray, None, 3)], promise_id=1)
    promises.hand_over(store, stamp(), [Share(tray, None, 4)], promise_id=2)
    store.close()
    on = ["--db", str(sale), "--on", str(DEMO_MORNING)]
    assert run(["trace", "Plot 1", *on]) == FINE
    printed = capsys.readouterr().out
    assert "Went to Plot 1: 8 plants of tomato Ostrel TO-25.\n" in printed
    row = next(row for row in printed.splitlines() if row.lstrip().startswith("71"))
    assert row.endswith("  8 to plot 1")
    assert "bed 4" not in printed
    assert "plot 2" not in printed
    assert run(["trace", "71", *on]) == FINE
    assert "bed 4" in capsys.readouterr().out


async def test_a_test_of_eight_in_ten_is_a_range_and_says_how_many_seeds_a_cell(farm: Path) -> None:
    async with at_the_farm(farm, size=(120, 40)) as hand:
        await hand.type("nGonion Drumlin⏎n")
        await hand.type("ON-8⏎2025⏎8/10⏎⏎20c⏎⏎")
        assert hand.said.startswith(
            "seed lot ON-8 of onion Drumlin: packed 2025, 8 of 10 came up: somewhere 44-97 %."
        )
        await hand.type("Bl")
        row = next(row for row in hand.shown.splitlines() if "ON-8" in row)
        assert "8/10" in row
        assert "44-97 %" in row


async def test_a_dropped_tray_is_rescued_into_a_new_one(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n")
        line = next(line for line in hand.view.lines if line.crop == "pepper" and line.plants >= 50)
        since = hand.last_act
        await hand.type(f"{line.number}x16⏎7")
        assert "(dropped)" in hand.said
        await hand.type(f"{line.number}p34⏎{CELLS_50}2⏎⏎")
        lost, *rest = hand.acts(since)
        assert lost == ("lost", line.number, 16)
        assert ("potted up", line.number, 34) in rest


def test_moving_out_of_quarantine_lets_plants_be_handed_over_again(sale: Path) -> None:
    store = opened(sale)
    with store.reading() as rows:
        (number,) = rows("SELECT max(number) FROM tray")[0]
        slats = next(spot.id for spot in reading.places(rows) if spot.name == "Slats")
    tray = tray_of(store, number)
    move(store, stamp(), [tray], slats, stack=True)
    promises.hand_over(store, stamp(), [Share(tray, None, 3)], "plot 12")
    health.looked_sick(store, stamp(), tray, "spots")
    assert the_tray(store, tray).sowings[0].handed == 3
    store.close()


async def test_a_place_of_quarantine_is_added_by_keys_and_everything_still_opens(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("nPnApart\u23ce7\u23ce\u23ce\u23ce\u23ce")
        assert hand.view.places[-1].kind is PlaceKind.QUARANTINE, hand.shown
        await hand.type("46.sgrey mould\u23ce46m7")
        assert hand.line(46).place == "Apart"
        assert "sick" in hand.line(46).flags
        for page in ("+", "=", "g", "Z", "E", "Q"):
            await hand.type(page)
        assert "In Apart: 46T" not in hand.said
    on = ["--db", str(farm), "--on", str(DEMO_MORNING)]
    for command in ("round", "gate", "cold", "summary", "calendar", "sheet", "health"):
        assert run([command, *on]) == FINE


async def test_plants_that_are_not_ready_by_the_day_cover_no_promise(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        late = next(
            line for line in hand.view.lines if line.ready and (line.ready[0] - DEMO_MORNING).days > 6
        )
        await hand.type(f"n=aplot 4\u23ce{late.crop} {late.variety}\u23cev5000\u23ce+5\u23ce\u23ce")
        assert hand.said.startswith("promised 5000")
        await hand.until("Not by then: ")
        assert late.label in hand.shown.split("Not by then: ")[1]


PALE_IVY = "lettuce Pale Ivy\u23cev"
"""Typed on the page of promises: lettuce Pale Ivy by name."""


async def test_rows_of_salad_flats_are_no_plants_to_promise_or_to_hand_over(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        # 17V and 27G are open flats with rows of it, cut and cut again; 14Z and 28M can go out, 35N in some days.
        await hand.type(f"n=aplot 4\u23ce{PALE_IVY}40\u23ce+0\u23ce-")
        await hand.type(f"aorder 12\u23ce{PALE_IVY}900\u23ce+0\u23ce-")
        assert "lettuce Pale Ivy: have 227, promised 940, short 713." in hand.shown
        assert "17V" not in hand.shown
        assert "27G" not in hand.shown
        await hand.type("\u23ce227\u23ce")
        assert "14Z 109, 28M 118" in hand.shown
        await hand.type("27G 4, 14Z 109, 28M 114\u23ce")
        assert hand.refused.startswith("Tray 27G is a salad flat: its rows are cut"), hand.refused


async def test_a_tray_that_is_named_and_cannot_go_says_why(farm: Path) -> None:
    store = opened(farm)
    keep_place(store, Place(0, "Apart", PlaceKind.QUARANTINE, 9, 4, 12.0, 20.0))
    with store.reading() as rows:
        apart = next(spot.id for spot in reading.places(rows) if spot.name == "Apart")
    move(store, stamp(), [tray_of(store, 25)], apart)
    health.spray(store, stamp(), [tray_of(store, 23)], "soap", 5)
    labelling.doubt(store, stamp(), tray_of(store, 35), None, "fell together")
    due = DEMO_MORNING + timedelta(days=20)
    promises.promise(store, stamp(), Given("plot 4", "lettuce", "Pale Ivy", 40, due))
    store.close()
    async with at_the_farm(farm) as hand:
        await hand.type("n=\u23ce40\u23ce")
        for typed, why in (
            ("25W 40", "Tray 25W stands in Apart: quarantine stock is handed to nobody."),
            (
                "23T 40",
                "Tray 23T was sprayed with soap on Tue 14 Apr. By the label as you typed it not before",
            ),
            ("70R 40", "Tray 70R isn't up yet."),
            (
                "35N 40",
                "Tray 35N holds nothing for this: lettuce Pale Ivy in 128-cell tray, variety uncertain.",
            ),
            ("20C 40", "Tray 20C holds nothing for this: "),
            ("999 40", "No tray 999 stands here."),
        ):
            await hand.type(f"{typed}\u23ce")
            assert " ".join(hand.refused.split()).startswith(why), hand.refused
            await hand.press(*["backspace"] * len(typed))
        await hand.type("\u241b\u241b23.h")
        assert not hand.asks
        assert "not before Sun 19 Apr" in hand.said


async def test_a_lot_tested_below_the_minimum_stands_first_and_is_told_in_the_answer(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("nBl")
        rows = hand.shown.splitlines()
        # 9 of 20 may be 68 % at most, and lettuce has a minimum of 80 %.
        assert "Tested below the trade's minimum: lettuce Marrel LM-23." in rows[1]
        first = next(row for row in rows if row.startswith("›"))
        assert first.split()[1:] == ["Marrel", "LM-23", "2023", "9/20", "23-68", "%", "3", "below"]
        why = " ".join(hand.shown.split())
        assert "Sun 1 Mar: below the minimum of 80 % (US seed trade, 7 CFR 201.31)." in why


async def test_a_lot_is_added_from_the_page_of_the_seed_lots_and_stands_there_at_once(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("nBlGonion Drumlin⏎nON-8⏎2025⏎9/20⏎⏎20c⏎⏎")
        assert hand.said.startswith("seed lot ON-8 of onion Drumlin"), hand.shown
        assert any(row.split()[2:3] == ["ON-8"] for row in hand.shown.splitlines())


def test_a_trace_of_a_tray_tells_its_own_plants_apart_from_those_of_its_lot(
    farm: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    store = opened(farm)
    promises.hand_over(store, stamp(), [Share(tray_of(store, 28), None, 18)], "plot 4")
    promises.hand_over(store, stamp(), [Share(tray_of(store, 14), None, 9)], "plot 5")
    store.close()
    assert run(["trace", "28M", "--db", str(farm), "--on", str(DEMO_MORNING)]) == FINE
    own, kin, *rest = capsys.readouterr().out.splitlines()
    assert own == "Tray 28M: lettuce Pale Ivy LP-25. 1 sowing, 100 plants here, 18 gone out."
    assert kin == "Of lettuce Pale Ivy LP-25 also in other trays: 5 sowings, 360 plants here, 9 gone out."
    assert [row.split()[0] for row in rest if row[:1].isdigit()] == ["28M", "14Z", "17V", "27G", "35N", "70R"]


async def test_a_label_without_days_says_nothing_of_cutting_or_handing_over(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await hand.type("n27.p1soap⏎0⏎12⏎+")
        assert "soap: don't touch it until Tue 14 Apr" in hand.shown
        assert "neither cut" not in hand.shown
        assert "until 14 Apr" not in hand.shown
