"""What a seed lot's test and age say before it is sown and after it failed, and what treated seed may not become."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from math import isfinite

from model.errors import BadInput
from model.facts import ContainerKind, Crop, Sowing, Treated
from model.rules.planning import Germination, seeds_advised
from model.science.quantities import SeedTest, germination_limits, usable_chance

CELLS_FILLED = 0.8
"""Share of cells that should hold a seedling after sowing [fraction]. Ours: fewer cost more mix and room than seed."""
MOST_ADVISED = 3
"""Seeds a cell beyond which thinning costs more than another lot. Ours, no source."""
OLD_YEARS = 2
"""Age beyond which a lot is tested before it is sown [years]. Common practice, no source."""
FAR_BELOW = 0.5
"""A stand below this share of what seed of the trade's minimum gives is a failed sowing [fraction]. Ours."""
FEW_SEEDS = 10
"""Seeds below which a test tells next to nothing: ten are the habit of kitchens, and even 8 of 10 leave 44 to 97 %
open. Common practice, no source."""
TEST_WITH = "20 to 50 seeds"
"""What a test that tells something takes: 8 of 10 leaves 44 to 97 % open, 40 of 50 leaves 66 to 90 %
(exact limits, Clopper and Pearson 1934)."""
_NO_TEST = frozenset({"0", "-", "none", "no"})
_TEST = re.compile(r"([0-9]{1,4})(?:\s*/\s*|\s+of\s+|\s+)([0-9]{1,4})")
MAY_BE_TREATED = "nobody has said whether the seed is treated; the tag tells"


@dataclass(frozen=True, slots=True)
class Packet:
    """What is known of a lot before it is sown."""

    name: str
    packed_year: int | None = None
    test: SeedTest | None = None

    def old(self, today: date) -> bool:
        """Whether it is older than seed is kept without a test."""
        return self.packed_year is not None and today.year - self.packed_year > OLD_YEARS


def spread_words(test: SeedTest) -> str:
    """A test with what it leaves open: "9 of 20 came up: somewhere 23-68 %" (exact 95 % limits)."""
    return f"{test.sprouted} of {test.tested} came up: somewhere {range_words(test)}"


def below_minimum(test: SeedTest, minimum: float) -> bool:
    """Whether a test lies plainly below a minimum: even the upper of its exact 95 % limits does."""
    return germination_limits(test)[1] < minimum


def words_of_test(test: SeedTest) -> str:
    """The same of a test that is on record, and that a small one tells little."""
    return f"{spread_words(test)}{f', too few to tell: test {TEST_WITH}' if test.tested < FEW_SEEDS else ''}"


def read_test(text: str) -> SeedTest | None:
    """A germination test as it is typed: 8/10, 8 of 10 or 8 10; None for none.

    Raises BadInput for anything else, and where more came up than were laid out.
    """
    if text.strip().lower() in _NO_TEST:
        return None
    counts = _TEST.fullmatch(text.strip().lower())
    if counts is None:
        raise BadInput(f"{text.strip()!r} is no test.", "Type it like 8 of 10 or 8/10; 0 for no test.")
    up, seeds = int(counts[1]), int(counts[2])
    if not up <= seeds or not seeds:
        raise BadInput(
            f"{up} of {seeds} seeds can't have come up.",
            "First how many came up, then how many were laid out.",
        )
    return SeedTest(up, seeds)


def range_words(test: SeedTest) -> str:
    """What a test leaves open: "23-68 %" (exact 95 % limits)."""
    low, high = germination_limits(test)
    return f"{100 * low:.0f}-{100 * high:.0f} %"


def seeds_for(crop: Crop, test: SeedTest) -> int:
    """Seeds a cell after a test: the fewest that fill CELLS_FILLED of the cells, MOST_ADVISED at most.

    Never fewer than the plan advises. A lot that needs more than MOST_ADVISED is better left.
    """
    enough = next((seeds for seeds in range(1, MOST_ADVISED + 1) if fills_enough(test, seeds)), MOST_ADVISED)
    share = test.sprouted / test.tested
    return max(enough, seeds_advised(crop, Germination(test, share)))


def fills_enough(test: SeedTest, seeds: int) -> bool:
    """Whether so many seeds a cell should fill CELLS_FILLED of the cells, at the test's own share."""
    return usable_chance(test.sprouted / test.tested, seeds) >= CELLS_FILLED


def filled_words(test: SeedTest, seeds: int) -> str:
    """What so many seeds a cell give: "3 a cell fill about 83 % of the cells"."""
    share = usable_chance(test.sprouted / test.tested, seeds)
    return f"{seeds} a cell {'fills' if seeds == 1 else 'fill'} about {100 * share:.0f} % of the cells"


def packet_words(packet: Packet, today: date) -> str:
    """What to know of a lot before it is sown: its test with the spread, or that it is old and untested; else ""."""
    if packet.test is not None:
        return spread_words(packet.test)
    if packet.old(today):
        return f"packed {packet.packed_year}, not tested: test it, {TEST_WITH}"
    return ""


def may_be_treated(lots: Iterable[Treated]) -> bool:
    """Whether seed that is to be eaten as leaves may be treated: of a lot unnamed, every lot of it counts."""
    known = list(lots)
    return not known or any(treated is not Treated.NO for treated in known)


def failed(crop: Crop, sowing: Sowing, slow_end: date | None, today: date) -> bool:
    """Whether it is past the day a slow lot is up and its stand, as counted since, is far below what seed should give.

    A count from before that day tells of seed that was still coming up.
    """
    if slow_end is None or today <= slow_end:
        return False
    since = [count for day, count in sowing.counts if day >= slow_end]
    stand = max(since, default=0 if sowing.first_up is None else None)
    least = crop.min_germination if isfinite(crop.min_germination) else 1.0
    return stand is not None and stand < FAR_BELOW * least * sowing.cells


def old_seed(crop: Crop, packet: Packet, today: date) -> str:
    """Why old seed is the likely cause: "old seed likely: lot packed 2023, 9 of 20 in a test"; "" where nothing says so."""
    test = packet.test
    share = test.sprouted / test.tested if test else None
    least = crop.min_germination if isfinite(crop.min_germination) else None
    weak = share is not None and least is not None and share < least
    if not weak and not packet.old(today):
        return ""
    parts = [f"lot packed {packet.packed_year}"] if packet.packed_year else []
    parts += [f"{test.sprouted} of {test.tested} in a test"] if test else ["never tested"]
    return f"old seed likely: {', '.join(parts)}"


def to_be_eaten(kind: ContainerKind, crop: Crop | None) -> bool:
    """Whether what is sown there is cut as leaves."""
    return kind is ContainerKind.OPEN_FLAT and crop is not None and crop.cut_again
