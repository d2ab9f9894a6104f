"""The demo farm: it comes in whole, its counts balance, and everything its story tells is in the record."""

from collections import Counter
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

import pytest

from model.actions import files
from model.crops import load_containers, load_crops
from model.facts import Act, ActKind, LossCause, ReadingKind, Sowing, Tray, Treated
from model.rules.readiness import judge
from model.rules.verdict import Stage, Task, Verdict
from model.store import reading, reading_ahead
from model.store.database import Rows, Store
from model.store.exchange import read_folder
from model.store.layout import FILES
from model.views.grounds import grounds

MORNING = files.DEMO_MORNING


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Store:
    return files.import_folder(tmp_path_factory.mktemp("demo") / "demo.db", files.demo_folder())


@pytest.fixture
def rows(demo: Store) -> Iterator[Rows]:
    with demo.reading() as reader:
        yield reader


@pytest.fixture
def trays(rows: Rows) -> dict[int, Tray]:
    """Every tray that ever was, by number: no number of the demo farm is used twice."""
    everything = reading.trays(rows, [i for (i,) in rows("SELECT id FROM tray")])
    return {tray.number: tray for tray in everything.values()}


@pytest.fixture
def verdicts(rows: Rows, trays: dict[int, Tray]) -> dict[int, Verdict]:
    on = grounds(rows, trays.values())
    return {number: judge(tray, on, MORNING) for number, tray in trays.items() if tray.standing}


def acts_on(rows: Rows, tray: Tray, *kinds: ActKind) -> list[Act]:
    return [act for act in reading.acts_of(rows, [tray.id]) if act.kind in kinds]


def standing_at(rows: Rows, name: str) -> list[Tray]:
    (place,) = (place for place in reading.places(rows) if place.name == name)
    return [tray for tray in reading.standing_trays(rows) if tray.place_id == place.id]


def open_today(verdict: Verdict) -> set[Task]:
    return {due.task for due in verdict.due if due.open_on(MORNING)}


def test_it_goes_out_as_the_same_bytes_that_came_in(demo: Store, tmp_path: Path) -> None:
    files.export_folder(demo, tmp_path)
    for file in FILES:
        assert (tmp_path / file.name).read_bytes() == (files.demo_folder() / file.name).read_bytes(), (
            file.name
        )


def test_a_rebuild_gives_the_same_facts(demo: Store) -> None:
    with demo.reading() as rows:
        before = rows("SELECT tray_id, standing, facts FROM tray_now ORDER BY tray_id")
    files.rebuild(demo)
    with demo.reading() as rows:
        assert rows("SELECT tray_id, standing, facts FROM tray_now ORDER BY tray_id") == before


def test_sixty_trays_stand_in_six_places_in_walking_order(rows: Rows) -> None:
    assert [place.name for place in reading.places(rows)] == [
        "Mat",
        "Shelf",
        "Slats",
        "Frame",
        "Hardening",
        "Corner",
    ]
    counts = {place.name: len(standing_at(rows, place.name)) for place in reading.places(rows)}
    assert counts == {"Mat": 10, "Shelf": 12, "Slats": 22, "Frame": 6, "Hardening": 8, "Corner": 2}
    assert all(counts[place.name] <= place.slots for place in reading.places(rows))


def test_two_people_share_the_rounds(rows: Rows) -> None:
    assert reading.people(rows) == ("Wren", "Jory")
    entered = Counter(entry.who for entry in reading.entries(rows))
    assert entered["Wren"] > 100
    assert entered["Jory"] > 100


def test_every_morning_of_five_weeks_has_a_closed_round_and_the_last_one_is_partial(rows: Rows) -> None:
    found = rows("SELECT day, text FROM act WHERE kind = 'round closed' ORDER BY day")
    days = [date(2026, 3, 10) + timedelta(n) for n in range(35)]
    assert [date.fromisoformat(day) for day, _ in found] == days
    assert found[-1][1] == "partial"


def test_nothing_is_entered_on_the_demo_morning_yet(rows: Rows) -> None:
    assert rows("SELECT max(day) FROM act") == [("2026-04-13",)]
    assert rows("SELECT max(date(entered_at)) FROM entry") == [("2026-04-13",)]


def test_the_rows_come_in_the_order_in_which_they_were_entered() -> None:
    acts = read_folder(files.demo_folder()).sheets["acts.csv"]
    assert [row.cells["act"] for row in acts] == list(range(1, len(acts) + 1))


def test_counts_balance_in_every_sowing(trays: dict[int, Tray]) -> None:
    for tray in trays.values():
        for sowing in tray.sowings:
            assert sowing.have >= 0
            gone = sowing.empty + sowing.lost + sowing.potted + sowing.out + sowing.retired
            assert sowing.have + gone == sowing.cells


def test_every_plant_that_was_potted_up_stands_in_a_child(trays: dict[int, Tray]) -> None:
    by_id = {tray.id: tray for tray in trays.values()}
    parents = [tray for tray in trays.values() if tray.children]
    assert len(parents) == 2
    for parent in parents:
        children = [by_id[child] for child in parent.children]
        assert sum(sowing.potted for sowing in parent.sowings) == sum(child.have for child in children)


def test_every_crop_and_container_is_one_that_ships(rows: Rows, trays: dict[int, Tray]) -> None:
    assert {sowing.crop for tray in trays.values() for sowing in tray.sowings} <= set(load_crops())
    shipped = {container.name: container.volume_ml for container in load_containers()}
    assert {c.name: c.volume_ml for c in reading.containers(rows)} == shipped


def test_every_stage_of_a_life_is_there(trays: dict[int, Tray], verdicts: dict[int, Verdict]) -> None:
    stages = {one.stage for verdict in verdicts.values() for one in verdict.sowings}
    assert stages == set(Stage) - {Stage.OUT}
    assert any(
        sowing.out == sowing.have + sowing.out > 0 for tray in trays.values() for sowing in tray.sowings
    )


def test_about_ten_trays_need_something_today_and_the_others_nothing(verdicts: dict[int, Verdict]) -> None:
    needing = {number: open_today(verdict) for number, verdict in verdicts.items() if open_today(verdict)}
    assert needing == {
        46: {Task.FIRST_UP},
        62: {Task.FIRST_UP},
        63: {Task.FIRST_UP},
        58: {Task.HALF_UP},
        50: {Task.THIN},
        51: {Task.THIN},
        4: {Task.LOOK},
        12: {Task.LOOK},
        30: {Task.LOOK},
        22: {Task.HARDEN},
        25: {Task.SET_OUT, Task.PAST},
        27: {Task.CUT},
    }


def test_one_flat_holds_three_sowings_of_one_day_that_came_up_on_three(trays: dict[int, Tray]) -> None:
    sowings = trays[27].sowings
    assert [sowing.crop for sowing in sowings] == ["lettuce", "mustard", "cilantro"]
    assert {sowing.sown_on for sowing in sowings} == {date(2026, 3, 15)}
    assert len({sowing.first_up for sowing in sowings}) == 3
    assert all(sowing.treated is Treated.NO for sowing in sowings)


def test_a_family_was_potted_up_into_three_and_keeps_its_sowing_day(trays: dict[int, Tray]) -> None:
    parent = trays[16]
    children = [tray for tray in trays.values() if tray.parent_id == parent.id]
    assert not parent.standing
    assert sorted(child.have for child in children) == [15, 15, 36]
    assert len({child.container_id for child in children}) == 2
    assert {child.sowings[0].sown_on for child in children} == {parent.sowings[0].sown_on}


def test_one_tray_is_about_to_go_root_bound_while_its_sister_hardens(
    trays: dict[int, Tray], verdicts: dict[int, Verdict]
) -> None:
    late, sister = trays[22], trays[21]
    assert (late.looks[-1].score, late.looks[-1].day) == (3, date(2026, 4, 12))
    assert verdicts[22].sowings[0].age_days == 35
    assert "root-bound: act" in verdicts[22].flags
    assert late.sowings[0].sown_on == sister.sowings[0].sown_on
    assert [one.stage for one in verdicts[21].sowings] == [Stage.HARDENING]


def test_one_tray_is_late_up_and_one_is_past_its_window(verdicts: dict[int, Verdict]) -> None:
    assert [number for number, verdict in verdicts.items() if "late up" in verdict.flags] == [46]
    assert [number for number, verdict in verdicts.items() if "past window" in verdict.flags] == [25]


def test_one_tray_was_wholly_lost_and_one_was_dropped(rows: Rows, trays: dict[int, Tray]) -> None:
    lost, dropped = trays[26], trays[32]
    assert not lost.standing
    assert {act.cause for act in acts_on(rows, lost, ActKind.LOST)} == {LossCause.DAMPED_OFF}
    assert lost.sowings[0].lost + lost.sowings[0].empty == lost.sowings[0].cells
    assert [act.cause for act in acts_on(rows, dropped, ActKind.LOST)] == [LossCause.DROPPED]
    assert 0 < dropped.have < dropped.sowings[0].cells


def test_half_a_tray_of_kale_is_set_out_and_others_are_set_out_whole(trays: dict[int, Tray]) -> None:
    kale: Sowing = trays[23].sowings[0]
    assert (kale.crop, kale.out) == ("kale", 36)
    assert kale.have > 20
    whole = [tray for tray in trays.values() if not tray.standing and tray.sowings[0].out]
    assert len(whole) == 6


def test_one_tray_was_not_looked_at_for_a_round(rows: Rows, verdicts: dict[int, Verdict]) -> None:
    yesterday = MORNING - timedelta(days=1)
    unseen = [tray for tray in reading.standing_trays(rows) if tray.seen and tray.seen.day < yesterday]
    assert [tray.number for tray in unseen] == [32]
    assert "unseen 2 d" in verdicts[32].flags
    assert unseen[0] in standing_at(rows, "Corner")


def test_a_sowing_day_was_corrected_and_the_old_one_is_kept(rows: Rows, trays: dict[int, Tray]) -> None:
    (correction,) = acts_on(rows, trays[7], ActKind.CORRECTED)
    assert (correction.old, correction.new) == ("2026-02-23", "2026-02-21")
    assert trays[7].sowings[0].sown_on == date(2026, 2, 21)


def test_two_entries_were_taken_back(rows: Rows, trays: dict[int, Tray]) -> None:
    assert len(reading.dead_entries(rows)) == 2
    assert [act.count for act in acts_on(rows, trays[34], ActKind.LOST)] == [12, 2]
    assert trays[34].sowings[0].lost == 2


def test_a_part_was_resown_with_a_day_of_its_own(trays: dict[int, Tray]) -> None:
    first, second = trays[37].sowings
    assert (second.cells, first.lost) == (14, 14)
    assert second.sown_on > first.sown_on


def test_a_salad_flat_was_cut_once_and_grows_again(
    trays: dict[int, Tray], verdicts: dict[int, Verdict]
) -> None:
    assert trays[17].sowings[0].cuts == (date(2026, 4, 4),)
    assert not open_today(verdicts[17])


def test_one_lot_is_treated_and_an_old_one_came_up_nine_of_twenty(
    rows: Rows, verdicts: dict[int, Verdict]
) -> None:
    lots = {lot.name: lot for lot in reading.lots(rows)}
    assert (lots["LM-23"].tested_up, lots["LM-23"].tested_seeds) == (9, 20)
    assert [name for name, lot in lots.items() if lot.treated is Treated.YES] == ["SC-25"]
    assert [number for number, verdict in verdicts.items() if "treated seed" in verdict.flags] == [47, 68]


def test_the_bench_on_slats_is_fed_on_tuesdays(rows: Rows) -> None:
    fed = {date.fromisoformat(day) for (day,) in rows("SELECT DISTINCT day FROM act WHERE kind = 'fed'")}
    assert fed == {MORNING - timedelta(weeks=n) for n in range(1, 5)}


def test_the_demo_can_be_laid_on_any_day(tmp_path: Path) -> None:
    today = date(2028, 2, 29)
    store = files.make_demo(tmp_path / "demo.db", today)
    with store.reading() as rows:
        standing = reading.standing_trays(rows)
        assert len(standing) == 60
        assert max(tray.seen.day for tray in standing if tray.seen) == today - timedelta(days=1)
        words = [entry.words for entry in reading.entries(rows) if entry.words.startswith("corrected")]
    assert words == ["corrected 7F: sown on 2028-01-10 is 2028-01-08"]


def test_no_line_of_the_story_is_longer_than_its_page() -> None:
    story = (files.demo_folder() / "story.txt").read_text("utf-8")
    assert story.startswith("Quern Hill")
    assert max(map(len, story.splitlines())) <= 120


def test_five_weeks_of_readings_have_two_gaps_and_one_night_when_the_mat_failed(rows: Rows) -> None:
    places = {place.id: place.name for place in reading.places(rows)}
    found = reading.readings(rows, reading.dead_entries(rows))
    air = {
        name: {
            r.day: (r.low_c, r.high_c)
            for r in found
            if r.what is ReadingKind.AIR and places.get(r.place_id or 0) == name
        }
        for name in places.values()
    }
    whole = {date(2026, 3, 10) + timedelta(days=step) for step in range(35)}
    missing = {name: sorted(day.isoformat() for day in whole - set(air[name])) for name in air}
    assert missing["Slats"] == []
    assert missing["Frame"] == ["2026-03-21", "2026-03-22", "2026-03-23", "2026-03-24"]
    assert missing["Hardening"] == ["2026-04-10", "2026-04-11"]
    assert air["Mat"] == {date(2026, 3, 27): (12.0, 24.0)}
    assert air["Shelf"] == air["Corner"] == {}


def test_moved_to_another_day_freezes_and_cautions_keep_their_distance(tmp_path: Path) -> None:
    # 300 days on from 14 April 2026: half of years freeze after 24 April, ten days on, so after 18 February.
    day = MORNING + timedelta(days=300)
    store = files.import_folder(tmp_path / "moved.db", files.demo_folder(), 300)
    with store.reading() as rows:
        freezes = {found.at_c: (found.half_on, found.tenth_on) for found in reading_ahead.freezes(rows)}
        seen = reading_ahead.cautions(rows, day.year)
    store.close()
    assert day == date(2027, 2, 8)
    assert freezes[0.0] == ("02-18", "03-10")
    # Seen on 30 March and 13 April, so now in January and February; the others in the year before.
    assert set(seen) == {"treated", "nightshade"}
