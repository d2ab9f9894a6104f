"""Whom to rescue first when it stays too cold to set out, and what that costs and buys."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from model.ahead import Stocked, StockKind, Target
from model.asof import standing_on
from model.crops import crop_name
from model.crops.lines import lines_of
from model.facts import Container, PlaceKind, Sowing, Tray
from model.rules.cold import (
    DAYS_A_WEEK,
    Cost,
    Held,
    Option,
    cost_of_potting_up,
    last_resow,
    one_move_only,
    pot_for,
    rank,
    room_left,
    tender_of,
)
from model.rules.course import Plants
from model.rules.due import Case
from model.rules.filling import HOLDS
from model.rules.gate import MOST_COVER_C, Gate, GateWord, Outdoors, gate, mornings
from model.rules.grounds import Grounds
from model.rules.outlook import Outlooks
from model.rules.readiness import case
from model.store import reading_ahead
from model.store.database import Rows, Store
from model.views.cold_page import ColdLine, ColdPage
from model.views.cold_ways import Yard, ways
from model.views.cold_words import answer, ways_answer
from model.views.grounds import grounds
from model.views.outdoors import outdoors
from model.views.outlook import or_reckoned
from model.views.ripe import ripe_of

__all__ = ["ColdPage", "answer", "read", "ways_answer"]


@dataclass(frozen=True, slots=True)
class _Farm:
    """What every sowing is held against."""

    on: Grounds
    outside: Outdoors
    targets: Sequence[Target]
    stock: Sequence[Stocked]
    standing: Sequence[Tray]
    today: date

    def newest_target(self, crop: str) -> Target | None:
        """The target of a crop that was put on record last."""
        return max((t for t in self.targets if t.crop == crop), key=lambda t: t.id, default=None)

    def pot(self, crop: str) -> Container | None:
        """What a crop would be potted up into."""
        target = self.newest_target(crop)
        return pot_for(self.on.containers.values(), target.pot_id if target else None)

    def in_hand(self, what: StockKind, container_id: int | None = None) -> float | None:
        """How much was counted; None where nobody counted it."""
        found = [s.amount for s in self.stock if s.what is what and s.container_id == container_id]
        return found[-1] if found else None

    def free(self, place_id: int) -> int:
        """Slots that no tray takes."""
        taken = sum(tray.place_id == place_id for tray in self.standing)
        return max(0, self.on.places[place_id].slots - taken)


def read(store: Store, today: date, now: datetime, outlooks: Outlooks | None = None) -> ColdPage:
    """Every sowing that holds its plug, in the order in which it is to be helped."""
    outlooks = or_reckoned(store, today, outlooks)
    with store.reading() as rows:
        farm = _farm(rows, today, now, outlooks)
    found = [line for tray in farm.standing for sowing in tray.sowings if (line := _line(sowing, tray, farm))]
    found.sort(key=lambda pair: (*rank(pair[0]), pair[1].number))
    lines = tuple(line for _, line in found)
    pot = farm.pot("")
    return ColdPage(
        on=today,
        lines=lines,
        lows_c=tuple(night.low_c for night in farm.outside.nights_here),
        soil_c=tuple(degrees for _, degrees in mornings(farm.outside.soil, today)),
        slots_freed=len(_emptied(lines, farm.standing)),
        pots_in_hand=farm.in_hand(StockKind.CONTAINER, pot.id) if pot else None,
        mix_in_hand_l=farm.in_hand(StockKind.MIX),
        scale=farm.on.scale,
    )


def _farm(rows: Rows, today: date, now: datetime, outlooks: Outlooks) -> _Farm:
    standing = standing_on(rows, today)
    on = grounds(rows, standing, outlooks)
    return _Farm(
        on=on,
        outside=outdoors(rows, today, now),
        targets=reading_ahead.targets(rows),
        stock=reading_ahead.stock(rows),
        standing=standing,
        today=today,
    )


def _emptied(lines: Sequence[ColdLine], standing: Sequence[Tray]) -> set[int]:
    """Trays that stand empty once everything that is GO is set out."""
    going = {line.sowing_id for line in lines if line.word is GateWord.GO}
    return {
        tray.id
        for tray in standing
        if any(sowing.id in going for sowing in tray.sowings)
        and all(sowing.id in going for sowing in tray.sowings if sowing.have)
    }


def _line(sowing: Sowing, tray: Tray, farm: _Farm) -> tuple[Held, ColdLine] | None:
    """One sowing, where its plug holds together and it is grown to be set out."""
    at = case(sowing, tray, farm.on, farm.today)
    # What is kept apart is rescued nowhere: no place and no pot is free of it afterwards.
    if at.place.kind is PlaceKind.QUARANTINE:
        return None
    if sowing.have <= 0 or at.for_cutting or at.stand.emerged is None or not _is_ready(at):
        return None
    ripe, lines = ripe_of(at), lines_of(at.crop.key)
    word = gate(ripe, lines, farm.outside, farm.today)
    covered = gate(ripe, lines, replace(farm.outside, cover_c=MOST_COVER_C), farm.today)
    bound = at.circling_since or (at.filling.bound if at.filling else None)
    room = room_left(at.crop, sowing.sown_on, bound, farm.today)
    pot = None if one_move_only(at.crop) else farm.pot(sowing.crop)
    cost = cost_of_potting_up(sowing.have, at.container.volume_ml, pot) if pot else None
    target = farm.newest_target(sowing.crop)
    resow = last_resow(target.until if target else None, at.crop)
    held = Held(word, tender_of(at.crop, at.container), room, cost.slots if cost else 1, farm.today)
    return held, ColdLine(
        tray_id=tray.id,
        sowing_id=sowing.id,
        number=tray.number,
        crop=crop_name(sowing.crop),
        variety=sowing.variety,
        container=at.container.name,
        place=at.place.name,
        plants=sowing.have,
        word=word.word,
        missing=word.lacks,
        room_days=room,
        waits=held.outlasts,
        under_cover=covered.word is GateWord.GO,
        held_days=_held_days(at, word),
        cost=cost,
        ways=() if word.word is GateWord.GO else _ways(at, farm, pot, cost, resow),
        resow_until=resow,
    )


def _ways(
    at: Case, farm: _Farm, pot: Container | None, cost: Cost | None, resow: date | None
) -> tuple[Option, ...]:
    filling, emerged = at.filling, at.stand.emerged
    plants = (
        Plants(at.sowing, at.tray, at.crop, emerged, filling, farm.today) if filling and emerged else None
    )
    yard = Yard(
        pots=farm.in_hand(StockKind.CONTAINER, pot.id) if pot else None,
        mix_l=farm.in_hand(StockKind.MIX),
        free=farm.free(at.tray.place_id),
        nights=farm.outside.nights_here,
    )
    return ways(at, plants, farm.on, pot, cost, resow, yard)


def _is_ready(at: Case) -> bool:
    """Whether it counts as ready: its plug holds, or sweet corn has had the weeks it is grown for."""
    weeks = at.crop.weeks
    old = weeks is not None and at.age_days >= weeks[0] * DAYS_A_WEEK
    return ripe_of(at).holds is not False or (one_move_only(at.crop) and old)


def _held_days(at: Case, word: Gate) -> int:
    ready = at.filling.ready if at.filling else None
    if word.word is GateWord.GO or ready is None:
        return 0
    seen = [look.day for look in at.looks if look.score >= HOLDS]
    return max(0, (at.today - min([ready.start, *seen])).days)
