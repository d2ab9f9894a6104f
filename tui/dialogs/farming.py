"""Questions about the farm itself: who is on, places, containers, settings."""

from collections.abc import Callable

from model.actions import farm
from model.actions.opening import Store
from model.days import check_zone
from model.errors import BadInput
from model.facts import Bottom, Container, ContainerKind, Place, PlaceKind
from model.units import Measure, Temperature, parse_temperature, parse_volume, show_temperature
from model.views.choices import Choices, PlaceRoom
from tui.dialogs.ask import Choose, Flow, Option, Type
from tui.dialogs.flows import some_text, whole_number

Change = Callable[[Store], None]

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
    return lambda store: farm.name_person(store, name)


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
    name: str = yield Type("Its name?", some_text, old.name if old else "", "short, like mat, slats or frame")
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
        "1 is first; the holding corner comes last",
    )
    kept = Place(old.id if old else 0, name, kind, walk, slots, low, high)
    return lambda store: farm.keep_place(store, kept)


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
    }
    name: str = yield Choose(
        "Change what?", [Option(f"{word}: {now.get(key, '')}", key) for key, word in words.items()], -1
    )
    if name in farm.CHOICES:
        values = sorted(farm.CHOICES[name])
        value: str = yield Choose(
            f"{words[name]}:", [Option(v, v) for v in values], values.index(now.get(name, values[0]))
        )
    else:
        parse = check_zone if name == "zone" else some_text
        value = yield Type(
            f"{words[name]}:", parse, now.get(name, ""), "like Europe/London" if name == "zone" else ""
        )
    return lambda store: farm.set_setting(store, name, value)
