"""Damaged files, a few of them; `python -m tests.faults.long` meets many more."""

from collections import Counter
from pathlib import Path
from random import Random

import pytest

from model.errors import StoreTrouble
from model.store import migrate, reading, soundness
from model.store.database import FileStore
from model.store.soundness import defects
from tests.faults.damage import meet
from tests.faults.farms import demo_bytes
from tui.__main__ import run
from tui.cli.common import REFUSED

FILES = 12


@pytest.mark.parametrize("seed", range(FILES))
def test_a_damaged_file_is_told_in_a_sentence_and_gone_back_from(tmp_path: Path, seed: int) -> None:
    meet(tmp_path / "farm.db", Random(seed), Counter())


def test_one_letter_written_over_in_the_kind_of_an_act_is_told_as_damage(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "farm.db"
    data = demo_bytes()
    at = data.index(b"root look2026")
    path.write_bytes(data[: at + 6] + b"\x00" + data[at + 7 :])
    assert "1 rows of act break the rule ck_act_kind" in defects(path)
    with pytest.raises(StoreTrouble, match="damaged"), FileStore(path).reading() as rows:
        reading.acts_of(rows, [i for (i,) in rows("SELECT id FROM tray")])
    assert run(["check", "--db", str(path)]) == REFUSED
    assert "ck_act_kind" in capsys.readouterr().out


def test_every_rule_of_every_table_is_tried(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "farm.db"
    path.write_bytes(demo_bytes())
    tried: list[str] = []
    find = soundness._in_brackets
    monkeypatch.setattr(soundness, "_in_brackets", lambda text: tried.append(text) or find(text))
    assert defects(path) == []
    assert len(tried) == (migrate.HERE / "schema.sql").read_text(encoding="utf-8").count(" CHECK (") > 20
