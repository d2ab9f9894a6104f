"""Whether a crop is worth raising in trays at all: what published lists say of moving it, and where they differ."""

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from model.crops.loader import DATA, QUALITIES, read_rows

COLUMNS = ("crop", "says", "short", "quality", "source", "note")
INTO_THE_GROUND = frozenset({"sow in place", "little gain"})
"""What a list says of crops that are better sown where they stay."""
SAYS = INTO_THE_GROUND | {"easy to move", "moves with care", "hard to move", "worth it"}


@cache
def moving() -> Mapping[str, tuple[tuple[str, str], ...]]:
    """What each list says of a crop and which list it is, by crop key; ValueError names file and line."""
    found: dict[str, list[tuple[str, str]]] = {}
    for line, (crop, says, short, quality, _source, _note) in read_rows(
        DATA / "direct.csv", COLUMNS, ("note",)
    ):
        if says not in SAYS or quality not in QUALITIES:
            raise ValueError(f"direct.csv, line {line}: {says!r} ({quality!r}) isn't known.")
        found.setdefault(crop, []).append((says, short))
    return MappingProxyType({crop: tuple(said) for crop, said in found.items()})


def direct_words(crop: str) -> str:
    """Why to sow a crop into the ground instead; "" where no list says so, or another says otherwise."""
    said = moving().get(crop, ())
    against = [pair for pair in said if pair[0] in INTO_THE_GROUND]
    if not against:
        return ""
    # Lists differ over most crops. Where some find it worth a tray there is nothing to act on.
    if any(pair[0] not in INTO_THE_GROUND for pair in said):
        return ""
    return f"sow it where it stays instead? ({against[0][0]}: {against[0][1]})"
