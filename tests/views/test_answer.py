"""One answer: as text, as JSON, in plain signs."""

import json
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from model.views.answer import Answer, AnswerLine, as_json, as_text

ANSWER = Answer(
    "gate, Tue 14 Apr",
    ("Set out the kale today.",),
    (AnswerLine("kale   GO", ("roots hold", "soil 9 °C of 7")), AnswerLine("tomato WAIT")),
    "crop   gate",
    ("▁▃█ slots",),
)


def test_the_answer_comes_first_and_each_reason_stands_under_its_line() -> None:
    assert as_text(ANSWER).split("\n") == [
        *("Set out the kale today.", "", "crop   gate"),
        *("kale   GO", "    roots hold", "    soil 9 °C of 7", "tomato WAIT", "", "▁▃█ slots"),
    ]


def test_plain_signs_hold_nothing_but_ascii() -> None:
    text = as_text(ANSWER, ascii_only=True)
    assert text.isascii()
    assert ".-# slots" in text


def test_what_steers_a_terminal_is_taken_out() -> None:
    assert "\x1b" not in as_text(Answer("a\x1b[2J", ("b\x1b",), (AnswerLine("c\x1b", ("d\x1b",)),)))


class Gate(StrEnum):
    GO = "GO"


@dataclass(frozen=True)
class Line:
    crop: str
    gate: Gate
    on: date
    soil_c: float
    days: dict[date, tuple[int, ...]]


def test_json_has_days_as_text_and_what_is_not_known_as_null() -> None:
    line = Line("kale", Gate.GO, date(2026, 4, 14), float("nan"), {date(2026, 4, 15): (1, 2)})
    assert json.loads(as_json([line])) == [
        {"crop": "kale", "gate": "GO", "on": "2026-04-14", "soil_c": None, "days": {"2026-04-15": [1, 2]}}
    ]
