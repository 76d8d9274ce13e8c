"""Backup, check, restore and archives by command; an archive given to import is recognised by its content."""

from __future__ import annotations

import sqlite3
import zlib
from contextlib import closing
from pathlib import Path

import pytest

from slopebeat.command.main import main
from slopebeat.library.people import new_identity
from slopebeat.library.store import Library
from slopebeat.model.people import Athlete

SAMPLES = Path(__file__).resolve().parents[2] / "samples"
HIKE = next(path for path in sorted(SAMPLES.glob("*")) if path.suffix in (".gpx", ".tcx", ".fit"))


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A library with one outing of the demo."""
    place = tmp_path_factory.mktemp("kept") / "library.sqlite3"
    assert main(["import", str(HIKE), "--library", str(place), "--athlete", "Hut warden"]) == 0
    return place


def test_a_backup_restores_into_a_place_that_is_not_there_yet(kept: Path, tmp_path: Path) -> None:
    backup, place = tmp_path / "backup.sqlite3", tmp_path / "new" / "library.sqlite3"
    assert main(["library", "backup", str(backup), "--library", str(kept)]) == 0
    assert main(["library", "check", "--library", str(kept)]) == 0
    assert main(["library", "restore", str(backup), "--library", str(place)]) == 0
    with Library.open(place) as library:
        assert library.outings.count() == 1


def test_a_damaged_backup_is_named_and_restored_only_when_asked(
    kept: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    backup, place = tmp_path / "backup.sqlite3", tmp_path / "library.sqlite3"
    assert main(["library", "backup", str(backup), "--library", str(kept)]) == 0
    with closing(sqlite3.connect(backup)) as connection, connection:
        connection.execute("UPDATE content SET packed = ?", (zlib.compress(b"another"),))
    capsys.readouterr()
    assert main(["library", "restore", str(backup), "--library", str(place)]) == 2
    assert f"The original file of {HIKE.name} is damaged." in capsys.readouterr().err
    assert not place.exists()
    restored = ["library", "restore", str(backup), "--library", str(place), "--although-damaged"]
    assert main(restored) == 0
    assert main(["library", "check", "--library", str(place)]) == 1


@pytest.mark.parametrize("words", [["archive", "take"], ["import"]])
def test_an_archive_is_taken_in_whatever_its_name_and_the_library_is_made(
    kept: Path, tmp_path: Path, words: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    """An archive given to import ended in "0 outings imported"."""
    archive, place = tmp_path / "handed on", tmp_path / "mine.sqlite3"
    assert main(["archive", "save", str(archive), "--library", str(kept)]) == 0
    capsys.readouterr()
    assert main([*words, str(archive), "--library", str(place)]) == 0
    assert "1 new outing" in capsys.readouterr().out
    with Library.open(place) as library:
        (athlete,) = library.athletes
        assert athlete.name == "Hut warden"
        assert len(library.results.summaries(athlete.identity)) == 1, "the outing was not reviewed"
    assert main([*words, str(archive), "--library", str(place)]) == 0
    assert "1 outing already there" in capsys.readouterr().out


def test_an_archive_beside_recordings_goes_to_its_own_athlete(kept: Path, tmp_path: Path) -> None:
    archive, place = tmp_path / "handed on.zip", tmp_path / "mine.sqlite3"
    assert main(["archive", "save", str(archive), "--library", str(kept)]) == 0
    with Library.create(place) as library:
        library.athletes.add(Athlete(new_identity(), "Trail patrol"))
    words = ["import", str(archive), str(HIKE), "--library", str(place), "--athlete", "Trail patrol"]
    assert main(words) == 0
    with Library.open(place) as library:
        found = {athlete.name: library.outings.count(athlete.identity) for athlete in library.athletes}
    assert found == {"Trail patrol": 1, "Hut warden": 1}


def test_what_is_no_archive_is_refused_in_a_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["archive", "take", str(HIKE), "--library", str(tmp_path / "x.sqlite3")]) == 2
    assert "not an archive of this program" in capsys.readouterr().err


@pytest.mark.parametrize("precious", ["library", "another library", "recording"])
@pytest.mark.parametrize("words", [["library", "backup"], ["archive", "save"]])
def test_backup_and_archive_never_replace_what_somebody_would_miss(
    words: list[str], precious: str, kept: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    target = kept
    if precious == "another library":
        target = tmp_path / "theirs.sqlite3"
        Library.create(target).close()
    elif precious == "recording":
        target = tmp_path / HIKE.name
        target.write_bytes(HIKE.read_bytes())
    before = target.read_bytes()
    assert main([*words, str(target), "--library", str(kept)]) == 2
    assert capsys.readouterr().err.strip()
    assert target.read_bytes() == before


def test_an_older_backup_may_be_replaced(kept: Path, tmp_path: Path) -> None:
    backup = tmp_path / "backup.sqlite3"
    for _ in range(2):
        assert main(["library", "backup", str(backup), "--library", str(kept)]) == 0
    with closing(sqlite3.connect(backup)) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
