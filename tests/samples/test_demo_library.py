"""The demo months: made as their truth says, and the known change is found in them."""

from __future__ import annotations

import io
import json
import zipfile
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from generator.season import PEOPLE, season

from slopebeat.analysis.terrain_fair import TerrainFair
from slopebeat.analysis.trend import trend
from slopebeat.files.reading import read_recordings
from slopebeat.model.athlete import Aim
from slopebeat.model.bands import Band
from slopebeat.review.outing import Review, review_recording


@pytest.fixture(scope="module")
def archive(samples_folder: Path) -> zipfile.ZipFile:
    return zipfile.ZipFile(io.BytesIO((samples_folder / "demo_library" / "outings.zip").read_bytes()))


@pytest.fixture(scope="module")
def truth(samples_folder: Path) -> dict[str, Any]:
    text = (samples_folder / "demo_library" / "truth.json").read_text(encoding="utf-8")
    return {person["role"]: person for person in json.loads(text)["people"]}


@pytest.fixture(scope="module")
def reviews(
    archive: zipfile.ZipFile, truth: dict[str, Any], tmp_path_factory: pytest.TempPathFactory
) -> dict[str, dict[str, Review]]:
    """Every outing read from its file and reviewed, by role and path."""
    folder = tmp_path_factory.mktemp("demo")
    archive.extractall(folder)
    return {
        role: {
            path: review_recording(
                read_recordings(folder / path)[0],
                Aim(Band(112, 131), body_mass_kg=person["body_mass_kg"]),
            )
            for path in person["outings"]
        }
        for role, person in truth.items()
    }


def test_the_archive_holds_what_the_truth_names_and_is_small(
    archive: zipfile.ZipFile, truth: dict[str, Any], samples_folder: Path
) -> None:
    named = [path for person in truth.values() for path in person["outings"]]
    assert archive.namelist() == named
    assert 90 <= len(named) <= 150
    assert (samples_folder / "demo_library" / "outings.zip").stat().st_size < 3_000_000


def test_one_seed_makes_the_same_file_to_the_byte(archive: zipfile.ZipFile, truth: dict[str, Any]) -> None:
    for person in PEOPLE:
        item = next(season(person))
        assert item.encode() == archive.read(item.path)
        assert json.loads(json.dumps(item.truth())) == truth[person.role]["outings"][item.path]


def weeks_of(reviews: dict[str, Review]) -> np.ndarray:
    first = datetime(2026, 2, 2, tzinfo=UTC)
    return np.array([(r.recording.start_utc - first).total_seconds() / 604800.0 for r in reviews.values()])


def fair(reviews: dict[str, Review]) -> list[TerrainFair]:
    return [review.terrain_fair for review in reviews.values()]


@pytest.mark.parametrize("role", ["hut warden", "trail patrol"])
def test_the_known_change_of_the_drift_lies_in_the_interval(
    role: str, reviews: dict[str, dict[str, Review]], truth: dict[str, Any]
) -> None:
    early, late = truth[role]["change"]["drift_bpm_per_h"]
    found = trend(weeks_of(reviews[role]), [row.drift_bpm_per_h for row in fair(reviews[role])])
    assert found.slope_low is not None
    assert found.slope_high is not None
    assert found.slope_low <= (late - early) / 24.0 <= found.slope_high


@pytest.mark.parametrize("role", ["hut warden", "trail patrol"])
def test_the_known_change_of_decoupling_lies_in_the_interval(
    role: str, reviews: dict[str, dict[str, Review]], truth: dict[str, Any]
) -> None:
    at = weeks_of(reviews[role])
    known = [outing["terrain_fair_percent"] for outing in truth[role]["outings"].values()]
    found = trend(at, [row.percent for row in fair(reviews[role])])
    true_slope = trend(at, known).slope
    assert found.slope_low is not None
    assert found.slope_high is not None
    assert true_slope is not None
    assert found.slope_low <= true_slope <= found.slope_high


def test_seconds_in_band_are_those_of_the_truth(
    reviews: dict[str, dict[str, Review]], truth: dict[str, Any]
) -> None:
    # A record every 10 s stands for the seconds to the next, so single seconds differ.
    for role, person in truth.items():
        for path, outing in person["outings"].items():
            account = reviews[role][path].account
            assert account is not None
            assert account.in_band_s == pytest.approx(outing["seconds"]["in_band"], abs=240.0), path


def test_files_are_local_time_and_of_the_sport_they_were(
    reviews: dict[str, dict[str, Review]], truth: dict[str, Any]
) -> None:
    for role, person in truth.items():
        for path, outing in person["outings"].items():
            recording = reviews[role][path].recording
            start = datetime.fromisoformat(outing["start_local"])
            offset = start.utcoffset()
            assert recording.start_utc == start
            assert offset is not None
            assert recording.utc_offset_s == offset.total_seconds()
            assert recording.sport.on_bike == (outing["mode"] == "ride")
