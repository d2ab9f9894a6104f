"""A bleach bath in words: what goes in, in which order, how long, and what never."""

from model.crops.cautions import load_cautions
from model.science.bleach import bath, strength_after
from model.views.answer import Answer, AnswerLine

USUAL_BATH = 0.5
"""Strength of one part of 5 % household bleach in ten, for trays [%]: UMass Extension."""
STEPS = (
    (
        "wash off soil and roots first",
        ("dirt uses the chlorine up before it reaches the tray", "UMass Extension"),
    ),
    ("water in first, then the bleach", ("never the other way round, and never anything else into it",)),
    (
        "under for 10 to 30 minutes, by the label",
        (
            "published: 10-15 min (Philadelphia master gardeners), 30 min (UMass), wet overnight (Utah State)",
            "about 20 minutes and a rinse is common practice, no source",
        ),
    ),
    ("rinse with clean water and let dry", ("bleach harms plants: air the trays before they are filled",)),
    (
        "a fresh bath every two hours, or once it is dirty",
        ("half its strength is gone by then: UMass Extension",),
    ),
)


def answer(label_percent: float, bath_percent: float, litres: float) -> Answer:
    """A bath from the bottle's strength, step by step. Raises BadInput for what can't be mixed."""
    made = bath(label_percent, bath_percent, litres)
    later = [strength_after(bath_percent, hours) for hours in (2.0, 4.0)]
    caution = next(caution for caution in load_cautions() if caution.key == "bleach")
    return Answer(
        title="bleach bath",
        answer=(
            f"{made.water_l:.2f} L of water, then {made.bleach_l:.2f} L of {label_percent:g} % bleach.",
            f"{bath_percent:g} %: 1 part bleach, {made.parts:.1f} parts water. "
            f"{later[0]:.3g} % after 2 h, {later[1]:.3g} % after 4 h.",
        ),
        heading="in this order",
        lines=tuple(AnswerLine(words, why) for words, why in STEPS),
        notes=(caution.words, f"Here {caution.defers_to}. ({caution.source})"),
    )
