"""What is printed, or written to a file that was named."""

import argparse
import sys
from pathlib import Path


def add_file(command: argparse.ArgumentParser) -> None:
    """The file that is written, and whether it may be written over."""
    command.add_argument("file", nargs="?", type=Path, metavar="FILE", help="where to; printed without one")
    command.add_argument("--over", action="store_true", help="write over a file that is there")


def put_out(asked: argparse.Namespace, data: bytes, done: str) -> None:
    """Write to the file that was named and say so, or print as it stands."""
    if asked.file is None:
        sys.stdout.flush()
        sys.stdout.buffer.write(data)
        return
    from model.actions.files import write_file

    write_file(asked.file, data, over=asked.over)
    print(done)
