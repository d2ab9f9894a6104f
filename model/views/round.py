"""The round of a day: every standing tray judged, in rank order, place by place."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from model.crops import load_crops, unknown_crop
from model.days import ago, say_window
from model.facts import ActKind, Container, Crop, Place, Tray
from model.labels import letter_of
from model.rules.readiness import judge
from model.rules.verdict import Due, Task, Today, Verdict
from model.store import reading
from model.store.database import Rows, Store
from model.views.lines import PlaceLine, RoundView, TrayLine

SHORT = {
    Task.FIRST_UP: "first up",
    Task.HALF_UP: "half up",
    Task.OFF_MAT: "off the mat",
    Task.LOOK: "look underneath",
    Task.HARDEN: "harden",
}
"""Words of the due column where the full words are too long."""

DUE_WIDTH = 18
WHY_LINES = 4


@dataclass(frozen=True, slots=True)
class Grounds:
    """What every judgement stands on: the farm's places and containers, and the crop file."""

    places: Mapping[int, Place]
    containers: Mapping[int, Container]
    crops: Mapping[str, Crop]


def grounds(rows: Rows, trays: Iterable[Tray]) -> Grounds:
    """The grounds for judging some trays; a crop of the grower's own has no figures."""
    known = load_crops()
    keys = {sowing.crop for tray in trays for sowing in tray.sowings}
    return Grounds(
        places={place.id: place for place in reading.places(rows)},
        containers={container.id: container for container in reading.containers(rows)},
        crops={key: known.get(key) or unknown_crop(key) for key in keys},
    )


def read_round(store: Store, today: date) -> RoundView:
    """The whole round of one day."""
    with store.reading() as rows:
        trays = reading.standing_trays(rows)
        on = grounds(rows, trays)
        farm = reading.settings(rows).get("farm", "")
        acts = reading.acts_on(rows, today)
        dead = reading.dead_entries(rows)
    lines = ranked([line_of(tray, on, today) for tray in trays])
    places = place_lines(on.places.values(), lines)
    live = [act for act in acts if act.entry_id not in dead]
    closed = next((act.text or "" for act in reversed(live) if act.kind is ActKind.ROUND_CLOSED), "")
    stood = [act.tray_id for act in live if act.tray_id is not None]
    return RoundView(today, farm, places, lines, _resume(places, lines, stood), closed)


def reread(store: Store, view: RoundView, tray_ids: Sequence[int]) -> RoundView:
    """The round after an entry: only the trays it touched are judged anew."""
    with store.reading() as rows:
        trays = reading.trays(rows, tray_ids)
        on = grounds(rows, trays.values())
    fresh = [line_of(tray, on, view.on) for tray in trays.values() if tray.standing]
    touched = set(tray_ids)
    lines = ranked([*(line for line in view.lines if line.tray_id not in touched), *fresh])
    return replace(view, lines=lines, places=place_lines(on.places.values(), lines), closed="")


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


def _resume(places: Sequence[PlaceLine], lines: Sequence[TrayLine], stood: Sequence[int]) -> int | None:
    """Where the round was left off: the place of the day's last act, or the next one with an unseen tray."""
    peopled = [place for place in places if place.trays] or list(places)
    if not peopled:
        return None
    place_of = {line.tray_id: line.place_id for line in lines}
    last = next(
        (place_of[tray_id] for tray_id in reversed(stood) if tray_id in place_of), peopled[0].place_id
    )
    start = next((i for i, place in enumerate(peopled) if place.place_id == last), 0)
    around = peopled[start:] + peopled[:start]
    return next((place.place_id for place in around if place.unseen), last)


def line_of(tray: Tray, on: Grounds, today: date) -> TrayLine:
    """One tray as one line."""
    verdict = judge(tray, on.crops, on.places, on.containers, today)
    leading = verdict.leading
    sowings = {sowing.id: sowing for sowing in tray.sowings}
    oldest = min(tray.sowings, key=lambda sowing: sowing.sown_on)
    crops = list(dict.fromkeys(on.crops[sowing.crop].name for sowing in tray.sowings))
    varieties = list(dict.fromkeys(sowing.variety for sowing in tray.sowings))
    place, now = on.places[tray.place_id], _first_open(verdict.due, today)
    return TrayLine(
        tray_id=tray.id,
        number=tray.number,
        letter=letter_of(tray.number),
        place_id=place.id,
        place=place.name,
        bench_order=tray.stays[-1].since.toordinal() * 10_000 + tray.number,
        crop=" / ".join(crops),
        variety=" / ".join(varieties),
        container=on.containers[tray.container_id].name,
        sown_on=oldest.sown_on,
        age_days=(today - oldest.sown_on).days,
        here_days=verdict.here_days,
        plants=tray.have,
        stage=leading.stage,
        fill=leading.fill,
        ready=(leading.ready.start, leading.ready.end) if leading.ready else None,
        risk=leading.risk,
        due=verdict.due,
        due_words=due_words(verdict.due[0], today) if verdict.due else "",
        due_now=now is not None,
        water=verdict.water,
        water_words=_water_words(verdict, today),
        seen=verdict.water.today,
        flags=verdict.flags,
        rank=0,
        room_days=leading.room_days,
        why_now=leading.why_now,
        why=_why(verdict, sowings[leading.sowing_id].variety if len(sowings) > 1 else ""),
    )


def _first_open(dues: Sequence[Due], today: date) -> Due | None:
    return next((due for due in dues if due.open_on(today) and due.task is not Task.PAST), None)


def due_words(due: Due, today: date) -> str:
    """What is due, as a window in words that fit the column."""
    what = SHORT.get(due.task, due.task.value)
    start, end = due.window.start, due.window.end
    full = f"{what} {say_window(start, end, today)}"
    if len(full) <= DUE_WIDTH:
        return full
    short = f"{what} now" if due.open_on(today) else f"{what} {say_window(start, start, today)}"
    return short if len(short) <= DUE_WIDTH else what


def _water_words(verdict: Verdict, today: date) -> str:
    note = verdict.water
    if note.today is Today.LEFT:
        return "left"
    return ago(note.last_on, today) if note.last_on else "never"


def _why(verdict: Verdict, variety: str) -> tuple[str, ...]:
    """At most four lines: the facts that decide, then the water."""
    reasons = [reason.text for reason in verdict.leading.reasons[: WHY_LINES - 1]]
    if variety and reasons:
        reasons[0] = f"{variety}: {reasons[0]}"
    return (*reasons, verdict.water.text)
