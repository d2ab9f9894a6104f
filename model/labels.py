"""Tray numbers and their check letter.

The letter is the one that Spain's national identity numbers carry: the number's remainder after division
by 23 picks one of 23 letters. As 23 is prime and larger than any digit, every single wrong digit and every
swap of two neighbouring digits changes the letter.
"""

import re

from model.errors import BadInput

LETTERS = "TRWAGMYFPDXBNJZSQVHLCKE"
HIGHEST = 9999

_LABEL = re.compile(r"(\d{1,4})\s*([A-Za-z]?)$")


def letter_of(number: int) -> str:
    """Check letter of a tray number.

    Source: the published rule of the Spanish national identity number (letter = LETTERS[number mod 23]).
    """
    return LETTERS[number % len(LETTERS)]


def label(number: int) -> str:
    """Number and letter as they are written on the label."""
    return f"{number}{letter_of(number)}"


def read_label(text: str) -> int:
    """Tray number from what was typed, with or without its letter.

    Raises BadInput when it is no number, or when the letter isn't the number's own.
    """
    match = _LABEL.fullmatch(text.strip())
    if match is None:
        raise BadInput(
            f"{text.strip()!r} is no tray number.",
            "Type the digits on the label, with or without the letter.",
        )
    number, letter = int(match[1]), match[2].upper()
    if letter and letter != letter_of(number):
        raise BadInput(
            f"{number} ends in {letter_of(number)}, not in {letter}.",
            "Read the label again: one digit or the letter is wrong.",
        )
    return number
