"""Sheets of paper and of labels: their sizes, and what a grower may say of them."""

import re
from dataclasses import dataclass

from model.errors import BadInput

PAPERS = {"A4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""Width and height [mm]: ISO 216, and 8.5 by 11 inches."""
A4 = "A4"
USUAL_LABELS = "A4 3x8 margins 7x13 gap 2x0"
"""Sheet of labels of a new farm: 64 by 33.9 mm, 24 on a page. Common practice, no source."""
LEAST_MM = (25.0, 12.0)
"""Least width and height of a label that holds a number, a name and a code [mm]. Ours."""
MOST_ACROSS, MOST_DOWN = 10, 40
"""More labels than fit in a row or a column of any paper [-]."""

_PAIR = r"(\d+(?:[.,]\d+)?)\s*x\s*(\d+(?:[.,]\d+)?)"
_SHEET = re.compile(
    rf"(a4|letter)\s+(\d{{1,2}})\s*x\s*(\d{{1,2}})(?:\s+margins?\s+{_PAIR})?(?:\s+gaps?\s+{_PAIR})?",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class LabelSheet:
    """A page of labels: how many across and down, the margins at left and top, the gaps between [mm]."""

    paper: str
    across: int
    down: int
    left_mm: float
    top_mm: float
    gap_x_mm: float
    gap_y_mm: float

    @property
    def width_mm(self) -> float:
        """Of one label."""
        return (PAPERS[self.paper][0] - 2 * self.left_mm - (self.across - 1) * self.gap_x_mm) / self.across

    @property
    def height_mm(self) -> float:
        """Of one label."""
        return (PAPERS[self.paper][1] - 2 * self.top_mm - (self.down - 1) * self.gap_y_mm) / self.down

    @property
    def many(self) -> int:
        """Labels on a page."""
        return self.across * self.down

    def corner_mm(self, place: int) -> tuple[float, float]:
        """Left and top edge of a label, counted in rows from the top of its page [mm]."""
        row, column = divmod(place, self.across)
        return (
            self.left_mm + column * (self.width_mm + self.gap_x_mm),
            self.top_mm + row * (self.height_mm + self.gap_y_mm),
        )

    def __str__(self) -> str:
        return (
            f"{self.paper} {self.across}x{self.down} margins {self.left_mm:g}x{self.top_mm:g} "
            f"gap {self.gap_x_mm:g}x{self.gap_y_mm:g}"
        )


def read_label_sheet(text: str) -> LabelSheet:
    """A sheet of labels from what was typed: "A4 3x8 margins 7x13 gap 2x0"; margins and gaps are 0 unless said."""
    match = _SHEET.fullmatch(text.strip())
    if match is None:
        raise BadInput(
            f"{text.strip()!r} is no sheet of labels.",
            f"Type paper, labels across x down, margins and gaps in mm, like {USUAL_LABELS}.",
        )
    paper = next(name for name in PAPERS if name.lower() == match[1].lower())
    across, down = int(match[2]), int(match[3])
    left, top, gap_x, gap_y = (float((found or "0").replace(",", ".")) for found in match.groups()[3:])
    if not (1 <= across <= MOST_ACROSS and 1 <= down <= MOST_DOWN):
        raise BadInput(
            f"{across} x {down} labels can't be.",
            f"Give 1 to {MOST_ACROSS} across and 1 to {MOST_DOWN} down.",
        )
    sheet = LabelSheet(paper, across, down, left, top, gap_x, gap_y)
    if sheet.width_mm < LEAST_MM[0] or sheet.height_mm < LEAST_MM[1]:
        size = f"{max(sheet.width_mm, 0):.0f} x {max(sheet.height_mm, 0):.0f} mm"
        raise BadInput(
            f"That leaves {size} for a label.",
            f"It takes {LEAST_MM[0]:g} x {LEAST_MM[1]:g} mm: give fewer labels, or smaller margins and gaps.",
        )
    return sheet
