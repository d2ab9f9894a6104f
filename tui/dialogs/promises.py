"""Questions about promises and hand-overs."""

import re
from collections import Counter
from collections.abc import Callable, Collection, Sequence
from dataclasses import replace
from datetime import date

from model.actions import promises
from model.actions.desk import Receipt, Stamp
from model.actions.opening import Store
from model.actions.plan import MOST_PLANTS
from model.ahead import Promise
from model.crops import crop_name, variety_name
from model.days import say_day
from model.errors import BadInput
from model.labels import label, read_label
from model.rules.numbers import leads_to, number_words
from model.rules.owing import Batch, Owed, drawn, fits
from model.rules.verdict import SICK
from model.views.choices import Choices
from model.views.lines import TrayLine
from model.views.promises import OTHER, PromisesView, name_of
from model.views.tray import TrayPage
from tui.dialogs.ask import Choose, Flow, Option, Type
from tui.dialogs.flows import Wish, some_text, which_living, whole_number
from tui.dialogs.plan import coming, wanted
from tui.dialogs.variety import which_variety

ROLE = "a role or an order number, like plot 4; no names of people"


def promise(choices: Choices, today: date) -> Flow[Wish]:
    """To whom, what, how many, and for when."""
    whom: str = yield Type("Promised to whom?", some_text, "", ROLE)
    crop, variety = yield from which_variety(choices, "What?", hint="crop and variety")
    exact: bool = yield Choose(
        "That variety, or any of the crop?",
        [Option(f"{variety} and no other", True, "v"), Option(f"any {crop_name(crop)}", False, "a")],
    )
    plants: int = yield Type("How many plants?", whole_number(1, MOST_PLANTS))
    due, _ = yield from wanted("For which day?", today, "like 16 may or +21")
    boxes = [Option("that doesn't matter", None, "-"), *(Option(c.name, c.id) for c in choices.containers)]
    box: int | None = yield Choose("In what?", boxes)
    wish = promises.Given(whom, crop, variety if exact else "", plants, due, box)
    return lambda store, stamp: promises.promise(store, stamp, wish)


def change(held: Promise, today: date) -> Flow[Wish]:
    """How many now, and for when."""
    old = promises.given_of(held)
    plants: int = yield Type("How many plants?", whole_number(1, MOST_PLANTS), str(old.plants))
    said = say_day(old.due_on)

    def parse(text: str) -> date:
        return old.due_on if text == said and old.due_on >= today else coming(text, today)[0]

    due: date = yield Type("For which day?", parse, said, "like 16 may or +21")
    wish = promises.Given(old.to_whom, old.crop, old.variety, plants, due, old.container_id, old.note)
    return lambda store, stamp: promises.change_promise(store, stamp, held.id, wish)


def drop(held: Promise) -> Flow[Wish]:
    """Whether it is really dropped."""
    sure: bool = yield Choose(
        f"Drop the promise of {held.plants} {name_of(held)} to {held.to_whom}?",
        [Option("no, keep it", False, "n"), Option("yes, drop it", True, "y")],
    )
    if not sure:
        raise BadInput("The promise was kept.", "Nothing was changed.")
    return lambda store, stamp: promises.drop_promise(store, stamp, held.id)


def fulfil(one: Owed, view: PromisesView, standing: Sequence[TrayLine], today: date) -> Flow[Wish]:
    """How many are handed over now, and from which trays; the oldest trays are the likely ones."""
    held = one.promise
    mine = [batch for batch in view.batches if fits(batch, held)]
    open_to = [batch for batch in mine if batch.withheld_until is None]
    if not one.left:
        raise BadInput(f"{held.to_whom} has everything that was promised.", "Nothing needs to be done.")
    if mine and not open_to:
        until = max(batch.withheld_until for batch in mine if batch.withheld_until)
        raise BadInput(
            "A label withholds every plant that would do.", f"Hand them over from {say_day(until)} on."
        )
    most = min(one.left, sum(batch.plants for batch in open_to))
    if not most:
        raise BadInput(f"There is no {name_of(held)} to give.", "Sow again, or change the promise.")
    ready = min(one.left, sum(batch.plants for batch in open_to if batch.by(today)))
    count: int = yield Type(
        f"{held.to_whom}, {one.left} {name_of(held)} left to give: how many go now?",
        whole_number(1, most),
        str(ready or most),
        f"{ready} are ready now" if ready < most else "",
    )
    likely, said = Counter[int](), dict[str, None]()
    for batch, plants in drawn(open_to, held, count, today):
        likely[batch.number] += plants
    if len({batch.number for batch in open_to}) > 1:
        likely, said = yield Type(
            "From which trays?",
            _from_trays(open_to, count, view, standing, today),
            ", ".join(f"{label(number)} {plants}" for number, plants in likely.items()),
            "tray and how many, like 18F 30, 19B 10",
        )
    shares = [
        promises.Share(batch.tray_id, batch.sowing_id, plants)
        for number, wanted in likely.items()
        for batch, plants in drawn([b for b in open_to if b.number == number], held, wanted, today)
    ]
    return _give(shares, held.id, said)


def _give(shares: Sequence[promises.Share], promise_id: int, said: Collection[str]) -> Wish:
    """Hand over; what is to be known of the numbers that were typed is told beside, and isn't put on record."""

    def wish(store: Store, stamp: Stamp) -> Receipt:
        receipt = promises.hand_over(store, stamp, shares, promise_id=promise_id)
        return replace(receipt, words=". ".join([receipt.words, *(words.rstrip(".") for words in said)]))

    return wish


def _from_trays(
    batches: Sequence[Batch], count: int, view: PromisesView, standing: Sequence[TrayLine], today: date
) -> Callable[[str], tuple[Counter[int], Collection[str]]]:
    """A parser of trays by number and how many each gives, and of what is to be known of those numbers.

    A tray may hold several sowings that would do.
    """
    holds = Counter[int]()
    for batch in batches:
        holds[batch.number] += batch.plants

    def parse(text: str) -> tuple[Counter[int], Collection[str]]:
        words = re.split(r"[\s,;]+", text.strip())
        if len(words) % 2:
            raise BadInput(f"{text!r} is no list of trays.", "Type tray and how many, like 18F 30, 19B 10.")
        wanted, said = Counter[int](), dict[str, None]()
        for tray, plants in zip(words[::2], words[1::2], strict=True):
            number = read_label(tray)
            found = leads_to(number, standing)
            if found is None or found.number not in holds:
                raise _not_for_this(tray, found, view)
            wanted[found.number] += whole_number(1, holds[found.number] - wanted[found.number])(plants)
            said |= dict.fromkeys(number_words(number, found, standing, today))
        if wanted.total() != count:
            raise BadInput(f"Those are {wanted.total()}, not {count}.", "Let the trays add up to the count.")
        return wanted, said

    return parse


def _not_for_this(typed: str, found: TrayLine | None, view: PromisesView) -> BadInput:
    """Why a tray that was typed gives nothing: what keeps it from everybody, else what it holds."""
    if found is None:
        return BadInput(f"No tray {typed} stands here.", OTHER)
    why = next((one for one in view.kept if one.tray_id == found.tray_id), None)
    if why is not None:
        return BadInput(why.why, why.cure)
    doubt = any(batch.tray_id == found.tray_id and batch.uncertain for batch in view.batches)
    holds = f"{variety_name(found.crop, found.variety)} in {found.container}{', variety uncertain' if doubt else ''}"
    return BadInput(f"Tray {typed} holds nothing for this: {holds}.", OTHER)


def hand_over(page: TrayPage, view: PromisesView) -> Flow[Wish]:
    """Plants of one tray: to whom, and how many."""
    for kept in view.kept:
        if kept.tray_id == page.line.tray_id and kept.forbidden:
            raise BadInput(kept.why, kept.cure)
    sowing = yield from which_living(page)
    here = [b for b in view.batches if (b.tray_id, b.sowing_id) == (page.line.tray_id, sowing.sowing_id)]
    owed = [line.owed for line in view.lines for b in here if line.owed.left and fits(b, line.owed.promise)]
    one: Owed | None = None
    if owed:
        options = [Option(f"{o.promise.to_whom}: {o.left} {name_of(o.promise)}", o) for o in owed]
        one = yield Choose("To whom?", [*options, Option("somebody else", None, "-")])
    whom = "" if one else (yield Type("To whom?", some_text, "", ROLE))
    if SICK in page.line.flags:
        sure: bool = yield Choose(
            f"{page.line.label} looked sick lately. Hand plants over all the same?",
            [Option("no", False, "n"), Option("yes", True, "y")],
        )
        if not sure:
            raise BadInput("Nothing was handed over.", "Keep it apart: m moves it.")
    most = min(sowing.have, one.left) if one else sowing.have
    count: int = yield Type(f"{page.line.label}: how many go?", whole_number(1, most), str(most))
    share = promises.Share(page.line.tray_id, sowing.sowing_id, count)
    promise_id = one.promise.id if one else None
    return lambda store, stamp: promises.hand_over(store, stamp, [share], whom, promise_id)
