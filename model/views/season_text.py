"""A season as plain text that anyone can read in ten years: its pages, one below the other."""

from collections.abc import Sequence

from model.days import say_day
from model.views.answer import as_text
from model.views.season import CropSeason, SeasonView, answer, page_answer
from model.views.timings import TimingsPage

RULE = "-" * 78


def text(view: SeasonView, timings: TimingsPage, crops: Sequence[CropSeason]) -> str:
    """The list first where more than one page is told, then each page."""
    told = f"{say_day(view.on)} {view.on.year}"
    head = f"{view.farm}, season {view.season}, as of {told}".removeprefix(", ")
    parts = [as_text(answer(view))] if len(crops) != 1 else []
    parts += [as_text(page_answer(view, crop, timings.of(crop.page.crop))) for crop in crops]
    return f"\n{RULE}\n\n".join([f"{head}\n", *(f"{part}\n" for part in parts)]).rstrip()
