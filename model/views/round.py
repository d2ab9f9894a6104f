"""The round of a day: every standing tray judged, in rank order, place by place."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from model.asof import standing_on
from model.days import ago, say_day, say_window, short_day
from model.facts import ActKind, Place, Sowing, Tray
from model.labels import letter_of
from model.rules.careful import careful
from model.rules.due import TENDER, TENDER_NIGHT_C, for_cutting
from model.rules.grounds import Grounds
from model.rules.outlook import Outlooks
from model.rules.readiness import judge
from model.rules.verdict import Due, Stage, Task, Thirst, Today, Verdict
from model.store import reading
from model.store.database import Rows, Store
from model.store.set_aside import aside
from model.views.grounds import grounds
from model.views.lines import PlaceLine, RoundView, TrayLine
from model.views.outlook import kept_outlooks
from model.views.water_words import with_thirst

WORDS = {
    Task.FIRST_UP: ("first up", "up"),
    Task.HALF_UP: ("half up", "half"),
    Task.OFF_MAT: ("off the mat", "off mat"),
    Task.LOOK: ("look underneath", "look"),
    Task.POT_UP: ("pot up", "pot"),
    Task.HARDEN: ("start hardening", "harden"),
    Task.SET_OUT: ("set out", "out"),
    Task.PAST: ("past window", "past"),
}
"""Words of the due column, long and short; what isn't named here goes by its own word."""

Thirsts = Mapping[int, Thirst]
"""What is reckoned of the water, by tray."""

DUE_WIDTH = 18
BAR_WIDTH = 13
"""Characters of the shortest bar."""
WHY_LINES = 4


def read_round(
    store: Store, today: date, outlooks: Outlooks | None = None, thirsts: Thirsts | None = None
) -> RoundView:
    """The whole round of one day, on the outlooks that were reckoned last unless others are given."""
    with store.reading() as rows:
        return _whole(rows, today, kept_outlooks(rows) if outlooks is None else outlooks, thirsts or {})


def _whole(rows: Rows, today: date, outlooks: Outlooks, thirsts: Thirsts) -> RoundView:
    trays = standing_on(rows, today)
    on = grounds(rows, trays, outlooks)
    farm = reading.settings(rows).get("farm", "")
    lines = ranked([_thirsting(line_of(tray, on, today), thirsts) for tray in trays])
    return _laid_out(rows, RoundView(today, farm, (), lines, None, ""), on)


def _thirsting(line: TrayLine, thirsts: Thirsts) -> TrayLine:
    return with_thirst(line, thirsts[line.tray_id]) if line.tray_id in thirsts else line


def newest_entry(store: Store) -> int:
    """Id of the newest entry on record, whoever made it."""
    with store.reading() as rows:
        return reading.last_entry(rows)


def reread(
    store: Store,
    view: RoundView,
    tray_ids: Sequence[int],
    outlooks: Outlooks | None = None,
    thirsts: Thirsts | None = None,
) -> RoundView:
    """The round after an entry: only the trays it touched are judged anew; all where it touched none, a reading say."""
    with store.reading() as rows:
        kept = kept_outlooks(rows) if outlooks is None else outlooks
        if not tray_ids or reading.last_day(rows) > view.on:
            return _whole(rows, view.on, kept, thirsts or {})
        trays = reading.trays(rows, tray_ids)
        on = grounds(rows, trays.values(), kept)
        fresh = [
            _thirsting(line_of(tray, on, view.on), thirsts or {}) for tray in trays.values() if tray.standing
        ]
        touched = set(tray_ids)
        lines = ranked([*(line for line in view.lines if line.tray_id not in touched), *fresh])
        return _laid_out(rows, replace(view, lines=lines), on)


def _laid_out(rows: Rows, view: RoundView, on: Grounds) -> RoundView:
    """The round with its places, where it was left off, and whether it is closed.

    A round that was closed is open again once something is entered at a tray that day.
    """
    places = place_lines(on.places.values(), view.lines)
    dead = reading.dead_entries(rows)
    last = reading.last_act(rows, view.on, dead)
    closed = last[1] if last and last[0] is ActKind.ROUND_CLOSED else ""
    # Two laptops may each have closed a part of it.
    whole = closed and not any(place.unseen for place in places)
    return replace(
        view,
        last_entry=reading.last_entry(rows),
        places=places,
        resume_place_id=_resume(places, view.lines, reading.last_stood_at(rows, view.on, dead)),
        closed="complete" if whole else closed,
        clashes=len(aside(rows).open),
    )


def ranked(lines: Iterable[TrayLine]) -> tuple[TrayLine, ...]:
    """Worst first: the least room, then the most plants, then the lowest number."""
    in_order = sorted(lines, key=lambda line: (line.room_days, -line.plants, line.number))
    return tuple(
        line if line.rank == i else replace(line, rank=i) for i, line in enumerate(in_order, start=1)
    )


def place_lines(places: Iterable[Place], lines: Sequence[TrayLine]) -> tuple[PlaceLine, ...]:
    """The places in walking order with what stands and what is unseen at each."""
    trays: dict[int, int] = {}
    unseen: dict[int, int] = {}
    for line in lines:
        trays[line.place_id] = trays.get(line.place_id, 0) + 1
        unseen[line.place_id] = unseen.get(line.place_id, 0) + (line.seen is Today.UNSEEN)
    return tuple(
        PlaceLine(
            place.id, place.name, place.kind, place.slots, trays.get(place.id, 0), unseen.get(place.id, 0)
        )
        for place in sorted(places, key=lambda place: (place.walk, place.id))
    )


def _resume(places: Sequence[PlaceLine], lines: Sequence[TrayLine], stood_at: int | None) -> int | None:
    """Where the round was left off: the place of the last tray stood at, or the next one with an unseen tray."""
    peopled = [place for place in places if place.trays] or list(places)
    if not peopled:
        return None
    here = next((line.place_id for line in lines if line.tray_id == stood_at), peopled[0].place_id)
    start = next(i for i, place in enumerate(peopled) if place.place_id == here)
    around = peopled[start:] + peopled[:start]
    return next((place.place_id for place in around if place.unseen), here)


def line_of(tray: Tray, on: Grounds, today: date) -> TrayLine:
    """One tray as one line."""
    verdict, mind = judge(tray, on, today), careful(tray, today, on.zone)
    leading = verdict.leading
    # What is gone from a tray neither names it nor makes it older; a tray that is all gone is named by what it held.
    living = [sowing for sowing in tray.sowings if sowing.have > 0] or list(tray.sowings)
    sown_on = min(sowing.sown_on for sowing in living)
    place = on.places[tray.place_id]
    return TrayLine(
        tray_id=tray.id,
        number=tray.number,
        letter=letter_of(tray.number),
        place_id=place.id,
        place=place.name,
        bench_order=tray.stays[-1].since.toordinal() * 10_000 + tray.number,
        crop=" / ".join(dict.fromkeys(on.crops[sowing.crop].name for sowing in living)),
        variety=" / ".join(dict.fromkeys(sowing.variety for sowing in living)),
        container=on.containers[tray.container_id].name,
        sown_on=sown_on,
        age_days=(today - sown_on).days,
        here_days=verdict.here_days,
        plants=tray.have,
        stage=leading.stage,
        fill=leading.fill,
        instead=_instead(verdict, tray, on),
        ready=(leading.ready.start, leading.ready.end) if leading.ready else None,
        risk=leading.risk,
        due=verdict.due,
        **due_of(verdict.due, today),
        water=verdict.water,
        water_words=_water_words(verdict, today),
        seen=verdict.water.today,
        flags=verdict.flags,
        rank=0,
        room_days=leading.room_days,
        why_now=leading.why_now,
        why=_why(verdict, living, tray, mind),
        careful=mind,
        value_of_look=leading.value_of_look,
        least_night_c=_least_night(verdict, living, on),
        aliases=tray.aliases,
    )


def due_of(dues: Sequence[Due], today: date) -> dict[str, Any]:
    """What is due, in words and in one; whether it is due now."""
    first = dues[0] if dues else None
    return {
        "due_words": due_words(first, today) if first else "",
        "due_task": WORDS.get(first.task, (first.task.value,))[0] if first else "",
        "due_now": any(due.open_on(today) and due.task is not Task.PAST for due in dues),
    }


def _least_night(verdict: Verdict, living: Sequence[Sowing], on: Grounds) -> float | None:
    """Night below which the plants suffer, where one of them is tender and something is up."""
    up = any(found.stage not in {Stage.SOWN, Stage.OUT} for found in verdict.sowings)
    tender = any(on.crops[sowing.crop].frost_class == TENDER for sowing in living)
    return TENDER_NIGHT_C if up and tender else None


def due_words(due: Due, today: date) -> str:
    """What is due, as a window in words that fit the column: never without a day while it is still to come."""
    if due.shut:
        return "gate: WAIT"
    long, short = WORDS.get(due.task, (due.task.value, due.task.value))
    start, end = due.window.start, due.window.end
    window = say_window(start, end, today)
    tries = [f"{long} {window}", f"{short} {window}"]
    if due.open_on(today) and end is not None and end >= today:
        tries += [f"{word} now-{short_day(end)}" for word in (long, short)]
    elif not due.open_on(today):
        tries += [f"{long} from {short_day(start)}", f"{short} from {short_day(start)}"]
        tries.append(f"{short} {short_day(start)}")
    return next((words for words in tries if len(words) <= DUE_WIDTH), f"{short} now")


def _instead(verdict: Verdict, tray: Tray, on: Grounds) -> str:
    """Words for the bar's place, where there is no root fill to draw."""
    leading = verdict.leading
    sowing = next(sowing for sowing in tray.sowings if sowing.id == leading.sowing_id)
    if leading.stage in {Stage.SOWN, Stage.FIRST_UP}:
        long = f"{leading.stage}, day {leading.age_days}"
        return long if len(long) <= BAR_WIDTH else f"{leading.stage} d{leading.age_days}"
    if for_cutting(on.containers[tray.container_id], on.crops[sowing.crop]):
        return f"salad, cut {len(sowing.cuts)}" if sowing.cuts else "salad flat"
    return "not known" if leading.fill is None else ""


def _water_words(verdict: Verdict, today: date) -> str:
    note = verdict.water
    if note.today is Today.LEFT:
        return "left"
    return ago(note.last_on, today) if note.last_on else "never"


def _why(verdict: Verdict, living: Sequence[Sowing], tray: Tray, mind: Sequence[str]) -> tuple[str, ...]:
    """At most four lines: an open call, what hands have to know, the facts that decide, the water. In a shared tray
    they say of which sowing."""
    calls = [f'{call.who} called {say_day(call.day)}: "{call.text}"' for call in tray.calls[-1:]]
    first = [*calls, *mind]
    reasons = [reason.text for reason in verdict.leading.reasons[: max(1, WHY_LINES - 1 - len(first))]]
    if len(living) > 1:
        leading = next(sowing for sowing in living if sowing.id == verdict.leading.sowing_id)
        alone = [sowing.variety for sowing in living].count(leading.variety) == 1
        reasons[0] = f"{leading.variety if alone else 'sown ' + short_day(leading.sown_on)}: {reasons[0]}"
    return (*first, *reasons, verdict.water.text)[:WHY_LINES]
