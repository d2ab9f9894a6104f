"""The demo farm as a closed file, for what is done to files."""

from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from model.actions.files import demo_folder, import_folder


@cache
def demo_bytes() -> bytes:
    """The demo farm's file, imported once."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "demo.db"
        import_folder(path, demo_folder()).close()
        return path.read_bytes()
