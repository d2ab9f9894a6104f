"""Everything about one tray: contents, places, acts in order, family, and the curve of its root fill."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from model.days import short_day
from model.errors import BadInput
from model.facts import Act, ActKind, Tray
from model.labels import label
from model.rules.course import growth_of
from model.rules.grounds import Grounds
from model.rules.ledger import NOT_AT_THE_TRAY, STRUCK, correctable
from model.rules.outlook import Outlooks
from model.rules.reasons import LOOK_WORDS
from model.store import reading
from model.store.database import Store
from model.views.asof import tray_on
from model.views.course import curve_of
from model.views.curve import CurveData
from model.views.grounds import grounds
from model.views.lines import TrayLine
from model.views.outlook import kept_outlooks
from model.views.round import line_of


@dataclass(frozen=True, slots=True)
class SowingLine:
    """One sowing of the tray, with its counts."""

    sowing_id: int
    crop: str
    variety: str
    lot: str
    sown_on: date
    cells: int
    seeds_per_cell: int
    have: int
    growing: int
    """Cells that hold a plant or were counted empty: a plant may still come up there."""
    up: bool
    half: bool
    words: str
    """The counts in words: "66 of 72: 6 lost"."""


@dataclass(frozen=True, slots=True)
class StoryLine:
    """One act in the tray's story."""

    act_id: int
    day: date
    who: str
    words: str
    counts: bool
    """False where the act was taken back or struck; it stays on record all the same."""
    can_correct: frozenset[str]
    """What of it can be put right: its day, count or score, or that it is struck."""


@dataclass(frozen=True, slots=True)
class TrayPage:
    """The whole of one tray."""

    line: TrayLine
    container_ml: float
    sowings: tuple[SowingLine, ...]
    places: tuple[tuple[date, str], ...]
    story: tuple[StoryLine, ...]
    """The newest first."""
    days_between: int
    """Days since somebody last stood at the tray before today."""
    parent: str
    children: tuple[str, ...]
    note: str
    ended_on: date | None
    curve: CurveData | None
    growth: str
    """How the growth of its plants compares with its crop's default, and how that is known; "" where it isn't."""


def read_page(store: Store, tray_id: int, today: date, outlooks: Outlooks | None = None) -> TrayPage:
    """One tray, standing or gone."""
    with store.reading() as rows:
        tray = tray_on(rows, tray_id, today)
        if tray is None:
            raise BadInput("That tray isn't on record.", "Find it by the number on its label.")
        on = grounds(rows, [tray], kept_outlooks(rows) if outlooks is None else outlooks)
        acts, dead = reading.acts_of(rows, [tray_id]), reading.dead_entries(rows)
        family = reading.trays(rows, [*tray.children, *([tray.parent_id] if tray.parent_id else [])])
        return TrayPage(
            line=line_of(tray, on, today),
            container_ml=on.containers[tray.container_id].volume_ml,
            sowings=tuple(_sowing_line(tray, index) for index in range(len(tray.sowings))),
            places=tuple((stay.since, on.places[stay.place_id].name) for stay in tray.stays),
            story=_story(acts, dead, tray, on),
            days_between=_days_between(acts, dead, today),
            parent=label(family[tray.parent_id].number) if tray.parent_id in family else "",
            children=tuple(label(family[child].number) for child in tray.children if child in family),
            note=tray.note,
            ended_on=tray.ended_on,
            curve=curve_of(tray, on, today),
            growth=_growth_words(tray, on),
        )


def find_tray(store: Store, number: int) -> int:
    """Id of the tray that carries a number now, else of the last one that did."""
    with store.reading() as rows:
        found = reading.trays_numbered(rows, number)
    if not found:
        raise BadInput(f"No tray {label(number)} was ever on record.", "Read the label again.")
    return next((tray.id for tray in found if tray.standing), found[0].id)


def _days_between(acts: Sequence[Act], dead: frozenset[int], today: date) -> int:
    days = [
        act.day
        for act in acts
        if act.day < today and act.entry_id not in dead and act.kind not in NOT_AT_THE_TRAY
    ]
    return (today - max(days)).days if days else 0


def _sowing_line(tray: Tray, index: int) -> SowingLine:
    sowing = tray.sowings[index]
    gone = {
        "empty": sowing.empty,
        "lost": sowing.lost,
        "potted up": sowing.potted,
        "set out": sowing.out,
        "retired": sowing.retired,
    }
    parts = [f"{count} {word}" for word, count in gone.items() if count]
    return SowingLine(
        sowing_id=sowing.id,
        crop=sowing.crop,
        variety=sowing.variety,
        lot=sowing.lot,
        sown_on=sowing.sown_on,
        cells=sowing.cells,
        seeds_per_cell=sowing.seeds_per_cell,
        have=sowing.have,
        growing=sowing.have + sowing.empty,
        up=sowing.first_up is not None,
        half=sowing.half_up is not None,
        words=f"{sowing.have} of {sowing.cells}" + (f": {', '.join(parts)}" if parts else ""),
    )


def _story(acts: Sequence[Act], dead: frozenset[int], tray: Tray, on: Grounds) -> tuple[StoryLine, ...]:
    by_id = {act.id: act for act in acts}
    struck = {act.of_act_id for act in acts if act.field == STRUCK and act.entry_id not in dead}
    places = {place.id: place.name for place in on.places.values()}
    varieties = {sowing.id: sowing.variety for sowing in tray.sowings} if len(tray.sowings) > 1 else {}
    lines = [
        StoryLine(
            act_id=act.id,
            day=act.day,
            who=act.who,
            words=_correction_words(act, by_id)
            if act.kind is ActKind.CORRECTED
            else _act_words(act, places, varieties),
            counts=(counts := act.entry_id not in dead and act.id not in struck),
            can_correct=correctable(act, [other for other in acts if other.entry_id == act.entry_id])
            if counts
            else frozenset(),
        )
        for act in acts
    ]
    return tuple(reversed(lines))


def _correction_words(act: Act, by_id: Mapping[int, Act]) -> str:
    """What was put right, of which entry: "corrected half up of 3 Apr: count 20 is 30"."""
    mended = by_id.get(act.of_act_id or 0)
    of = f"{mended.kind} of {short_day(mended.day)}: " if mended else ""
    field = (act.field or "").replace("_", " ")
    return f"corrected {of}{field if act.field == STRUCK else f'{field} {act.old} is {act.new}'}"


def _act_words(act: Act, places: dict[int, str], varieties: dict[int, str]) -> str:
    parts: list[str] = [act.kind.value]
    if act.sowing_id in varieties:
        parts.append(varieties[act.sowing_id])
    if act.count is not None:
        parts.append(str(act.count))
    if act.score is not None:
        parts.append(f"{act.score}, {LOOK_WORDS[act.score]}")
    if act.place_id is not None:
        parts.append(f"to {places.get(act.place_id, '')}")
    if act.cause:
        parts.append(f"({act.cause})")
    if act.text:
        parts.append(f'"{act.text}"' if act.kind is ActKind.NOTE else act.text)
    return " ".join(parts)


def _growth_words(tray: Tray, on: Grounds) -> str:
    sowing = max(tray.sowings, key=lambda sowing: sowing.have)
    outlook = on.outlooks.get(sowing.id)
    if outlook is None or not (outlook.past or outlook.looks):
        return ""
    slow, middle, quick = growth_of(outlook)
    looks = f"{outlook.looks} look{'s' if outlook.looks != 1 else ''} here" if outlook.looks else ""
    past = f"yours, {outlook.past} tray{'s' if outlook.past != 1 else ''}" if outlook.past else ""
    how = "; ".join(part for part in (past, looks) if part)
    return f"grows {middle:.2f} times as fast as the default, {slow:.2f} to {quick:.2f} ({how})"
