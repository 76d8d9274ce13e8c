"""No test waits for the clock: every wait is for something to come true, and fails by ``patience`` only."""

from __future__ import annotations

import ast
from pathlib import Path

TESTS = Path(__file__).resolve().parent
BY_HAND = {"benchmarks", "faults", "fuzz"}
"""Folders of what is run by hand and measures, or kills at chance moments."""

CHOSEN_MOMENTS = {
    # Stopped at moments of its start and work that nothing outside can see; it passes at any of them.
    ("command/test_terminal.py", "test_ctrl_c_ends_it_with_130_and_without_a_word"),
    # Looks again and again, and gives way between; ends with what it looks for.
    ("helpers/patience.py", "wait_until"),
    ("review/import_pool_works.py", "work_until_stopped"),
    ("review/import_pool_works.py", "work_until_let_go"),
}
"""The only sleeps there are, by file and function."""

WAITS = {"waitUntil", "waitSignal", "waitSignals", "communicate"}
NAMED = {"WAIT_MS", "WAIT_S"}


def problems(source: str, place: str) -> list[str]:
    """What in a test module hangs on how fast the machine is."""
    found: list[str] = []
    if not any(word in source for word in (*WAITS, "sleep", "wait", "timeout")):
        return found  # Taking a module apart takes longer than all the rest.
    tree = ast.parse(source)
    for function in [tree, *(n for n in ast.walk(tree) if isinstance(n, ast.FunctionDef))]:
        for node in _own_calls(function):
            name = node.func.attr if isinstance(node.func, ast.Attribute) else ""
            owner = getattr(function, "name", "")
            words = {keyword.arg: keyword.value for keyword in node.keywords}
            if name == "sleep" and (place, owner) not in CHOSEN_MOMENTS:
                found.append(f"{place}:{node.lineno} sleeps")
            if (
                name == "wait"
                and isinstance(node.func, ast.Attribute)
                and _is_named(node.func.value, "qtbot")
            ):
                found.append(f"{place}:{node.lineno} waits for the clock")
            if "timeout" in words and not any(_is_named(words["timeout"], limit) for limit in NAMED):
                found.append(f"{place}:{node.lineno} has a limit of its own")
            if name in WAITS and name != "communicate" and "timeout" not in words:
                found.append(f"{place}:{node.lineno} has the short limit of the library")
    return found


def _own_calls(function: ast.AST) -> list[ast.Call]:
    """Calls in a function, or module, but not in the functions inside it."""
    calls, todo = [], list(ast.iter_child_nodes(function))
    while todo:
        node = todo.pop()
        if isinstance(node, ast.FunctionDef):
            continue
        if isinstance(node, ast.Call):
            calls.append(node)
        todo += ast.iter_child_nodes(node)
    return calls


def _is_named(node: ast.AST, name: str) -> bool:
    return isinstance(node, ast.Name) and node.id == name


def test_every_wait_is_for_something_and_with_patience() -> None:
    found = []
    for path in sorted(TESTS.rglob("*.py")):
        place = path.relative_to(TESTS)
        if place.parts[0] not in BY_HAND:
            found += problems(path.read_text(encoding="utf-8"), place.as_posix())
    assert found == []


def test_the_kinds_of_wait_that_hang_on_the_clock_are_found() -> None:
    lines = (
        "import time",
        "def test(qtbot):",
        "    time.sleep(1)",
        "    qtbot.wait(50)",
        "    qtbot.waitUntil(ready)",
        "    qtbot.waitUntil(ready, timeout=5000)",
        "    process.communicate(timeout=60)",
        "    qtbot.waitUntil(ready, timeout=WAIT_MS)",
    )
    found = {problem.partition(" ")[0] for problem in problems("\n".join(lines), "x.py")}
    assert found == {f"x.py:{line}" for line in (3, 4, 5, 6, 7)}
