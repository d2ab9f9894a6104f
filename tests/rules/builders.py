"""Trays of crops that ship with the program, in places with known warmth, and the verdict on them."""

from datetime import date
from typing import Any

from model.crops import load_containers, load_crops, unknown_crop
from model.facts import Container, Crop, Look, Mark, Place, PlaceKind, Sowing, Stay, Tray, Vessel
from model.rules.due import Case
from model.rules.grounds import Grounds
from model.rules.readiness import case, judge
from model.rules.verdict import Due, Task, Verdict
from tests.builders import TODAY, a_place, a_sowing, a_tray, day


def ago(days: int) -> date:
    """So many days before today; negative for days to come."""
    return day(-days)


def place(place_id: int, name: str, kind: PlaceKind, low_c: float, high_c: float | None = None) -> Place:
    """A place; one temperature makes it steady."""
    high = low_c if high_c is None else high_c
    return a_place(id=place_id, name=name, kind=kind, walk=place_id, slots=60, low_c=low_c, high_c=high)


MAT = place(1, "Mat", PlaceKind.HEAT_MAT, 24)
SHELF = place(2, "Shelf", PlaceKind.LIT_SHELF, 18)
"""Steady 18 °C: ten degree-days a day for tomato, whose base is 8 °C."""
SLATS = place(3, "Slats", PlaceKind.SLATTED_BENCH, 12, 21)
FRAME = place(4, "Frame", PlaceKind.COLD_FRAME, 5, 18)
YARD = place(5, "Yard", PlaceKind.HARDENING, 4, 15)
CORNER = place(6, "Corner", PlaceKind.CORNER, 12, 18)
COOL_MAT = place(7, "Cool mat", PlaceKind.HEAT_MAT, 18)
PATCH = place(8, "Patch", PlaceKind.HARDENING, 4, 15)
STILL = place(9, "Still bench", PlaceKind.SLATTED_BENCH, 2)
"""Steady 2 °C: not above the base of any crop, so nothing grows."""
STILL_YARD = place(10, "Still yard", PlaceKind.HARDENING, 2)
CELLAR = place(11, "Cellar", PlaceKind.CORNER, 8)
PORCH = place(12, "Porch", PlaceKind.LIT_SHELF, 12)
HOT_MAT = place(13, "Hot mat", PlaceKind.HEAT_MAT, 25)
ROOM = place(14, "Room", PlaceKind.LIT_SHELF, 20)
APART = place(15, "Apart", PlaceKind.QUARANTINE, 12, 18)

PLACES = {
    spot.id: spot
    for spot in (
        *(MAT, SHELF, SLATS, FRAME, YARD, CORNER, COOL_MAT, PATCH),
        *(STILL, STILL_YARD, CELLAR, PORCH, HOT_MAT, ROOM, APART),
    )
}
CONTAINERS = {container.id: container for container in load_containers()}


def container(name: str) -> Container:
    """A container that ships with the program, by its name."""
    return next(known for known in CONTAINERS.values() if known.name == name)


CELLS_72, CELLS_128, CELLS_200 = (container(f"{cells}-cell tray") for cells in (72, 128, 200))
POT_10, FLAT = container("10 cm pot"), container("open flat")


def crop(key: str) -> Crop:
    """A crop that ships with the program; any other key is a crop of the grower's own, without figures."""
    return load_crops().get(key) or unknown_crop(key)


def sown(key: str = "tomato", days: int = 20, sowing_id: int = 1, **changes: Any) -> Sowing:
    """72 cells sown so many days ago, nothing up."""
    usual = {"id": sowing_id, "part": sowing_id, "crop": key, "variety": f"Sort {sowing_id}", "lot": ""}
    return a_sowing(**{**usual, "sown_on": ago(days), **changes})


def up(key: str = "tomato", half: int = 10, days: int | None = None, **changes: Any) -> Sowing:
    """A sowing that was half up so many days ago, first up the day before, sown a week before that."""
    seen = {"first_up": ago(half + 1), "half_up": ago(half)}
    return sown(key, half + 8 if days is None else days, **{**seen, **changes})


def tray(
    *sowings: Sowing,
    at: Place | list[tuple[Place, int]] = SHELF,
    into: Container | list[tuple[Container, int]] = CELLS_72,
    looks: tuple[tuple[int, int], ...] = (),
    seen: int | None = 1,
    watered: int | None = 1,
    number: int = 1,
    **changes: Any,
) -> Tray:
    """A tray, seen and watered yesterday.

    `at` and `into` may list what it was in, since so many days ago; `looks` are (days ago, score).
    """
    made = changes.pop("made_on", min(sowing.sown_on for sowing in sowings))
    stays = [(at, made)] if isinstance(at, Place) else [(spot, ago(days)) for spot, days in at]
    homes = [(into, made)] if isinstance(into, Container) else [(home, ago(days)) for home, days in into]
    usual = {
        "id": number,
        "number": number,
        "made_on": made,
        "sowings": sowings,
        "stays": tuple(Stay(spot.id, since) for spot, since in stays),
        "vessels": tuple(Vessel(home.id, since) for home, since in homes),
        "looks": tuple(Look(ago(days), "Wren", score) for days, score in looks),
        "seen": None if seen is None else Mark(ago(seen), "Wren"),
        "watered": None if watered is None else Mark(ago(watered), "Wren"),
    }
    return a_tray(**{**usual, **changes})


def crops_of(this: Tray) -> dict[str, Crop]:
    """The crops in a tray, unknown ones too."""
    return {sowing.crop: crop(sowing.crop) for sowing in this.sowings}


def grounds_of(this: Tray) -> Grounds:
    """The test farm, with the crops in a tray."""
    return Grounds(PLACES, CONTAINERS, crops_of(this))


def judged(this: Tray, today: date = TODAY) -> Verdict:
    """The verdict on a tray."""
    return judge(this, grounds_of(this), today)


def case_of(this: Tray, today: date = TODAY, part: int = 0) -> Case:
    """What the rules look at in one sowing of a tray."""
    return case(this.sowings[part], this, grounds_of(this), today)


def due_of(this: Tray, task: Task, today: date = TODAY) -> Due | None:
    """One thing that is due, or to come, in a tray."""
    return next((due for due in judged(this, today).due if due.task is task), None)


def window_of(this: Tray, task: Task, today: date = TODAY) -> tuple[date, date | None] | None:
    """The window of something due; None where it isn't."""
    due = due_of(this, task, today)
    return (due.window.start, due.window.end) if due else None


def words(text: str) -> int:
    """How many words a text has, as a reader counts."""
    return len(text.split())
