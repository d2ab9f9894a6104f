"""Tray numbers and their check letter.

The letter is the one that Spain's national identity numbers carry: the number's remainder after division
by 23 picks one of 23 letters. As 23 is prime and larger than any digit, every single wrong digit and every
swap of two neighbouring digits changes the letter.
"""

import re
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import date

from model.errors import BadInput

LETTERS = "TRWAGMYFPDXBNJZSQVHLCKE"
HIGHEST = 9999

_LABEL = re.compile(r"(\d{1,4})\s*([A-Za-z]?)$")


@dataclass(frozen=True, slots=True)
class Alias:
    """A number that a tray's label carried before it got another."""

    number: int
    until: date


def letter_of(number: int) -> str:
    """Check letter of a tray number.

    Source: the published rule of the Spanish national identity number (letter = LETTERS[number mod 23]).
    """
    return LETTERS[number % len(LETTERS)]


def label(number: int) -> str:
    """Number and letter as they are written on the label."""
    return f"{number}{letter_of(number)}"


def one_slip(number: int) -> set[int]:
    """Numbers that are one slip from a number: one wrong digit, or two neighbours swapped; itself never among them."""
    digits, every = str(number), range(len(str(number)))
    wrong = {digits[:at] + digit + digits[at + 1 :] for at in every for digit in "0123456789"}
    swapped = {digits[:at] + digits[at + 1] + digits[at] + digits[at + 2 :] for at in every[:-1]}
    return {int(slip) for slip in wrong | swapped if slip[0] != "0"} - {number}


def misread(number: int, letter: str) -> tuple[int, ...]:
    """Numbers one slip from another number that carry a letter: the letter catches every such slip."""
    return tuple(sorted(slip for slip in one_slip(number) if letter_of(slip) == letter.upper()))


def either(numbers: Iterable[int]) -> str:
    """Labels to choose from, as a question: "43C or 48W?"."""
    return f"{' or '.join(label(number) for number in numbers)}?"


def is_label(text: str) -> bool:
    """Whether words are meant as a tray number, rightly or not: some digits, with or without a letter."""
    return _LABEL.fullmatch(text.strip()) is not None


def read_label(text: str, among: Collection[int] = ()) -> int:
    """Tray number from what was typed, with or without its letter.

    Raises BadInput when it is no number, or when the letter isn't the number's own; of the numbers `among` which
    it was likely typed, those that are one slip away are asked about.
    """
    match = _LABEL.fullmatch(text.strip())
    if match is None:
        raise BadInput(
            f"{text.strip()!r} is no tray number.",
            "Type the digits on the label, with or without the letter.",
        )
    number, letter = int(match[1]), match[2].upper()
    if letter and letter != letter_of(number):
        meant = [slip for slip in misread(number, letter) if slip in among]
        raise BadInput(
            f"{number} ends in {letter_of(number)}, not in {letter}.",
            f"Read the label again: {either([number, *meant])}"
            if meant
            else "Read the label again: one digit or the letter is wrong.",
        )
    return number
