"""The gate in words: reasons that end where their row ends."""

from pathlib import Path

from model.actions.files import DEMO_MORNING, make_demo
from model.days import FixedClock
from model.views import gate
from model.views.answer import MOST_WHY


def test_every_condition_of_the_demo_farms_trays_fits_its_rows(tmp_path: Path) -> None:
    store = make_demo(tmp_path / "demo.db", DEMO_MORNING)
    view = gate.read(store, DEMO_MORNING, FixedClock(DEMO_MORNING).now(), {})
    store.close()
    lines = gate.answer(view).lines
    assert lines
    for line, crop in zip(lines, view.crops, strict=True):
        assert len(line.why) <= MOST_WHY
        said = "; ".join(line.why)
        assert all(condition.words in said for condition in crop.gate.conditions)
        failing = [c.words for c in crop.gate.conditions if c.holds is not True]
        rows = [row for row in line.why[:-1] if len(row) > gate.WHY_WIDTH]
        assert not [row for row in rows if not any(row.endswith(words) for words in failing)], rows
