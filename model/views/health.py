"""What looked sick, who shared a bench with it, what stands apart, and what a label withholds."""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from model.asof import acts_that_count
from model.crops import variety_name
from model.days import say_at, say_day, short_day
from model.facts import Act, ActKind, Place, PlaceKind, Tray
from model.labels import label
from model.rules.careful import SICK_DAYS, sick_lately, touch_from
from model.rules.outlook import Outlooks
from model.rules.sharing import SHARED_DAYS, shared
from model.store import reading
from model.store.database import Store
from model.text import fit, several
from model.views.answer import Answer, AnswerLine
from model.views.trace import WENT, Went

TO_DO = {
    WENT[ActKind.HANDED_OVER]: ("tell them", "Tell who has them."),
    WENT[ActKind.SET_OUT]: ("look there", "Look at them there."),
}
"""What is to be done about exposed plants that have left, by how they went: in a column, and whole."""
NOT_SAID = "where to isn't on record"
LABELS = 10
"""Labels that the screen has room for."""
NO_DOSE = "No dose stands here: label, re-entry and harvest intervals decide, and local law."


Exposed = tuple[Tray, Sequence[Tray]]
"""A tray that looked sick, and those that stood beside it."""


@dataclass(frozen=True, slots=True)
class Gone:
    """Plants that were exposed and have left."""

    act_id: int
    number: int
    what: str
    went: Went

    @property
    def words(self) -> str:
        """How many, and where to."""
        to = "to" if self.went.how == WENT[ActKind.HANDED_OVER] else "at"
        where = f"{to} {self.went.where}" if self.went.where else NOT_SAID
        return f"{self.went.count} {where}"


@dataclass(frozen=True, slots=True)
class Sick:
    """A tray that looked sick, and those that stood beside it."""

    tray_id: int
    number: int
    what: str
    place: str
    seen_on: date
    apart: bool
    """Whether it stands in quarantine."""
    beside: tuple[str, ...]
    """Labels of the trays that shared a place with it in the three days up to that one."""
    gone: tuple[Gone, ...]
    """Plants of it and of them that have left from those days on."""


@dataclass(frozen=True, slots=True)
class Held:
    """A tray of which a label withholds plants."""

    tray_id: int
    number: int
    what: str
    sprayed: str
    until: date
    touch: str
    """Until when nobody may handle it, in words; "" where nothing forbids it."""


@dataclass(frozen=True, slots=True)
class HealthView:
    """Everything that is doubtful."""

    on: date
    sick: tuple[Sick, ...]
    held: tuple[Held, ...]
    apart: tuple[str, ...]
    """Labels of everything in quarantine."""
    quarantine: str
    """The place of quarantine; "" where there is none."""


def read(store: Store, today: date, now: datetime, outlooks: Outlooks | None = None) -> HealthView:
    """What is doubtful on a day. Neither the instant nor the forecast matters here."""
    with store.reading() as rows:
        places = {place.id: place for place in reading.places(rows)}
        trays = reading.every_tray(rows)
        zone = reading.settings(rows).get("zone", "UTC")
        sick = [tray for tray in trays if tray.standing and sick_lately(tray, today)]
        exposed = [(tray, shared(tray, trays, tray.sick[-1])) for tray in sick]
        watched = [found for tray, beside in exposed for found in (tray, *beside)]
        acts = acts_that_count(rows, reading.dead_entries(rows), watched, date.min)
    return view_of(trays, exposed, places, today, acts, zone)


def view_of(
    trays: Iterable[Tray],
    exposed: Iterable[Exposed],
    places: Mapping[int, Place],
    today: date,
    acts: Mapping[int, Sequence[Act]],
    zone: str,
) -> HealthView:
    """The same from facts, with the acts on what is sick and on what stood beside it."""
    apart = {place.id for place in places.values() if place.kind is PlaceKind.QUARANTINE}
    standing = [tray for tray in trays if tray.standing]
    last_first = sorted(exposed, key=lambda one: (one[0].place_id in apart, -one[0].sick[-1].toordinal()))
    return HealthView(
        on=today,
        sick=tuple(_sick(tray, beside, places, apart, acts) for tray, beside in last_first),
        held=tuple(held for tray in standing for held in _held(tray, today, zone)),
        apart=tuple(label(tray.number) for tray in standing if tray.place_id in apart),
        quarantine=next((place.name for place in places.values() if place.id in apart), ""),
    )


def _held(tray: Tray, today: date, zone: str) -> Iterator[Held]:
    for spell in tray.withheld:
        at = touch_from(spell, today, zone)
        if at or spell.day <= today < spell.until:
            touch = say_at(at, zone) if at else ""
            yield Held(tray.id, tray.number, _what(tray), spell.what, spell.until, touch)


def _sick(
    tray: Tray,
    beside: Sequence[Tray],
    places: Mapping[int, Place],
    apart: Collection[int],
    acts: Mapping[int, Sequence[Act]],
) -> Sick:
    seen_on = tray.sick[-1]
    return Sick(
        tray_id=tray.id,
        number=tray.number,
        what=_what(tray),
        place=places[tray.place_id].name,
        seen_on=seen_on,
        apart=tray.place_id in apart,
        beside=tuple(label(other.number) for other in beside),
        gone=tuple(_gone((tray, *beside), acts, seen_on - timedelta(days=SHARED_DAYS))),
    )


def _gone(exposed: Iterable[Tray], acts: Mapping[int, Sequence[Act]], since: date) -> Iterator[Gone]:
    for tray in exposed:
        for act in acts.get(tray.id, ()):
            if act.kind in WENT and act.day >= since:
                went = Went(act.day, WENT[act.kind], act.count or 0, act.text or "")
                yield Gone(act.id, tray.number, _what(tray), went)


def _what(tray: Tray) -> str:
    return " + ".join(variety_name(sowing.crop, sowing.variety) for sowing in tray.sowings)


def answer(view: HealthView) -> Answer:
    """What to keep apart first."""
    lines = [
        *(_sick_line(sick) for sick in view.sick),
        *(_gone_line(gone, sick) for gone, sick in _left(view).items()),
        *(_held_line(held, view.on) for held in view.held),
    ]
    return Answer(
        title="health",
        answer=tuple(_answer(view)),
        lines=tuple(lines),
        heading=f"{'no.':<7}{'what':<28}{'day':<10}{'where':<14}{'beside, to do'}" if lines else "",
        notes=(NO_DOSE,),
    )


def _answer(view: HealthView) -> Iterator[str]:
    loose = [sick for sick in view.sick if not sick.apart]
    if loose:
        where = f"move to {view.quarantine}" if view.quarantine else "P adds a place of quarantine, m moves"
        yield f"Not kept apart yet: {_some([label(sick.number) for sick in loose], 6)}; {where}."
    elif view.sick:
        yield "Everything that looked sick stands apart."
    else:
        yield f"Nothing looked sick in {SICK_DAYS} days. On a tray . then s says so when it does."
    if told := dict.fromkeys(g.went.where for g in _left(view) if g.went.how == WENT[ActKind.HANDED_OVER]):
        yield f"Plants that were exposed have left; tell {_some([whom or 'whoever has them' for whom in told], 6)}."
    if view.apart:
        yield f"In {view.quarantine}: {', '.join(view.apart)}. Last on the round; wash hands after it."


def _left(view: HealthView) -> dict[Gone, list[Sick]]:
    """Plants that have left, each once, with what they were exposed to; first those that somebody has."""
    found: dict[Gone, list[Sick]] = {}
    for sick in view.sick:
        for gone in sick.gone:
            found.setdefault(gone, []).append(sick)
    handed = WENT[ActKind.HANDED_OVER]
    return dict(sorted(found.items(), key=lambda pair: pair[0].went.how != handed))


def _gone_line(gone: Gone, sick: Sequence[Sick]) -> AnswerLine:
    """What left in one act: who is to be told, or where to look."""
    short, whole = TO_DO[gone.went.how]
    text = f"{label(gone.number):<7}{fit(gone.words, 27)} {short_day(gone.went.day):<10}{gone.went.how:<14}{short}"
    beside = [f"{label(one.number)} on {say_day(one.seen_on)}" for one in sick]
    why = (
        f"{gone.words}, {say_day(gone.went.day)}: {gone.what}. {whole}",
        f"Looked sick, in it or beside it: {_some(beside, 4)}.",
    )
    return AnswerLine(text, why, "crowding", None, gone.number)


def _sick_line(sick: Sick) -> AnswerLine:
    beside = f"{len(sick.beside)} trays" if sick.beside else "none"
    text = (
        f"{label(sick.number):<7}{fit(sick.what, 27)} {short_day(sick.seen_on):<10}"
        f"{fit(sick.place, 13)} {beside}"
    )
    tone = "" if sick.apart else "crowding"
    why, full = tuple(_why(sick, LABELS)), tuple(_why(sick))
    return AnswerLine(text, why, tone, sick.tray_id, sick.number, full)


def _why(sick: Sick, labels: int | None = None) -> Iterator[str]:
    """When it was seen, what stood beside it, whether plants have left; labels whole unless told how many."""
    seen = f"Looked sick on {say_day(sick.seen_on)}."
    if sick.beside:
        yield f"{seen} Shared a place in the {SHARED_DAYS} days up to then with:"
        yield f"{_some(sick.beside, labels)}."
    else:
        yield seen
    if sick.gone:
        plants = several(sum(gone.went.count for gone in sick.gone), "plant")
        yield f"{plants} left from then on; each time has its own line below."


def _some(words: Sequence[str], most: int | None) -> str:
    """Some words, so many at most, and how many more there are."""
    more = f" and {len(words) - most} more" if most is not None and len(words) > most else ""
    return ", ".join(words[:most]) + more


def _held_line(held: Held, today: date) -> AnswerLine:
    withheld, why = held.until > today, []
    if withheld:
        why += [f"by the label as it was typed neither cut nor handed over before {say_day(held.until)}."]
    why += (
        [f"{'D' if withheld else 'd'}on't touch it until {held.touch}, by the label."] if held.touch else []
    )
    until = f"until {short_day(held.until)}" if withheld else "hands off"
    text = f"{label(held.number):<7}{fit(held.what, 27)} {'sprayed':<10}{'':<14}{until}"
    return AnswerLine(text, (f"{held.sprayed}: {why[0]}", *why[1:]), "crowding", held.tray_id, held.number)
