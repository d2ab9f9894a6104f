"""The demo farm, imported once and copied for every test."""

import shutil
from pathlib import Path

import pytest

from model.actions.files import demo_folder, import_folder


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
