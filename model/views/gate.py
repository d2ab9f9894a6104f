"""The gate of a day: one line for each ready crop, GO, WAIT or UNKNOWN, and what is missing."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from math import ceil

from model.asof import trays_on
from model.crops.lines import lines_of
from model.days import say_day, short_day
from model.facts import Place
from model.labels import label
from model.rules.careful import Caution, cautions
from model.rules.due import Case
from model.rules.gate import Gate, GateWord, Outdoors, gate, why_lines
from model.rules.grounds import Grounds
from model.rules.outlook import Outlooks
from model.rules.readiness import case
from model.store import reading
from model.store.database import Store
from model.text import cut
from model.units import Temperature, show_difference
from model.views.answer import MOST_WHY, Answer, AnswerLine
from model.views.grounds import grounds
from model.views.outdoors import BED_COVER, cover_of, outdoors
from model.views.outlook import or_reckoned
from model.views.ripe import Leaving, leaving, ripe_of

ORDER = {GateWord.GO: 0, GateWord.UNKNOWN: 1, GateWord.WAIT: 2}
"""What can be done today stands first, then what a reading may open."""
TONES = {GateWord.GO: "ready", GateWord.UNKNOWN: "cold", GateWord.WAIT: ""}
WHY_WIDTH = 72
"""Columns of a row of reasons on the smallest screen."""
MOST_TRAYS = 6
"""Trays that are named on a line of reasons."""
MORE = "+"
"""Behind the label of a line that is about more trays than that one."""
MOST_NAME = 21
"""Columns of crop and variety."""
MAYBE = "?"
"""Behind a soonest day that holds only if what isn't known holds too."""
ADVICE = (
    "Advice only: wind, heat of the day and rain are no condition of GO. Plant",
    "late or under cloud, never into hot wind; water within the hour before.",
    "(University of California, Santa Cruz, unit 1.4.) Bed and hands are yours.",
)


@dataclass(frozen=True, slots=True)
class TrayAtGate:
    """One tray of a crop at the gate."""

    tray_id: int
    number: int
    label: str
    place: str
    plants: int


@dataclass(frozen=True, slots=True)
class CropAtGate:
    """What the gate says of trays of one variety that are alike to it."""

    crop: str
    variety: str
    gate: Gate
    trays: tuple[TrayAtGate, ...]
    careful: tuple[Caution, ...] = ()
    """What hands have to know of them: that they looked sick, or what a label forbids."""

    @property
    def name(self) -> str:
        return f"{self.crop} {self.variety}"

    @property
    def plants(self) -> int:
        return sum(tray.plants for tray in self.trays)


@dataclass(frozen=True, slots=True)
class GateView:
    """The gate of a day."""

    on: date
    crops: tuple[CropAtGate, ...]
    soil_on: date | None
    cover: str
    """What will lie over what is set out."""
    cover_c: float
    """What it is credited with [°C]."""
    scale: Temperature


def read(store: Store, today: date, now: datetime, outlooks: Outlooks | None = None) -> GateView:
    """The gate of a day; the forecast of roots is reckoned where it isn't given."""
    known = or_reckoned(store, today, outlooks)
    with store.reading() as rows:
        found, on = leaving(rows, today, known)
        out = outdoors(rows, today, now)
        cover = cover_of(reading.settings(rows), BED_COVER)
    return GateView(
        on=today,
        crops=tuple(sorted(_crops(found, out, on, today), key=lambda c: (ORDER[c.gate.word], c.name))),
        soil_on=out.soil[-1][0] if out.soil else None,
        cover=cover.value,
        cover_c=out.cover_c,
        scale=out.scale,
    )


def gate_of(at: Case, out: Outdoors, today: date) -> Gate:
    """What the gate says of one sowing."""
    return gate(ripe_of(at), lines_of(at.crop.key), out, today)


def against(
    store: Store, tray_id: int, today: date, now: datetime, outlooks: Outlooks | None = None
) -> dict[int, str]:
    """What the gate says against setting out each sowing of a tray, by sowing; one that is GO isn't there."""
    from model.views.outlook import kept_outlooks

    with store.reading() as rows:
        trays = trays_on(rows, [tray_id], today)
        on = grounds(rows, trays.values(), kept_outlooks(rows) if outlooks is None else outlooks)
        out = outdoors(rows, today, now)
    cases = [case(sowing, tray, on, today) for tray in trays.values() for sowing in tray.sowings]
    return {at.sowing.id: words for at in cases if (words := said_against(gate_of(at, out, today)))}


def said_against(found: Gate) -> str:
    """What the gate says against setting out, as it is asked about and kept: "" for GO."""
    return "" if found.word is GateWord.GO else f"{found.word}: {'; '.join(found.lacks)}"


def _crops(found: Iterable[Leaving], out: Outdoors, on: Grounds, today: date) -> Iterable[CropAtGate]:
    """Trays of one variety for which the gate says the same word for the same reasons share a line."""
    alike: dict[
        tuple[str, str, GateWord, tuple[str, ...], tuple[Caution, ...]], list[tuple[Leaving, Gate]]
    ] = {}
    for leaf in found:
        said = gate_of(leaf.case, out, today)
        mind = tuple(cautions(leaf.tray, today, on.zone))
        key = (leaf.case.crop.name, leaf.sowing.variety, said.word, said.lacks, mind)
        alike.setdefault(key, []).append((leaf, said))
    for (crop, variety, _word, _lacks, mind), group in alike.items():
        trays = tuple(_tray(leaf, on.places) for leaf, _ in group)
        yield CropAtGate(crop, variety, group[0][1], trays, mind)


def _tray(found: Leaving, places: Mapping[int, Place]) -> TrayAtGate:
    tray = found.tray
    return TrayAtGate(tray.id, tray.number, label(tray.number), places[tray.place_id].name, found.sowing.have)


def answer(view: GateView) -> Answer:
    """The gate in lines: what may go today stands first."""
    return Answer(
        title="gate",
        answer=_answer(view),
        lines=tuple(_line(crop, view.on) for crop in view.crops),
        heading=f"{'gate':<8}{'tray':<6}{'crop, variety':<{MOST_NAME - 1}}{'plants':>6}  {'soonest':<8}what is missing",
        notes=ADVICE if view.crops else (),
    )


def _answer(view: GateView) -> tuple[str, ...]:
    if not view.crops:
        return ("Nothing stands ready to set out.", "A tray comes here once its plug holds together.")
    going = [crop for crop in view.crops if crop.gate.word is GateWord.GO]
    names = ", ".join(f"{crop.name} ({crop.plants}{_if(crop.gate)}{_mind(crop)})" for crop in going)
    first = f"GO today: {names}." if going else f"Nothing is GO today{_soonest(view)}."
    unknown = any(crop.gate.word is GateWord.UNKNOWN for crop in view.crops)
    second = "UNKNOWN until somebody reads: N takes the soil (s) and the nights ahead (f)." if unknown else ""
    return tuple(row for row in (first, second, _cover(view)) if row)


def _if(found: Gate) -> str:
    """What has to be done for GO to hold."""
    return f", {found.given}" if found.given else ""


def _mind(crop: CropAtGate) -> str:
    """What hands have to know, in brackets behind what may go."""
    return "".join(f", {caution.words}" for caution in crop.careful)


def _cover(view: GateView) -> str:
    """What a cover is counted for, never without what it may be worth on the night that matters."""
    if not view.cover_c:
        return ""
    counts = show_difference(view.cover_c, view.scale)
    return f"{view.cover.capitalize()} counts for {counts}; on a clear, still night it may give nothing."


def _soonest(view: GateView) -> str:
    days = [(crop.gate.soonest, bool(crop.gate.unknown), crop) for crop in view.crops if crop.gate.soonest]
    if not days:
        return ""
    day, maybe, crop = min(days, key=lambda found: (found[0], found[1], found[2].name))
    known = f", provisionally: {', '.join(crop.gate.unknown)} not known" if maybe else ""
    return f"; {crop.name} may be on {say_day(day)}{known}"


def _line(crop: CropAtGate, today: date) -> AnswerLine:
    # What a label forbids is a condition of the gate too: it is told once, in few words here, whole among the reasons.
    mind = [caution.words for caution in crop.careful]
    lacks = "; ".join(words for words in crop.gate.lacks if words not in mind)
    soonest = {GateWord.GO: "today", GateWord.UNKNOWN: "unknown"}.get(crop.gate.word)
    if soonest is None:
        soonest = (
            f"{short_day(crop.gate.soonest)}{MAYBE if crop.gate.unknown else ''}"
            if crop.gate.soonest
            else "unknown"
        )
    tray = f"{crop.trays[0].label}{MORE if len(crop.trays) > 1 else ''}"
    name = cut(crop.name, MOST_NAME)
    head = f"{crop.gate.word:<8}{tray:<6}{name:<{MOST_NAME + 1}}{crop.plants:>4}  {soonest:<8}"
    labels = ", ".join(f"{tray.label} {tray.place}" for tray in crop.trays[:MOST_TRAYS])
    more = f" and {len(crop.trays) - MOST_TRAYS} more" if len(crop.trays) > MOST_TRAYS else ""
    missing = lacks if crop.gate.lacks else f"nothing{_if(crop.gate)}"
    return AnswerLine(
        text=head + "; ".join(words for words in (*(one.short for one in crop.careful), missing) if words),
        why=_why(crop.gate, [f"{labels}{more}", *(words for words in mind if words not in crop.gate.lacks)]),
        tone=TONES[crop.gate.word],
        key=crop.trays[0].tray_id,
        number=crop.trays[0].number,
    )


def _why(found: Gate, trays: Sequence[str]) -> tuple[str, ...]:
    """Which trays and what hands have to know of them, then condition after condition, those that don't hold first;
    none goes over the end of a row."""
    whys = list(why_lines(found))
    short = sum(condition.holds is not True for condition in found.conditions)
    maybe = [f"{short_day(found.soonest)} is provisional"] if found.soonest and found.unknown else []
    held = [f"holds: {why}" for why in whys[short : short + 1]] + whys[short + 1 :]
    rows: list[str] = []
    for words in [*trays, *whys[:short], *maybe, *held]:
        full = sum(ceil(len(row) / WHY_WIDTH) for row in [*rows, words]) > MOST_WHY
        if rows and (full or len(rows[-1]) + len("; ") + len(words) <= WHY_WIDTH):
            rows[-1] += f"; {words}"
        else:
            rows.append(words)
    return tuple(rows)
