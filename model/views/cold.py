"""Whom to rescue first when it stays too cold to set out, and what that costs and buys."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from math import inf
from statistics import fmean

from model.ahead import NightTold, Stocked, StockKind, Target
from model.asof import standing_on
from model.crops import crop_name
from model.days import say_day
from model.facts import Container, PlaceKind, Reading, ReadingKind, Sowing, Tray
from model.labels import label
from model.rules.cold import (
    FEED_DAYS,
    LOOK_AGAIN_DAYS,
    Cost,
    Held,
    Option,
    Way,
    cost_of_potting_up,
    last_resow,
    one_move_only,
    pot_for,
    rank,
    room_left,
    tender_of,
)
from model.rules.cold_gate import Gate, Outside, Word, gate, recent_soil
from model.rules.course import Plants
from model.rules.due import Case
from model.rules.filling import HOLDS
from model.rules.grounds import Grounds
from model.rules.nights import nights_told
from model.rules.outlook import Outlooks
from model.rules.readiness import case
from model.science.root_fill import HOLDS_FILL
from model.store import reading, reading_ahead
from model.store.database import Rows, Store
from model.units import Temperature, show_temperature
from model.views.answer import WIDTH, Answer, AnswerLine
from model.views.cold_ways import Yard, ways
from model.views.grounds import grounds

DAYS_A_WEEK = 7
FAR_DAYS = 30
"""Days of room beyond which no more is told than that there are more [d]. Ours."""
TESTED_DAYS = 14
"""Longest hold that was tried [d]: Ontario, storage of vegetable plug transplants. What is bought is told up to it."""


@dataclass(frozen=True, slots=True)
class ColdLine:
    """One sowing that is ready to set out, and what can be done with it while it can't be."""

    tray_id: int
    sowing_id: int
    number: int
    crop: str
    variety: str
    container: str
    place: str
    plants: int
    word: Word
    missing: tuple[str, ...]
    room_days: float
    """Days until it can wait no longer where it stands [d]; not known where nobody knows its growth."""
    held_days: int
    """Days since its plug held together [d]; 0 where it is GO."""
    cost: Cost | None
    """Of potting it up; None where it bears one move only, or no pot is on record."""
    ways: tuple[Option, ...]
    resow_until: date | None


@dataclass(frozen=True, slots=True)
class ColdPage:
    """A cold spell: GO first, then those that run out of room."""

    on: date
    lines: tuple[ColdLine, ...]
    lows_c: tuple[float, ...]
    """Of the nights that the forecast tells of, tonight first [°C]."""
    soil_c: tuple[float, ...]
    """Of the last three mornings [°C]."""
    slots_freed: int
    pots_in_hand: float | None
    mix_in_hand_l: float | None
    scale: Temperature


@dataclass(frozen=True, slots=True)
class _Farm:
    """What every sowing is held against."""

    on: Grounds
    outside: Outside
    targets: Sequence[Target]
    stock: Sequence[Stocked]
    standing: Sequence[Tray]
    today: date

    def newest_target(self, crop: str) -> Target | None:
        """The target of a crop that was put on record last."""
        return max((t for t in self.targets if t.crop == crop), key=lambda t: t.id, default=None)

    def pot(self, crop: str) -> Container | None:
        """What a crop would be potted up into."""
        target = self.newest_target(crop)
        return pot_for(self.on.containers.values(), target.pot_id if target else None)

    def in_hand(self, what: StockKind, container_id: int | None = None) -> float | None:
        """How much was counted; None where nobody counted it."""
        found = [s.amount for s in self.stock if s.what is what and s.container_id == container_id]
        return found[-1] if found else None

    def free(self, place_id: int) -> int:
        """Slots that no tray takes."""
        taken = sum(tray.place_id == place_id for tray in self.standing)
        return max(0, self.on.places[place_id].slots - taken)


def read(store: Store, today: date, now: datetime, outlooks: Outlooks | None = None) -> ColdPage:
    """Every sowing that holds its plug, in the order in which it is to be helped."""
    if outlooks is None:
        from model.views.outlook import reckon

        outlooks = reckon(store, today).outlooks
    with store.reading() as rows:
        farm = _farm(rows, today, now, outlooks)
    found = [line for tray in farm.standing for sowing in tray.sowings if (line := _line(sowing, tray, farm))]
    found.sort(key=lambda pair: (*rank(pair[0]), pair[1].number))
    lines = tuple(line for _, line in found)
    pot = farm.pot("")
    return ColdPage(
        on=today,
        lines=lines,
        lows_c=tuple(night.low_c for night in farm.outside.nights),
        soil_c=farm.outside.soil_c,
        slots_freed=len(_emptied(lines, farm.standing)),
        pots_in_hand=farm.in_hand(StockKind.CONTAINER, pot.id) if pot else None,
        mix_in_hand_l=farm.in_hand(StockKind.MIX),
        scale=farm.on.scale,
    )


def _farm(rows: Rows, today: date, now: datetime, outlooks: Outlooks) -> _Farm:
    standing = standing_on(rows, today)
    on = grounds(rows, standing, outlooks)
    told = reading.readings(rows, reading.dead_entries(rows), what=[ReadingKind.SOIL, ReadingKind.FORECAST])
    nights: tuple[NightTold, ...] = nights_told(told, today, now)
    return _Farm(
        on=on,
        outside=Outside(recent_soil(_of_the_ground(told, on), today), nights, on.scale),
        targets=reading_ahead.targets(rows),
        stock=reading_ahead.stock(rows),
        standing=standing,
        today=today,
    )


def _of_the_ground(told: Sequence[Reading], on: Grounds) -> list[tuple[date, float]]:
    """Soil by day; what was read in the mix of a mat tells nothing of the ground."""
    mats = {place.id for place in on.places.values() if place.kind is PlaceKind.HEAT_MAT}
    return [
        (read.day, read.low_c)
        for read in told
        if read.what is ReadingKind.SOIL and read.low_c is not None and read.place_id not in mats
    ]


def _emptied(lines: Sequence[ColdLine], standing: Sequence[Tray]) -> set[int]:
    """Trays that stand empty once everything that is GO is set out."""
    going = {line.sowing_id for line in lines if line.word is Word.GO}
    return {
        tray.id
        for tray in standing
        if any(sowing.id in going for sowing in tray.sowings)
        and all(sowing.id in going for sowing in tray.sowings if sowing.have)
    }


def _line(sowing: Sowing, tray: Tray, farm: _Farm) -> tuple[Held, ColdLine] | None:
    """One sowing, where its plug holds together and it is grown to be set out."""
    at = case(sowing, tray, farm.on, farm.today)
    if sowing.have <= 0 or at.for_cutting or at.stand.emerged is None or not _is_ready(at):
        return None
    word = gate(at.crop, _holds(at), at.hardened, farm.outside)
    bound = at.circling_since or (at.filling.bound if at.filling else None)
    room = room_left(at.crop, sowing.sown_on, bound, farm.today)
    pot = None if one_move_only(at.crop) else farm.pot(sowing.crop)
    cost = cost_of_potting_up(sowing.have, at.container.volume_ml, pot) if pot else None
    target = farm.newest_target(sowing.crop)
    resow = last_resow(target.until if target else None, at.crop)
    held = Held(word, tender_of(at.crop, at.container), room, cost.slots if cost else 1)
    return held, ColdLine(
        tray_id=tray.id,
        sowing_id=sowing.id,
        number=tray.number,
        crop=crop_name(sowing.crop),
        variety=sowing.variety,
        container=at.container.name,
        place=at.place.name,
        plants=sowing.have,
        word=word.word,
        missing=word.missing,
        room_days=room,
        held_days=_held_days(at, word),
        cost=cost,
        ways=() if word.word is Word.GO else _ways(at, farm, pot, cost, resow),
        resow_until=resow,
    )


def _ways(
    at: Case, farm: _Farm, pot: Container | None, cost: Cost | None, resow: date | None
) -> tuple[Option, ...]:
    filling, emerged = at.filling, at.stand.emerged
    plants = (
        Plants(at.sowing, at.tray, at.crop, emerged, filling, farm.today) if filling and emerged else None
    )
    yard = Yard(
        pots=farm.in_hand(StockKind.CONTAINER, pot.id) if pot else None,
        mix_l=farm.in_hand(StockKind.MIX),
        free=farm.free(at.tray.place_id),
        nights=farm.outside.nights,
    )
    return ways(at, plants, farm.on, pot, cost, resow, yard)


def _holds(at: Case) -> bool:
    """Whether the plug holds together: seen, else by the forecast."""
    if at.look is not None:
        return at.look.score >= HOLDS or (
            at.filling is not None and at.filling.fill.expected >= HOLDS_FILL.value
        )
    return at.filling is not None and at.filling.fill.expected >= HOLDS_FILL.value


def _is_ready(at: Case) -> bool:
    """Whether it counts as ready: its plug holds, or sweet corn has had the weeks it is grown for."""
    weeks = at.crop.weeks
    old = weeks is not None and at.age_days >= weeks[0] * DAYS_A_WEEK
    return _holds(at) or (one_move_only(at.crop) and old)


def _held_days(at: Case, word: Gate) -> int:
    ready = at.filling.ready if at.filling else None
    if word.word is Word.GO or ready is None:
        return 0
    seen = [look.day for look in at.looks if look.score >= HOLDS]
    return max(0, (at.today - min([ready.start, *seen])).days)


HEAD = " tray crop       plants  today   room       what a rescue takes"
NOTHING = "Nothing that stands here is ready to be set out: there is nobody to rescue."
LIGHT = "Hold in light and moving air, cool but not cold, off the ground; water mornings."
FEED = f"Held for more than {FEED_DAYS[0]}-{FEED_DAYS[1]} days and pale: feed by the label."
MIDDLE = "Days until roots circle, about: the middle of the forecast of its roots."
NO_GO = "Waiting buys no GO: soil, nights and hardening have to hold by themselves."
SOURCE = "Holds of 14 days in light, never in the dark: Ontario, storage of plug transplants."


def answer(page: ColdPage) -> Answer:
    """Who goes out first because it frees room, and who is to be rescued in what order."""
    title = f"Cold spell   {say_day(page.on)}"
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
    going = [line for line in page.lines if line.word is Word.GO]
    if not going:
        return "Nothing is GO today."
    are = "is" if len({line.crop for line in going}) == 1 else "are"
    slots = f"{page.slots_freed} slot{'s' if page.slots_freed != 1 else ''}"
    return f"{_names(going)} {are} GO: setting {'it' if are == 'is' else 'them'} out frees {slots}."


def _wait(page: ColdPage) -> str:
    waiting = [line for line in page.lines if line.word is Word.WAIT]
    unknown = [line for line in page.lines if line.word is Word.UNKNOWN]
    words = [f"WAIT: {_names(waiting)}{_cold_by(page)}"] if waiting else []
    return "; ".join([*words, *([f"UNKNOWN: {_names(unknown)}"] if unknown else [])])


def _cold_by(page: ColdPage) -> str:
    """Soil and nights in short, as far as they are known."""
    show = page.scale
    soil = f"soil {show_temperature(fmean(page.soil_c), show)}" if page.soil_c else ""
    lows = page.lows_c
    nights = f"lows from {show_temperature(min(lows), show)} for {len(lows)} nights" if lows else ""
    known = ", ".join(word for word in (soil, nights) if word)
    return f" ({known})" if known else ""


def _held(page: ColdPage) -> tuple[str, ...]:
    """Who has been held so long that it is to be looked at again."""
    names = dict.fromkeys(line.crop for line in page.lines if line.held_days >= LOOK_AGAIN_DAYS)
    return (
        (f"Held {LOOK_AGAIN_DAYS} days or more, look at the roots again: {', '.join(names)}.",)
        if names
        else ()
    )


def _order(page: ColdPage) -> str:
    held = [line for line in page.lines if line.word is not Word.GO]
    first = dict.fromkeys(f"{line.crop}" for line in held)
    return f"Rescue in this order: {', then '.join(first)}." if first else ""


def _weather(page: ColdPage) -> tuple[str, ...]:
    show = [show_temperature(low, page.scale) for low in page.lows_c]
    nights = f"Lows told, tonight first: {', '.join(show)}." if show else "No forecast; N takes one."
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
    if line.word is Word.GO:
        return "set it out: frees its slot"
    if line.cost is None:
        return "one move only: hold it"
    return f"{line.cost.pots} pots, about {line.cost.mix_l:.0f} L mix, {line.cost.slots} slots"


SHORT = {Way.COOLER: "cooler", Way.OUTSIDE: "outside", Way.POT_UP: "pots"}
TONES = {Word.GO: "ready", Word.WAIT: "crowding", Word.UNKNOWN: "quiet"}


def _answer_line(line: ColdLine) -> AnswerLine:
    text = (
        f"{label(line.number):>5} {line.crop:<13.12}{line.plants:>4}  {line.word:<8}"
        f"{room_words(line.room_days):<11}{cost_words(line)}"
    )
    return AnswerLine(text, why_of(line), TONES[line.word], line.sowing_id, line.number)


def why_of(line: ColdLine) -> tuple[str, ...]:
    """Why it waits, what buys days, and until when a new sowing is worth it."""
    if line.word is Word.GO:
        return (f"{line.variety}, {line.place}: roots, hardening, soil and nights all hold.",)
    bought = [f"{SHORT[way.way]} {days_words(way.days)}" for way in line.ways if way.days]
    buys = f"Buys about: {'; '.join(bought)}" if bought else "No place or pot here is known to buy days"
    return (
        *missing_lines(line),
        f"{buys}.   Enter: all ways",
        resow_words(line),
    )


def missing_lines(line: ColdLine) -> tuple[str, ...]:
    """What is missing, in two lines at most."""
    rows = [f"{line.word}: {line.missing[0] if line.missing else 'all conditions hold'}"]
    for words in line.missing[1:]:
        if len(rows) == 1 and len(rows[0]) + len(words) + len("; ") > WIDTH:
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
