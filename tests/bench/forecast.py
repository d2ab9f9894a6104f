"""How long the forecast of a whole farm takes: learning, fill, ready days, chances and the value of a look.

OPENBLAS_NUM_THREADS=1 python -m tests.bench.forecast [runs]

It prints milliseconds and asserts nothing, since a busy machine would make it lie. The products are small: a second
thread gains nothing on an idle machine and makes them five times slower on a busy one.
"""

import sys
import time
from statistics import median

import numpy as np

from model.science.growth_learning import (
    crop_growth,
    fill_logits,
    gather,
    growth_moments,
    growth_quantiles,
    look_evidence,
    tray_growth,
)
from model.science.outlook import (
    PATHS,
    chance_by_day,
    daily_warmth,
    day_quantiles,
    passed_given_growth,
    temperature_paths,
    value_of_look,
    warmth_needed,
)
from model.science.root_fill import CUTS

GROUPS, HORIZON, RECORDED, AHEAD = 25, 120, 30, 7
PAST_TRAYS, LOOKS = 12, 3
SHARES = (0.1, 0.5, 0.9)
RATE, START_MG, BASE_C, CAP_C = 0.0227, 2.1, 8.0, 25.0


def looked(trays: int, chance: np.random.Generator) -> np.ndarray:
    """Evidence of trays with three looks each, a third of them potted up on the way."""
    rows = trays * LOOKS
    moved = chance.random(rows) < 1 / 3
    warmth = np.stack(
        [chance.uniform(80, 250, rows), np.where(moved, chance.uniform(0, 60, rows), 0.0)], axis=1
    )
    room = np.stack([np.full(rows, 43.0), np.where(moved, 500.0, 43.0)], axis=1)
    logits = fill_logits(warmth, room, START_MG, RATE)
    return gather(look_evidence(chance.integers(0, 5, rows), logits), np.arange(rows) // LOOKS, trays)


def forecast(trays: int, chance: np.random.Generator) -> dict[str, float]:
    """Milliseconds of each part of one morning's forecast."""
    spent, start = {}, time.perf_counter()

    def lap(name: str) -> None:
        nonlocal start
        spent[name] = (time.perf_counter() - start) * 1000
        start = time.perf_counter()

    past = looked(GROUPS * PAST_TRAYS, chance)
    crops = crop_growth(past, np.arange(len(past)) % GROUPS, GROUPS)
    lap("past trays")
    group = np.arange(trays) % GROUPS
    weights = tray_growth(crops[group], looked(trays, chance))
    logits = fill_logits(chance.uniform(0, 300, (trays, 1)), np.full((trays, 1), 43.0), START_MG, RATE)
    lap("their looks")
    growth_moments(weights)
    growth_quantiles(weights, logits, SHARES)
    lap("fill now")
    needs = [warmth_needed(cut, logits, RATE) for cut in CUTS[1:]]
    for one in range(GROUPS):
        mine = np.flatnonzero(group == one)
        mean = np.full(RECORDED + HORIZON, 12.0 + one / 4)
        lows, highs = temperature_paths(mean - 5, mean + 5, RECORDED, AHEAD)
        sums = np.cumsum(daily_warmth(lows, highs, BASE_C, CAP_C), axis=1)
        sums -= sums[:, [RECORDED - 1]]
        both = np.concatenate([need[mine] for need in needs])
        chances = chance_by_day(both, np.tile(weights[mine], (len(needs), 1)), sums)
        day_quantiles(chances, SHARES, 1 - RECORDED)
        bound = passed_given_growth(needs[-1][mine], sums[:, RECORDED + AHEAD])
        value_of_look(weights[mine], logits[mine], bound)
    lap("days ahead")
    return spent


def main(runs: int) -> None:
    chance = np.random.default_rng(1)
    for trays in (400, 10_000):
        forecast(trays, chance)
        laps = [forecast(trays, chance) for _ in range(runs)]
        parts = {name: median(one[name] for one in laps) for name in laps[0]}
        told = ", ".join(f"{name} {spent:.0f}" for name, spent in parts.items())
        print(
            f"{trays:>6} trays, {GROUPS} groups, {int(PATHS.value)} paths, {RECORDED}+{HORIZON} d: "
            f"{sum(parts.values()):.0f} ms ({told})"
        )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 5)
