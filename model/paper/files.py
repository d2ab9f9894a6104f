"""Writing what is printed: a file of another kind is never written over."""

from pathlib import Path

from model.errors import BadInput

KIND = 5
"""First bytes by which files of a kind are told, as "%PDF-" [-]."""


def write(path: Path, content: bytes) -> None:
    """Write a file; one that is there is replaced only where it begins as this one does."""
    try:
        if path.exists():
            with path.open("rb") as there:
                if there.read(KIND) != content[:KIND]:
                    raise BadInput(f"{path} is there already and is something else.", "Name another file.")
        path.write_bytes(content)
    except OSError as error:
        raise BadInput(
            f"{path} can't be written ({error.strerror}).", "Name a file in a folder of your own."
        ) from error
