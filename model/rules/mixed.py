"""Crops of very different speed in one flat: the quick ones are up and stretching while the slow ones need the heat."""

from collections.abc import Iterable

from model.facts import Crop, Place
from model.rules.mat import median_days

APART = 3.0
"""One crop of a mixed flat takes more than this many times as long to come up as another [-]. Ours:
salad mixes of lettuce and mustard, about twice, are grown everywhere."""


def speeds_apart(crops: Iterable[Crop], place: Place) -> str:
    """What to know before crops of very different speed go into one flat at a place; "" where nothing is."""
    known = sorted(
        (days, crop.name) for crop in crops if (days := median_days(crop, place)) is not None and days > 0
    )
    if len(known) < 2 or known[-1][0] <= APART * known[0][0]:
        return ""
    (quick, quick_name), (slow, slow_name) = known[0], known[-1]
    return (
        f"{quick_name} is up after about {quick:.0f} d at {place.name}, {slow_name} after about {slow:.0f} d: "
        "what is up first has to come off the heat that the other still needs"
    )
