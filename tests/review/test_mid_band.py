"""Flat-equivalent speed at mid-band is the level speed the generator's own response gives."""

from __future__ import annotations

import json
import sys
import zipfile
from pathlib import Path

import numpy as np
import pytest

from slopebeat.files.reading import read_recordings
from slopebeat.model.bands import Band
from slopebeat.model.people import Aim
from slopebeat.review.outing import Review, review_recording
from slopebeat.review.summary import mid_band_speed

SAMPLES = Path(__file__).parents[2] / "samples"
sys.path.insert(0, str(SAMPLES))

from generator.cost import WalkingCost  # noqa: E402

BAND = Band(112, 131)


@pytest.fixture(scope="module")
def hikes(tmp_path_factory: pytest.TempPathFactory) -> list[tuple[Review, float]]:
    """Every fourth hike of the demo, with the true level speed at the middle of the band after 10 minutes."""
    place = tmp_path_factory.mktemp("hikes")
    truth = json.loads((SAMPLES / "demo_library" / "truth.json").read_text(encoding="utf-8"))["archives"]
    rows = [(n, o) for n, o in truth["hut_warden.zip"]["outings"].items() if o["mode"] == "hike"]
    found = []
    with zipfile.ZipFile(SAMPLES / "demo_library" / "hut_warden.zip") as archive:
        for name, outing in rows[::4]:
            archive.extract(name, place)
            heart, cost = outing["heart"], WalkingCost()
            work = (121.5 - heart["hr0_bpm"] - heart["drift_bpm_per_h"] / 6.0) / heart[
                "gain_bpm_per_w_per_kg"
            ]
            review = review_recording(read_recordings(place / name)[0], Aim(BAND, body_mass_kg=72.0))
            found.append((review, cost.speed_mps(work, 0.0, 3.0)))
    return found


def test_the_speed_is_the_true_one_and_mostly_in_its_interval(hikes: list[tuple[Review, float]]) -> None:
    inside, errors = 0, []
    for review, true in hikes:
        found = mid_band_speed(review)
        assert found is not None
        errors.append(found.speed_mps / true - 1.0)
        inside += (found.low_mps or 0.0) <= true <= (found.high_mps or 99.0)
    assert np.sqrt(np.mean(np.square(errors))) < 0.04
    assert inside >= 0.7 * len(hikes)


def test_without_a_band_or_a_fit_there_is_none(hikes: list[tuple[Review, float]]) -> None:
    recording = hikes[0][0].recording
    assert mid_band_speed(review_recording(recording, Aim())) is None
    # Nothing of this outing was as high as this band.
    assert mid_band_speed(review_recording(recording, Aim(Band(180, 200)))) is None
