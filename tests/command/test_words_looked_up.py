"""No word a command says is missing from the catalogues; words outside marks were never looked up."""

from __future__ import annotations

import argparse
import ast
import inspect
import re
from contextlib import suppress
from pathlib import Path

import pytest

from helpers.marked_language import marked, unmarked
from slopebeat.command import speech
from slopebeat.command.main import NAMES, main

SAMPLES = Path(__file__).resolve().parents[2] / "samples"
HIKE = SAMPLES / "hut_supply_hike.fit"

TITLE = {"Hut", "supply", "hike"}
"""The outing goes by the name of its file."""

OPTION = re.compile(r"--?[a-z][\w-]*")
VALUES = re.compile(r"\{[\w, ]+\}|(?<= )(?:LO-HI|KM-KM|±HH:MM|KG|KM|MIN|BPM|N|H|C)\b")


DEEDS = {
    *("save", "take", "show", "backup", "check", "restore"),
    *("list", "add", "change", "rename", "merge", "remove", "move"),
}
"""Second words of commands, which are typed as they are in every language."""


@pytest.fixture(autouse=True)
def _english_place(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in speech.LOCALE_VARIABLES:
        monkeypatch.delenv(name, raising=False)
    # Help is broken into lines where the terminal ends; a mark may not be broken.
    monkeypatch.setenv("COLUMNS", "4000")


def said(capsys: pytest.CaptureFixture[str], *arguments: object) -> str:
    with marked(), suppress(SystemExit):
        main([str(each) for each in arguments])
    shown = capsys.readouterr()
    assert shown.out + shown.err
    return shown.out + shown.err


@pytest.mark.parametrize("command", ["", *sorted(NAMES)])
def test_help_holds_no_word_that_was_not_looked_up(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    text = said(capsys, *([command] if command else []), "--help")
    bare = VALUES.sub(" ", OPTION.sub(" ", text))
    assert unmarked(bare, NAMES | DEEDS) == []


def test_an_answer_holds_no_word_that_was_not_looked_up(capsys: pytest.CaptureFixture[str]) -> None:
    assert unmarked(said(capsys, "review", HIKE, "--hr-max", 187), TITLE) == []


def test_a_plan_holds_no_word_that_was_not_looked_up(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    names = {"lake_shore_walk", "hut", "warden", "DIN", "Naismith", "Tobler", "Lake", "shore", "walk"}
    text = said(capsys, "plan", SAMPLES / "lake_shore_walk.gpx", "--band", "112-131", "--loop", "0.5-2")
    assert unmarked(text, names) == []


def test_an_import_and_its_months_hold_no_word_that_was_not_looked_up(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    place = tmp_path / "library.sqlite3"
    text = said(capsys, "import", HIKE, "--library", place, "--athlete", "hut warden", "--hr-max", 187)
    assert unmarked(text, TITLE) == []
    text = said(capsys, "months", "--library", place)
    assert unmarked(text, TITLE | {"hut", "warden", "W28", "W48"}) == []


@pytest.mark.parametrize(
    "wrong",
    [
        ("review", "none.fit"),
        ("review", HIKE, "--band", "131-112"),
        ("review", HIKE, "--target", "0"),
        ("plan", HIKE, "--band", "112-131"),
        ("months", "--library", "none.sqlite3"),
        ("import", "none.fit"),
    ],
)
def test_what_the_user_can_mend_is_looked_up(
    wrong: tuple[object, ...], capsys: pytest.CaptureFixture[str]
) -> None:
    text = said(capsys, *wrong)
    assert unmarked(OPTION.sub(" ", text)) == []


@pytest.mark.parametrize(
    "wrong", [("review",), ("review", HIKE, "--units", "x"), ("review", HIKE, "--target", "x")]
)
def test_what_the_parser_says_by_itself_is_looked_up(
    wrong: tuple[object, ...], capsys: pytest.CaptureFixture[str]
) -> None:
    text = VALUES.sub(" ", OPTION.sub(" ", said(capsys, *wrong)))
    assert unmarked(text, {"review", "x", "float", "metric", "imperial"}) == []


def test_the_parsers_own_texts_are_those_of_the_standard_library() -> None:
    tree = ast.parse(inspect.getsource(argparse))
    theirs = {
        each.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "_"
        for each in node.args
        if isinstance(each, ast.Constant)
    }
    unknown = set(speech.PARSER_TEXTS) - theirs
    assert len(unknown) <= 2, f"later versions may word one or two otherwise: {unknown}"
