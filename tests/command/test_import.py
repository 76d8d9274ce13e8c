"""The import command as a person would give it."""

from __future__ import annotations

import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest

import slopebeat
from helpers.patience import WAIT_S
from slopebeat.command import import_
from slopebeat.command.main import NAMES, main
from slopebeat.disk.places import library_path
from slopebeat.library.store import Library
from slopebeat.model.bands import Band
from slopebeat.model.people import BandPeriod, Ground

SAMPLES = Path(__file__).resolve().parents[2] / "samples"
WALK = SAMPLES / "lake_shore_walk.gpx"
HIKE = SAMPLES / "hut_supply_hike.fit"


def test_the_command_is_called_import() -> None:
    assert "import" in NAMES


def test_a_new_name_adds_an_athlete_and_the_only_one_is_taken_after_that(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    place = str(tmp_path / "new folder" / "library.sqlite3")
    assert main(["import", str(WALK), "--library", place, "--athlete", "hut warden"]) == 0
    shown = capsys.readouterr()
    assert shown.out.splitlines()[0] == "1 outing imported, 0 already there, 0 files not read."
    assert shown.err == "", "no progress where there is no terminal"
    assert main(["import", str(WALK), str(HIKE), "--library", place]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == "1 outing imported, 1 already there, 0 files not read."
    with Library.open(Path(place)) as library:
        (athlete,) = library.athletes
        assert athlete.name == "hut warden"
        assert [o.file_name for o in library.outings.of(athlete.identity)] == [HIKE.name, WALK.name]
        library.athletes.remove(athlete.identity)


def test_one_bad_file_is_named_and_does_not_spoil_the_rest(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    bad = tmp_path / "bad.fit"
    bad.write_bytes(b"nothing")
    assert main(["import", str(bad), str(WALK), "--athlete", "hut warden"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == "1 outing imported, 0 already there, 1 file not read."
    assert lines[-1].startswith("  not read   bad.fit: ")
    assert library_path().exists()


def test_a_first_band_is_given_with_the_import_and_counts_at_once(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    place = str(tmp_path / "library.sqlite3")
    assert main(["import", str(WALK), "--library", place, "--athlete", "hut warden", "--hr-max", "187"]) == 0
    capsys.readouterr()
    assert main(["months", "--library", place]) == 0
    assert "an average week held 78 minutes in band in 1.0 sessions" in capsys.readouterr().out


def test_the_same_command_goes_on_and_another_band_is_refused_before_anything_starts(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    place = tmp_path / "library.sqlite3"
    whose = ["--library", str(place), "--athlete", "hut warden"]
    assert main(["import", str(WALK), *whose, "--band", "112-131"]) == 0
    assert main(["import", str(WALK), *whose, "--band", "112-131"]) == 0, "the same again"
    assert main(["import", str(WALK), *whose, "--hr-max", "187"]) == 0, "60-70 % of 187 are the same edges"
    capsys.readouterr()
    before = place.read_bytes()
    refusal = complaint(capsys, HIKE, *whose, "--band", "100-120")
    assert "another band already (112-131 bpm)" in refusal
    assert "leave the band out" in refusal
    assert "in the window" in refusal
    assert place.read_bytes() == before
    with Library.open(place) as library:
        (athlete,) = library.athletes
        assert {p.ground: p.band.lower_bpm for p in library.bands.of(athlete.identity)} == {
            Ground.FOOT: 112,
            Ground.BIKE: 112,
        }
        later = BandPeriod(athlete.identity, Ground.FOOT, date(2026, 8, 1), Band(115, 133))
        library.bands.put(later)
    assert main(["import", str(HIKE), *whose, "--band", "112-131"]) == 0
    with Library.open(place) as library:
        assert later in library.bands.of(athlete.identity), "what the window changed since stays"
        assert library.outings.count() == 2


@pytest.mark.parametrize("stopped", [False, True])
def test_an_import_that_brings_nothing_leaves_no_athlete(
    stopped: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    place, bad = tmp_path / "library.sqlite3", tmp_path / "bad.fit"
    bad.write_bytes(b"nothing")
    whose = ["--library", str(place), "--athlete", "hut warden", "--band", "112-131"]
    with monkeypatch.context() as patch:
        if stopped:
            patch.setattr(import_, "_Stop", type("Stop", (), {"asked": True}))
        assert main(["import", str(WALK if stopped else bad), *whose]) == (130 if stopped else 2)
    with Library.open(place) as library:
        assert list(library.athletes) == []
    assert main(["import", str(WALK), *whose]) == 0
    with Library.open(place) as library:
        (athlete,) = library.athletes
        assert len(library.bands.of(athlete.identity)) == 2
        assert library.outings.count(athlete.identity) == 1


def test_a_killed_import_leaves_no_athlete_without_an_outing(tmp_path: Path) -> None:
    """Ended without a word in the middle of the first file, as a power cut would."""
    place = tmp_path / "library.sqlite3"
    program = (
        "import os, sys\n"
        "from slopebeat.command.main import main\n"
        "from slopebeat.library import imports\n"
        "if __name__ == '__main__':\n"
        "    imports._insert = lambda *_: os._exit(9)\n"
        "    main(sys.argv[1:])\n"
    )
    script = tmp_path / "killed.py"
    script.write_text(program)
    command = ["import", WALK, "--library", place, "--athlete", "hut warden", "--band", "112-131"]
    done = subprocess.run(
        [sys.executable, str(script), *map(str, command)],
        env={"PYTHONPATH": str(Path(slopebeat.__file__).parents[1])},
        timeout=WAIT_S,
        check=False,
    )
    assert done.returncode == 9
    with Library.open(place) as library:
        assert list(library.athletes) == []
        assert library.check() == ()


def test_months_without_a_band_say_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    place = str(tmp_path / "library.sqlite3")
    assert main(["import", str(WALK), "--library", place, "--athlete", "hut warden"]) == 0
    capsys.readouterr()
    assert main(["months", "--library", place]) == 0
    assert "give the athlete a band" in capsys.readouterr().out
    assert main(["import", str(HIKE), "--library", place, "--band", "112-131"]) == 0
    capsys.readouterr()
    assert main(["months", "--library", place]) == 0
    assert "give the athlete a band" not in capsys.readouterr().out, "a first band counts what is there"


def complaint(capsys: pytest.CaptureFixture[str], *arguments: object) -> str:
    assert main(["import", *map(str, arguments)]) == 2
    sentence = capsys.readouterr().err.strip()
    assert len(sentence.splitlines()) == 1
    assert sentence.endswith(".")
    return sentence


def test_what_the_user_can_mend_is_said_in_a_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    place = tmp_path / "library.sqlite3"
    assert "no file or folder" in complaint(
        capsys, tmp_path / "none.fit", "--library", place, "--athlete", "a"
    )
    assert "--athlete" in complaint(capsys, WALK, "--library", place)
    assert not place.exists(), "nothing is made for a command that cannot be carried out"
    other = tmp_path / "other.sqlite3"
    other.write_text("not a library")
    assert "not a library" in complaint(capsys, WALK, "--library", other, "--athlete", "a")
    Library.create(place).close()
    assert "no athlete yet" in complaint(capsys, WALK, "--library", place)
    assert "Nothing was imported" in complaint(capsys, other, "--library", place, "--athlete", "a")
    assert "needs a name" in complaint(capsys, WALK, "--library", place, "--athlete", " ")
    for name in ("a", "b"):
        assert main(["import", str(WALK), "--library", str(place), "--athlete", name]) == 0
    capsys.readouterr()
    assert "several athletes (a, b)" in complaint(capsys, WALK, "--library", place)


def test_the_program_itself_imports_in_fresh_processes(tmp_path: Path) -> None:
    place = tmp_path / "library.sqlite3"
    command = ["-m", "slopebeat", "import", WALK, "--library", place, "--athlete", "hut warden"]
    done = subprocess.run(
        [sys.executable, *map(str, command)],
        env={"PYTHONPATH": str(Path(slopebeat.__file__).parents[1])},
        capture_output=True,
        timeout=WAIT_S,
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, b"")
    assert done.stdout.startswith(b"1 outing imported")
