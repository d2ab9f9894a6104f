"""Questions about paper: when what is entered was done, which labels to print, and what a label says now."""

from collections.abc import Callable, Collection, Mapping, Sequence
from datetime import date, datetime

from model.actions import labelling
from model.days import parse_day, parse_told
from model.errors import BadInput
from model.labels import either, label, one_slip, read_label
from model.views.choices import Numbers
from model.views.lines import TrayLine
from tui.dialogs.ask import Choose, Flow, Option, Type
from tui.dialogs.flows import Wish
from tui.dialogs.numbering import which_number

NOW = "now"
Told = tuple[datetime | None]
"""When what follows was done; None for now. In a tuple, since leaving with Esc gives None too."""


def when(shown: date, today: date, now: datetime, zone: str, told: datetime | None) -> Flow[Told]:
    """The time that stands on the sheet, of the day shown unless one is named; "now" where nothing more is from paper."""

    def parse(text: str) -> datetime | None:
        return None if text.strip().lower() == NOW else parse_told(text, shown, today, now, zone)

    found: datetime | None = yield Type(
        "When was it done?" if told is None else "When was what follows done?",
        parse,
        "" if told is None else NOW,
        "as on the sheet, like 7:10 or yesterday 7:10"
        + ("; y first where another did it" if told is None else "; Enter: what follows is done now"),
    )
    return (found,)


def which_labels(new: Sequence[int], among: Collection[int]) -> Flow[tuple[tuple[int, ...], bool]]:
    """Trays by number, those that need a new label since today being proposed, and whether every plant gets a label."""

    def parse(text: str) -> tuple[int, ...]:
        numbers = tuple(read_label(word, among) for word in text.replace(",", " ").split())
        if not numbers:
            raise BadInput("No tray is named.", "Type the numbers on the labels, with spaces between.")
        return numbers

    numbers: tuple[int, ...] = yield Type(
        "Labels for which trays?",
        parse,
        " ".join(map(str, new)),
        "numbers with spaces between" + ("; Enter: those that need one since today" if new else ""),
    )
    plants: bool = yield Choose(
        "For each:",
        [Option("one label, for the tray", False, "t"), Option("one for every plant in it", True, "p")],
    )
    return numbers, plants


def relabel(line: TrayLine, lines: Sequence[TrayLine], numbers: Numbers, today: date) -> Flow[Wish]:
    """Another number for a tray, or labels that were swapped."""
    options = [
        Option(f"a new label: {line.label} gets another number", False, "n"),
        Option("its label was swapped with another tray's", True, "s"),
    ]
    swapped: bool = yield Choose(f"What about the label of {line.label}?", options, -1)
    if swapped:
        return (yield from _swapped(line, lines, today))
    new = yield from which_number(
        f"{line.label} is which number now?",
        numbers,
        numbers.following,
        "the old number leads to it until another tray carries it",
        line.tray_id,
    )
    return lambda store, stamp: labelling.relabel(store, stamp, {line.tray_id: new})


def _swapped(line: TrayLine, lines: Sequence[TrayLine], today: date) -> Flow[Wish]:
    others = {other.number: other for other in lines if other.tray_id != line.tray_id}
    other: TrayLine = yield Type(
        f"With which tray's was the label of {line.label} swapped?", _standing(others), "", "the other number"
    )
    since: date = yield Type(
        "From which day on did the labels stand wrong?",
        lambda text: _gone_by(parse_day(text, today), today),
        "",
        "like 7 apr, or -7 for a week ago; entries from then on are moved to the tray they were about",
    )
    options = [
        Option(f"put back: {line.crop} {line.variety} is {line.label} again", False, "b"),
        Option(f"left as they are: {line.crop} {line.variety} is {other.label} from now on", True, "w"),
    ]
    renumber: bool = yield Choose("And the labels now?", options, -1)
    trays = (line.tray_id, other.tray_id)
    return lambda store, stamp: labelling.swapped(store, stamp, trays, since, renumber=renumber)


def _standing(others: Mapping[int, TrayLine]) -> Callable[[str], TrayLine]:
    def parse(text: str) -> TrayLine:
        number = read_label(text, others)
        if number not in others:
            meant = sorted(one_slip(number) & others.keys())
            raise BadInput(
                f"No other tray {label(number)} stands.",
                f"Is it {either(meant)}" if meant else "Read the label again.",
            )
        return others[number]

    return parse


def _gone_by(day: date, today: date) -> date:
    if day > today:
        raise BadInput("That day is still to come.", "Give today or an earlier day.")
    return day
