"""The round on paper: what stands on it, how it is cut into pages, and what a reader of PDF finds in the file."""

from dataclasses import replace
from datetime import UTC, date, datetime
from io import BytesIO
from pathlib import Path

import pypdf
import pytest

from model.actions import walk
from model.actions.desk import Stamp
from model.actions.files import DEMO_MORNING
from model.actions.opening import open_farm
from model.facts import ActKind
from model.paper.pdf import printable, sheet_pdf
from model.rules.verdict import Today
from model.views import sheet as sheets
from model.views.round import read_round
from model.views.sheet import COLUMNS, LINES, Sheet, SheetLine, SheetPlace, pages, text
from tests.hard_text import HARD

AT = datetime(2026, 4, 14, 6, 30, tzinfo=UTC)


@pytest.fixture
def demo_sheet(farm: Path) -> Sheet:
    store = open_farm(farm)
    return sheets.read(store, DEMO_MORNING, AT)


def line(number: int, **changes: object) -> SheetLine:
    usual = SheetLine(number, number, f"{number}X", "kale Sedge Blue", "set out 9-16 Apr", Today.UNSEEN)
    return replace(usual, **changes)  # type: ignore[arg-type]


def sheet_of(*places: SheetPlace) -> Sheet:
    return Sheet(date(2026, 4, 14), "Quern Hill", places, (), sheets.Temperature.CELSIUS)


def printed_pages(found: Sheet) -> list[list[str]]:
    return [page.split("\n") for page in text(found).split("\f")]


def test_sixty_trays_take_two_pages_of_eighty_columns_and_sixty_lines(demo_sheet: Sheet) -> None:
    assert demo_sheet.trays == 60
    found = printed_pages(demo_sheet)
    assert len(found) <= 2
    assert max(len(row) for page in found for row in page) <= COLUMNS
    assert max(len(page) for page in found) <= LINES + 1
    print("pages for 60 trays:", len(found))


def test_four_hundred_trays_take_eight_pages_at_most(demo_sheet: Sheet) -> None:
    places = tuple(
        SheetPlace(f"place {stop}", tuple(line(100 * stop + n) for n in range(40))) for stop in range(10)
    )
    found = printed_pages(replace(demo_sheet, places=places))
    assert sum("[ ][ ][ ]" in row for page in found for row in page) == 400
    assert len(found) <= 8
    assert max(len(page) for page in found) <= LINES + 1
    assert max(len(row) for page in found for row in page) <= COLUMNS
    print("pages for 400 trays:", len(found))


def test_every_tray_stands_once_at_its_place_by_number(farm: Path, demo_sheet: Sheet) -> None:
    view = read_round(open_farm(farm), DEMO_MORNING)
    assert [place.name for place in demo_sheet.places] == [place.name for place in view.places if place.trays]
    for place in demo_sheet.places:
        here = sorted((line for line in view.lines if line.place == place.name), key=lambda line: line.number)
        assert [line.label for line in place.lines] == [line.label for line in here]


def test_a_line_names_tray_crop_variety_and_what_is_due_with_room_for_a_note(demo_sheet: Sheet) -> None:
    (row,) = [row for row in text(demo_sheet).split("\n") if "58N" in row]
    assert row == "[ ][ ][ ] 58N   tomato Ostrel            half up 14-16 Apr  ____________________"
    assert "harden now" in next(row for row in text(demo_sheet).split("\n") if "22E" in row)


def test_what_was_said_before_it_was_printed_is_ticked(farm: Path) -> None:
    store = open_farm(farm)
    view = read_round(store, DEMO_MORNING)
    ids = {line.number: line.tray_id for line in view.lines}
    for number, kind in ((46, ActKind.WATERED), (58, ActKind.LEFT_DRY), (60, ActKind.LOOKED)):
        walk.mark_trays(store, Stamp("Wren", AT, DEMO_MORNING), kind, [ids[number]])
    rows = text(sheets.read(store, DEMO_MORNING, AT)).split("\n")
    boxes = {row[10:13].strip(): row[:9] for row in rows if row.startswith("[")}
    assert boxes["46T"] == "[x][ ][ ]"
    assert boxes["58N"] == "[ ][x][ ]"
    assert boxes["60Z"] == "[ ][ ][x]"
    assert boxes["61S"] == "[ ][ ][ ]"


def test_the_head_leaves_room_for_who_when_and_every_places_night(demo_sheet: Sheet) -> None:
    head = "\n".join(text(demo_sheet).split("\n")[:7])
    assert head.startswith("Round   Tue 14 Apr 2026   Quern Hill")
    for word in ("page 1 of 2", "who ___", "start ___:___", "end ___:___", "last night, low/high °C:"):
        assert word in head
    assert all(f"{place.name} ____/____" in head for place in demo_sheet.places)


def test_cautions_stand_only_where_something_gives_reason_for_them(demo_sheet: Sheet) -> None:
    assert "Treated seed, nothing of it is eaten: 47R, 68E." in demo_sheet.cautions
    assert any("unplug to move" in words for words in demo_sheet.cautions)
    assert not any("class" in words for words in demo_sheet.cautions)


def test_a_place_that_goes_on_says_so_and_no_heading_ends_a_page() -> None:
    for many in range(1, 130):
        found = pages(sheet_of(SheetPlace("Mat", (line(1),) * many), SheetPlace("Slats", (line(2),) * 3)))
        for page in found:
            assert len(page) <= LINES
            assert not page[-1].text.startswith(("Mat   ", "Slats   ")), many
        assert sum(bool(row.boxes) for page in found for row in page) == many + 3
        for page in found[1:]:
            assert page[2].text in {"", "Mat, going on", "Slats, going on"}


def test_a_farm_without_a_tray_gets_a_sheet_that_says_so() -> None:
    assert "No tray stands." in text(sheet_of())


@pytest.mark.parametrize("words", HARD)
def test_words_of_people_break_neither_the_page_nor_a_column(words: str) -> None:
    found = sheet_of(SheetPlace(words, (line(1, what=words),)))
    rows = text(found).split("\n")
    assert len(text(found).split("\f")) == 1
    assert all(char.isprintable() for row in rows for char in row)
    assert pypdf.PdfReader(BytesIO(sheet_pdf(pages(found), "A4", words))).pages


# PDF.


@pytest.mark.parametrize(("paper", "size"), [("A4", (595.276, 841.890)), ("letter", (612.0, 792.0))])
def test_the_pdf_has_the_size_that_was_asked_for_and_every_tray(
    demo_sheet: Sheet, paper: str, size: tuple[float, float]
) -> None:
    read = pypdf.PdfReader(BytesIO(sheet_pdf(pages(demo_sheet), paper, "Round")))
    assert len(read.pages) == 2
    for page in read.pages:
        assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx(size, abs=0.01)
    words = "\n".join(page.extract_text() for page in read.pages)
    for place in demo_sheet.places:
        assert place.name in words
        for found in place.lines:
            assert found.label in words
    assert "°C" in words


def test_umlauts_accents_and_the_degree_sign_are_printed() -> None:
    what = "Möhre Früh, chou frisé, piña 12 °C"
    found = sheet_of(SheetPlace("Gewächshaus", (line(1, what=what[:24]), line(2, what=what[-12:]))))
    words = pypdf.PdfReader(BytesIO(sheet_pdf(pages(found), "A4", "Round"))).pages[0].extract_text()
    for word in ("Gewächshaus", "Möhre Früh, chou frisé", "piña 12 °C"):
        assert word in words


def test_letters_that_the_fonts_lack_lose_their_accent_or_become_a_question_mark() -> None:
    assert printable("Łódź, Škoda, żółć, Ağustos") == "Lódz, Škoda, zólc, Agustos"
    assert printable("кале 白菜 ½") == "???? ?? ½"


def test_the_same_sheet_gives_the_same_file(demo_sheet: Sheet) -> None:
    assert sheet_pdf(pages(demo_sheet), "A4", "Round") == sheet_pdf(pages(demo_sheet), "A4", "Round")
