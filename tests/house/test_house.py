"""The house's own rules, held by the machine."""

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest

from tui.commands import COMMANDS, FIRST, HELPER, READINGS, ROUND, TRAY, commands_of

ROOT = Path(__file__).parents[2]
SOURCES = sorted([*ROOT.glob("model/**/*.py"), *ROOT.glob("tui/**/*.py"), *ROOT.glob("demo_data/*.py")])
FILE_LINES, BODY_LINES, ARGUMENTS, METHODS = 400, 40, 9, 25

LONGER: dict[str, str] = {
    "TrayActs": "one method an action, each a line or three; splitting it would scatter the register's other half",
}
"""Exceptions to the budgets, each with its reason."""


def functions(path: Path) -> list[ast.FunctionDef | ast.AsyncFunctionDef]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return [node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)]


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: str(path.relative_to(ROOT)))
def test_files_bodies_and_argument_lists_stay_small(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert len(text.splitlines()) <= FILE_LINES
    for function in functions(path):
        body = function.body[1:] if ast.get_docstring(function) else function.body
        lines = body[-1].end_lineno - body[0].lineno + 1 if body and body[-1].end_lineno else 0
        assert lines <= BODY_LINES, function.name
        arguments = function.args
        assert len([*arguments.args, *arguments.kwonlyargs]) <= ARGUMENTS, function.name
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.ClassDef) and node.name not in LONGER:
            methods = [n for n in node.body if isinstance(n, ast.FunctionDef | ast.AsyncFunctionDef)]
            assert len(methods) <= METHODS, node.name


def loaded_by(statement: str) -> set[str]:
    code = f"import sys\n{statement}\nprint(*sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT)
    return set(done.stdout.split())


@pytest.mark.parametrize(
    ("statement", "forbidden"),
    [
        ("import tui.__main__", {"textual", "sqlmodel", "sqlalchemy", "alembic", "pendulum"}),
        ("import tui.app", {"sqlmodel", "sqlalchemy", "alembic", "pendulum", "pydantic", "numpy", "highspy"}),
        (
            "import model.views.round, model.views.thirst",
            {"sqlmodel", "sqlalchemy", "alembic", "textual", "pendulum", "tui", "numpy"},
        ),
        (
            "import model.rules.readiness, model.rules.thirst",
            {"sqlite3", "sqlmodel", "textual", "model.store", "model.crops", "numpy"},
        ),
        ("import tui.screens.mat, model.views.mat, model.science.rota", {"highspy", "numpy", "sqlmodel"}),
        (
            "import tui.screens.paper, tui.cli.paper, model.views.label_sheet, model.paper",
            {"reportlab", "PIL", "sqlmodel", "sqlalchemy"},
        ),
        (
            "import model.science.root_fill, model.science.emergence",
            {"sqlite3", "model.rules", "model.store"},
        ),
    ],
)
def test_nothing_is_loaded_before_it_is_used(statement: str, forbidden: set[str]) -> None:
    assert not loaded_by(statement) & forbidden


def test_widgets_reach_for_no_screen_and_no_app() -> None:
    for path in ROOT.glob("tui/widgets/*.py"):
        assert not re.search(r"self\.(app|screen)\b", path.read_text(encoding="utf-8")), path.name


def test_text_of_people_is_never_read_as_markup() -> None:
    for path in [*ROOT.glob("tui/**/*.py")]:
        tree = ast.parse(path.read_text(encoding="utf-8"))
        for call in (node for node in ast.walk(tree) if isinstance(node, ast.Call)):
            name = call.func.id if isinstance(call.func, ast.Name) else getattr(call.func, "attr", "")
            if name in {"Static", "Label", "notify"}:
                assert any(k.arg == "markup" for k in call.keywords) or isinstance(call.args[0], ast.Call), (
                    path,
                    call.lineno,
                )


def test_no_test_sleeps() -> None:
    for path in ROOT.glob("tests/**/*.py"):
        if path != Path(__file__):
            assert not re.search(r"\bsleep\(", path.read_text(encoding="utf-8")), path


def test_every_test_file_is_collected() -> None:
    for path in ROOT.glob("tests/**/*.py"):
        if re.search(r"^(async )?def test_", path.read_text(encoding="utf-8"), re.MULTILINE):
            assert path.name.startswith("test_"), path


@pytest.mark.parametrize("where", [ROUND, FIRST, TRAY, READINGS, HELPER])
def test_every_key_of_a_screen_means_one_thing(where: str) -> None:
    keys = [key for command in commands_of(where) for key in command.key.split(",")]
    assert len(keys) == len(set(keys))
    assert all(command.help and command.label for command in COMMANDS)


def test_readme_carries_the_key_table_of_the_register() -> None:
    from tests.house.documents import key_table

    assert key_table() in (ROOT / "README.md").read_text(encoding="utf-8")


def test_developers_carries_the_table_of_models() -> None:
    from tests.house.documents import models_table

    assert models_table() in (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def test_snapshots_are_few() -> None:
    assert len(list(ROOT.glob("tests/**/*.svg"))) <= 12
