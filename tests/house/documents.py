"""Passages of README and DEVELOPERS that are made from the code.

python -m tests.house.documents prints them, to be pasted where the tests look for them.
"""

import ast
import re
from pathlib import Path

from tui.commands import COMMANDS, FIRST, HELPER, READINGS, ROUND, TRAY, key_words

ROOT = Path(__file__).parents[2]
WHERE = {ROUND: "round", FIRST: "first", TRAY: "tray", READINGS: "readings", HELPER: "helper"}


def key_table() -> str:
    """The key table of README."""
    rows = ["| key | does | where |", "|---|---|---|"]
    for command in COMMANDS:
        where = ", ".join(word for name, word in WHERE.items() if name in command.where)
        rows.append(f"| `{key_words(command)}` | {command.label}: {command.help} | {where} |")
    return "\n".join(rows)


def models_table() -> str:
    """Every public function of model/science: what it is, its equation, where it comes from, what checks it."""
    checked = _checked_by()
    rows = ["| model | what | equation | source | checked in |", "|---|---|---|---|---|"]
    for path in sorted(ROOT.glob("model/science/*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        of_module = ast.get_docstring(tree) or ""
        for node in tree.body:
            if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
                told = ast.get_docstring(node) or ""
                cells = (
                    f"`{path.stem}.{node.name}`",
                    told.splitlines()[0],
                    _equation(told),
                    _sources(of_module) or "ours",
                    ", ".join(sorted(checked.get((path.stem, node.name), ()))),
                )
                rows.append("| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |")
    return "\n".join(rows)


def _sources(docstring: str) -> str:
    """Authors and years of a module's references; a reference to another module of ours is none."""
    found = []
    for entry in re.split(r"\n\s+\d+\. ", docstring.partition("References:")[2])[1:]:
        authors, year = (
            re.split(r"[,(.:]| 1[89]\d\d| 20\d\d", entry)[0].strip(),
            re.search(r"\b(1[89]|20)\d\d\b", entry),
        )
        if year or "model" not in entry:
            found.append(f"{authors} {year[0]}" if year else authors)
    return "; ".join(found)


def _equation(docstring: str) -> str:
    """The first equation of a docstring, as it stands there; a line that is mostly words is none."""
    for line in docstring.partition("Examples:")[0].splitlines()[1:]:
        for found in re.finditer(
            r"(?<![\w)])[\wΔγθτωθ]{1,6}(\([\w ]+\))? = [^;:,]+|(?<!\w)(Φ|exp)\([^;,]+", line.strip()
        ):
            equation = re.split(r" with | where | of | \[|\. ", found[0])[0].strip().rstrip(".")
            right = equation.partition(" = ")[2] or equation
            words = set(re.findall(r"[a-z]{4,}", right)) - {
                "arctan",
                "high",
                "mean",
                "room",
                "progress",
                "spread",
            }
            whole = all(equation.count(a) == equation.count(b) for a, b in ("()", "[]")) and right
            if whole and not words and re.search(r"[-+·/√^Σ(]", right):
                return f"`{equation}`"
    return "its docstring"


def _checked_by() -> dict[tuple[str, str], set[str]]:
    """Test files by the function of science that they import."""
    found: dict[tuple[str, str], set[str]] = {}
    for path in [*ROOT.glob("tests/science/test_*.py"), *ROOT.glob("tests/rules/test_*.py")]:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("model.science."):
                for name in node.names:
                    module = (node.module or "").removeprefix("model.science.")
                    found.setdefault((module, name.name), set()).add(path.stem.removeprefix("test_"))
    return found


if __name__ == "__main__":
    print(key_table(), models_table(), sep="\n\n")
