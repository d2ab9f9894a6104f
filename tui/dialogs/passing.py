"""Where to go on a second pass of the day: the places by how many trays are likely dry before evening."""

from collections.abc import Sequence

from model.rules.verdict import SecondPass
from tui.dialogs.ask import Choose, Flow, Option

LABELS = 12
"""Trays that are named at most: as many as a person carries in the head from the list to the bench. Ours."""


def go_to(passes: Sequence[SecondPass], remark: str) -> Flow[SecondPass]:
    """Which place; Enter takes the one with the most."""
    options = [Option(place_words(one), one) for one in passes]
    chosen: SecondPass = yield Choose(f"{remark} Go where?".strip(), options)
    return chosen


def place_words(one: SecondPass) -> str:
    """How many of a place's trays are likely dry: "Slats: 7 of 22 likely dry by noon, 9 by evening"."""
    if one.by_noon:
        words = f"{one.name}: {one.by_noon} of {one.trays} likely dry by noon"
        words += f", {one.by_evening} by evening" if one.by_evening > one.by_noon else ""
    else:
        words = f"{one.name}: {one.by_evening} of {one.trays} likely dry by evening"
    return words + (f"; {one.unknown} not known" if one.unknown else "")


def tray_words(labels: Sequence[str]) -> str:
    """Which trays, the soonest dry first."""
    more = f" and {len(labels) - LABELS} more" if len(labels) > LABELS else ""
    return f"Likely dry before evening: {', '.join(labels[:LABELS])}{more}."
