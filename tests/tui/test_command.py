"""The command line: what it prints, what it refuses, the code it ends with, and how it leaves a terminal."""

import json
import os
import pty
import select
import shutil
import signal
import subprocess
import sys
from contextlib import suppress
from datetime import date
from pathlib import Path

import pytest

from model.actions.files import DEMO_MORNING, demo_folder
from model.actions.opening import open_farm
from model.days import FixedClock
from model.store.layout import FILES
from model.views.round import read_round
from model.views.settings import read_settings
from tests.conftest import MACHINE_NOW
from tui.__main__ import FINE, MISUSED, REFUSED, parser, run
from tui.headstart import found, read_ahead

ROOT = Path(__file__).parents[2]
COMMAND = [sys.executable, "-m", "tui"]
ON = ["--on", DEMO_MORNING.isoformat()]
PATIENCE_S = 60
"""How long a terminal is waited for [s]."""

Printed = pytest.CaptureFixture[str]


# Help, version, mistyping.


@pytest.mark.parametrize("command", [[], ["demo"], ["round"], ["import"], ["export"], ["import-weather"]])
def test_every_command_explains_itself(capsys: Printed, command: list[str]) -> None:
    with pytest.raises(SystemExit) as end:
        run([*command, "--help"])
    assert end.value.code == FINE
    printed = capsys.readouterr().out
    for word in ("--db FILE", "--on DATE", "--ascii"):
        assert word in printed
    if not command:
        for name in ("demo", "round", "import", "export", "import-weather", "--version"):
            assert name in printed


def test_the_version_is_the_one_of_the_package(capsys: Printed) -> None:
    with pytest.raises(SystemExit) as end:
        run(["--version"])
    assert end.value.code == FINE
    version = (
        (ROOT / "pyproject.toml").read_text(encoding="utf-8").partition('version = "')[2].partition('"')[0]
    )
    assert capsys.readouterr().out in {f"trayround {version}\n", "trayround (not installed)\n"}


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["rounds"], "invalid choice: 'rounds'"),
        (["--on", "tomorrow", "round"], "'tomorrow' is no day; write it like 2026-04-14"),
        (["import"], "FOLDER"),
        (["round", "--jsn"], "--jsn"),
    ],
)
def test_a_mistyped_command_ends_with_two_and_says_what_is_wrong(
    capsys: Printed, arguments: list[str], words: str
) -> None:
    with pytest.raises(SystemExit) as end:
        run(arguments)
    assert end.value.code == MISUSED
    assert words in capsys.readouterr().err


@pytest.mark.parametrize("command", ["round", "demo", "import", "export"])
def test_an_option_counts_before_and_after_the_name_of_the_command(command: str) -> None:
    options = ["--db", "some.db", "--on", "2026-04-01", "--ascii"]
    folder = ["folder"] if command in {"import", "export"} else []
    for arguments in ([*options, command, *folder], [command, *folder, *options]):
        asked = parser().parse_args(arguments)
        assert (asked.db, asked.on, asked.ascii) == ("some.db", date(2026, 4, 1), True)
    bare = parser().parse_args([command, *folder])
    assert (bare.db, bare.on, bare.ascii) == (None, None, False)


def test_what_stands_after_the_name_wins_over_what_stands_before(farm: Path, capsys: Printed) -> None:
    assert run(["--db", "none.db", *ON, "round", "--db", str(farm)]) == FINE
    assert "Quern Hill" in capsys.readouterr().out


# No terminal, no file.


@pytest.mark.parametrize("command", [[], ["demo"]])
def test_without_a_terminal_the_screen_is_refused_and_nothing_is_made(
    tmp_path: Path, capsys: Printed, command: list[str]
) -> None:
    path = tmp_path / "new.db"
    assert run([*command, "--db", str(path)]) == MISUSED
    assert (
        "trayround needs a terminal; trayround round prints the list without one." in capsys.readouterr().err
    )
    assert not path.exists()


MORE = {
    "trace": ["12"],
    "cover": ["2026-04-14", "2026-04-16"],
    "notes": ["frost"],
    "export": ["out"],
    "import": ["in"],
    "frost": ["lows.csv", "--station", "Hill"],
    "import-weather": ["april.csv", "--place", "Mat"],
    "merge": ["other.db"],
    "restore": ["newest"],
}
"""What else commands ask for."""
MAKE_A_FARM = {"demo", "import", "restore"}


def every_command() -> list[str]:
    """The names of all commands, from the parser itself."""
    (found,) = (action.choices for action in parser()._subparsers._group_actions)  # type: ignore[union-attr]
    return sorted(found or ())


@pytest.mark.parametrize("command", every_command())
def test_no_command_makes_a_folder_that_was_mistyped(
    tmp_path: Path, capsys: Printed, monkeypatch: pytest.MonkeyPatch, command: str
) -> None:
    monkeypatch.setattr("tui.__main__._has_terminal", lambda: True)
    path = tmp_path / "mistyped" / "deep" / "farm.db"
    assert run([command, *MORE.get(command, []), "--db", str(path)]) == REFUSED
    assert capsys.readouterr().err == (
        f"trayround: No database there. There is no folder {path.parent}. Make it first, or check the name after "
        "--db (farm.db is looked for in it). Nothing was made.\n"
    )
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("command", [["--db"], ["--helper", "Ada", "--db"]])
def test_neither_does_the_screen(
    tmp_path: Path, capsys: Printed, monkeypatch: pytest.MonkeyPatch, command: list[str]
) -> None:
    monkeypatch.setattr("tui.__main__._has_terminal", lambda: True)
    assert run([*command, str(tmp_path / "mistyped" / "farm.db")]) == REFUSED
    assert "There is no folder" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("command", sorted({*every_command()} - MAKE_A_FARM))
def test_no_command_but_those_that_make_a_farm_makes_a_file(
    tmp_path: Path, capsys: Printed, command: str
) -> None:
    path = tmp_path / "none.db"
    assert run([command, *MORE.get(command, []), "--db", str(path)]) == REFUSED
    assert f"There is no database at {path}." in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


def test_somebody_who_stands_in_opens_no_new_farm(tmp_path: Path) -> None:
    terminal = Terminal("--helper", "Ada", "--db", str(tmp_path / "none.db"))
    assert terminal.end() == REFUSED
    assert b"There is no database at" in terminal.seen
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("command", [["round"], ["export", "folder"]])
def test_a_file_that_is_not_there_is_refused_and_not_made(
    tmp_path: Path, capsys: Printed, command: list[str]
) -> None:
    path = tmp_path / "none.db"
    assert run([*command, "--db", str(path)]) == REFUSED
    printed = capsys.readouterr()
    assert printed.out == ""
    assert printed.err == (
        f"trayround: No database there. There is no database at {path}. "
        "Start the app once to make one, or name another with --db.\n"
    )
    assert not path.exists()


def test_what_is_no_database_is_refused_and_left_alone(tmp_path: Path, capsys: Printed) -> None:
    path = tmp_path / "letter.db"
    path.write_text("dear Jory, " * 100)
    assert run(["round", "--db", str(path)]) == REFUSED
    assert "The file is no trayround database." in capsys.readouterr().err
    assert path.read_text() == "dear Jory, " * 100


# The plain round.


def test_the_plain_round_names_every_place_and_tray(farm: Path, capsys: Printed) -> None:
    assert run(["round", "--db", str(farm), *ON]) == FINE
    printed = capsys.readouterr().out
    assert printed.startswith("Tue 14 Apr   Quern Hill   not seen 60 of 60\n")
    for word in ("\nMat   10 of 12 slots, 10 not seen\n", "46T unseen", "\nCorner   2 of 4 slots"):
        assert word in printed
    assert printed.isprintable() or set(printed) - set("\n") == {c for c in printed if c.isprintable()}


def test_the_round_as_json_has_the_keys_that_readme_promises(farm: Path, capsys: Printed) -> None:
    assert run(["round", "--json", "--db", str(farm), *ON]) == FINE
    told = json.loads(capsys.readouterr().out)
    assert (told["on"], told["farm"], told["unseen"], len(told["trays"])) == (
        "2026-04-14",
        "Quern Hill",
        60,
        60,
    )
    assert [tray["rank"] for tray in told["trays"]] == list(range(1, 61))
    promised = {
        "number", "label", "place", "crop", "variety", "container", "plants", "sown_on", "age_days",
        "days_in_container", "stage", "root_fill", "ready", "root_bound", "due", "water", "flags", "rank", "why",
    }  # fmt: skip
    for tray in told["trays"]:
        assert promised <= set(tray)
        assert {"expected", "low", "high"} <= set(tray["root_fill"])
        assert {"last_on", "by", "left_on", "today", "note"} <= set(tray["water"])
        assert all({"what", "from", "to", "why"} <= set(due) for due in tray["due"])
        date.fromisoformat(tray["sown_on"])
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    for key in promised:
        assert f"`{key}`" in readme, key


def test_without_a_day_the_round_is_of_today_at_the_farm(farm: Path, capsys: Printed) -> None:
    assert run(["round", "--json", "--db", str(farm)]) == FINE
    assert json.loads(capsys.readouterr().out)["on"] == str(MACHINE_NOW.date())


@pytest.mark.parametrize("form", [[], ["--json"]])
def test_a_reader_that_goes_away_is_no_trouble(farm: Path, form: list[str]) -> None:
    reader, writer = os.pipe()
    os.close(reader)
    done = subprocess.run(
        [*COMMAND, "round", *form, "--db", str(farm), *ON],
        stdout=writer,
        stderr=subprocess.PIPE,
        cwd=ROOT,
        check=False,
    )
    os.close(writer)
    assert done.stderr == b""
    assert done.returncode in {FINE, REFUSED}


# Import and export.


def test_the_demo_goes_in_and_out_and_in_again_unchanged(tmp_path: Path, capsys: Printed) -> None:
    first, second = tmp_path / "first", tmp_path / "second"
    for folder, path, out in ((demo_folder(), "a.db", first), (first, "b.db", second)):
        assert run(["import", *ON, "--db", str(tmp_path / path), str(folder)]) == FINE
        assert run(["export", "--db", str(tmp_path / path), str(out)]) == FINE
    assert "is now in" in capsys.readouterr().out
    names = sorted(path.name for path in first.iterdir())
    assert names == sorted(file.name for file in FILES)
    for name in names:
        assert (first / name).read_bytes() == (second / name).read_bytes(), name
    rounds = []
    for path in ("a.db", "b.db"):
        run(["round", "--json", "--db", str(tmp_path / path), *ON])
        rounds.append(capsys.readouterr().out)
    assert rounds[0] == rounds[1]


def test_bad_rows_are_told_by_file_line_column_and_cure_and_leave_no_file(
    tmp_path: Path, capsys: Printed
) -> None:
    folder = tmp_path / "rows"
    shutil.copytree(demo_folder(), folder)
    places = folder / "places.csv"
    lines = places.read_text(encoding="utf-8").splitlines()
    lines[2] = lines[2].replace("lit shelf", "bright shelf")
    places.write_text("\n".join(lines) + "\n", encoding="utf-8")
    path = tmp_path / "new.db"
    assert run(["import", *ON, "--db", str(path), str(folder)]) == REFUSED
    told = capsys.readouterr().err.splitlines()
    assert told[0].startswith("places.csv line 3, column kind: ")
    assert "lit shelf" in told[0]
    assert told[-1] == "trayround: Nothing was imported. 1 problem in the files. Mend them and import again."
    assert not list(tmp_path.glob("new.db*"))


def test_a_day_to_come_is_refused_with_its_file_line_and_column(tmp_path: Path, capsys: Printed) -> None:
    path = tmp_path / "farm.db"
    day = ["--on", "2026-04-12"]
    assert run(["import", *day, "--db", str(path), str(demo_folder())]) == REFUSED
    told = capsys.readouterr().err.splitlines()
    assert any(
        line.startswith("acts.csv line") and "Mon 13 Apr 2026 is still to come" in line for line in told
    )
    assert not path.exists()


def test_the_day_that_is_asked_for_is_a_day_at_the_farm(tmp_path: Path) -> None:
    folder = tmp_path / "west"
    shutil.copytree(demo_folder(), folder)
    settings = folder / "farm.csv"
    text = settings.read_text(encoding="utf-8")
    settings.write_text(text.replace("Europe/London", "America/Los_Angeles"), encoding="utf-8")
    assert "America/Los_Angeles" in settings.read_text(encoding="utf-8")
    day = ["--on", "2026-04-13"]
    assert run(["import", *day, "--db", str(tmp_path / "farm.db"), str(folder)]) == FINE


def test_nothing_is_imported_over_a_file_that_is_there(farm: Path, capsys: Printed) -> None:
    before = farm.read_bytes()
    assert run(["import", "--db", str(farm), str(demo_folder())]) == REFUSED
    assert f"There is something at {farm} already." in capsys.readouterr().err
    assert farm.read_bytes() == before


# The head start.

FORKS = pytest.mark.filterwarnings("ignore:.*multi-threaded:DeprecationWarning")
"""The program forks before it has a second thread; a run of tests in parallel has some."""


@FORKS
def test_what_was_read_ahead_is_what_reading_here_finds(farm: Path) -> None:
    reader = read_ahead(farm, FixedClock(DEMO_MORNING), None)
    assert reader is not None
    store = open_farm(farm)
    assert found(reader) == (read_settings(store), read_round(store, DEMO_MORNING))
    store.close()


@FORKS
def test_the_day_that_was_asked_for_is_the_day_that_is_read_ahead(farm: Path) -> None:
    reader = read_ahead(farm, FixedClock(DEMO_MORNING), date(2026, 4, 16))
    assert reader is not None
    ahead = found(reader)
    assert ahead is not None
    assert ahead[1].on == date(2026, 4, 16)


@FORKS
def test_there_is_no_head_start_where_there_is_no_file_and_none_from_a_bad_one(tmp_path: Path) -> None:
    assert read_ahead(tmp_path / "none.db", FixedClock(DEMO_MORNING), None) is None
    bad = tmp_path / "bad.db"
    bad.write_text("no database at all, but long enough to be read as one" * 20)
    reader = read_ahead(bad, FixedClock(DEMO_MORNING), None)
    assert reader is not None
    assert found(reader) is None


@FORKS
def test_a_second_process_that_was_broken_off_has_found_nothing(
    farm: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def half(path: Path, clock: object, on: object) -> None:
        raise KeyError(path)

    monkeypatch.setattr("tui.headstart._read", half)
    reader = read_ahead(farm, FixedClock(DEMO_MORNING), None)
    assert reader is not None
    assert found(reader) is None


# On a terminal.


class Terminal:
    """A program on a pseudo-terminal of 80 columns and 24 rows."""

    def __init__(self, *arguments: str) -> None:
        self.seen = b""
        self._end, inner = pty.openpty()
        named = {"TERM": "xterm-256color", "COLUMNS": "80", "LINES": "24"}
        self.program = subprocess.Popen(
            [*COMMAND, *arguments],
            stdin=inner,
            stdout=inner,
            stderr=inner,
            cwd=ROOT,
            env=os.environ | named,
            start_new_session=True,
        )
        os.close(inner)

    def until(self, mark: bytes) -> None:
        """Read until some text has come."""
        while mark not in self.seen:
            assert select.select([self._end], [], [], PATIENCE_S)[0], self.seen[-500:]
            self.seen += os.read(self._end, 65536)

    def type(self, text: str) -> None:
        os.write(self._end, text.encode())

    def end(self) -> int:
        """Read to the end; the exit code."""
        # Reading the end of a program that is gone fails on Linux and gives nothing elsewhere.
        with suppress(OSError):
            while more := os.read(self._end, 65536):
                self.seen += more
        os.close(self._end)
        return self.program.wait(PATIENCE_S)


ALTERNATE, RESTORED = b"\x1b[?1049h", b"\x1b[?1049l"


def restored(terminal: Terminal) -> bool:
    """Whether the alternate screen was left and the cursor shown again after everything that was drawn."""
    seen = terminal.seen
    return seen.rfind(RESTORED) > seen.rfind(ALTERNATE) >= 0 and seen.rfind(b"\x1b[?25h") > seen.rfind(
        b"\x1b[?25l"
    )


@pytest.mark.parametrize("name", ["SIGTERM", "SIGHUP"])
def test_a_program_that_is_told_to_stop_gives_the_screen_back(farm: Path, name: str) -> None:
    number = getattr(signal, name)
    terminal = Terminal("--db", str(farm), *ON)
    terminal.until(b"needs me first")
    os.kill(terminal.program.pid, number)
    assert terminal.end() == 128 + number
    assert restored(terminal)


def test_what_was_entered_before_a_stop_is_kept(farm: Path) -> None:
    terminal = Terminal("--db", str(farm), *ON)
    terminal.until(b"needs me first")
    terminal.type("n46w")
    terminal.until(b"u takes it back")
    os.kill(terminal.program.pid, signal.SIGTERM)
    terminal.end()
    store = open_farm(farm)
    assert [line.number for line in read_round(store, DEMO_MORNING).lines if line.seen] == [46]
    store.close()


def test_q_leaves_with_a_clean_screen_and_code_nought(farm: Path) -> None:
    terminal = Terminal("--db", str(farm), *ON)
    terminal.until(b"needs me first")
    terminal.type("q")
    assert terminal.end() == FINE
    assert restored(terminal)


def test_a_file_that_can_not_be_opened_is_told_after_the_screen_is_given_back(tmp_path: Path) -> None:
    bad = tmp_path / "bad.db"
    bad.write_text("no database at all, but long enough to be read as one" * 20)
    terminal = Terminal("--db", str(bad))
    assert terminal.end() == REFUSED
    assert restored(terminal)
    assert b"The file is no trayround database." in terminal.seen[terminal.seen.rfind(RESTORED) :]


def test_the_demo_opens_on_its_morning_and_leaves_nothing_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TMPDIR", str(tmp_path))
    terminal = Terminal("demo")
    terminal.until(b"Quern Hill")
    terminal.until(b"needs me first")
    terminal.type("q")
    assert terminal.end() == FINE
    assert list(tmp_path.iterdir()) == []


# Weather.


def a_file(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "april.csv"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_weather_file_is_taken_in_and_its_defects_are_told(
    farm: Path, tmp_path: Path, capsys: Printed
) -> None:
    path = a_file(
        tmp_path, "day,low_c,high_c\n2026-03-02,4,17\n2026-03-03,5,nan\n2026-03-04,5,18\n2027-01-01,1,2\n"
    )
    assert run(["import-weather", "--db", str(farm), *ON, str(path), "--place", "corner"]) == FINE
    printed = capsys.readouterr()
    assert printed.out == (
        "took in 2 days for Corner, 2026-03-02 to 2026-03-04; 2 defects named.\n"
        "u in the app takes it back today.\n"
    )
    first, second = printed.err.splitlines()
    assert first.startswith("april.csv line 3, column high_c: 2026-03-03 has a low but no high")
    assert second.startswith("april.csv line 5, column day: 2027-01-01 is in the future.")
    assert run(["import-weather", "--db", str(farm), *ON, str(path), "--place", "corner"]) == REFUSED
    printed = capsys.readouterr()
    assert printed.out == ""
    assert "april.csv line 3" in printed.err
    assert "trayround: Nothing was imported. 2 problems" in printed.err


@pytest.mark.parametrize(
    ("text", "place", "words"),
    [
        ("day,low_c,high_c\n2026-03-02,4,17\n", "loft", "There is no place 'loft'. Name one of Mat, Shelf"),
        ("", "Mat", "april.csv: The file is empty."),
        ("PK\x03\x04", "Mat", "april.csv: The file is a spreadsheet or a packed file, no text."),
    ],
)
def test_a_weather_file_that_cant_be_used_is_refused(
    farm: Path, tmp_path: Path, capsys: Printed, text: str, place: str, words: str
) -> None:
    arguments = ["import-weather", str(a_file(tmp_path, text)), "--place", place, "--db", str(farm), *ON]
    assert run(arguments) == REFUSED
    assert words in capsys.readouterr().err


def test_a_weather_file_needs_a_place(capsys: Printed) -> None:
    with pytest.raises(SystemExit) as end:
        run(["import-weather", "april.csv"])
    assert end.value.code == MISUSED
    assert "--place" in capsys.readouterr().err
