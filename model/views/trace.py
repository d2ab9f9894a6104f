"""Where the plants of a seed lot went, and of which lot plants came that somebody has."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date

from model.asof import acts_that_count
from model.crops import variety_name
from model.days import say_day, short_day
from model.errors import BadInput
from model.facts import ActKind, Sowing, Tray
from model.labels import is_label, label, read_label
from model.rules.numbers import carried_until, leads_to, number_words
from model.store import reading
from model.store.database import Rows, Store
from model.text import cut, fit, several
from model.views.answer import Answer, AnswerLine

WENT = {ActKind.SET_OUT: "set out", ActKind.HANDED_OVER: "handed over"}
"""Acts by which plants leave for a place that can be named."""


@dataclass(frozen=True, slots=True)
class Went:
    """Plants that left a tray."""

    day: date
    how: str
    count: int
    where: str
    """The bed, the role or the order number; "" where nobody said."""


@dataclass(frozen=True, slots=True)
class Traced:
    """One sowing in one tray, with its lot and where its plants went."""

    tray_id: int
    number: int
    crop: str
    variety: str
    lot: str
    sown_on: date
    parent: str
    """Label of the tray its plants were potted up from; "" where they were sown here."""
    have: int
    went: tuple[Went, ...]
    """All of them; only those to whom was asked, where that was asked."""


@dataclass(frozen=True, slots=True)
class TraceView:
    """What was asked, and every sowing that answers it."""

    asked: str
    how: str
    """What the words were taken for: "tray", "lot", "whom"."""
    found: tuple[Traced, ...]
    tray_id: int | None = None
    """The tray that was asked for; what else was found is of its lots."""
    told: tuple[str, ...] = ()
    """Of a number: that it is an old one, that its tray is gone, or which other tray carried it."""


def read_trace(store: Store, asked: str, today: date) -> TraceView:
    """Trace a tray by its label, a lot by its name, or plants by who has them.

    Of a tray every tray of the same lots is told. Raises BadInput where nothing goes by such a name.
    """
    wanted = asked.strip().lower()
    with store.reading() as rows:
        trays = reading.every_tray(rows)
        lots = {(s.crop, s.variety, s.lot) for t in trays for s in t.sowings if s.lot.lower() == wanted}
        if lots:
            return TraceView(asked, "lot", _of_lots(rows, trays, lots))
        tray = _tray(trays, asked)
        if tray is not None:
            lots = {(s.crop, s.variety, s.lot) for s in tray.sowings if s.lot}
            kin = [one for one in _of_lots(rows, trays, lots) if one.tray_id != tray.id]
            standing = [other for other in trays if other.standing]
            told = tuple(_told(read_label(asked), tray, standing, today))
            return TraceView(asked, "tray", (*_traced(rows, [tray]), *kin), tray.id, told)
        all_of_them = _traced(rows, trays)
    theirs = (
        replace(one, went=tuple(w for w in one.went if w.where.lower() == wanted)) for one in all_of_them
    )
    whom = tuple(one for one in theirs if one.went)
    if not whom:
        raise _nothing(asked, trays)
    return TraceView(asked, "whom", whom)


def _nothing(asked: str, trays: Sequence[Tray]) -> BadInput:
    """Why nothing was found; of a label whose letter is wrong, which ones it may have been."""
    what = f"Nothing goes by {asked!r}."
    if is_label(asked):
        numbers = {tray.number for tray in trays} | {alias.number for tray in trays for alias in tray.aliases}
        try:
            number = read_label(asked, numbers)
        except BadInput as error:
            return error
        what = f"No tray {label(number)} was ever on record, and nothing else goes by {asked!r}."
    return BadInput(what, "Give a tray's label, a lot's name, a bed, or who has the plants.")


def _tray(trays: Sequence[Tray], asked: str) -> Tray | None:
    try:
        number = read_label(asked)
    except BadInput:
        return None
    found = leads_to(number, [tray for tray in trays if tray.standing])
    if found is not None:
        return found
    gone = [tray for tray in trays if number == tray.number or carried_until(number, tray) is not None]
    return max(gone, key=lambda tray: (tray.number == number, tray.id), default=None)


def _told(number: int, tray: Tray, standing: Sequence[Tray], today: date) -> Iterator[str]:
    yield from number_words(number, tray, standing, today)
    if tray.ended_on is not None:
        yield f"{label(tray.number)} is gone since {say_day(tray.ended_on, today)}."


def _of_lots(rows: Rows, trays: Sequence[Tray], lots: set[tuple[str, str, str]]) -> tuple[Traced, ...]:
    found = [t for t in trays if any((s.crop, s.variety, s.lot) in lots for s in t.sowings)]
    return tuple(one for one in _traced(rows, found) if (one.crop, one.variety, one.lot) in lots)


def _traced(rows: Rows, trays: Sequence[Tray]) -> tuple[Traced, ...]:
    acts = acts_that_count(rows, reading.dead_entries(rows), trays, date.min)
    parents = reading.trays(rows, {tray.parent_id for tray in trays if tray.parent_id})
    return tuple(
        Traced(
            tray_id=tray.id,
            number=tray.number,
            crop=sowing.crop,
            variety=sowing.variety,
            lot=sowing.lot,
            sown_on=sowing.sown_on,
            parent=label(parents[tray.parent_id].number) if tray.parent_id in parents else "",
            have=sowing.have,
            went=tuple(
                Went(act.day, WENT[act.kind], act.count or 0, act.text or "")
                for act in acts[tray.id]
                if act.sowing_id == sowing.id and act.kind in WENT
            ),
        )
        for tray, sowing in sorted(_pairs(trays), key=lambda pair: (pair[1].sown_on, pair[0].id))
    )


def _pairs(trays: Sequence[Tray]) -> Iterator[tuple[Tray, Sowing]]:
    for tray in trays:
        for sowing in tray.sowings:
            yield tray, sowing


def answer(view: TraceView) -> Answer:
    """The lots first, then tray by tray; of a tray its own figures before those of its lots."""
    if view.how == "whom":
        said = [f"Went to {view.asked}: {several(_gone(view.found), 'plant')} of {_lots(view.found)}."]
    elif view.how == "lot":
        said = [f"Lot {view.asked}: {_lots(view.found)}.", _figures(view.found)]
    else:
        own = [one for one in view.found if one.tray_id == view.tray_id]
        kin = [one for one in view.found if one.tray_id != view.tray_id]
        said = [f"Tray {label(own[0].number)}: {_lots(own)}. {_figures(own)}"]
        said += [f"Of {_lots(kin)} also in other trays: {_figures(kin)}"] if kin else []
    return Answer(
        title="trace",
        answer=(*view.told, *said),
        lines=tuple(_line(one, counted=view.how == "whom") for one in view.found),
        heading=f"{'no.':<7}{'what':<26}{'lot':<12}{'sown':<9}{'here':>5}  went",
    )


def _lots(found: Sequence[Traced]) -> str:
    """What was sown, by its lot."""
    named = (f"{variety_name(o.crop, o.variety)} {o.lot or '(no lot on record)'}" for o in found)
    return ", ".join(dict.fromkeys(named))


def _gone(found: Sequence[Traced]) -> int:
    return sum(went.count for one in found for went in one.went)


def _figures(found: Sequence[Traced]) -> str:
    here = several(sum(one.have for one in found), "plant")
    return f"{several(len(found), 'sowing')}, {here} here, {_gone(found):,} gone out."


def _line(one: Traced, *, counted: bool) -> AnswerLine:
    where = [*dict.fromkeys(went.where or went.how for went in one.went)]
    if counted:
        where = [f"{sum(went.count for went in one.went)} to {where[0]}"]
    text = (
        f"{label(one.number):<7}{fit(variety_name(one.crop, one.variety), 25)} {fit(one.lot or '-', 11)} "
        f"{short_day(one.sown_on):<9}{one.have or '-':>5}  {cut(', '.join(where), 15, '.')}"
    )
    why = [f"Sown {say_day(one.sown_on)}{f', potted up from {one.parent}' if one.parent else ''}."]
    why += [f"{say_day(w.day)}: {w.count} {w.how}{f', {w.where}' if w.where else ''}." for w in one.went[-3:]]
    return AnswerLine(text.rstrip(), tuple(why), "", one.tray_id, one.number)
