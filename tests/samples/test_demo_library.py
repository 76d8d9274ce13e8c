"""The demo outings are made as their truth says and come out the same again."""

from __future__ import annotations

import json
import zipfile
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from generator.season import PEOPLE, season

from slopebeat.files.reading import read_recordings
from slopebeat.model.bands import Band
from slopebeat.model.people import Aim
from slopebeat.review.outing import Review, review_recording

ROLES = {"hut_warden.zip": 0, "trail_patrol.zip": 1}


@pytest.fixture(scope="module")
def folder(samples_folder: Path) -> Path:
    return samples_folder / "demo_library"


@pytest.fixture(scope="module")
def truth(folder: Path) -> dict[str, Any]:
    """Truth by the name of the archive."""
    return json.loads((folder / "truth.json").read_text(encoding="utf-8"))["archives"]  # type: ignore[no-any-return]


@pytest.fixture(scope="module")
def reviews(
    folder: Path, truth: dict[str, Any], tmp_path_factory: pytest.TempPathFactory
) -> dict[str, dict[str, Review]]:
    """Every sixth outing read from its file and reviewed, by archive and name."""
    place = tmp_path_factory.mktemp("demo")
    found: dict[str, dict[str, Review]] = {}
    for name, person in truth.items():
        zipfile.ZipFile(folder / name).extractall(place)
        aim = Aim(Band(112, 131), body_mass_kg=PEOPLE[ROLES[name]].athlete.body_mass_kg)
        found[name] = {
            outing: review_recording(read_recordings(place / outing)[0], aim)
            for outing in list(person["outings"])[::6]
        }
    return found


def test_the_archives_hold_what_the_truth_names_and_are_small(folder: Path, truth: dict[str, Any]) -> None:
    count = 0
    for name, person in truth.items():
        with zipfile.ZipFile(folder / name) as archive:
            assert archive.namelist() == list(person["outings"])
            count += len(person["outings"])
    assert 90 <= count <= 150
    assert sum((folder / name).stat().st_size for name in truth) < 3_000_000


def test_one_seed_makes_the_same_file_to_the_byte(folder: Path, truth: dict[str, Any]) -> None:
    for name, number in ROLES.items():
        item = next(season(PEOPLE[number]))
        with zipfile.ZipFile(folder / name) as archive:
            assert item.encode() == archive.read(item.file_name)
        assert json.loads(json.dumps(item.truth())) == truth[name]["outings"][item.file_name]


def test_seconds_in_band_are_those_of_the_truth(
    reviews: dict[str, dict[str, Review]], truth: dict[str, Any]
) -> None:
    # A record every 10 s stands for the seconds to the next, so single seconds differ.
    for role, person in truth.items():
        for path, review in reviews[role].items():
            outing, account = person["outings"][path], review.account
            assert account is not None
            assert account.in_band_s == pytest.approx(outing["seconds"]["in_band"], abs=240.0), path


def test_files_are_local_time_and_of_the_sport_they_were(
    reviews: dict[str, dict[str, Review]], truth: dict[str, Any]
) -> None:
    for role, person in truth.items():
        for path, review in reviews[role].items():
            outing, recording = person["outings"][path], review.recording
            start = datetime.fromisoformat(outing["start_local"])
            offset = start.utcoffset()
            assert recording.start_utc == start
            assert offset is not None
            assert recording.utc_offset_s == offset.total_seconds()
            assert recording.sport.on_bike == (outing["mode"] == "ride")
