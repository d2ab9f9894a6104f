"""The sheet and labels as PDF. The only module that knows the library that draws; it is loaded when something is printed.

Nothing is embedded: Courier and Helvetica are among the fonts that every reader has. They hold the letters of western
Europe; of any other letter the accent is dropped, and what is left over becomes a question mark.
"""

import unicodedata
from collections.abc import Mapping, Sequence
from io import BytesIO
from typing import TYPE_CHECKING, Any

from model.errors import BadInput
from model.papers import A4, PAPERS, USUAL_LABELS, LabelSheet, read_label_sheet
from model.text import clean
from model.views.label_sheet import Label
from model.views.sheet import BOXES, COLUMNS, LINES, Page, Sheet, pages

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

MM = 72 / 25.4
"""Points in a millimetre: 72 to the inch."""
PLAIN, STRONG = "Courier", "Courier-Bold"
SIZE, ADVANCE = 10.0, 6.0
"""Of the sheet's letters, and their width: every sign of Courier is 0.6 of its size wide [pt]."""
MARGIN = 36.0
"""Above and below the sheet [pt]."""
BOX = 8.0
"""Side of a box to tick [pt]."""
NAME, TEXT = "Helvetica-Bold", "Helvetica"
PAD_MM = 2.0
"""White at the edges of a label [mm]."""
CODE_MM = 18.0
"""Widest code on a label; its white border is within [mm]."""
QUIET = 4
"""White modules around a code: ISO/IEC 18004 asks for four [-]."""
MOST_SIZE, LEAST_SIZE = 28.0, 5.0
"""Largest and smallest letters of a label [pt]."""
HAIR = 0.01
"""By how much a line may seem too long by the rounding of its width alone [pt]."""
LETTERS = str.maketrans(
    {"ł": "l", "Ł": "L", "đ": "d", "Đ": "D", "ħ": "h", "ı": "i", "ĸ": "k", "ŋ": "n", "ŧ": "t"}
)
"""Letters whose stroke is no accent that can be taken off."""


def of_sheet(sheet: Sheet, settings: Mapping[str, str]) -> bytes:
    """The round sheet on the farm's paper."""
    return sheet_pdf(pages(sheet), settings.get("paper", A4), f"round of {sheet.on.isoformat()}")


def of_labels(labels: Sequence[Label], settings: Mapping[str, str], skip: int = 0) -> bytes:
    """Labels on the farm's sheets of labels."""
    return labels_pdf(labels, read_label_sheet(settings.get("label_sheet", USUAL_LABELS)), "labels", skip)


def sheet_pdf(found: Sequence[Page], paper: str, title: str) -> bytes:
    """Pages of 60 lines of 80 columns on a paper; boxes are drawn."""
    width, height = (side * MM for side in PAPERS[paper])
    canvas, made = _canvas(width, height, title)
    left, step = (width - COLUMNS * ADVANCE) / 2, (height - 2 * MARGIN) / LINES
    for page in found:
        for number, row in enumerate(page):
            base = height - MARGIN - (number + 1) * step
            canvas.setFont(STRONG if row.strong else PLAIN, SIZE)
            start = left
            for place, ticked in enumerate(row.boxes):
                _box(canvas, left + place * BOXES / len(row.boxes) * ADVANCE, base, ticked)
            if row.boxes:
                start += (BOXES + 1) * ADVANCE
            canvas.drawString(start, base, printable(row.text))
        canvas.showPage()
    canvas.save()
    return made.getvalue()


def _canvas(width: float, height: float, title: str) -> "tuple[Canvas, BytesIO]":
    from reportlab.pdfgen.canvas import Canvas

    made = BytesIO()
    # Invariant: the same sheet gives the same bytes.
    canvas = Canvas(made, pagesize=(width, height), invariant=1)
    canvas.setTitle(printable(title))
    canvas.setCreator("trayround")
    return canvas, made


def _box(canvas: "Canvas", left: float, base: float, ticked: bool) -> None:
    left, bottom = left + (3 * ADVANCE - BOX) / 2, base - 1
    canvas.rect(left, bottom, BOX, BOX)
    if ticked:
        canvas.line(left, bottom, left + BOX, bottom + BOX)
        canvas.line(left, bottom + BOX, left + BOX, bottom)


def printable(text: str) -> str:
    """The text in letters that the fonts hold."""
    return "".join(_letter(char) for char in clean(text).translate(LETTERS))


def _letter(char: str) -> str:
    bare: str = unicodedata.normalize("NFKD", char)[:1]
    for tried in (char, bare):
        try:
            tried.encode("cp1252")
        except UnicodeEncodeError:
            continue
        return tried
    return "" if unicodedata.combining(char) else "?"


def labels_pdf(labels: Sequence[Label], sheet: LabelSheet, title: str, skip: int = 0) -> bytes:
    """Labels on their sheets; the first `skip` of the first sheet are used up already."""
    if not 0 <= skip < sheet.many:
        raise BadInput(
            f"{skip} labels can't be used up.", f"A sheet holds {sheet.many}: give 0 to {sheet.many - 1}."
        )
    width, height = (side * MM for side in PAPERS[sheet.paper])
    canvas, made = _canvas(width, height, title)
    for number, found in enumerate(labels, start=skip):
        place = number % sheet.many
        if place == 0 and number > skip:
            canvas.showPage()
        left, top = (edge * MM for edge in sheet.corner_mm(place))
        _draw_label(canvas, found, left, height - top, (sheet.width_mm * MM, sheet.height_mm * MM))
    canvas.showPage()
    canvas.save()
    return made.getvalue()


def _draw_label(canvas: "Canvas", found: Label, left: float, top: float, size: tuple[float, float]) -> None:
    width, height = size
    side = min(CODE_MM * MM, height, width / 3)
    _draw_code(canvas, found.label, left + width - side, top - (height + side) / 2, side)
    room = width - side - PAD_MM * MM
    # The number is read at arm's length, so it gets two lines' height.
    step = (height - 2 * PAD_MM * MM) / (len(found.lines) + 2)
    base = top - PAD_MM * MM - 1.6 * step
    _write(
        canvas,
        (left + PAD_MM * MM, base),
        room,
        NAME,
        _size(NAME, [found.label], room, 2 * step),
        found.label,
    )
    points = _size(TEXT, found.lines, room, step * 0.9)
    for number, line in enumerate(found.lines, start=1):
        _write(canvas, (left + PAD_MM * MM, base - number * step), room, TEXT, points, line)


def _size(font: str, lines: Sequence[str], room: float, most: float) -> float:
    """The largest size in which some lines fit a width, within bounds [pt]."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    widest = max((stringWidth(printable(line), font, 1) for line in lines), default=1) or 1
    return max(LEAST_SIZE, min(most, MOST_SIZE, room / widest))


def _write(canvas: "Canvas", at: tuple[float, float], room: float, font: str, size: float, line: str) -> None:
    """A line of a label; what doesn't fit even in the smallest letters is cut, with a dot to say so."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    shown = whole = printable(line)
    while shown and stringWidth(shown, font, size) > room + HAIR:
        whole = whole[:-1]
        shown = f"{whole}."
    canvas.setFont(font, size)
    canvas.drawString(*at, shown)


def _draw_code(canvas: "Canvas", text: str, left: float, bottom: float, side: float) -> None:
    """A QR code (ISO/IEC 18004) of the label, with its white border, in a square."""
    from reportlab.graphics import barcode, renderPDF

    make: Any = barcode.createBarcodeDrawing
    code = make("QR", value=text, barLevel="M", barBorder=QUIET, width=side, height=side)
    renderPDF.draw(code, canvas, left, bottom)
