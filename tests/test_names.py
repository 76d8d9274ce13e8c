"""One name for one thing: no two modules of the app call different things alike."""

from __future__ import annotations

import ast
from collections import defaultdict
from functools import cache
from pathlib import Path

APP = Path(__file__).resolve().parent.parent / "app" / "slopebeat"

ROLES = {
    # Every command has them: it describes its options, runs, and says its answer in words or as values.
    "describe",
    "run",
    "main",
    "as_text",
    "as_values",
    # The errors of the lowest layer are worded there, by the few names it knows.
    "key_name",
}
"""Functions that several modules have because they are the same to each of them."""


@cache
def defined() -> list[tuple[str, ast.ClassDef | ast.FunctionDef]]:
    """What modules define, each with the module; those offered to programs do not count."""
    found: list[tuple[str, ast.ClassDef | ast.FunctionDef]] = []
    for path in sorted(APP.rglob("*.py")):
        module = path.relative_to(APP).with_suffix("").as_posix()
        if not module.startswith("api/"):
            body = ast.parse(path.read_text(encoding="utf-8")).body
            found += [(module, node) for node in body if isinstance(node, ast.ClassDef | ast.FunctionDef)]
    return found


def named_twice(kind: type[ast.AST]) -> dict[str, list[str]]:
    """Public names of a kind that more than one module defines."""
    found = defaultdict(list)
    for module, node in defined():
        if isinstance(node, kind) and not node.name.startswith("_"):
            found[node.name].append(module)
    return {name: modules for name, modules in found.items() if len(modules) > 1}


def test_no_two_classes_have_one_name() -> None:
    assert named_twice(ast.ClassDef) == {}


def test_no_two_functions_have_one_name_but_those_of_one_role() -> None:
    assert set(named_twice(ast.FunctionDef)) == ROLES
