"""The verdict on a tray: stage, fill, what is due, risk and rank, each with its reasons."""

from collections.abc import Iterator, Mapping
from datetime import date

from model.days import say_day, short_day
from model.facts import Container, Crop, Place, PlaceKind, Sowing, Tray, Treated
from model.rules.coming_up import coming_up
from model.rules.due import Case, due_in
from model.rules.filling import ACT_CHANCE, CIRCLING, LOOK_AHEAD_DAYS, WATCH_CHANCE, filling
from model.rules.rank import rooms
from model.rules.verdict import Due, Knows, Reason, Risk, SowingVerdict, Stage, Task, Today, Verdict, Window
from model.rules.water import water_note
from model.science.emergence import Standing
from model.science.root_fill import BOUND_FILL, FEW_FILL, FULL_FILL, HOLDS_FILL

HALF_UP_LASTS = 3
"""Days for which a tray is called half up before it is growing on [d]. Common practice, no source."""
UNSEEN_DAYS = 2
"""Days without anyone looking from which a tray is flagged [d]. Common practice, no source."""
LOOK_WORDS = ("none at the edge", "few", "holds together", "full", "circling")
RECORD = "the record"
OURS = "our own scale"


def judge(
    tray: Tray,
    crops: Mapping[str, Crop],
    places: Mapping[int, Place],
    containers: Mapping[int, Container],
    today: date,
) -> Verdict:
    """What the rules make of a tray on a day."""
    found = [_judge_sowing(case(sowing, tray, crops, places, containers, today)) for sowing in tray.sowings]
    living = [v for v, sowing in zip(found, tray.sowings, strict=True) if sowing.have > 0] or found
    leading = min(living, key=lambda verdict: verdict.room_days)
    water = water_note(tray, today)
    flags = dict.fromkeys(flag for verdict in living for flag in verdict.flags)
    return Verdict(
        tray_id=tray.id,
        sowings=tuple(found),
        leading=leading,
        here_days=(today - tray.vessels[-1].since).days,
        due=_in_order([due for verdict in living for due in verdict.due], today),
        flags=(*flags, *_tray_flags(tray, today, water.today)),
        water=water,
    )


def _in_order(dues: list[Due], today: date) -> tuple[Due, ...]:
    """What is open comes first, the one that closes first before the others; then what is to come."""

    def key(due: Due) -> tuple[bool, bool, date, date]:
        open_now = due.open_on(today)
        turn = (due.window.end or date.max) if open_now else due.window.start
        return (not open_now, due.task is Task.PAST, turn, due.window.start)

    return tuple(sorted(dues, key=key))


def case(
    sowing: Sowing,
    tray: Tray,
    crops: Mapping[str, Crop],
    places: Mapping[int, Place],
    containers: Mapping[int, Container],
    today: date,
) -> Case:
    """The case that the rules look at, for one sowing of a tray."""
    crop = crops[sowing.crop]
    up = coming_up(sowing, tray, crop, places)
    return Case(
        sowing=sowing,
        tray=tray,
        crop=crop,
        place=places[tray.place_id],
        container=containers[tray.container_id],
        up=up,
        filling=filling(sowing, tray, crop, places, containers, up, today),
        today=today,
    )


def _judge_sowing(at: Case) -> SowingVerdict:
    dues = due_in(at)
    room, why_now = min(rooms(at, dues), key=lambda found: found[0])
    fills = at.filling
    return SowingVerdict(
        sowing_id=at.sowing.id,
        age_days=(at.today - at.sowing.sown_on).days,
        stage=stage_of(at),
        fill=fills.fill if fills else None,
        ready=fills.ready if fills else None,
        risk=_risk(at),
        due=dues,
        flags=tuple(_flags(at)),
        reasons=tuple(_reasons(at)),
        room_days=room,
        why_now=why_now,
    )


def _risk(at: Case) -> Risk:
    if at.for_cutting:
        return Risk.ROOM
    return at.filling.risk if at.filling else Risk.UNKNOWN


def stage_of(at: Case) -> Stage:
    """Where a sowing is in its life. A look outranks the estimate, since it has set the estimate anew."""
    sowing, fills = at.sowing, at.filling
    if sowing.have == 0:
        return Stage.OUT
    if sowing.first_up is None:
        return Stage.SOWN
    if sowing.half_up is None:
        return Stage.FIRST_UP
    if at.for_cutting:
        return Stage.READY if _cut_open(at) else Stage.GROWING
    if fills is not None and (
        fills.fill.expected >= BOUND_FILL.value or (fills.look and fills.look.score >= CIRCLING)
    ):
        return Stage.PAST
    if at.place.kind is PlaceKind.HARDENING:
        return Stage.HARDENING
    if fills is not None and fills.fill.expected >= HOLDS_FILL.value:
        return Stage.READY
    if (at.today - sowing.half_up).days < HALF_UP_LASTS:
        return Stage.HALF_UP
    if fills is not None and fills.fill.expected >= FEW_FILL.value:
        return Stage.FILLING
    return Stage.GROWING


def _cut_open(at: Case) -> bool:
    return any(due.task in {Task.CUT, Task.RETIRE} and due.open_on(at.today) for due in due_in(at))


def _flags(at: Case) -> Iterator[str]:
    sowing, fills = at.sowing, at.filling
    if sowing.first_up is None:
        if at.up.slow_end is not None and at.today > at.up.slow_end:
            yield "late up"
        if at.up.standing is Standing.NEVER:
            yield "never up here"
        if not at.crop.hot_mat and at.place.kind is PlaceKind.HEAT_MAT:
            yield "too warm"
    if fills is not None and not at.for_cutting and sowing.first_up is not None:
        if stage_of(at) is Stage.PAST:
            yield "past window"
        elif fills.fill.expected >= FULL_FILL.value:
            yield "crowding"
        if fills.risk in {Risk.WATCH, Risk.ACT}:
            yield f"root-bound: {fills.risk}"
    if sowing.treated is Treated.YES:
        yield "treated seed"


def _tray_flags(tray: Tray, today: date, seen: Today) -> Iterator[str]:
    if seen is Today.UNSEEN:
        last = tray.seen.day if tray.seen else tray.made_on
        if (today - last).days >= UNSEEN_DAYS:
            yield f"unseen {(today - last).days} d"


def _reasons(at: Case) -> Iterator[Reason]:
    """At most four facts behind the verdict, the deciding one first."""
    if at.sowing.first_up is None:
        yield from _reasons_up(at)
    elif at.for_cutting:
        age = (at.today - at.sowing.sown_on).days
        yield Reason(
            f"day {age}, cut {len(at.sowing.cuts)} times ({Knows.RECORD})", age, "d", RECORD, Knows.RECORD
        )
    elif at.filling is None:
        age = (at.today - at.sowing.sown_on).days
        text = f"day {age}; how fast {at.crop.name} fills a cell is not known"
        yield Reason(text, age, "d", "no figures in the crop file", Knows.RECORD)
    else:
        yield from _reasons_roots(at)


def _reasons_up(at: Case) -> Iterator[Reason]:
    up, age = at.up, (at.today - at.sowing.sown_on).days
    source = f"Harrington and Minges 1954{', ' + at.crop.emergence_from if at.crop.emergence_from else ''}"
    if up.first and up.slow_end:
        first, slow = ((day - at.sowing.sown_on).days for day in (up.first, up.slow_end))
        text = f"day {age} of {first}-{slow} to come up, now at {up.mean_c:.0f} °C ({Knows.DEFAULT})"
        yield Reason(text, age, "d", source, Knows.DEFAULT)
    elif up.standing is Standing.NEVER:
        yield Reason(
            f"{up.standing}: none came at {up.mean_c:.0f} °C", up.mean_c, "°C", source, Knows.DEFAULT
        )
    else:
        text = f"when it comes up at {up.mean_c:.0f} °C is not known"
        yield Reason(text, up.mean_c, "°C", source, Knows.DEFAULT)


def _reasons_roots(at: Case) -> Iterator[Reason]:
    fills, age = at.filling, (at.today - at.sowing.sown_on).days
    if fills is None:
        return
    where = f"{at.container.name}, {at.place.name}"
    if fills.look is not None:
        text = f"look of {say_day(fills.look.day)}: {fills.look.score}, {LOOK_WORDS[fills.look.score]} ({Knows.SEEN})"
        yield Reason(text, fills.look.score, "score", fills.look.who, Knows.SEEN)
    if fills.ready is not None:
        knows = Knows.SEEN if fills.look else Knows.ASSUMED if fills.assumed_up else Knows.DEFAULT
        how = {Knows.SEEN: "from your look", Knows.ASSUMED: "half up assumed"}.get(knows, "default")
        text = f"day {age} of {_span(fills.ready, at)} to ready, {where} ({how})"
        yield Reason(text, age, "d", at.crop.growth_quality, knows)
    chance = fills.chance_bound
    by = f"roots circle about {short_day(fills.bound)}" if fills.bound else "roots won't circle here"
    text = f"{by}; chance within {LOOK_AHEAD_DAYS} d {_chance(chance)}: {fills.risk}"
    yield Reason(text, round(chance, 2), "chance", OURS, Knows.SEEN if fills.look else Knows.DEFAULT)


def _span(window: Window, at: Case) -> str:
    first = (window.start - at.sowing.sown_on).days
    return f"{first}-{(window.end - at.sowing.sown_on).days}" if window.end else f"{first} on"


def _chance(chance: float) -> str:
    """A chance in words that promise no more than is known."""
    if chance < WATCH_CHANCE:
        return "small"
    if chance >= ACT_CHANCE:
        return "more than even"
    return "real"
