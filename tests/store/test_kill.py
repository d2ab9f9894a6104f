"""The program is ended by force at fifty moments of one round: nothing that was acknowledged is lost."""

import sqlite3
import subprocess
import sys
from collections import deque
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from random import Random

from model.store import births, reading
from model.store.database import Store, open_store
from tests.store.looking import kept, kept_anew

MOMENTS = 50
MOST_TICKS = 25
AHEAD = 2
"""Programs that are started before their turn, since starting takes longer than ticking."""

ROOT = Path(__file__).parents[2]

Walker = subprocess.Popen[str]


def start(path: Path, seed: int) -> Walker:
    return subprocess.Popen(
        [sys.executable, "-m", "tests.store.ticking", str(path), str(seed)],
        cwd=ROOT,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        encoding="ascii",
    )


@contextmanager
def walkers(path: Path, count: int) -> Iterator[Iterator[Walker]]:
    """Programs one after the other, a few of them waiting for their turn."""
    waiting = deque(start(path, seed) for seed in range(min(AHEAD, count)))

    def in_turn() -> Iterator[Walker]:
        for seed in range(count):
            if seed + AHEAD < count:
                waiting.append(start(path, seed + AHEAD))
            yield waiting.popleft()

    try:
        yield in_turn()
    finally:
        for walker in waiting:
            end(walker)


def end(walker: Walker) -> list[str]:
    """End a program by force; what it had said by then."""
    walker.kill()
    said, _ = walker.communicate()
    return [line for line in said.splitlines(keepends=True) if line.endswith("\n")]


def walk_and_end(walker: Walker, ticks: int) -> list[str]:
    """Let a program tick so many times, then end it by force; every line that it got out."""
    assert walker.stdin is not None
    assert walker.stdout is not None
    walker.stdin.write("go\n")
    walker.stdin.flush()
    heard = [walker.stdout.readline() for _ in range(ticks)]
    assert all(line.endswith("\n") for line in heard), "it ended before it was ended"
    return heard + end(walker)


def assert_nothing_is_lost(path: Path, acknowledged: dict[int, str]) -> None:
    with closing(sqlite3.connect(path)) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
        rows = dict(connection.execute("SELECT id, words FROM entry"))
    on_record = {i: words.encode("unicode_escape").decode() for i, words in rows.items()}
    assert {i: on_record.get(i) for i in acknowledged} == acknowledged
    assert "" not in on_record.values(), "half an entry"


def test_no_acknowledged_entry_is_lost_when_the_program_is_ended_at_fifty_moments(bench: Store) -> None:
    bench.close()
    path, die = bench.path, Random(50)
    acknowledged: dict[int, str] = {}
    with walkers(path, MOMENTS) as in_turn:
        for walker in in_turn:
            lines = walk_and_end(walker, die.randint(1, MOST_TICKS))
            for line in lines:
                entry_id, _, words = line.rstrip("\n").partition(" ")
                assert int(entry_id) not in acknowledged
                acknowledged[int(entry_id)] = words
            assert_nothing_is_lost(path, acknowledged)
    assert len(acknowledged) >= MOMENTS
    store = open_store(path)
    now = kept(store)
    assert kept_anew(store) == now
    with store.reading() as rows:
        dead = reading.dead_entries(rows)
        assert len(births.births(rows, births.all_tray_ids(rows), dead)) == len(now)
    store.close()
