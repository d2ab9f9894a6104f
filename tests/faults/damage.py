"""Files that were cut short or written over: told in a sentence, never written to, and gone back from."""

import io
from collections import Counter
from contextlib import redirect_stderr, redirect_stdout
from datetime import UTC, datetime
from pathlib import Path
from random import Random

from model.actions.files import DEMO_MORNING
from model.store import backup
from tests.faults.farms import demo_bytes
from tests.store.looking import every_row
from tui.__main__ import FINE, REFUSED, run

NOON = datetime(2026, 4, 14, 12, tzinfo=UTC)
COMMANDS = (("round",), ("check",), ("plan",), ("export",), ("entries",))


def damaged(data: bytes, die: Random) -> tuple[str, bytes]:
    """A file's bytes after something happened to them, and what."""
    found = bytearray(data)
    if die.random() < 0.4:
        return "cut short", bytes(found[: die.randrange(len(found))])
    for _ in range(die.choice((1, 1, 3, 20))):
        start, length = die.randrange(len(found)), die.choice((1, 8, 60, 600, 4096, 20_000))
        stop = min(len(found), start + length)
        filler = die.choice((b"\x00" * length, b"\xff" * length, die.randbytes(length)))
        found[start:stop] = filler[: stop - start]
    return "written over", bytes(found)


def meet(path: Path, die: Random, counts: Counter[str]) -> None:
    """Damage a farm that has a backup, run a command on it, go back to the backup."""
    data = demo_bytes()
    path.write_bytes(data)
    backup.make(path, NOON)
    then = every_row(path)
    how, broken = damaged(data, die)
    path.write_bytes(broken)
    command = die.choice(COMMANDS)
    code, printed = _run(path, command)
    counts[f"{how}, {'told' if code else 'not met'}"] += 1
    if code:
        assert broken == path.read_bytes(), "what is broken was written to"
        assert len(printed.splitlines()) >= 1
    code, printed = _run(path, ("restore", "newest"))
    assert code == FINE, printed
    assert every_row(path) == then


def _run(path: Path, command: tuple[str, ...]) -> tuple[int, str]:
    folder = [str(path.with_name("out"))] if command == ("export",) else []
    said = io.StringIO()
    with redirect_stdout(said), redirect_stderr(said):
        code = run([*command, *folder, "--db", str(path), "--on", DEMO_MORNING.isoformat()])
    assert code in {FINE, REFUSED}
    assert "Traceback" not in said.getvalue()
    return code, said.getvalue()
