"""The verdict on a tray: stage, fill, what is due, risk and rank, each with its reasons."""

from collections.abc import Iterator
from datetime import date, timedelta
from math import inf

from model.facts import PlaceKind, Sowing, Tray, Treated
from model.rules.careful import hands_off, sick_lately
from model.rules.coming_up import Stand, coming_up, stand_of
from model.rules.due import Case, cut_window, due_in, for_cutting
from model.rules.exposure import exposure
from model.rules.filling import FEW, Filling, filling, look_risk, looks_here
from model.rules.grounds import Grounds
from model.rules.outlook import told
from model.rules.rank import days_unseen, room_due, rooms
from model.rules.reasons import reason_gone, reasons_for
from model.rules.verdict import (
    CALL,
    HANDS_OFF,
    SICK,
    Due,
    Risk,
    SowingVerdict,
    Stage,
    Task,
    Today,
    Verdict,
    Window,
)
from model.rules.warmth import growth_warmth
from model.rules.water import water_note
from model.science.emergence import Standing
from model.science.root_fill import BOUND_FILL, FEW_FILL, FULL_FILL, HOLDS_FILL

HALF_UP_LASTS = 3
"""Days for which a tray is called half up before it is growing on [d]. Common practice, no source."""
UNSEEN_DAYS = 2
"""Days without anyone looking from which a tray is flagged [d]. Common practice, no source."""


def judge(tray: Tray, on: Grounds, today: date) -> Verdict:
    """What the rules make of a tray on a day."""
    cases = [case(sowing, tray, on, today) for sowing in tray.sowings]
    found = [_judge_sowing(at) for at in cases]
    living = [verdict for verdict in found if verdict.stage is not Stage.OUT] or found
    leading = min(living, key=lambda verdict: verdict.room_days)
    water = water_note(tray, today)
    flags = dict.fromkeys(flag for verdict in living for flag in verdict.flags)
    return Verdict(
        tray_id=tray.id,
        sowings=tuple(found),
        leading=leading,
        here_days=(min(today, tray.ended_on or today) - tray.vessels[-1].since).days,
        due=in_order([due for verdict in living for due in verdict.due], today),
        flags=(*flags, *_tray_flags(tray, today, on.zone, water.today)),
        water=water,
    )


def in_order(dues: list[Due], today: date) -> tuple[Due, ...]:
    """What is open comes first, by the room it leaves; then what is to come. That it is past tells what to do last."""

    def key(due: Due) -> tuple[bool, bool, float, date, date, Task]:
        end = due.window.end or date.max
        return (
            not due.open_on(today),
            due.task is Task.PAST,
            room_due(due, today),
            due.window.start if not due.open_on(today) else end,
            due.window.start,
            due.task,
        )

    return tuple(sorted(dues, key=key))


def case(sowing: Sowing, tray: Tray, on: Grounds, today: date) -> Case:
    """The case that the rules look at, for one sowing of a tray."""
    crop, container = on.crops[sowing.crop], on.containers[tray.container_id]
    place = on.places[tray.place_id]
    up = coming_up(sowing, tray, crop, on, today)
    stand = stand_of(sowing, tray, up, today)
    hardened, hardened_on = None, None
    if place.kind is PlaceKind.HARDENING and stand.first is not None:
        hardened = exposure(tray, on, stand.first, today)
        hardened_on = today + timedelta(days=crop.harden_days - hardened.days)
    return Case(
        sowing=sowing,
        tray=tray,
        crop=crop,
        place=place,
        container=container,
        up=up,
        filling=_filling(sowing, tray, on, stand, today),
        today=today,
        stand=stand,
        looks=looks_here(tray, stand),
        hardened=hardened,
        hardened_on=hardened_on,
        lines=on.lines.get(crop.key),
        open_air=on.open_air,
        scale=on.scale,
        warmth=growth_warmth(crop, tray.stays, on) if for_cutting(container, crop) else None,
    )


def _filling(sowing: Sowing, tray: Tray, on: Grounds, stand: Stand, today: date) -> Filling | None:
    """Root fill by the forecast where it was reckoned, else by the crop file alone."""
    outlook = on.outlooks.get(sowing.id)
    if outlook is not None and outlook.covers(today) and stand.emerged is not None:
        return told(outlook, looks_here(tray, stand), stand.assumed, today)
    return filling(sowing, tray, on.crops[sowing.crop], on, stand, today)


def _judge_sowing(at: Case) -> SowingVerdict:
    if at.sowing.have == 0:
        return _gone(at)
    fills, stage, dues = at.filling, stage_of(at), due_in(at)
    room, why_now = min(rooms(at, dues), key=lambda found: found[0])
    return SowingVerdict(
        sowing_id=at.sowing.id,
        age_days=at.age_days,
        stage=stage,
        fill=fills.fill if fills else None,
        ready=_ready(at),
        risk=_risk(at),
        due=dues,
        flags=tuple(_flags(at, stage)),
        reasons=tuple(reasons_for(at, stage)),
        room_days=room,
        why_now=why_now,
        value_of_look=fills.value_of_look if fills and not at.for_cutting else 0.0,
    )


def _gone(at: Case) -> SowingVerdict:
    """A sowing of which nothing is left: it asks for nothing."""
    return SowingVerdict(
        sowing_id=at.sowing.id,
        age_days=at.age_days,
        stage=Stage.OUT,
        fill=None,
        ready=None,
        risk=Risk.ROOM,
        due=(),
        flags=(),
        reasons=(reason_gone(at),),
        room_days=inf,
        why_now="nothing is left of it",
    )


def _ready(at: Case) -> Window | None:
    """The window in which it is ready: to be cut, or to leave its cell."""
    if at.for_cutting:
        return cut_window(at)
    return at.filling.ready if at.filling else None


def _risk(at: Case) -> Risk:
    """Root-bound risk; where growth isn't known, only a look tells."""
    if at.for_cutting:
        return Risk.ROOM
    if at.filling is not None:
        return at.filling.risk
    return look_risk(at.look) if at.look else Risk.UNKNOWN


def stage_of(at: Case) -> Stage:
    """Where a sowing is in its life. A look outranks the estimate, since it has set the estimate anew."""
    stand, look = at.stand, at.look
    fill = at.filling.fill.expected if at.filling else 0.0
    if at.sowing.have == 0:
        return Stage.OUT
    if stand.first is None:
        return Stage.SOWN
    if at.for_cutting:
        return _stage_of_flat(at)
    # A look at roots tells more than whether somebody ticked half up.
    if look is None and stand.half is None:
        return Stage.FIRST_UP
    if at.circling_since or fill >= BOUND_FILL.value:
        return Stage.PAST
    if at.place.kind is PlaceKind.HARDENING:
        return Stage.HARDENING
    if at.held_since or fill >= HOLDS_FILL.value:
        return Stage.READY
    if look is not None and look.score >= FEW:
        return Stage.FILLING
    if _newly_half_up(at):
        return Stage.HALF_UP
    return Stage.FILLING if fill >= FEW_FILL.value else Stage.GROWING


def _stage_of_flat(at: Case) -> Stage:
    window = cut_window(at)
    if at.spent or (window is not None and window.start <= at.today):
        return Stage.READY
    if at.stand.half is None:
        return Stage.FIRST_UP
    return Stage.HALF_UP if _newly_half_up(at) else Stage.GROWING


def _newly_half_up(at: Case) -> bool:
    half = at.stand.half
    return half is not None and (at.today - half).days < HALF_UP_LASTS


def _flags(at: Case, stage: Stage) -> Iterator[str]:
    fills = at.filling
    if stage is Stage.SOWN:
        if at.up.slow_end is not None and at.today > at.up.slow_end:
            yield "late up"
        if at.up.standing is Standing.NEVER:
            yield "never up here"
        if at.too_warm:
            yield "too warm"
    if not at.for_cutting:
        if stage is Stage.PAST:
            yield "past window"
        elif fills is not None and fills.fill.expected >= FULL_FILL.value:
            yield "crowding"
        if (risk := _risk(at)) in {Risk.WATCH, Risk.ACT}:
            yield f"root-bound: {risk}"
    if at.sowing.treated is Treated.YES:
        yield "treated seed"


def _tray_flags(tray: Tray, today: date, zone: str, seen: Today) -> Iterator[str]:
    if hands_off(tray, today, zone):
        yield HANDS_OFF
    if tray.calls:
        yield CALL
    if sick_lately(tray, today):
        yield SICK
    days = days_unseen(tray, today)
    if tray.standing and seen is Today.UNSEEN and days >= UNSEEN_DAYS:
        yield f"unseen {days} d"
