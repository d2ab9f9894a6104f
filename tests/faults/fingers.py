"""Keys by chance: no sequence of them ends the program with a traceback, and what it acknowledged is on record."""

import asyncio
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from hypothesis import strategies as st

from model.views import check
from tests.faults.farms import demo_bytes
from tests.faults.kills import entries_of
from tests.tui.hand import Hand, at_the_farm
from tui.commands import COMMANDS

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

KEYS = st.lists(
    st.one_of(
        st.sampled_from(_OF_REGISTER),
        st.sampled_from(("enter", "enter", "escape", "down", "up", "space", "backspace", "tab")),
        st.sampled_from(_TYPED),
    ),
    min_size=5,
    max_size=40,
)


@dataclass(slots=True)
class Typed:
    """What came of some sequences."""

    sequences: int = 0
    keys: int = 0
    acknowledged: int = 0


def type_all(path: Path, keys: list[str], typed: Typed) -> None:
    """Press keys on a fresh demo farm; fails where anything acknowledged is lost or the program breaks."""
    path.write_bytes(demo_bytes())
    said = asyncio.run(_press(path, keys, typed))
    on_record = entries_of(path)
    assert {i: on_record.get(i) for i, _ in said} == dict(said)
    page = check.read(path, EVENING)
    assert page.sound, page
    typed.sequences += 1
    typed.acknowledged += len(said)


async def _press(path: Path, keys: list[str], typed: Typed) -> list[tuple[int, str]]:
    said: list[tuple[int, str]] = []
    async with at_the_farm(path) as hand:
        _listen(hand, said)
        for key in keys:
            if hand.app._exit:
                break
            await (hand.press(key) if key.isascii() and key.islower() and len(key) > 1 else hand.type(key))
            assert "Traceback" not in hand.shown
        typed.keys += hand.keys
    return said


def _listen(hand: Hand, said: list[tuple[int, str]]) -> None:
    """Hear every receipt that the session hands out."""
    do = hand.app.session.do

    async def told(wish):  # type: ignore[no-untyped-def]
        receipt = await do(wish)
        said.append((receipt.entry_id, receipt.words))
        return receipt

    hand.app.session.do = told  # type: ignore[method-assign]
