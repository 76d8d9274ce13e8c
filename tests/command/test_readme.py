"""The commands the README shows exist, with the options it shows."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from slopebeat.command.main import main

INSIDE = re.compile(r"^    ([a-z]+)\b", re.MULTILINE)
"""Names in a list of commands, which is indented."""

README = Path(__file__).resolve().parents[2] / "README.md"


def shown() -> dict[str, set[str]]:
    """Options by command, from the block of commands; a line that is indented goes on with the one before."""
    text = README.read_text(encoding="utf-8")
    block = text[text.index("## Without a window") :].split("```")[1]
    lines = re.sub(r"\n +", " ", block).strip().splitlines()
    return {line.split()[1]: set(re.findall(r"--[\w-]+", line)) for line in lines}


def options_of(words: list[str], capsys: pytest.CaptureFixture[str]) -> set[str]:
    """What a command takes, and what the commands inside it take."""
    assert main(["--language", "en", *words, "--help"]) == 0
    told = capsys.readouterr().out
    inside = INSIDE.findall(told.partition("\npositional arguments:\n  command\n")[2].partition("\n\n")[0])
    found = set(re.findall(r"--[\w-]+", told))
    return found.union(*(options_of([*words, each], capsys) for each in inside))


@pytest.mark.parametrize("command", sorted(shown()))
def test_a_command_takes_what_the_readme_shows(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert shown()[command] <= options_of([command], capsys)


def test_every_command_is_named(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--language", "en", "--help"]) == 0
    listed = re.findall(r"^    ([a-z]+) {2,}\S", capsys.readouterr().out, re.MULTILINE)
    assert len(listed) > 10
    text = README.read_text(encoding="utf-8")
    assert [each for each in listed if f"`{each}`" not in text and f"slopebeat {each}" not in text] == []
