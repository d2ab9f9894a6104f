"""The farm itself: its settings, people, places and containers."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace

from model.crops import load_containers
from model.days import check_zone
from model.errors import BadInput
from model.facts import Container, Place, PlaceKind
from model.papers import A4, PAPERS, USUAL_LABELS, read_label_sheet
from model.science.frost import Cover
from model.store import reading
from model.store.database import Store, rows_of
from model.text import clean
from model.units import (
    Measure,
    Temperature,
    parse_bag,
    parse_harden_days,
    parse_latitude,
    parse_offset,
    parse_risk,
)

DEFAULTS = {
    "farm": "My farm",
    "zone": "UTC",
    "temperature": Temperature.CELSIUS.value,
    "measure": Measure.METRIC.value,
    "theme": "dark",
    "person": "grower",
    "order": "worst first",
    "latitude": "",
    "offset_c": "",
    "mix_bag_l": "",
    "cover": Cover.NONE.value,
    "bed_cover": Cover.NONE.value,
    "harden_days": "",
    "frost_risk": "",
    "paper": A4,
    "label_sheet": USUAL_LABELS,
    "phone": "",
    "alone": "no",
}
"""Settings of a new farm, and every setting there is."""

CHOICES = {
    "temperature": {scale.value for scale in Temperature},
    "measure": {measure.value for measure in Measure},
    "theme": {"dark", "light"},
    "order": {"worst first", "bench order"},
    "cover": {cover.value for cover in Cover},
    "bed_cover": {cover.value for cover in Cover},
    "paper": set(PAPERS),
    "alone": {"no", "yes"},
}

NUMBERS: Mapping[str, Callable[[str], float]] = {
    "latitude": parse_latitude,
    "offset_c": parse_offset,
    "mix_bag_l": parse_bag,
    "harden_days": parse_harden_days,
    "frost_risk": parse_risk,
}
"""Settings that are numbers, and how each is read; an empty one isn't known, or leaves things as they are."""

USUAL_C = {
    PlaceKind.HEAT_MAT: (24.0, 24.0),
    PlaceKind.LIT_SHELF: (17.0, 21.0),
    PlaceKind.SLATTED_BENCH: (12.0, 21.0),
    PlaceKind.COLD_FRAME: (5.0, 18.0),
    PlaceKind.HARDENING: (4.0, 15.0),
    PlaceKind.CORNER: (12.0, 18.0),
    PlaceKind.QUARANTINE: (12.0, 18.0),
}
"""Night and day [°C] offered for a new place. Common practice, no source: the grower puts in their own."""

MOST_LAMP_HOURS = 24.0
"""Hours in a day [h]."""
MOST_LAMP_GAP_MM, MOST_LAMP_UMOL = 3000.0, 3000.0
"""Farther [mm] and brighter [µmol/(m² s)] than any lamp over seedlings; the sun itself gives about 2000. Ours."""


def found_farm(store: Store, zone: str) -> None:
    """Give a new file its settings, its first person and the containers that ship with the program."""
    from model.store import tables

    check_zone(zone)
    with store.transaction() as session:
        # Another window may have founded it while this one waited.
        if reading.settings(rows_of(session)):
            return
        for name, value in {**DEFAULTS, "zone": zone}.items():
            session.add(tables.Setting(name=name, value=value))
        session.add(tables.Person(name=DEFAULTS["person"]))
        for container in load_containers():
            session.add(_container_row(container))


def _container_row(container: Container) -> object:
    from model.store import tables

    return tables.Container(
        name=container.name,
        kind=container.kind,
        cells=container.cells,
        volume_ml=container.volume_ml,
        bottom=container.bottom,
        source=container.source,
    )


def set_setting(store: Store, name: str, value: str) -> None:
    """Change one setting."""
    from model.store import tables

    if name not in DEFAULTS or value not in CHOICES.get(name, {value}):
        raise BadInput(
            f"{value!r} is no {name}.", f"Choose one of {', '.join(sorted(CHOICES.get(name, DEFAULTS)))}."
        )
    if name == "zone":
        check_zone(value)
    if name in NUMBERS and value.strip():
        value = f"{NUMBERS[name](value):g}"
    if name == "label_sheet":
        value = str(read_label_sheet(value))
    with store.transaction() as session:
        session.merge(tables.Setting(name=name, value=clean(value)))


def name_person(store: Store, name: str) -> None:
    """Put somebody on record and make them the one on the round."""
    from model.store import tables

    name = clean(name).strip()
    if not name:
        raise BadInput("The name is empty.", "Type a name or a role, like helper.")
    with store.transaction() as session:
        people = {row for (row,) in session.connection().exec_driver_sql("SELECT name FROM person")}
        if name not in people:
            session.add(tables.Person(name=name))
        session.merge(tables.Setting(name="person", value=name))


def keep_place(store: Store, place: Place) -> None:
    """Add a place (id 0) or change one that is on record."""
    from model.store import tables

    place = replace(place, name=clean(place.name).strip())
    if not place.name:
        raise BadInput("The place has no name.", "Give it a short one, like mat or slats.")
    if place.low_c > place.high_c:
        raise BadInput("The night is warmer than the day.", "Give the usual night first, then the usual day.")
    if place.slots < 1:
        raise BadInput(f"{place.slots} slots can't be.", "Give the number of trays that fit, from 1 up.")
    _check_lamps(place)
    with store.transaction() as session:
        known = {old.id: old.name for old in reading.places(rows_of(session))}
        if place.id and place.id not in known:
            raise BadInput("That place isn't on record.", "Pick one of the places of the farm.")
        refuse_taken(place.name, (name for i, name in known.items() if i != place.id))
        session.merge(
            tables.Place(
                id=place.id or None,
                name=place.name,
                kind=place.kind,
                walk=place.walk,
                slots=place.slots,
                low_c=place.low_c,
                high_c=place.high_c,
                probe=place.probe,
                lamp_hours=place.lamp_hours,
                lamp_gap_mm=place.lamp_gap_mm,
                lamp_umol=place.lamp_umol,
            )
        )


def _check_lamps(place: Place) -> None:
    """What isn't known is None; what is must be possible."""
    for value, most, what, unit in (
        (place.lamp_hours, MOST_LAMP_HOURS, "Lamps on for", "h a day"),
        (place.lamp_gap_mm, MOST_LAMP_GAP_MM, "A gap of", "mm"),
        (place.lamp_umol, MOST_LAMP_UMOL, "A light of", "µmol/(m² s)"),
    ):
        if value is not None and not 0 <= value <= most:
            raise BadInput(
                f"{what} {value:g} {unit} can't be.", f"Give 0 to {most:g}, or leave it not known."
            )


def refuse_taken(name: str, others: Iterable[str]) -> None:
    """Refuse a name that another place or container has; large and small letters are alike."""
    if name.lower() in {other.lower() for other in others}:
        raise BadInput(f"There is a {name} already.", "Give this one another name.")


def keep_container(store: Store, container: Container) -> None:
    """Add a container of the grower's own; its volume is what is printed on it or what the grower measured."""
    container = replace(container, name=clean(container.name).strip())
    if not container.name or container.cells < 1 or container.volume_ml <= 0:
        raise BadInput("The container isn't complete.", "Give a name, its cells and the volume of one.")
    with store.transaction() as session:
        refuse_taken(container.name, (known.name for known in reading.containers(rows_of(session))))
        session.add(_container_row(container))


def here_zone() -> str:
    """The zone that this machine keeps, as a first guess for a new farm; UTC where it isn't told."""
    import pendulum

    name = pendulum.now().timezone_name or DEFAULTS["zone"]
    try:
        return check_zone(name)
    except BadInput:
        return DEFAULTS["zone"]
