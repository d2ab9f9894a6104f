"""A place for somebody who doesn't know the plants: its trays in the order of feet, one plain line each."""

from collections.abc import Mapping
from dataclasses import dataclass

from model.facts import PlaceKind
from model.rules.careful import together
from model.rules.helping import AT_PLACES, todo
from model.rules.verdict import Dries, Today
from model.store import reading
from model.store.database import Store
from model.units import Temperature
from model.views.calling import call_if, number_of
from model.views.lines import RoundView, TrayLine

INDOORS = frozenset({PlaceKind.LIT_SHELF, PlaceKind.SLATTED_BENCH, PlaceKind.CORNER})
"""Places whose thermometer tells of trouble by night."""

MOST_NAMED = 6
"""Trays that are named above the rows; each row says it too."""

Usual = Mapping[int, float]
"""Usual night of places indoors [°C], by place."""


@dataclass(frozen=True, slots=True)
class HelperLine:
    """One tray."""

    tray_id: int
    label: str
    what: str
    todo: str
    seen: Today
    called: bool
    """Whether somebody called the grower about it."""


@dataclass(frozen=True, slots=True)
class HelperPage:
    """One place."""

    place_id: int | None
    name: str
    words: str
    """What the place is, and what is wrong there."""
    lines: tuple[HelperLine, ...]
    unseen: int
    """Trays of the farm that nobody has seen today."""
    phone: str
    call_if: tuple[str, ...]


def read_usual(store: Store) -> Usual:
    """The usual nights of a farm's places indoors."""
    with store.reading() as rows:
        return {place.id: place.low_c for place in reading.places(rows) if place.kind in INDOORS}


def page_of(view: RoundView, place_id: int | None, usual: Usual, settings: Mapping[str, str]) -> HelperPage:
    """A place of the day's round; the one where the round was left off unless one is named."""
    here = next((place for place in view.places if place.place_id == place_id), None)
    if here is None:
        here = next((place for place in view.places if place.place_id == view.resume_place_id), None)
    if here is None:
        return HelperPage(None, "", "", (), 0, number_of(settings), ())
    # Bench order, as the round has it under v: worst first would put what looks sick, which is done last, before the
    # rest, and rows would change places under the hand with every tick.
    lines = sorted(
        (line for line in view.lines if line.place_id == here.place_id), key=lambda line: line.bench_order
    )
    mind = together(((line.label, line.careful) for line in lines), MOST_NAMED)
    scale = Temperature(settings.get("temperature", Temperature.CELSIUS))
    night = {here.name: usual[here.place_id]} if here.place_id in usual else {}
    return HelperPage(
        place_id=here.place_id,
        name=here.name,
        words=" ".join([AT_PLACES[here.kind], *(f"{words}." for words in mind)]),
        lines=tuple(_line(line) for line in lines),
        unseen=view.unseen,
        phone=number_of(settings),
        call_if=tuple(call_if(night, scale)),
    )


def _line(line: TrayLine) -> HelperLine:
    dries = line.thirst.dries if line.thirst is not None else Dries.UNKNOWN
    return HelperLine(
        tray_id=line.tray_id,
        label=line.label,
        what=f"{line.crop} {line.variety}",
        todo=todo(line.stage, line.seen, dries, line.flags),
        seen=line.seen,
        called=line.called,
    )
