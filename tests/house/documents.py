"""Passages of README and DEVELOPERS that are made from the code.

python -m tests.house.documents prints them, to be pasted where the tests look for them.
"""

import ast
from pathlib import Path

from tui.commands import COMMANDS, FIRST, READINGS, ROUND, TRAY, key_words

ROOT = Path(__file__).parents[2]
WHERE = {ROUND: "round", FIRST: "first", TRAY: "tray", READINGS: "readings"}


def key_table() -> str:
    """The key table of README."""
    rows = ["| key | does | where |", "|---|---|---|"]
    for command in COMMANDS:
        where = ", ".join(word for name, word in WHERE.items() if name in command.where)
        rows.append(f"| `{key_words(command)}` | {command.label}: {command.help} | {where} |")
    return "\n".join(rows)


def models_table() -> str:
    """Public functions of model/science with the first line of what they are."""
    rows = ["| function | what |", "|---|---|"]
    for path in sorted(ROOT.glob("model/science/*.py")):
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
                summary = (ast.get_docstring(node) or "").splitlines()[0]
                rows.append(f"| `{path.stem}.{node.name}` | {summary} |")
    return "\n".join(rows)


if __name__ == "__main__":
    print(key_table(), models_table(), sep="\n\n")
