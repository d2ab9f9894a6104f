"""Bad rows by chance: an import takes a mangled folder whole and sound, or refuses it in words and leaves nothing."""

from pathlib import Path

from hypothesis import strategies as st

from model.actions import files
from model.errors import ImportRefused
from model.store.layout import FILES
from model.views import check
from tests.faults.kills import NOON
from tests.store.small_farm import SMALL_FARM, written

MANGLES = st.tuples(
    st.sampled_from(sorted(SMALL_FARM)),
    st.integers(0, 2000),
    st.sampled_from(["drop a byte", "put in", "swap lines", "drop a line", "double a line", "another cell"]),
    st.sampled_from(
        [
            b"\x00",
            b"\xff",
            b'"',
            b",",
            b"\n",
            b"\r",
            b"-",
            b"9",
            b"\x1b[2J",
            b"'",
            b";",
            b"\xef\xbb\xbf",
            b"0",
            b"e5",
        ]
    ),
)


def mangled(data: bytes, at: int, how: str, what: bytes) -> bytes:
    lines = data.splitlines(keepends=True)
    line = at % len(lines)
    other = (at // 7) % len(lines)
    spot = at % len(data)
    match how:
        case "drop a byte":
            return data[:spot] + data[spot + 1 :]
        case "put in":
            return data[:spot] + what + data[spot:]
        case "swap lines":
            lines[line], lines[other] = lines[other], lines[line]
        case "drop a line":
            del lines[line]
        case "double a line":
            lines.insert(other, lines[line])
        case _:
            cells = lines[line].split(b",")
            cells[at % len(cells)] = lines[other].split(b",")[0]
            lines[line] = b",".join(cells)
    return b"".join(lines)


Change = tuple[str, int, str, bytes]
NAMES = tuple(file.name for file in FILES)


def take_in(tmp_path: Path, changes: list[Change]) -> bool:
    """Mangle the small farm's files and read them in; whether they were taken."""
    folder = written(tmp_path / "in")
    for name, at, how, what in changes:
        path = folder / name
        data = path.read_bytes()
        path.write_bytes(mangled(data, at, how, what) if data else data)
    path = tmp_path / "farm.db"
    problems = _problems(path, folder)
    if problems is not None:
        assert problems
        assert all(problem.startswith(NAMES) for problem in problems), problems
        assert [left.name for left in tmp_path.iterdir()] == ["in"]
        return False
    found = [c for c in check.read(path, NOON).checks if c.found and c.what != "days"]
    assert not found, found
    return True


def _problems(path: Path, folder: Path) -> list[str] | None:
    """What an import refuses; None where it takes the folder in."""
    try:
        files.import_folder(path, folder).close()
    except ImportRefused as refusal:
        return refusal.problems
    return None
