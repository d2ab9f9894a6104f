"""The facts behind a verdict, in words that are ready to read, each with figure, unit and source."""

from collections.abc import Iterator
from math import isfinite

from model.days import say_day, say_window, short_day
from model.facts import Bottom, PlaceKind
from model.rules.due import MOST_CUTS, PUBLISHED_CUT, Case, cut_window, hardening_words, span
from model.rules.filling import ACT_CHANCE, FULL, LOOK_AHEAD_DAYS, WATCH_CHANCE, Filling
from model.rules.verdict import Knows, Reason, Stage
from model.science.emergence import Standing
from model.text import several
from model.units import show_temperature

LOOK_WORDS = ("none at the edge", "few", "holds together", "full", "circling")
"""The look at the roots, 0 to 4, in words."""
FINGER_WORDS = ("dry", "just moist", "wet")
"""A finger in the mix, 0 to 2, in words."""
RECORD = "the record"
OURS = "our own scale"
CUTTING = "common practice, no source; 21 to 42 days: Portland Monthly, on salad greens"
TABLE = "Harrington and Minges 1954"
INSIDE = frozenset({PlaceKind.COLD_FRAME, PlaceKind.HARDENING, PlaceKind.CORNER})
"""Places that a tray stands in; it stands on the others."""


def reasons_for(at: Case, stage: Stage) -> Iterator[Reason]:
    """At most four facts behind the verdict, the deciding one first."""
    if stage is Stage.SOWN:
        yield _coming_up(at)
        if at.up.later:
            yield _read_warmth(at)
        return
    if at.for_cutting:
        yield _cutting(at)
        return
    if stage is Stage.FIRST_UP:
        yield _half_up(at)
    if at.hardened_on is not None:
        yield _hardening(at)
    if at.look is not None:
        yield _look(at)
    if at.circling_since is not None:
        yield _circling(at)
    elif at.filling is None:
        text = f"day {at.age_days}; how fast {at.crop.name} fills a cell is not known"
        yield Reason(text, at.age_days, "d", "no figures in the crop file", Knows.RECORD)
    else:
        yield _ready(at, at.filling)
        yield _bound(at, at.filling)


def reason_gone(at: Case) -> Reason:
    """Where the plants of a sowing went of which nothing is left."""
    sowing = at.sowing
    ways = {
        "set out": sowing.out,
        "potted up": sowing.potted,
        "lost": sowing.lost,
        "empty": sowing.empty,
        "retired": sowing.retired,
    }
    went = ", ".join(f"{count} {way}" for way, count in ways.items() if count)
    return Reason(f"all gone: {went} ({Knows.RECORD})", sowing.cells, "cells", RECORD, Knows.RECORD)


def _where(at: Case) -> str:
    return f"{'in' if at.place.kind in INSIDE else 'on'} {at.place.name}"


def _coming_up(at: Case) -> Reason:
    up, age = at.up, at.age_days
    warm = show_temperature(up.mean_c, at.scale)
    like = at.crop.emergence_from
    source, how = (f"{TABLE}, {like}", f"{Knows.DEFAULT}, {like}") if like else (TABLE, str(Knows.DEFAULT))
    if up.standing is Standing.NEVER:
        text = f"at {warm}, {_where(at)}, it never comes up ({how})"
        return Reason(text, up.mean_c, "°C", source, Knows.DEFAULT)
    if up.first is None or up.slow_end is None:
        text = f"day {age}; when it comes up at {warm} is not known"
        if any(map(isfinite, at.crop.emergence_days)):
            text = f"day {age}; {warm}, {_where(at)}, is outside what was tested: no date"
        return Reason(text, up.mean_c, "°C", source, Knows.DEFAULT)
    late = f"late up by {(at.today - up.slow_end).days} d: " if at.today > up.slow_end else ""
    days = f"{at.day_number(up.first)}-{at.day_number(up.slow_end)}"
    if up.days_read:
        how = f"{how}; {up.days_read} of {age} days read"
    text = f"{late}day {age} of {days} to come up, {_where(at)} at {warm} ({how})"
    return Reason(text, age, "d", source, Knows.DEFAULT)


def _read_warmth(at: Case) -> Reason:
    """What the thermometer did to the window: a mat that failed for a night, a warm week."""
    days = at.up.later
    text = (
        f"by the readings {days} d later than usual"
        if days > 0
        else f"by the readings {-days} d sooner than usual"
    )
    return Reason(f"{text} ({Knows.RECORD})", days, "d", RECORD, Knows.RECORD)


def _half_up(at: Case) -> Reason:
    up, age = at.up, at.age_days
    seen = f"day {age}; first up {short_day(at.stand.first or at.today)}"
    if up.median is None or up.slow_end is None:
        return Reason(f"{seen}; when half is up is not known", age, "d", RECORD, Knows.RECORD)
    days = f"{at.day_number(up.median)}-{at.day_number(up.slow_end)}"
    return Reason(f"{seen}, half up on day {days} ({Knows.DEFAULT})", age, "d", TABLE, Knows.DEFAULT)


def _cutting(at: Case) -> Reason:
    window, cuts, age = cut_window(at), at.sowing.cuts, at.age_days
    where = f"{at.container.name} {_where(at)}"
    if at.spent:
        return Reason(
            f"cut {len(cuts)} times, {where} ({Knows.RECORD})", len(cuts), "cuts", RECORD, Knows.RECORD
        )
    if window is None:
        text = f"day {age}; too cold to grow to a cut, {where} ({Knows.DEFAULT})"
        return Reason(text, age, "d", CUTTING, Knows.DEFAULT)
    if not cuts:
        text = f"day {age} of {span(at, window)} to first cut, {PUBLISHED_CUT}, {where} ({Knows.DEFAULT})"
        return Reason(text, age, "d", CUTTING, Knows.DEFAULT)
    since = (at.today - cuts[-1]).days
    first, last = ((day - cuts[-1]).days for day in (window.start, window.end or window.start))
    text = f"day {since} of {first}-{last} since cut {len(cuts)} of {MOST_CUTS}, {where} ({Knows.DEFAULT})"
    return Reason(text, since, "d", CUTTING, Knows.DEFAULT)


def _hardening(at: Case) -> Reason:
    had = at.hardened
    low = f", low {show_temperature(had.low_c, at.scale)}" if had and had.low_c is not None else ""
    missed = f", {had.unmarked} d nobody marked" if had and had.unmarked else ""
    text = f"{hardening_words(at)}{low}{missed}, {_where(at)} ({Knows.RECORD})"
    return Reason(text, had.days if had else 0, "d", RECORD, Knows.RECORD)


def _look(at: Case) -> Reason:
    look = at.looks[-1]
    text = f"roots {look.score}, {LOOK_WORDS[look.score]}: seen {say_day(look.day)} by {look.who}"
    return Reason(text, look.score, "score", look.who, Knows.SEEN)


def _ready(at: Case, fills: Filling) -> Reason:
    age, window = at.age_days, fills.ready
    bottom = ", no air pruning," if at.container.bottom is Bottom.SOLID else ""
    where = f"{at.container.name}{bottom} {_where(at)}"
    knows, how = Knows.DEFAULT, str(Knows.DEFAULT)
    if fills.look is not None:
        knows, how = Knows.SEEN, "from that look"
    else:
        if fills.taught:
            knows, how = Knows.SEEN, "from looks before potting up"
        elif fills.past:
            knows, how = Knows.YOURS, f"yours, {several(fills.past, 'tray')}"
        if fills.assumed_up:
            knows, how = (
                Knows.ASSUMED,
                "half up assumed" if how == Knows.DEFAULT else f"{how}; half up assumed",
            )
    source = growth.source if (growth := at.crop.figures.get("growth_rate")) else at.crop.growth_quality
    if window is None:
        text = f"day {age}; too cold to fill a {where} ({how})"
    elif at.held_since is None:
        text = f"day {age} of {span(at, window)} to ready, {where} ({how})"
    elif fills.look is not None and fills.look.score >= FULL:
        text = f"{where}, crowded since {short_day(window.end or at.held_since)} ({how})"
    else:
        full = f"full about {short_day(window.end)}" if window.end else "too cold to fill up"
        text = f"{where}, holds since {short_day(at.held_since)}, {full} ({how})"
    return Reason(text, age, "d", source, knows)


def _circling(at: Case) -> Reason:
    since = at.circling_since or at.today
    days = (at.today - since).days
    text = f"past its window: roots circling since {short_day(since)} ({Knows.SEEN})"
    return Reason(text, days, "d", at.looks[-1].who, Knows.SEEN)


def _bound(at: Case, fills: Filling) -> Reason:
    chance = fills.chance_bound
    knows = Knows.SEEN if fills.look else Knows.DEFAULT
    if fills.bound is None:
        when = "won't go root-bound here"
    elif fills.bound <= at.today:
        when = f"root-bound since about {short_day(fills.bound)}"
    else:
        when = f"root-bound about {short_day(fills.bound)}"
    risk = f"{LOOK_AHEAD_DAYS} d {_chance(chance)}: {fills.risk}"
    text = f"{when}; chance within {risk}"
    if fills.early and fills.late and at.held_since is None:
        # Shorter, so that both windows and the risk stand in one row of 80 columns.
        holds = f"holds {say_window(fills.early, fills.late, at.today)}, 8 in 10"
        text = f"{holds}; {when.replace('root-bound', 'bound')}, in {risk}"
    return Reason(text, round(chance, 2), "chance", OURS, knows)


def _chance(chance: float) -> str:
    """A chance in words that promise no more than is known."""
    if chance < WATCH_CHANCE:
        return "small"
    return "more than even" if chance >= ACT_CHANCE else "real"
