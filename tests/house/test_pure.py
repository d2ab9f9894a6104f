"""Rules and science are pure, and their figures have names: read off the syntax tree."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
RULES = sorted(ROOT.glob("model/rules/*.py"))
PURE = [*RULES, *sorted(ROOT.glob("model/science/*.py")), ROOT / "model/facts.py"]

CALLS = {
    "today",
    "now",
    "utcnow",
    "fromtimestamp",
    "getenv",
    "open",
    "print",
    "input",
    "exec",
    "eval",
    "__import__",
}
"""Names that ask for the time, a file, a setting, or a person."""
MODULES = {
    "os",
    "sys",
    "io",
    "time",
    "random",
    "secrets",
    "uuid",
    "pathlib",
    "subprocess",
    "socket",
    "logging",
}
"""Modules that a function of its arguments alone has no use for."""
PLAIN = {0, 1, 2, 100}
"""Numbers that need no name."""


def named(path: Path) -> str:
    return str(path.relative_to(ROOT))


def tree_of(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def impurities(tree: ast.Module) -> Iterator[str]:
    """What in a module isn't a matter of its arguments alone."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (name.name for name in node.names if name.name.split(".")[0] in MODULES)
        elif isinstance(node, ast.ImportFrom):
            yield from [node.module] if (node.module or "").split(".")[0] in MODULES and node.module else []
        elif isinstance(node, ast.Call):
            name = node.func.id if isinstance(node.func, ast.Name) else getattr(node.func, "attr", "")
            yield from [name] if name in CALLS else []
        elif isinstance(node, ast.Global | ast.Nonlocal):
            yield from node.names


def numbers(tree: ast.AST) -> Iterator[ast.Constant]:
    """Every number that needs a name, but for the members of an enumeration, which have theirs."""
    if isinstance(tree, ast.ClassDef) and any("Enum" in ast.unparse(base) for base in tree.bases):
        return
    if isinstance(tree, ast.Constant) and type(tree.value) in {int, float} and tree.value not in PLAIN:
        yield tree
    for node in ast.iter_child_nodes(tree):
        yield from numbers(node)


def is_constant(node: ast.stmt) -> bool:
    """Whether a statement names a constant: NAME = ..., or NAME, OTHER = ..."""
    if not isinstance(node, ast.Assign):
        return False
    names = [name for target in node.targets for name in ast.walk(target) if isinstance(name, ast.Name)]
    return all(name.id.isupper() for name in names)


def is_text(node: ast.stmt) -> bool:
    return (
        isinstance(node, ast.Expr)
        and isinstance(node.value, ast.Constant)
        and isinstance(node.value.value, str)
    )


def bare_numbers(tree: ast.Module) -> Iterator[str]:
    """Numbers without a name, and named ones without a word of what they are."""
    for node, following in zip(tree.body, [*tree.body[1:], ast.Pass()], strict=True):
        found = list(numbers(node))
        if not found:
            continue
        if not is_constant(node):
            yield from (f"line {number.lineno}: {number.value}" for number in found)
        elif not is_text(following):
            yield f"line {node.lineno}: a constant without a docstring"


@pytest.mark.parametrize("path", PURE, ids=named)
def test_rules_and_science_ask_for_no_time_file_or_setting(path: Path) -> None:
    assert list(impurities(tree_of(path))) == []


@pytest.mark.parametrize("path", RULES, ids=named)
def test_every_figure_of_a_rule_has_a_name_and_a_word_of_what_it_is(path: Path) -> None:
    assert list(bare_numbers(tree_of(path))) == []


@pytest.mark.parametrize(
    "code",
    [
        "import random",
        "import os.path",
        "from time import monotonic",
        "date.today()",
        "datetime.now(UTC)",
        "open('x')",
        "print(1)",
        "os.getenv('X')",
        "def f():\n    global x",
    ],
)
def test_the_check_itself_finds_what_is_impure(code: str) -> None:
    assert len(list(impurities(ast.parse(code)))) == 1


@pytest.mark.parametrize(
    ("code", "found"),
    [
        ("DAYS = 7\n'''Days [d].'''", 0),
        ("LOW, HIGH = 0.1, 0.9\n'''Shares [-].'''", 0),
        ("TABLE = {A: 3}\n'''Days [d].'''", 0),
        ("class Today(IntEnum):\n    WATERED = 3", 0),
        ("def f(x):\n    return 100 * x[1:] + 2 - 0.0", 0),
        ("DAYS = 7", 1),
        ("DAYS = 7\nOTHER = 0", 1),
        ("days = 7\n'''Days [d].'''", 1),
        ("def f(x=7):\n    return x * 0.5", 2),
        ("class Case:\n    days: int = 7", 1),
        ("FLAG = True", 0),
    ],
)
def test_the_check_itself_finds_bare_numbers(code: str, found: int) -> None:
    assert len(list(bare_numbers(ast.parse(code)))) == found


def test_what_is_told_of_kinds_of_places_is_told_of_every_kind() -> None:
    from model.actions.farm import USUAL_C
    from model.facts import PlaceKind
    from model.rules.helping import AT_PLACES
    from model.rules.thirst import SOURCES

    for told in (USUAL_C, SOURCES, AT_PLACES):
        assert set(told) == set(PlaceKind)
