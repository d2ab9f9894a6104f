"""What the mat rota asks: how long each sowing would stay on each mat, and until when the trays there hold their slots.

A sowing holds its slot until four seeds in five of a usual lot are up at the mat's set-point; one that stretches fast
until half of them are, since it comes off at first up. The same share is asked of the place where it would come up
without heat, so the two can be compared. Days are whole days counted from today.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil, exp, floor, inf

from model.ahead import PinnedSowing
from model.facts import Crop, Place, PlaceKind, Sowing, Tray
from model.rules.coming_up import ComingUp, coming_up, stand_of
from model.rules.due import COOL_MAT_C
from model.rules.grounds import Grounds
from model.rules.warmth import emergence_progress
from model.science import rota_choices as rota
from model.science.emergence import Standing, daily_progress, seed_quantile, standing

OFF_SHARE = 0.8
"""Share of the seeds up when a tray gives its slot free [fraction]. Ours: past half up, which is when it comes off."""
OFF_SHARE_FAST = 0.5
"""The same for crops that come off at first up [fraction]. Ours."""
Z_OFF = 0.8416
"""Standard normal deviate of four in five, for OFF_SHARE [-]."""
FIRST_SHARE = 0.1
"""Share of the seeds up when the first are seen [fraction]. As in `coming_up`."""
ROTA_DAYS = 60
"""Sowings whose window begins later than this aren't in the rota yet [d]. Ours."""
WARMEST_C = {
    "Lettuce": rota.LETTUCE_LIMIT_C.value,
    "Celery": rota.CELERY_LIMIT_C.value,
    "Spinach": rota.SPINACH_LIMIT_C.value,
}
"""By the row of the table of days: the warmest mat that the seed bears [°C]."""
_ROUNDING = 1e-9
"""A sum that misses a whole day by less has reached it: floats only [d]."""


@dataclass(frozen=True, slots=True)
class Asked:
    """A sowing that could stand on a mat."""

    target_id: int
    name: str
    """As it is told; differs from every other sowing's."""
    crop: Crop
    earliest: date
    latest: date
    """The window in which it is to be sown."""
    flats: int
    home: Place | None
    """Where it comes up without a mat; None where there is no such place."""
    row: str = ""
    """Row of the table of days that holds for the crop; empty where none does."""


def median_days(crop: Crop, place: Place) -> float | None:
    """Days until half of the seeds are up at a place's usual warmth; None where the table doesn't tell [d]."""
    mean = (place.low_c + place.high_c) / 2
    if standing(crop.emergence_days, mean) is not Standing.TESTED:
        return None
    daily = daily_progress(crop.emergence_days, place.low_c, place.high_c)
    return 1.0 / daily if daily > 0.0 else None


def stay_at(crop: Crop, place: Place) -> rota.Stay | None:
    """Whole days until the first seedlings, and until it may come off; None where the table doesn't tell [d]."""
    median = median_days(crop, place)
    if median is None:
        return None
    share = OFF_SHARE_FAST if crop.stretches_fast else OFF_SHARE
    first = seed_quantile(median, crop.spread, FIRST_SHARE)
    days = max(1, ceil(seed_quantile(median, crop.spread, share) - _ROUNDING))
    return rota.Stay(min(days, max(1, floor(first))), days)


def days_saved(crop: Crop, mat: Place, home: Place | None) -> int | None:
    """Days by which the table's own day comes sooner on a mat than at home; None where one isn't known [d]."""
    warm, cold = median_days(crop, mat), median_days(crop, home) if home else None
    return round(cold - warm) if warm is not None and cold is not None else None


def warmest_mat(crop: Crop, row: str) -> float:
    """The warmest mat that a crop's seed may stand on, by its row of the table of days [°C].

    Never warmer than the mat that a tray would be sent off again.
    """
    return inf if crop.hot_mat else min(COOL_MAT_C, WARMEST_C.get(row, rota.CELERY_LIMIT_C.value))


def fastest_mat(crop: Crop, row: str, mats: Iterable[Place]) -> Place | None:
    """Of the mats that its seed bears and the table tells of, the one on which it is up first; None without any."""
    stays = [
        (stay, mat) for mat in mats if mat.high_c <= warmest_mat(crop, row) and (stay := stay_at(crop, mat))
    ]
    return min(stays, key=lambda pair: pair[0], default=(None, None))[1]


def comes_up_on(
    crop: Crop, row: str, places: Iterable[Place], home: Place, pin: PinnedSowing | None
) -> Place | None:
    """The mat on which a sowing comes up: the one it is pinned to, else the fastest, where heat saves days at all.

    None where it does without, or its place is a mat itself.
    """
    mats = [place for place in places if place.kind is PlaceKind.HEAT_MAT]
    if home in mats or (pin is not None and pin.without):
        return None
    pinned = next((mat for mat in mats if pin is not None and mat.id == pin.place_id), None)
    mat = pinned or fastest_mat(crop, row, mats)
    saved = days_saved(crop, mat, home) if mat else None
    return mat if pinned or saved is None or saved > 0 else None


def sowing_of(asked: Asked, mats: Sequence[Place], today: date, pin: PinnedSowing | None) -> rota.Sowing:
    """The sowing as the rota weighs it. It is wished for in the middle of its window, and never before today."""
    earliest = max(0, (asked.earliest - today).days)
    latest = max(earliest, (asked.latest - today).days)
    middle = (asked.earliest + (asked.latest - asked.earliest) // 2 - today).days
    cold = stay_at(asked.crop, asked.home) if asked.home else None
    return rota.Sowing(
        asked.name,
        earliest,
        latest,
        asked.flats,
        {mat.name: stay for mat in mats if (stay := stay_at(asked.crop, mat)) is not None},
        cold.days if cold else None,
        wished=min(latest, max(earliest, middle)),
        warmest_mat_c=warmest_mat(asked.crop, asked.row),
        pin=pin_of(pin, mats, today),
    )


def pin_of(pin: PinnedSowing | None, mats: Sequence[Place], today: date) -> rota.Pin | None:
    """What was decided by hand, as the rota takes it. A day that is gone, and a mat that is, pin nothing."""
    if pin is None:
        return None
    day = (pin.day - today).days if pin.day is not None and pin.day >= today else None
    mat = next((mat.name for mat in mats if mat.id == pin.place_id), None)
    if day is None and mat is None and not pin.without:
        return None
    return rota.Pin(day, None if pin.without else mat, pin.without)


def mat_of(place: Place, offs: Iterable[int | None], span: int) -> rota.Mat:
    """A mat with the slots that trays on it hold.

    `offs` are the days from today on which each tray comes off; None holds its slot for the whole span [d]. A stack of
    trays holds no more slots than there are.
    """
    taken: dict[int, int] = {}
    for off in offs:
        for day in range(span if off is None else min(off, span)):
            taken[day] = min(place.slots, taken.get(day, 0) + 1)
    return rota.Mat(place.name, place.slots, place.high_c, taken)


@dataclass(frozen=True, slots=True)
class OnMat:
    """A tray that stands on a mat: where it is in coming up, and when it gives its slot free."""

    tray: Tray
    day_n: int
    """Days since it was sown; the youngest sowing of a mixed flat [d]."""
    first: int | None
    slow: int | None
    """The window in which it comes up, in days since sowing [d]."""
    off: date | None
    """The day on which its slot is free; None where nobody can tell."""
    up: bool
    """Whether it is up already, so that it comes off today."""


def on_mat(tray: Tray, on: Grounds, today: date) -> OnMat:
    """When a tray leaves the mat it stands on. A mixed flat stays until its last sowing may come off."""
    found = [
        (sowing, coming_up(sowing, tray, on.crops[sowing.crop], on, today))
        for sowing in tray.sowings
        if sowing.have
    ]
    offs = [_off(sowing, tray, up, on, today) for sowing, up in found]
    off = max((day for day in offs if day is not None), default=None) if None not in offs else None
    youngest, up = max(found, key=lambda pair: pair[0].sown_on, default=(None, None))
    sown = youngest.sown_on if youngest else tray.made_on
    return OnMat(
        tray,
        (today - sown).days,
        (up.first - sown).days if up and up.first else None,
        (up.slow_end - sown).days if up and up.slow_end else None,
        off,
        off == today,
    )


def _off(sowing: Sowing, tray: Tray, up: ComingUp, on: Grounds, today: date) -> date | None:
    crop, stand = on.crops[sowing.crop], stand_of(sowing, tray, up, today)
    seen = stand.first if crop.stretches_fast else stand.half
    if seen is not None:
        # What was put on heat when it was up stands there for a reason of the grower's own.
        return today if tray.stays[-1].since <= seen else None
    target = 1.0 if crop.stretches_fast else exp(Z_OFF * crop.spread)
    day = emergence_progress(crop, tray.stays, on).day_of(sowing.sown_on, target)
    if day is None or up.standing is not Standing.TESTED:
        return None
    # Late trays may come up any day; today they still hold their slot.
    return max(day, today + timedelta(days=1))


def homes(places: Iterable[Place]) -> Place | None:
    """Where a sowing comes up when nobody has said: the first lit shelf on the walk, then a bench, then anywhere."""
    liked = (PlaceKind.LIT_SHELF, PlaceKind.SLATTED_BENCH, PlaceKind.COLD_FRAME, PlaceKind.CORNER)
    ranked = sorted(
        (place for place in places if place.kind in liked), key=lambda p: (liked.index(p.kind), p.walk)
    )
    return ranked[0] if ranked else None


def told_names(names: Mapping[int, tuple[str, str]]) -> dict[int, str]:
    """A name for each target that no other has: its own, then with the day it is wanted, then with its number."""
    plain = [name for name, _ in names.values()]
    with_day = [f"{name}, {day}" for name, day in names.values()]
    told = {}
    for key, (name, day) in names.items():
        dated = f"{name}, {day}"
        alone = plain.count(name) == 1
        told[key] = name if alone else dated if with_day.count(dated) == 1 else f"{dated} ({key})"
    return told
