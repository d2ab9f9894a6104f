"""Have, promised, short: who is owed which plants by when, and what a hand-over would come from."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from model.ahead import Promise
from model.asof import standing_on
from model.crops import load_crops, unknown_crop, variety_name
from model.days import say_day, short_day
from model.facts import Container, Place, PlaceKind, Sowing, Tray
from model.labels import label
from model.rules.careful import apart_words, withheld_on, withheld_words
from model.rules.due import for_cutting
from model.rules.outlook import Outlooks
from model.rules.owing import Batch, Owed, SowAgain, covers, fill, fits, quarantines, sow_again, to_give
from model.store import reading, reading_owed
from model.store.database import Store
from model.text import fit
from model.views.answer import Answer, AnswerLine
from model.views.outlook import or_reckoned
from model.views.round import read_round

SPARES = "Hold back 10 to 15 % as spares (common practice, no source). Hand out hardened plants only."
SALAD = "is a salad flat: its rows are cut, they aren't plants to give."
OTHER = "Take one of those that were named."
"""What to do about a tray that isn't for this."""
LAW = "Before plants are sold or passed on check local rules: licences, plant passports."
APART = "Quarantine, salad flats and what isn't up are counted nowhere here."


@dataclass(frozen=True, slots=True)
class Balance:
    """One crop and variety: what there is and what is promised."""

    crop: str
    variety: str
    """Empty for promises of any variety."""
    have: int
    promised: int
    """Still to be given."""
    short: int


@dataclass(frozen=True, slots=True)
class PromiseLine:
    """One promise."""

    owed: Owed
    what: str
    container: str
    again: SowAgain | None
    """When to sow what is short; None where nothing is, or no weeks are published."""


@dataclass(frozen=True, slots=True)
class Kept:
    """A tray of which nothing can be handed over."""

    tray_id: int
    number: int
    why: str
    cure: str
    forbidden: bool
    """Whether it goes to nobody; else it keeps no promise, and whoever wants it as it is can have it."""


@dataclass(frozen=True, slots=True)
class PromisesView:
    """Everything promised, by the day it is due."""

    on: date
    lines: tuple[PromiseLine, ...]
    balances: tuple[Balance, ...]
    batches: tuple[Batch, ...]
    """What can be given now."""
    kept: tuple[Kept, ...] = ()
    """Trays of which nothing is handed over to anybody, and why."""


def read(store: Store, today: date, now: datetime, outlooks: Outlooks | None = None) -> PromisesView:
    """What is owed on a day. The instant doesn't matter here."""
    # What holds together, and from which day, is the round's own word.
    ready = {
        line.tray_id: line.ready[0]
        for line in read_round(store, today, or_reckoned(store, today, outlooks)).lines
        if line.ready and line.ready[0] > today
    }
    with store.reading() as rows:
        places = {place.id: place for place in reading.places(rows)}
        boxes = {container.id: container for container in reading.containers(rows)}
        trays = standing_on(rows, today)
        apart = quarantines({place.id: place.kind for place in places.values()})
        salad = {
            sowing.id for tray in trays for sowing in tray.sowings if _cut(sowing, boxes[tray.container_id])
        }
        batches = to_give(trays, apart, today, ready, salad)
        owed = fill(reading_owed.promises(rows), reading_owed.given(rows), batches)
    return PromisesView(
        on=today,
        lines=tuple(
            PromiseLine(
                owed=one,
                what=name_of(one.promise),
                container=boxes[one.promise.container_id].name if one.promise.container_id in boxes else "",
                again=_again(one) if one.short else None,
            )
            for one in owed
        ),
        balances=tuple(_balances(owed, batches)),
        batches=batches,
        kept=tuple(
            kept for tray in trays if (kept := _kept(tray, places[tray.place_id], salad, today)) is not None
        ),
    )


def _cut(sowing: Sowing, box: Container) -> bool:
    """Whether a sowing is a salad flat: its rows are cut, they are no plants for anybody."""
    return for_cutting(box, load_crops().get(sowing.crop) or unknown_crop(sowing.crop))


def _kept(tray: Tray, place: Place, salad: Collection[int], today: date) -> Kept | None:
    """Why nothing of a tray can be given, what forbids it first; None where something can."""
    living = [sowing for sowing in tray.sowings if sowing.have]
    if place.kind is PlaceKind.QUARANTINE:
        return Kept(tray.id, tray.number, *apart_words(tray, place, "handed to nobody"), forbidden=True)
    if spell := withheld_on(tray, today):
        return Kept(tray.id, tray.number, *withheld_words(tray, spell), forbidden=True)
    if all(sowing.id in salad for sowing in living):
        return Kept(tray.id, tray.number, f"Tray {label(tray.number)} {SALAD}", OTHER, forbidden=False)
    if all(sowing.first_up is None for sowing in living):
        return Kept(tray.id, tray.number, f"Tray {label(tray.number)} isn't up yet.", OTHER, forbidden=False)
    return None


def name_of(promise: Promise) -> str:
    """Crop and variety of a promise; "any" where the variety doesn't matter."""
    return variety_name(promise.crop, promise.variety or "any")


def _again(one: Owed) -> SowAgain | None:
    crop = load_crops().get(one.promise.crop) or unknown_crop(one.promise.crop)
    return sow_again(crop, one.promise.due_on)


def _balances(owed: Sequence[Owed], batches: Sequence[Batch]) -> Iterator[Balance]:
    named = dict.fromkeys((one.promise.crop, one.promise.variety) for one in owed)
    for crop, variety in named:
        mine = [one for one in owed if (one.promise.crop, one.promise.variety) == (crop, variety)]
        have = sum(batch.plants for batch in batches if any(covers(batch, one.promise) for one in mine))
        yield Balance(crop, variety, have, sum(one.left for one in mine), sum(one.short for one in mine))


def answer(view: PromisesView) -> Answer:
    """What is short stands first; then every promise by the day it is due."""
    return Answer(
        title="promises",
        answer=tuple(_answer(view)),
        lines=tuple(_line(line, view) for line in view.lines),
        heading=f"{'due':<12}{'to':<20}{'what':<22}{'promised':>8}{'given':>7}{'short':>7}",
        notes=(SPARES, APART),
    )


def _answer(view: PromisesView) -> Iterator[str]:
    if not view.lines:
        yield "Nothing is promised: a puts down a promise."
        yield LAW
        return
    short = [balance for balance in view.balances if balance.short]
    for balance in sorted(short, key=lambda balance: -balance.short)[:2]:
        name = variety_name(balance.crop, balance.variety or "any")
        yield f"{name}: have {balance.have}, promised {balance.promised}, short {balance.short}."
    if not short:
        done = not any(line.owed.left for line in view.lines)
        yield "All that was promised is given." if done else "There is enough for everything promised."
    coming = [line.owed for line in view.lines if line.owed.left]
    if coming:
        day = coming[0].promise.due_on
        count = sum(one.promise.due_on == day for one in coming)
        late = " (gone by)" if day < view.on else ""
        yield f"Next: {say_day(day)}{late}, {count} to collect. {LAW}"


def _line(line: PromiseLine, view: PromisesView) -> AnswerLine:
    one, promise = line.owed, line.owed.promise
    short = str(one.short) if one.short else "-"
    text = (
        f"{_due(promise.due_on, view.on):<12}{fit(promise.to_whom, 19)} {fit(line.what, 21)} "
        f"{promise.plants:>8}{one.given or '-':>7}{short:>7}"
    )
    tone = "crowding" if one.short else "quiet" if not one.left else ""
    return AnswerLine(text, tuple(_why(line, view))[:4], tone, promise.id)


def _due(day: date, today: date) -> str:
    """The day; with its year where that isn't this one."""
    return short_day(day) if day.year == today.year else f"{short_day(day)} {day.year}"


def _why(line: PromiseLine, view: PromisesView) -> Iterator[str]:
    one = line.owed
    due = one.promise.due_on
    mine = [batch for batch in view.batches if covers(batch, one.promise)]
    late = [batch for batch in view.batches if fits(batch, one.promise) and not batch.by(due)]
    where = f" in {line.container}" if line.container else ""
    note = f"; {one.promise.note}" if one.promise.note else ""
    if not one.left:
        yield f"{say_day(due, view.on)}: all {one.promise.plants} {line.what}{where} given{note}."
        return
    count = f"{one.left} of {one.promise.plants}" if one.given else f"{one.left}"
    yield f"{say_day(due, view.on)}: {count} {line.what}{where} still to be given{note}."
    if mine:
        trays = ", ".join(f"{label(batch.number)} {batch.plants}" for batch in mine[:6])
        yield f"There is: {trays}{' and more' if len(mine) > 6 else ''}. Earlier promises take theirs first."
    if late:
        trays = ", ".join(f"{label(b.number)} {_from(b)}" for b in late[:4])
        yield f"Not by then: {trays}{' and more' if len(late) > 4 else ''}."
    if one.short and line.again:
        yield again_words(line.again, one.short, view.on)


def _from(batch: Batch) -> str:
    if batch.withheld_until and batch.withheld_until >= (batch.ready_on or batch.withheld_until):
        return f"withheld by a label until {short_day(batch.withheld_until)}"
    return f"ready about {short_day(batch.ready_on)}" if batch.ready_on else ""


def again_words(again: SowAgain, short: int, today: date) -> str:
    """Whether sowing what is short still helps."""
    if again.last < today:
        return (
            f"Too late to sow {short} more: {say_day(again.last)} was the last useful day (published weeks)."
        )
    surely = f"; to be sure of it by {say_day(again.surely)}" if again.surely >= today else ""
    return f"Sow {short} more by {say_day(again.last)}, the last useful day{surely} (published weeks)."
