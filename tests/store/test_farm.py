"""The farm itself: a new file, its settings, people, places and containers."""

from pathlib import Path

import pytest

from model.actions import farm, opening, shift, walk
from model.crops import load_containers
from model.days import check_zone
from model.errors import BadInput, FullPlace, NoDatabase
from model.facts import ActKind, Bottom, Container, ContainerKind, Place, PlaceKind
from model.store import database, reading
from model.store.database import Store, open_store
from tests.conftest import PLACES, StampMaker
from tests.store.looking import state
from tests.store.names import KALE, TOMATO

LADDER = Container(0, "60-cell ladder", ContainerKind.CELL_TRAY, 60, 51.0, Bottom.OPEN, "measured with water")


def test_a_new_farm_has_settings_one_person_and_the_shipped_containers(tmp_path: Path) -> None:
    store = open_store(tmp_path / "new.db", make=True)
    farm.found_farm(store, "Europe/London")
    with store.reading() as rows:
        assert reading.settings(rows) == {**farm.DEFAULTS, "zone": "Europe/London"}
        assert reading.people(rows) == ("grower",)
        assert reading.places(rows) == ()
        shipped = [(c.name, c.kind, c.cells, c.volume_ml, c.bottom, c.source) for c in load_containers()]
        found = reading.containers(rows)
        assert [(c.name, c.kind, c.cells, c.volume_ml, c.bottom, c.source) for c in found] == shipped
    store.close()


def test_a_farm_in_no_zone_is_not_founded(tmp_path: Path) -> None:
    store = open_store(tmp_path / "new.db", make=True)
    with pytest.raises(BadInput, match="is no time zone"):
        farm.found_farm(store, "Nowhere/Else")
    with store.reading() as rows:
        assert reading.settings(rows) == {}


def test_a_farm_is_founded_once(store: Store) -> None:
    before = state(store)
    farm.found_farm(store, "Europe/London")
    assert state(store) == before, "another window was first"


def test_opening_a_farm_makes_it_only_where_that_was_asked_for(tmp_path: Path) -> None:
    path = tmp_path / "folder" / "farm.db"
    with pytest.raises(NoDatabase, match="There is no database at"):
        opening.open_farm(path)
    assert not path.parent.exists()
    opening.open_farm(path, make=True).close()
    store = opening.open_farm(path)
    with store.reading() as rows:
        assert reading.people(rows) == ("grower",)


def test_a_farm_whose_making_was_broken_off_is_made_the_rest_of_the_way(tmp_path: Path) -> None:
    path = tmp_path / "farm.db"
    open_store(path, make=True).close()
    opening.open_farm(path, make=True).close()
    with opening.open_farm(path, make=True).reading() as rows:
        assert reading.settings(rows)["person"] == "grower"
        assert reading.people(rows) == ("grower",)


def test_the_usual_file_lies_in_the_platforms_data_folder() -> None:
    assert opening.default_path().parts[-2:] == ("trayround", "farm.db")
    opening.load_writers()


def test_the_machines_zone_is_a_first_guess(monkeypatch: pytest.MonkeyPatch) -> None:
    import pendulum

    assert check_zone(farm.here_zone())
    for name, guess in (("Europe/London", "Europe/London"), ("+05:30", "UTC"), (None, "UTC")):
        monkeypatch.setattr(pendulum, "now", lambda name=name: type("Now", (), {"timezone_name": name}))
        assert farm.here_zone() == guess


def test_the_six_places_come_in_walking_order(store: Store) -> None:
    with store.reading() as rows:
        assert [place.name for place in reading.places(rows)] == [place.name for place in PLACES]


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("farm", "Quern Hill"),
        ("zone", "America/New_York"),
        ("temperature", "°F"),
        ("measure", "US"),
        ("theme", "light"),
        ("order", "bench order"),
        ("person", "Jory"),
        ("harden_days", "10"),
        ("harden_days", ""),
        ("frost_risk", "10"),
        ("bed_cover", "light fabric"),
    ],
)
def test_every_setting_can_be_changed(store: Store, name: str, value: str) -> None:
    farm.set_setting(store, name, value)
    with store.reading() as rows:
        assert reading.settings(rows)[name] == value


@pytest.mark.parametrize(
    ("name", "value", "words"),
    [
        ("zone", "Nowhere/Else", "is no time zone"),
        ("temperature", "K", "'K' is no temperature"),
        ("theme", "sepia", "Choose one of dark, light"),
        ("colour", "red", "'red' is no colour"),
        ("harden_days", "2", "'2' days can't be. Give a whole number from 3 to 21."),
        ("harden_days", "22", "from 3 to 21"),
        ("harden_days", "a week", "from 3 to 21"),
        ("harden_days", "000000000000007", "from 3 to 21"),
        ("frost_risk", "0", "'0' % can't be. Give a whole number from 1 to 50."),
        ("frost_risk", "51%", "from 1 to 50"),
        ("frost_risk", "٧", "from 1 to 50"),
        ("bed_cover", "a blanket", "Choose one of"),
    ],
)
def test_a_setting_that_there_isnt_is_refused(store: Store, name: str, value: str, words: str) -> None:
    before = state(store)
    with pytest.raises(BadInput, match=words):
        farm.set_setting(store, name, value)
    assert state(store) == before


def test_a_person_is_put_on_record_once_and_is_then_on_the_round(store: Store) -> None:
    for name in ("Jory", " Jory ", "helper"):
        farm.name_person(store, name)
    with store.reading() as rows:
        assert reading.people(rows) == ("grower", "Jory", "helper")
        assert reading.settings(rows)["person"] == "helper"
    with pytest.raises(BadInput, match="The name is empty"):
        farm.name_person(store, "  ")


def test_a_person_who_does_something_is_put_on_record(bench: Store, stamp: StampMaker) -> None:
    walk.mark_trays(bench, stamp("Sorrel"), ActKind.WATERED, [KALE])
    walk.mark_trays(bench, stamp("Sorrel"), ActKind.WATERED, [TOMATO])
    with bench.reading() as rows:
        assert reading.people(rows).count("Sorrel") == 1


def test_a_place_is_added_and_changed(store: Store) -> None:
    farm.keep_place(store, Place(0, "porch", PlaceKind.COLD_FRAME, 0, 4, 3.0, 12.0))
    farm.keep_place(store, Place(7, "Porch", PlaceKind.HARDENING, 9, 6, 3.0, 12.5))
    with store.reading() as rows:
        assert reading.places(rows)[-1] == Place(7, "Porch", PlaceKind.HARDENING, 9, 6, 3.0, 12.5)


@pytest.mark.parametrize(
    ("place", "words"),
    [
        (Place(0, " ", PlaceKind.CORNER, 9, 4, 3.0, 12.0), "The place has no name"),
        (Place(0, "Slats", PlaceKind.CORNER, 9, 4, 3.0, 12.0), "There is a Slats already"),
        (Place(1, "slats", PlaceKind.CORNER, 9, 4, 3.0, 12.0), "There is a slats already"),
        (Place(9, "loft", PlaceKind.CORNER, 9, 4, 3.0, 12.0), "That place isn't on record"),
        (Place(0, "loft", PlaceKind.CORNER, 9, 4, 13.0, 12.0), "night is warmer than the day"),
        (Place(0, "loft", PlaceKind.CORNER, 9, 0, 3.0, 12.0), "0 slots can't be"),
        (Place(0, "loft", PlaceKind.LIT_SHELF, 9, 4, 3.0, 12.0, lamp_hours=25.0), "Lamps on for 25 h a day"),
        (Place(0, "loft", PlaceKind.LIT_SHELF, 9, 4, 3.0, 12.0, lamp_gap_mm=-1.0), "A gap of -1 mm can't be"),
        (Place(0, "loft", PlaceKind.LIT_SHELF, 9, 4, 3.0, 12.0, lamp_umol=float("nan")), "A light of nan"),
    ],
)
def test_a_place_that_cant_be_is_refused(store: Store, place: Place, words: str) -> None:
    before = state(store)
    with pytest.raises(BadInput, match=words):
        farm.keep_place(store, place)
    assert state(store) == before


def test_a_place_keeps_its_probe_and_its_lamps(store: Store) -> None:
    mat = Place(1, "mat", PlaceKind.HEAT_MAT, 1, 8, 24.0, 24.0, probe=True)
    shelf = Place(2, "shelf", PlaceKind.LIT_SHELF, 2, 12, 17.0, 21.0, False, 14.5, 63.5, 150.0)
    for place in (mat, shelf):
        farm.keep_place(store, place)
    with store.reading() as rows:
        assert reading.places(rows)[:2] == (mat, shelf)


@pytest.mark.parametrize(("typed", "kept"), [("51.5n", "51.5"), ("33S", "-33"), ("-33", "-33"), ("", "")])
def test_a_latitude_is_kept_as_degrees_north(store: Store, typed: str, kept: str) -> None:
    farm.set_setting(store, "latitude", typed)
    with store.reading() as rows:
        assert reading.settings(rows)["latitude"] == kept


@pytest.mark.parametrize("typed", ["200", "-90.5", "north", "nan"])
def test_a_latitude_that_cant_be_is_refused(store: Store, typed: str) -> None:
    before = state(store)
    with pytest.raises(BadInput, match="latitude"):
        farm.set_setting(store, "latitude", typed)
    assert state(store) == before


def test_a_place_with_fewer_slots_takes_no_more_trays(bench: Store, stamp: StampMaker) -> None:
    slats = PLACES[2]
    farm.keep_place(bench, Place(3, slats.name, slats.kind, 3, 2, slats.low_c, slats.high_c))
    with pytest.raises(FullPlace, match="slats has 2 slots and 2 trays"):
        shift.move(bench, stamp(), [TOMATO], 3)


def test_a_container_of_the_growers_own_is_added_once(store: Store) -> None:
    farm.keep_container(store, LADDER)
    before = state(store)
    with pytest.raises(BadInput, match="There is a 60-Cell Ladder already"):
        farm.keep_container(store, Container(0, "60-Cell Ladder", *LADDER_REST))
    assert state(store) == before
    with store.reading() as rows:
        assert reading.containers(rows)[-1].volume_ml == 51.0


LADDER_REST = (LADDER.kind, LADDER.cells, LADDER.volume_ml, LADDER.bottom, LADDER.source)


@pytest.mark.parametrize(("name", "cells", "volume"), [(" ", 60, 51.0), ("x", 0, 51.0), ("x", 60, 0.0)])
def test_half_a_container_is_refused(store: Store, name: str, cells: int, volume: float) -> None:
    before = state(store)
    with pytest.raises(BadInput, match="isn't complete"):
        farm.keep_container(store, Container(0, name, LADDER.kind, cells, volume, Bottom.SOLID, ""))
    assert state(store) == before


def test_a_transaction_that_fails_keeps_nothing_of_the_farm(store: Store) -> None:
    before = state(store)

    def half_done() -> None:
        with store.transaction() as session:
            rows = database.rows_of(session)
            rows("INSERT INTO person (id, name) VALUES (2, 'Jory')")
            assert reading.people(rows) == ("grower", "Jory")
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        half_done()
    assert state(store) == before
