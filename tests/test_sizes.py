"""The size budget of the app: a breach is a design question, and cutting a subject in two to pass is one too.

What is over the budget today stands in ``PRESENT`` with its size. The list may only shrink: nothing on it may
grow, and what has come under the budget has to leave it. Only a module that is one subject, up to about 400
lines, may join it rather than be cut in two, with the reason beside it.
"""

from __future__ import annotations

import ast
from pathlib import Path

APP = Path(__file__).resolve().parent.parent / "app" / "slopebeat"

MODULE_LINES, CLASS_LINES, FUNCTION_LINES, FOLDER_MODULES = 300, 200, 40, 20
"""Lines with docstrings and comments; modules of a folder without its ``__init__`` [project choice]."""

PRESENT: dict[str, int] = {
    "analysis/account/heart_parts.py:heart_parts": 45,
    "analysis/account/held_climbs.py:hold_climbs": 62,
    "analysis/months/change.py": 321,
    # One subject: every kind of mark that is proposed on one channel, with its constants.
    "cleaning/marks.py": 354,
    # One subject each: the options of a command, and what it answers.
    "command/plan.py": 327,
    "plots/outing/outing_charts.py:OutingCharts": 215,
    "report/outing_chart.py": 320,
    # One subject: decoupling, row by row, in a sentence and as values.
    "review/present/decoupling.py": 384,
    # One subject: a stretch measured, and the columns it is shown in.
    "review/present/stretch.py": 314,
    "review/present/stretch.py:measure_stretch": 42,
    # One subject: weeks, of one athlete, by phase and of all athletes, and their columns.
    "review/present/weeks.py": 357,
    "session/library/opened.py:OpenLibrary": 247,
    # One file, one subject: what is remembered between two runs.
    "window/notes/card.py:NoteCard": 249,
}


def breaches(app: Path) -> dict[str, int]:
    """What is over its budget, as ``path``, ``path:Class`` or ``path:Class.function``, with its size."""
    sizes = {}
    for folder in (app, *(path for path in app.rglob("*") if path.is_dir())):
        modules = [path for path in folder.glob("*.py") if path.name != "__init__.py"]
        sizes[f"{folder.relative_to(app.parent).as_posix()}/"] = (len(modules), FOLDER_MODULES)
    for path in app.rglob("*.py"):
        source = path.read_text(encoding="utf-8")
        name = path.relative_to(app).as_posix()
        sizes[name] = (len(source.splitlines()), MODULE_LINES)
        sizes |= {f"{name}:{inside}": size for inside, size in _definitions(ast.parse(source))}
    return {name: size for name, (size, budget) in sorted(sizes.items()) if size > budget}


def _definitions(parent: ast.AST, prefix: str = "") -> list[tuple[str, tuple[int, int]]]:
    found = []
    for node in ast.iter_child_nodes(parent):
        if isinstance(node, ast.expr):
            continue  # No class or function is defined inside an expression.
        inside = prefix
        if isinstance(node, ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef):
            assert node.end_lineno is not None
            budget = CLASS_LINES if isinstance(node, ast.ClassDef) else FUNCTION_LINES
            found.append((prefix + node.name, (node.end_lineno - node.lineno + 1, budget)))
            inside = f"{prefix}{node.name}."
        found += _definitions(node, inside)
    return found


def test_nothing_is_over_the_budget_but_what_was_and_that_only_shrinks() -> None:
    found = breaches(APP)
    new = {name: size for name, size in found.items() if name not in PRESENT}
    grown = {name: (PRESENT[name], size) for name, size in found.items() if size > PRESENT.get(name, size)}
    settled = sorted(set(PRESENT) - set(found))
    assert not new, "over the budget"
    assert not grown, "was over the budget and has grown"
    assert not settled, "within the budget now: take it off the list"


def test_the_budget_is_counted_in_modules_classes_functions_and_folders(tmp_path: Path) -> None:
    app = tmp_path / "app"
    (app / "room").mkdir(parents=True)
    (app / "room" / "__init__.py").write_text("")
    body = "\n".join("        pass" for _ in range(40))
    (app / "room" / "long.py").write_text(f"class A:\n    def f(self):\n{body}\n" + "x = 1\n" * 260)
    assert breaches(app) == {"room/long.py": 302, "room/long.py:A.f": 41}
    (app / "room" / "long.py").write_text("class B:\n" + "    x = 1\n" * 200)
    for number in range(20):
        (app / "room" / f"m{number}.py").write_text("")
    assert breaches(app) == {"app/room/": 21, "room/long.py:B": 201}


if __name__ == "__main__":
    for name, size in breaches(APP).items():
        print(f'    "{name}": {size},')
