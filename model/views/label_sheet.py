"""What is written on labels: of a tray, and of every plant in it."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from zoneinfo import ZoneInfo

from model.ahead import Purpose
from model.asof import standing_on
from model.crops import variety_name
from model.days import farm_day, short_day
from model.errors import BadInput
from model.facts import Sowing, Tray, Treated
from model.labels import label, read_label
from model.rules.numbers import leads_to, number_words
from model.store import reading, reading_ahead
from model.store.database import Rows, Store
from model.text import clean

MOST_PLANTS = 2000
"""Labels made in one go at most [-]: more is a slip of the finger."""


@dataclass(frozen=True, slots=True)
class Label:
    """One label: the number with its letter, and the lines under it."""

    label: str
    """What its code says, too."""
    lines: tuple[str, ...]

    @property
    def text(self) -> str:
        """The label in plain text."""
        return "\n".join((self.label, *self.lines))


@dataclass(frozen=True, slots=True)
class Labels:
    """The labels that were asked for."""

    found: tuple[Label, ...]
    renamed: tuple[str, ...]
    """Which of the numbers are old ones, and of others which other tray they were: 43C is 51B now."""


def numbered(store: Store, today: date, words: Iterable[str]) -> list[int]:
    """Tray numbers from what was typed; a slip is asked about."""
    with store.reading() as rows:
        standing = {tray.number for tray in standing_on(rows, today)}
    return [read_label(word, standing) for word in words]


def new_on(rows: Rows, standing: Iterable[Tray], day: date) -> list[Tray]:
    """Trays that need a label since a day: made, sown again or given another number on it, or entered so on it."""
    zone = reading.settings(rows).get("zone", "UTC")
    begin = datetime.combine(day, time(), ZoneInfo(zone))
    of_day = {entry.id for entry in reading.entries(rows, begin) if farm_day(entry.at, zone) == day}
    entered = reading.labelled_in(rows, of_day - reading.dead_entries(rows))
    return [
        tray
        for tray in standing
        if tray.id in entered
        or tray.made_on == day
        or any(sowing.sown_on == day for sowing in tray.sowings)
        or any(alias.until == day for alias in tray.aliases)
    ]


def new_numbers(store: Store, today: date) -> list[int]:
    """Numbers of the trays that need a label since today."""
    with store.reading() as rows:
        return sorted(tray.number for tray in new_on(rows, standing_on(rows, today), today))


def tray_labels(store: Store, today: date, numbers: Sequence[int] = ()) -> Labels:
    """A label for each of some standing trays; without numbers for those that are new on the day."""
    trays, classes, renamed = _wanted(store, today, numbers)
    return Labels(tuple(_label(tray, _living(tray), classes) for tray in trays), renamed)


def plant_labels(store: Store, today: date, numbers: Sequence[int] = ()) -> Labels:
    """A label for every plant that stands in some trays; without numbers in those that are new on the day."""
    trays, classes, renamed = _wanted(store, today, numbers)
    many = sum(tray.have for tray in trays)
    if many > MOST_PLANTS:
        raise BadInput(f"That would be {many} labels.", f"Name fewer trays: {MOST_PLANTS} labels at most.")
    found = tuple(
        _label(tray, [sowing], classes)
        for tray in trays
        for sowing in _living(tray)
        for _ in range(sowing.have)
    )
    return Labels(found, renamed)


def _wanted(
    store: Store, today: date, numbers: Sequence[int]
) -> tuple[list[Tray], Mapping[int, date], tuple[str, ...]]:
    """The trays that are labelled, the days of the classes that they are for, and what is to be known of the numbers."""
    with store.reading() as rows:
        standing = standing_on(rows, today)
        wanted = [leads_to(number, standing) for number in numbers]
        unknown = next((number for number, tray in zip(numbers, wanted, strict=True) if tray is None), None)
        if unknown is not None:
            raise BadInput(f"No tray {label(unknown)} stands.", "Read the number again.")
        found = [tray for tray in wanted if tray is not None] or sorted(
            new_on(rows, standing, today), key=lambda tray: tray.number
        )
        if not found:
            raise BadInput("No tray got a label on that day.", "Name the trays by their numbers.")
        renamed = tuple(
            words
            for number, tray in zip(numbers, wanted, strict=True)
            if tray is not None
            for words in number_words(number, tray, standing, today)
        )
        return list({tray.id: tray for tray in found}.values()), class_days(rows), renamed


def _living(tray: Tray) -> list[Sowing]:
    return [sowing for sowing in tray.sowings if sowing.have > 0] or list(tray.sowings)


def class_days(rows: Rows) -> dict[int, date]:
    """Trays that were sown for a class, or potted up from one that was, and the day of the class."""
    sown, older = reading_ahead.sown_for(rows), reading_ahead.older_forms(rows)
    days: dict[int, date] = {}
    for target in reading_ahead.targets(rows):
        form: int | None = target.id if target.purpose is Purpose.CLASS else None
        while form is not None:
            days |= dict.fromkeys(sown.get(form, ()), target.first_day)
            form = older.get(form)
    # A parent has the lower number, so that a day reaches pots of pots.
    for tray, parent in rows("SELECT id, parent_id FROM tray WHERE parent_id IS NOT NULL ORDER BY id"):
        if parent in days:
            days.setdefault(tray, days[parent])
    return days


def _label(tray: Tray, sowings: Sequence[Sowing], classes: Mapping[int, date]) -> Label:
    lines = [line for sowing in sowings for line in _of_sowing(sowing, len(sowings) == 1)]
    if tray.id in classes:
        lines.append(f"class {short_day(classes[tray.id])}, not edible")
    if any(sowing.treated is Treated.YES for sowing in sowings):
        lines.append("treated seed")
    return Label(label(tray.number), tuple(lines))


def _of_sowing(sowing: Sowing, alone: bool) -> tuple[str, ...]:
    """What and when, and the lot: on a line of its own unless several sowings share the label."""
    what = clean(variety_name(sowing.crop, sowing.variety))
    day = f"sown {short_day(sowing.sown_on)} {sowing.sown_on.year}"
    if not sowing.lot:
        return what, day
    lot = f"lot {clean(sowing.lot)}"
    return (what, day, lot) if alone else (what, f"{day}  {lot}")


def text(labels: Iterable[Label]) -> str:
    """Labels in plain text, an empty line between them."""
    return "\n\n".join(found.text for found in labels)
