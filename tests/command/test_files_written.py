"""What commands write: never over what they read, nothing half when the disk is full. By real processes."""

from __future__ import annotations

import os
import resource
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from helpers.patience import WAIT_S

SAMPLES = Path(__file__).resolve().parents[2] / "samples"
DEMO = SAMPLES / "demo_library"
WALK = SAMPLES / "lake_shore_walk.gpx"

pytestmark = pytest.mark.skipif(os.name != "posix", reason="limits and devices as POSIX has them")


def call(*arguments: object, most_bytes: int | None = None) -> subprocess.CompletedProcess[str]:
    def limit() -> None:
        if most_bytes is not None:
            resource.setrlimit(resource.RLIMIT_FSIZE, (most_bytes, most_bytes))

    command = [sys.executable, "-m", "slopebeat", *map(str, arguments)]
    return subprocess.run(
        command, preexec_fn=limit, capture_output=True, text=True, timeout=WAIT_S, check=False
    )


@pytest.mark.parametrize("option", ["--json", "--html", "--pdf", "--csv"])
def test_a_recording_that_is_reviewed_is_not_written_over(tmp_path: Path, option: str) -> None:
    mine = tmp_path / "samples.csv"  # a file of tables is named so
    shutil.copy(WALK, mine)
    done = call("review", mine, "--band", "112-131", option, tmp_path if option == "--csv" else mine)
    assert done.returncode == 2
    assert "is read here" in done.stderr
    assert mine.read_bytes() == WALK.read_bytes()
    assert list(tmp_path.iterdir()) == [mine]


def test_a_library_is_not_written_over_by_the_months_in_it(tmp_path: Path) -> None:
    library, recording = tmp_path / "library.sqlite3", tmp_path / "walk.gpx"
    shutil.copy(WALK, recording)
    done = call("import", recording, "--library", library, "--athlete", "hut warden", "--band", "112-131")
    assert done.returncode == 0, done.stderr
    before = library.read_bytes()
    done = call("months", "--library", library, "--json", library)
    assert (done.returncode, "is read here" in done.stderr) == (2, True)
    # Nor by a command that reads something else.
    done = call("review", recording, "--band", "112-131", "--json", library)
    assert (done.returncode, "a library or another database" in done.stderr) == (2, True)
    done = call("plan", recording, "--library", library, "--gpx", library)
    assert (done.returncode, "is read here" in done.stderr) == (2, True)
    assert library.read_bytes() == before


def test_two_answers_do_not_go_to_one_file(tmp_path: Path) -> None:
    one = tmp_path / "one"
    done = call("review", WALK, "--band", "112-131", "--json", one, "--html", tmp_path / "." / "one")
    assert (done.returncode, "asked for twice" in done.stderr) == (2, True)
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
