"""Thirst: by when a tray is likely dry, beside what people said of its water and never instead of it.

What is reckoned starts from a watering on record. A day counts by the air that was read where the tray stood, else by
the place's usual day. The fill of the roots today stands in for that of the days since: until mix is half dry, bare
mix and leaves lose nearly alike. A morning is told from that morning on, whatever the hour it is read.

The numbers are imported where they are asked for: the round is on the screen before.
"""

from collections.abc import Collection, Iterable, Mapping
from datetime import date, timedelta
from typing import TYPE_CHECKING

from model.days import WEEKDAYS
from model.facts import Place, PlaceKind, Tray
from model.rules.grounds import Grounds
from model.rules.verdict import Dries, Knows, SecondPass, Thirst
from model.rules.water import marked

if TYPE_CHECKING:
    from model.rules.drying import Drying
    from model.rules.spells import Fills

LIKELY = 0.5
"""Chance from which a tray is called likely dry, or still wet [fraction]. Ours."""
DAMPING_BELOW_C = 20.0
"""Mean of night and day below which a wet mix invites damping-off before plants are up [°C] (Pennsylvania State
University Extension: medium below 68 °F)."""

NO_LATITUDE = "drying not known: no latitude"
NO_WATERING = "drying not known: no watering on record"
FELT_DRY = "felt dry today"
STILL_WET = "leave: still wet; damping-off risk"
WORDS = {
    Dries.NOW: "likely dry now",
    Dries.NOON: "likely dry by noon",
    Dries.EVENING: "likely dry by evening",
    Dries.TOMORROW: "likely dry tomorrow",
}
UNDER_GLASS = "FAO-56 Hargreaves outdoors, 0.64 of it under cover (a glasshouse study)"
SOURCES = {
    PlaceKind.HARDENING: "FAO-56 Hargreaves outdoors, a fifth more for a tray alone (ours)",
    PlaceKind.LIT_SHELF: "Penman's two terms under lamps; air of 50 % damp is assumed",
    PlaceKind.HEAT_MAT: "Penman's two terms indoors, bare mix warmer than the air; 50 % damp is assumed",
    PlaceKind.SLATTED_BENCH: UNDER_GLASS,
    PlaceKind.COLD_FRAME: UNDER_GLASS,
    PlaceKind.CORNER: UNDER_GLASS,
    PlaceKind.QUARANTINE: UNDER_GLASS,
}
"""Where the loss at a place comes from."""
INDOORS = frozenset({PlaceKind.LIT_SHELF, PlaceKind.HEAT_MAT})
"""Places whose air doesn't follow the sun, so that no latitude is needed."""


def thirsts(
    trays: Collection[Tray], on: Grounds, fills: "Fills", today: date, teachers: Iterable[Tray] = ()
) -> dict[int, Thirst]:
    """What is reckoned of the water of some trays, by their id.

    Args:
        trays: The trays that are asked for.
        on: Their grounds; the containers and places of the teachers too.
        fills: Expected root fill of each today [fraction]; None, or not there, where it isn't known.
        today: The day.
        teachers: Other trays, gone ones too, whose finger tests teach how fast their places dry.
    """
    from model.rules.drying import AHEAD, air_of, reckon
    from model.rules.spells import past, present

    why_not = {tray.id: _not_known(tray, on, today) for tray in trays}
    known = [tray for tray in trays if not why_not[tray.id]]
    answers = {tray_id: _unknown(words) for tray_id, words in why_not.items() if words}
    if not known:
        return answers
    spells = [present(tray, on, fills, today) for tray in known]
    every = {tray.id: tray for tray in (*teachers, *trays)}.values()
    asked = {tray.id for tray in known}
    taught = [spell for tray in every for spell in past(tray, on, fills, today)]
    taught += [
        present(tray, on, fills, today)
        for tray in every
        if tray.id not in asked and not _not_known(tray, on, today)
    ]
    taught = [spell for spell in taught if spell.teaches]
    both = [*spells, *taught]
    places = sorted({place for spell in both for place in spell.places})
    last = max(spell.start + timedelta(days=spell.days + AHEAD) for spell in both)
    air = air_of(on, places, min(spell.start for spell in both), last)
    drying = reckon(spells, taught, air)
    return answers | {tray.id: _told(tray, on, today, drying, row) for row, tray in enumerate(known)}


def _not_known(tray: Tray, on: Grounds, today: date) -> str:
    """Why nothing can be said; empty where something can."""
    from model.rules.spells import LONGEST_DAYS, since, stood_at

    start = since(tray, today)
    if start is None:
        return NO_WATERING
    days = (today - start).days
    if days > LONGEST_DAYS:
        return f"drying not known: no watering for {days} d"
    sunny = any(on.places[place].kind not in INDOORS for place in stood_at(tray, start, days + 1))
    return NO_LATITUDE if sunny and on.latitude is None else ""


def _unknown(words: str) -> Thirst:
    settle = (
        "S sets the farm's latitude" if words == NO_LATITUDE else "a watering or a finger test settles it"
    )
    return Thirst(None, None, None, Dries.UNKNOWN, None, words, Knows.RECORD, 0, settle)


def _told(tray: Tray, on: Grounds, today: date, drying: "Drying", row: int) -> Thirst:
    """What is reckoned, in words. What a finger felt this morning is so, whatever was reckoned."""
    from model.rules.spells import felt_dry

    felt = felt_dry(tray, today)
    dries, dry_on = (Dries.NOW, today) if felt else _when(drying.dry[row], today)
    wet = drying.wet[row] >= LIKELY and not marked(tray.watered, today)
    return Thirst(
        easy_water=float(drying.easy_water[row]),
        low=float(drying.low[row]),
        high=float(drying.high[row]),
        dries=dries,
        dry_on=dry_on,
        word=FELT_DRY if felt else STILL_WET if wet and _damping(tray, on, today) else _word(dries, dry_on),
        knows=Knows.SEEN if drying.tests[row] else Knows.DEFAULT,
        tests=drying.tests[row],
        source=SOURCES[on.places[tray.place_id].kind],
    )


def _when(dry: Iterable[float], today: date) -> tuple[Dries, date | None]:
    """By when a tray is likely dry, from its chance of being: now, at noon, and on the evenings from today on."""
    first = next((step for step, chance in enumerate(dry) if chance >= LIKELY), None)
    if first is None:
        return Dries.LATER, None
    return Dries(min(first, Dries.LATER)), today + timedelta(days=max(0, first - Dries.EVENING))


def _word(dries: Dries, dry_on: date | None) -> str:
    from model.rules.drying import AHEAD

    if dries in WORDS:
        return WORDS[dries]
    return f"likely dry on {WEEKDAYS[dry_on.weekday()]}" if dry_on else f"not dry within {AHEAD} days"


def _damping(tray: Tray, on: Grounds, today: date) -> bool:
    """Whether a wet mix would harm: nothing or little is up, and it is cool."""
    from model.rules.spells import little_up

    place = on.places[tray.place_id]
    low, high = on.weather.get(place.id, {}).get(today, (place.low_c, place.high_c))
    return little_up(tray, today) and (low + high) / 2 < DAMPING_BELOW_C


def second_pass(
    thirsts: Mapping[int, Thirst], trays: Iterable[tuple[int, int]], places: Iterable[Place]
) -> tuple[SecondPass, ...]:
    """The places where a tray is likely dry before evening, the most such trays first, then in walking order.

    Args:
        thirsts: What is reckoned, by tray.
        trays: Id and place of each tray.
        places: The places in walking order.
    """
    here: dict[int, list[tuple[Dries, int]]] = {}
    for tray_id, place_id in trays:
        if tray_id in thirsts:
            here.setdefault(place_id, []).append((thirsts[tray_id].dries, tray_id))
    found = [_pass(place, sorted(here[place.id])) for place in places if place.id in here]
    dry = [one for one in found if one.by_evening]
    return tuple(sorted(dry, key=lambda one: (-one.by_evening, -one.by_noon)))


def _pass(place: Place, trays: list[tuple[Dries, int]]) -> SecondPass:
    soon = [tray_id for dries, tray_id in trays if dries <= Dries.EVENING]
    return SecondPass(
        place_id=place.id,
        name=place.name,
        trays=len(trays),
        by_noon=sum(dries <= Dries.NOON for dries, _ in trays),
        by_evening=len(soon),
        unknown=sum(dries is Dries.UNKNOWN for dries, _ in trays),
        tray_ids=tuple(soon),
    )
