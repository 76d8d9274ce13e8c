"""Athletes renamed, merged and removed and outings moved by commands: told first, done when asked."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest

from library.making import facts, keep, period, warden
from slopebeat.command.main import main
from slopebeat.disk.places import library_path
from slopebeat.library.store import Library


@pytest.fixture
def own() -> Path:
    """The user's own library with two athletes, one outing each."""
    with Library.open_or_create() as library:
        for number, name in enumerate(("hut warden", "trail patrol")):
            athlete = library.athletes.add(warden(name))
            keep(library, athlete, bytes([number]), facts(days=10.0 * number))
            library.bands.put(period(athlete, date(2026, 4, 1 + number), 112, 131))
    return library_path()


def said(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str]:
    code = main(["athletes", *arguments])
    out, err = capsys.readouterr()
    return code, out + err


def names() -> list[str]:
    with Library.open(library_path()) as library:
        return [each.name for each in library.athletes]


def test_everybody_is_listed_from_the_own_library(own: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, out = said(capsys, "--json", "-")
    assert code == 0
    listed = json.loads(out)["athletes"]
    assert [(each["name"], each["outings"], each["bands"]) for each in listed] == [
        ("hut warden", 1, 1),
        ("trail patrol", 1, 1),
    ]
    assert said(capsys)[1].splitlines()[1].split()[:2] == ["hut", "warden"]


def test_an_athlete_is_renamed_and_a_taken_name_refused(
    own: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert said(capsys, "rename", "hut warden", "Lake warden")[0] == 0
    assert names() == ["Lake warden", "trail patrol"]
    code, out = said(capsys, "rename", "Lake warden", "trail patrol")
    assert (code, out) == (2, "There is already an athlete named trail patrol.\n")


def test_what_goes_is_told_and_nothing_is_done_without_yes(
    own: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for act in (("merge", "trail patrol", "hut warden"), ("remove", "trail patrol")):
        code, out = said(capsys, *act)
        assert code == 1
        assert "1 outing, 1 band" in out
        assert names() == ["hut warden", "trail patrol"]


def test_two_become_one_and_one_is_removed(own: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, out = said(capsys, "merge", "trail patrol", "hut warden", "--yes")
    assert (code, out) == (0, "1 outing went to hut warden.\n")
    assert names() == ["hut warden"]
    code, out = said(capsys, "remove", "hut warden", "--yes")
    assert (code, out) == (0, "hut warden was removed with 2 outings.\n")
    assert names() == []


def test_outings_of_some_days_are_moved(own: Path, capsys: pytest.CaptureFixture[str]) -> None:
    # That of the trail patrol is of 2026-05-11.
    move = ("move", "trail patrol", "hut warden", "--yes", "--to")
    assert said(capsys, *move, "2026-05-10") == (2, "There is no such outing.\n")
    assert said(capsys, *move, "2026-05-11")[1].startswith("1 outing went")
    code, out = said(capsys, "move", "hut warden", "hut warden")
    assert (code, out) == (2, "Two athletes are needed; hut warden is one.\n")
