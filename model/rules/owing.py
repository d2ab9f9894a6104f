"""Who is promised what, what there is to give, and who goes short.

Promises are filled by the day they are due; of one day, in the order in which they were made. A promise by name takes
that variety and no other; one by crop takes first what nobody can be promised by name.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from model.ahead import Promise
from model.facts import Crop, PlaceKind, Tray

WEEK = 7
"""Days of a week [d]."""


@dataclass(frozen=True, slots=True)
class Batch:
    """Plants of one sowing in one tray that can be given to somebody."""

    tray_id: int
    sowing_id: int
    number: int
    crop: str
    variety: str
    uncertain: bool
    """Two varieties may have been mixed up: it fills promises by crop only."""
    container_id: int
    plants: int
    withheld_until: date | None
    """The first day on which a label allows it to be handed over; None where nothing was sprayed."""
    ready_on: date | None = None
    """The day from which its plugs likely hold together; None where nobody can tell, or they do by now."""

    def by(self, day: date) -> bool:
        """Whether it can go out by a day: ready by then, and no label against it."""
        return all(other is None or other <= day for other in (self.ready_on, self.withheld_until))


@dataclass(frozen=True, slots=True)
class Owed:
    """A promise with what was given of it and what there is for the rest."""

    promise: Promise
    given: int
    covered: int
    """Plants there are for it, those that were given not counted."""

    @property
    def left(self) -> int:
        """Plants still to be given."""
        return max(0, self.promise.plants - self.given)

    @property
    def short(self) -> int:
        """Plants still to be given that there aren't."""
        return self.left - self.covered


def to_give(
    trays: Iterable[Tray],
    quarantine: frozenset[int],
    today: date,
    ready: Mapping[int, date] | None = None,
    salad: Collection[int] = (),
) -> tuple[Batch, ...]:
    """What can be given of standing trays: up, in no place of quarantine, not grown to be cut; the oldest trays first.

    A sowing that isn't up yet is hope, not plants, and a salad flat has rows. `ready` is the day from which a tray is
    ready, by its id; `salad` are the sowings that are grown to be cut.
    """
    ready_on = ready or {}
    return tuple(
        Batch(
            tray_id=tray.id,
            sowing_id=sowing.id,
            number=tray.number,
            crop=sowing.crop,
            variety=sowing.variety,
            uncertain=sowing.uncertain,
            container_id=tray.container_id,
            plants=sowing.have,
            withheld_until=max((w.until for w in tray.withheld if w.until > today), default=None),
            ready_on=ready_on.get(tray.id),
        )
        for tray in sorted(trays, key=lambda tray: (tray.made_on, tray.number))
        if tray.place_id not in quarantine
        for sowing in tray.sowings
        if sowing.have and sowing.first_up is not None and sowing.id not in salad
    )


def quarantines(places: Mapping[int, PlaceKind]) -> frozenset[int]:
    """Places of quarantine."""
    return frozenset(place for place, kind in places.items() if kind is PlaceKind.QUARANTINE)


def fits(batch: Batch, promise: Promise) -> bool:
    """Whether a batch can keep a promise."""
    named = not promise.variety or (batch.variety == promise.variety and not batch.uncertain)
    boxed = promise.container_id in (None, batch.container_id)
    return batch.crop == promise.crop and named and boxed


def covers(batch: Batch, promise: Promise) -> bool:
    """Whether a batch can keep a promise on the day it is due."""
    return fits(batch, promise) and batch.by(promise.due_on)


def fill(promises: Iterable[Promise], given: Mapping[int, int], batches: Sequence[Batch]) -> tuple[Owed, ...]:
    """Every promise with what there is for it, the plants dealt out by the day they are due."""
    in_order = sorted(promises, key=lambda promise: (promise.due_on, promise.id))
    left = {(batch.tray_id, batch.sowing_id): batch.plants for batch in batches}
    found = []
    for promise in in_order:
        wanted = max(0, promise.plants - given.get(promise.id, 0))
        covered = 0
        for batch in sorted(batches, key=lambda batch: _spare(batch, in_order)):
            if covers(batch, promise):
                key = batch.tray_id, batch.sowing_id
                taken = min(left[key], wanted - covered)
                left[key] -= taken
                covered += taken
        found.append(Owed(promise, given.get(promise.id, 0), covered))
    return tuple(found)


def _spare(batch: Batch, promises: Sequence[Promise]) -> tuple[bool, bool]:
    """First what can't be promised by name, then what nobody was promised by name."""
    named = any(one.variety == batch.variety and one.crop == batch.crop for one in promises if one.variety)
    return not batch.uncertain, named


def drawn(
    batches: Iterable[Batch], promise: Promise, count: int, today: date
) -> tuple[tuple[Batch, int], ...]:
    """From which trays a hand-over would likely come, what is ready first, then the oldest: for a person to say yes to."""
    found: list[tuple[Batch, int]] = []
    for batch in sorted(batches, key=lambda batch: not batch.by(today)):
        if fits(batch, promise) and batch.withheld_until is None and count > 0:
            taken = min(count, batch.plants)
            found.append((batch, taken))
            count -= taken
    return tuple(found)


@dataclass(frozen=True, slots=True)
class SowAgain:
    """Days by which to sow what is short."""

    surely: date
    """By the longer of the published weeks."""
    last: date
    """By the shorter: the last useful day."""


def sow_again(crop: Crop, due_on: date) -> SowAgain | None:
    """When to sow for a day plants are due, by published weeks; None where nobody published any."""
    if crop.weeks is None:
        return None
    fewest, most = (round(weeks * WEEK) for weeks in crop.weeks)
    return SowAgain(due_on - timedelta(days=most), due_on - timedelta(days=fewest))
