"""The program is ended by force: nothing that was acknowledged is lost, and nothing is left half done.

The full number of moments is ended by `python -m tests.faults.long`.
"""

from pathlib import Path

import pytest

from tests.faults.kills import SCENARIOS, end_at_moments
from tests.long import some

MOMENTS = {"a round": 16}
FEW = 8


@pytest.mark.parametrize("name", some(SCENARIOS, 2))
def test_what_was_acknowledged_is_there_after_an_end_by_force(name: str, tmp_path: Path) -> None:
    count = end_at_moments(name, tmp_path, MOMENTS.get(name, FEW))
    assert count.moments == MOMENTS.get(name, FEW)
    print(name, count)
