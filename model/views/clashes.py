"""Where two copies of the record are at odds: who did what when, what counts meanwhile, and what is to be decided."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from model.days import farm_day, local_time
from model.entered import ClashKind
from model.facts import ActKind
from model.labels import label
from model.rules.clash_words import Teller, asks, decided, room
from model.rules.ledger import COUNTS, corrected
from model.store import births, reading, reading_owed
from model.store.database import Rows, Store
from model.store.reading import EntryRow
from model.store.reading_clashes import OpenClash, names, open_clashes, settled_clashes
from model.text import several
from model.views.answer import Answer, AnswerLine

WHAT, LABEL = 29, 7
"""Widths of the columns before the words."""


@dataclass(frozen=True, slots=True)
class ClashLine:
    """One clash in words."""

    clash_id: int
    what: ClashKind
    tray_id: int
    number: int
    """The number that the tray has now."""
    label: str
    acts: tuple[str, ...]
    """Who did what when, the one that counts first where one of them doesn't."""
    counts: str
    figures: str
    """How many plants there are for both; empty where the clash is about no plants."""
    asks: str
    """What each key would decide."""
    said: str
    """All of it in one sentence."""
    decided: str = ""
    """When it was decided today, and by whom; empty while it waits for somebody."""


@dataclass(frozen=True, slots=True)
class ClashPage:
    """Everything that waits for somebody to decide, and what was decided today."""

    lines: tuple[ClashLine, ...]


def read(store: Store, _today: date, now: datetime) -> ClashPage:
    """The clashes that are open or were decided today, in the order in which they were found."""
    with store.reading() as rows:
        tells = Teller(*names(rows))
        lines = [_line(rows, clash, tells) for clash in open_clashes(rows)]
        for settled in settled_clashes(rows, now - timedelta(days=2)):
            if farm_day(settled.entry.at, tells.zone) == farm_day(now, tells.zone):
                lines.append(_line(rows, settled.clash, tells, settled.entry))
    return ClashPage(tuple(sorted(lines, key=lambda line: line.clash_id)))


def _line(rows: Rows, clash: OpenClash, tells: Teller, entry: EntryRow | None = None) -> ClashLine:
    acts = [act for act in clash.acts if act is not None]
    counts, figures = tells.counting(clash.what, clash.acts), ""
    said = tells.said(clash.what, clash.number, clash.acts)
    if clash.what is ClashKind.NUMBER:
        counts = f"was {label(clash.number)}; its label is to be written"
        acts = [act for act in acts if act.kind is not ActKind.RELABELLED]
    if entry is not None:
        counts = f"decided: {decided(entry.words)}"
    elif clash.what is ClashKind.MORE:
        figures = _room(rows, clash)
    elif clash.what is ClashKind.GIVEN:
        figures = _promised(rows, clash)
    return ClashLine(
        clash.id,
        clash.what,
        clash.tray_id,
        clash.now,
        label(clash.now),
        tuple(tells.did(act, at=clash.tray_id) for act in acts),
        counts,
        figures,
        asks(clash.what, clash.acts),
        f"{said}. {figures}" if figures else said,
        f"decided {local_time(entry.at, tells.zone)} by {entry.who}" if entry else "",
    )


def _room(rows: Rows, clash: OpenClash) -> str:
    """How many plants there are for two acts that together took more."""
    first, later = clash.first, clash.later
    tray = reading.trays(rows, [clash.tray_id]).get(clash.tray_id)
    if tray is None or later is None or later.kind not in COUNTS:
        return ""
    acts = births.live_acts(rows, [tray.id], reading.dead_entries(rows))[tray.id]
    counted = sum(
        act.count or 0
        for act in corrected(acts, tray.sowings)
        if first and act.entry_id == first.entry_id
        if act.sowing_id == later.sowing_id and act.kind in COUNTS
    )
    have = sum(sowing.have for sowing in tray.sowings if sowing.id == later.sowing_id)
    return room(have + counted, counted + (later.count or 0), alone=first is None)


def _promised(rows: Rows, clash: OpenClash) -> str:
    """What was promised, and what was handed over of it."""
    newer, later = reading_owed.newer_forms(rows), clash.later
    held = {promise.id: promise for promise in reading_owed.promises(rows)}
    promise = held.get(reading_owed.newest(later.promise_id or 0, newer)) if later else None
    if promise is None:
        return ""
    given = reading_owed.given(rows).get(promise.id, 0)
    return f"{promise.to_whom} was promised {promise.plants} and got {given}."


def answer(page: ClashPage) -> Answer:
    """How much is to be decided, then each."""
    still = sum(not line.decided for line in page.lines)
    head = "Nothing is to be decided between two copies of the record."
    if still:
        head = f"{several(still, 'thing')} to decide: both copies are kept, nothing is lost."
    lines = tuple(
        AnswerLine(
            f"{line.label:<{LABEL}}{line.what:<{WHAT}}{line.counts}",
            (*line.acts, *_why(line)),
            "quiet" if line.decided else "crowding",
            line.clash_id,
            line.number,
            tray_id=line.tray_id,
        )
        for line in page.lines
    )
    return Answer("clashes", (head,), lines, f"{'tray':<{LABEL}}{'what':<{WHAT}}meanwhile" if lines else "")


def _why(line: ClashLine) -> tuple[str, ...]:
    if line.decided:
        return (f"{line.decided}, who takes it back with u, later with x among the day's entries (j)",)
    return (line.figures, line.asks) if line.figures else (line.asks,)
