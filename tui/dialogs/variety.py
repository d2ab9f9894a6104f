"""What a grower types to name a crop and variety, and what it can mean."""

from collections.abc import Callable, Sequence

from model.crops import variety_name
from model.errors import BadInput
from model.text import one_slip
from model.views.choices import Choices
from tui.dialogs.ask import Choose, Flow, Option, Type

JOIN = "+"
"""Between the varieties of a flat that is sown in parts."""
PART_HINT = "crop and variety; part of the name is enough once it is on record"


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
    crop_and_rest = crop_first(choices, text)
    if crop_and_rest is not None and crop_and_rest[1]:
        return _of_crop(choices, text, *crop_and_rest)
    found = varieties_like(choices, text)
    if len(found) == 1:
        return found[0]
    if len(found) > 1:
        raise _could_be(text, found)
    if crop_and_rest is not None:
        raise BadInput(f"Which {text}?", f"Type the variety too, like {text} Early; any word will do.")
    crop, _, variety = text.partition("/")
    if crop.strip() and variety.strip():
        return _of_crop(choices, text, crop.strip(), variety.strip())
    raise BadInput(
        f"{text!r} is no variety on record.",
        "Type crop and variety, like tomato Ostrel; own/Name for a crop of your own.",
    )


def _of_crop(choices: Choices, text: str, crop: str, variety: str) -> tuple[str, str]:
    """The variety of a crop that begins so; after crop/ only the one of that very name. Else it is a new one."""
    wanted = variety.lower()
    known = [pair for pair in choices.varieties if pair[0].lower() == crop.lower()]
    same = [pair for pair in known if pair[1].lower() == wanted]
    begun = same or [pair for pair in known if pair[1].lower().startswith(wanted) and "/" not in text]
    if len(begun) > 1:
        raise _could_be(text, begun)
    return begun[0] if begun else (crop, variety)


def _could_be(text: str, found: Sequence[tuple[str, str]]) -> BadInput:
    named = ", ".join(variety_name(*pair) for pair in found[:4])
    return BadInput(f"{text!r} could be {named}.", "Type a little more.")


def _read(choices: Choices, one: bool) -> Callable[[str], tuple[tuple[str, str], ...]]:
    """A parser of what is sown: one variety, or several joined by + for a mixed flat."""

    def parse(text: str) -> tuple[tuple[str, str], ...]:
        parts = [part.strip() for part in text.split(JOIN) if part.strip()]
        if not parts:
            raise BadInput(
                "Nothing was typed.", "Type crop and variety, like tomato Ostrel, or leave with Esc."
            )
        if one and len(parts) > 1:
            raise BadInput(f"{text!r} names several varieties.", "Name one; the others come after it.")
        return tuple(read_one(choices, part) for part in parts)

    return parse


def which_varieties(
    choices: Choices, prompt: str, likely: str = "", hint: str = PART_HINT, one: bool = False
) -> Flow[tuple[tuple[str, str], ...]]:
    """What is sown; a variety that isn't on record is asked about before it is taken."""
    while True:
        what: tuple[tuple[str, str], ...] = yield Type(
            prompt,
            _read(choices, one),
            likely,
            hint,
            lambda text: [variety_name(*pair) for pair in varieties_like(choices, text.rpartition(JOIN)[2])],
        )
        new = [pair for pair in what if pair not in choices.varieties]
        if not new or (yield _is_it_new(choices, new)):
            return what
        # Enter may have been pressed ahead: it must not take what was likely before.
        likely = ""


def which_variety(
    choices: Choices, prompt: str, likely: str = "", hint: str = PART_HINT
) -> Flow[tuple[str, str]]:
    """One variety, where the parts of a mixed flat are entered one by one."""
    (what,) = yield from which_varieties(choices, prompt, likely, hint, one=True)
    return what


def _is_it_new(choices: Choices, new: Sequence[tuple[str, str]]) -> Choose:
    named = f" {JOIN} ".join(variety_name(*pair) for pair in new)
    near = [known for known in choices.varieties if any(_near(pair, known) for pair in new)]
    on_record = f" On record: {', '.join(variety_name(*pair) for pair in near[:4])}." if near else ""
    return Choose(
        f"A new variety, {named}?{on_record}",
        [Option("no, type again", False, "n"), Option("yes, a new one", True, "y")],
    )


def _near(new: tuple[str, str], known: tuple[str, str]) -> bool:
    """Whether a new name may be one on record with a slip of the finger, or a part of it."""
    name, other = new[1].lower(), known[1].lower()
    return new[0] == known[0] and (name in other or one_slip(name, other))
