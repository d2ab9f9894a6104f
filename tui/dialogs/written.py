"""Questions about a file that is written."""

from pathlib import Path

from model.errors import BadInput
from tui.dialogs.ask import Choose, Flow, Option, Type


def write_to(what: str, likely: str) -> Flow[tuple[Path, bool]]:
    """Which file, and whether one that is there may be written over."""

    def place(text: str) -> Path:
        try:
            path = Path(text.strip()).expanduser().absolute()
            there, folder = path.parent.is_dir(), path.is_dir()
        except (OSError, RuntimeError, ValueError) as error:
            raise BadInput(f"{text!r} is no file.", f"Type a path like {likely}.") from error
        if folder:
            raise BadInput(f"{path} is a folder.", f"Name a file in it, like {likely}.")
        if not there:
            raise BadInput(f"There is no folder {path.parent}.", "Make it first, or name another.")
        return path

    path: Path = yield Type(f"Write {what} to which file?", place, likely, "a path; ~ is your own folder")
    if not path.exists():
        return path, False
    over: bool = yield Choose(
        f"There is something at {path}. Write over it?",
        [Option("no", False, "n"), Option("yes, write over it", True, "y")],
    )
    if not over:
        raise BadInput("Nothing was written.", "The file is as it was.")
    return path, True
