"""Whether plants that were potted up stand in pots, none of them from nowhere, and how many cells of a tray are sown."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping

from model.entered import TrayBirth
from model.facts import Act, ActKind, Sowing, Tray


def apart(trays: Mapping[int, Tray], made: Iterable[TrayBirth]) -> Iterator[tuple[Tray, Sowing, int]]:
    """Sowings of which other plants stand in pots than were potted up: tray, sowing, and how many stand there."""
    into_pots = Counter[int | None]()
    for birth in made:
        for part in birth.sowings:
            into_pots[part.from_sowing_id] += part.cells
    for tray in trays.values():
        for sowing in tray.sowings:
            if sowing.potted != into_pots[sowing.id]:
                yield tray, sowing, into_pots[sowing.id]


def cells_sown(tray: Tray, acts: Iterable[Act]) -> int:
    """Cells of a tray that are sown; one that was sown again stands in two sowings, but only once in the tray."""
    resown = sum(act.count or 0 for act in acts if act.kind is ActKind.RESOWN)
    return sum(sowing.cells for sowing in tray.sowings) - resown
