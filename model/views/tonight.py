"""What stands outside this evening: its line, tonight's low where it stands, and what is to be done."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime

from model.ahead import NightTold
from model.asof import acts_that_count, standing_on
from model.crops.lines import lines_of
from model.facts import ActKind, Place, PlaceKind, Tray
from model.labels import label
from model.rules.exposure import exposure
from model.rules.grounds import Grounds
from model.rules.outlook import Outlooks
from model.rules.tonight import ANSWER, NightCase, NightWord, Outside, night_case
from model.science.frost import cover_credit
from model.store import reading
from model.store.database import Rows, Store
from model.text import fit
from model.units import Temperature, show_offset, show_temperature
from model.views.answer import Answer, AnswerLine
from model.views.grounds import grounds
from model.views.outdoors import cover_of, outdoors

OPEN_AIR = frozenset({PlaceKind.HARDENING, PlaceKind.COLD_FRAME})
"""Places where a night can do harm."""
ROOMY = (PlaceKind.SLATTED_BENCH, PlaceKind.LIT_SHELF, PlaceKind.HEAT_MAT)
"""Where trays come in for a night, in that order."""
ORDER = {NightWord.BRING_IN: 0, NightWord.UNKNOWN: 1, NightWord.COVER: 2, NightWord.FINE: 3}
TONES = {
    NightWord.BRING_IN: "cold",
    NightWord.COVER: "cold",
    NightWord.UNKNOWN: "crowding",
    NightWord.FINE: "",
}


@dataclass(frozen=True, slots=True)
class TrayOutside:
    """One tray that stands outside."""

    tray_id: int
    number: int
    label: str
    what: str
    place: str
    exposed: int
    night: NightCase
    answered: ActKind | None
    """What somebody said was done with it this evening."""


@dataclass(frozen=True, slots=True)
class RoomInside:
    """Free slots of one place indoors."""

    place: str
    free: int


@dataclass(frozen=True, slots=True)
class TonightView:
    """The evening of a day."""

    on: date
    told: NightTold | None
    trays: tuple[TrayOutside, ...]
    room: tuple[RoomInside, ...]
    offset_c: float
    cover: str
    cover_c: float
    scale: Temperature

    @property
    def to_bring_in(self) -> int:
        """Trays that are to come in and aren't yet."""
        return sum(t.night.word is NightWord.BRING_IN and t.answered is None for t in self.trays)

    @property
    def free(self) -> int:
        """Free slots indoors."""
        return sum(room.free for room in self.room)


def read(store: Store, today: date, now: datetime, outlooks: Outlooks | None = None) -> TonightView:
    """The evening of a day; root fill doesn't matter to it."""
    with store.reading() as rows:
        standing = standing_on(rows, today)
        on = grounds(rows, standing)
        out = outdoors(rows, today, now)
        cover = cover_of(reading.settings(rows))
        told = out.nights[0] if out.nights else None
        outside = [tray for tray in standing if on.places[tray.place_id].kind in OPEN_AIR]
        answered = _answered(rows, outside, today)
    trays = [
        _tray(tray, on, told, today, (out.offset_c, cover_credit(cover)), answered.get(tray.id))
        for tray in outside
    ]
    return TonightView(
        on=today,
        told=told,
        trays=tuple(sorted(trays, key=lambda t: (ORDER[t.night.word], t.place, t.number))),
        room=tuple(rooms_inside(on.places, standing)),
        offset_c=out.offset_c,
        cover=cover.value,
        cover_c=cover_credit(cover),
        scale=out.scale,
    )


def _answered(rows: Rows, trays: list[Tray], today: date) -> dict[int, ActKind]:
    """What was said last of each tray's night."""
    acts = acts_that_count(rows, reading.dead_entries(rows), trays, today)
    return {
        tray_id: act.kind
        for tray_id, found in acts.items()
        for act in found
        if act.day == today and act.kind in ANSWER.values()
    }


def outside_of(tray: Tray, on: Grounds, today: date) -> Outside:
    """What a night asks of a tray: of its sowings the tenderest speaks for it."""
    place = on.places[tray.place_id]
    outsides = [
        Outside(
            lines=lines_of(sowing.crop),
            frost_class=on.crops[sowing.crop].frost_class,
            exposed=_days_out(tray, place, on, sowing.first_up or sowing.sown_on, today),
            kind=place.kind,
        )
        for sowing in tray.sowings
        if sowing.have
    ]
    return max(outsides, key=lambda out: out.lines.night_out.celsius)


def _days_out(tray: Tray, place: Place, on: Grounds, first: date, today: date) -> int:
    """Days of exposure in a hardening area; in a frame the days it has stood there."""
    if place.kind is PlaceKind.HARDENING:
        return exposure(tray, on, first, today).days
    return (today - tray.stays[-1].since).days


def _tray(
    tray: Tray,
    on: Grounds,
    told: NightTold | None,
    today: date,
    help_c: tuple[float, float],
    said: ActKind | None,
) -> TrayOutside:
    outside = outside_of(tray, on, today)
    names = dict.fromkeys(f"{on.crops[s.crop].name} {s.variety}" for s in tray.sowings if s.have)
    return TrayOutside(
        tray_id=tray.id,
        number=tray.number,
        label=label(tray.number),
        what=" / ".join(names),
        place=on.places[tray.place_id].name,
        exposed=outside.exposed,
        night=night_case(outside, told, today, *help_c),
        answered=said,
    )


def rooms_inside(places: Mapping[int, Place], standing: list[Tray]) -> Iterator[RoomInside]:
    """Free slots of the places indoors that trays come in to for a night, in that order."""
    for kind in ROOMY:
        for place in places.values():
            if place.kind is kind:
                free = place.slots - sum(tray.place_id == place.id for tray in standing)
                if free > 0:
                    yield RoomInside(place.name, free)


def answer(view: TonightView) -> Answer:
    """The evening in lines: what must come in stands first."""
    return Answer(
        title="tonight",
        answer=tuple(_answer(view)),
        lines=tuple(_line(tray, view) for tray in view.trays),
        heading=f"{'no.':<6}{'crop, variety':<22}{'place':<12}{'line':>6}{'low here':>10}  tonight",
        notes=tuple(_notes(view)) if view.trays else (),
    )


def _answer(view: TonightView) -> Iterator[str]:
    if not view.trays:
        yield "Nothing stands outside tonight."
        return
    if view.told is None or all(tray.night.word is NightWord.UNKNOWN for tray in view.trays):
        old = f"the forecast is {view.told.age_h:.0f} h old" if view.told else "there is no forecast"
        yield f"Not known: {old}. N f takes tonight's low; until then judge it yourself."
        return
    words = [tray.night.word for tray in view.trays]
    counts = {word: words.count(word) for word in (NightWord.BRING_IN, NightWord.COVER, NightWord.FINE)}
    parts = ", ".join(f"{word} {count}" for word, count in counts.items() if count)
    yield f"Tonight's low {show_temperature(view.told.low_c - view.offset_c, view.scale)} here: {parts}."
    if view.to_bring_in:
        rooms = ", ".join(f"{room.place} {room.free}" for room in view.room) or "none"
        short = view.to_bring_in - view.free
        lack = f"; {short} too few, stack or floor" if short > 0 else ""
        yield f"Room inside: {rooms}{lack}."


def _line(tray: TrayOutside, view: TonightView) -> AnswerLine:
    night = tray.night
    low = show_temperature(night.low_c, view.scale) if night.low_c is not None else "?"
    word = str(tray.answered) if tray.answered else str(night.word)
    text = (
        f"{tray.label:<6}{fit(tray.what, 21)} {fit(tray.place, 11)} "
        f"{show_temperature(night.line_c, view.scale):>6}{low:>10}  {word}"
    )
    return AnswerLine(
        text,
        tuple(_why(tray, view)),
        "quiet" if tray.answered else TONES[night.word],
        tray.tray_id,
        tray.number,
    )


def _why(tray: TrayOutside, view: TonightView) -> Iterator[str]:
    night = tray.night
    yield f"line {show_temperature(night.line_c, view.scale)}, day {tray.exposed} outside: {night.line_source}"
    if view.told is not None and night.chance is not None:
        here = f", {show_offset(view.offset_c, view.scale)}" if view.offset_c else ""
        yield (
            f"forecast {show_temperature(view.told.low_c, view.scale)}{here}, {view.told.age_h:.0f} h old; "
            f"under the line with a chance of about {100 * night.chance:.0f} %"
        )
    if night.covered_chance is not None and night.word is not NightWord.FINE:
        yield (
            f"with {view.cover} about {100 * night.covered_chance:.0f} %; on a clear night perhaps no help"
        )
    if tray.answered:
        yield f"{tray.answered} this evening; u takes it back"


def _notes(view: TonightView) -> Iterator[str]:
    yield "Enter does as proposed for all; b, c, f say it for one: brought in, covered, stays out. k: kept in all day."
    if not view.cover_c:
        yield "No cover is on record, so none is counted on; S says which one is at hand."
