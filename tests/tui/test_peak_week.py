"""The peak week: four hundred trays in ten places, walked by keys; and plants split, set out by half and rescued."""

from pathlib import Path

import pytest

from model.rules.verdict import Stage
from tests.bench.farms import MORNING, big_farm
from tests.tui.hand import Hand, at_the_farm
from tui.__main__ import FINE, run

PEAK_KEYS, SHEET_PAGES, TOP = 220, 8, 7
"""Most keys for the whole round, most pages of its sheet, and lines that must be seen without scrolling."""
ACTS = 28
SPLIT_KEYS = 30


@pytest.fixture(scope="module")
def peak(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Four hundred standing trays in ten places."""
    path = tmp_path_factory.mktemp("peak") / "farm.db"
    big_farm(path, 400, 5)
    return path


@pytest.mark.long
async def test_a_round_of_four_hundred_trays_takes_two_hundred_and_twenty_keys_at_most(peak: Path) -> None:
    async with at_the_farm(peak) as hand:
        assert len(hand.view.lines) == 400
        assert sum(bool(line.label in hand.shown) for line in hand.view.lines[:TOP]) == TOP
        since = hand.last_act
        up = [line for line in hand.view.lines if line.stage not in {Stage.SOWN, Stage.FIRST_UP}]
        places = [place for place in hand.view.places if place.trays]
        looks = spread_over([place.place_id for place in places], up)
        await hand.press("n")
        for step, place in enumerate(places):
            for number in looks[place.place_id]:
                await hand.type(f"{number}r2")
            await hand.type("W⏎")
            if step < len(places) - 1:
                await hand.press("n")
        await hand.press("z")
        print("keys for the peak week:", hand.keys)
        assert hand.keys <= PEAK_KEYS
        assert hand.view.unseen == 0
        assert hand.view.closed == "complete"
        done = [kind for kind, _, _ in hand.acts(since)]
        assert (done.count("root look"), done.count("watered")) == (ACTS, 400)


def spread_over(places: list[int], lines: list[object]) -> dict[int, list[int]]:
    """Numbers of the trays that are looked at, by place: as many in each as it takes to make the acts of the day."""
    chosen: dict[int, list[int]] = {place: [] for place in places}
    for line in lines[:ACTS]:
        chosen[line.place_id].append(line.number)  # type: ignore[attr-defined]
    return chosen


def test_its_sheet_takes_eight_pages_at_most(peak: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["sheet", "--db", str(peak), "--on", str(MORNING)]) == FINE
    sheet = capsys.readouterr().out
    pages = sheet.rstrip("\f\n").split("\f")
    print("pages of the sheet:", len(pages))
    assert len(pages) <= SHEET_PAGES
    assert all(len(line) <= 80 for line in sheet.splitlines())


async def good(hand: Hand, number: int, plants: int) -> None:
    """Count the good plants of a tray, and start counting keys."""
    await hand.type(f"n{number}k{plants}⏎")
    assert hand.line(number).plants == plants
    hand.keys = 0


async def test_a_tray_is_split_between_two_pot_sizes_and_every_cell_is_accounted_for(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await good(hand, 48, 66)
        await hand.type("48p40⏎a⏎20⏎8⏎6⏎⏎")
        print("keys to split a tray:", hand.keys)
        assert hand.keys <= SPLIT_KEYS
        (story,) = hand.rows("SELECT json_extract(facts, '$.sowings[0]') FROM tray_now WHERE number = 48")[0]
        assert [part(story, name) for name in ("potted", "lost", "empty", "out")] == [60, 6, 6, 0]
        assert sum(part(story, name) for name in ("potted", "lost", "empty")) == 72
        children = [hand.line(number) for number in (71, 72)]
        assert [(line.plants, line.here_days) for line in children] == [(40, 0), (20, 0)]
        assert len({line.sown_on for line in children}) == 1


def part(story: str, name: str) -> int:
    """A count of a sowing as it is kept."""
    import json

    return int(json.loads(story)[name])


async def test_half_of_a_tray_is_set_out_and_no_more_than_remain_after_it(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await good(hand, 25, 68)
        await hand.type("25o36⏎bed 4⏎under fleece⏎")
        line = hand.line(25)
        assert line.plants == 32
        assert line.age_days > 0
        await hand.type("25o40⏎")
        assert "from 1 to 32" in hand.refused
    assert run(["trace", "bed 4", "--db", str(farm), "--on", "2026-04-14"]) == FINE


async def test_a_tray_that_was_dropped_lives_on_in_another_with_its_sowing_day(farm: Path) -> None:
    async with at_the_farm(farm) as hand:
        await good(hand, 44, 50)
        sown_on = hand.line(44).sown_on
        await hand.type("44x16⏎7")
        assert hand.said.startswith("lost 16: 44K pepper Tavar (dropped)")
        await hand.type("44p34⏎52⏎⏎")
        child = hand.line(71)
        assert (child.plants, child.sown_on, child.container) == (34, sown_on, "50-cell tray")
        await hand.type("71avariety certain: yes⏎")
        assert hand.said == "note: 71W.   u takes it back"
        assert hand.rows("SELECT count, cause FROM act WHERE kind = 'lost' ORDER BY id DESC LIMIT 1") == [
            (16, "dropped")
        ]
