"""What one screen says of a tray, the others say too: bar, curve, window and what-if start from the same figures."""

from pathlib import Path

import pytest

from model.actions.files import DEMO_MORNING, demo_folder, import_folder
from model.errors import BadInput
from model.rules.course import Change
from model.views.course import read_what_if
from model.views.outlook import reckon
from model.views.round import read_round
from model.views.tray import read_page


def test_bar_curve_window_and_what_if_agree_on_every_tray_of_the_demo_farm(tmp_path: Path) -> None:
    store = import_folder(tmp_path / "farm.db", demo_folder())
    found = reckon(store, DEMO_MORNING)
    compared = 0
    for line in read_round(store, DEMO_MORNING, found.outlooks).lines:
        page = read_page(store, line.tray_id, DEMO_MORNING, found.outlooks)
        if page.curve is None or line.fill is None or not 0 < line.fill.expected < 1:
            continue
        at = page.curve.days.index(page.curve.today)
        drawn = (page.curve.low[at], page.curve.expected[at], page.curve.high[at])
        assert drawn == pytest.approx((line.fill.low, line.fill.expected, line.fill.high), abs=0.01), (
            line.label
        )
        try:
            thought = read_what_if(store, line.tray_id, DEMO_MORNING, Change(temp_c=12.0), found.outlooks)
        except BadInput:
            continue
        assert (thought.before.ready, thought.before.full) == (line.ready or (None, None)), line.label
        compared += 1
    assert compared > 30


def test_what_is_gone_by_is_not_moved_by_what_is_done_today(tmp_path: Path) -> None:
    store = import_folder(tmp_path / "farm.db", demo_folder())
    found = reckon(store, DEMO_MORNING)
    pak_choi = next(
        line for line in read_round(store, DEMO_MORNING, found.outlooks).lines if line.number == 25
    )
    thought = read_what_if(store, pak_choi.tray_id, DEMO_MORNING, Change(temp_c=5.0), found.outlooks)
    assert thought.after == thought.before
