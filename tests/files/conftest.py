"""The folder of real recordings, each opened once for all tests of the readers."""

from __future__ import annotations

import csv
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from slopebeat.files.reading import read_recordings
from slopebeat.model.recording import Recording

RECORDINGS = Path(__file__).parents[3] / "shared" / "recordings"
"""Real recordings beside the project; they are people's own tracks and never part of it."""

ARGUMENTS = ("recording_file", "other_file", "fit_file", "indexed", "timed", "paused")
RECORDING_SUFFIXES = (".fit", ".gpx", ".tcx")


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """One test per real recording for each of the arguments of ``_cases`` a test asks for."""
    for argument, cases in _cases().items():
        if argument in metafunc.fixturenames:
            metafunc.parametrize(argument, cases, ids=_name)


@cache
def _cases() -> dict[str, list[Any]]:
    """Files and rows of the index; ``timed`` and ``paused`` are the rows that say those times."""
    if not RECORDINGS.is_dir():
        reason = "the folder of real recordings is not here"
        absent = pytest.param(None, marks=pytest.mark.skip(reason=reason))
        return {
            name: [absent]
            for name in ("recording_file", "other_file", "fit_file", "indexed", "timed", "paused")
        }
    files = sorted(RECORDINGS.iterdir())
    with (RECORDINGS / "INDEX.csv").open(encoding="utf-8") as stream:
        rows = list(csv.DictReader(stream))
    return {
        "recording_file": [path for path in files if path.suffix in RECORDING_SUFFIXES],
        "other_file": [path for path in files if path.suffix not in RECORDING_SUFFIXES],
        "fit_file": [path for path in files if path.suffix == ".fit"],
        "indexed": rows,
        "timed": [row for row in rows if row["timer_s"]],
        "paused": [row for row in rows if row["n_pauses"]],
    }


def _name(case: object) -> str | None:
    return case["file"] if isinstance(case, dict) else getattr(case, "name", None)


@pytest.fixture(scope="session")
def recordings_folder() -> Path:
    if not RECORDINGS.is_dir():
        pytest.skip("the folder of real recordings is not here")
    return RECORDINGS


@pytest.fixture(scope="session")
def opened() -> Callable[[Path], tuple[Recording, ...]]:
    """Read a file, once for all tests."""
    return cache(read_recordings)


@pytest.fixture
def read(tmp_path: Path) -> Callable[..., tuple[Recording, ...]]:
    """Read content given as bytes or text, under a given file name."""

    def read_content(content: bytes | str, name: str = "outing.bin") -> tuple[Recording, ...]:
        path = tmp_path / name
        path.write_bytes(content.encode() if isinstance(content, str) else content)
        return read_recordings(path)

    return read_content
