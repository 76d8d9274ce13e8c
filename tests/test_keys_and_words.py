"""Layers that find things say keys and numbers: every key has its words, every value its place in them."""

from __future__ import annotations

import ast
import string
from collections.abc import Iterator
from enum import Enum
from functools import cache
from pathlib import Path

import pytest

from slopebeat.model.errors import UserError
from slopebeat.model.language import use_language
from slopebeat.model.message import message
from slopebeat.model.sentences.table import SENTENCES
from slopebeat.review.words.messages import WORDINGS, say
from slopebeat.review.words.names import NAMES, key_name
from slopebeat.review.words.other_names import OTHER_NAMES

CODE = Path(__file__).resolve().parent.parent / "app" / "slopebeat"
WORDLESS = ("analysis", "cleaning", "files", "library")
FORMED = ("column", "content", "count", "many")
"""Keys of these kinds stand in tables or are put together."""


@cache
def calls() -> list[tuple[str, ast.Call, ast.Call | None]]:
    return list(_calls())


def _calls() -> Iterator[tuple[str, ast.Call, ast.Call | None]]:
    """Module, call of ``message`` with a literal key, and the error it is given to, if any."""
    for layer in WORDLESS:
        for path in sorted((CODE / layer).rglob("*.py")):
            code = path.read_text(encoding="utf-8")
            if "message(" not in code:
                continue
            tree = ast.parse(code)
            parents = {child: node for node in ast.walk(tree) for child in ast.iter_child_nodes(node)}
            for node in ast.walk(tree):
                if (
                    isinstance(node, ast.Call)
                    and isinstance(node.func, ast.Name)
                    and node.func.id == "message"
                ):
                    yield f"{layer}/{path.name}:{node.lineno}", node, _error_around(node, parents)


def _error_around(node: ast.AST, parents: dict[ast.AST, ast.AST]) -> ast.Call | None:
    while (node := parents.get(node, ast.Module([], []))) and not isinstance(node, ast.stmt | ast.Module):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id[0].isupper():
            return node if node.func.id.endswith(("Error", "Fault", "File", "Originals")) else None
    return None


def keys_of(call: ast.Call) -> set[str]:
    """The keys a call may say; none for one that is given a key."""
    return {
        each.value
        for each in ast.walk(call.args[0])
        if isinstance(each, ast.Constant) and isinstance(each.value, str) and each.value in WORDINGS
    }


def names_in(text: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(text) if name}


def test_every_message_has_words_for_all_its_values() -> None:
    checked = 0
    for where, call, _ in calls():
        literal = call.args[0]
        if isinstance(literal, ast.Constant):
            assert literal.value in WORDINGS, f"{where}: {literal.value!r} has no words"
        given = {keyword.arg for keyword in call.keywords}
        for key in keys_of(call) if None not in given else ():
            wording = WORDINGS[key]
            text = wording if isinstance(wording, str) else wording.text
            assert names_in(text) == given, f"{where}: {key}"
            checked += 1
    assert checked > 80


def test_an_error_is_a_sentence_below_the_review_too() -> None:
    for where, call, error in calls():
        if error is not None:
            assert keys_of(call) <= set(SENTENCES), f"{where}: an error's words stand in model.sentences"


def test_every_wording_is_said_somewhere() -> None:
    code = "".join(
        path.read_text(encoding="utf-8") for layer in WORDLESS for path in (CODE / layer).rglob("*.py")
    )
    unsaid = [key for key in WORDINGS if f'"{key}"' not in code and key.partition(".")[0] not in FORMED]
    assert unsaid == []


@pytest.mark.parametrize("kind", [*NAMES, *OTHER_NAMES], ids=lambda kind: kind.__name__)
def test_every_key_has_a_name_and_no_name_is_a_key(kind: type[Enum]) -> None:
    assert set({**NAMES, **OTHER_NAMES}[kind]) == set(kind)
    assert len({key_name(key) for key in kind}) == len(kind)


def test_a_message_is_worded_in_the_language_in_force_with_what_it_holds() -> None:
    parts = tuple(
        message("file.value_count", name=message(f"column.{name}"), count=count)
        for name, count in (("hr_bpm", 1200), ("power_w", 3))
    )
    found = message("file.values_left_out", parts=parts)
    assert say(found) == "Values that cannot be were left out: heart rate (1,200), power (3)."
    use_language("de")
    assert "Herzfrequenz (1,200), Leistung (3)" in say(found)


def test_an_error_of_several_messages_is_their_sentences() -> None:
    error = UserError(message("file.empty", name="a.fit"), message("fit.check_sum"))
    assert str(error).startswith("a.fit is empty. The check sum does not match")
