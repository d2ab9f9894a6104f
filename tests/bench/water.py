"""How long the thirst of a whole farm takes: trays watered some days ago, fingers in a tenth of them.

OPENBLAS_NUM_THREADS=1 python -m tests.bench.water [runs]

It prints milliseconds of the processor and asserts nothing, since a busy machine would make it lie.
"""

import sys
import time
from dataclasses import replace
from random import Random
from statistics import median

from model.facts import Finger, Tray
from model.rules.grounds import Grounds
from model.rules.thirst import thirsts
from tests.builders import TODAY
from tests.rules.builders import (
    CELLS_72,
    CELLS_200,
    CONTAINERS,
    FRAME,
    PLACES,
    SHELF,
    SLATS,
    YARD,
    ago,
    crop,
    tray,
    up,
)


def a_tray(chance: Random, number: int, felt: float) -> Tray:
    """A tray watered up to four days ago; with this chance a finger was in it today and four days before that."""
    watered = chance.choice((0, 1, 1, 1, 2, 2, 3, 4))
    made = tray(
        up(),
        at=chance.choice((SHELF, SLATS, FRAME, YARD)),
        into=chance.choice((CELLS_72, CELLS_200)),
        watered=watered,
        number=number,
    )
    if chance.random() > felt:
        return made
    tests = ((watered + 2, watered + 4), (watered + 6, watered + 8), (0, watered))
    return replace(
        made, fingers=tuple(Finger(ago(on), "Wren", chance.randrange(3), ago(since)) for on, since in tests)
    )


def main(runs: int) -> None:
    on = Grounds(PLACES, CONTAINERS, {"tomato": crop("tomato")}, latitude=52.0)
    for count, felt in ((1, 1.0), (400, 0.0), (400, 0.1), (400, 1.0), (2_000, 0.1)):
        chance = Random(count)
        trays = [a_tray(chance, number, felt) for number in range(1, count + 1)]
        fills = {each.id: chance.random() for each in trays}
        laps = []
        for _ in range(runs + 1):
            start = time.process_time()
            thirsts(trays, on, fills, TODAY)
            laps.append((time.process_time() - start) * 1000)
        print(
            f"{count:>5} trays, {felt:.0%} felt: {median(laps[1:]):.0f} ms, the first time {laps[0]:.0f} ms"
        )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 5)
