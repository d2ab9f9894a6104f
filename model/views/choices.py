"""What the small questions offer: places with room, containers, varieties, the last sowings, people, settings."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from model.crops import crop_names, emergence_row, load_crops, normal_seedlings, variety_name
from model.days import say_day
from model.facts import Container, Place, Tray, Treated
from model.labels import label
from model.numbering import about, next_number
from model.rules.mixed import speeds_apart
from model.rules.seeding import Packet
from model.rules.sprouting import heat_words
from model.science.quantities import SeedTest
from model.store import reading
from model.store.database import Rows, Store
from model.store.reading_lots import failed_lots, varieties_in_use


@dataclass(frozen=True, slots=True)
class PlaceRoom:
    """A place and how many trays stand there."""

    place: Place
    trays: int

    @property
    def full(self) -> bool:
        """Whether every slot is taken."""
        return self.trays >= self.place.slots


@dataclass(frozen=True, slots=True)
class Sown:
    """How a variety was sown the last time."""

    crop: str
    variety: str
    lot: str
    container_id: int
    place_id: int
    cells: int
    seeds_per_cell: int


@dataclass(frozen=True, slots=True)
class LotChoice:
    """A seed lot that can be sown."""

    crop: str
    variety: str
    name: str
    treated: Treated
    packed_year: int | None
    tested_seeds: int | None
    tested_up: int | None
    tested_on: date | None
    tested_c: float | None = None
    """Warmth of the test [°C]."""
    failed: bool = False
    """Whether half of one of its sowings or more didn't come up; told of the lot, never stored."""

    @property
    def packet(self) -> Packet:
        """What the rules know of it."""
        seeds = self.tested_seeds
        return Packet(self.name, self.packed_year, SeedTest(self.tested_up or 0, seeds) if seeds else None)

    @property
    def tested(self) -> str:
        """The germination test in words, e.g. "9 of 20 up"; empty where there was none."""
        return f"{self.tested_up} of {self.tested_seeds} up" if self.tested_seeds else ""


@dataclass(frozen=True, slots=True)
class LabelAbout:
    """A number that no tray carries, though its label may still be about."""

    tray_id: int
    """The tray that had it last."""
    words: str
    """Whose it was, and until when."""


@dataclass(frozen=True, slots=True)
class Choices:
    """Everything the questions offer, read at one moment."""

    places: tuple[PlaceRoom, ...]
    containers: tuple[Container, ...]
    crops: tuple[tuple[str, str], ...]
    """Key and name of every crop that has figures; a crop may go by several names."""
    varieties: tuple[tuple[str, str], ...]
    """Crop and name of every variety that something on record names."""
    lots: tuple[LotChoice, ...]
    last: tuple[Sown, ...]
    """The last sowing of each variety, the newest first."""
    people: tuple[str, ...]
    settings: dict[str, str]


@dataclass(frozen=True, slots=True)
class Numbers:
    """Which number a new label can have."""

    taken: frozenset[int]
    """Numbers of the standing trays."""
    about: Mapping[int, LabelAbout]
    """Numbers that no tray carries but whose labels may still be about."""
    following: int
    """The next free one."""


def heat_warning(crop_key: str, place: Place) -> str:
    """What sowing a crop at a place costs in normal seedlings; "" for little, and where nobody tested it."""
    crop, percents = load_crops().get(crop_key), normal_seedlings().get(emergence_row(crop_key))
    return heat_words(crop, place, percents) if crop is not None and percents is not None else ""


def mixed_warning(crop_keys: Iterable[str], place: Place) -> str:
    """What sowing some crops into one flat at a place means for their coming up; "" where they suit each other."""
    known = load_crops()
    return speeds_apart([known[key] for key in dict.fromkeys(crop_keys) if key in known], place)


def _labels_about(labels: Mapping[int, tuple[Tray, date]]) -> dict[int, LabelAbout]:
    found = {}
    for number, (tray, until) in labels.items():
        what = " + ".join(variety_name(sowing.crop, sowing.variety) for sowing in tray.sowings)
        now = f"that is {label(tray.number)} now" if tray.standing else "that is gone"
        found[number] = LabelAbout(tray.id, f"{label(number)} was {what} until {say_day(until)}; {now}")
    return found


def read_choices(store: Store) -> Choices:
    """What the questions can offer now."""
    with store.reading() as rows:
        return _choices(rows, reading.standing_trays(rows))


def read_numbers(store: Store, today: date) -> Numbers:
    """What a question for a number has to know; it reads every tray that left of late."""
    with store.reading() as rows:
        return _numbers(rows, reading.standing_trays(rows), today)


def read_for_sowing(store: Store, today: date) -> tuple[Choices, Numbers]:
    """Both."""
    with store.reading() as rows:
        standing = reading.standing_trays(rows)
        return _choices(rows, standing), _numbers(rows, standing, today)


def _numbers(rows: Rows, standing: Sequence[Tray], today: date) -> Numbers:
    labels = about(rows, today, standing)
    taken = frozenset(tray.number for tray in standing)
    return Numbers(taken, _labels_about(labels), next_number(rows, labels))


def _choices(rows: Rows, standing: Sequence[Tray]) -> Choices:
    varieties = {row.id: row for row in reading.varieties(rows)}
    lots = reading.lots(rows)
    failed, used = failed_lots(rows), varieties_in_use(rows)
    return Choices(
        places=tuple(
            PlaceRoom(place, sum(tray.place_id == place.id for tray in standing))
            for place in reading.places(rows)
        ),
        containers=reading.containers(rows),
        crops=tuple((key, name) for name, key in crop_names().items()),
        varieties=tuple((row.crop, row.name) for row in varieties.values() if row.id in used),
        lots=tuple(
            LotChoice(
                varieties[lot.variety_id].crop,
                varieties[lot.variety_id].name,
                lot.name,
                lot.treated,
                lot.packed_year,
                lot.tested_seeds,
                lot.tested_up,
                lot.tested_on,
                lot.tested_c,
                lot.id in failed,
            )
            for lot in lots
        ),
        last=tuple(
            Sown(varieties[variety].crop, varieties[variety].name, lot, container, place, cells, seeds)
            for variety, lot, container, place, cells, seeds in reading.last_sowings(rows)
        ),
        people=reading.people(rows),
        settings=reading.settings(rows),
    )
