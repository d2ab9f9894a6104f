"""Three trays that have already lived a while, for tests of what can be done to them; and a release to come."""

import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from model.actions import growth, sow
from model.actions.sow import Sow, SowPart
from model.store import migrate
from model.store.database import FileStore, Store
from tests.builders import day
from tests.conftest import StampMaker
from tests.store.names import FLAT, KALE, MAT, SLATS, TOMATO

NextRelease = Callable[..., None]

REVISION = """
from alembic import op

revision = "{revision}"
down_revision = "{down}"
branch_labels = None
depends_on = None


def upgrade() -> None:
    for statement in {statements!r}:
        op.execute(statement)
"""


@pytest.fixture
def bench(store: Store, stamp: StampMaker, containers: dict[str, int], farm_file: Path) -> Store:
    """Tray 1 of tomato on the mat, tray 2 a flat in thirds, tray 3 of kale: all sown on earlier days."""
    kept = farm_file.with_name("bench.db")
    if isinstance(store, FileStore) and kept.exists():
        copy_rows(kept, store.path)
        for _ in range(5):
            stamp()
        return store
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
    if isinstance(store, FileStore):
        copy_rows(store.path, kept)
    return store


def copy_rows(source: Path, target: Path) -> None:
    """Make one file what another is, whoever has it open."""
    with closing(sqlite3.connect(source)) as here, closing(sqlite3.connect(target)) as there:
        here.backup(there)


@pytest.fixture
def next_release(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> NextRelease:
    """Makes this release one that has a further revision, of some statements."""

    def make(*statements: str) -> None:
        here = tmp_path / "release"
        shutil.copytree(migrate.HERE, here, ignore=shutil.ignore_patterns("*.py[co]", "__pycache__"))
        text = REVISION.format(revision="9001", down=migrate.HEAD, statements=list(statements))
        (here / "migrations" / "versions" / "9001_next.py").write_text(text, encoding="utf-8")
        monkeypatch.setattr(migrate, "HERE", here)
        monkeypatch.setattr(migrate, "KNOWN", migrate.KNOWN | {"9001"})
        monkeypatch.setattr(migrate, "HEAD", "9001")

    return make
