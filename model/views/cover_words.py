"""The sheet for a helper in lines of at most 78 columns, to be printed and written on."""

from collections.abc import Iterable, Iterator
from textwrap import wrap

from model.days import say_day
from model.rules.away import AwayNight
from model.rules.verdict import Task
from model.units import show_temperature
from model.views.answer import WIDTH, Answer, AnswerLine
from model.views.cover import CoverDay, CoverView, EndsMeanwhile, NightHere, PlaceThatDay, SowingMeanwhile

BY_HOUR, CHECK_HOUR = "17:00", "15:00"
"""By when trays come in, and when a new forecast is looked at: common practice, no source."""
BLANK = "_" * 40
LONGEST_NAME = 40
"""Columns that the helper's name may take."""
CALL_IF = (
    "Call if: the heat or a mat is off; trays that must come in find no room; many plants of one tray look wrong; "
    "you are in doubt. Better to leave a tray alone than to guess."
)
UNSEEN = (
    "Mark every tray you stood at (w watered, d left dry on purpose, l looked at). A day that nobody marks stays "
    "unseen on return, never fine, and doesn't count as hardening."
)
SAYS = {
    Task.SET_OUT: "set out, once the gate says GO:",
    Task.PAST: "roots may circle, call:",
    Task.OFF_MAT: "take off the heat mat",
}
"""What a helper reads where the bare task isn't enough."""
MOST_LABELS = 8
"""Labels that are named of one thing to do; the round lists the rest. Ours."""


def answer(view: CoverView) -> Answer:
    """The sheet: what can't wait first, then day by day."""
    return Answer(
        title="cover",
        answer=tuple(_answer(view)),
        lines=tuple(AnswerLine(row) for row in _rows(view)),
        heading="",
        notes=tuple(row for words in _notes(view) for row in wrap(words, WIDTH)),
    )


def _answer(view: CoverView) -> Iterator[str]:
    helper = f", for {view.helper[:LONGEST_NAME]}" if view.helper else ""
    yield f"{say_day(view.leaves)}, evening, to {say_day(view.back)}{helper}"
    yield f"call: {BLANK}"
    yield _bring_in(view)


def _bring_in(view: CoverView) -> str:
    """Which places come in on which evenings."""
    evenings: dict[str, list[str]] = {}
    for day in view.days:
        for place in day.places:
            for night in place.nights:
                if night.word is AwayNight.BRING_IN:
                    which = place.name if night.every else f"{len(night.labels)} of {place.name}"
                    evenings.setdefault(which, []).append(say_day(day.day))
    if evenings:
        parts = (f"{name} by {BY_HOUR} on {_and(days)}" for name, days in evenings.items())
        told = f"Bring in {'; '.join(parts)}."
        nights = len({day for days in evenings.values() for day in days})
        return told if len(told) <= WIDTH else f"Bring in by {BY_HOUR} on {nights} evenings: see each day."
    if any(day.no_forecast for day in view.days):
        return "No night that the forecast tells of is under a line; for the others there is none."
    return "No night of these is forecast under a line."


def _and(words: list[str]) -> str:
    return " and ".join(filter(None, (", ".join(words[:-1]), words[-1])))


def _rows(view: CoverView) -> Iterator[str]:
    if view.before or view.sowings:
        yield "BEFORE YOU LEAVE"
    for one in view.before:
        yield from _bullet(_ending(one, view))
    for sowing in view.sowings:
        yield from _bullet(_sowing(sowing))
    for day in view.days:
        yield ""
        yield from _day(day, view)


def _bullet(words: str) -> list[str]:
    return wrap(words, WIDTH, initial_indent="  [ ] ", subsequent_indent="      ")


def _ending(one: EndsMeanwhile, view: CoverView) -> str:
    who = f"{one.what} {one.label}, {one.place}: day {one.day_number}"
    if one.task is Task.PAST:
        return f"{who}, roots circle; set it out, pot it up or give it away"
    if one.until < view.on:
        return f"{who}; {one.task}: its last day was day {one.last_number}, {say_day(one.until)}"
    return f"{who} of {one.last_number}; {one.task} by {say_day(one.until)}"


def _sowing(one: SowingMeanwhile) -> str:
    when = f"pinned to {say_day(one.pinned)}" if one.pinned else f"from {say_day(one.start)}"
    until = f" until {say_day(one.end)}" if one.end else ""
    ways = [
        f"move it earlier, to {say_day(one.move.earlier)} at the latest" if one.move.earlier else "",
        f"move it later, to {say_day(one.move.later)} or after" if one.move.later else "",
    ]
    way = " or ".join(filter(None, ways)) or "its window is inside these days: the helper sows it"
    trays = f"{one.trays} tray{'s' if one.trays != 1 else ''}"
    return f"sowing {one.what}, {trays}, {when}{'' if one.pinned else until}: {way}"


def _day(day: CoverDay, view: CoverView) -> Iterator[str]:
    evening = ", evening" if day.day == view.leaves else ""
    back = ", back today" if day.day == view.back else ""
    low = f"low tonight {show_temperature(day.low_c, view.scale)}" if day.low_c is not None else ""
    yield f"{say_day(day.day).upper()}{evening}{back}   {low or day.no_forecast}".rstrip()
    if day.day != view.leaves and day.day >= view.on:
        walk = ", ".join(f"{place.name} {place.trays}" for place in day.places)
        yield from wrap(f"  look at every tray, water what is dry: {walk}", WIDTH, subsequent_indent="      ")
    for place in day.places:
        words = list(_place(place, view))
        if words:
            yield from wrap(f"  {place.name}: {'; '.join(words)}", WIDTH, subsequent_indent="      ")


def _place(place: PlaceThatDay, view: CoverView) -> Iterator[str]:
    if place.unseen is not None:
        yield f"UNSEEN {_labels(place.unseen)}" if place.unseen else "every tray was marked"
        return
    for one in place.to_do:
        yield f"{SAYS.get(one.task, one.task)} {_labels(one.trays)}"
    for night in place.nights:
        yield from _night(night, place, view)


def _night(night: NightHere, place: PlaceThatDay, view: CoverView) -> Iterator[str]:
    which = f"all {place.trays} trays" if night.every else _labels(night.labels)
    line = show_temperature(night.line_c, view.scale)
    low = show_temperature(night.low_c, view.scale) if night.low_c is not None else ""
    if night.word is AwayNight.BRING_IN:
        yield f"BRING IN {which} by {BY_HOUR}: low {low}, line {line}"
    elif night.word is AwayNight.CHECK:
        yield f"check {which} at {CHECK_HOUR} by a new forecast: low {low}, line {line}, may fall under it"
    elif night.word is AwayNight.UNKNOWN:
        yield f"no forecast: get one at {CHECK_HOUR}; bring in what is under its line, {line} at most here"


def _labels(labels: Iterable[str]) -> str:
    found = list(labels)
    more = f" and {len(found) - MOST_LABELS} more" if len(found) > MOST_LABELS else ""
    return ", ".join(found[:MOST_LABELS]) + more


def _notes(view: CoverView) -> Iterator[str]:
    yield CALL_IF
    yield UNSEEN
    yield f"Room inside tonight: {', '.join(f'{room.place} {room.free}' for room in view.room) or 'none'}."
    if view.open_already:
        yield f"{view.open_already} more trays have something due already: the round lists them."
    yield (
        f"As trays stand on {say_day(view.on)}, by the forecasts of that day. A line is taken for the days outside so "
        "far; no cover is counted on."
    )
