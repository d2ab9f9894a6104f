"""How long the mat rota takes, and how near to the best it comes: invented springs, mats of three widths.

python -m tests.bench.rota [seeds] [seconds]

It prints seconds and gaps and asserts nothing, since a busy machine would make it lie. Per cent = slots as a share of
what the wished-for days would need on the fullest day.
"""

import math
import sys
import time
from random import Random

from model.crops.loader import emergence_table
from model.science.rota import Rota, greedy, solve
from model.science.rota_choices import CELERY_LIMIT_C, LETTUCE_LIMIT_C, Mat, Sowing, Stay

CROPS = (
    "Pepper",
    "Tomato",
    "Tomato",
    "Cucumber",
    "Eggplant",
    "Muskmelon",
    "Cabbage",
    "Onion",
    "Parsley",
    "Lettuce",
    "Celery",
    "Corn, sweet",
)
LIMITS = {"Lettuce": LETTUCE_LIMIT_C.value, "Celery": CELERY_LIMIT_C.value}
COLD_NODE, WARM_NODE, HOT_NODE = 3, 5, 6
"""15, 25 and 30 °C in the table of days to emergence."""
SET_C = {WARM_NODE: 25.0, HOT_NODE: 30.0}
CASES = (
    *(((WARM_NODE,), share) for share in (0.8, 0.6, 0.45)),
    *(((WARM_NODE, WARM_NODE), share) for share in (0.8, 0.6, 0.45)),
    *(((WARM_NODE, WARM_NODE, HOT_NODE), share) for share in (0.8, 0.6)),
)
"""Mats by their node, and the share of slots; three mats of under three slots would not hold every sowing."""
SEASONS = {40: (7, 60), 150: (10, 90)}
"""Half a window, and the days over which the wished-for days are strewn, by the number of sowings [d]."""


def spring(count: int, nodes: tuple[int, ...], chance: Random) -> list[Sowing]:
    """Sowings of one spring, each with a window about its wished-for day and its stay on mats at these nodes."""
    found = []
    half_window, season = SEASONS[count]
    for number in range(count):
        crop = chance.choice(CROPS)
        row = emergence_table()[crop]
        wish = chance.randrange(half_window, half_window + season)
        stays = {
            f"mat {m}": Stay(max(1, int(row[node]) - 1), int(row[node]))
            for m, node in enumerate(nodes)
            if math.isfinite(row[node])
        }
        found.append(
            Sowing(
                f"{crop} {number}",
                wish - half_window,
                wish + half_window,
                chance.choice((1, 1, 1, 2, 2, 3)),
                stays,
                int(row[COLD_NODE]) if math.isfinite(row[COLD_NODE]) else None,
                wished=wish,
                weight=float(chance.choice((1, 1, 2, 3))),
                warmest_mat_c=LIMITS.get(crop, math.inf),
            )
        )
    return found


def mats_for(sowings: list[Sowing], nodes: tuple[int, ...], share: float) -> list[Mat]:
    """Mats with a share of the slots that the wished-for days would need on the fullest day, evenly split."""
    need: dict[int, int] = {}
    for sowing in sowings:
        stay = max((stay.days for stay in sowing.stays.values()), default=0)
        for day in range(sowing.wish, sowing.wish + stay):
            need[day] = need.get(day, 0) + sowing.flats
    slots = max(3, round(max(need.values()) * share / len(nodes)))
    return [Mat(f"mat {m}", slots, SET_C[node]) for m, node in enumerate(nodes)]


def told(rota: Rota) -> str:
    """Objective and proof in one cell."""
    return f"{rota.objective:7.0f} {rota.proof.name:8}" + ("" if rota.gap is None else f" {rota.gap:6.1%}")


def main() -> None:
    seeds = int(sys.argv[1]) if len(sys.argv) > 1 else 3
    seconds = float(sys.argv[2]) if len(sys.argv) > 2 else 5.0
    solve(spring(40, (WARM_NODE,), Random(0)), [Mat("mat 0", 40, 25.0)])
    print(f"limit {seconds:g} s; {'case':34} {'greedy':>8} {'rota':24} seconds")
    for count in SEASONS:
        for nodes, share in CASES:
            for seed in range(seeds):
                sowings = spring(count, nodes, Random(seed))
                mats = mats_for(sowings, nodes, share)
                plain = greedy(sowings, mats).objective
                start = time.perf_counter()
                rota = solve(sowings, mats, seconds)
                spent = time.perf_counter() - start
                case = f"{count} sowings, {len(mats)} x {mats[0].slots} slots, {share:.0%}, seed {seed}"
                print(f"{case:46} {plain:8.0f} {told(rota):24} {spent:6.2f}", flush=True)


if __name__ == "__main__":
    main()
