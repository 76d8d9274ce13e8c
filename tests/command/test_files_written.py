"""What commands write: never over what they read, nothing half when the disk is full.

By real processes where the disk, a device or standard output decides.
"""

from __future__ import annotations

import os
import resource
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from helpers.patience import WAIT_S
from slopebeat.__main__ import main

SAMPLES = Path(__file__).resolve().parents[2] / "samples"
DEMO = SAMPLES / "demo_library"
WALK = SAMPLES / "lake_shore_walk.gpx"

pytestmark = pytest.mark.skipif(os.name != "posix", reason="limits and devices as POSIX has them")


def call(*arguments: object, most_bytes: int | None = None) -> subprocess.CompletedProcess[str]:
    def limit() -> None:
        if most_bytes is not None:
            resource.setrlimit(resource.RLIMIT_FSIZE, (most_bytes, most_bytes))

    command = [sys.executable, "-m", "slopebeat", *map(str, arguments)]
    # Under a limit on files bytecode would be kept that was cut off there, and be met at the next start.
    place = os.environ | {"PYTHONDONTWRITEBYTECODE": "1"}
    return subprocess.run(
        command, preexec_fn=limit, capture_output=True, text=True, timeout=WAIT_S, check=False, env=place
    )


Refusal = Callable[..., str]


@pytest.fixture
def refusal(capsys: pytest.CaptureFixture[str]) -> Refusal:
    """Why a command does not do what it is asked to, called in this process."""

    def refused(*arguments: object) -> str:
        assert main(list(map(str, arguments))) == 2
        return capsys.readouterr().err

    return refused


@pytest.mark.parametrize("option", ["--json", "--html", "--pdf", "--csv"])
def test_a_recording_that_is_reviewed_is_not_written_over(
    tmp_path: Path, refusal: Refusal, option: str
) -> None:
    mine = tmp_path / "samples.csv"  # a file of tables is named so
    shutil.copy(WALK, mine)
    target = tmp_path if option == "--csv" else mine
    assert "is read here" in refusal("review", mine, "--band", "112-131", option, target)
    assert mine.read_bytes() == WALK.read_bytes()
    assert list(tmp_path.iterdir()) == [mine]


def test_a_library_is_not_written_over_by_the_months_in_it(tmp_path: Path, refusal: Refusal) -> None:
    library, recording = tmp_path / "library.sqlite3", tmp_path / "walk.gpx"
    shutil.copy(WALK, recording)
    whose = ("--athlete", "hut warden", "--band", "112-131")
    assert main(["import", str(recording), "--library", str(library), *whose]) == 0
    before = library.read_bytes()
    assert "is read here" in refusal("months", "--library", library, "--json", library)
    # Nor by a command that reads something else.
    said = refusal("review", recording, "--band", "112-131", "--json", library)
    assert "a library or another database" in said
    assert "is read here" in refusal("plan", recording, "--library", library, "--gpx", library)
    assert library.read_bytes() == before


def test_two_answers_do_not_go_to_one_file(tmp_path: Path, refusal: Refusal) -> None:
    one = tmp_path / "one"
    again = tmp_path / "." / "one"
    assert "asked for twice" in refusal("review", WALK, "--band", "112-131", "--json", one, "--html", again)
    assert not one.exists()
    done = call("review", WALK, "--band", "112-131", "--json", "-", "--html", "/dev/stdout")
    assert (done.returncode, "asked for twice" in done.stderr) == (2, True)


@pytest.mark.parametrize("option", ["--json", "--html", "--pdf"])
def test_a_disk_that_is_full_leaves_the_old_file_and_says_so(tmp_path: Path, option: str) -> None:
    """A file that may not grow beyond 1,000 bytes (setrlimit(2), RLIMIT_FSIZE) stands for the full disk."""
    old = tmp_path / "old"
    old.write_bytes(b"the old answer")
    done = call("review", WALK, "--band", "112-131", option, old, most_bytes=1000)
    assert done.returncode == 2, done.stderr
    assert "could not be written" in done.stderr
    assert "Traceback" not in done.stderr
    assert old.read_bytes() == b"the old answer"
    assert list(tmp_path.iterdir()) == [old]


@pytest.mark.parametrize("option", ["--json", "--html", "--pdf"])
def test_a_full_device_is_told_of(option: str) -> None:
    done = call("review", WALK, "--band", "112-131", option, "/dev/full")
    assert (done.returncode, "No space left on device" in done.stderr) == (2, True)


def test_a_report_goes_through_standard_output() -> None:
    done = call("review", WALK, "--band", "112-131", "--html", "/dev/stdout")
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("<!DOCTYPE html>")
    assert done.stdout.rstrip().endswith("</html>")
