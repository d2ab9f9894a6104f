"""Questions about what thermometers show and what the forecast tells."""

from dataclasses import replace
from datetime import date, datetime

from model.actions import growth, weather
from model.days import parse_hour, say_day
from model.errors import BadInput
from model.facts import Place, PlaceKind
from model.rules.reasons import FINGER_WORDS
from model.units import Temperature, parse_low_high, parse_lows, parse_temperature
from model.views.choices import Choices
from model.views.lines import TrayLine
from tui.dialogs.ask import Choose, Flow, Option, Type
from tui.dialogs.flows import Wish, day_gone

SOIL, FORECAST, EARLIER = "soil", "forecast", "earlier"


def read(choices: Choices, here: int | None, now: datetime, today: date) -> Flow[Wish]:
    """Low and high of a place, the soil, or tonight's forecast; the place where the hand is stands first.

    What was read on an earlier day, and put right today, is entered for that day.
    """
    scale = Temperature(choices.settings.get("temperature", Temperature.CELSIUS))
    places, day = [room.place for room in choices.places], today
    options = [Option(place.name, place) for place in places]
    options.append(Option("soil, or the mix on a mat", SOIL, "s"))
    later = [Option("tonight's forecast", FORECAST, "f"), Option("something of an earlier day", EARLIER, "e")]
    chosen: Place | str = yield Choose("What was read?", [*options, *later], _at(places, here))
    if chosen == EARLIER:
        day = yield Type("Read on which day?", day_gone(today), "yesterday", "like -3, yesterday or 12 apr")
        chosen = yield Choose(f"What was read on {say_day(day)}?", options, _at(places, here))
    if chosen == FORECAST:
        return (yield from _forecast(choices.settings.get("zone", "UTC"), scale, now))
    on = "" if day == today else f" on {say_day(day)}"
    if isinstance(chosen, Place):
        wish = yield from _air(chosen, scale, on)
    else:
        wish = yield from _soil(places, here, scale, on)
    return wish if day == today else lambda store, stamp: wish(store, replace(stamp, day=day))


def _at(places: list[Place], here: int | None) -> int:
    return next((i for i, place in enumerate(places) if place.id == here), 0)


def _air(place: Place, scale: Temperature, on: str) -> Flow[Wish]:
    what = "of the mix on" if place.kind is PlaceKind.HEAT_MAT else "at"
    low, high = yield Type(
        f"Low and high {what} {place.name}{on}, {scale}:",
        lambda text: parse_low_high(text, scale),
        "",
        f"of the 24 hours up to {'that round' if on else 'now'}, like 4 17; for one alone 4 - or - 17; 4c 63f is obeyed",
    )
    return lambda store, stamp: weather.keep_air(store, stamp, place.id, low, high)


def _soil(places: list[Place], here: int | None, scale: Temperature, on: str) -> Flow[Wish]:
    if not places:
        raise BadInput("There is no place yet.", "Add one with P.")
    # A bed has no place of its own: what is read there counts as the ground where trays harden.
    beds = {place.id: ", or a bed outside" for place in places if place.kind is PlaceKind.HARDENING}
    options = [Option(f"{place.name}{beds.get(place.id, '')}", place) for place in places]
    place: Place = yield Choose("Soil or mix of which place?", options, _at(places, here))
    degrees: float = yield Type(
        f"How warm {'was' if on else 'is'} it at {place.name}{on}, {scale}?",
        lambda text: parse_temperature(text, scale),
        "",
        "at planting depth, or in the mix of a cell; 9c or 48f is obeyed",
    )
    return lambda store, stamp: weather.keep_soil(store, stamp, place.id, degrees)


def _forecast(zone: str, scale: Temperature, now: datetime) -> Flow[Wish]:
    lows: list[float] = yield Type(
        f"Lowest for tonight and the nights after, {scale}:",
        lambda text: parse_lows(text, scale),
        "",
        "tonight first, like 4, or 4 2 -1 3 5 for five nights; -2c or 28f is obeyed",
    )
    issued: datetime = yield Type(
        "Issued at which hour?",
        lambda text: parse_hour(text, now, zone),
        "now",
        "like 6, 5:30 or 18; an hour that is still to come was yesterday's",
    )
    return lambda store, stamp: weather.keep_forecast(store, stamp, lows, issued)


def finger(line: TrayLine) -> Flow[Wish]:
    """A finger in the mix."""
    options = [Option(words, score, str(score)) for score, words in enumerate(FINGER_WORDS)]
    score: int = yield Choose(f"A finger in the mix of {line.label}:", options, likely=-1)
    return lambda store, stamp: growth.finger(store, stamp, line.tray_id, score)
