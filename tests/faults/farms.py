"""The demo farm as a closed file, for what is done to files."""

from functools import cache
from pathlib import Path
from tempfile import mkdtemp

from model.actions.files import demo_folder, import_folder


@cache
def demo_bytes() -> bytes:
    """The demo farm's file, imported once."""
    path = Path(mkdtemp(prefix="trayround-faults-")) / "demo.db"
    import_folder(path, demo_folder()).close()
    data = path.read_bytes()
    path.unlink()
    path.parent.rmdir()
    return data
