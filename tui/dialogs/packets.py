"""What is asked about the seed itself before a sowing is kept: whether it is treated, and what its test says."""

from collections.abc import Callable, Sequence
from datetime import date

from model.actions.sow import refuse_treated
from model.crops import load_crops, variety_name
from model.errors import BadInput
from model.facts import Container, Treated
from model.rules.seeding import (
    MAY_BE_TREATED,
    filled_words,
    fills_enough,
    may_be_treated,
    packet_words,
    seeds_for,
    spread_words,
    to_be_eaten,
)
from model.text import several
from model.views.choices import Choices, LotChoice
from tui.dialogs.ask import Choose, Flow, Option, Type

NO_LOT = "-"
"""Typed where a lot is offered and there is none."""
Kind = tuple[str, str]
"""Crop and variety."""


def fit_to_eat(
    choices: Choices, what: Sequence[Kind], lots: Sequence[str], container: Container
) -> Flow[None]:
    """Into a flat that is cut to be eaten treated seed never goes, and unknown seed only after a question."""
    doubtful = []
    for kind, lot in zip(what, lots, strict=True):
        if not to_be_eaten(container.kind, load_crops().get(kind[0])):
            continue
        of_kind = _of(choices, kind)
        named = [known for known in of_kind if known.name == lot] if lot else of_kind
        for known in named if lot else []:
            refuse_treated(container, kind[0], known.name, known.treated)
        if may_be_treated(known.treated for known in named):
            doubtful.append(f"{variety_name(*kind)}{f' {lot}' if lot else ''}")
    if doubtful:
        sure: bool = yield Choose(
            f"{', '.join(doubtful)}: {MAY_BE_TREATED}. Sow it in a flat to be eaten?",
            [Option("no, nothing is sown", False, "n"), Option("yes, the tag says untreated", True, "y")],
        )
        if not sure:
            raise BadInput("Nothing was sown.", "Read the tag and say it with G, then sow.")


def enough_seeds(choices: Choices, kind: Kind, lot: str, seeds: int) -> Flow[int]:
    """Seeds a cell, after the lot's test was told where more of them are advised."""
    known = next((known for known in _of(choices, kind) if known.name == lot), None)
    crop = load_crops().get(kind[0])
    test = known.packet.test if known else None
    if test is None or crop is None or not lot or fills_enough(test, seeds):
        return seeds
    more = seeds_for(crop, test)
    if seeds >= more:
        return seeds
    chosen: int = yield Choose(
        f"Lot {lot}: {spread_words(test)}. {several(seeds, 'seed')} a cell?",
        [Option(filled_words(test, more), more, "m"), Option(filled_words(test, seeds), seeds, "k")],
    )
    return chosen


def which_lots(
    choices: Choices,
    what: Sequence[Kind],
    likely: Sequence[str],
    today: date,
    container: Container | None = None,
) -> Flow[tuple[str, ...]]:
    """The lot of each part, one after the other."""
    lots = []
    for kind, lot in zip(what, likely, strict=True):
        of = f" of {variety_name(*kind)}" if len(what) > 1 else ""
        lots.append((yield from which_lot(choices, kind, lot, today, of=of, into=container)))
    return tuple(lots)


def which_lot(
    choices: Choices,
    kind: Kind,
    likely: str,
    today: date,
    failed: str | None = None,
    of: str = "",
    into: Container | None = None,
) -> Flow[str]:
    """The lot it is sown from; where one has failed, another of the variety is offered first.

    Treated seed that would be eaten is refused at once, where it is known into what it goes.
    """
    known = _of(choices, kind)
    if failed is not None:
        known = sorted(known, key=_best_first(failed))
        likely = next((lot.name for lot in known if lot.name != failed and not lot.failed), likely)
    said = ", ".join(lot_words(lot, today) for lot in known)
    treated = any(lot.treated is Treated.YES for lot in known)
    hint = f"on record: {said}" if said else "the name on the packet; may stay empty"
    hint += f"; {NO_LOT} for none" if likely else ""

    def parse(text: str) -> str:
        named = [lot for lot in known if lot.name == text]
        if into is not None and named:
            refuse_treated(into, kind[0], text, named[0].treated)
        return "" if text == NO_LOT else text

    lot: str = yield Type(
        f"Seed lot{of}?",
        parse,
        likely,
        hint + ("; gloves for treated seed, and read its tag" if treated else ""),
    )
    return lot


def lot_words(lot: LotChoice, today: date) -> str:
    """A lot with its test or its age, whether it is treated, and whether its sowings failed."""
    parts = [lot.name, packet_words(lot.packet, today)]
    parts += ["treated"] if lot.treated is Treated.YES else []
    parts += ["use up or bin?"] if lot.failed else []
    return " ".join(part for part in parts if part)


def _best_first(failed: str) -> Callable[[LotChoice], tuple[bool, bool, bool, int]]:
    return lambda lot: (lot.name == failed, lot.failed, lot.treated is Treated.YES, -(lot.packed_year or 0))


def _of(choices: Choices, kind: Kind) -> list[LotChoice]:
    return [lot for lot in choices.lots if (lot.crop, lot.variety) == kind]
