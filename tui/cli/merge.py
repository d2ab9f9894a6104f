"""Two laptops, two people: another copy of the farm's file taken into this one."""

import argparse

from tui.cli.common import FINE, Register, pen


def add(command: Register) -> None:
    """Put down the command that merges."""
    merged = command("merge", _merge, "take in what another copy of the farm's file holds")
    merged.add_argument("other", metavar="OTHER", help="the file from the other laptop")


def _merge(asked: argparse.Namespace) -> int:
    from model.actions.merge import merge
    from model.actions.opening import where_of
    from model.text import several
    from model.views import clashes

    store, stamp = pen(asked)
    other = where_of(asked.other)
    found = merge(store, stamp, other)
    if found.kept is None:
        print(f"Nothing of {other} is new here.")
    else:
        total = sum(count for _, count in found.entries)
        whose = ", ".join(f"{count:,} by {who}" for who, count in found.entries)
        print(f"{total:,} {'entries' if total != 1 else 'entry'} taken in{': ' if whose else ''}{whose}.")
        if found.trays:
            print(f"{several(found.trays, 'tray')} more {'stand' if found.trays > 1 else 'stands'} here.")
        print(f"The file as it was before is {found.kept}.")
    print(*found.notes, sep="\n", end="\n" if found.notes else "")
    page = clashes.read(store, stamp.today, stamp.at)
    still = [line for line in page.lines if not line.decided]
    for line in still:
        print(line.said)
    if still:
        print("! in the app decides; until then it counts as said.")
    return FINE
