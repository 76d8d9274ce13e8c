"""What no command can mean gets one sentence and an exit status of its own, and nothing is written.

All commands, in this process: a folder for a file, a device, what is read as what is written, numbers that
are none, people nobody knows, empty texts, the same twice.
"""

from __future__ import annotations

import hashlib
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from helpers.libraries import made
from slopebeat.command.main import COMMANDS, main
from slopebeat.disk.places import library_path
from slopebeat.library.people import new_identity
from slopebeat.library.store import Library
from slopebeat.model.people import Athlete

SAMPLE = Path(__file__).resolve().parents[2] / "samples" / "lake_shore_walk.gpx"
WHO = ("--athlete", "Hut warden")
READING = {
    "months": WHO,
    "weeks": WHO,
    "price": WHO,
    "ground": WHO,
    "plan": ("WALK", *WHO),
    "outings": WHO,
    "bands": WHO,
    "athletes": (),
}
"""Commands that read the user's own library, with what they need beside it."""


def _of_libraries() -> Iterator[tuple[str, ...]]:
    for name, rest in READING.items():
        for library in ("FOLDER", "/dev/null", "NOTHING", "EMPTY", "WALK"):
            yield (name, *rest, "--library", library)
        for target in ("FOLDER", "LIBRARY", "", "FOLDER/no/such.json"):
            yield (name, *rest, "--json", target)
        yield (name, *rest, "--no-such-option")
        if rest:
            where = rest[: -len(WHO)]
            yield (name, *where, "--athlete", "nobody")
            yield (name, *where, "--athlete", "")
    yield ("archive", "save", "FOLDER/x.zip")
    yield ("archive", "save", "FOLDER/x.zip", "--athlete", "nobody")
    yield ("import", "WALK")
    yield ("import", "WALK", "--library", "FOLDER", *WHO)
    yield ("import", "WALK", "--library", "WALK", *WHO)


def _of_days() -> Iterator[tuple[str, ...]]:
    for name in ("months", "weeks", "outings"):
        for option in ("--from", "--to"):
            for day in ("yesterday", "", "2026-02-30"):
                yield (name, *WHO, option, day)
        yield (name, *WHO, "--from", "2026-05-01", "--to", "2026-04-01")
    for week in ("W28", "2026-W60", ""):
        yield ("weeks", *WHO, "--week", week)
    yield ("athletes", "move", "Hut warden", "Valley guide", "--from", "2030-01-01")
    yield ("bands", "add", "never", "--band", "112-131", *WHO)
    yield ("price", *WHO, "--until", "never")


def _of_numbers() -> Iterator[tuple[str, ...]]:
    for number in ("-5", "nan", "inf", "much"):
        for option in ("--target", "--missing"):
            yield ("price", *WHO, option, number)
        for option in ("--target", "--body-mass", "--bike-mass", "--load", "--hold", "--way"):
            yield ("plan", "WALK", *WHO, option, number)
        for option in ("--target", "--body-mass", "--bike-mass", "--load"):
            yield ("review", "WALK", "--band", "112-131", option, number)
        yield ("review", "WALK", "--hr-max", number)
        yield ("bands", "add", "2031-01-01", *WHO, "--hr-max", number)
    for command in (("review", "WALK"), ("price", *WHO), ("bands", "add", "2031-01-01", *WHO)):
        for band in ("131-112", "-3", "112", "a-b", "112-500"):
            yield (*command, f"--band={band}")
    aimed = ("price", *WHO), ("plan", "WALK", *WHO), ("review", "WALK", "--band", "112-131")
    for each in aimed:
        yield (*each, "--target", "0")
    yield ("ground", *WHO, "--place", "-1")


def _of_files() -> Iterator[tuple[str, ...]]:
    for file in ("FOLDER", "EMPTY", "/dev/null", "NOTHING", ""):
        yield ("review", file)
        yield ("plan", file, *WHO)
        yield ("archive", "take", file)
        yield ("archive", "show", file)
        if file in ("NOTHING", ""):
            yield ("import", file, *WHO)
    yield ("archive", "take", "WALK")
    for file in ("FOLDER", "/dev/null", "LIBRARY", "", "FOLDER/no/such"):
        yield ("archive", "save", file, *WHO)
        yield ("library", "backup", file)
        if file != "EMPTY":
            yield ("library", "restore", file)
    yield ("review", "WALK", "--json", "WALK")
    yield ("review", "WALK", "--pdf", "FOLDER")
    yield ("review", "WALK", "--csv", "WALK")
    yield ("review", "WALK", "--pdf", "FOLDER/a", "--html", "FOLDER/a")
    yield ("review", "--together", "WALK", "WALK")
    yield ("plan", "WALK", *WHO, "--json", "WALK")
    yield ("weeks", *WHO, "--csv", "FOLDER/x", "--json", "FOLDER/x")
    yield ("price", *WHO, "--letter", "LIBRARY")
    yield ("library", "check", "--library", "WALK")


def _of_words() -> Iterator[tuple[str, ...]]:
    yield ("athletes", "rename", "Hut warden", "")
    yield ("athletes", "rename", "Hut warden", "   ")
    yield ("athletes", "rename", "Hut warden", "Valley guide")
    yield ("athletes", "rename", "nobody", "somebody")
    yield ("athletes", "merge", "Hut warden", "Hut warden")
    yield ("athletes", "remove", "nobody")
    yield ("outings", "change", *WHO)
    yield ("outings", "change", *WHO, "--title", "  ")
    yield ("outings", "change", *WHO, "--sport", "flying")
    yield ("bands", "remove", "2020-01-01", *WHO)
    yield ("desktop", "--install", "--remove")
    yield ("files", "--no-such-option")
    yield ("months", "--language", "xx")
    yield ("no-such-command",)


CASES = [*_of_libraries(), *_of_days(), *_of_numbers(), *_of_files(), *_of_words()]


@pytest.fixture(scope="module")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A library of two athletes, made once."""
    path = tmp_path_factory.mktemp("odd") / "library.sqlite3"
    made(path)
    with Library.open(path) as library:
        library.athletes.add(Athlete(new_identity(), "Valley guide"))
    return path


@pytest.fixture
def place(filled: Path, tmp_path: Path) -> Path:
    """A folder with an empty file and a recording; the library is the user's own."""
    library_path().parent.mkdir(parents=True, exist_ok=True)
    shutil.copy(filled, library_path())
    shutil.copy(SAMPLE, tmp_path / "walk.gpx")
    (tmp_path / "empty.gpx").touch()
    (tmp_path / "folder").mkdir()
    return tmp_path


def meant(argument: str, place: Path) -> str:
    names = {"EMPTY": "empty.gpx", "WALK": "walk.gpx", "NOTHING": "nothing.gpx", "FOLDER": "folder"}
    if argument == "LIBRARY":
        return str(library_path())
    first, slash, rest = argument.partition("/")
    return f"{place / names[first]}{slash}{rest}" if first in names else argument


# A report draws with Qt; an application of its own would stand in the way of later windows.
@pytest.mark.usefixtures("qapp")
@pytest.mark.parametrize("arguments", CASES, ids=[" ".join(case) for case in CASES])
def test_odd_arguments_get_one_sentence_and_change_nothing(
    place: Path, capsys: pytest.CaptureFixture[str], arguments: tuple[str, ...]
) -> None:
    before = _contents(place)
    code = main([meant(each, place) for each in arguments])
    out, err = capsys.readouterr()
    # How a command is called may stand before the sentence, where the parser refuses it.
    told = [line for line in err.splitlines() if not line.startswith(("usage:", "  "))]
    assert (code, out) == (2, "")
    assert len(told) == 1, err
    assert "Traceback" not in err
    assert not told[0].startswith(" ")
    assert len(told[0]) > len("slopebeat: error: ")
    assert _contents(place) == before


def _contents(place: Path) -> dict[str, str]:
    """What each file in the folder, and the library, holds."""
    files = [path for path in sorted(place.rglob("*")) if path.is_file() and "data" not in path.parts]
    return {str(path): hashlib.sha256(path.read_bytes()).hexdigest() for path in (*files, library_path())}


def test_every_command_is_asked_something_odd() -> None:
    assert {case[0] for case in CASES} >= set(COMMANDS)
