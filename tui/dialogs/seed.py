"""Questions about a seed lot."""

from collections.abc import Callable
from datetime import date

from model.actions import seed
from model.crops import variety_name
from model.days import parse_day, say_day
from model.facts import Treated
from model.rules.seeding import TEST_WITH, read_test
from model.science.quantities import SeedTest
from model.units import Temperature, parse_temperature, show_temperature
from model.views.choices import Choices, LotChoice
from tui.dialogs.ask import Choose, Flow, Option, Type
from tui.dialogs.flows import Wish, some_text, whole_number
from tui.dialogs.packets import lot_words
from tui.dialogs.variety import which_variety

NOT_KNOWN = "-"
CAUTION = "treated seed: gloves, wash hands, never eaten; its tag decides what it may be used for"


def lot(choices: Choices, today: date) -> Flow[Wish]:
    """A new seed lot, or more about one that is on record."""
    crop, variety, name, old = yield from _which(choices, today)
    year: int = yield Type(
        "Packed for which year? (0 for not known)",
        _year(today),
        str(old.packed_year if old and old.packed_year else 0 if old else today.year),
    )
    test, tested_on = yield from _germination(old, today)
    scale = Temperature(choices.settings.get("temperature", Temperature.CELSIUS))
    warmth = (yield from _warmth(old, scale)) if test else None
    kinds = list(Treated)
    treated: Treated = yield Choose(
        f"Is the seed treated?   ({CAUTION})",
        [Option(kind.value, kind, kind.value[0]) for kind in kinds],
        kinds.index(old.treated if old else Treated.UNKNOWN),
    )
    kept = seed.SeedLot(
        crop,
        variety,
        name,
        packed_year=year or None,
        tested_seeds=test.tested if test else None,
        tested_up=test.sprouted if test else None,
        tested_on=tested_on,
        treated=treated,
        tested_c=warmth,
    )
    return lambda store, stamp: seed.keep_lot(store, stamp, kept)


def _which(choices: Choices, today: date) -> Flow[tuple[str, str, str, LotChoice | None]]:
    """Crop, variety and name of a lot, and what is on record of it."""
    crop, variety = yield from which_variety(
        choices, "Seed of what?", hint="crop and variety, like tomato Ostrel"
    )
    known = {lot.name: lot for lot in reversed(choices.lots) if (lot.crop, lot.variety) == (crop, variety)}
    name: str | None = None
    if known:
        name = yield Choose(
            f"Which lot of {variety_name(crop, variety)}?",
            [
                Option("a new lot", None, "n"),
                *(Option(lot_words(lot, today), name) for name, lot in known.items()),
            ],
        )
    if name is None:
        name = yield Type("Name of the lot?", some_text, "", "what the packet says, or a name of your own")
    # A name that is on record is that lot, however it was come by.
    return crop, variety, name, known.get(name)


def _warmth(old: LotChoice | None, scale: Temperature) -> Flow[float | None]:
    """How warm the test was kept; None where nobody knows."""
    likely = show_temperature(old.tested_c, scale) if old and old.tested_c is not None else NOT_KNOWN

    def parse(text: str) -> float | None:
        if text == NOT_KNOWN:
            return None
        return old.tested_c if old and text == likely else parse_temperature(text, scale)

    warmth: float | None = yield Type(
        "How warm was it kept?", parse, likely, "like 25c or 77f; - if nobody knows"
    )
    return warmth


def _year(today: date) -> Callable[[str], int]:
    def parse(text: str) -> int:
        year = whole_number(0)(text)
        return seed.packed_year(year, today) if year else 0

    return parse


def _germination(old: LotChoice | None, today: date) -> Flow[tuple[SeedTest | None, date | None]]:
    """What came up of what was laid out, and when that was counted; Nones where nobody tested."""
    known = old.packet.test if old else None
    test: SeedTest | None = yield Type(
        "Germination test: how many came up of how many? (0 for no test)",
        read_test,
        f"{known.sprouted} of {known.tested}" if known else "0",
        f"like 17 of 20 or 17/20; {TEST_WITH} tell something",
    )
    if test is None:
        return None, None
    before = old.tested_on if old and test == known else None
    said = say_day(before) if before else "today"

    def parse(text: str) -> date:
        return before if before and text == said else seed.day_of_test(parse_day(text, today), today)

    return test, (yield Type("Counted on which day?", parse, said, "like -4, yesterday or 12 apr"))
