"""Cautions that nobody has seen yet this season, and the steps of the work that an entry was."""

from datetime import date

from model.ahead import Purpose
from model.crops import load_crops
from model.crops.cautions import Caution, load_cautions
from model.facts import ContainerKind, Treated
from model.store import reading_ahead
from model.store.database import Store
from model.store.reading_packets import told_in

SALAD, TREATED, CLASS, MOVE = "salad flat", "treated seed", "class", "move"
NIGHTSHADES = "Solanaceae"
"""Family whose leaves and stems aren't food, as the crop file names it."""


def waiting(store: Store, step: str, today: date) -> tuple[Caution, ...]:
    """Cautions of a step that nobody has seen this year."""
    with store.reading() as rows:
        seen = reading_ahead.cautions(rows, today.year)
    return tuple(caution for caution in load_cautions() if step in caution.steps and caution.key not in seen)


def steps_of(store: Store, entry_id: int) -> tuple[str, ...]:
    """Steps with a caution that an entry was: a flat to cut, treated seed, nightshades for a class."""
    with store.reading() as rows:
        sown, classes = reading_ahead.sown_in(rows, entry_id), reading_ahead.wanted_in(rows, entry_id)
        told = {one.treated for one in told_in(rows, entry_id)}
    crops = load_crops()
    steps = []
    if any(
        box == ContainerKind.OPEN_FLAT and crop in crops and crops[crop].cut_again for crop, box, *_ in sown
    ):
        steps.append(SALAD)
    if Treated.YES in {*told, *(treated for _, _, treated, _ in sown)}:
        steps.append(TREATED)
    wanted = [*((crop, purpose) for crop, _, _, purpose in sown), *classes]
    if any(
        purpose == Purpose.CLASS and crop in crops and crops[crop].family == NIGHTSHADES
        for crop, purpose in wanted
    ):
        steps.append(CLASS)
    return tuple(steps)
