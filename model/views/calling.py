"""When to call the grower, and on what number."""

from collections.abc import Iterator, Mapping

from model.text import clean
from model.units import Temperature, show_temperature

BLANK = "____________________"
"""Where a phone number is written by hand."""
MOST_NUMBER = 30
"""Characters of a number that are shown."""


def call_if(usual: Mapping[str, float], scale: Temperature) -> Iterator[str]:
    """What a helper calls for; `usual` is the usual night of places [°C]. Common practice, no source."""
    nights = ", ".join(f"{name} {show_temperature(low, scale)}" for name, low in usual.items())
    yield f"a place is colder than its usual night: {nights}" if nights else "a place feels colder than usual"
    yield "a mat is cold to the hand"
    yield "trays have fallen over, or something has eaten at them"
    yield "plants are wilted at 7 in the morning"
    yield "a heater smells or smokes, or an alarm sounds: leave first, then call"


def number_of(settings: Mapping[str, str]) -> str:
    """The number to call as it is set, or a line to write it on."""
    return clean(settings.get("phone", "")).strip()[:MOST_NUMBER] or BLANK
