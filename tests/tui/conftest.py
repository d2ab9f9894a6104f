"""The demo farm, imported once and copied for every test."""

import shutil
from collections.abc import Iterator
from datetime import date
from hashlib import sha256
from pathlib import Path

import pytest

from model.actions.files import demo_folder, import_folder
from model.store.database import FileStore, Store
from model.views import outlook


@pytest.fixture(scope="session")
def demo_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("demo") / "demo.db"
    import_folder(path, demo_folder()).close()
    return path


@pytest.fixture
def farm(demo_file: Path, tmp_path: Path) -> Path:
    """A fresh copy of the demo farm."""
    path = tmp_path / "farm.db"
    shutil.copy(demo_file, path)
    return path


@pytest.fixture(autouse=True)
def a_home_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What is written for people goes into their home by default; here that is a folder of the test."""
    monkeypatch.setenv("HOME", str(tmp_path))


@pytest.fixture(scope="session", autouse=True)
def _quick() -> Iterator[None]:
    """The forecast of an equal file is reckoned once: it takes a third of what opening the program does."""
    known: dict[tuple[bytes, date], outlook.Reckoned] = {}
    reckon = outlook.reckon

    def content(store: FileStore) -> bytes:
        with store.reading() as rows:
            rows("SELECT count(*) FROM entry")  # where it is locked, it is
            files = [store.path, store.path.with_name(f"{store.path.name}-wal")]
            return sha256(b"".join(file.read_bytes() for file in files if file.exists())).digest()

    def once(store: Store, today: date) -> outlook.Reckoned:
        if not isinstance(store, FileStore):
            return reckon(store, today)
        key = content(store), today
        if key in known:
            return known[key]
        found = reckon(store, today)
        # What was entered meanwhile may be in it: that must not pass for the forecast of the file before.
        if content(store) == key[0]:
            known[key] = found
        return found

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(outlook, "reckon", once)
        yield
