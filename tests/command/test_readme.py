"""The commands the README shows exist, with the options it shows."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from slopebeat.command.main import main

README = Path(__file__).resolve().parents[2] / "README.md"


def shown() -> dict[str, set[str]]:
    """Options by command, from the block of commands; a line that is indented goes on with the one before."""
    text = README.read_text(encoding="utf-8")
    block = text[text.index("## Without a window") :].split("```")[1]
    lines = re.sub(r"\n +", " ", block).strip().splitlines()
    return {line.split()[1]: set(re.findall(r"--[\w-]+", line)) for line in lines}


@pytest.mark.parametrize("command", sorted(shown()))
def test_a_command_takes_what_the_readme_shows(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--language", "en", command, "--help"]) == 0
    known = set(re.findall(r"--[\w-]+", capsys.readouterr().out))
    assert shown()[command] <= known


def test_every_command_is_named(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--language", "en", "--help"]) == 0
    listed = re.findall(r"^    ([a-z]+) {2,}\S", capsys.readouterr().out, re.MULTILINE)
    assert len(listed) > 10
    text = README.read_text(encoding="utf-8")
    assert [each for each in listed if f"`{each}`" not in text and f"slopebeat {each}" not in text] == []
