"""From acts to facts: what the record says a tray is now. Counts balance here or the entry is refused."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date

from model.days import say_day
from model.errors import BadInput, NotEnough
from model.facts import Act, ActKind, Look, Mark, Sowing, SowingBirth, Stay, Tray, TrayBirth, Vessel
from model.labels import label

STRUCK = "struck"
"""Field of a correction that takes an act out of the reckoning; the act itself stays on record."""

NOT_AT_THE_TRAY = frozenset({ActKind.NOTE, ActKind.CORRECTED})
"""Acts that can be entered away from the tray; they don't count as seeing it."""

COUNTS = {
    ActKind.LOST: "lost",
    ActKind.POTTED_UP: "potted",
    ActKind.SET_OUT: "out",
    ActKind.RETIRED: "retired",
}
"""Acts that take plants out of a sowing, and the count they add to."""


def fold(birth: TrayBirth, acts: Iterable[Act], parent: Tray | None = None) -> Tray:
    """The tray as its acts have left it.

    Acts may come in any order; they are taken by day, then by entry. A child tray takes its sowing date, its
    up dates and its warm days from its parent, so a correction there reaches it.
    Raises NotEnough when more plants leave a sowing than it holds, BadInput when a day can't be.
    """
    in_order = sorted(acts, key=lambda act: (act.day, act.id))
    tray = _new_tray(birth, [act for act in in_order if act.kind is ActKind.CORRECTED], parent)
    for act in _corrected(in_order):
        if act.day < tray.made_on:
            raise BadInput(
                f"{act.kind} on {say_day(act.day)} is before tray {label(tray.number)} was made, "
                f"{say_day(tray.made_on)}.",
                "Give a later day, or correct the day of sowing first.",
            )
        tray = _apply(tray, act)
    return tray


def _new_tray(birth: TrayBirth, corrections: Sequence[Act], parent: Tray | None) -> Tray:
    sowings = tuple(_new_sowing(sowing, corrections, parent) for sowing in birth.sowings)
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


def _new_sowing(birth: SowingBirth, corrections: Sequence[Act], parent: Tray | None) -> Sowing:
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
            sown_on=source.sown_on,
            seeds_per_cell=source.seeds_per_cell,
            first_up=source.first_up,
            half_up=source.half_up,
            thinned_on=source.thinned_on,
        )
    for act in corrections:
        if act.sowing_id == birth.id and act.of_act_id is None and act.field and act.new is not None:
            sowing = _correct_sowing(sowing, act.field, act.new)
    return sowing


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


def _corrected(acts: Sequence[Act]) -> list[Act]:
    """The acts that count, with later corrections of their day, count or score put in."""
    by_id = {act.id: act for act in acts if act.kind is not ActKind.CORRECTED}
    for correction in sorted(
        (a for a in acts if a.kind is ActKind.CORRECTED and a.of_act_id), key=lambda a: a.id
    ):
        act = by_id.get(correction.of_act_id or 0)
        if act is None:
            continue
        match correction.field, correction.new or "":
            case "struck", _:
                del by_id[act.id]
            case "day", new:
                by_id[act.id] = replace(act, day=date.fromisoformat(new))
            case "count", new:
                by_id[act.id] = replace(act, count=int(new))
            case "score", new:
                by_id[act.id] = replace(act, score=int(new))
    return sorted(by_id.values(), key=lambda act: (act.day, act.id))


def _apply(tray: Tray, act: Act) -> Tray:
    mark = Mark(act.day, act.who)
    if act.kind not in NOT_AT_THE_TRAY:
        tray = replace(tray, seen=mark)
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
        case ActKind.MOVED if act.place_id is not None:
            return replace(tray, stays=(*tray.stays, Stay(act.place_id, act.day)))
        case ActKind.ROOT_LOOK if act.score is not None:
            return replace(tray, looks=(*tray.looks, Look(act.day, act.who, act.score)))
        case _ if act.sowing_id is not None:
            return _apply_to_sowing(tray, act)
    return tray


def _apply_to_sowing(tray: Tray, act: Act) -> Tray:
    sowings = tuple(_sowing_after(s, act, tray) if s.id == act.sowing_id else s for s in tray.sowings)
    tray = replace(tray, sowings=sowings)
    empty = all(sowing.have == 0 for sowing in sowings)
    if not empty:
        return replace(tray, ended_on=None)
    return tray if tray.ended_on else replace(tray, ended_on=act.day)


def _sowing_after(sowing: Sowing, act: Act, tray: Tray) -> Sowing:
    if act.day < sowing.sown_on:
        raise BadInput(
            f"{act.kind} on {say_day(act.day)} is before that sowing, {say_day(sowing.sown_on)}.",
            "Give a later day, or correct the day of sowing first.",
        )
    match act.kind:
        case ActKind.FIRST_UP:
            return sowing if sowing.first_up else replace(sowing, first_up=act.day)
        case ActKind.HALF_UP:
            return replace(
                sowing,
                first_up=sowing.first_up or act.day,
                half_up=sowing.half_up or act.day,
                up_count=act.count if act.count is not None else sowing.up_count,
            )
        case ActKind.THINNED:
            return replace(sowing, thinned_on=act.day)
        case ActKind.CUT:
            return replace(sowing, cuts=(*sowing.cuts, act.day))
        case ActKind.COUNTED:
            count = act.count or 0
            _enough(sowing, tray, count)
            return replace(sowing, empty=sowing.empty + sowing.have - count)
    taken = COUNTS.get(act.kind)
    if taken is None:
        return sowing
    count = act.count or 0
    _enough(sowing, tray, count)
    return replace(sowing, **{taken: getattr(sowing, taken) + count})


def _enough(sowing: Sowing, tray: Tray, count: int) -> None:
    if count > sowing.have:
        raise NotEnough(
            f"Tray {label(tray.number)} has {sowing.have} of {sowing.variety}, not {count}.",
            f"Give {sowing.have} or fewer, or count the tray first.",
        )
