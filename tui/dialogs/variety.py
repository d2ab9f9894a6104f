"""What a grower types to name a crop and variety, and what it can mean."""

from collections.abc import Callable

from model.crops import variety_name
from model.errors import BadInput
from model.views.choices import Choices

JOIN = "+"
"""Between the varieties of a flat that is sown in parts."""


def varieties_like(choices: Choices, text: str) -> list[tuple[str, str]]:
    """Varieties on record that the typed text could mean, the last sown first."""
    ordered = list(
        dict.fromkeys([(sown.crop, sown.variety) for sown in choices.last] + list(choices.varieties))
    )
    wanted = text.strip().lower()
    said = {pair: variety_name(*pair).lower() for pair in ordered}
    exact = [pair for pair in ordered if wanted in {pair[1].lower(), said[pair]}]
    return exact or [pair for pair in ordered if wanted in said[pair]]


def crop_first(choices: Choices, text: str) -> tuple[str, str] | None:
    """Key of the crop that a text begins with, under any of its names, and what follows it."""
    spaced = text.replace("_", " ").replace("/", " ").strip()
    for key, name in sorted(choices.crops, key=lambda crop: -len(crop[1])):
        if spaced.lower() == name or spaced.lower().startswith(name + " "):
            return key, text.strip()[len(name) :].strip(" /")
    return None


def read_one(choices: Choices, text: str) -> tuple[str, str]:
    """Crop and variety that a text means: one on record, or a crop and a new variety."""
    known = {(crop, name.lower()): (crop, name) for crop, name in choices.varieties}
    crop_and_rest = crop_first(choices, text)
    if crop_and_rest is not None and crop_and_rest[1]:
        crop, variety = crop_and_rest
        return known.get((crop, variety.lower()), (crop, variety))
    found = varieties_like(choices, text)
    if len(found) == 1:
        return found[0]
    if len(found) > 1:
        raise BadInput(
            f"{text!r} could be {', '.join(name for _, name in found[:4])}.", "Type a little more."
        )
    if crop_and_rest is not None:
        raise BadInput(f"Which {text}?", f"Type the variety too, like {text} Early; any word will do.")
    crop, _, variety = text.partition("/")
    if crop.strip() and variety.strip():
        return crop.strip(), variety.strip()
    raise BadInput(
        f"{text!r} is no variety on record.",
        "Type crop and variety, like tomato Ostrel; own/Name for a crop of your own.",
    )


def read_what(choices: Choices) -> Callable[[str], tuple[tuple[str, str], ...]]:
    """A parser of what is sown: one variety, or several joined by + for a mixed flat."""

    def parse(text: str) -> tuple[tuple[str, str], ...]:
        parts = [part.strip() for part in text.split(JOIN) if part.strip()]
        if not parts:
            raise BadInput(
                "Nothing was typed.", "Type crop and variety, like tomato Ostrel, or leave with Esc."
            )
        return tuple(read_one(choices, part) for part in parts)

    return parse


def read_variety(choices: Choices) -> Callable[[str], tuple[str, str]]:
    """A parser of one variety, where the parts of a mixed flat are entered one by one."""
    several = read_what(choices)

    def parse(text: str) -> tuple[str, str]:
        first, *others = several(text)
        if others:
            raise BadInput(f"{text!r} names several varieties.", "Name one; the others come after it.")
        return first

    return parse
