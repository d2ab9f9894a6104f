"""The mat rota in words: the answer, a line for each tray on a mat and each sowing to come, and why."""

from datetime import date, timedelta
from textwrap import wrap

from model.days import say_day, short_day
from model.science.rota import Proof
from model.science.rota_choices import Where
from model.text import cut
from model.units import show_temperature
from model.views.answer import WIDTH, Answer, AnswerLine
from model.views.mat import SHOWN_DAYS, USUAL_STAY, MatSlots, MatSowing, MatTray, MatView

NAME, PLACE, WHEN, DAY = 25, 7, 17, 10
"""Widths of the columns; with the strip they fit 78."""
TABLE = "Harrington and Minges 1954"
FREE, WAITS, SHOWS = "·", "▒", "█"
PINNED = "*"
SAID = 76
"""Columns of a sentence of the answer, beside which a scrollbar stands."""
MANY = 9
"""More free slots than this are one sign."""


def words(view: MatView) -> Answer:
    """The rota as an answer."""
    lines = [*(_tray_line(tray, view) for tray in view.trays), *(_sowing_line(s, view) for s in view.sowings)]
    refused = [
        AnswerLine(
            cut(f"not in it: {no.name}", WIDTH), (no.what_happened, no.what_to_do), "crowding", no.target_id
        )
        for no in view.refused
    ]
    if not view.mats:
        return Answer(
            "mat rota",
            ("No heat mat is on record, so there is no rota.", "Add one with P, then open this again."),
        )
    return Answer("mat rota", _answer(view), (*lines, *refused), _heading(view), _notes(view))


def _answer(view: MatView) -> tuple[str, ...]:
    """A line for each mat, then who is served first, then how good that is."""
    mats = [_free_words(mat, view) for mat in view.mats]
    leaving = sum(tray.up for tray in view.trays)
    mats[-1] += f"; {leaving} come off today." if leaving else "."
    return tuple(row for words in (*mats, _first(view), proof_words(view)) for row in wrap(words, SAID))


def _free_words(mat: MatSlots, view: MatView) -> str:
    """Free slots of one mat today and on Friday; an empty one that a sowing of the plan takes today isn't free."""
    empty = max(0, mat.slots - mat.standing)
    today = f"{mat.free[0]} of {mat.slots} free today"
    if empty and not mat.free[0]:
        today = f"{empty} of {mat.slots} empty, all claimed by the plan today"
    elif empty > mat.free[0]:
        today = f"{today} ({empty - mat.free[0]} more claimed by the plan)"
    week = f", a week from {say_day(mat.next_free[0])}" if mat.next_free else ""
    return f"{mat.name}: {today}, {mat.free_on_friday} on {say_day(view.friday)}{week}"


def _first(view: MatView) -> str:
    """Who is served first, and who does without."""
    served = [s for s in view.sowings if s.where is Where.ON_MAT]
    out = [s.name for s in view.sowings if s.where is Where.LEFT_OUT]
    without = [s.name for s in view.sowings if s.where is Where.WITHOUT]
    if not view.sowings and view.refused:
        return "No sowing could be laid; the lines below say why and what to do."
    if not view.sowings:
        return "No sowing asks for a mat in the next weeks; A plans some."
    parts = []
    if out:
        parts.append(f"No slot: {_some(out)}")
    if served:
        best = max(served, key=lambda s: (s.days_saved is None, s.days_saved or 0))
        saved = f"{best.days_saved} days saved" if best.days_saved is not None else "it has to have heat"
        parts.append(f"{best.name} first: {saved}")
    if without:
        parts.append(f"without heat: {_some(without)}")
    return "; ".join(parts) + "."


def proof_words(view: MatView) -> str:
    """How good the rota is known to be."""
    lost = f"{view.objective:.0f} tray-days later up than with room for all"
    if not view.sowings:
        return "Nothing had to be weighed."
    if view.proof == Proof.OPTIMAL:
        return f"Proved: no rota loses less; {lost}."
    if view.proof == Proof.STOPPED and view.bound is not None:
        return f"Stopped in time, not proved: {lost}; none can do under {view.bound:.0f}."
    return f"In turn, not proved: {lost}; another rota may do better."


def _heading(view: MatView) -> str:
    last = view.on + timedelta(days=SHOWN_DAYS - 1)
    return _row("", "where", "sow on     for", "off", f"{short_day(view.on)}-{short_day(last)}")


def _row(name: str, place: str, when: str, off: str, strip: str) -> str:
    row = f"{cut(name, NAME):{NAME}} {cut(place, PLACE):{PLACE}} {when:{WHEN}} {off:{DAY}} {strip}"
    return row.rstrip()[:WIDTH]


def _tray_line(tray: MatTray, view: MatView) -> AnswerLine:
    first = None if tray.first is None else tray.first - tray.day_n
    until = SHOWN_DAYS if tray.off is None else (tray.off - view.on).days
    of = f"{tray.first}-{tray.slow}" if tray.first is not None and tray.slow is not None else "?"
    off = "today" if tray.up else say_day(tray.off) if tray.off else "not known"
    strip = _strip(0, max(1, until) if tray.up else until, first)
    late = "late up: " if tray.slow is not None and tray.day_n > tray.slow and not tray.up else ""
    why = [
        f"{late}day {tray.day_n} since sowing; up on about day {of} at this warmth ({TABLE})",
        "nobody can tell when: its slot is counted free tomorrow, so look before you rely on it"
        if late
        else "up: it comes off today and gives its slot free"
        if tray.up
        else f"slot free on {say_day(tray.off)}, when most of it should be up"
        if tray.off
        else "nobody can tell when it comes off: it holds its slot until it is moved",
    ]
    text = _row(tray.name, tray.mat, f"day {tray.day_n} of {of}", off, strip)
    return AnswerLine(text, tuple(why), "ready" if tray.up else "", None, tray.number)


def _sowing_line(sowing: MatSowing, view: MatView) -> AnswerLine:
    flats = f" x{sowing.flats}" if sowing.flats > 1 else ""
    name = cut(sowing.name, NAME - len(flats)) + flats
    where = {Where.WITHOUT: "no heat", Where.LEFT_OUT: "no slot"}.get(sowing.where, sowing.mat or "")
    start = say_day(sowing.day) if sowing.day else "-"
    stay = f"{sowing.days_there} d" if sowing.days_there else "?"
    strip = ""
    if sowing.day and sowing.off and sowing.first_up:
        begin = (sowing.day - view.on).days
        strip = _strip(begin, (sowing.off - view.on).days, (sowing.first_up - view.on).days)
    tone = {Where.WITHOUT: "quiet", Where.LEFT_OUT: "crowding"}.get(sowing.where, "")
    off = say_day(sowing.off) if sowing.off else ""
    text = _row(name, where, f"{start:{DAY}} {stay}{PINNED if sowing.pinned else ''}", off, strip)
    return AnswerLine(text, _why(sowing, view), tone, sowing.target_id)


def _why(sowing: MatSowing, view: MatView) -> tuple[str, ...]:
    window = f"window {say_day(sowing.first_day)} to {say_day(sowing.last_day)}"
    if sowing.last_day < view.on:
        window = f"its last day was {say_day(sowing.last_day)}: laid for today"
    late = f"; nothing fits in it: {_blocked(sowing)}" if sowing.where is Where.LEFT_OUT else ""
    outside = "; pinned outside it" if sowing.outside else "; pinned by hand" if sowing.pinned else ""
    reason = f": {sowing.reason}" if sowing.reason else ""
    # The plan counts on heat wherever it saves days: what does without has to be sown as much sooner.
    blocked = sowing.held_by or sowing.held_by_standing or not sowing.pinned
    sooner = sowing.days_saved if sowing.where is Where.WITHOUT and blocked else None
    heat = f"; without heat {sooner} d sooner" if sooner and sooner > 0 else ""
    rows = [_heat(sowing), f"{window}{heat}{late}{outside}{reason}"]
    if sowing.where is Where.WITHOUT and blocked and not sowing.too_hot:
        rows.append(_blocked(sowing))
    if sowing.ahead_of:
        rows.append(f"has the slot before {_some(sowing.ahead_of)}")
    if sowing.off:
        rows.append(f"slot free on {say_day(sowing.off)}, when most should be up; p pins, r releases")
    return tuple(row for row in rows if row)[:4]


def _heat(sowing: MatSowing) -> str:
    if sowing.too_hot:
        return "its seed doesn't bear the mat's heat: it comes up better cool"
    if sowing.days_saved is None:
        return f"days without heat at {sowing.home or 'another place'} not known: not in {TABLE}"
    if sowing.days_saved <= 0:
        return f"heat saves nothing against {sowing.home} ({TABLE})"
    return f"heat saves {sowing.days_saved} d against {sowing.home} ({TABLE})"


def _blocked(sowing: MatSowing) -> str:
    if sowing.held_by:
        return f"its slot goes to {_some(sowing.held_by)}"
    if sowing.held_by_standing:
        return "trays that stand there hold the slots"
    return "heat would save it no whole day, or fewer than waiting for a slot costs"


def _notes(view: MatView) -> tuple[str, ...]:
    notes = []
    for mat in view.mats:
        notes.append(cut(f"{mat.name}, next free for 1 flat, {USUAL_STAY} d: {_days(mat.next_free)}", WIDTH))
        notes.append(_free_strip(mat, view))
    notes.append(
        f"{WAITS} not up yet  {SHOWS} coming up: look for hooks  digits: slots free  {PINNED} pinned"
    )
    notes.append("A slot is held until 4 seeds in 5 are up, of fast stretchers half (ours).")
    return tuple(notes)


def _free_strip(mat: MatSlots, view: MatView) -> str:
    signs = "".join(str(free) if free <= MANY else "+" for free in mat.free)
    warm = show_temperature(mat.set_c, view.scale)
    last = view.on + timedelta(days=len(mat.free) - 1)
    return cut(
        f"{mat.name}, {warm}, {mat.standing} of {mat.slots} stand there: {say_day(view.on)} {signs} {say_day(last)}",
        WIDTH,
    )


def _strip(begin: int, end: int, first_up: int | None) -> str:
    """The days of a stay: waiting, then coming up."""
    signs = []
    for day in range(SHOWN_DAYS):
        there = begin <= day < end
        signs.append(FREE if not there else SHOWS if first_up is not None and day >= first_up else WAITS)
    return "".join(signs)


def _days(days: tuple[date, ...]) -> str:
    return ", ".join(say_day(day) for day in days)


def _some(names: "tuple[str, ...] | list[str]") -> str:
    return ", ".join(names[:2]) + (f" and {len(names) - 2} more" if len(names) > 2 else "")
