"""Where two copies of the record are at odds: who did what when, what counts meanwhile, and what is to be decided."""

from dataclasses import dataclass
from datetime import date, datetime

from model.entered import ClashKind
from model.facts import ActKind
from model.labels import label
from model.rules.clash_words import asks, counting, did, said
from model.store import reading
from model.store.database import Store
from model.store.reading_clashes import OpenClash, open_clashes
from model.text import several
from model.views.answer import Answer, AnswerLine

WHAT, LABEL = 29, 7
"""Widths of the columns before the words."""


@dataclass(frozen=True, slots=True)
class ClashLine:
    """One clash in words."""

    clash_id: int
    what: ClashKind
    number: int
    label: str
    acts: tuple[str, ...]
    """Who did what when, the one that counts first where one of them doesn't."""
    counts: str
    asks: str
    """What each key would decide."""
    said: str
    """All of it in one sentence."""


@dataclass(frozen=True, slots=True)
class ClashPage:
    """Everything that waits for somebody to decide."""

    lines: tuple[ClashLine, ...]


def read(store: Store, _today: date, _now: datetime) -> ClashPage:
    """The open clashes in the order in which they were found."""
    with store.reading() as rows:
        zone = reading.settings(rows).get("zone", "UTC")
        names = {place.id: place.name for place in reading.places(rows)}
        return ClashPage(tuple(_line(clash, names, zone) for clash in open_clashes(rows)))


def _line(clash: OpenClash, names: dict[int, str], zone: str) -> ClashLine:
    acts = [act for act in clash.acts if act is not None]
    counts = counting(clash.what, clash.acts, names)
    if clash.what is ClashKind.NUMBER and clash.later and clash.later.new:
        counts = f"the newcomer is {label(int(clash.later.new))}"
        acts = [act for act in acts if act.kind is not ActKind.RELABELLED]
    return ClashLine(
        clash.id,
        clash.what,
        clash.number,
        label(clash.number),
        tuple(did(act, names, zone, with_day=True) for act in acts),
        counts,
        asks(clash.what),
        said(clash.what, clash.number, clash.acts, names, zone),
    )


def answer(page: ClashPage) -> Answer:
    """How much is to be decided, then each."""
    if not page.lines:
        return Answer("clashes", ("Nothing is to be decided between two copies of the record.",))
    count = len(page.lines)
    head = f"{several(count, 'thing')} to decide: both copies are kept, nothing is lost."
    lines = tuple(
        AnswerLine(
            f"{line.label:<{LABEL}}{line.what:<{WHAT}}{line.counts}",
            (*line.acts, line.asks),
            "crowding",
            line.clash_id,
            line.number,
        )
        for line in page.lines
    )
    return Answer("clashes", (head,), lines, f"{'tray':<{LABEL}}{'what':<{WHAT}}meanwhile")
