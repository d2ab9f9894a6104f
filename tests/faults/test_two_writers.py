"""Two people on one file at once, for a while; a minute of it is in `python -m tests.faults.long`."""

from pathlib import Path

from tests.faults.kills import assert_kept, entries_of, write_together

SECONDS = 3


def test_two_writers_lose_nothing_and_share_no_entry(tmp_path: Path) -> None:
    path = tmp_path / "farm.db"
    first, second = (
        [entry for entry in heard if isinstance(entry, tuple)] for heard in write_together(path, SECONDS)
    )
    assert first
    assert second
    assert not {i for i, _ in first} & {i for i, _ in second}
    assert_kept(path, [*first, *second])
    # Of each, at most the one entry is on record that it couldn't say any more; three sowed the farm.
    assert len(entries_of(path)) - 3 - len(first) - len(second) in range(3)
