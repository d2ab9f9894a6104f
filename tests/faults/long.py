"""The full counts of the faults, which take too long for every day: `python -m tests.faults.long [part ...]`.

Parts: kills, damage, rows, keys, writers; all of them where none is named. `kills:40` does another count than the full
one. A failure ends it with a traceback.
"""

import sys
from collections import Counter
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from time import monotonic

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.faults.damage import meet
from tests.faults.fingers import SEQUENCES, Typed, type_all
from tests.faults.kills import SCENARIOS, assert_kept, end_at_moments, write_together
from tests.faults.rows import MANGLES, Change, take_in

calm = settings(deadline=None, database=None, suppress_health_check=list(HealthCheck))


def kills(folder: Path, moments: int) -> None:
    for name in SCENARIOS:
        here = folder / name.replace(" ", "-")
        here.mkdir()
        count = end_at_moments(name, here, moments, seed=1)
        print(
            f"ended by force in {name}: {count.moments} moments, {count.in_the_middle} of them in the middle; "
            f"{count.acknowledged} acknowledged, 0 lost",
            flush=True,
        )


def damage(folder: Path, files: int) -> None:
    counts: Counter[str] = Counter()
    for seed in range(files):
        with TemporaryDirectory(dir=folder) as here:
            meet(Path(here) / "farm.db", Random(seed), counts)
    told = ", ".join(f"{count} {how}" for how, count in sorted(counts.items()))
    print(f"damaged files: {files}: {told}; 0 tracebacks, 0 written to, all gone back from", flush=True)


def rows(folder: Path, wanted: int) -> None:
    counts = Counter[str]()

    @settings(calm, max_examples=wanted)
    @given(changes=st.lists(MANGLES, min_size=1, max_size=3))
    def mangle(changes: list[Change]) -> None:
        if counts["rows"] < wanted:
            with TemporaryDirectory(dir=folder) as here:
                counts["taken, and sound" if take_in(Path(here), changes) else "refused in words"] += 1
            counts["rows"] += len(changes)

    mangle()
    print(f"bad rows: {dict(counts)}; 0 tracebacks, 0 half taken", flush=True)


def keys(folder: Path, sequences: int) -> None:
    typed = Typed()

    @settings(calm, max_examples=sequences)
    @given(typing=SEQUENCES)
    def press(typing: list[list[str]]) -> None:
        if typed.sequences < sequences:
            with TemporaryDirectory(dir=folder) as here:
                type_all(Path(here) / "farm.db", typing, typed)

    press()
    print(
        f"keys by chance: {typed.sequences} sequences, {typed.keys} keys, {typed.acknowledged} acknowledged; "
        "0 tracebacks, 0 lost",
        flush=True,
    )


def writers(folder: Path, seconds: int) -> None:
    said = write_together(folder / "farm.db", seconds)
    first, second = ([entry for entry in heard if isinstance(entry, tuple)] for heard in said)
    assert not {i for i, _ in first} & {i for i, _ in second}
    assert_kept(folder / "farm.db", [*first, *second])
    busy = sum(words == "busy" for heard in said for words in heard)
    print(
        f"two writers for {seconds} s: {len(first)} and {len(second)} entries, 0 lost, {busy} told to try again"
    )


PARTS = {
    "kills": (kills, 200),
    "damage": (damage, 1000),
    "rows": (rows, 10_000),
    "keys": (keys, 10_000),
    "writers": (writers, 60),
}
"""Each part with its full count: moments of each scenario, files, rows, sequences of keys, seconds."""


def main(asked: list[str]) -> None:
    """Run the parts that are named, or all."""
    for name, _, count in (word.partition(":") for word in asked or PARTS):
        part, full = PARTS[name]
        began = monotonic()
        with TemporaryDirectory(prefix="trayround-faults-") as folder:
            part(Path(folder), int(count or full))
        print(f"    {name}: {monotonic() - began:.0f} s", flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
