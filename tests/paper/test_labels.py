"""Labels: what is written on them, where they stand on the sheet, and what a reader of codes reads."""

from datetime import UTC, date, datetime
from io import BytesIO
from pathlib import Path

import pypdf
import pytest
from hypothesis import given
from hypothesis import strategies as st

from model.actions import plan, shift, sow
from model.actions.desk import Stamp
from model.actions.farm import set_setting
from model.actions.files import DEMO_MORNING, export_folder, import_folder
from model.actions.opening import open_farm
from model.ahead import Purpose
from model.errors import BadInput, ImportRefused
from model.labels import HIGHEST, label
from model.paper.pdf import MM, labels_pdf
from model.papers import PAPERS, USUAL_LABELS, read_label_sheet
from model.store.database import Store
from model.views.label_sheet import Label, plant_labels, text, tray_labels
from model.views.round import read_round
from model.views.sheet import read
from tests.hard_text import HARD
from tests.targets import keep_target

USUAL = read_label_sheet(USUAL_LABELS)
AT = datetime(2026, 4, 14, 6, 30, tzinfo=UTC)


@pytest.fixture
def store(farm: Path) -> Store:
    return open_farm(farm)


def stamp() -> Stamp:
    return Stamp("Wren", AT, DEMO_MORNING)


def codes_of(pdf: bytes, scale: float = 2) -> list[list[str]]:
    """What a general reader of codes reads on each page, drawn at so many dots a point."""
    pypdfium2, zxingcpp = pytest.importorskip("pypdfium2"), pytest.importorskip("zxingcpp")
    document = pypdfium2.PdfDocument(pdf)
    return [
        [found.text for found in zxingcpp.read_barcodes(page.render(scale=scale).to_pil())]
        for page in document
    ]


# What is written.


def test_a_label_names_number_letter_variety_crop_day_and_lot(store: Store) -> None:
    (found,) = tray_labels(store, DEMO_MORNING, [12]).found
    assert found.text == "12N\neggplant Morrow\nsown 27 Feb 2026\nlot EG-25"


def test_treated_seed_is_named_on_the_label(store: Store) -> None:
    (found,) = tray_labels(store, DEMO_MORNING, [47]).found
    assert found.lines == ("sweet corn Amberly", "sown 30 Mar 2026", "lot SC-25", "treated seed")


def test_a_mixed_flat_has_one_label_with_every_sowing(store: Store) -> None:
    (found,) = tray_labels(store, DEMO_MORNING, [27]).found
    assert [words for words in found.lines if "sown" not in words] == [
        "lettuce Pale Ivy",
        "mustard Rook",
        "cilantro Quill",
    ]


def test_what_is_sown_for_a_class_is_not_edible_and_so_are_its_plants_when_they_are_potted_up(
    store: Store,
) -> None:
    target = keep_target(store, stamp(), "tomato Brisk Nine", date(2026, 4, 27), purpose=Purpose.CLASS)
    want = plan.Want("tomato", "Brisk Nine", 30, date(2026, 4, 28), date(2026, 4, 28), 6, Purpose.CLASS)
    wish = sow.Sow(6, 2, (sow.SowPart("tomato", "Brisk Nine", 30, target_id=target),), DEMO_MORNING)
    (tray,) = sow.sow(store, stamp(), wish).tray_ids
    (found,) = tray_labels(store, DEMO_MORNING, [71]).found
    assert found.lines[-1] == "class 27 Apr, not edible"
    plan.change_target(store, stamp(), target, want)
    pots = shift.pot_up(store, stamp(), tray, None, [shift.PotUp(12, 1, 3)]).tray_ids
    (potted,) = set(pots) - {tray}
    shift.pot_up(store, stamp(), potted, None, [shift.PotUp(6, 1, 3)])
    assert [one.lines[-1] for one in tray_labels(store, DEMO_MORNING, [71, 72, 73]).found] == [
        "class 28 Apr, not edible"
    ] * 3
    assert any(
        "not edible: 71" in words and "73" in words for words in read(store, DEMO_MORNING, AT).cautions
    )


def test_without_numbers_the_trays_of_the_day_are_labelled_and_a_day_without_any_says_so(
    store: Store,
) -> None:
    with pytest.raises(BadInput, match="No tray got a label on that day"):
        tray_labels(store, DEMO_MORNING)
    view = read_round(store, DEMO_MORNING)
    tray = next(line for line in view.lines if line.number == 12)
    place = tray.place_id
    shift.pot_up(store, stamp(), tray.tray_id, None, [shift.PotUp(12, 1, place)])
    assert [found.label for found in tray_labels(store, DEMO_MORNING).found] == ["71W"]


def test_every_plant_of_a_tray_gets_a_label_and_thousands_are_refused(store: Store) -> None:
    view = read_round(store, DEMO_MORNING)
    plants = next(line.plants for line in view.lines if line.number == 12)
    found = plant_labels(store, DEMO_MORNING, [12]).found
    assert len(found) == plants
    assert {one.label for one in found} == {"12N"}
    # Of a mixed flat each plant has its own name.
    flat = [one.lines[0] for one in plant_labels(store, DEMO_MORNING, [27]).found]
    assert flat == ["lettuce Pale Ivy"] * 4 + ["mustard Rook"] * 4 + ["cilantro Quill"] * 4
    with pytest.raises(BadInput, match="labels"):
        plant_labels(store, DEMO_MORNING, [line.number for line in view.lines])


def test_a_number_that_no_tray_has_is_refused(store: Store) -> None:
    with pytest.raises(BadInput, match="No tray 99F stands"):
        tray_labels(store, DEMO_MORNING, [12, 99])


def test_plain_text_leaves_an_empty_line_between_labels(store: Store) -> None:
    found = text(tray_labels(store, DEMO_MORNING, [12, 43]).found)
    assert found.split("\n\n")[1] == "43C\nparsley Brook\nsown 26 Mar 2026"


# The sheet.


def test_the_usual_sheet_is_three_by_eight_on_a4() -> None:
    assert (USUAL.across, USUAL.down, USUAL.many) == (3, 8, 24)
    assert (USUAL.width_mm, USUAL.height_mm) == pytest.approx((64.0, 33.875))
    assert str(USUAL) == USUAL_LABELS


@given(
    st.sampled_from(sorted(PAPERS)),
    st.integers(1, 10),
    st.integers(1, 40),
    *(st.integers(0, 40) for _ in range(4)),
)
def test_every_sheet_that_is_taken_lies_within_its_paper_and_reads_as_it_is_written(
    paper: str, across: int, down: int, left: int, top: int, gap_x: int, gap_y: int
) -> None:
    typed = f"{paper} {across}x{down} margins {left}x{top} gap {gap_x}x{gap_y}"
    try:
        sheet = read_label_sheet(typed)
    except BadInput:
        return
    assert read_label_sheet(str(sheet)) == sheet
    width, height = PAPERS[paper]
    for place in range(sheet.many):
        x, y = sheet.corner_mm(place)
        assert x >= 0
        assert y >= 0
        assert x + sheet.width_mm <= width + 1e-6
        assert y + sheet.height_mm <= height + 1e-6


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("", "is no sheet of labels"),
        ("A5 3x8", "is no sheet of labels"),
        ("A4 0x8", "0 x 8 labels can't be"),
        ("A4 3x60", "3 x 60 labels can't be"),
        ("A4 9x8", "That leaves 23 x 37 mm"),
        ("A4 3x8 margins 105x10", "That leaves 0 x 35 mm"),
        ("letter 3x8 gap 2", "is no sheet of labels"),
    ],
)
def test_a_sheet_that_can_not_be_is_refused_with_what_to_do(typed: str, words: str) -> None:
    with pytest.raises(BadInput, match=words) as refusal:
        read_label_sheet(typed)
    assert refusal.value.what_to_do


def test_the_settings_are_kept_as_they_are_read_and_refused_as_they_are_typed(store: Store) -> None:
    from model.views.settings import read_settings

    set_setting(store, "label_sheet", "LETTER 2 x 5 margin 4,5x12.7")
    set_setting(store, "paper", "letter")
    found = read_settings(store)
    assert (found["label_sheet"], found["paper"]) == ("letter 2x5 margins 4.5x12.7 gap 0x0", "letter")
    with pytest.raises(BadInput, match="no sheet of labels"):
        set_setting(store, "label_sheet", "small ones")
    with pytest.raises(BadInput, match="no paper"):
        set_setting(store, "paper", "papyrus")


def test_a_sheet_that_can_not_be_is_refused_in_a_file_too(store: Store, tmp_path: Path) -> None:
    export_folder(store, tmp_path / "out")
    farm = tmp_path / "out" / "farm.csv"
    farm.write_text(farm.read_text() + "label_sheet,A4 9x8\n")
    with pytest.raises(ImportRefused) as refusal:
        import_folder(tmp_path / "again.db", tmp_path / "out")
    (problem,) = refusal.value.problems
    assert "That leaves 23 x 37 mm for a label." in problem


# PDF.


def test_a_general_reader_reads_every_code_back_on_every_page(store: Store) -> None:
    view = read_round(store, DEMO_MORNING)
    numbers = sorted(line.number for line in view.lines)
    pdf = labels_pdf(tray_labels(store, DEMO_MORNING, numbers).found, USUAL, "Labels")
    found = codes_of(pdf)
    assert [len(page) for page in found] == [24, 24, 12]
    assert sorted(code for page in found for code in page) == sorted(label(number) for number in numbers)
    print("codes read back:", sum(len(page) for page in found))


@pytest.mark.parametrize(
    "sheet", ["A4 3x8 margins 7x13 gap 2x0", "A4 5x16 margins 8x10", "letter 8x20 margins 5x10", "letter 1x2"]
)
def test_labels_of_every_size_are_read_back(sheet: str) -> None:
    layout = read_label_sheet(sheet)
    numbers = [1, 7, 27, 43, 128, 999, 1234, HIGHEST][: layout.many]
    labels = [Label(label(number), ("kale Sedge Blue", "sown 4 Mar 2026  lot KA-25")) for number in numbers]
    (found,) = codes_of(labels_pdf(labels, layout, "Labels"), scale=4)
    assert sorted(found) == sorted(label(number) for number in numbers)


def test_the_text_and_the_page_are_what_was_asked_for(store: Store) -> None:
    layout = read_label_sheet("letter 3x8 margins 5x13")
    pdf = labels_pdf(tray_labels(store, DEMO_MORNING, [12, 47]).found, layout, "Labels")
    (page,) = pypdf.PdfReader(BytesIO(pdf)).pages
    assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx((612, 792), abs=0.01)
    for words in ("12N", "eggplant Morrow", "sown 27 Feb 2026", "lot EG-25", "47R", "treated seed"):
        assert words in page.extract_text()


def test_a_sheet_that_is_half_used_up_goes_on_behind_the_labels_that_are_gone() -> None:
    labels = [Label(label(number), ("kale",)) for number in range(1, 4)]
    pdf = labels_pdf(labels, USUAL, "Labels", skip=22)
    assert [len(page) for page in codes_of(pdf)] == [2, 1]
    with pytest.raises(BadInput, match="24 labels can't be used up"):
        labels_pdf(labels, USUAL, "Labels", skip=24)


@pytest.mark.parametrize("words", HARD)
def test_hard_words_stay_within_their_label(words: str) -> None:
    """The code at the right of them is still read: nothing was drawn over it."""
    pdf = labels_pdf([Label("27G", (words, words, "sown 4 Mar"))] * 3, USUAL, words)
    assert codes_of(pdf) == [["27G"] * 3]


def test_a_letter_of_the_usual_label_is_two_millimetres_high_or_more() -> None:
    found = Label(
        "27G", ("kale Sedge Blue", "sown 4 Mar 2026  lot KA-25", "class 27 Apr, not edible", "treated seed")
    )
    sizes: list[float] = []

    def visit(_text: str, _cm: object, tm: list[float], _font: object, size: float) -> None:
        sizes.append(size * tm[3])

    pypdf.PdfReader(BytesIO(labels_pdf([found], USUAL, "Labels"))).pages[0].extract_text(visitor_text=visit)
    assert min(size for size in sizes if size) / MM >= 2.0
