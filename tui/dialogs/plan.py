"""What is wanted and when, asked with few keys; a planned line is sown from here with everything filled in."""

from dataclasses import replace
from datetime import date

from model.actions import plan
from model.actions.plan import Want, want_of
from model.ahead import Purpose, Target
from model.crops import load_crops, variety_name
from model.days import parse_ahead, say_day, short_day
from model.errors import BadInput
from model.facts import Container, ContainerKind, PlaceKind
from model.rules.planning import STAGES, Planned
from model.views.choices import Choices, LotChoice, Numbers, Sown
from model.views.plan_words import late_words, say_ready
from tui.dialogs.ask import Choose, Flow, Option, Type
from tui.dialogs.flows import Wish, whole_number
from tui.dialogs.sowing import Plan, seeds_each, sow_so
from tui.dialogs.variety import which_variety

PURPOSES = (
    (Purpose.SET_OUT, "to set out", "o"),
    (Purpose.CLASS, "a class, at a stage", "c"),
    (Purpose.SALE, "a sale, ready on the day", "s"),
    (Purpose.CUT, "a flat to cut", "f"),
)
WHEN_HINT = "a day like 12 may or +21, or week of 4 may"
FAR_DAYS = 270
"""A day further ahead that was typed without its year may be one that has just gone by [d]. Ours."""
TIMES = "x"
"""Between the days of a succession and how often: 14 x 3."""


def add_target(choices: Choices, today: date) -> Flow[Wish]:
    """What, how many, when, what for, into what and where; then how often."""
    crop, variety = yield from which_variety(choices, "What is wanted?")
    last = next((sown for sown in choices.last if (sown.crop, sown.variety) == (crop, variety)), None)
    plants: int = yield Type("How many good plants, or clumps of a flat?", whole_number(1, plan.MOST_PLANTS))
    first, until = yield from wanted("Wanted when?", today)
    purpose: Purpose = yield Choose("What for?", [Option(words, of, key) for of, words, key in PURPOSES], 0)
    stage = (yield from _stage()) if purpose is Purpose.CLASS else ""
    container: Container = yield _container(choices, last.container_id if last else None, purpose)
    place: int | None = yield _place(choices, last)
    want = Want(crop, variety, plants, first, until, container.id, purpose, stage, place_id=place)
    want = replace(
        want, lot=(yield from _lot(choices, crop, variety)), pot_id=(yield from _pot(choices, crop, want))
    )
    every, times = yield Type(
        "Again?",
        read_times,
        "no",
        f"14 {TIMES} 3 is every 14 days, three sowings in all",
    )
    return lambda store, stamp: plan.add_targets(store, stamp, want, every, times)


def wanted(prompt: str, today: date, hint: str = WHEN_HINT) -> Flow[tuple[date, date]]:
    """A day or week to come; a day of the year that has just gone by is asked about before next year's is taken."""
    while True:
        typed: str = yield Type(prompt, lambda text: coming(text, today) and text, "", hint)
        first, last = coming(typed, today)
        year = str(first.year)
        if (first - today).days <= FAR_DAYS or year in typed:
            return first, last
        sure: bool = yield Choose(
            f"{short_day(first)} has gone by this year. {say_day(first, today)}?",
            [Option("no, another day", False, "n"), Option(f"yes, in {year}", True, "y")],
        )
        if sure:
            return first, last


def coming(text: str, today: date) -> tuple[date, date]:
    """Days to come; a week that has begun is one too."""
    first, last = parse_ahead(text, today)
    if last < today:
        raise BadInput(f"{say_day(last)} has gone by.", "Type a day from today on.")
    return first, last


def read_times(text: str) -> tuple[int, int]:
    """Days apart and how many in all, from "14 x 3"; "no" is once."""
    typed = text.strip().lower()
    if typed in {"no", "n", "0", ""}:
        return 0, 1
    days, _, times = (part.strip() for part in typed.partition(TIMES))
    if not (days.isdecimal() and times.isdecimal()):
        raise BadInput(f"{text!r} says no turns.", f"Type it like 14 {TIMES} 3, or no.")
    return whole_number(1, plan.MOST_APART)(days), whole_number(1, plan.MOST_TIMES)(times)


def _stage() -> Flow[str]:
    named: str = yield Choose(
        "At which stage?",
        [*(Option(stage, stage) for stage in sorted(STAGES)), Option("ready, with a plug that holds", "")],
        0,
    )
    return named


def _container(choices: Choices, likely: int | None, purpose: Purpose) -> Choose:
    flats = [c.kind is ContainerKind.OPEN_FLAT for c in choices.containers]
    usual = flats.index(True) if purpose is Purpose.CUT and True in flats else 0
    at = next((i for i, c in enumerate(choices.containers) if c.id == likely), None)
    if at is None and purpose is not Purpose.CUT:
        at = next((i for i, c in enumerate(choices.containers) if c.name == "72-cell tray"), None)
    return Choose("Into:", [Option(c.name, c) for c in choices.containers], usual if at is None else at)


def _place(choices: Choices, last: Sown | None) -> Choose:
    options = [
        Option(f"{r.place.name}   {r.trays} of {r.place.slots} slots taken", r.place.id)
        for r in choices.places
    ]
    # A mat brings seed up and is free again soon: what grows on does so elsewhere.
    grown = [(i, r.place) for i, r in enumerate(choices.places) if r.place.kind is not PlaceKind.HEAT_MAT]
    usual = grown[0][0] if grown else 0
    at = next((i for i, place in grown if last and place.id == last.place_id), usual)
    return Choose("Where do they grow?", [*options, Option("not known yet", None, "-")], at)


def _lot(choices: Choices, crop: str, variety: str) -> Flow[str]:
    """The lot is asked for only where there are several; the newest is the likely one."""
    lots: list[LotChoice] = [lot for lot in choices.lots if (lot.crop, lot.variety) == (crop, variety)]
    if len(lots) <= 1:
        return lots[0].name if lots else ""
    options = [Option(f"{lot.name}  {lot.tested or 'not tested'}", lot.name) for lot in lots]
    named: str = yield Choose("Which lot?", options, len(lots) - 1)
    return named


def _pot(choices: Choices, crop: str, want: Want) -> Flow[int | None]:
    """Potting up is asked for only where the crop usually is, and none else is wanted sooner."""
    known, pots = load_crops().get(crop), [c for c in choices.containers if c.kind is ContainerKind.POT]
    if known is None or not known.pots_up or not pots or want.stage:
        return None
    pot: int | None = yield Choose(
        "Potted up before they go?", [Option("no", None, "n"), *(Option(c.name, c.id) for c in pots)], 0
    )
    return pot


def change_target(target: Target, choices: Choices, today: date) -> Flow[Wish]:
    """One thing of a planned line is changed."""
    want = want_of(target)
    what: str = yield Choose(
        f"Change what of {variety_name(target.crop, target.variety)}?",
        [
            Option("when", "when", "w"),
            Option("how many", "plants", "p"),
            Option("into what", "into", "i"),
            Option("where", "where", "g"),
            Option("lot", "lot", "l"),
            Option("seeds a cell or flat", "seeds", "s"),
            Option("last day still worth it", "until", "u"),
            Option("bed", "bed", "b"),
        ],
    )
    changed = yield from _changed(what, want, choices, today)
    return lambda store, stamp: plan.change_target(store, stamp, target.id, changed)


def _changed(what: str, want: Want, choices: Choices, today: date) -> Flow[Want]:
    if what == "when":
        first, last = yield from wanted("Wanted when?", today)
        return replace(want, first_day=first, last_day=last)
    if what == "plants":
        plants: int = yield Type("How many good plants?", whole_number(1, plan.MOST_PLANTS), str(want.plants))
        return replace(want, plants=plants)
    if what == "into":
        container: Container = yield _container(choices, want.container_id, want.purpose)
        pot = yield from _pot(choices, want.crop, want)
        return replace(want, container_id=container.id, pot_id=pot)
    if what == "where":
        place: int | None = yield _place(choices, None)
        return replace(want, place_id=place)
    if what == "lot":
        return replace(want, lot=(yield from _lot(choices, want.crop, want.variety)))
    if what == "seeds":
        box = next((c for c in choices.containers if c.id == want.container_id), None)
        flat = box is not None and box.kind is ContainerKind.OPEN_FLAT
        seeds = yield from seeds_each(want.plants, flat, want.seeds_per_cell or 1)
        return replace(want, seeds_per_cell=seeds)
    if what == "until":
        _first, until = yield from wanted("Still worth setting out until?", today)
        return replace(want, until=until)
    bed: str = yield Type("Which bed?", str, want.bed)
    return replace(want, bed=bed)


def drop_target(target: Target) -> Flow[Wish]:
    """A line isn't wanted any more."""
    sure: bool = yield Choose(
        f"Drop {target.plants} {variety_name(target.crop, target.variety)} for {say_day(target.first_day)}?",
        [Option("yes, it isn't wanted any more", True, "y"), Option("no", False, "n")],
        1,
    )
    if not sure:
        raise BadInput("Nothing was dropped.", "The line stands as it was.")
    return lambda store, stamp: plan.drop_target(store, stamp, target.id)


def sow_planned(
    one: Planned, choices: Choices, numbers: Numbers, today: date, mat: int | None = None
) -> Flow[Wish]:
    """A planned line is sown now: a tray of it, everything filled in; on the mat that the rota gives it."""
    if not one.left:
        raise BadInput("That line is sown already.", "Change its plants with c if more are wanted.")
    target = one.target
    container = next((c for c in choices.containers if c.id == target.container_id), None)
    if container is None or not choices.places:
        raise BadInput("Its container or place isn't there.", "Change the line with c.")
    word = yield from _in_time(one, today)
    free = {room.place.id for room in choices.places if not room.full}
    home = target.place_id if target.place_id is not None else choices.places[0].place.id
    proposed = Plan(
        what=((target.crop, target.variety),),
        lots=(target.lot,),
        container=container,
        place_id=mat if mat in free and mat is not None else home,
        cells=_cells_of_one(one, container),
        seeds=one.seeds_per_cell,
        sown_on=today,
        number=numbers.following,
        target_id=target.id,
    )
    return (yield from sow_so(proposed, choices, numbers, today, word))


def _cells_of_one(one: Planned, container: Container) -> int:
    """Cells of the next tray: of a stage half of them, since the other set has a day of its own."""
    if container.kind is ContainerKind.OPEN_FLAT:
        return max(1, one.cells_left)
    half = -(-one.cells // len(one.spare)) if one.spare else one.cells
    in_set = half - one.sown_cells % half if one.spare else half
    return max(1, min(container.cells, one.cells_left, in_set))


def _in_time(one: Planned, today: date) -> Flow[str]:
    """What sowing today means for the day it is wanted: asked where it is too early, told where it is too late."""
    if one.missed(today):
        return late_words(one, today)
    days = (one.opens - today).days
    if days <= 0:
        return ""
    ready = say_ready(one.reached(today), today, one.target.stage)
    what = "This set's day" if one.spare else "Its first day"
    sure: bool = yield Choose(
        f"{what} is {say_day(one.opens, today)}, in {days} {'days' if days > 1 else 'day'}. "
        f"Sown today: {ready}, wanted {say_day(one.target.first_day, today)}. Sow it today all the same?",
        [Option("no, nothing is sown", False, "n"), Option("yes, sow it now", True, "y")],
    )
    if not sure:
        raise BadInput("Nothing was sown.", f"Sow it from {say_day(one.opens, today)} on.")
    return ""
