"""The cold spell page in words: GO first, then who is to be rescued, each with what it takes."""

from collections.abc import Sequence
from math import inf
from statistics import fmean

from model.days import say_day
from model.labels import label
from model.rules.cold import FEED_DAYS, LOOK_AGAIN_DAYS, Option, Way
from model.rules.gate import GateWord
from model.text import cut, several
from model.units import show_temperature
from model.views.answer import Answer, AnswerLine
from model.views.cold_page import ColdLine, ColdPage

FAR_DAYS = 30
"""Days of room beyond which no more is told than that there are more [d]. Ours."""
TESTED_DAYS = 14
"""Longest hold that was tried [d]: Ontario, storage of vegetable plug transplants. What is bought is told up to it."""

NAMED = 4
"""Crops that are named in the order of rescue; the lines have all of them."""
MOST_NAME = 13
"""Columns of a crop's name."""
WHY_WIDTH = 70
"""Columns that a line of reasons may take on the smallest screen."""
HEAD = " tray crop       plants  today   room       a rescue takes about"
NOTHING = "Nothing that stands here is ready to be set out: there is nobody to rescue."
UNDER_COVER = "GO under a cover (S, what goes over a bed)."
LIGHT = "Hold in light and moving air, cool, not cold, off the ground; water mornings."
FEED = f"Held for more than {FEED_DAYS[0]}-{FEED_DAYS[1]} days and pale: feed by the label."
MIDDLE = "Days until roots circle, about: the middle of the forecast of its roots."
NO_GO = "Waiting buys no GO: soil, nights and hardening have to hold by themselves."
SOURCE = "Holds of 14 days in light, never in the dark: Ontario, storage of plug transplants."


def answer(page: ColdPage) -> Answer:
    """Who goes out first because it frees room, and who is to be rescued in what order."""
    title = "cold spell"
    if not page.lines:
        return Answer(title, (NOTHING, *_weather(page)))
    return Answer(
        title=title,
        answer=tuple(line for line in (_go(page), _wait(page), _order(page)) if line),
        lines=tuple(map(_answer_line, page.lines)),
        heading=HEAD,
        notes=(*_weather(page), _hand(page), *_held(page), LIGHT, FEED, SOURCE),
    )


def _names(lines: Sequence[ColdLine]) -> str:
    names = list(dict.fromkeys(line.crop for line in lines))
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _go(page: ColdPage) -> str:
    going = [line for line in page.lines if line.word is GateWord.GO]
    if not going:
        return "Nothing is GO today."
    are = "is" if len({line.crop for line in going}) == 1 else "are"
    slots = several(page.slots_freed, "slot")
    return f"{_names(going)} {are} GO: setting {'it' if are == 'is' else 'them'} out frees {slots}."


def _wait(page: ColdPage) -> str:
    found = {line.word for line in page.lines}
    unknown = [line for line in page.lines if line.word is GateWord.UNKNOWN]
    rest = " for the others" if GateWord.GO in found else ""
    words = [f"WAIT{rest}: {_cold_by(page)}"] if GateWord.WAIT in found else []
    words += [f"UNKNOWN: {_names(unknown)}"] if unknown else []
    return f"{'; '.join(words)}." if words else ""


def _cold_by(page: ColdPage) -> str:
    """Soil and nights in short, as far as they are known."""
    show = page.scale
    soil = f"soil {show_temperature(fmean(page.soil_c), show)}" if page.soil_c else ""
    lows = page.lows_c
    nights = f"lows from {show_temperature(min(lows), show)} in {len(lows)} nights" if lows else ""
    known = ", ".join(word for word in (soil, nights) if word)
    return known or "soil and nights aren't known"


def _held(page: ColdPage) -> tuple[str, ...]:
    """Who has been held so long that it is to be looked at again."""
    names = dict.fromkeys(line.crop for line in page.lines if line.held_days >= LOOK_AGAIN_DAYS)
    return (
        (f"Held {LOOK_AGAIN_DAYS} days or more, look at the roots again: {', '.join(names)}.",)
        if names
        else ()
    )


def _order(page: ColdPage) -> str:
    held = [line for line in page.lines if line.word is not GateWord.GO]
    first = list(dict.fromkeys(line.crop for line in held if not line.waits))
    rest = f" and {len(first) - NAMED} more" if len(first) > NAMED else ""
    if held and not first:
        return "Nobody has to be rescued: all have room until they may go out."
    return f"Rescue in this order: {', then '.join(first[:NAMED])}{rest}." if first else ""


def _weather(page: ColdPage) -> tuple[str, ...]:
    show = [show_temperature(low, page.scale) for low in page.lows_c]
    nights = f"Lows here, tonight first: {', '.join(show)}." if show else "No forecast; N takes one."
    soil = ", ".join(show_temperature(read, page.scale) for read in page.soil_c)
    return (
        nights,
        f"Soil of the last mornings: {soil}." if soil else "Soil wasn't read on the last 3 mornings.",
    )


def _hand(page: ColdPage) -> str:
    pots = f"{page.pots_in_hand:.0f} pots" if page.pots_in_hand is not None else "pots not counted"
    mix = f"{page.mix_in_hand_l:.0f} L of mix" if page.mix_in_hand_l is not None else "mix not counted"
    return f"In hand: {pots}, {mix} (B counts them)."


def room_words(days: float) -> str:
    """Days of room as they are told: "about 3 d"; by the forecast, never certain."""
    if days == inf:
        return "not known"
    if days > FAR_DAYS:
        return f"over {FAR_DAYS} d"
    return f"about {days:.0f} d" if days > 0 else "none"


def cost_words(line: ColdLine) -> str:
    """What a rescue takes, as it stands in the row."""
    if line.word is GateWord.GO:
        return "set it out: frees its slot"
    if line.under_cover:
        return "plant under a cover" + (", or wait" if line.waits else "")
    if line.waits:
        return "wait: it has the room"
    if line.cost is None:
        return "one move only: hold it"
    return f"{line.cost.pots} pots, {line.cost.mix_l:.0f} L mix, {line.cost.slots} slots"


SHORT = {Way.COOLER: "cooler", Way.OUTSIDE: "outside", Way.POT_UP: "pots"}
TONES = {GateWord.GO: "ready", GateWord.WAIT: "crowding", GateWord.UNKNOWN: "quiet"}


def _answer_line(line: ColdLine) -> AnswerLine:
    name = cut(line.crop, MOST_NAME)
    text = (
        f"{label(line.number):>5} {name:<14}{line.plants:>3}  {line.word:<8}"
        f"{room_words(line.room_days):<11}{cost_words(line)}"
    )
    return AnswerLine(text, why_of(line), TONES[line.word], line.sowing_id, line.number)


def why_of(line: ColdLine) -> tuple[str, ...]:
    """Why it waits, what buys days, and until when a new sowing is worth it."""
    if line.word is GateWord.GO:
        return (f"{line.variety}, {line.place}: all conditions of the gate hold; g shows each.",)
    # A bigger pot doesn't rescue a plug whose roots circle already.
    bought = [
        f"{SHORT[way.way]} {days_words(way.days)}"
        for way in line.ways
        if way.days and not (way.way is Way.POT_UP and line.room_days <= 0)
    ]
    buys = f"Buys about: {'; '.join(bought)}" if bought else "No place or pot here is known to buy days"
    return (
        *missing_lines(line),
        f"{UNDER_COVER} {buys}." if line.under_cover else f"{buys}.",
        resow_words(line),
    )


def missing_lines(line: ColdLine) -> tuple[str, ...]:
    """What is missing, in two lines at most."""
    rows = [f"{line.word}: {line.missing[0] if line.missing else 'all conditions hold'}"]
    for words in line.missing[1:]:
        if len(rows) == 1 and len(rows[0]) + len(words) + len("; ") > WHY_WIDTH:
            rows.append(words)
        else:
            rows[-1] += f"; {words}"
    return tuple(rows)


def days_words(days: int) -> str:
    """Days that a way buys, never more than anybody has tried."""
    return f"{days} d" if days <= TESTED_DAYS else f"over {TESTED_DAYS} d"


def resow_words(line: ColdLine) -> str:
    """Until when a new sowing is worth it."""
    if line.resow_until is None:
        return "Resow: no last day of setting out on record, A plans one."
    return f"Resow as insurance: useful until {say_day(line.resow_until)}."


def ways_answer(page: ColdPage, sowing_id: int) -> Answer:
    """Every way through for one sowing, side by side."""
    line = next((line for line in page.lines if line.sowing_id == sowing_id), None)
    if line is None:
        return Answer("Cold spell", ("That sowing isn't held any more.", "Esc goes back."))
    return Answer(
        title=f"Cold spell: {line.crop} {line.variety}, tray {label(line.number)}",
        answer=(
            *missing_lines(line),
            f"{line.plants} plants in a {line.container} on {line.place}; room: {room_words(line.room_days)}.",
        ),
        heading="way                  buys      what it takes",
        lines=tuple(
            AnswerLine(f"{way.way:<21}{_buys(way):<10}{way.text}", way.why, key=index)
            for index, way in enumerate(line.ways)
        ),
        notes=(
            MIDDLE,
            NO_GO,
            LIGHT,
            FEED,
        ),
    )


def _buys(way: Option) -> str:
    if way.way in (Way.SHARE, Way.RESOW):
        return "-"
    return "not known" if way.days is None else days_words(way.days)
