"""Damaged files, a few of them; `python -m tests.faults.long` meets many more."""

from collections import Counter
from pathlib import Path
from random import Random

import pytest

from tests.faults.damage import meet

FILES = 12


@pytest.mark.parametrize("seed", range(FILES))
def test_a_damaged_file_is_told_in_a_sentence_and_gone_back_from(tmp_path: Path, seed: int) -> None:
    meet(tmp_path / "farm.db", Random(seed), Counter())
