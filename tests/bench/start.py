"""How soon the round is on the screen and how soon a key is answered, beside an empty Textual app, taken in turn.

python -m tests.bench.start [runs]      prints ratios; it asserts nothing, since a busy machine would make it lie.
"""

import os
import pty
import select
import struct
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from fcntl import ioctl
from pathlib import Path
from statistics import median
from termios import TIOCSWINSZ

from tests.bench.farms import big_farm

ROOT = Path(__file__).parents[2]
EMPTY = """
from textual.app import App
from textual.widgets import Static
class Empty(App):
    def compose(self):
        yield Static('EMPTY-IS-UP')
Empty().run()
"""
QUIET_S = 0.08
"""A key counts as answered when nothing more came for so long [s]."""
KEYS = ["\x1b[B"] * 40 + ["w", "\x1b[B"] * 20 + ["d", "u"] * 10 + ["n"] * 10
SIZE = (40, 120)


@contextmanager
def terminal(command: list[str]) -> Iterator[int]:
    """A program on a pseudo-terminal; gives the terminal's end."""
    pid, fd = pty.fork()
    if pid == 0:
        os.environ.update(TERM="xterm-256color", COLORTERM="truecolor", PYTHONPATH=str(ROOT))
        os.execvp(command[0], command)
    ioctl(fd, TIOCSWINSZ, struct.pack("HHHH", *SIZE, 0, 0))
    try:
        yield fd
    finally:
        os.kill(pid, 9)
        os.waitpid(pid, 0)
        os.close(fd)


def until(fd: int, marks: tuple[bytes, ...], limit_s: float = 30.0) -> float:
    """When all marks had come, on the clock."""
    seen = b""
    end = time.perf_counter() + limit_s
    while time.perf_counter() < end:
        if select.select([fd], [], [], 0.5)[0]:
            seen += os.read(fd, 65536)
            if all(mark in seen for mark in marks):
                return time.perf_counter()
    raise TimeoutError(seen[-2000:])


def started(command: list[str], marks: tuple[bytes, ...]) -> float:
    """Milliseconds from the start of the process to the marks on the terminal."""
    start = time.perf_counter()
    with terminal(command) as fd:
        return (until(fd, marks) - start) * 1000


def answered(fd: int, key: str) -> float:
    """Milliseconds from a key to the last byte it caused."""
    start = last = time.perf_counter()
    os.write(fd, key.encode())
    while select.select([fd], [], [], QUIET_S)[0]:
        os.read(fd, 65536)
        last = time.perf_counter()
    return (last - start) * 1000


def keys_of(command: list[str], marks: tuple[bytes, ...]) -> list[float]:
    """Milliseconds to the last byte of each of some keys on the round."""
    with terminal(command) as fd:
        until(fd, marks)
        for key in ("n", "\x1b[B"):
            while select.select([fd], [], [], 1.0)[0]:
                os.read(fd, 65536)
            os.write(fd, key.encode())
        while select.select([fd], [], [], 1.0)[0]:
            os.read(fd, 65536)
        return [answered(fd, key) for key in KEYS]


def main(runs: int) -> None:
    with tempfile.TemporaryDirectory() as folder:
        for standing, gone in ((400, 1000), (10_000, 1000)):
            path = Path(folder) / f"{standing}.db"
            big_farm(path, standing, gone)
            ours = [sys.executable, "-m", "tui", "--db", str(path), "--on", "2026-04-14"]
            empty = [sys.executable, "-c", EMPTY]
            marks = (b"needs me first", f" of {standing}".encode(), b"day ")
            firsts = [(started(empty, (b"EMPTY-IS-UP",)), started(ours, marks)) for _ in range(runs)]
            base, filled = median(a for a, _ in firsts), median(b for _, b in firsts)
            keys = keys_of(ours, marks)
            print(
                f"{standing:>6} trays: empty app {base:.0f} ms, filled {filled:.0f} ms, ratio {filled / base:.2f}; "
                f"a key {median(keys):.1f} ms in the median, {sorted(keys)[-len(keys) // 20]:.1f} at 95 %"
            )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 11)
