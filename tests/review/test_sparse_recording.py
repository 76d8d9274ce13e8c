"""A recording every few seconds says of the heart what one a second says."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from slopebeat.analysis.response.terrain_fair import TerrainFair
from slopebeat.files.reading import read_recordings
from slopebeat.model.athlete import Aim
from slopebeat.model.recording import Recording
from slopebeat.review.outing import review_recording

RECORDINGS = Path(__file__).parents[3] / "shared" / "recordings"
REAL = ("gravel_device_zone_times.fit", "road_power_1hz.fit", "run_developer_fields.fit")
STEPS = (1, 2, 4, 8)


def thinned(recording: Recording, step: int) -> Recording:
    """Every ``step``-th record and the last, as a device that records sparsely would have written."""
    kept = np.arange(len(recording.samples)) % step == 0
    kept[-1] = True
    return replace(recording, samples=recording.samples[kept].reset_index(drop=True))


@pytest.mark.parametrize("name", REAL)
def test_the_row_moves_by_less_than_noise_when_a_real_recording_is_thinned(name: str) -> None:
    if not (RECORDINGS / name).is_file():
        pytest.skip("the real recordings are not beside the project")
    recording = read_recordings(RECORDINGS / name)[0]
    rows: list[TerrainFair] = [
        review_recording(thinned(recording, step), Aim()).terrain_fair for step in STEPS
    ]
    whole = rows[0]
    assert whole.percent is not None
    assert whole.interval_percent is not None
    low, high = whole.interval_percent
    for row in rows[1:]:
        assert row.percent is not None
        assert row.interval_percent is not None
        # A tenth of the interval's width is half of its standard error at most.
        assert abs(row.percent - whole.percent) < 0.1 * (high - low)
        assert row.interval_percent == pytest.approx((low, high), abs=0.15 * (high - low))
        assert row.status is whole.status
        assert row.used_s == pytest.approx(whole.used_s, rel=0.03)
