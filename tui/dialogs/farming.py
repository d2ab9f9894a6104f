"""Questions about the farm itself: who is on, places, containers, settings."""

from collections.abc import Callable, Sequence
from dataclasses import replace

from model.actions import farm
from model.actions.opening import Store
from model.days import check_zone
from model.errors import BadInput
from model.facts import Bottom, Container, ContainerKind, Place, PlaceKind
from model.papers import read_label_sheet
from model.units import (
    Measure,
    Temperature,
    parse_length,
    parse_temperature,
    parse_volume,
    show_depth,
    show_temperature,
)
from model.views.choices import Choices, PlaceRoom
from tui.dialogs.ask import Choose, Flow, Option, Type
from tui.dialogs.flows import some_text, whole_number

Change = Callable[[Store], str | None]

NOT_KNOWN = "not known"
CAUTION_MAT = (
    "heat and water: a ground-fault protected outlet, leads off the wet; a licensed electrician decides"
)


def person(choices: Choices) -> Flow[Change]:
    """Who is on the round."""
    now = choices.settings.get("person", "")
    at = next((i for i, name in enumerate(choices.people) if name == now), 0)
    options = [Option(name, name) for name in choices.people] + [Option("somebody new", None, "n")]
    name: str | None = yield Choose("Who is on the round?", options, at)
    if name is None:
        name = yield Type("Name or role:", some_text)

    def change(store: Store) -> str:
        farm.name_person(store, name)
        return f"{name} is on the round"

    return change


def new_name(taken: Sequence[str]) -> Callable[[str], str]:
    """A parser of a name that nothing else has."""

    def parse(text: str) -> str:
        name = some_text(text)
        farm.refuse_taken(name, taken)
        return name

    return parse


def place(choices: Choices) -> Flow[Change]:
    """A new place, or a change to one."""
    scale = Temperature(choices.settings.get("temperature", Temperature.CELSIUS))
    options = [Option("a new place", None, "n")]
    options += [
        Option(f"{room.place.name}, {room.place.kind}, {room.place.slots} slots", room)
        for room in choices.places
    ]
    chosen: PlaceRoom | None = (yield Choose("Which place?", options)) if choices.places else None
    old = chosen.place if chosen else None
    free = new_name([room.place.name for room in choices.places if room is not chosen])
    name: str = yield Type("Its name?", free, old.name if old else "", "short, like mat, slats or frame")
    kinds = list(PlaceKind)
    kind: PlaceKind = yield Choose(
        "What is it?", [Option(kind.value, kind) for kind in kinds], kinds.index(old.kind) if old else 0
    )
    slots: int = yield Type("How many trays fit?", whole_number(1), str(old.slots) if old else "8")
    usual = (old.low_c, old.high_c) if old and old.kind is kind else farm.USUAL_C[kind]
    hint = "15c or 59f is obeyed; a bare number is read as " + scale.value
    if kind is PlaceKind.HEAT_MAT:
        low: float = yield _degrees("What is it set to?", usual[0], scale, f"{hint}. {CAUTION_MAT}")
        high = low
    else:
        low = yield _degrees("Usual night?", usual[0], scale, hint)
        high = yield _degrees("Usual day?", usual[1], scale, hint, least=low)
    last = max((room.place.walk for room in choices.places), default=0)
    walk: int = yield Type(
        "Which stop on the walk?",
        whole_number(1),
        str(old.walk if old else last + 1),
        "1 is first; the holding corner comes late, quarantine last",
    )
    kept = Place(old.id if old else 0, name, kind, walk, slots, low, high)
    if old and old.kind is kind:
        kept = replace(old, name=name, walk=walk, slots=slots, low_c=low, high_c=high)
    if kind is PlaceKind.HEAT_MAT:
        kept = replace(kept, probe=(yield from _probe(kept.probe)))
    if kind is PlaceKind.LIT_SHELF:
        measure = Measure(choices.settings.get("measure", Measure.METRIC))
        kept = yield from _lamps(kept, measure)
    return lambda store: farm.keep_place(store, kept)


def _probe(now: bool) -> Flow[bool]:
    """Whether what the thermostat is set to is what the mix has."""
    options = [Option("no: under the trays, or none", False, "n"), Option("yes", True, "y")]
    probe: bool = yield Choose("Does the thermostat's probe sit in the mix?", options, int(now))
    return probe


def _lamps(kept: Place, measure: Measure) -> Flow[Place]:
    """How the lamps of a shelf are set; what nobody knows stays not known."""

    def number(most: float, words: str) -> Callable[[str], float]:
        def parse(text: str) -> float:
            if not (text.isascii() and text.replace(".", "", 1).replace(",", "", 1).isdecimal()):
                raise BadInput(f"{text!r} is no number.", words)
            value = float(text.replace(",", "."))
            if value > most:
                raise BadInput(f"{value:g} can't be.", words)
            return value

        return parse

    hours: float | None = yield _maybe(
        "Lamps on for how many hours a day?",
        number(farm.MOST_LAMP_HOURS, "Type hours from 0 to 24, like 14 or 14.5."),
        kept.lamp_hours,
        lambda value: f"{value:g}",
        "as the timer is set",
    )
    gap: float | None = yield _maybe(
        "Gap from lamps to leaves?",
        lambda text: parse_length(text, measure),
        kept.lamp_gap_mm,
        lambda value: show_depth(value, measure),
        "like 60, 6cm or 2.5in; a bare number is " + ("inches" if measure is Measure.US else "mm"),
    )
    umol: float | None = yield _maybe(
        "Light at the leaves in µmol/(m² s), if measured?",
        number(farm.MOST_LAMP_UMOL, "Type what a light meter shows, 0 to 3000; 0 is not known."),
        kept.lamp_umol,
        lambda value: f"{value:g}",
        "from a light meter; 0 is not known",
    )
    return replace(kept, lamp_hours=hours, lamp_gap_mm=gap, lamp_umol=umol or None)


def _maybe(
    prompt: str,
    parse: Callable[[str], float],
    now: float | None,
    show: Callable[[float], str],
    hint: str,
) -> Type:
    """A question that may stay without an answer. Enter keeps what is on record, not as it is rounded to be shown."""
    likely = NOT_KNOWN if now is None else show(now)
    return Type(prompt, lambda text: now if text == likely else parse(text), likely, hint)


def _degrees(prompt: str, likely_c: float, scale: Temperature, hint: str, least: float | None = None) -> Type:
    """A question for a temperature. Enter keeps the likely one as it is, not as it is rounded to be shown."""
    likely = show_temperature(likely_c, scale)

    def parse(text: str) -> float:
        degrees = likely_c if text == likely else parse_temperature(text, scale)
        if least is not None and degrees < least:
            raise BadInput(
                "The night is warmer than the day.", "Type the usual day, or begin again after Esc."
            )
        return degrees

    return Type(prompt, parse, likely, hint)


def container(choices: Choices) -> Flow[Change]:
    """A container of the grower's own."""
    measure = Measure(choices.settings.get("measure", Measure.METRIC))
    name: str = yield Type("Its name?", some_text, "", "by cell count or size, like 60-cell tray")
    kind: ContainerKind = yield Choose("What is it?", [Option(kind.value, kind) for kind in ContainerKind])
    cells: int = yield Type("How many cells or pots in it?", whole_number(1), "1")
    volume: float = yield Type(
        "How much does one hold?",
        lambda text: parse_volume(text, measure),
        "",
        "43 ml, 2.6 in3, 1 l; of an open flat the whole. Printed on it, or measured with water",
    )
    bottom: Bottom = yield Choose(
        "Its bottom?", [Option("open cells or slits", Bottom.OPEN), Option("solid", Bottom.SOLID)]
    )
    made = Container(0, name, kind, cells, volume, bottom, "the grower's own")
    return lambda store: farm.keep_container(store, made)


def _or_none(parse: Callable[[str], float]) -> Callable[[str], str]:
    """A parser of a number that may be left open; a bare - takes it back."""
    return lambda text: "" if text.strip() in {"", NONE} else f"{parse(text):g}"


NONE = "-"


def _phone(text: str) -> str:
    return "" if text.strip() == NONE else some_text(text)


_READERS: dict[str, tuple[Callable[[str], str], str]] = {
    "zone": (check_zone, "like Europe/London"),
    "phone": (_phone, "stands on cover sheets and before helpers; - for none"),
    "label_sheet": (
        lambda text: str(read_label_sheet(text)),
        "paper, labels across x down, margins and gaps in mm, like A4 3x8 margins 7x13 gap 2x0",
    ),
    **{
        name: (_or_none(farm.NUMBERS[name]), hint)
        for name, hint in {
            "mix_bag_l": "as printed on the bag, like 40 or 75",
            "offset_c": "in a hollow, by still nights: like 2, or 3f; -1 is warmer; - for none",
            "latitude": "degrees from the equator, like 51.5n or 33s; a map tells",
            "harden_days": "for every crop, 3 to 21; sources say 3-6, about 7, 7-14; - for each crop's own",
            "frost_risk": "of one night ahead, 1 to 50 %; 10 waits longer; - goes by the low that is told",
        }.items()
    },
}
"""How settings that aren't just words are read, and what they look like."""
OPEN = {"harden_days": "each crop's own", "frost_risk": "by the low that is told"}
"""What holds while a setting is left open."""


def settings(choices: Choices) -> Flow[Change]:
    """One setting of the farm."""
    now = choices.settings
    words = {
        "farm": "name of the farm",
        "zone": "time zone",
        "temperature": "temperatures in",
        "measure": "volumes and depths in",
        "theme": "dark or light screen",
        "order": "order within a place",
        "latitude": "latitude",
        "offset_c": "how much colder it gets here than the forecast says, °C",
        "cover": "cover at hand for frosty nights",
        "mix_bag_l": "litres in a bag of mix",
        "harden_days": "days of hardening before setting out",
        "frost_risk": "chance of too cold a night taken at the gate, %",
        "bed_cover": "cover that goes over what is set out",
        "paper": "paper of the round sheet",
        "label_sheet": "sheet of labels",
        "phone": "phone number that a helper calls",
        "alone": "remind a helper to tell somebody of start and end",
    }
    name: str = yield Choose(
        "Change what?",
        [Option(f"{word}: {now.get(key) or OPEN.get(key, NOT_KNOWN)}", key) for key, word in words.items()],
        -1,
    )
    if name in farm.CHOICES:
        values = sorted(farm.CHOICES[name])
        value: str = yield Choose(
            f"{words[name]}:", [Option(v, v) for v in values], values.index(now.get(name, values[0]))
        )
    else:
        parse, hint = _READERS.get(name, (some_text, ""))
        value = yield Type(f"{words[name]}:", parse, now.get(name, ""), hint)
    return lambda store: farm.set_setting(store, name, value)
