"""Keys by chance: no sequence of them ends the program with a traceback, and what it acknowledged is on record.

A sequence is either keys of any kind, or one thing that a grower does with a slip or two of the finger in it.
"""

import asyncio
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from hypothesis import strategies as st

from model.views import check
from tests.faults.farms import demo_bytes
from tests.faults.kills import entries_of
from tests.tui.hand import NAMED, Hand, at_the_farm
from tests.tui.test_acts import STORIES
from tui.commands import COMMANDS, ROUND

EVENING = datetime(2026, 4, 14, 20, tzinfo=UTC)
LEAVES = {"q"}
_OF_REGISTER = sorted({key for command in COMMANDS for key in command.key.split(",")} - LEAVES)
_TYPED = (
    "46",
    "12",
    "58T",
    "1",
    "2",
    "0",
    "9999",
    "-3",
    "12 mar",
    "4 17",
    "[/]",
    "½",
    "y",
    "tomato Ostrel",
    "🌱",
)

KEY = st.one_of(
    st.sampled_from(_OF_REGISTER),
    st.sampled_from(("enter", "enter", "escape", "down", "up", "space", "backspace", "tab")),
    st.sampled_from(_TYPED),
)


def _letters(text: str) -> list[str]:
    return [NAMED.get(char, char) for char in text]


DONE_IN_THE_ROUND = [
    [
        *_letters(f"n{STORIES[command.id].tray}"),
        *_letters(STORIES[command.id].before),
        command.key.split(",")[0],
        *_letters(STORIES[command.id].then),
    ]
    for command in COMMANDS
    if ROUND in command.where and command.key not in LEAVES
]
"""The keys of each thing that can be done in the round."""


def _slipped(keys: list[str], slips: list[tuple[float, bool, str]]) -> list[str]:
    """The keys with others between them, or in the place of one."""
    found = list(keys)
    for where, instead, key in slips:
        at = int(where * len(found))
        found[at : at + instead] = [key]
    return found


_SLIPPED = st.builds(
    _slipped,
    st.sampled_from(DONE_IN_THE_ROUND),
    st.lists(st.tuples(st.floats(0, 1), st.booleans(), KEY), max_size=2),
)
SEQUENCE = st.one_of(_SLIPPED, _SLIPPED, st.lists(KEY, min_size=3, max_size=20))
MANY = 25
"""Most sequences typed on one record, one after the other."""
SEQUENCES = st.lists(SEQUENCE, min_size=5, max_size=MANY)


@dataclass(slots=True)
class Typed:
    """What came of some sequences."""

    sequences: int = 0
    keys: int = 0
    acknowledged: int = 0


def type_all(path: Path, sequences: list[list[str]], typed: Typed) -> None:
    """Press keys on a fresh demo farm; fails where anything acknowledged is lost or the program breaks."""
    path.write_bytes(demo_bytes())
    said = asyncio.run(_press(path, sequences, typed))
    on_record = entries_of(path)
    assert {i: on_record.get(i) for i, _ in said} == dict(said)
    page = check.read(path, EVENING)
    assert page.sound, page
    typed.sequences += len(sequences)
    typed.acknowledged += len(said)


async def _press(path: Path, sequences: list[list[str]], typed: Typed) -> list[tuple[int, str]]:
    said: list[tuple[int, str]] = []
    left = list(sequences)
    while left:
        async with at_the_farm(path) as hand:
            _listen(hand, said)
            while left and not hand.app._exit:
                await _press_one(hand, left.pop(0))
        typed.keys += hand.keys
    return said


async def _press_one(hand: Hand, keys: list[str]) -> None:
    for key in [*keys, "escape", "escape"]:
        if hand.app._exit:
            return
        await (hand.press(key) if key.isascii() and key.islower() and len(key) > 1 else hand.type(key))
        assert "Traceback" not in hand.shown


def _listen(hand: Hand, said: list[tuple[int, str]]) -> None:
    """Hear every receipt that the session hands out."""
    do = hand.app.session.do

    async def told(wish):  # type: ignore[no-untyped-def]
        receipt = await do(wish)
        said.append((receipt.entry_id, receipt.words))
        return receipt

    hand.app.session.do = told  # type: ignore[method-assign]
