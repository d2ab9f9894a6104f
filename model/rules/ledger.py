"""From acts to facts: what the record says a tray is now. Counts balance here or the entry is refused."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta

from model.days import say_day
from model.entered import STRUCK, SowingBirth, TrayBirth
from model.errors import BadInput, NotEnough
from model.facts import (
    HELPING,
    Act,
    ActKind,
    Call,
    Finger,
    Look,
    LossCause,
    Mark,
    Sowing,
    Stay,
    Tray,
    Vessel,
    Withheld,
)
from model.labels import Alias, label

SOWS = frozenset({ActKind.SOWN, ActKind.RESOWN})
"""Acts whose day is the day of their sowing, whatever that is corrected to."""

MAKES_OR_MOVES_PLANTS = frozenset({ActKind.SOWN, ActKind.RESOWN, ActKind.POTTED_UP, ActKind.CORRECTED})
"""Acts that other records hang on: these are undone whole, never corrected singly."""

CORRECTABLE: dict[str, Collection[ActKind]] = {
    "day": frozenset(ActKind) - MAKES_OR_MOVES_PLANTS,
    STRUCK: frozenset(ActKind) - MAKES_OR_MOVES_PLANTS,
    "count": {
        ActKind.HALF_UP,
        ActKind.COUNTED,
        ActKind.LOST,
        ActKind.SET_OUT,
        ActKind.HANDED_OVER,
        ActKind.RETIRED,
    },
    "score": {ActKind.ROOT_LOOK, ActKind.FINGER},
}
"""What can be corrected of an act, and of which."""

TIMES = frozenset({ActKind.FIRST_UP, ActKind.HALF_UP, ActKind.ROOT_LOOK})
"""Acts that growth is learned from."""

NOT_AT_THE_TRAY = frozenset(
    {ActKind.NOTE, ActKind.CORRECTED, ActKind.KEPT_IN, ActKind.RELABELLED, ActKind.UNCERTAIN}
)
"""Acts that can be entered away from the tray; they don't count as seeing it."""

COUNTS = {
    ActKind.LOST: "lost",
    ActKind.POTTED_UP: "potted",
    ActKind.SET_OUT: "out",
    ActKind.HANDED_OVER: "handed",
    ActKind.RETIRED: "retired",
}
"""Acts that take plants out of a sowing, and the count they add to."""


def correctable(act: Act, together: Collection[Act]) -> frozenset[str]:
    """What can be put right of an act without its entry, whose acts are `together`, falling apart."""
    # The cells that were sown again are the cells that were given up.
    given_up = act.kind is ActKind.LOST and any(other.kind is ActKind.RESOWN for other in together)
    if act.tray_id is None or given_up:
        return frozenset()
    return frozenset(field for field, kinds in CORRECTABLE.items() if act.kind in kinds)


def fold(
    birth: TrayBirth, acts: Iterable[Act], parent: Tray | None = None, until: date | None = None
) -> Tray:
    """The tray as its acts have left it, or as those until the end of a day had.

    Acts may come in any order; they are taken by day, then by entry. A child tray takes its sowing date, its
    up dates and its warm days from its parent, so a correction there reaches it. Corrections count whenever they were made.
    Raises NotEnough when more plants leave a sowing than it holds, BadInput when a day can't be.
    """
    in_order = sorted(acts, key=lambda act: act.id)
    corrections = [act for act in in_order if act.kind is ActKind.CORRECTED]
    tray = replace(_new_tray(birth, corrections, parent), corrected=_timing_corrected(in_order, corrections))
    counting = corrected(in_order, tray.sowings)
    if until is not None:
        tray = replace(tray, sowings=tuple(sowing for sowing in tray.sowings if sowing.sown_on <= until))
        counting = [act for act in counting if act.day <= until]
    for act in counting:
        if act.day < tray.made_on:
            raise BadInput(
                f"{act.kind} on {say_day(act.day)} is before tray {label(tray.number)} was made, "
                f"{say_day(tray.made_on)}.",
                "Give a later day, or correct the day of sowing first.",
            )
        tray = _apply(tray, act)
    return tray


def _timing_corrected(acts: Sequence[Act], corrections: Sequence[Act]) -> bool:
    """Whether a correction touches what growth is learned from."""
    kinds = {act.id: act.kind for act in acts}
    return any(act.field == "sown_on" or kinds.get(act.of_act_id or 0) in TIMES for act in corrections)


def _new_tray(birth: TrayBirth, corrections: Sequence[Act], parent: Tray | None) -> Tray:
    sowings = tuple(_new_sowing(sowing, corrections, parent, birth.made_on) for sowing in birth.sowings)
    made_on = birth.made_on if parent or not sowings else min(sowing.sown_on for sowing in sowings)
    earlier_stays = tuple(stay for stay in parent.stays if stay.since < made_on) if parent else ()
    earlier_vessels = tuple(vessel for vessel in parent.vessels if vessel.since < made_on) if parent else ()
    return Tray(
        id=birth.id,
        number=birth.number,
        made_on=made_on,
        parent_id=birth.parent_id,
        children=birth.children,
        sowings=sowings,
        stays=(*earlier_stays, Stay(birth.place_id, made_on)),
        vessels=(*earlier_vessels, Vessel(birth.container_id, made_on)),
    )


def _new_sowing(birth: SowingBirth, corrections: Sequence[Act], parent: Tray | None, made_on: date) -> Sowing:
    sowing = Sowing(
        id=birth.id,
        part=birth.part,
        crop=birth.crop,
        variety=birth.variety,
        lot=birth.lot,
        treated=birth.treated,
        cells=birth.cells,
        seeds_per_cell=birth.seeds_per_cell,
        sown_on=birth.sown_on,
    )
    source = next((s for s in parent.sowings if s.id == birth.from_sowing_id), None) if parent else None
    if source is not None:
        return replace(
            sowing,
            crop=source.crop,
            variety=source.variety,
            uncertain=source.uncertain,
            sown_on=source.sown_on,
            seeds_per_cell=source.seeds_per_cell,
            from_parent=True,
            first_up=source.first_up,
            first_up_after=source.first_up_after,
            half_up=source.half_up,
            half_up_after=source.half_up_after,
            thinned_on=_before(source.thinned_on, made_on),
        )
    for act in corrections:
        if act.sowing_id == birth.id and act.of_act_id is None and act.field and act.new is not None:
            sowing = _correct_sowing(sowing, act.field, act.new)
    return sowing


def _before(day: date | None, made_on: date) -> date | None:
    """A day of the parent's, where it came before the potting up: what was done since was done to others."""
    return day if day is not None and day <= made_on else None


def _correct_sowing(sowing: Sowing, field: str, new: str) -> Sowing:
    match field:
        case "sown_on":
            return replace(sowing, sown_on=date.fromisoformat(new))
        case "cells":
            return replace(sowing, cells=int(new))
        case "seeds_per_cell":
            return replace(sowing, seeds_per_cell=int(new))
        case "variety":
            crop, _, variety = new.partition("/")
            return replace(sowing, crop=crop, variety=variety)
    raise BadInput(
        f"{field!r} of a sowing can't be corrected.", "Correct sown_on, cells, seeds_per_cell or variety."
    )


def corrected(acts: Iterable[Act], sowings: Iterable[Sowing]) -> list[Act]:
    """The acts that count, with later corrections of their day, count or score put in, by day and entry."""
    sown = {sowing.id: sowing.sown_on for sowing in sowings}
    in_order = sorted(acts, key=lambda act: act.id)
    by_id = {act.id: _on_its_day(act, sown) for act in in_order if act.kind is not ActKind.CORRECTED}
    for correction in (act for act in in_order if act.kind is ActKind.CORRECTED and act.of_act_id):
        act = by_id.get(correction.of_act_id or 0)
        if act is None:
            continue
        match correction.field, correction.new or "":
            case field, _ if field == STRUCK:
                del by_id[act.id]
            case "day", new:
                by_id[act.id] = replace(act, day=date.fromisoformat(new))
            case "count", new:
                by_id[act.id] = replace(act, count=int(new))
            case "score", new:
                by_id[act.id] = replace(act, score=int(new))
    return as_done(by_id.values())


def as_done(acts: Iterable[Act]) -> list[Act]:
    """Acts in the order in which they were done: by day, then by entry; a time that was told outdoes the entry's.

    What is entered from paper at noon goes before what was entered at eight that day, if it was done at seven.
    """
    in_order = sorted(acts, key=lambda act: (act.day, act.id))
    for act in [act for act in in_order if act.told_at is not None]:
        in_order.remove(act)
        later = (
            at for at, other in enumerate(in_order) if other.day == act.day and _when(other) > _when(act)
        )
        behind = (at for at, other in enumerate(in_order) if (other.day, other.id) > (act.day, act.id))
        in_order.insert(min([*later, *behind], default=len(in_order)), act)
    return in_order


def _when(act: Act) -> datetime:
    return act.told_at or act.at


def _on_its_day(act: Act, sown: Mapping[int, date]) -> Act:
    return replace(act, day=sown.get(act.sowing_id or 0, act.day)) if act.kind in SOWS else act


def _apply(tray: Tray, act: Act) -> Tray:
    mark, before = Mark(act.day, act.who), tray.seen
    if act.kind not in NOT_AT_THE_TRAY:
        # Whoever else stands at the tray has answered a call, but for those who stand in: they can't decide.
        helping = act.kind is ActKind.CALLED or act.text == HELPING
        calls = tuple(call for call in tray.calls if helping or call.who == act.who)
        tray = replace(tray, seen=mark, calls=calls)
    match act.kind:
        case ActKind.LOOKED:
            return replace(tray, looked=mark)
        case ActKind.WATERED:
            return replace(tray, watered=mark)
        case ActKind.LEFT_DRY:
            return replace(tray, left=mark)
        case ActKind.FED:
            return replace(tray, fed=mark)
        case ActKind.NOTE:
            return replace(tray, note=act.text or "")
        case ActKind.CALLED:
            return replace(tray, calls=(*tray.calls, Call(act.day, act.who, act.text or "")))
        case ActKind.LOOKED_SICK:
            return replace(tray, sick=(*tray.sick, act.day))
        case ActKind.SPRAYED:
            until = act.day + timedelta(days=act.count or 0)
            return replace(tray, withheld=(*tray.withheld, Withheld(act.day, act.who, act.text or "", until)))
        case ActKind.RELABELLED if act.new:
            return replace(tray, number=int(act.new), aliases=(*tray.aliases, Alias(tray.number, act.day)))
        case ActKind.MOVED if act.place_id is not None:
            return replace(tray, stays=(*tray.stays, Stay(act.place_id, act.day)))
        case ActKind.FINGER if act.score is not None:
            watered = tray.watered.day if tray.watered else None
            return replace(tray, fingers=(*tray.fingers, Finger(act.day, act.who, act.score, watered)))
        case ActKind.ROOT_LOOK if act.score is not None:
            return replace(tray, looks=(*tray.looks, Look(act.day, act.who, act.score)))
        case _ if act.sowing_id is not None:
            return _apply_to_sowing(tray, act, before.day if before else None)
    return tray


def _apply_to_sowing(tray: Tray, act: Act, seen_before: date | None) -> Tray:
    sowings = tuple(
        _sowing_after(s, act, tray, seen_before) if s.id == act.sowing_id else s for s in tray.sowings
    )
    tray = replace(tray, sowings=sowings)
    empty = all(sowing.have == 0 for sowing in sowings)
    if not empty:
        return replace(tray, ended_on=None)
    return tray if tray.ended_on else replace(tray, ended_on=act.day)


def _sowing_after(sowing: Sowing, act: Act, tray: Tray, seen_before: date | None) -> Sowing:
    if act.day < sowing.sown_on:
        raise BadInput(
            f"{act.kind} on {say_day(act.day)} is before that sowing, {say_day(sowing.sown_on)}.",
            "Give a later day, or correct the day of sowing first.",
        )
    match act.kind:
        case ActKind.FIRST_UP:
            if sowing.first_up:
                return sowing
            return replace(sowing, first_up=act.day, first_up_after=_earlier(seen_before, act))
        case ActKind.HALF_UP:
            _no_more_than(sowing.cells, act.count or 0, sowing, tray)
            return replace(
                sowing,
                first_up=sowing.first_up or act.day,
                first_up_after=sowing.first_up_after if sowing.first_up else _earlier(seen_before, act),
                half_up=sowing.half_up or act.day,
                half_up_after=sowing.half_up_after if sowing.half_up else _earlier(seen_before, act),
                counts=_counted(sowing, act),
                up_count=act.count if act.count is not None else sowing.up_count,
            )
        case ActKind.UNCERTAIN:
            return replace(sowing, uncertain=True)
        case ActKind.THINNED:
            return replace(sowing, thinned_on=act.day)
        case ActKind.CUT:
            return replace(sowing, cuts=(*sowing.cuts, act.day))
        case ActKind.COUNTED:
            # Seedlings that came after an earlier count fill cells which that count found empty.
            cells = sowing.have + sowing.empty
            _no_more_than(cells, act.count or 0, sowing, tray)
            return replace(sowing, empty=cells - (act.count or 0), counts=_counted(sowing, act))
    return _taken(sowing, act, tray)


def _earlier(seen_before: date | None, act: Act) -> date | None:
    """The look before an act, where it was on an earlier day."""
    return seen_before if seen_before is not None and seen_before < act.day else None


def _counted(sowing: Sowing, act: Act) -> tuple[tuple[date, int], ...]:
    return sowing.counts if act.count is None else (*sowing.counts, (act.day, act.count))


def _taken(sowing: Sowing, act: Act, tray: Tray) -> Sowing:
    """The sowing without the plants that an act took out of it."""
    column, count = COUNTS.get(act.kind), act.count or 0
    if column is None:
        return sowing
    # A cell that a count found empty is a cell that didn't come up: it isn't lost a second time.
    empty = min(count, sowing.empty) if act.cause == LossCause.NOT_UP else 0
    _no_more_than(sowing.have + empty, count, sowing, tray)
    if act.promise_id is not None:
        sowing = replace(sowing, given=(*sowing.given, (act.promise_id, count)))
    return replace(sowing, empty=sowing.empty - empty, **{column: getattr(sowing, column) + count})


def _no_more_than(most: int, count: int, sowing: Sowing, tray: Tray) -> None:
    if count > most:
        raise NotEnough(
            f"Tray {label(tray.number)} has {most} of {sowing.variety}, not {count}.",
            f"Give {most} or fewer, or count the tray first.",
        )
