"""The sheet for a helper by its command."""

import json
from pathlib import Path

import pytest

from tui.__main__ import FINE, REFUSED, run


def asked(farm: Path, *days: str) -> list[str]:
    return ["cover", *days, "--db", str(farm), "--on", "2026-04-14"]


def test_the_command_prints_a_sheet_of_eighty_columns(farm: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run([*asked(farm, "2026-04-14", "2026-04-19"), "--helper", "Jory"]) == FINE
    text = capsys.readouterr().out
    assert text.startswith("Tue 14 Apr, evening, to Sun 19 Apr, for Jory\ncall: ____")
    # The demo's forecast has -1 °C in the night of Thursday 16 April; half-hardy plants stay out down to 0 °C.
    assert "Bring in 4 of Hardening by 17:00 on Thu 16 Apr." in text
    assert "BRING IN 14Z, 18H, 25W, 28M by" in text
    assert max(map(len, text.splitlines())) <= 80


def test_the_command_prints_json(farm: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run([*asked(farm, "2026-04-14", "2026-04-19"), "--json"]) == FINE
    found = json.loads(capsys.readouterr().out)
    assert [day["low_c"] for day in found["days"]] == [3.0, 1.0, -1.0, 2.0, 5.0, None]


def test_days_the_wrong_way_round_are_refused(farm: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(asked(farm, "2026-04-19", "2026-04-14")) == REFUSED
    assert "Give the day you leave first, then the day back." in capsys.readouterr().err
