"""One answer to one question of the farm: what the screen draws and what the command prints are the same lines."""

import json
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, is_dataclass
from datetime import date, datetime
from enum import Enum
from textwrap import wrap
from typing import Any

from model.text import clean

WIDTH = 78
"""Columns that a line of an answer may take: 80 less the margins."""
MOST_WHY = 4
"""Lines of reasons that are shown at most."""

PLAIN = str.maketrans("▁▂▃▄▅▆▇█░▒▓·…→–°", ".,-=+*%#-+#..>-o")
"""Blocks, dots and dashes, and what stands for them in plain ASCII."""


@dataclass(frozen=True, slots=True)
class AnswerLine:
    """One line of an answer, and why it says so."""

    text: str
    """At most 78 columns."""
    why: tuple[str, ...] = ()
    """At most four lines: the fact, how it is known, what would change it."""
    tone: str = ""
    """A token of the theme that repeats what a word already says: "ready", "crowding", "cold", "quiet"; or none."""
    key: int | None = None
    """What is acted on here: the id of a target, a tray or a sowing, as the page means it."""
    number: int | None = None
    """Of a line about one tray, its number: digits find it."""
    full: tuple[str, ...] = ()
    """The reasons whole, where the screen has no room for them; () where `why` is whole."""
    tray_id: int | None = None
    """The tray that the line is about, where `key` is something else."""


@dataclass(frozen=True, slots=True)
class Answer:
    """The answer first, then its lines with their heading, then notes."""

    title: str
    """What the page is, in a word or two; the screen shows it beside the day."""
    answer: tuple[str, ...]
    """At most three lines: what is to be done, or that nothing is."""
    lines: tuple[AnswerLine, ...] = ()
    heading: str = ""
    notes: tuple[str, ...] = ()
    """Strips and curves, where figures come from, cautions."""


def as_text(answer: Answer, *, ascii_only: bool = False) -> str:
    """The answer with every reason under its line."""
    rows = [*answer.answer]
    if answer.lines:
        rows += ["", *([answer.heading] if answer.heading else [])]
    for line in answer.lines:
        rows += [line.text, *(f"    {why}" for why in line.why if not line.full)]
        rows += [f"    {row}" for words in line.full for row in wrap(words, WIDTH)]
    if answer.notes:
        rows += ["", *answer.notes]
    text = "\n".join(clean(row).rstrip() for row in rows)
    return in_ascii(text) if ascii_only else text


def in_ascii(text: str) -> str:
    """The same text with plain signs in the place of blocks and dots."""
    return text.translate(PLAIN)


def as_json(view: Any) -> str:
    """A view as one JSON object: days as text, what isn't known as null."""
    return json.dumps(_plain(view), ensure_ascii=False, indent=1)


def _plain(value: Any) -> Any:
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, date | datetime):
        return value.isoformat()
    if isinstance(value, float):
        return round(value, 4) if math.isfinite(value) else None
    if isinstance(value, Mapping):
        return {str(_plain(key)): _plain(item) for key, item in value.items()}
    if isinstance(value, Sequence) and not isinstance(value, str):
        return [_plain(item) for item in value]
    return value
