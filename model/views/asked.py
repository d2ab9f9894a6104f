"""Sowings that could stand on a mat: targets that aren't sown yet, with the window in which they are to be sown."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from model.crops import emergence_row, load_crops, unknown_crop, variety_name
from model.days import short_day
from model.facts import Place, PlaceKind
from model.rules.mat import Asked, homes, told_names
from model.store import reading, reading_ahead
from model.store.database import Rows
from model.views.plan import planned


@dataclass(frozen=True, slots=True)
class NotAsked:
    """A sowing that the rota can't take, in words, and what to do about it."""

    target_id: int
    name: str
    what_happened: str
    what_to_do: str


def asked_for(rows: Rows, today: date, until: date) -> tuple[list[Asked], list[NotAsked]]:
    """Sowings whose window opens by a day, and those that have no window.

    One whose window has closed is still to be sown, today at the soonest, and takes its slot like any other.
    """
    asked: list[Asked] = []
    refused: list[NotAsked] = []
    known, places = load_crops(), {place.id: place for place in reading.places(rows)}
    wanted = [target for target in reading_ahead.targets(rows) if target.last_day >= today]
    names = told_names({t.id: (variety_name(t.crop, t.variety), short_day(t.first_day)) for t in wanted})
    plans = {plan.target.id: plan for plan in planned(rows, today)}
    for target in wanted:
        plan, name = plans.get(target.id), names[target.id]
        if plan is None or plan.sow.end is None:
            what = f"How long {name} takes from sowing isn't known."
            refused.append(NotAsked(target.id, name, what, "Sow it by hand with s when its time has come."))
        elif not plan.left:
            continue
        elif plan.sow.start <= until:
            crop = known.get(target.crop) or unknown_crop(target.crop)
            home = _home(target.place_id, places)
            row = emergence_row(target.crop) or ""
            asked.append(Asked(target.id, name, crop, plan.sow.start, plan.sow.end, plan.left, home, row))
    return asked, refused


def _home(place_id: int | None, places: Mapping[int, Place]) -> Place | None:
    named = places.get(place_id or 0)
    return named if named and named.kind is not PlaceKind.HEAT_MAT else homes(places.values())
