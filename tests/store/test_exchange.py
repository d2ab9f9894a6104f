"""The record goes out to plain files and comes back the same, whole or not at all."""

from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from model.actions import files, growth, record, shift, walk
from model.actions.desk import Stamp
from model.ahead import FreezeFrom, Purpose, StockKind
from model.entered import STRUCK
from model.errors import BadInput, ImportRefused, StoreTrouble, TrayroundError
from model.facts import ActKind, LossCause
from model.rules import ledger
from model.store import checks, reading, reading_ahead
from tests.store.small_farm import SMALL_FARM, brought_in, kept, texts, written


def test_an_export_of_an_import_is_the_same_bytes(tmp_path: Path) -> None:
    store = brought_in(tmp_path)
    files.export_folder(store, tmp_path / "out")
    assert texts(tmp_path / "out") == texts(tmp_path / "in")


def test_a_second_export_is_the_same_bytes_and_leaves_other_files_alone(tmp_path: Path) -> None:
    store = brought_in(tmp_path)
    out = tmp_path / "out"
    out.mkdir()
    (out / "notes.txt").write_text("mine", encoding="utf-8")
    files.export_folder(store, out)
    first = texts(out)
    files.export_folder(store, out)
    assert texts(out) == first
    assert sorted(path.name for path in out.iterdir()) == sorted([*first, "notes.txt"])


def test_an_import_reckons_every_tray_parents_first(tmp_path: Path) -> None:
    store = brought_in(tmp_path)
    with store.reading() as rows:
        trays = reading.trays(rows, [1, 2, 3])
    parent, corrected, child = (trays[i] for i in (1, 2, 3))
    assert (parent.sowings[0].potted, parent.sowings[0].lost, parent.have) == (15, 3, 54)
    assert parent.watered is None, "the watering was taken back"
    assert corrected.sowings[0].sown_on == date(2026, 2, 27)
    assert corrected.place_id == 2
    assert child.sowings[0].half_up == date(2026, 3, 9), "taken from the parent"


def test_an_import_of_an_export_keeps_every_fact_of_every_tray(tmp_path: Path) -> None:
    store = brought_in(tmp_path)
    morning = Stamp("Jory", datetime(2026, 4, 12, 6, 30, 1, 5, tzinfo=UTC), date(2026, 4, 12))

    def stamp() -> Stamp:
        return Stamp(morning.who, morning.at, morning.today)

    walk.mark_place(store, stamp(), ActKind.WATERED, 1, exceptions=[3])
    growth.note(store, stamp(), 2, 'a "quoted", 500-character\'s ünïcode [note] 🌱')
    shift.lose(store, stamp(), 2, None, 4, LossCause.DAMPED_OFF)
    record.undo(store, stamp(), "Europe/London")
    record.redo(store, stamp(), "Europe/London")
    record.correct_sowing(store, stamp(), 1, None, "variety", "tomato/Brisk Nine")
    growth.root_look(store, stamp(), 1, 3)
    walk.close_round(store, stamp())
    files.export_folder(store, tmp_path / "out")
    again = files.import_folder(tmp_path / "again.db", tmp_path / "out")
    assert kept(again) == kept(store)
    files.export_folder(again, tmp_path / "out2")
    assert texts(tmp_path / "out2") == texts(tmp_path / "out")


def test_an_empty_record_goes_out_and_comes_back(tmp_path: Path) -> None:
    headers = {name.removesuffix(".csv"): text.split("\n")[0] + "\n" for name, text in SMALL_FARM.items()}
    store = brought_in(tmp_path, **{**headers, "farm": "name,value\nzone,UTC\n"})
    files.export_folder(store, tmp_path / "out")
    assert texts(tmp_path / "out") == texts(tmp_path / "in")
    assert kept(store) == []


def test_a_rebuild_gives_the_same_facts(tmp_path: Path) -> None:
    store = brought_in(tmp_path)
    before = kept(store)
    with store.transaction() as session:
        session.connection().exec_driver_sql("UPDATE tray_now SET facts = '{}'")
    files.rebuild(store)
    assert kept(store) == before


def test_every_day_and_instant_moves_with_the_shift(tmp_path: Path) -> None:
    store = files.import_folder(tmp_path / "farm.db", written(tmp_path / "in"), shift_days=30)
    with store.reading() as rows:
        tray = reading.trays(rows, [2])[2]
        entry, correction = (row for row in reading.entries(rows) if row.id in {2, 6})
        (lot,) = (row for row in reading.lots(rows) if row.name == "T1")
        corrected = next(act for act in reading.acts_of(rows, [2]) if act.kind is ActKind.CORRECTED)
    assert (tray.made_on, tray.stays[-1].since) == (date(2026, 3, 29), date(2026, 5, 11))
    assert entry.at == datetime(2026, 4, 8, 6, 30, 0, 250000, tzinfo=UTC)
    assert lot.tested_on == date(2026, 3, 3)
    assert correction.words.startswith("corrected 2W: sown on 2026-03-31 is 2026-03-29")
    assert (corrected.old, corrected.new) == ("2026-03-31", "2026-03-29")


def test_a_shift_past_the_end_of_the_calendar_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BadInput):
        files.import_folder(tmp_path / "farm.db", written(tmp_path / "in"), shift_days=-800_000)
    assert not (tmp_path / "farm.db").exists()


def test_columns_may_stand_in_another_order_and_lines_end_as_a_spreadsheet_ends_them(tmp_path: Path) -> None:
    store = brought_in(
        tmp_path,
        varieties="\ufeffname,crop\r\nOstrel,tomato\r\nSedge Blue,kale\r\n\r\n",
    )
    files.export_folder(store, tmp_path / "out")
    assert (tmp_path / "out" / "varieties.csv").read_text("utf-8") == SMALL_FARM["varieties.csv"]


def test_rows_may_stand_in_any_order_where_they_have_numbers(tmp_path: Path) -> None:
    head, *rows = SMALL_FARM["acts.csv"].splitlines(keepends=True)
    store = brought_in(tmp_path, acts="".join([head, *reversed(rows)]))
    files.export_folder(store, tmp_path / "out")
    assert (tmp_path / "out" / "acts.csv").read_text("utf-8") == SMALL_FARM["acts.csv"]


def test_nothing_is_imported_over_a_file_that_is_there(tmp_path: Path) -> None:
    path = tmp_path / "farm.db"
    path.write_bytes(b"mine")
    with pytest.raises(BadInput, match="already"):
        files.import_folder(path, written(tmp_path / "in"))
    assert path.read_bytes() == b"mine"


def test_a_folder_that_is_not_there_is_said(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="no folder"):
        files.import_folder(tmp_path / "farm.db", tmp_path / "nowhere")


def test_an_export_onto_a_file_is_refused_and_leaves_it(tmp_path: Path) -> None:
    store = brought_in(tmp_path)
    (tmp_path / "out").write_bytes(b"mine")
    with pytest.raises(StoreTrouble):
        files.export_folder(store, tmp_path / "out")
    assert (tmp_path / "out").read_bytes() == b"mine"


def test_an_import_into_a_folder_that_is_a_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "out").write_bytes(b"mine")
    with pytest.raises(TrayroundError):
        files.import_folder(tmp_path / "out" / "farm.db", written(tmp_path / "in"))
    assert (tmp_path / "out").read_bytes() == b"mine"


def test_the_fold_obeys_every_correction_that_an_import_takes() -> None:
    source = Path(ledger.__file__).read_text("utf-8")
    for field in (*checks.OF_ACT, *checks.OF_SOWING):
        assert f'case "{field}"' in source or (field == STRUCK and "STRUCK" in source), field


def test_a_folder_of_an_earlier_release_has_no_readings_and_no_lamps(tmp_path: Path) -> None:
    folder = written(tmp_path / "in")
    (folder / "readings.csv").unlink()
    (folder / "timings.csv").unlink()
    (folder / "places.csv").write_text(
        "name,kind,walk,slots,low_c,high_c\nSlats,bench on slats,2,40,12,21\nMat,heat mat,1,12,24,24\n"
    )
    store = files.import_folder(tmp_path / "farm.db", folder)
    with store.reading() as rows:
        assert rows("SELECT count(*) FROM reading") == [(0,)]
        assert {place.probe for place in reading.places(rows)} == {False}


def test_a_folder_of_the_release_before_has_no_targets_and_no_stock(tmp_path: Path) -> None:
    folder = written(tmp_path / "in")
    for name in ("targets", "pins", "stock", "freezes", "cautions"):
        (folder / f"{name}.csv").unlink()
    sowings = [line.rsplit(",", 1)[0] for line in (folder / "sowings.csv").read_text().splitlines()]
    (folder / "sowings.csv").write_text("\n".join(sowings) + "\n")
    store = files.import_folder(tmp_path / "farm.db", folder)
    with store.reading() as rows:
        assert reading_ahead.targets(rows) == []
        assert rows("SELECT count(*) FROM sowing WHERE target_id IS NULL") == [(3,)]
    assert len(kept(store)) == 3


def test_what_lies_ahead_reads_as_it_was_written(tmp_path: Path) -> None:
    with brought_in(tmp_path).reading() as rows:
        tomato, kale = sorted(reading_ahead.targets(rows), key=lambda target: target.id)
        pins, stock, freezes = (
            reading_ahead.pins(rows),
            reading_ahead.stock(rows),
            reading_ahead.freezes(rows),
        )
        cautions = reading_ahead.cautions(rows, 2026)
        assert reading_ahead.cautions(rows, 2025) == {}
        assert reading_ahead.sown_for(rows) == {1: {1: 72}}
    assert (tomato.crop, tomato.plants, tomato.purpose, tomato.until) == (
        "tomato",
        60,
        Purpose.SET_OUT,
        date(2026, 6, 15),
    )
    assert (kale.id, kale.plants, kale.stage) == (3, 30, "first true leaf"), "the newer form of it holds"
    assert (pins[1].day, pins[1].place_id, pins[1].without) == (date(2026, 3, 1), 2, False)
    assert (pins[3].day, pins[3].without, pins[3].reason) == (None, True, "cool, but time enough")
    assert [(found.what, found.amount) for found in stock] == [
        (StockKind.MIX, 80.5),
        (StockKind.CONTAINER, 12),
        (StockKind.SEED, 300),
    ]
    assert [(found.at_c, found.source) for found in freezes] == [
        (0.0, FreezeFrom.PUBLISHED),
        (-2.2, FreezeFrom.RECORD),
    ]
    assert cautions["bleach"].who == "Wren"


def test_a_target_whose_days_are_swapped_is_refused_with_its_line(tmp_path: Path) -> None:
    rows = SMALL_FARM["targets.csv"].replace("2026-05-18,2026-05-24", "2026-05-24,2026-05-18")
    with pytest.raises(ImportRefused) as refused:
        brought_in(tmp_path, targets=rows)
    assert refused.value.problems == [
        "targets.csv line 2, column last_day: 2026-05-18 is before 2026-05-24. Swap the two."
    ]
