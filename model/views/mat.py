"""The mat rota of the farm: who stands on which mat when, who can do without, and the next free days."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

from model.ahead import PinnedSowing
from model.crops import variety_name
from model.errors import BadInput
from model.facts import Place, PlaceKind
from model.labels import label
from model.rules.mat import (
    ROTA_DAYS,
    Asked,
    OnMat,
    days_saved,
    fastest_mat,
    mat_of,
    on_mat,
    sowing_of,
    stay_at,
    warmest_mat,
)
from model.science.rota import Placement, Rota, free_days, greedy, slot_map, solve
from model.science.rota_choices import Mat, Sowing, Where, greedy_choice, options
from model.store import reading, reading_ahead
from model.store.database import Store
from model.units import Temperature
from model.views.asked import NotAsked, asked_for
from model.views.grounds import grounds

if TYPE_CHECKING:
    from model.rules.outlook import Outlooks
    from model.views.answer import Answer

SPAN = 400
"""Days for which a tray that nobody can tell the end of holds its slot [d]; longer than any rota."""
SHOWN_DAYS = 14
"""Days of the strips: two weeks [d]."""
USUAL_STAY = 7
"""Days for which a free slot is looked for [d]. Ours: most crops are up by then at 25 °C."""
NEXT_FREE = 3
"""Free days that are told of each mat."""
FRIDAY = 4


@dataclass(frozen=True, slots=True)
class MatSowing:
    """One sowing of the rota. Days saved are the published table's own; the stay ends when four seeds in five are up."""

    target_id: int
    name: str
    flats: int
    first_day: date
    last_day: date
    """The window in which it is to be sown."""
    where: Where
    day: date | None
    mat: str | None
    first_up: date | None
    off: date | None
    """The day on which its slot is free again."""
    days_saved: int | None
    """By heat, on its mat or else on the fastest right one; None where a side isn't tested [d]."""
    days_there: int | None
    """Days to come up where it goes [d]."""
    home: str
    too_hot: bool
    """Its seed doesn't bear any of the mats."""
    pinned: bool
    outside: bool
    """Pinned to a day outside its window."""
    reason: str
    held_by: tuple[str, ...]
    held_by_standing: bool
    ahead_of: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MatTray:
    """A tray that stands on a mat."""

    tray_id: int
    number: int
    name: str
    mat: str
    day_n: int
    first: int | None
    slow: int | None
    """Day n of first to slow [d]."""
    off: date | None
    up: bool


@dataclass(frozen=True, slots=True)
class MatSlots:
    """One mat: its slots, how many are free on each of the next days, and the next days free for one flat."""

    place_id: int
    name: str
    slots: int
    set_c: float
    standing: int
    free: tuple[int, ...]
    """Slots free from today on, the rota's sowings counted."""
    free_on_friday: int
    next_free: tuple[date, ...]
    """The next days on which one flat could go on and stay a week."""


@dataclass(frozen=True, slots=True)
class MatView:
    """The rota."""

    on: date
    friday: date
    proof: str
    objective: float
    """What the rota loses against every sowing on its day with all the heat it could use [flat-days]."""
    bound: float | None
    """No rota loses less; None where nobody knows [flat-days]."""
    sowings: tuple[MatSowing, ...]
    trays: tuple[MatTray, ...]
    mats: tuple[MatSlots, ...]
    refused: tuple[NotAsked, ...]
    scale: Temperature


@dataclass(frozen=True, slots=True)
class MatAsk:
    """What is asked of the rota, before anybody has reckoned it."""

    on: date
    asked: tuple[Asked, ...]
    sowings: tuple[Sowing, ...]
    mats: tuple[Mat, ...]
    places: tuple[Place, ...]
    standing: tuple[tuple[OnMat, ...], ...]
    """The trays on each mat."""
    pins: Mapping[int, PinnedSowing]
    refused: tuple[NotAsked, ...]
    scale: Temperature


def gather(store: Store, today: date) -> MatAsk:
    """Everything that the rota needs, from the record."""
    with store.reading() as rows:
        trays = reading.standing_trays(rows)
        on = grounds(rows, trays)
        asked, refused = asked_for(rows, today, today + timedelta(days=ROTA_DAYS))
        pins = reading_ahead.pins(rows)
    places = tuple(place for place in on.places.values() if place.kind is PlaceKind.HEAT_MAT)
    there = tuple(
        tuple(on_mat(tray, on, today) for tray in trays if tray.place_id == place.id) for place in places
    )
    mats = tuple(
        mat_of(place, [None if held.off is None else (held.off - today).days for held in those], SPAN)
        for place, those in zip(places, there, strict=True)
    )
    kept, sowings, more = _sowings(asked, places, mats, pins, today) if mats else ([], [], [])
    return MatAsk(today, tuple(kept), tuple(sowings), mats, places, there, pins, (*refused, *more), on.scale)


def _sowings(
    asked: Sequence[Asked],
    places: Sequence[Place],
    mats: Sequence[Mat],
    pins: Mapping[int, PinnedSowing],
    today: date,
) -> tuple[list[Asked], list[Sowing], list[NotAsked]]:
    """The sowings that the rota can take; the others, and pins that can't be kept, with what to do."""
    kept: list[Asked] = []
    sowings: list[Sowing] = []
    refused: list[NotAsked] = []
    for one in asked:
        sowing = sowing_of(one, places, today, pins.get(one.target_id))
        for tried in dict.fromkeys((sowing.pin, None)):
            try:
                options(attempt := replace(sowing, pin=tried), mats)
                kept, sowings = [*kept, one], [*sowings, attempt]
                # Pins want no more slots than there are: the first on the list keeps its own.
                pinned = [s for s in sowings if s.pin]
                greedy_choice(pinned, mats, [options(s, mats) for s in pinned])
                break
            except BadInput as error:
                if kept and kept[-1] is one:
                    kept, sowings = kept[:-1], sowings[:-1]
                refused.append(NotAsked(one.target_id, one.name, error.what_happened, error.what_to_do))
    return kept, sowings, refused


def read(store: Store, today: date, now: datetime, outlooks: "Outlooks | None" = None) -> MatView:
    """The rota, solved."""
    return solved(gather(store, today))


def in_turn(ask: MatAsk) -> MatView:
    """The rota made in turn, at once."""
    return laid(ask, greedy(ask.sowings, ask.mats))


def mat_for(store: Store, target_id: int, today: date) -> int | None:
    """The mat on which the rota has a sowing, as it is made in turn; None where it does without."""
    view = in_turn(gather(store, today))
    named = next((s.mat for s in view.sowings if s.target_id == target_id and s.where is Where.ON_MAT), None)
    return next((mat.place_id for mat in view.mats if mat.name == named), None)


def solved(ask: MatAsk) -> MatView:
    """The best rota, or the best found in a few seconds; it says which."""
    return laid(ask, solve(ask.sowings, ask.mats))


def laid(ask: MatAsk, rota: Rota) -> MatView:
    """A rota as it is told."""
    friday = ask.on + timedelta(days=(FRIDAY - ask.on.weekday()) % 7)
    sowings = [_sowing(ask, one, placed) for one, placed in zip(ask.asked, rota.placements, strict=True)]
    trays = [_tray(held, mat) for mat, those in zip(ask.mats, ask.standing, strict=True) for held in those]
    slots = [_slots(ask, rota, place, mat, friday) for place, mat in zip(ask.places, ask.mats, strict=True)]
    return MatView(
        ask.on,
        friday,
        rota.proof.value,
        rota.objective,
        rota.bound,
        tuple(sorted(sowings, key=lambda s: (s.where is not Where.ON_MAT, s.day or date.max, s.name))),
        tuple(sorted(trays, key=lambda t: (t.mat, t.off or date.max, t.number))),
        tuple(slots),
        ask.refused,
        ask.scale,
    )


def _sowing(ask: MatAsk, one: Asked, placed: Placement) -> MatSowing:
    by_name = {place.name: place for place in ask.places}
    bears = any(place.high_c <= warmest_mat(one.crop, one.row) for place in ask.places)
    mat = by_name.get(placed.mat or "") or fastest_mat(one.crop, one.row, ask.places)
    day = None if placed.day is None else ask.on + timedelta(days=placed.day)
    stay = placed.stay
    home = stay_at(one.crop, one.home) if one.home and placed.where is Where.WITHOUT else None
    there = stay or home
    pin = ask.pins.get(one.target_id)
    return MatSowing(
        one.target_id,
        one.name,
        one.flats,
        one.earliest,
        one.latest,
        placed.where,
        day,
        placed.mat,
        day + timedelta(days=there.first_up) if day and there else None,
        day + timedelta(days=stay.days) if day and stay else None,
        days_saved(one.crop, mat, one.home) if mat else None,
        there.days if there else None,
        one.home.name if one.home else "",
        not bears,
        placed.pinned,
        placed.pinned and day is not None and not one.earliest <= day <= one.latest,
        pin.reason if pin and placed.pinned else "",
        placed.held_by,
        placed.held_by_standing,
        placed.ahead_of,
    )


def _tray(held: OnMat, mat: Mat) -> MatTray:
    tray = held.tray
    what = " + ".join(dict.fromkeys(variety_name(s.crop, s.variety) for s in tray.sowings))
    return MatTray(
        tray.id,
        tray.number,
        f"{label(tray.number)} {what}",
        mat.name,
        held.day_n,
        held.first,
        held.slow,
        held.off,
        held.up,
    )


def _slots(ask: MatAsk, rota: Rota, place: Place, mat: Mat, friday: date) -> MatSlots:
    days = slot_map(rota, [mat], 0, SHOWN_DAYS)
    free = tuple(day.free for day in days)
    standing = len(ask.standing[ask.mats.index(mat)])
    found = free_days(rota, mat, 1, USUAL_STAY, 0, NEXT_FREE)
    return MatSlots(
        place.id,
        place.name,
        place.slots,
        place.high_c,
        standing,
        free,
        free[(friday - ask.on).days],
        tuple(ask.on + timedelta(days=day) for day in found),
    )


def answer(view: MatView) -> "Answer":
    """The rota in words."""
    from model.views.mat_words import words

    return words(view)
