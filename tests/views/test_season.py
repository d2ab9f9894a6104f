"""A whole year, told back: the eight questions on figures worked out by hand, and a word found again."""

from datetime import date
from pathlib import Path

import pytest

from model.actions import files, record, season, seed
from model.actions.growth import note
from model.actions.health import looked_sick
from model.actions.sow import Sow, SowPart, sow
from model.ahead import SeasonVerdict, VerdictWord
from model.errors import BadInput
from model.rules.season_page import Days, Met, OnMat
from model.store.database import Store
from model.views import notes
from model.views.answer import WIDTH
from model.views.season import CropSeason, SeasonView, answer, due, of_crop, page_answer, read
from tests.a_year import QUIET, YEAR, a_year, the
from tests.conftest import StampMaker
from tests.store.names import SLATS
from tests.targets import keep_target

Ids = dict[str, int]


@pytest.fixture
def year(store: Store, stamp: StampMaker, containers: Ids) -> Store:
    a_year(store, stamp, containers)
    return store


def looked_back(store: Store, stamp: StampMaker, on: date = QUIET) -> SeasonView:
    return read(store, on, stamp(today=on).at)


def cells(view: SeasonView) -> CropSeason:
    return next(crop for crop in view.crops if crop.container == "72-cell tray")


def pots(view: SeasonView) -> CropSeason:
    return next(crop for crop in view.crops if crop.container == "10 cm pot")


def test_the_season_is_told_for_each_container_by_itself(year: Store, stamp: StampMaker) -> None:
    view = looked_back(year, stamp)
    assert [(crop.name, crop.container) for crop in view.crops] == [
        ("tomato", "72-cell tray"),
        ("tomato", "10 cm pot"),
    ]
    sown, potted = cells(view).page, pots(view).page
    assert (sown.sowings, sown.trays, sown.cells, sown.potted) == (2, 2, 144, 0)
    assert (potted.sowings, potted.potted, potted.plants) == (0, 1, 8)
    # Sown on 18 March and held on 22 April; potted up on 24 April and held on 15 May.
    assert sown.ready_all == Days(35, 35, 35, 1)
    assert potted.ready_all == Days(21, 21, 21, 1)
    assert [(t.variety, t.place, t.potted) for t in potted.ready] == [("Ostrel", "frame", True)]


def test_the_eight_questions_have_their_answers(year: Store, stamp: StampMaker) -> None:
    sown = cells(looked_back(year, stamp)).page
    first, second = sown.aims
    # 1: what was late.
    assert (first.sown, first.leaving) == ((the(3, 18),), Met.IN)
    assert first.left == ((the(5, 19), 5), (the(5, 20), 50), (the(5, 30), 1))
    assert (second.sowing, second.leaving) == (Met.NEVER, Met.NEVER)
    # 2: the mat. 13 days of tray 1, due off on 27 March and moved on the 31st; 9 days of tray 2, in time.
    assert sown.mat == OnMat(trays=2, days=22, over=4, off_in_time=1, known=2)
    # 3 and 4: up after 6 days both, roots held on day 35.
    assert sown.up_all == Days(6, 6, 6, 2)
    # 5: stand by lot.
    assert [(s.lot, s.up, s.cells) for s in sown.stood] == [("A1", 60, 72), ("A2", 66, 72)]
    # 6: losses by cause; the pots' frost is on their own page.
    assert sown.losses == (("damped off", 6),)
    assert pots(looked_back(year, stamp)).page.losses == (("frost", 2),)
    # 7: against the gate.
    (gone,) = pots(looked_back(year, stamp)).page.gone
    assert (gone.count, gone.lost, gone.notes) == (5, 2, ("ice on the fleece",))
    assert gone.against == "WAIT: nights. under fleece"
    assert [(g.day, g.count, g.against, g.lost) for g in sown.gone] == [(the(5, 20), 50, "", 0)]
    # 8: for nobody.
    assert sown.for_nobody == (2,)


def test_every_question_stands_on_the_page_in_words_that_fit(year: Store, stamp: StampMaker) -> None:
    view = looked_back(year, stamp)
    told = page_answer(view, cells(view))
    lines = [line.text for line in told.lines]
    assert "mat         22 tray-days in 2 trays; off in time 1 of 2, 4 tray-days too long" in lines
    assert "up          Ostrel, mat: 6 (6-6) d, n 2" in lines
    assert "ready       Ostrel, slats: 35 (35-35) d, n 1" in lines
    assert "stand       Ostrel, lot A1: 83% (60 of 72 cells)" in lines
    assert "losses      6 of 144: damped off 6" in lines
    assert "for nobody  1 tray: 2W" in lines
    against = [line.text for line in page_answer(view, pots(view)).lines]
    assert "gate        against it 1 time, 5 plants; 2 lost in 14 days" in against
    for line in (*told.lines, *answer(view).lines, *page_answer(view, pots(view)).lines):
        assert len(line.text) <= WIDTH
        assert len(line.why) <= 4
    assert any("never taken together" in note for note in told.notes)


def test_what_was_late_says_why(store: Store, stamp: StampMaker, containers: Ids) -> None:
    a_year(store, stamp, containers)
    view = looked_back(store, stamp)
    told = page_answer(view, cells(view))
    late = next(line for line in told.lines if "1-7 Jun" in line.text)
    assert late.text.endswith("never sown.")
    assert late.tone == "crowding"
    met = next(line for line in told.lines if "18-24 May" in line.text)
    assert met.why[0].endswith("sown 18 Mar, 1 of 1.")
    assert met.why[1] == "Wanted 50; left: 5 on 19 May, 50 on 20 May, 1 on 30 May."


def test_what_was_put_right_is_told_as_it_is_now(year: Store, stamp: StampMaker) -> None:
    before = cells(looked_back(year, stamp)).page
    with year.reading() as rows:
        ((lost,),) = rows("SELECT id FROM act WHERE cause = 'damped off'")
    record.correct_act(year, stamp(today=QUIET), lost, "count", "2")
    after = cells(looked_back(year, stamp)).page
    assert (before.lost, after.lost) == (6, 2)


def test_an_earlier_day_sees_the_season_of_that_day(year: Store, stamp: StampMaker) -> None:
    then = cells(looked_back(year, stamp, the(4, 1))).page
    assert then.ready_all is None
    assert then.gone == ()
    assert (then.standing, then.for_nobody) == (2, ())
    assert then.lost == 6


def test_a_verdict_holds_until_a_newer_one_or_until_it_is_taken_back(year: Store, stamp: StampMaker) -> None:
    page = cells(looked_back(year, stamp)).page

    def say(word: VerdictWord, lines: str) -> None:
        verdict = SeasonVerdict(YEAR, page.crop, page.container_id, word, lines)
        season.judge(year, stamp(today=QUIET), verdict)

    say(VerdictWord.KEEP, "good / sow a week later")
    say(VerdictWord.DROP, "too many")
    told = cells(looked_back(year, stamp)).verdict
    assert told is not None
    assert (told.word, told.lines) == (VerdictWord.DROP, "too many")
    assert pots(looked_back(year, stamp)).verdict is None
    record.undo(year, stamp(today=QUIET), "UTC")
    told = cells(looked_back(year, stamp)).verdict
    assert told is not None
    assert (told.word, told.lines) == (VerdictWord.KEEP, "good / sow a week later")


@pytest.mark.parametrize(
    ("year_of", "lines", "words"), [(YEAR, " / ", "says nothing"), (YEAR + 1, "fine", "still to come")]
)
def test_an_empty_verdict_and_one_of_a_season_to_come_are_refused(
    year: Store, stamp: StampMaker, year_of: int, lines: str, words: str
) -> None:
    verdict = SeasonVerdict(year_of, "tomato", None, VerdictWord.KEEP, lines)
    with pytest.raises(BadInput, match=words):
        season.judge(year, stamp(today=QUIET), verdict)
    assert cells(looked_back(year, stamp)).verdict is None


def test_the_reminder_waits_for_the_quiet_month_or_the_last_tray(
    store: Store, stamp: StampMaker, containers: Ids
) -> None:
    assert due(store, QUIET) is None
    a_year(store, stamp, containers)
    # Everything is gone on 30 June.
    assert due(store, the(7, 1)) == YEAR
    assert due(store, QUIET) == YEAR
    assert due(store, date(YEAR + 1, 1, 3)) == YEAR


def test_while_trays_stand_the_reminder_waits(bench: Store) -> None:
    assert due(bench, date(2026, 4, 14)) is None
    assert due(bench, date(2026, 12, 1)) == 2026


def test_one_crop_is_named_by_its_name(year: Store, stamp: StampMaker) -> None:
    view = looked_back(year, stamp)
    assert len(of_crop(view, " Tomato").crops) == 2
    with pytest.raises(BadInput, match="leek"):
        of_crop(view, "leek")


# Finding a word again.


def found(store: Store, asked: str) -> list[tuple[str, int | None, str]]:
    return [(one.what, one.number, one.who) for one in notes.read_notes(store, asked, QUIET).found]


@pytest.mark.parametrize("asked", ["glaserne", "BLÄTTER", "bla\u0308tter", "pale glas", "50% pale"])
def test_a_word_is_found_whatever_its_case_accents_and_order(year: Store, asked: str) -> None:
    assert found(year, asked) == [("note", 2, "Jory")]


@pytest.mark.parametrize("asked", ["5%p", "pale%green", "p_le", "50_", "*", "ic?"])
def test_no_sign_stands_for_another(year: Store, asked: str) -> None:
    assert found(year, asked) == []


def test_signs_are_found_as_they_are_written(year: Store) -> None:
    assert found(year, "50%") == [("note", 2, "Jory")]
    assert found(year, "pale_g") == [("note", 2, "Jory")]


def test_beds_lots_reasons_and_to_whom_are_found(year: Store) -> None:
    assert found(year, "bed 4") == [("set out", 1, "Wren"), ("planned for", None, "Wren")]
    assert found(year, "plot 4") == [("handed over", 3, "Wren")]
    assert found(year, "fleece") == [("note", 3, "Wren"), ("against the gate", 3, "Wren")]
    assert found(year, "a2") == [("lot of tomato Ostrel", 2, "Wren")]


@pytest.mark.parametrize(
    ("asked", "count"),
    [
        ("mould 14 apr", 1),
        ("14 APR mould", 1),
        ("grey mould Tue 14 Apr 2026", 1),
        ("grey apr 2026 mould", 1),
        ("mould 2026-04", 1),
        ("mould 15 apr", 0),
        ("slugs 14 apr", 0),
        ("sick", 1),
        ("sick mould 14 apr", 1),
        ("sick: grey", 1),
        ("14 apr", 1),
        ("seen 15 apr", 1),
    ],
)
def test_words_and_a_day_hold_together_and_so_does_what_a_line_is(
    store: Store, stamp: StampMaker, containers: Ids, asked: str, count: int
) -> None:
    kale = Sow(containers["72-cell tray"], SLATS, (SowPart("kale", "Rill", 72),), date(2026, 4, 1))
    (tray,) = sow(store, stamp(today=date(2026, 4, 1)), kale).tray_ids
    looked_sick(store, stamp(today=date(2026, 4, 14)), tray, "grey mould")
    note(store, stamp(today=date(2026, 4, 20)), tray, "what was seen 15 apr")
    assert len(notes.read_notes(store, asked, date(2026, 4, 20)).found) == count


def test_a_crop_of_two_words_is_named_as_it_is_said(year: Store, stamp: StampMaker) -> None:
    seed.keep_lot(year, stamp(today=QUIET), seed.SeedLot("brussels_sprouts", "Nubbin", "BS-9"))
    assert found(year, "bs-9") == [("lot of Brussels sprouts Nubbin", None, "")]
    record.undo(year, stamp(today=QUIET), "UTC")
    assert found(year, "bs-9") == []


def test_what_was_taken_back_or_struck_isnt_found(year: Store, stamp: StampMaker) -> None:
    with year.reading() as rows:
        ((note,),) = rows("SELECT id FROM act WHERE text LIKE 'ice%'")
    record.correct_act(year, stamp(today=QUIET), note, "struck", "")
    assert found(year, "ice on") == []
    keep_target(year, stamp(today=QUIET), "kale Rill", the(12, 6), place_id=SLATS, bed="hedge")
    assert found(year, "hedge") == [("planned for", None, "Wren")]
    record.undo(year, stamp(today=QUIET), "UTC")
    assert found(year, "hedge") == []


def test_nothing_typed_is_refused(year: Store) -> None:
    with pytest.raises(BadInput, match="No word"):
        notes.read_notes(year, " \u0301 ", QUIET)


def test_hostile_words_are_shown_clean_and_cut(year: Store) -> None:
    told = notes.answer(notes.read_notes(year, "fleece", QUIET))
    assert told.answer[0] == "'fleece': found 2 times in 2025."
    assert all(len(line.text) <= WIDTH for line in told.lines)
    assert told.lines[0].key == 3


def test_a_verdict_of_two_lines_goes_out_and_comes_back(
    year: Store, stamp: StampMaker, tmp_path: Path
) -> None:
    lines = 'spares, "as ever" / for nobody'
    verdict = SeasonVerdict(YEAR, "tomato", None, VerdictWord.CHANGE, lines)
    season.judge(year, stamp(today=QUIET), verdict)
    files.export_folder(year, tmp_path / "out")
    back = files.import_folder(tmp_path / "back.db", tmp_path / "out")
    told = cells(looked_back(back, stamp)).verdict
    back.close()
    assert told == verdict
