"""Sowings that could stand on a mat: targets that aren't sown yet, with the window in which they are to be sown."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil

from model.ahead import Purpose, Target
from model.crops import crop_name, emergence_row, load_crops, unknown_crop
from model.days import short_day
from model.facts import Container, Crop, Place, PlaceKind
from model.rules.mat import Asked, homes, median_days, told_names
from model.store import reading, reading_ahead
from model.store.database import Rows

TO_FIRST_LEAF = (4, 10)
"""From up to the first true leaf, which a class is shown [d]. Common practice, no source."""
WEEK = 7


@dataclass(frozen=True, slots=True)
class NotAsked:
    """A sowing that the rota can't take, in words, and what to do about it."""

    target_id: int
    name: str
    what_happened: str
    what_to_do: str


def asked_for(rows: Rows, today: date, until: date) -> tuple[list[Asked], list[NotAsked]]:
    """Sowings whose window opens by a day, and those that have no window or whose window is gone."""
    known, places = load_crops(), {place.id: place for place in reading.places(rows)}
    boxes = {box.id: box for box in reading.containers(rows)}
    open_targets = [target for target in reading_ahead.targets(rows) if target.last_day >= today]
    left = _trays_left(rows, open_targets, boxes)
    names = told_names(
        {t.id: (f"{crop_name(t.crop)} {t.variety}", short_day(t.first_day)) for t in open_targets}
    )
    asked: list[Asked] = []
    refused: list[NotAsked] = []
    for target in open_targets:
        crop, name = known.get(target.crop) or unknown_crop(target.crop), names[target.id]
        home = _home(target, places)
        window = _window(target, crop, home)
        if not left[target.id]:
            continue
        if window is None:
            what = f"How long {name} takes from sowing isn't known."
            refused.append(NotAsked(target.id, name, what, "Sow it by hand with s when its time has come."))
        elif window[1] < today:
            what = f"The window for sowing {name} ended on {short_day(window[1])}."
            refused.append(NotAsked(target.id, name, what, "Sow it today with s, or move its target (A)."))
        elif window[0] <= until:
            row = emergence_row(target.crop) or ""
            asked.append(Asked(target.id, name, crop, *window, left[target.id], home, row))
    return asked, refused


def _trays_left(rows: Rows, targets: list[Target], boxes: Mapping[int, Container]) -> dict[int, int]:
    """Trays, flats or pots still to sow for each target."""
    sown = reading_ahead.sown_for(rows)
    kept = reading.trays(rows, {tray for those in sown.values() for tray in those})
    left = {}
    for target in targets:
        wanted = ceil(target.plants / max(1, boxes[target.container_id].cells))
        left[target.id] = max(0, wanted - len({tray for tray in sown.get(target.id, ()) if tray in kept}))
    return left


def _home(target: Target, places: Mapping[int, Place]) -> Place | None:
    named = places.get(target.place_id or 0)
    return named if named and named.kind is not PlaceKind.HEAT_MAT else homes(places.values())


def _window(target: Target, crop: Crop, home: Place | None) -> tuple[date, date] | None:
    """The days between which it is to be sown, counted back from both ends of what is known."""
    if target.purpose is Purpose.CLASS and target.stage:
        days = median_days(crop, home) if home else None
        if days is None:
            return None
        quick, slow = TO_FIRST_LEAF
        return (
            target.first_day - timedelta(days=round(days) + slow),
            target.last_day - timedelta(days=round(days) + quick),
        )
    if crop.weeks is None:
        return None
    shortest, longest = (timedelta(days=round(weeks * WEEK)) for weeks in crop.weeks)
    return target.first_day - longest, target.last_day - shortest
