"""The row the months keep, against the samples' own truth and the review it comes from."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from slopebeat.files.reading import read_recordings
from slopebeat.model.athlete import Aim
from slopebeat.model.bands import Band
from slopebeat.model.codec import decode, encode
from slopebeat.model.summary import OutingSummary
from slopebeat.review.outing import Review, review_recording
from slopebeat.review.summary import steep_share, summarise

SAMPLES = Path(__file__).resolve().parents[2] / "samples"


@pytest.fixture(scope="module")
def hike() -> Review:
    (recording,) = read_recordings(SAMPLES / "hut_supply_hike.fit")
    return review_recording(recording, Aim(Band(112, 131), load_kg=6.0))


def test_the_parts_sum_to_the_recorded_time(hike: Review) -> None:
    row = summarise(hike)
    parts = [row.in_band_s, row.above_s, row.below_s, row.no_hr_s]
    assert all(part is not None for part in parts)
    assert sum(part or 0.0 for part in parts) == pytest.approx(row.recorded_s, abs=1e-6)
    assert row.yield_share == pytest.approx((row.in_band_s or 0.0) / row.recorded_s)
    assert (row.band_lower_bpm, row.band_upper_bpm, row.load_kg) == (112, 131, 6.0)


def test_a_summary_survives_the_way_through_json(hike: Review) -> None:
    row = summarise(hike)
    assert decode(encode(row), OutingSummary) == row


def test_without_a_band_only_what_needs_one_is_missing(hike: Review) -> None:
    row = summarise(review_recording(hike.recording, Aim(load_kg=6.0)))
    banded = summarise(hike)
    for name in ("in_band_s", "above_s", "below_s", "no_hr_s", "yield_share", "mid_band_speed_mps"):
        assert getattr(row, name) is None
    for name in ("recorded_s", "moving_s", "distance_m", "ascent_m", "terrain_fair_percent", "steep_share"):
        assert getattr(row, name) == getattr(banded, name)
        assert getattr(row, name) is not None


def test_without_heart_rate_nothing_is_made_up(recordings: Path) -> None:
    (recording,) = read_recordings(recordings / "no_heart_rate.tcx")
    row = summarise(review_recording(recording, Aim(Band(112, 131))))
    assert row.in_band_s == 0.0
    assert row.no_hr_s == pytest.approx(row.recorded_s)
    for name in ("pace_percent", "terrain_fair_percent", "drift_bpm_per_h", "mid_band_speed_mps"):
        assert getattr(row, name) is None


def test_the_steep_share_agrees_with_a_count_second_by_second(hike: Review) -> None:
    track = hike.track
    steep = total = 0.0
    for grade, seconds, moving in zip(track.grade, track.recorded_s, track.moving, strict=True):
        if moving and np.isfinite(grade):
            total += seconds
            steep += seconds if grade > 0.03 or grade < -0.03 else 0.0
    assert steep_share(track) == pytest.approx(steep / total)
