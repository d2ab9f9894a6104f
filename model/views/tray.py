"""Everything about one tray: contents, places, acts in order, family, and the curve of its root fill."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from model.asof import trays_on
from model.crops import said_variety
from model.days import say_told, short_day
from model.entered import STRUCK
from model.errors import BadInput
from model.facts import Act, ActKind, Sowing, Tray
from model.labels import label
from model.rules.course import growth_of
from model.rules.due import cut_words, for_cutting
from model.rules.grounds import Grounds
from model.rules.ledger import NOT_AT_THE_TRAY, correctable, corrected
from model.rules.outlook import Outlooks
from model.rules.readiness import case, stage_of
from model.rules.reasons import FINGER_WORDS, LOOK_WORDS
from model.rules.seeding import Packet, failed, old_seed
from model.rules.sprouting import sprouting, words
from model.rules.verdict import Stage
from model.store import births, reading
from model.store.database import Rows, Store
from model.store.set_aside import KEPT, aside
from model.text import several
from model.views.course import curve_of, most_of
from model.views.curve import CurveData
from model.views.grounds import grounds
from model.views.lines import TrayLine
from model.views.outlook import kept_outlooks
from model.views.round import line_of

COMING_UP = frozenset({Stage.SOWN, Stage.FIRST_UP, Stage.HALF_UP})
"""Stages in which it is told how many cells should be up."""


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
    from_parent: bool
    """Whether what was sown is on record in the tray that the plants came from."""
    words: str
    """The counts in words: "66 of 72: 6 lost"."""
    cuts: str = ""
    """Its cuts in words, with the days between; "" before the first."""
    against_cut: str = ""
    """What speaks against cutting it today; "" for a flat that is grown to be cut."""
    old_seed: str = ""
    """Why old seed is the likely cause, where it came up far too thin; else ""."""


@dataclass(frozen=True, slots=True)
class StoryLine:
    """One act in the tray's story."""

    act_id: int
    kind: ActKind
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
    up: str
    """How many cells should be up by now, and what that says of the seed; "" once it is growing on."""
    growth: str
    """How the growth of its plants compares with its crop's default, and how that is known; "" where it isn't."""


def read_page(store: Store, tray_id: int, today: date, outlooks: Outlooks | None = None) -> TrayPage:
    """One tray, standing or gone, and what is reckoned of its water."""
    from model.views.thirst import thirst_of

    with store.reading() as rows:
        tray = trays_on(rows, [tray_id], today).get(tray_id)
        if tray is None:
            raise BadInput("That tray isn't on record.", "Find it by the number on its label.")
        on = grounds(rows, [tray], kept_outlooks(rows) if outlooks is None else outlooks)
        acts, dead = reading.acts_of(rows, [tray_id]), reading.dead_entries(rows)
        live = births.live_acts(rows, [tray_id], dead).get(tray_id, ())
        counting, doubted = corrected(live, tray.sowings), aside(rows).acts
        # What two copies are at odds about can be put right before somebody decides.
        shown = corrected([*live, *(act for act in acts if act.id in doubted)], tray.sowings)
        family = reading.trays(rows, [*tray.children, *([tray.parent_id] if tray.parent_id else [])])
        return TrayPage(
            line=thirst_of(rows, tray, on, line_of(tray, on, today), today),
            container_ml=on.containers[tray.container_id].volume_ml,
            sowings=tuple(
                _sowing_line(tray, index, _old_seed(rows, tray, sowing, on, today), on, today)
                for index, sowing in enumerate(tray.sowings)
            ),
            places=tuple((stay.since, on.places[stay.place_id].name) for stay in tray.stays),
            story=_story(
                acts, shown, dead, tray, on, today, reading.settings(rows).get("zone", "UTC"), doubted
            ),
            days_between=_days_between(counting, today),
            parent=label(family[tray.parent_id].number) if tray.parent_id in family else "",
            children=tuple(label(family[child].number) for child in tray.children if child in family),
            note=tray.note,
            ended_on=tray.ended_on,
            curve=curve_of(tray, on, today),
            up=_up_words(rows, tray, on, today),
            growth=_growth_words(tray, on),
        )


def find_tray(store: Store, number: int) -> int:
    """Id of the tray that carries a number now, else of the last one that did."""
    with store.reading() as rows:
        found = reading.trays_numbered(rows, number)
    if not found:
        raise BadInput(f"No tray {label(number)} was ever on record.", "Read the label again.")
    return next((tray.id for tray in found if tray.standing), found[0].id)


def _days_between(acts: Sequence[Act], today: date) -> int:
    days = [act.day for act in acts if act.day < today and act.kind not in NOT_AT_THE_TRAY]
    return (today - max(days)).days if days else 0


def _against_cut(tray: Tray, sowing: Sowing, on: Grounds, today: date) -> str:
    crop, container = on.crops[sowing.crop], on.containers[tray.container_id]
    if not for_cutting(container, crop):
        return f"{crop.name.capitalize()} in {container.name}s isn't grown to be cut"
    return "It was cut today already" if today in sowing.cuts else ""


def _sowing_line(tray: Tray, index: int, old: str, on: Grounds, today: date) -> SowingLine:
    sowing = tray.sowings[index]
    gone = {
        "empty": sowing.empty,
        "lost": sowing.lost,
        "potted up": sowing.potted,
        "set out": sowing.out,
        "handed over": sowing.handed,
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
        from_parent=sowing.from_parent,
        words=f"{sowing.have} of {sowing.cells}" + (f": {', '.join(parts)}" if parts else ""),
        cuts=cut_words(sowing, tray.fed.day if tray.fed else None),
        against_cut=_against_cut(tray, sowing, on, today),
        old_seed=old,
    )


def _old_seed(rows: Rows, tray: Tray, sowing: Sowing, on: Grounds, today: date) -> str:
    """Why old seed is the likely cause of a stand that failed; "" where it didn't, or nothing is known of the lot."""
    at = case(sowing, tray, on, today)
    if not sowing.lot or not failed(at.crop, sowing, at.up.slow_end, today):
        return ""
    lot = next(
        (lot for lot in reading.lots_of(rows, sowing.crop, sowing.variety) if lot.name == sowing.lot), None
    )
    return old_seed(at.crop, Packet(lot.name, lot.packed_year, lot.test), today) if lot else ""


def _story(
    acts: Sequence[Act],
    counting: Sequence[Act],
    dead: frozenset[int],
    tray: Tray,
    on: Grounds,
    today: date,
    zone: str,
    doubted: frozenset[int],
) -> tuple[StoryLine, ...]:
    """Every act up to the day shown, each with what was put right of it since, the newest first."""
    by_id = {act.id: act for act in acts}
    mended = {act.id: act for act in counting}
    places = {place.id: place.name for place in on.places.values()}
    varieties = {sowing.id: sowing.variety for sowing in tray.sowings} if len(tray.sowings) > 1 else {}
    lines = []
    for entered in acts:
        act = mended.get(entered.id, entered)
        correction = act.kind is ActKind.CORRECTED
        counts = act.entry_id not in dead if correction else act.id in mended
        together = [other for other in acts if other.entry_id == act.entry_id]
        words = _correction_words(act, by_id) if correction else _act_words(act, places, varieties)
        lines.append(
            StoryLine(
                act_id=act.id,
                kind=act.kind,
                day=act.day,
                who=act.who,
                words=words
                + _was(entered, act)
                + _told(act, zone)
                + (", not counted (!)" if act.id in doubted and counts else ""),
                counts=counts,
                can_correct=correctable(act, together) if counts else frozenset(),
            )
        )
    shown = [line for line in lines if line.day <= today]
    return tuple(sorted(shown, key=lambda line: (line.day, line.act_id), reverse=True))


def _told(act: Act, zone: str) -> str:
    """The time that was told with an act that was entered from paper: " at 7:10"."""
    return f" at {say_told(act.told_at, act.day, zone)}" if act.told_at is not None else ""


def _was(entered: Act, act: Act) -> str:
    """What stood on record of an act before it was put right: " (was 3)"."""
    was = [] if entered.day == act.day else [short_day(entered.day)]
    if (entered.count, entered.score) != (act.count, act.score):
        before = entered.count if act.score is None else entered.score
        was.append("none" if before is None else str(before))
    return f" (was {', '.join(was)})" if was else ""


def _correction_words(act: Act, by_id: Mapping[int, Act]) -> str:
    """What was put right, of which entry: "corrected half up of 3 Apr: count 20 is 30"."""
    mended = by_id.get(act.of_act_id or 0)
    of = f"{mended.kind} of {short_day(mended.day)}: " if mended else ""
    if act.field in (STRUCK, KEPT):
        return f"corrected {of}{act.field}"
    variety = act.field == "variety"
    old, new = (said_variety(text or "") if variety else text for text in (act.old, act.new))
    return f"corrected {of}{(act.field or '').replace('_', ' ')} {old or 'none'} is {new}"


def _act_words(act: Act, places: dict[int, str], varieties: dict[int, str]) -> str:
    if act.kind is ActKind.SPRAYED:
        return f"{act.kind} with {act.text or 'something'}, {act.count or 0} days"
    parts: list[str] = [act.kind.value]
    if act.kind is ActKind.RELABELLED and act.old and act.new:
        parts.append(f"{label(int(act.old))} is {label(int(act.new))}")
    if act.sowing_id in varieties:
        parts.append(varieties[act.sowing_id])
    if act.count is not None:
        parts.append(str(act.count))
    if act.score is not None:
        words = FINGER_WORDS if act.kind is ActKind.FINGER else LOOK_WORDS
        parts.append(f"{act.score}, {words[act.score]}")
    if act.place_id is not None:
        parts.append(f"to {places.get(act.place_id, '')}")
    if act.cause:
        parts.append(f"({act.cause})")
    if act.text:
        quoted = act.kind in {ActKind.NOTE, ActKind.CALLED}
        to = "to " if act.kind is ActKind.HANDED_OVER else ""
        parts.append(f'"{act.text}"' if quoted else to + act.text)
    return " ".join(parts)


def _up_words(rows: Rows, tray: Tray, on: Grounds, today: date) -> str:
    sowing = most_of(tray)
    if stage_of(case(sowing, tray, on, today)) not in COMING_UP:
        return ""
    lots = [lot for lot in reading.lots_of(rows, sowing.crop, sowing.variety) if lot.name == sowing.lot]
    tested = [(lot.tested_up or 0, lot.tested_seeds) for lot in lots if lot.tested_seeds]
    found = sprouting(sowing, tray, on, tested[0] if tested else None, today)
    return words(found, today) if found else ""


def _growth_words(tray: Tray, on: Grounds) -> str:
    sowing = most_of(tray)
    outlook = on.outlooks.get(sowing.id)
    if outlook is None or not (outlook.past or outlook.looks):
        return ""
    slow, middle, quick = growth_of(outlook)
    looks = f"{several(outlook.looks, 'look')} at these plants" if outlook.looks else ""
    past = f"yours, {several(outlook.past, 'tray')}" if outlook.past else ""
    how = "; ".join(part for part in (past, looks) if part)
    return f"grows {middle:.2f} times as fast as the default, {slow:.2f} to {quick:.2f} ({how})"
