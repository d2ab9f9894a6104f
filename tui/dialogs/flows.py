"""The questions behind each thing a person can do, and the wish that comes of the answers."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import TypeVar

from model.actions import growth, shift, walk
from model.actions.desk import Receipt, Stamp
from model.actions.opening import Store
from model.days import parse_day, say_day
from model.errors import BadInput
from model.facts import ActKind, Container, ContainerKind, LossCause
from model.labels import either, label, one_slip, read_label
from model.rules.numbers import leads_to
from model.units import Temperature, show_temperature
from model.views.choices import Choices, PlaceRoom
from model.views.lines import TrayLine
from model.views.tray import SowingLine, TrayPage
from tui.dialogs.ask import LETTERS, Choose, Flow, Option, Type

Wish = Callable[[Store, Stamp], Receipt]
T = TypeVar("T")

LOSS_ORDER = tuple(LossCause)
LONG_BETWEEN = 2
"""Days since somebody last stood at a tray, beyond which it may have come up before today [d]. Ours."""
MOST = 9999
"""The largest count that is taken where nothing else sets a bound; beyond it the finger slipped."""


def whole_number(least: int = 0, most: int = MOST) -> Callable[[str], int]:
    """A parser of counts between two bounds."""

    def parse(text: str) -> int:
        if not (text.isascii() and text.isdecimal()):
            raise BadInput(f"{text!r} is no count.", f"Type a whole number from {least} to {most}.")
        if len(text.lstrip("0")) > len(str(MOST)) or not least <= int(text) <= most:
            raise BadInput(f"{text} can't be.", f"Type a whole number from {least} to {most}.")
        return int(text)

    return parse


def some_text(text: str) -> str:
    """A parser that takes any words but none."""
    if not text.strip():
        raise BadInput("Nothing was typed.", "Type something, or leave with Esc.")
    return text


def day_gone(today: date) -> Callable[[str], date]:
    """A parser of days until today."""

    def parse(text: str) -> date:
        day = parse_day(text, today)
        if day > today:
            raise BadInput(f"{day.isoformat()} is still to come.", "Type today or an earlier day.")
        return day

    return parse


def which_sowing(page: TrayPage) -> Flow[SowingLine]:
    """The sowing that is meant: asked for only where a tray holds several with plants."""
    living = [sowing for sowing in page.sowings if sowing.have > 0] or list(page.sowings)
    if len(living) == 1:
        return living[0]
    options = [Option(f"{sowing.variety}, {sowing.words}", sowing) for sowing in living]
    chosen: SowingLine = yield Choose("Which sowing?", options)
    return chosen


def which_living(page: TrayPage) -> Flow[SowingLine]:
    """The same, for what can be done only while there are plants."""
    if page.line.plants == 0:
        raise BadInput(
            f"Nothing is left in {page.line.label}.", "Take another tray, or undo what emptied it."
        )
    return (yield from which_sowing(page))


def which_place(
    rooms: Sequence[PlaceRoom], prompt: str, *, likely: int | None = None, but: int | None = None
) -> Flow[tuple[int, bool]]:
    """A place, and whether the tray is to be stacked where every slot is taken."""
    open_to = [room for room in rooms if room.place.id != but]
    if not open_to:
        raise BadInput("There is no other place yet.", "Add one with P.")
    # The key of a place is the same wherever the tray stands: "46m2" typed twice must not go on to a third place.
    options = [
        Option(f"{room.place.name}   {room.trays} of {room.place.slots} slots taken", room, key)
        for key, room in zip(LETTERS, rooms, strict=False)
        if room in open_to
    ]
    at = next((i for i, room in enumerate(open_to) if room.place.id == likely), 0)
    while True:
        room: PlaceRoom = yield Choose(prompt, options, at)
        if not room.full:
            return room.place.id, False
        stack: bool = yield Choose(
            f"{room.place.name} has no slot left. Stack it there all the same?",
            [Option("no, another place", False, "n"), Option("yes, stack it", True, "y")],
        )
        if stack:
            return room.place.id, True


def which_label(typed: str, meant: Sequence[TrayLine], standing: Sequence[TrayLine]) -> Flow[TrayLine]:
    """Which label stands on the tray. It is typed whole: a key that was meant for the next tray mustn't answer."""
    by_number = {line.number: line for line in standing}

    def parse(text: str) -> TrayLine:
        if not text:
            raise BadInput("Nothing was typed.", "Type the label that it is, or leave with Esc.")
        number = read_label(text, by_number)
        if number not in by_number:
            raise BadInput(f"No tray {label(number)} stands.", "Read the label again, or leave with Esc.")
        return by_number[number]

    rows = [f"{line.label}  {line.crop} {line.variety}, {line.place}" for line in meant]
    chosen: TrayLine = yield Type(
        f"{typed} can't be. {either(line.number for line in meant)}",
        parse,
        "",
        "type one of these, Esc leaves",
        lambda _text: rows,
    )
    return chosen


def root_look(line: TrayLine) -> Flow[Wish]:
    """A look at the roots."""
    options = [Option(words, score, str(score)) for score, words in enumerate(growth.SCORES)]
    score: int = yield Choose(f"Roots of {line.label}, look underneath or at one plug:", options, likely=-1)
    return lambda store, stamp: growth.root_look(store, stamp, line.tray_id, score)


def up(page: TrayPage, today: date) -> Flow[Wish]:
    """First up; half up with a count once first up is on record.

    Where nobody had looked for some days, it may have been up before today: since when is asked for.
    """
    waiting = [sowing for sowing in page.sowings if not sowing.half and sowing.have > 0]
    if not waiting:
        raise BadInput(f"Tray {page.line.label} is up already.", "Nothing needs to be ticked.")
    sowing = waiting[0]
    if len(waiting) > 1:
        options = [Option(f"{s.variety}: {'half up' if s.up else 'first up'}", s) for s in waiting]
        sowing = yield Choose("Which sowing is up?", options)
    tray_id, words, count = page.line.tray_id, "half" if sowing.up else "first", 0
    if sowing.up:
        count = yield Type(
            f"{page.line.label} {sowing.variety}: how many of {sowing.cells} cells are up?",
            whole_number(1, sowing.cells),
            str((sowing.cells + 1) // 2),
            "half up is about half of the sown cells showing",
        )
    day = today
    if page.days_between > LONG_BETWEEN:
        day = yield Type(
            f"{words} up since which day?", _day_since(sowing, today), "today", "like -4, yesterday or 12 apr"
        )
    if sowing.up:
        return lambda store, stamp: growth.half_up(
            store, replace(stamp, day=day), tray_id, sowing.sowing_id, count
        )
    return lambda store, stamp: growth.first_up(store, replace(stamp, day=day), tray_id, sowing.sowing_id)


def _day_since(sowing: SowingLine, today: date) -> Callable[[str], date]:
    def parse(text: str) -> date:
        day = parse_day(text, today)
        if not sowing.sown_on <= day <= today:
            raise BadInput(
                f"{say_day(day)} can't be.", f"It was sown {say_day(sowing.sown_on)}; today at the latest."
            )
        return day

    return parse


def simple(page: TrayPage, act: Callable[[Store, Stamp, int, int | None], Receipt]) -> Flow[Wish]:
    """An act on one sowing that needs no more than knowing which."""
    sowing = yield from which_living(page)
    return lambda store, stamp: act(store, stamp, page.line.tray_id, sowing.sowing_id)


def cut(page: TrayPage) -> Flow[Wish]:
    """A cut; asked about where the sowing isn't grown to be cut, or was cut today already."""
    sowing = yield from which_living(page)
    if sowing.against_cut:
        sure: bool = yield Choose(
            f"{sowing.against_cut}. Enter a cut of {page.line.label} {sowing.variety} all the same?",
            [Option("no, nothing was cut", False, "n"), Option("yes", True, "y")],
        )
        if not sure:
            raise BadInput("Nothing was entered.", "")
    return lambda store, stamp: growth.cut(store, stamp, page.line.tray_id, sowing.sowing_id)


def move(line: TrayLine, choices: Choices, likely: int | None = None) -> Flow[Wish]:
    """Where a tray goes."""
    place, stack = yield from which_place(
        choices.places, f"Move {line.label} to:", likely=likely, but=line.place_id
    )
    there = next(room.place for room in choices.places if room.place.id == place)
    if line.least_night_c is not None and there.low_c < line.least_night_c:
        scale = Temperature(choices.settings.get("temperature", Temperature.CELSIUS))
        sure: bool = yield Choose(
            f"Nights at {there.name} are about {show_temperature(there.low_c, scale)}: "
            f"below {show_temperature(line.least_night_c, scale)} {line.crop} suffers. Move it all the same?",
            [Option("no", False, "n"), Option("yes, and bring it in on cold nights", True, "y")],
        )
        if not sure:
            raise BadInput(f"{line.label} stays where it is.", "")
    return lambda store, stamp: shift.move(store, stamp, [line.tray_id], place, stack=stack)


def set_out(page: TrayPage, gate_said: Mapping[int, str]) -> Flow[Wish]:
    """How many plants went into the ground, and where; and why, where the gate says something against a sowing."""
    sowing = yield from which_living(page)
    against = gate_said.get(sowing.sowing_id, "")
    hint = f"{sowing.have} are there; what stays is still a tray"
    count: int = yield Type(
        f"Set out how many of {page.line.label} {sowing.variety}?",
        whole_number(1, sowing.have),
        str(sowing.have),
        f"The gate says {against}.\n{hint}" if against else hint,
    )
    where: str = yield Type("Where to? (bed or row, may stay empty)", str)
    if against:
        reason: str = yield Type(f"The gate says {against}. Why go all the same?", some_text)
        against = f"{against}. {reason}"
    return lambda store, stamp: shift.set_out(
        store, stamp, page.line.tray_id, sowing.sowing_id, count, where, against
    )


def lose(page: TrayPage) -> Flow[Wish]:
    """How many plants were lost, and why."""
    sowing = yield from which_living(page)
    count: int = yield Type(
        f"How many of {page.line.label} {sowing.variety} were lost?",
        whole_number(1, sowing.have),
        "",
        f"{sowing.have} are there",
    )
    causes = [Option(cause.value, (cause, "")) for cause in LOSS_ORDER]
    if sowing.old_seed:
        # Asked first only where the stand failed and the lot is old or weak; the cause on record stays the same.
        words = f"{LossCause.NOT_UP}: {sowing.old_seed}"
        causes.insert(0, Option(words, (LossCause.NOT_UP, sowing.old_seed), "o"))
    cause, text = yield Choose("Why?", causes, likely=0 if sowing.old_seed else -1)
    return lambda store, stamp: shift.lose(
        store, stamp, page.line.tray_id, sowing.sowing_id, count, cause, text
    )


def count_stand(page: TrayPage) -> Flow[Wish]:
    """How many good plants there are."""
    sowing = yield from which_living(page)
    count: int = yield Type(
        f"How many good plants of {page.line.label} {sowing.variety}?",
        whole_number(1, sowing.growing),
        "",
        f"{sowing.have} cells are on record, the rest will count as empty. None at all: R sows again, x says why",
    )
    return lambda store, stamp: growth.count_stand(store, stamp, page.line.tray_id, sowing.sowing_id, count)


def retire(page: TrayPage) -> Flow[Wish]:
    """What is left of a sowing has done its work."""
    sowing = yield from which_living(page)
    sure: bool = yield Choose(
        f"Retire what is left of {page.line.label} {sowing.variety}, {sowing.have} plants?",
        [Option("no", False, "n"), Option("yes, retire it", True, "y")],
    )
    if not sure:
        raise BadInput("Nothing was retired.", "")
    return lambda store, stamp: shift.retire(store, stamp, page.line.tray_id, sowing.sowing_id, sowing.have)


def note(line: TrayLine) -> Flow[Wish]:
    """Words about a tray."""
    text: str = yield Type(f"Note to {line.label}:", some_text)
    return lambda store, stamp: growth.note(store, stamp, line.tray_id, text)


def feed_place(place_id: int, place: str) -> Flow[Wish]:
    """A whole place was fed."""
    text: str = yield Type(
        f"Feed for all of {place} (what, may stay empty):",
        str,
        "",
        "how much is on the product's label; follow that",
    )
    return lambda store, stamp: walk.mark_place(store, stamp, ActKind.FED, place_id, (), text)


NONE = "none"
"""Typed instead of tray numbers where there are none; nothing typed says the same."""


def mark_place(kind: ActKind, place_id: int, place: str, lines: Sequence[TrayLine]) -> Flow[Wish]:
    """A whole place in one stroke, with exceptions by number."""
    here = [line for line in lines if line.place_id == place_id]

    def parse(text: str) -> tuple[int, ...]:
        words = [] if text.strip().lower() == NONE else text.replace(",", " ").split()
        return tuple(_at_place(word, place, here, lines).tray_id for word in words)

    what = "are left dry" if kind is ActKind.WATERED else "stay as they are"
    exceptions: tuple[int, ...] = yield Type(
        f"All of {place} {kind}, but for trays:",
        parse,
        "",
        f"numbers with spaces between, or {NONE}; those {what}. Enter",
    )
    return lambda store, stamp: walk.mark_place(store, stamp, kind, place_id, exceptions)


def _at_place(word: str, place: str, here: Sequence[TrayLine], standing: Sequence[TrayLine]) -> TrayLine:
    """The tray of a place that a number leads to; refused where it leads elsewhere, though one here carried it."""
    numbers = {line.number for line in here} | {alias.number for line in here for alias in line.aliases}
    number = read_label(word, numbers)
    found = leads_to(number, standing)
    if found is not None and found in here:
        return found
    meant = sorted(one_slip(number) & numbers)
    hint = "Name trays of this place only" + (f": {either(meant)}" if meant else ".")
    was = leads_to(number, here)
    if was is not None and found is not None:
        hint = f"The tray here that was {label(number)} is {was.label}; {label(number)} stands at {found.place} now."
    raise BadInput(f"Tray {label(number)} doesn't stand at {place}.", hint)


def _which_container(containers: Sequence[Container], count: int) -> Flow[int]:
    """The kind of container that some plants go into; a cell tray needs a cell for each."""
    prompt = "Into:"
    while True:
        chosen: Container = yield Choose(prompt, [Option(c.name, c) for c in containers])
        if chosen.kind is not ContainerKind.CELL_TRAY or chosen.cells >= count:
            return chosen.id
        prompt = f"A {chosen.name} holds {chosen.cells} plants, not {count}. Into:"


def pot_up(page: TrayPage, choices: Choices) -> Flow[Wish]:
    """Plants go into one or two kinds of bigger container; the rest stays or is binned."""
    sowing = yield from which_living(page)
    bigger = [c for c in choices.containers if c.volume_ml > page.container_ml] or list(choices.containers)
    parts: list[shift.PotUp] = []
    left, stack = sowing.have, False
    while left > 0 and len(parts) < 2:
        first = not parts
        count: int = yield Type(
            f"Pot up how many of {page.line.label} {sowing.variety}?" if first else "And into a second kind?",
            whole_number(1 if first else 0, left),
            str(left) if first else "0",
            f"{left} are left",
        )
        if not count:
            break
        container = yield from _which_container(bigger, count)
        place, stacked = yield from which_place(choices.places, "To stand at:", likely=page.line.place_id)
        parts.append(shift.PotUp(count, container, place))
        left, stack = left - count, stack or stacked
    lost, cause = 0, LossCause.WEAK
    if left:
        lost = yield Type(
            f"Of the other {left}, how many were binned?", whole_number(0, left), "0", "the rest stays"
        )
    if lost:
        cause = yield Choose(
            "Why?", [Option(c.value, c) for c in LOSS_ORDER], LOSS_ORDER.index(LossCause.WEAK)
        )
    return lambda store, stamp: shift.pot_up(
        store, stamp, page.line.tray_id, sowing.sowing_id, parts, lost=lost, cause=cause, stack=stack
    )
