"""What if: another place, another warmth, more room, now or some days from now."""

from datetime import date

from model.days import short_day
from model.rules.course import Change
from model.units import Temperature, parse_temperature
from model.views.choices import Choices
from model.views.course import WhatIf
from model.views.tray import TrayPage
from tui.dialogs.ask import Choose, Flow, Option, Type
from tui.dialogs.flows import whole_number

LONGEST_WAIT = 60
"""Days of waiting beyond which nothing is worth asking [d]. Ours."""


def what_if(page: TrayPage, choices: Choices) -> Flow[Change]:
    """What is thought of, and from when."""
    what: str = yield Choose(
        f"What if {page.line.label} were",
        [
            Option("held at another place", "place", "p"),
            Option("held at another temperature", "temperature", "t"),
            Option("potted up", "container", "c"),
        ],
        likely=-1,
    )
    place_id = container_id = temp_c = None
    if what == "place":
        others = [room.place for room in choices.places if room.place.id != page.line.place_id]
        place_id = yield Choose("Where?", [Option(place.name, place.id) for place in others], likely=-1)
    elif what == "container":
        bigger = [c for c in choices.containers if c.volume_ml > page.container_ml]
        container_id = yield Choose("Into:", [Option(c.name, c.id) for c in bigger], likely=-1)
    else:
        scale = Temperature(choices.settings.get("temperature", Temperature.CELSIUS))
        temp_c = yield Type(
            "At how many degrees?", lambda text: parse_temperature(text, scale), "", "like 12, 15c or 59f"
        )
    wait: int = yield Type("In how many days?", whole_number(0, LONGEST_WAIT), "0")
    return Change(place_id=place_id, temp_c=temp_c, container_id=container_id, wait_days=wait)


def words(found: WhatIf) -> str:
    """The three days without and with it."""
    days = zip(("ready", "full", "root-bound"), found.before, found.after, strict=True)
    told = [f"{stage} {_day(before)} \u2192 {_day(after)}" for stage, before, after in days]
    return "what if: " + ", ".join(told) + "   (only thought of; nothing was entered)"


def _day(day: date | None) -> str:
    return short_day(day) if day else "never"
