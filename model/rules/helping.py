"""What somebody who doesn't know the plants is told: one plain line a tray and one a place. Common practice, no source.

A helper looks, waters, leaves moist, notes and calls; whatever else is due waits for the grower, so no line asks for it.
"""

from collections.abc import Collection, Mapping

from model.facts import ActKind, PlaceKind
from model.rules.careful import SHORT
from model.rules.verdict import HANDS_OFF, SICK, Dries, Stage, Today

HELPS = frozenset({ActKind.LOOKED, ActKind.WATERED, ActKind.LEFT_DRY, ActKind.NOTE, ActKind.CALLED})
"""All that a helper enters, and may take back."""


def instead_of(new: ActKind, old: ActKind) -> bool:
    """Whether a mark says of a tray the opposite of an earlier one of the day: water was given, or none was needed."""
    return {new, old} == {ActKind.WATERED, ActKind.LEFT_DRY}


AT_PLACES: Mapping[PlaceKind, str] = {
    PlaceKind.HEAT_MAT: "A warm mat under the trays. Cold to the hand: call.",
    PlaceKind.LIT_SHELF: "Shelves under lamps. Dark by day: call.",
    PlaceKind.SLATTED_BENCH: "A bench you can see through. Hot and still, or cold: call.",
    PlaceKind.COLD_FRAME: "A low box with a lid. Lid stuck, hot or freezing inside: call.",
    PlaceKind.HARDENING: "Outside, in wind and weather. Lying flat, or frost to come: call.",
    PlaceKind.CORNER: "Doubtful trays. Touch these last, then wash your hands.",
    PlaceKind.QUARANTINE: "Sick trays, shut off. Touch these last, then wash your hands.",
}
"""What a place is, to somebody who never stood there, and what is wrong there."""


def todo(stage: Stage, seen: Today, dries: Dries, flags: Collection[str] = ()) -> str:
    """One plain line for a tray, at most 39 characters; what was done today stands before what is reckoned."""
    if HANDS_OFF in flags:
        return f"{SHORT[HANDS_OFF]}: sprayed, see above"
    if seen is Today.WATERED:
        return "watered today, nothing more to do"
    if seen is Today.LEFT:
        return "was moist; feel it again this evening"
    if SICK in flags:
        return "looked sick: last; feel it, wash hands"
    if stage is Stage.SOWN:
        return "seed: keep moist on top; green? note it"
    if dries in {Dries.NOW, Dries.NOON}:
        return "likely dry: feel it, water it through"
    if dries is Dries.LATER:
        return "likely moist: feel it, water if dry"
    return "feel the mix: dry, water; moist, leave"
