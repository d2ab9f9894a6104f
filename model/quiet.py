"""Keeps compiled libraries from writing over the screen."""

import os
from collections.abc import Iterator
from contextlib import contextmanager

STANDARD_OUTPUT = 1
"""The number the operating system gives to standard output."""


@contextmanager
def standard_output_shut() -> Iterator[None]:
    """Send what is written to standard output nowhere while the block runs, from compiled code too.

    Notes:
        Python's own redirection only moves `sys.stdout`; a compiled library writes to the descriptor. The
        descriptor belongs to the whole process, so another thread's output is lost as well: keep the block
        as short as the call that talks. On Linux and macOS the screen isn't touched, since Textual draws on
        standard error; on Windows it draws on standard output, and what it draws in that moment may be lost.
        Where there is no standard output nothing needs to be done.
    """
    try:
        kept = os.dup(STANDARD_OUTPUT)
    except OSError:
        yield
        return
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, STANDARD_OUTPUT)
    os.close(nowhere)
    try:
        yield
    finally:
        os.dup2(kept, STANDARD_OUTPUT)
        os.close(kept)
