"""Two copies of one record: an order of their entries that both agree on, and where they are at odds."""

from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from heapq import heapify, heappop, heappush
from itertools import pairwise

from model.entered import STRUCK, ClashKind, TrayBirth, Written
from model.errors import BadInput, NotEnough
from model.facts import Act, ActKind, Tray
from model.rules.ledger import COUNTS, MAKES_OR_MOVES_PLANTS, NOT_AT_THE_TRAY, as_done, fold
from model.rules.tonight import ANSWER


def agreed_order(one: Sequence[Written], other: Sequence[Written]) -> list[str]:
    """The uids of both copies in one order, whichever of the two is named first.

    Each copy's own order holds, whatever its clock said: an entry comes after all that stood there when it was
    made. Between the two copies the time decides, then the uid.
    """
    first, second = sorted((one, other), key=lambda copy: (len(copy), [w.uid for w in copy]), reverse=True)
    known = {written.uid for written in second}
    shared = [written.uid for written in first if written.uid in known]
    turn = {uid: at for at, uid in enumerate(shared)}
    waiting: dict[str, list[str]] = defaultdict(list)
    waits = Counter[str]()

    def after(uid: str, before: str | None) -> None:
        if before is not None:
            waiting[before].append(uid)
            waits[uid] += 1

    for earlier, later in pairwise(shared):
        after(later, earlier)
    for copy in (first, second):
        latest, own = -1, None
        for uid in (written.uid for written in copy):
            if uid in turn:
                latest = max(latest, turn[uid])
            else:
                after(uid, shared[latest] if latest >= 0 else None)
                after(uid, own)
                own = uid
    moments: dict[str, Written] = {}
    for written in (*one, *other):
        moments[written.uid] = min(written, moments.get(written.uid, written), key=lambda w: w.at)
    ready = [(written.at, uid) for uid, written in moments.items() if not waits[uid]]
    heapify(ready)
    order = []
    while ready:
        _, uid = heappop(ready)
        order.append(uid)
        for freed in waiting[uid]:
            waits[freed] -= 1
            if not waits[freed]:
                heappush(ready, (moments[freed].at, freed))
    return order


@dataclass(frozen=True, slots=True)
class Sides:
    """Entries that only one of two copies had."""

    ours: Collection[int]
    theirs: Collection[int]

    def split(self, acts: Iterable[Act]) -> tuple[list[Act], list[Act]]:
        """The acts of either side, in the agreed order."""
        in_order = sorted(acts, key=lambda act: act.id)
        return (
            [act for act in in_order if act.entry_id in self.ours],
            [act for act in in_order if act.entry_id in self.theirs],
        )


@dataclass(frozen=True, slots=True)
class Clash:
    """Two acts at odds, in the agreed order."""

    what: ClashKind
    tray_id: int
    first: Act | None
    later: Act | None


def in_doubt(birth: TrayBirth, acts: Collection[Act], parent: Tray | None, sure: Collection[int]) -> Act:
    """The first act that can't be counted beside those that both copies had and those before it.

    `sure` are entries that stood in both. What makes trays comes before what takes plants away: a tray that
    stands somewhere must not vanish for a count.
    """
    kept = [act for act in acts if act.entry_id in sure]
    if not _folds(birth, kept, parent):
        kept = []
    there = {act.id for act in kept}
    rest = [act for act in acts if act.id not in there]
    for act in sorted(rest, key=lambda act: (act.kind not in MAKES_OR_MOVES_PLANTS, act.id)):
        if not _folds(birth, [*kept, act], parent):
            return act
        kept.append(act)
    raise RuntimeError(f"tray {birth.id} is in no doubt")


def _folds(birth: TrayBirth, acts: Collection[Act], parent: Tray | None) -> bool:
    try:
        fold(birth, acts, parent)
    except (BadInput, NotEnough):
        return False
    return True


def rival(doubted: Act, acts: Iterable[Act], sides: Sides) -> Act | None:
    """What the other copy took of the same plants last, else what it counted there, beside an act that is in doubt."""
    mine, yours = sides.split(acts)
    others = yours if doubted.entry_id in sides.ours else mine
    taken = [act for act in others if act.sowing_id == doubted.sowing_id and act.kind in COUNTS]
    changed = [act for act in others if act.kind in MAKES_OR_MOVES_PLANTS]
    counted = [act for act in others if act.sowing_id == doubted.sowing_id and act.kind is ActKind.COUNTED]
    return next(reversed([*counted, *changed, *taken]), None)


def at_odds(tray: Tray, acts: Collection[Act], sides: Sides, told: Collection[int] = ()) -> Iterator[Clash]:
    """Where the two sides say different things of a tray, though counts balance.

    `told` are entries of which a clash about this tray tells already: what else stands in them is no second one.
    """
    mine, yours = sides.split(acts)
    if mine and yours:
        turn = {act.id: at for at, act in enumerate(as_done(acts))}
        yield from _moved_twice(tray, mine, yours, turn)
        yield from _corrected_twice(tray, mine, yours)
        yield from _gone_on_with(tray, mine, yours, turn, told)
        yield from _nights_answered_twice(tray, mine, yours, turn)
        yield from _entered_twice(tray, mine, yours)


Turns = Mapping[int, int]
"""The turn of each act in the order in which they were done."""


def _moved_twice(tray: Tray, mine: Sequence[Act], yours: Sequence[Act], turn: Turns) -> Iterator[Clash]:
    def last(acts: Sequence[Act]) -> dict[date, Act]:
        in_order = sorted(acts, key=lambda act: turn[act.id])
        return {act.day: act for act in in_order if act.kind is ActKind.MOVED}

    ours, theirs = last(mine), last(yours)
    for day in sorted(ours.keys() & theirs.keys()):
        if ours[day].place_id != theirs[day].place_id:
            first, later = sorted((ours[day], theirs[day]), key=lambda act: turn[act.id])
            yield Clash(ClashKind.MOVED, tray.id, first, later)


def _nights_answered_twice(
    tray: Tray, mine: Sequence[Act], yours: Sequence[Act], turn: Turns
) -> Iterator[Clash]:
    def last(acts: Sequence[Act]) -> dict[date, Act]:
        in_order = sorted(acts, key=lambda act: turn[act.id])
        return {act.day: act for act in in_order if act.kind in ANSWER.values()}

    ours, theirs = last(mine), last(yours)
    for day in sorted(ours.keys() & theirs.keys()):
        if ours[day].kind is not theirs[day].kind:
            first, later = sorted((ours[day], theirs[day]), key=lambda act: turn[act.id])
            yield Clash(ClashKind.NIGHT, tray.id, first, later)


def _corrected_twice(tray: Tray, mine: Sequence[Act], yours: Sequence[Act]) -> Iterator[Clash]:
    def last(acts: Sequence[Act]) -> list[Act]:
        made = [act for act in acts if act.kind is ActKind.CORRECTED]
        return list({(act.of_act_id, act.sowing_id, act.field): act for act in made}.values())

    for one in last(mine):
        for other in last(yours):
            if (one.of_act_id, one.sowing_id) != (other.of_act_id, other.sowing_id):
                continue
            struck = STRUCK in (one.field, other.field)
            if (one.field != other.field) if struck else (one.field == other.field and one.new != other.new):
                # Corrections hold in the order of entry, whenever they were made.
                first, later = sorted((one, other), key=lambda act: act.id)
                yield Clash(ClashKind.CORRECTED, tray.id, first, later)


def _entered_twice(tray: Tray, mine: Sequence[Act], yours: Sequence[Act]) -> Iterator[Clash]:
    """One line of paper that both entered: the same plants, gone in the same way in the same minute."""

    def lines(acts: Sequence[Act]) -> dict[tuple[object, ...], Act]:
        return {
            (act.kind, act.told_at, act.sowing_id, act.count, act.cause): act
            for act in acts
            # A promise that both kept has a clash of its own.
            if act.kind in ONCE and act.told_at is not None and act.promise_id is None
        }

    ours, theirs = lines(mine), lines(yours)
    for line in ours:
        if line in theirs:
            first, later = sorted((ours[line], theirs[line]), key=lambda act: act.id)
            yield Clash(ClashKind.TWICE, tray.id, first, later)


ONCE = COUNTS.keys() - MAKES_OR_MOVES_PLANTS
"""Acts that took plants away without putting them into another tray."""


def _gone_on_with(
    tray: Tray, mine: Sequence[Act], yours: Sequence[Act], turn: Turns, told: Collection[int]
) -> Iterator[Clash]:
    """One took the last plants, and the other did something at the tray after that."""
    took = [act for act in (*mine, *yours) if act.kind in COUNTS]
    if tray.standing or not took:
        return
    ends = max(took, key=lambda act: turn[act.id])
    after = [
        act
        for act in (yours if ends in mine else mine)
        if turn[act.id] > turn[ends.id] and act.kind not in NO_GOING_ON and act.entry_id not in told
    ]
    if after:
        yield Clash(ClashKind.GONE, tray.id, ends, max(after, key=lambda act: turn[act.id]))


NO_GOING_ON = NOT_AT_THE_TRAY | {ActKind.AGAINST_GATE}
"""Acts that need no tray that stands; why plants went against the gate is said of the plants that went."""


def given_twice(given: Iterable[Act], promised: int, sides: Sides) -> Clash | None:
    """Plants of one promise that both handed over, where together that is more than was promised."""
    total = 0
    mine: list[Act] = []
    yours: list[Act] = []
    for act in sorted(given, key=lambda act: act.id):
        total += act.count or 0
        if act.entry_id in sides.ours:
            own, others = mine, yours
        elif act.entry_id in sides.theirs:
            own, others = yours, mine
        else:
            continue
        if total > promised and others and act.tray_id is not None:
            return Clash(ClashKind.GIVEN, act.tray_id, others[-1], act)
        own.append(act)
    return None
