"""Three trays that have already lived a while, for tests of what can be done to them."""

import pytest

from model.actions import growth, sow
from model.actions.sow import Sow, SowPart
from model.store.database import Store
from tests.builders import day
from tests.conftest import StampMaker
from tests.store.names import FLAT, KALE, MAT, SLATS, TOMATO


@pytest.fixture
def bench(store: Store, stamp: StampMaker, containers: dict[str, int]) -> Store:
    """Tray 1 of tomato on the mat, tray 2 a flat in thirds, tray 3 of kale: all sown on earlier days."""
    early = stamp(today=day(-35))
    tomato = Sow(containers["72-cell tray"], MAT, (SowPart("tomato", "Ostrel", 72, 2, "A1"),), day(-35))
    assert sow.sow(store, early, tomato).tray_ids == (TOMATO,)
    thirds = tuple(
        SowPart(crop, variety, 24)
        for crop, variety in (("lettuce", "Marrel"), ("mustard", "Frill"), ("arugula", "Rook"))
    )
    mixed = Sow(containers["open flat"], SLATS, thirds, day(-20))
    assert sow.sow(store, stamp(today=day(-20)), mixed).tray_ids == (FLAT,)
    kale = Sow(containers["72-cell tray"], SLATS, (SowPart("kale", "Sedge Blue", 72),), day(-30))
    assert sow.sow(store, stamp(today=day(-20)), kale).tray_ids == (KALE,)
    growth.half_up(store, stamp("Jory", today=day(-27)), TOMATO, None, 66)
    growth.half_up(store, stamp("Jory", today=day(-19)), KALE)
    return store
