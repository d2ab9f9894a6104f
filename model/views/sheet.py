"""The round on paper: place by place in walking order, a line a tray with boxes to tick, cut into pages."""

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from textwrap import wrap

from model.asof import standing_on
from model.crops.cautions import load_cautions
from model.days import say_day
from model.facts import PlaceKind, Tray, Treated
from model.labels import label
from model.rules.careful import SHORT, together
from model.rules.outlook import Outlooks
from model.rules.verdict import Task, Today
from model.store import reading
from model.store.database import Store
from model.text import clean, fit, several
from model.units import Temperature
from model.views.answer import Answer, AnswerLine, in_ascii
from model.views.label_sheet import class_days
from model.views.lines import RoundView, TrayLine, as_on_paper
from model.views.round import Thirsts, due_words, read_round
from model.views.setting_out import let_by_gate

COLUMNS, LINES = 80, 60
"""Columns and lines of a page, as plain printers have them."""
MARKS = (Today.WATERED, Today.LEFT, Today.LOOKED)
"""What is ticked of a tray, in the order of the boxes."""
BOXES = len(MARKS) * len("[ ]")
WHAT, DUE = 24, 18
"""Columns for crop and variety, and for what is due."""
HEADING = f"{' w  d  l':<{BOXES}} {'no.':<5} {'crop, variety':<{WHAT}} {'due':<{DUE}} note"
NOTE = COLUMNS - BOXES - 5 - WHAT - DUE - 4
"""Columns left for a note by hand."""
ELECTRIC = frozenset({PlaceKind.HEAT_MAT, PlaceKind.LIT_SHELF})
"""Places with current near water."""
KEY = (
    "w watered   d left dry on purpose   l looked at   no tick: it wasn't seen",
    "In the note: e up, e40 40 up, r0-r4 roots, h0-h2 finger, x3 3 lost and why,",
    "k60 60 good plants, o20 20 set out, m moved and where, t thinned, f fed",
)
"""What the signs mean: the keys that enter the sheet again."""


@dataclass(frozen=True, slots=True)
class SheetLine:
    """One tray: what stands in its line."""

    tray_id: int
    number: int
    label: str
    what: str
    due: str
    """What is due, in words; "" for nothing today."""
    seen: Today
    """What was said of it before the sheet was printed."""
    why: tuple[str, ...] = ()
    mark: str = ""
    """What hands have to know before they touch it, in few words."""


@dataclass(frozen=True, slots=True)
class SheetPlace:
    """One stop of the walk."""

    name: str
    lines: tuple[SheetLine, ...]
    """By number, in which the round lists them while the sheet is entered."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """The round of a day, to be ticked by hand."""

    on: date
    farm: str
    places: tuple[SheetPlace, ...]
    cautions: tuple[str, ...]
    scale: Temperature

    @property
    def trays(self) -> int:
        """How many trays stand on it."""
        return sum(len(place.lines) for place in self.places)


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a page; of a tray the boxes are apart, so that they can be drawn."""

    text: str = ""
    boxes: tuple[bool, ...] = ()
    """Whether each is ticked already; the text begins behind them."""
    strong: bool = False

    @property
    def plain(self) -> str:
        """The line in plain signs."""
        boxes = "".join("[x]" if ticked else "[ ]" for ticked in self.boxes)
        return f"{boxes} {self.text}" if boxes else self.text


Page = tuple[Row, ...]


def read(
    store: Store,
    today: date,
    now: datetime,
    outlooks: Outlooks | None = None,
    thirsts: Thirsts | None = None,
) -> Sheet:
    """The sheet of a day: what is due on it, of setting out what the gate says."""
    found = read_round(store, today, outlooks, thirsts)
    due = {line.tray_id for line in found.lines if line.due_now}
    view = let_by_gate(store, found, now, outlooks)
    with store.reading() as rows:
        settings = reading.settings(rows)
        standing = standing_on(rows, today)
        classes = class_days(rows).keys()
    return Sheet(
        on=today,
        farm=view.farm,
        places=tuple(_places(view, due)),
        cautions=tuple(_cautions(view, standing, classes)),
        scale=Temperature(settings.get("temperature", Temperature.CELSIUS)),
    )


def _places(view: RoundView, due: Collection[int]) -> Iterator[SheetPlace]:
    for place in view.places:
        here = [line for line in view.lines if line.place_id == place.place_id]
        if here:
            yield SheetPlace(
                place.name,
                tuple(_line(line, view.on, due_now=line.tray_id in due) for line in as_on_paper(here)),
            )


def _line(line: TrayLine, today: date, *, due_now: bool) -> SheetLine:
    """One tray, with what is due of it now; where the gate holds that off, the day that it tells stands there."""
    due = [due_words(one, today) for one in line.due if due_now and one.task is not Task.PAST]
    return SheetLine(
        tray_id=line.tray_id,
        number=line.number,
        label=line.label,
        what=f"{line.crop} {line.variety}",
        due=due[0] if due else "",
        seen=line.seen,
        why=line.why,
        mark=", ".join(short for flag, short in SHORT.items() if flag in line.flags),
    )


def _cautions(view: RoundView, standing: Sequence[Tray], classes: Collection[int]) -> Iterator[str]:
    """Only what these trays and places give reason for."""
    if any(place.kind in ELECTRIC and place.trays for place in view.places):
        caution = next(found for found in load_cautions() if found.key == "electricity")
        yield f"{caution.words} {caution.defers_to[0].upper()}{caution.defers_to[1:]}."
    by_number = sorted(view.lines, key=lambda line: line.number)
    yield from (f"{words}." for words in together((line.label, line.careful) for line in by_number))
    treated = [t for t in standing if any(s.treated is Treated.YES and s.have for s in t.sowings)]
    if treated:
        yield f"Treated seed, nothing of it is eaten: {_labels(treated)}."
    taught = [tray for tray in standing if tray.id in classes]
    if taught:
        yield f"For a class, not edible: {_labels(taught)}."


def _labels(trays: Iterable[Tray]) -> str:
    return ", ".join(label(tray.number) for tray in sorted(trays, key=lambda tray: tray.number))


def pages(sheet: Sheet) -> tuple[Page, ...]:
    """The sheet cut into pages of 60 lines; a place that goes on says so, and its heading never ends a page."""
    blocks = [_place_rows(place) for place in sheet.places] or [[Row("No tray stands.")]]
    room = LINES - 2
    made, page = [], _head(sheet)
    for heading, *trays in blocks:
        if len(page) + 3 > room:
            made.append(page)
            page = []
        page += [Row(), heading]
        for tray in trays:
            if len(page) >= room:
                made.append(page)
                page = [Row(f"{heading.text.split('   ')[0]}, going on", strong=True)]
            page.append(tray)
    foot = list(_foot(sheet))
    if len(page) + len(foot) > room:
        made.append(page)
        page = []
    made.append([*page, *foot])
    return tuple(_paged(sheet, made))


def _paged(sheet: Sheet, made: Sequence[Sequence[Row]]) -> Iterator[Page]:
    for number, page in enumerate(made, start=1):
        left = f"Round   {say_day(sheet.on)} {sheet.on.year}   {clean(sheet.farm)}"
        right = f" page {number} of {len(made)}"
        title = fit(left, COLUMNS - len(right)) + right
        yield (Row(title, strong=True), Row(HEADING), *page)


def _head(sheet: Sheet) -> list[Row]:
    """What is filled in by hand at the door."""
    rows = [Row(), Row("who _________________   start ___:___   end ___:___   sky _____________________")]
    blanks = [f"{fit(clean(place.name), 10).rstrip()} ____/____" for place in sheet.places]
    night = f"last night, low/high {sheet.scale}:  " + "   ".join(
        blank.replace(" ", "\N{NO-BREAK SPACE}") for blank in blanks
    )
    found = wrap(night, COLUMNS, subsequent_indent=" " * 4)
    return [*rows, *(Row(row.replace("\N{NO-BREAK SPACE}", " ")) for row in found)]


def _place_rows(place: SheetPlace) -> list[Row]:
    many = several(len(place.lines), "tray")
    heading = f"{fit(clean(place.name), 24).rstrip()}   {many}   all:  w [ ]  d [ ]  l [ ]   but for those ticked below"
    return [Row(heading, strong=True), *(_tray_row(line) for line in place.lines)]


def _tray_row(line: SheetLine) -> Row:
    sign = f"{line.mark} " if line.mark else ""
    note = sign + "_" * (NOTE - len(sign))
    text = f"{line.label:<5} {fit(clean(line.what), WHAT)} {fit(line.due, DUE)} {note}"
    return Row(text, tuple(line.seen is mark for mark in MARKS))


def _foot(sheet: Sheet) -> Iterator[Row]:
    yield Row()
    for words in (*KEY, *sheet.cautions):
        yield from (Row(row) for row in wrap(words, COLUMNS))


def text(sheet: Sheet, *, ascii_only: bool = False) -> str:
    """The sheet as it is printed: pages of 60 lines of 80 columns, a form feed between them."""
    found = "\f".join("\n".join(row.plain.rstrip() for row in page) + "\n" for page in pages(sheet))
    return (in_ascii(found) if ascii_only else found).removesuffix("\n")


def answer(sheet: Sheet) -> Answer:
    """The sheet as the screen shows it: what is ticked already, and what is still to be walked."""
    lines = []
    for place in sheet.places:
        lines.append(AnswerLine(f"{clean(place.name)}   {len(place.lines)}", tone="quiet"))
        lines += [
            AnswerLine(_tray_row(line).plain.rstrip("_ "), line.why, "", line.tray_id, line.number)
            for line in place.lines
        ]
    unseen = sum(line.seen is Today.UNSEEN for place in sheet.places for line in place.lines)
    many = len(pages(sheet))
    return Answer(
        title="on paper",
        answer=(
            f"{sheet.trays} trays on {several(many, 'page')}; {unseen} not seen.",
            "p writes the sheet, l labels; I enters what was ticked by hand.",
        ),
        heading=HEADING.removesuffix(" note"),
        lines=tuple(lines),
        notes=sheet.cautions,
    )
