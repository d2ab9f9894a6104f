"""Every refusal says what to do and leaves every row of the record as it was."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from model.actions import growth, record, shift, sow, walk
from model.actions.desk import Receipt, Stamp
from model.actions.shift import PotUp
from model.actions.sow import Sow, SowPart
from model.errors import BadInput, FullPlace, NotEnough, TrayroundError
from model.facts import ActKind, LossCause
from model.store.database import Store
from tests.builders import TODAY, day
from tests.conftest import StampMaker
from tests.store.every_action import act_of, part_of
from tests.store.looking import state
from tests.store.names import CORNER, FLAT, FRAME, KALE, MAT, SLATS, TOMATO

Ids = dict[str, int]
Refused = Callable[[Store, Stamp, Ids], Receipt]

NOWHERE = 99


def sowing(*parts: SowPart, **changes: object) -> Refused:
    def wish(store: Store, stamp: Stamp, ids: Ids) -> Receipt:
        usual = Sow(ids["72-cell tray"], MAT, parts, TODAY)
        return sow.sow(store, stamp, replace(usual, **changes))  # type: ignore[arg-type]

    return wish


def potting(*parts: tuple[int, str, int], lost: int = 0) -> Refused:
    def wish(store: Store, stamp: Stamp, ids: Ids) -> Receipt:
        into = [PotUp(count, ids.get(name, NOWHERE), place) for count, name, place in parts]
        return shift.pot_up(store, stamp, TOMATO, None, into, lost=lost)

    return wish


def correcting(field: str, new: str) -> Refused:
    return lambda store, stamp, ids: record.correct_sowing(store, stamp, TOMATO, None, field, new)


def correcting_act(kind: ActKind, field: str, new: str) -> Refused:
    return lambda store, stamp, ids: record.correct_act(store, stamp, act_of(store, TOMATO, kind), field, new)


def late(make: Callable[[Store, Stamp], Receipt], back: int) -> Refused:
    return lambda store, stamp, ids: make(store, replace(stamp, day=day(-back)))


TREE = SowPart("tomato", "Orlen", 72)

REFUSALS: dict[str, tuple[type[TrayroundError], str, Refused]] = {
    # Sowing
    "nothing sown": (BadInput, "Nothing is named", sowing()),
    "no cells": (BadInput, "0 is no count", sowing(replace(TREE, cells=0))),
    "fewer than no cells": (BadInput, "-1 is no count", sowing(replace(TREE, cells=-1))),
    "no seed": (BadInput, "0 seeds a cell can't be", sowing(replace(TREE, seeds_per_cell=0))),
    "a handful of seed": (BadInput, "51 seeds a cell can't be", sowing(replace(TREE, seeds_per_cell=51))),
    "more than the tray holds": (NotEnough, "has 72 cells, not 73", sowing(replace(TREE, cells=73))),
    "parts that don't fit": (NotEnough, "has 72 cells, not 144", sowing(TREE, TREE)),
    "no crop": (BadInput, "Crop or variety is empty", sowing(replace(TREE, crop=" "))),
    "no variety": (BadInput, "Crop or variety is empty", sowing(replace(TREE, variety=""))),
    "a crop with a slash": (BadInput, "holds a slash", sowing(replace(TREE, crop="a/b"))),
    "sown tomorrow": (BadInput, "Wed 15 Apr is still to come", sowing(TREE, sown_on=day(1))),
    "a container nobody has": (
        BadInput,
        "That container isn't on record",
        sowing(TREE, container_id=NOWHERE),
    ),
    "a place nobody has": (BadInput, "That place isn't on record", sowing(TREE, place_id=NOWHERE)),
    "a number in use": (BadInput, "Tray 2W is still standing", sowing(TREE, number=2)),
    "number nothing": (BadInput, "0 is no tray number", sowing(TREE, number=0)),
    "a number too high": (BadInput, "10000 is no tray number", sowing(TREE, number=10_000)),
    # Resowing
    "resow nothing": (
        BadInput,
        "0 is no count",
        lambda store, stamp, ids: sow.resow(store, stamp, KALE, None, replace(TREE, cells=0)),
    ),
    "resow a handful": (
        BadInput,
        "51 seeds a cell",
        lambda store, stamp, ids: sow.resow(store, stamp, KALE, None, replace(TREE, seeds_per_cell=51)),
    ),
    "resow more cells than there are": (
        NotEnough,
        "has 72 cells of Sedge Blue, not 73",
        lambda store, stamp, ids: sow.resow(store, stamp, KALE, None, replace(TREE, cells=73)),
    ),
    "resow before it was sown": (
        BadInput,
        "lost on Sat 14 Mar is before that sowing",
        late(lambda store, stamp: sow.resow(store, stamp, KALE, None, replace(TREE, cells=9)), 31),
    ),
    # What is seen in a tray
    "no such tray": (
        BadInput,
        "That tray isn't on record",
        lambda store, stamp, ids: growth.thin(store, stamp, NOWHERE),
    ),
    "which sowing": (
        BadInput,
        "Tray 2W holds 3 sowings",
        lambda store, stamp, ids: growth.first_up(store, stamp, FLAT),
    ),
    "a sowing of another tray": (
        BadInput,
        "Tray 3A holds 1 sowing",
        lambda store, stamp, ids: growth.first_up(store, stamp, KALE, part_of(store, FLAT, 1)),
    ),
    "up before it was sown": (
        BadInput,
        "first up on Fri 13 Mar is before tray 3A was made, Sun 15 Mar",
        late(lambda store, stamp: growth.first_up(store, stamp, KALE), 32),
    ),
    "more up than cells": (
        NotEnough,
        "has 72 of Sedge Blue, not 73",
        lambda store, stamp, ids: growth.half_up(store, stamp, KALE, None, 73),
    ),
    "fewer up than none": (
        BadInput,
        "-1 is no count",
        lambda store, stamp, ids: growth.half_up(store, stamp, KALE, None, -1),
    ),
    "more counted than cells": (
        NotEnough,
        "has 72 of Sedge Blue, not 73",
        lambda store, stamp, ids: growth.count_stand(store, stamp, KALE, None, 73),
    ),
    "fewer counted than none": (
        BadInput,
        "-2 is no count",
        lambda store, stamp, ids: growth.count_stand(store, stamp, KALE, None, -2),
    ),
    "a look there isn't": (
        BadInput,
        "5 is no look",
        lambda store, stamp, ids: growth.root_look(store, stamp, KALE, 5),
    ),
    "a look below nothing": (
        BadInput,
        "-1 is no look",
        lambda store, stamp, ids: growth.root_look(store, stamp, KALE, -1),
    ),
    "roots of what isn't up": (
        BadInput,
        "Nothing is up in tray 2W yet",
        lambda store, stamp, ids: growth.root_look(store, stamp, FLAT, 1),
    ),
    "an empty note": (
        BadInput,
        "The note is empty",
        lambda store, stamp, ids: growth.note(store, stamp, KALE, " \n"),
    ),
    # The round
    "no tray named": (
        BadInput,
        "No tray is named",
        lambda store, stamp, ids: walk.mark_trays(store, stamp, ActKind.WATERED, []),
    ),
    "one of the trays isn't there": (
        BadInput,
        "That tray isn't on record",
        lambda store, stamp, ids: walk.mark_trays(store, stamp, ActKind.WATERED, [KALE, NOWHERE]),
    ),
    "what is no mark": (
        BadInput,
        "lost is no mark",
        lambda store, stamp, ids: walk.mark_trays(store, stamp, ActKind.LOST, [KALE]),
    ),
    "a place that isn't there": (
        BadInput,
        "can't be said of a whole place",
        lambda store, stamp, ids: walk.mark_place(store, stamp, ActKind.WATERED, NOWHERE),
    ),
    "an empty place": (
        BadInput,
        "No tray stands at corner",
        lambda store, stamp, ids: walk.mark_place(store, stamp, ActKind.WATERED, CORNER),
    ),
    "an exception from elsewhere": (
        BadInput,
        "doesn't stand at slats",
        lambda store, stamp, ids: walk.mark_place(store, stamp, ActKind.WATERED, SLATS, [TOMATO]),
    ),
    "watered before it was sown": (
        BadInput,
        "watered on .* is before tray 3A was made",
        late(lambda store, stamp: walk.mark_trays(store, stamp, ActKind.WATERED, [TOMATO, KALE]), 31),
    ),
    # Plants on the move
    "moved nowhere": (
        BadInput,
        "That place isn't on record",
        lambda store, stamp, ids: shift.move(store, stamp, [KALE], NOWHERE),
    ),
    "moved where it stands": (
        BadInput,
        "Tray 3A already stands at slats",
        lambda store, stamp, ids: shift.move(store, stamp, [TOMATO, KALE], SLATS),
    ),
    "moved to a full place": (
        FullPlace,
        "corner has 2 slots and 0 trays",
        lambda store, stamp, ids: shift.move(store, stamp, [TOMATO, FLAT, KALE], CORNER),
    ),
    "moved before it was sown": (
        BadInput,
        "is before tray 3A was made",
        late(lambda store, stamp: shift.move(store, stamp, [KALE], FRAME), 31),
    ),
    "more set out than there are": (
        NotEnough,
        "has 72 of Sedge Blue, not 73",
        lambda store, stamp, ids: shift.set_out(store, stamp, KALE, None, 73),
    ),
    "nothing set out": (
        BadInput,
        "0 is no count",
        lambda store, stamp, ids: shift.set_out(store, stamp, KALE, None, 0),
    ),
    "more lost than there are": (
        NotEnough,
        "not 73",
        lambda store, stamp, ids: shift.lose(store, stamp, KALE, None, 73, LossCause.FROST),
    ),
    "fewer lost than none": (
        BadInput,
        "-3 is no count",
        lambda store, stamp, ids: shift.lose(store, stamp, KALE, None, -3, LossCause.FROST),
    ),
    "more retired than there are": (
        NotEnough,
        "has 24 of Rook, not 25",
        lambda store, stamp, ids: shift.retire(store, stamp, FLAT, part_of(store, FLAT, 3), 25),
    ),
    "potted nothing": (BadInput, "Nothing is named", potting()),
    "potted no plant": (BadInput, "0 is no count", potting((40, "9 cm pot", SLATS), (0, "9 cm pot", SLATS))),
    "potted and lost fewer than none": (BadInput, "-3 is no count", potting((9, "9 cm pot", SLATS), lost=-3)),
    "potted more than there are": (
        NotEnough,
        "has 72 plants, not 73",
        potting((40, "9 cm pot", SLATS), (27, "9 cm pot", SLATS), lost=6),
    ),
    "potted more than the tray holds": (
        NotEnough,
        "A 24-cell tray holds 24 plants, not 25",
        potting((9, "9 cm pot", SLATS), (25, "24-cell tray", SLATS)),
    ),
    "potted into nothing on record": (BadInput, "That container isn't", potting((9, "bucket", SLATS))),
    "potted to nowhere": (BadInput, "That place isn't", potting((9, "9 cm pot", NOWHERE))),
    "potted before it was sown": (
        BadInput,
        "is before tray 1R was made",
        lambda store, stamp, ids: potting((9, "9 cm pot", SLATS))(store, replace(stamp, day=day(-36)), ids),
    ),
    # Correcting
    "sown on no day": (BadInput, "'soon' is no day", correcting("sown_on", "soon")),
    "sown in the future": (BadInput, "is still to come", correcting("sown_on", day(1).isoformat())),
    "sown after it was up": (BadInput, "half up on", correcting("sown_on", day(-1).isoformat())),
    "no cells at all": (BadInput, "0 is no count", correcting("cells", "0")),
    "cells in words": (BadInput, "'many' is no count", correcting("cells", "many")),
    "cells squared": (BadInput, "'7²' is no count", correcting("cells", "7²")),
    "too many cells": (NotEnough, "has 72 cells, not 720", correcting("cells", "720")),
    "too many seeds": (BadInput, "51 seeds a cell can't be", correcting("seeds_per_cell", "51")),
    "half a variety": (BadInput, "Crop or variety is empty", correcting("variety", "pepper")),
    "the lot": (BadInput, "lot can't be corrected", correcting("lot", "B2")),
    "what no sowing has": (BadInput, "colour can't be corrected", correcting("colour", "red")),
    "an act that isn't": (
        BadInput,
        "can't be corrected singly",
        lambda store, stamp, ids: record.correct_act(store, stamp, 999, "struck", ""),
    ),
    "the sowing singly": (BadInput, "can't be corrected singly", correcting_act(ActKind.SOWN, "day", "x")),
    "the kind of an act": (
        BadInput,
        "can't be corrected singly",
        correcting_act(ActKind.HALF_UP, "kind", "x"),
    ),
    "the score of no look": (BadInput, "can't be corrected", correcting_act(ActKind.HALF_UP, "score", "2")),
    "an act on no day": (BadInput, "'soon' is no day", correcting_act(ActKind.HALF_UP, "day", "soon")),
    "an act in the future": (
        BadInput,
        "is still to come",
        correcting_act(ActKind.HALF_UP, "day", day(2).isoformat()),
    ),
    "an act before the sowing": (
        BadInput,
        "is before tray 1R was made",
        correcting_act(ActKind.HALF_UP, "day", day(-36).isoformat()),
    ),
    "a count in words": (BadInput, "'few' is no count", correcting_act(ActKind.HALF_UP, "count", "few")),
    "a count above the cells": (NotEnough, "not 73", correcting_act(ActKind.HALF_UP, "count", "73")),
}


@pytest.mark.parametrize(("error", "words", "wish"), REFUSALS.values(), ids=REFUSALS.keys())
def test_a_refusal_says_what_to_do_and_changes_no_row(
    bench: Store,
    stamp: StampMaker,
    containers: Ids,
    error: type[TrayroundError],
    words: str,
    wish: Refused,
) -> None:
    before = state(bench)
    with pytest.raises(error, match=words) as refusal:
        wish(bench, stamp("Somebody new"), containers)
    assert refusal.type is error
    assert refusal.value.what_happened.endswith(".")
    assert refusal.value.what_to_do.endswith(".")
    assert state(bench) == before


CORRECTED_COUNTS = [
    (ActKind.LOST, "0", "0 is no count"),
    (ActKind.ROOT_LOOK, "5", "5 is no look"),
]


@pytest.mark.parametrize(("kind", "new", "words"), CORRECTED_COUNTS)
def test_what_could_not_be_entered_can_not_be_corrected_in(
    bench: Store, stamp: StampMaker, kind: ActKind, new: str, words: str
) -> None:
    shift.lose(bench, stamp(), TOMATO, None, 6, LossCause.EATEN)
    growth.root_look(bench, stamp(), TOMATO, 2)
    before = state(bench)
    field = "score" if kind is ActKind.ROOT_LOOK else "count"
    with pytest.raises(BadInput, match=words):
        record.correct_act(bench, stamp(), act_of(bench, TOMATO, kind), field, new)
    assert state(bench) == before


ON_A_TRAY: dict[str, Callable[[Store, Stamp], Receipt]] = {
    "water": lambda store, stamp: walk.mark_trays(store, stamp, ActKind.WATERED, [KALE]),
    "thin": lambda store, stamp: growth.thin(store, stamp, KALE),
    "look": lambda store, stamp: growth.root_look(store, stamp, KALE, 2),
    "note": lambda store, stamp: growth.note(store, stamp, KALE, "gone?"),
    "move": lambda store, stamp: shift.move(store, stamp, [KALE], FRAME),
    "set out": lambda store, stamp: shift.set_out(store, stamp, KALE, None, 1),
    "pot up": lambda store, stamp: shift.pot_up(store, stamp, KALE, None, [PotUp(1, 1, SLATS)]),
    "resow": lambda store, stamp: sow.resow(store, stamp, KALE, None, replace(TREE, cells=1)),
}


@pytest.mark.parametrize("act", ON_A_TRAY.values(), ids=ON_A_TRAY.keys())
def test_nothing_more_happens_to_a_tray_that_is_gone(
    bench: Store, stamp: StampMaker, act: Callable[[Store, Stamp], Receipt]
) -> None:
    shift.set_out(bench, stamp(day=day(-1)), KALE, None, 72)
    before = state(bench)
    with pytest.raises(BadInput, match="Tray 3A is gone since Mon 13 Apr") as refusal:
        act(bench, stamp())
    assert "undo what emptied it" in refusal.value.what_to_do
    assert state(bench) == before
